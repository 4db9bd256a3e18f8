"""The kinds of operation of a part, by the name that a request gives them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, fields
from types import MappingProxyType
from typing import Any, Final

from threadwright_service.calc.errors import MissingInputError, UnknownDesignationError
from threadwright_service.calc.times.operations.bench_operations import FixedTime, HandWork, Probing
from threadwright_service.calc.times.operations.hole_operations import Drilling, StraightCutting
from threadwright_service.calc.times.operations.milling_operations import Chamfer, CircularMilling
from threadwright_service.calc.times.operations.operation_time import Operation
from threadwright_service.calc.times.operations.thread_milling import ThreadMilling, ThreadPass
from threadwright_service.calc.times.operations.thread_operations import (
    SinglePointThreading,
    Tapping,
)

KINDS: Final[Mapping[str, type]] = MappingProxyType(
    {
        "circular-milling": CircularMilling,
        "thread-milling": ThreadMilling,
        "chamfer": Chamfer,
        "drilling": Drilling,
        "straight-cutting": StraightCutting,
        "single-point-threading": SinglePointThreading,
        "tapping": Tapping,
        "hand-work": HandWork,
        "probing": Probing,
        "fixed-time": FixedTime,
    }
)


def operation_of(kind: str, values: Mapping[str, Any]) -> Operation:
    """An operation from its kind and its numbers.

    Parameters
    ----------
    kind : str
        A key of ``KINDS``.
    values : mapping
        The fields of that kind, under the names of the record; ``passes`` of a milled thread is
        a list of mappings with the fields of
        :class:`~threadwright_service.calc.times.operations.thread_operations.ThreadPass`.

    Raises
    ------
    UnknownDesignationError
        If the kind, or a field of it, is not known.
    MissingInputError
        If a field without which there is no time is missing.
    CalcError
        As the kind itself refuses.

    Notes
    -----
    Source: derivation.

    Examples
    --------
    >>> operation_of("hand-work", {"time_s": 40, "beside": False}).name
    'deburr'
    """
    record = KINDS.get(kind)
    if record is None:
        raise UnknownDesignationError(
            f"there is no operation of kind {kind!r}",
            parameter="kind",
            value=kind,
            accepted=", ".join(KINDS),
        )
    given = dict(values)
    if kind == "thread-milling" and "passes" in given:
        given["passes"] = tuple(
            _record(ThreadPass, each, f"{kind}, a pass") if isinstance(each, Mapping) else each
            for each in given["passes"]
        )
    operation: Operation = _record(record, given, kind)
    return operation


def _record(record: type, values: Mapping[str, Any], what: str) -> Any:
    known = {field.name for field in fields(record)}
    needed = {field.name for field in fields(record) if field.default is MISSING}
    for name in values:
        if name not in known:
            raise UnknownDesignationError(
                f"{what} has no {name!r}",
                parameter=name,
                value=values[name],
                accepted=", ".join(sorted(known)),
            )
    for field in fields(record):
        if field.name in needed and values.get(field.name) is None:
            raise MissingInputError(
                f"{what} needs {field.name}",
                parameter=field.name,
                accepted=f"{what} with {', '.join(sorted(needed))}",
            )
    return record(**values)
