"""Lists of what the service knows: threads and materials."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from threadwright_service.api.answer import SERVICE_VERSION, TABLES_VERSION
from threadwright_service.api.presentation import present
from threadwright_service.calc.rounding import nearest
from threadwright_service.schemas.base import Loaded, RequestSchema
from threadwright_service.schemas.faults import Fault, InvalidRequestError
from threadwright_service.schemas.fields import Choice, Text
from threadwright_service.schemas.quantities import LENGTH
from threadwright_service.schemas.query_text import shown

_OF_A_CALCULATION = ("unit", "working")


class ListRequest(RequestSchema):
    """What narrows a list, which is told in units of its own and has no working."""

    @classmethod
    def load_text(cls, pairs: Iterable[tuple[str, str]]) -> Loaded:
        """Load a query, as any request's, without the keys of a calculation."""
        pairs = tuple(pairs)
        own = ", ".join(key for key in cls.wire_fields() if key not in _OF_A_CALCULATION)
        faults = tuple(
            Fault(
                parameter=key,
                code="unknown",
                detail=f"{key} is not a key of a list, which has units of its own",
                value=text,
                accepted=f"keys are {own}" if own else "no keys but those of the form",
            )
            for key, text in pairs
            if key in _OF_A_CALCULATION
        )
        if faults:
            raise InvalidRequestError(faults)
        return super().load_text(pairs)


class OperationsRequest(ListRequest):
    """The list of operations takes nothing of its own."""


class ThreadsRequest(ListRequest):
    """Which threads to list."""

    family = Text("Only this family, by its key.", longest=40)
    series = Text("Only this series, by its symbol.", longest=20)


class MaterialsRequest(ListRequest):
    """Which materials to list."""

    iso_513 = Choice("Only this application group.", ("P", "M", "K", "N", "S", "H"))


@dataclass(frozen=True, kw_only=True)
class Listing:
    """A list that is only read: its address, the keys that narrow it, and its members."""

    name: str
    path: str
    summary: str
    description: str
    request: type[RequestSchema]
    run: Callable[[Iterable[tuple[str, str]]], dict[str, Any]]


def threads(pairs: Iterable[tuple[str, str]]) -> dict[str, Any]:
    """Families, their classes and their standard sizes."""
    from threadwright_service.calc.threads.registry import families

    values = ThreadsRequest.load_text(pairs).values
    wanted, series = values.get("family"), values.get("series")
    known = families()
    _known("family", wanted, (family.key for family in known))
    _known("series", series, (size.series for family in known for size in family.sizes()))
    listed = []
    for family in known:
        places = LENGTH.decimals(family.unit)
        if wanted is not None and family.key != wanted:
            continue
        sizes = [
            {
                "series": size.series,
                "size": size.size,
                "nominal_diameter": nearest(size.nominal_diameter, places),
                "pitch": nearest(size.pitch, places),
                "threads_per_inch": size.threads_per_inch,
            }
            for size in family.sizes()
            if series is None or size.series == series
        ]
        if series is not None and not sizes:
            continue
        listed.append(
            {
                "family": family.key,
                "title": family.title,
                "standard": family.standard,
                "unit": family.unit,
                "series": list(family.symbols),
                "tolerance_classes": list(family.classes),
                "sizes": sizes,
            }
        )
    return {"operation": "threads", "result": {"families": listed}, "meta": _META}


def _known(key: str, value: str | None, listed: Iterable[str]) -> None:
    """Refuse a word that nothing is listed under: an empty list would tell of no mistake."""
    if value is None:
        return
    words = tuple(dict.fromkeys(listed))
    if value not in words:
        fault = Fault(
            parameter=key,
            code="not-a-choice",
            detail=f"{key}: {shown(value)} is not in the list of threads",
            value=value,
            accepted=f"one of {', '.join(words)}",
        )
        raise InvalidRequestError((fault,))


def materials(pairs: Iterable[tuple[str, str]]) -> dict[str, Any]:
    """Material groups with hardness ranges, grade names and sources."""
    from threadwright_service.calc.cutting.materials import list_materials

    wanted = MaterialsRequest.load_text(pairs).values.get("iso_513")
    listed = [
        present(material, "mm")
        for material in list_materials()
        if wanted is None or material.iso_513 == wanted
    ]
    return {"operation": "materials", "result": {"materials": listed}, "meta": _META}


_META = {"service": SERVICE_VERSION, "tables": TABLES_VERSION}

LISTINGS = (
    Listing(
        name="threads",
        path="/v1/threads",
        summary="Families of threads, their classes and standard sizes",
        description=(
            "Lengths are in the family's own unit. A size that is not listed may still be asked "
            "for, where its standard has a rule for it."
        ),
        request=ThreadsRequest,
        run=threads,
    ),
    Listing(
        name="materials",
        path="/v1/materials",
        summary="Material groups with hardness ranges and grade names",
        description=(
            "A request's material is a key of this list or one of its aliases; the range is "
            "that of the hardness for which the group's data stand."
        ),
        request=MaterialsRequest,
        run=materials,
    ),
)
