"""The operations of one threaded part from single numbers, as a row of a sheet gives them.

The longer way, a list of operations, is in ``operations.py``; both give the same records.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from threadwright_service.calc.errors import CalcError, InfeasibleError, MissingInputError
from threadwright_service.calc.times.motion.motion import helix_length_mm
from threadwright_service.calc.times.operations.bench_operations import FixedTime, HandWork, Probing
from threadwright_service.calc.times.operations.hole_operations import Drilling
from threadwright_service.calc.times.operations.milling_operations import (
    Chamfer,
    CircularMilling,
    Side,
)
from threadwright_service.calc.times.operations.operation_time import Operation
from threadwright_service.calc.times.operations.thread_milling import (
    ThreadMilling,
    ThreadPass,
    thread_turns,
)
from threadwright_service.calc.times.operations.thread_operations import (
    SinglePointThreading,
    Tapping,
)
from threadwright_service.calc.trail import Trail


def milled_thread(
    *,
    passes: int,
    lead_mm: float,
    feed_centre_mm_per_min: float,
    cutter_centre_radius_mm: float,
    path_length_mm: float | None = None,
    thread_length_mm: float | None = None,
    cutter_profile: Literal["single", "full"] = "single",
    starts: int = 1,
    tool: str = "thread mill",
    trail: Trail | None = None,
) -> ThreadMilling:
    """A milled thread of equal passes.

    Parameters
    ----------
    passes : int
        Passes of one start, spring passes among them.
    lead_mm : float
        Rise for each turn [mm].
    feed_centre_mm_per_min, cutter_centre_radius_mm : float
        Feed of the cutter centre [mm/min] and radius of its path [mm].
    path_length_mm : float or None
        Length of a pass with its arcs, of all starts [mm]; without it, it follows from
        ``thread_length_mm``.
    thread_length_mm : float or None
        Length of the thread [mm].
    cutter_profile : "single" or "full"
        One row of teeth or rows over the whole thread.
    starts : int
        A single row cuts each start by itself.

    Raises
    ------
    MissingInputError
        If neither length is given.
    OutOfRangeError
        If a value is not above zero.

    Notes
    -----
    Source: derivation.
    """
    helices = starts if cutter_profile == "single" else 1
    if path_length_mm is None:
        if thread_length_mm is None:
            raise MissingInputError(
                "the length of a pass follows from the thread's length, and neither is given",
                parameter="thread_length",
                accepted="thread_length, or path_length of one pass",
            )
        path_length_mm = helices * helix_length_mm(
            turns_ratio=thread_turns(
                profile=cutter_profile,
                thread_length_mm=thread_length_mm,
                lead_mm=lead_mm,
                trail=trail,
            ),
            radius_mm=cutter_centre_radius_mm,
            lead_mm=lead_mm,
            trail=trail,
        )
    return ThreadMilling(
        passes=(
            ThreadPass(
                path_length_mm=path_length_mm,
                cutter_centre_radius_mm=cutter_centre_radius_mm,
                feed_centre_mm_per_min=feed_centre_mm_per_min,
                starts=helices,
                times=passes,
            ),
        ),
        lead_mm=lead_mm,
        tool=tool,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PartKeys:
    """What is done on a threaded part besides the thread; what is ``None`` is not done.

    A group (``drill_``, ``step_``, ``chamfer_``, ``probing_``) is given whole or not at all, but
    for the peck depth and the axial depth. Inside, the step is the bore that is milled, and starts
    from the drilled hole unless ``step_start_diameter_mm`` says otherwise.
    """

    side: Side
    drill_diameter_mm: float | None = None
    drill_depth_mm: float | None = None
    drill_feed_mm_per_min: float | None = None
    drill_peck_depth_mm: float | None = None
    step_start_diameter_mm: float | None = None
    step_diameter_mm: float | None = None
    step_length_mm: float | None = None
    step_cutter_diameter_mm: float | None = None
    step_radial_depth_mm: float | None = None
    step_axial_depth_mm: float | None = None
    step_feed_mm_per_min: float | None = None
    chamfer_diameter_mm: float | None = None
    chamfer_cutter_diameter_mm: float | None = None
    chamfer_feed_mm_per_min: float | None = None
    probing_points: int | None = None
    probing_time_per_point_s: float | None = None
    other_time_s: float | None = None
    deburr_time_s: float | None = None
    deburr_beside: bool | None = None


def thread_operations(
    *, thread: ThreadMilling | SinglePointThreading | Tapping | FixedTime, keys: PartKeys
) -> tuple[Operation, ...]:
    """The operations of one threaded part, in the usual order.

    Hole, step (or bore), chamfer, thread, probing, anything else, deburring.

    Parameters
    ----------
    thread : operation
        The thread, from :func:`milled_thread` or as its record.
    keys : PartKeys
        The rest.

    Raises
    ------
    MissingInputError
        If a group is given in part.
    InfeasibleError
        If a hole is drilled for an outside thread.

    Notes
    -----
    Source: derivation.
    """
    return (
        *_hole(keys),
        *_step(keys),
        *_chamfer(keys),
        thread,
        *_bench_work(keys),
    )


def left_untimed(keys: PartKeys) -> list[str]:
    """What a threaded part mostly needs besides its thread and the keys do not give.

    Notes
    -----
    Source: common practice.
    """
    if keys.side == "external":
        before = ("the diameter before the thread (step)", keys.step_diameter_mm)
    else:
        hole_mm = keys.drill_diameter_mm or keys.step_diameter_mm
        before = ("the hole before the thread (drill, step)", hole_mm)
    after = (("the chamfer", keys.chamfer_diameter_mm), ("deburring", keys.deburr_time_s))
    return [name for name, given in (before, *after) if given is None]


def _hole(keys: PartKeys) -> tuple[Operation, ...]:
    given = _group(
        "the hole",
        keys,
        ("drill_diameter_mm", "drill_depth_mm", "drill_feed_mm_per_min"),
        ("drill_peck_depth_mm",),
    )
    if not given:
        return ()
    if keys.side == "external":
        raise InfeasibleError(
            "a hole is drilled for an inside thread, not for an outside one",
            parameter="drill_diameter_mm",
            value=keys.drill_diameter_mm,
            accepted="an inside thread, or an entry of kind drilling in operations",
        )
    return (
        _of_group(
            "drill",
            lambda: Drilling(
                diameter_mm=given["drill_diameter_mm"],
                depth_mm=given["drill_depth_mm"],
                feed_mm_per_min=given["drill_feed_mm_per_min"],
                peck_depth_mm=keys.drill_peck_depth_mm,
            ),
        ),
    )


def _step(keys: PartKeys) -> tuple[Operation, ...]:
    if (
        keys.side == "internal"
        and keys.step_diameter_mm is not None
        and keys.step_start_diameter_mm is None
    ):
        keys = replace(keys, step_start_diameter_mm=keys.drill_diameter_mm)
    given = _group(
        "the step",
        keys,
        (
            "step_start_diameter_mm",
            "step_diameter_mm",
            "step_length_mm",
            "step_cutter_diameter_mm",
            "step_radial_depth_mm",
            "step_feed_mm_per_min",
        ),
        ("step_axial_depth_mm",),
    )
    if not given:
        return ()
    return (
        _of_group(
            "step",
            lambda: CircularMilling(
                side=keys.side,
                start_diameter_mm=given["step_start_diameter_mm"],
                diameter_mm=given["step_diameter_mm"],
                length_mm=given["step_length_mm"],
                cutter_diameter_mm=given["step_cutter_diameter_mm"],
                radial_depth_mm=given["step_radial_depth_mm"],
                axial_depth_mm=keys.step_axial_depth_mm,
                feed_mm_per_min=given["step_feed_mm_per_min"],
                name="step" if keys.side == "external" else "bore",
            ),
        ),
    )


def _chamfer(keys: PartKeys) -> tuple[Operation, ...]:
    given = _group(
        "the chamfer",
        keys,
        ("chamfer_diameter_mm", "chamfer_cutter_diameter_mm", "chamfer_feed_mm_per_min"),
    )
    if not given:
        return ()
    return (
        _of_group(
            "chamfer",
            lambda: Chamfer(
                side=keys.side,
                diameter_mm=given["chamfer_diameter_mm"],
                cutter_diameter_mm=given["chamfer_cutter_diameter_mm"],
                feed_mm_per_min=given["chamfer_feed_mm_per_min"],
            ),
        ),
    )


def _bench_work(keys: PartKeys) -> tuple[Operation, ...]:
    operations: list[Operation] = []
    probing = _group("probing", keys, ("probing_points", "probing_time_per_point_s"))
    if probing:
        operations.append(
            Probing(
                points=int(probing["probing_points"]),
                time_per_point_s=probing["probing_time_per_point_s"],
            )
        )
    if keys.other_time_s:
        operations.append(FixedTime(time_s=keys.other_time_s, cutting=False, name="other work"))
    if keys.deburr_time_s:
        operations.append(HandWork(time_s=keys.deburr_time_s, beside=keys.deburr_beside))
    return tuple(operations)


def _of_group(group: str, make: Callable[[], Operation]) -> Operation:
    """An operation whose refusals blame the group's keys: ``step_diameter_mm``, not a diameter."""
    try:
        return make()
    except CalcError as refusal:
        raise refusal.blaming(f"{group}_{refusal.parameter}") from refusal


def _group(
    what: str, keys: PartKeys, needed: tuple[str, ...], also: tuple[str, ...] = ()
) -> dict[str, float]:
    """Numbers that belong together: all, none, or a refusal that names what is missing."""
    given: dict[str, float] = {
        name: getattr(keys, name) for name in (*needed, *also) if getattr(keys, name) is not None
    }
    missing = [name for name in needed if name not in given]
    if given and missing:
        raise MissingInputError(
            f"{', '.join(given)} given, but {what} also needs {', '.join(missing)}",
            parameter=missing[0],
            accepted="all of them, or none if it is not made",
        )
    return given
