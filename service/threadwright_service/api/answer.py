"""One call of an operation: from raw keys to an answer or a problem, without any HTTP."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from typing import Any, Final

from threadwright_service.api.operation import Operation, Request
from threadwright_service.api.presentation import (
    in_unit,
    present,
    presented_assumption,
    presented_step,
    sentence,
)
from threadwright_service.api.threads import presented_thread
from threadwright_service.calc.errors import CalcError, OutOfRangeError
from threadwright_service.calc.trail import Trail
from threadwright_service.schemas.base import Loaded
from threadwright_service.schemas.compound_fields import Items, Record
from threadwright_service.schemas.faults import Fault
from threadwright_service.schemas.quantities import Unit, units_of
from threadwright_service.schemas.wire_field import WireField

try:
    SERVICE_VERSION: Final = version("threadwright")
except PackageNotFoundError:  # pragma: no cover - run from a source tree that was not installed
    SERVICE_VERSION = "0"  # type: ignore[misc]

TABLES_VERSION: Final = "2026.11"
"""Changed with any change to a table of the calculations, so that callers can tell."""

_UNITS: Final[Mapping[Unit, dict[str, str]]] = {"mm": units_of("mm"), "in": units_of("in")}


@dataclass(slots=True)
class RefusedError(Exception):
    """A calculation's refusal, with the request's unit in which it is to be told."""

    refusal: CalcError
    fault: Fault
    detail: str


def answer(operation: Operation, loaded: Loaded) -> dict[str, Any]:
    """Compute and put together the answer of one loaded request.

    Raises
    ------
    RefusedError
        If the calculation refuses.
    """
    told: dict[str, Any] = {}
    tell(told, operation, loaded)
    told["meta"] = meta(operation)
    return told


def tell(told: dict[str, Any], operation: Operation, loaded: Loaded) -> None:
    """Put the members of an answer, but for ``meta``, into a record; none if it is refused.

    Raises
    ------
    RefusedError
        If the calculation refuses.
    """
    values = loaded.values
    trail = Trail(steps=[]) if values.pop("working", False) else Trail()
    if operation.assumed_keys:
        assume_defaults(operation.assumed_keys, values, trail)
    request = Request(values, loaded.unit, trail)
    try:
        outcome = operation.run(request)
        unit, result = outcome.unit, outcome.result
        shown = result if type(result) is dict else present(result, unit)
    except CalcError as refusal:
        raise _refused(refusal, operation, loaded) from None
    except ArithmeticError as error:
        # Values that are each within bounds may together be so extreme that no number holds them.
        raise _refused(_beyond_numbers(error), operation, loaded) from error
    if request.values:
        _note_unused(request, operation, loaded)
    told["operation"] = operation.name
    told["input"] = loaded.given
    told["unit"] = unit
    told["units"] = _UNITS[unit]
    if request.thread is not None and not operation.tells_thread:
        told["thread"] = presented_thread(request.thread, unit)
    told["result"] = shown
    assumed, cautions = [], []
    for assumption in trail.assumptions:
        assumed.append(presented_assumption(assumption, unit))
    for caution in trail.cautions:
        cautions.append({"code": caution.code, "detail": sentence(in_unit(caution.detail, unit))})
    told["assumed"] = assumed
    told["cautions"] = cautions
    if trail.steps is not None:
        told["working"] = [presented_step(step, unit) for step in trail.steps]


def _note_unused(request: Request, operation: Operation, loaded: Loaded) -> None:
    """Say which given keys have had no part in the answer: none is ignored in silence."""
    keys = _wire_keys(operation)
    unused = sorted({keys.get(name, name) for name in request.values} & loaded.given.keys())
    if unused:
        request.trail.caution(
            "no-effect",
            f"Given, but without effect beside what else was given: {', '.join(unused)}.",
        )


def _beyond_numbers(error: ArithmeticError) -> CalcError:
    return OutOfRangeError(
        f"the values together lead beyond what can be computed ({error})",
        accepted="sizes, speeds and forces that a machine shop meets",
    )


def assume_defaults(
    keys: Iterable[tuple[str, WireField]], values: dict[str, Any], trail: Trail
) -> None:
    """Put in the schema's defaults for what was not given, and note each."""
    for key, field in keys:
        name = field.inner_name(key)
        if field.assume is not None and name not in values:
            values[name] = field.assume
            trail.assume(
                key,
                field.assume,
                field.reason,
                unit=field.kind.metric if field.kind.follows_unit else "",
            )


@cache
def meta(operation: Operation) -> dict[str, Any]:
    """What the answer rests on: versions and publications."""
    return {
        "service": SERVICE_VERSION,
        "tables": TABLES_VERSION,
        "sources": operation.sources,
    }


def _refused(refusal: CalcError, operation: Operation, loaded: Loaded) -> RefusedError:
    """Tell a refusal in the caller's keys, in his unit and with his own value."""
    unit: Unit = loaded.unit or "mm"
    parameter = _in_wire_keys(refusal.parameter, operation)
    detail = in_unit(_in_wire_keys(refusal.detail, operation), unit)
    return RefusedError(
        refusal=refusal,
        detail=detail,
        fault=Fault(
            parameter=parameter,
            code=refusal.code,
            detail=detail,
            value=_given_at(loaded.given, parameter, refusal.value),
            accepted=in_unit(_in_wire_keys(refusal.accepted, operation), unit),
        ),
    )


_NAME: Final = re.compile(r"[a-z][a-z0-9_]*_[a-z0-9]+")


def _in_wire_keys(text: str, operation: Operation) -> str:
    """A text with the calculation's names of keys as the caller writes them, without unit."""
    if "_" not in text:
        return text
    keys = _wire_keys(operation)
    return _NAME.sub(lambda match: keys.get(match[0], match[0]), text)


@cache
def _wire_keys(operation: Operation) -> Mapping[str, str]:
    """The wire's keys by the calculation's names, of the request and of records in its lists."""
    return dict(_named_within(operation.request.wire_fields()))


def _named_within(members: Mapping[str, WireField]) -> Iterable[tuple[str, str]]:
    for key, field in members.items():
        within = field.item if isinstance(field, Items) else field
        if isinstance(within, Record):
            yield from _named_within(within.members)
        if field.inner_name(key) != key:
            yield field.inner_name(key), key


def _given_at(given: Mapping[str, Any], place: str, otherwise: object) -> object:
    """What the caller wrote at a place such as ``operations.0.feed``."""
    if place in given:
        return given[place]
    found: Any = given
    for step in place.split("."):
        if isinstance(found, Mapping) and step in found:
            found = found[step]
        elif isinstance(found, list) and step.isdecimal() and int(step) < len(found):
            found = found[int(step)]
        else:
            return otherwise
    return found
