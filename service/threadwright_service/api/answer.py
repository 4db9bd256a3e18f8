"""One call of an operation: from raw keys to an answer or a problem, without any HTTP."""

from __future__ import annotations

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
)
from threadwright_service.api.threads import presented_thread
from threadwright_service.calc.errors import CalcError, OutOfRangeError
from threadwright_service.calc.trail import Trail
from threadwright_service.schemas.base import Loaded
from threadwright_service.schemas.faults import Fault
from threadwright_service.schemas.fields import WireField
from threadwright_service.schemas.quantities import Unit, units_of

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
        raise _refused(refusal, loaded) from None
    except ArithmeticError as error:
        # Values that are each within bounds may together be so extreme that no number holds them.
        raise _refused(_beyond_numbers(error), loaded) from error
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
        cautions.append({"code": caution.code, "detail": in_unit(caution.detail, unit)})
    told["assumed"] = assumed
    told["cautions"] = cautions
    if trail.steps is not None:
        told["working"] = [presented_step(step, unit) for step in trail.steps]


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


def _refused(refusal: CalcError, loaded: Loaded) -> RefusedError:
    """Tell a refusal in the caller's unit and with the caller's own value."""
    unit: Unit = loaded.unit or "mm"
    parameter = refusal.parameter
    return RefusedError(
        refusal=refusal,
        detail=in_unit(refusal.detail, unit),
        fault=Fault(
            parameter=parameter,
            code=refusal.code,
            detail=in_unit(refusal.detail, unit),
            value=loaded.given.get(parameter, refusal.value),
            accepted=in_unit(refusal.accepted, unit),
        ),
    )
