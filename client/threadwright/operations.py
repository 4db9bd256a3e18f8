"""The operations that this client knows: the one list from which calls and the shell are made.

Keys and results are named, and imported when an operation is first called: a script that asks for
limits alone need not wait for the rest.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING, Any, Final, cast

if TYPE_CHECKING:
    from threadwright.results.answer import Result


@dataclass(frozen=True, slots=True)
class Operation:
    """One operation.

    Parameters
    ----------
    name : str
        Such as ``thread-limits``.
    keys : str
        Name of the keys that it takes, in ``threadwright.keys``.
    result : str
        Module in ``threadwright.results`` and name of what it gives.
    """

    name: str
    keys: str
    result: str

    @property
    def method(self) -> str:
        """Name of the client's method."""
        return self.name.replace("-", "_")

    def keys_type(self) -> type:
        """The keys, as a ``TypedDict``."""
        return cast(type, getattr(import_module("threadwright.keys"), self.keys))

    def result_type(self) -> type[Result]:
        """The type of the result."""
        return cast("type[Result]", _found(self.result))


OPERATIONS: Final = {
    each.name: each
    for each in (
        Operation("thread-limits", "ThreadLimitsKeys", "threads.ThreadLimits"),
        Operation("wire-measurement", "WireMeasurementKeys", "wires.WireMeasurement"),
        Operation("gauge-limits", "GaugeLimitsKeys", "gauges.GaugeLimits"),
        Operation("size-correction", "SizeCorrectionKeys", "correction.SizeCorrection"),
        Operation("thread-hole", "ThreadHoleKeys", "holes.ThreadHole"),
        Operation("hardness", "HardnessKeys", "hardness.HardnessConversion"),
        Operation("pass-plan", "PassPlanKeys", "milling.PassPlan"),
        Operation("turning-plan", "TurningPlanKeys", "turning.TurnedThread"),
        Operation("cutting-data", "CuttingDataKeys", "cutting.CuttingData"),
        Operation("cycle-time", "CycleTimeKeys", "times.CycleTime"),
        Operation("job-sheet", "JobSheetKeys", "jobs.JobSheet"),
    )
}


@cache
def result_of(operation: str) -> type[Result]:
    """The type of an operation's result; the bare one for what a newer service may offer."""
    known = OPERATIONS.get(operation)
    return cast("type[Result]", _found("answer.Result" if known is None else known.result))


def _found(name: str) -> Any:
    module, _, kind = name.partition(".")
    return getattr(import_module(f"threadwright.results.{module}"), kind)
