"""The same thread turned with a single point: infeeds, forces, speed and time of its passes.

A turning tool that stands in the axial plane copies its own profile: there is no over-cut, and the
depth follows from the nose alone. What the tool and the part bend is not modelled.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final, Literal

from threadwright_service.calc.milling.geometry.cone import check_taper_length, cone_of
from threadwright_service.calc.milling.geometry.cutter import Machine
from threadwright_service.calc.milling.geometry.depth import nominal_root_diameter_mm
from threadwright_service.calc.milling.geometry.groove import (
    ThreadGroove,
    groove_of,
    pitch_diameter_aim_mm,
)
from threadwright_service.calc.milling.geometry.nose import NoseCheck, check_nose
from threadwright_service.calc.milling.geometry.section import tooth_profile
from threadwright_service.calc.milling.geometry.start_diameter import start_diameter_mm
from threadwright_service.calc.milling.path.heights import depth_below_blank_mm
from threadwright_service.calc.prove_out import PROVE_OUT
from threadwright_service.calc.threads.thread import Side, ThreadLimits
from threadwright_service.calc.times.operations.operation_time import OperationTime
from threadwright_service.calc.times.operations.thread_operations import SinglePointThreading
from threadwright_service.calc.trail import Formula, Trail
from threadwright_service.calc.turning.turning_infeed import (
    TurningDivision,
    TurningInfeed,
    TurningPass,
    TurningPlan,
    turning_plan,
)
from threadwright_service.calc.turning.turning_input import TurningInput

SPINDLE_SPEED: Final = Formula(
    "spindle speed for the surface speed on the largest diameter that is cut",
    "n",
    "1000 * v_c / (pi * d)",
    "v_c d",
    unit="rev/min",
    source="derivation",
)
POWER: Final = Formula(
    "power of a pass",
    "P",
    "F_t * pi * d * n / 60000000",
    "F_t d n",
    unit="kW",
    source="derivation",
)

_HOLD: Final = 1 + 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedPass:
    """One pass of the tool, of each start."""

    number: int
    """Running number, spring passes after the cutting ones."""
    kind: Literal["cut", "spring"]
    """cut, or spring: the last pass once more, without any infeed."""
    root_diameter_mm: float
    """What the tip is set for: the root outside, the major diameter inside."""
    depth_mm: float
    """Radial depth below blank or hole that the tip is set for."""
    radial_infeed_mm: float
    """Depth that the pass adds, on the radius."""
    axial_infeed_mm: float
    """How far the tool has moved along the axis since the pass before."""
    axial_offset_mm: float
    """Where the tool stands from the middle of the finished groove, positive towards the side that
    it comes from."""
    chip_area_mm2: float
    """Section of the groove that the pass removes; 0 for a spring pass."""
    chip_thickness_leading_mm: float
    """Chip on the flank that is fed towards; 0 for a spring pass."""
    chip_thickness_trailing_mm: float
    """Chip on the other flank; 0 for a spring pass."""
    tangential_force_n: float
    """Force along the cutting speed; 0 for a spring pass."""
    torque_nm: float
    """Of that force on the largest diameter that the pass cuts."""
    power_kw: float
    """Cutting power at that diameter, without losses of the spindle."""
    spindle_speed_rev_per_min: float
    """Speed of the spindle, the same in every pass."""
    cutting_time_s: float
    """Time of the pass at the feed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedThread:
    """A single-point threading plan; times are those of all starts."""

    side: Side
    """Outside or inside thread."""
    blank_diameter_mm: float
    """Diameter before threading: of the blank outside, of the hole inside."""
    pitch_diameter_aim_mm: float
    """The pitch diameter that the depth is worked out for."""
    root_diameter_mm: float
    """What the tip of the last pass is set for: the root outside, the major diameter inside."""
    depth_mm: float
    """From the blank to the root, radial."""
    nose: NoseCheck
    infeed: TurningInfeed
    """Direction in which the tool is fed, and so which flanks cut."""
    infeed_angle_deg: float
    """Angle of the infeed from the radius; 0 where it is radial."""
    division: TurningDivision
    """How the depth is divided among the passes."""
    cutting_passes: int
    """Passes that each go deeper than the one before."""
    spring_passes: int
    """Passes that go the last one again."""
    passes: tuple[TurnedPass, ...]
    """Every pass in turn, the spring passes last."""
    largest_to_smallest_force_ratio: float
    """Largest over smallest tangential force of the cutting passes."""
    starts: int
    """Starts of the thread; each pass is made in all of them."""
    surface_speed_m_per_min: float
    """On the largest diameter that is cut."""
    spindle_speed_rev_per_min: float
    """The fastest that speed, spindle, slide and power allow, or the given one."""
    feed_per_revolution_mm: float
    """Way of the tool along the axis for each turn: the lead."""
    feed_rate_mm_per_min: float
    """Speed of the slide along the axis."""
    limited_by: Literal["surface-speed", "spindle-speed", "feed-rate", "power", "given"]
    """What sets the spindle speed; given: the request does."""
    path_length_mm: float
    """Way at the feed, of all passes."""
    cutting_time_s: float
    """At the feed, all passes together."""
    rapid_time_s: float
    """Returns in rapid traverse, all passes together."""
    time_s: float
    """Cutting and returns together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Speed:
    """A spindle speed and what sets it."""

    rev_per_min: float
    limited_by: Literal["surface-speed", "spindle-speed", "feed-rate", "power", "given"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Depth:
    """The groove that is wanted, and the tool's way to its root."""

    groove: ThreadGroove
    start_mm: float
    root_mm: float
    nose: NoseCheck
    infeeds: TurningPlan

    @property
    def largest_mm(self) -> float:
        """Largest diameter that is cut [mm]."""
        return max(self.start_mm, self.root_mm)


def turned_thread(asked: TurningInput, *, trail: Trail | None = None) -> TurnedThread:
    """Plan a thread that is turned with a single point.

    Raises
    ------
    AmbiguousError, MissingInputError
        If an infeed lacks its value, or has one that does not belong to it.
    InfeasibleError
        If the nose cannot make the thread, or the slide cannot follow a speed that is given.
    OutOfRangeError
        If a value is outside what it can be.

    Notes
    -----
    Source: derivation; infeeds by common practice.
    """
    depth = _depth_of(asked, trail)
    _note_run(asked.thread, trail)
    passes = depth.infeeds.passes
    lead_mm = asked.thread.in_millimetres().lead
    largest_n = max(each.tangential_force_n or 0.0 for each in passes)
    speed = _speed_of(
        wanted=SPINDLE_SPEED(trail, asked.surface_speed_m_per_min, depth.largest_mm),
        given=asked.spindle_speed_rev_per_min,
        machine=asked.machine,
        lead_mm=lead_mm,
        power_per_rev_kw=POWER.function(largest_n, depth.largest_mm, 1.0),
        trail=trail,
    )
    timed = SinglePointThreading(
        thread_length_mm=asked.thread_length_mm,
        lead_mm=lead_mm,
        cuts=len(passes),
        spindle_speed_rev_per_min=speed.rev_per_min,
        starts=asked.thread.starts,
        approach_mm=asked.thread_approach_mm,
        overrun_mm=asked.thread_overrun_mm,
        retract_mm=asked.clearance_mm,
    ).time(asked.motion, trail)
    return _answer(asked, depth, speed, timed, trail)


def _note_run(thread: ThreadLimits, trail: Trail | None) -> None:
    """What to heed when the passes are run."""
    if trail is None:
        return
    trail.caution(*PROVE_OUT)
    cone = cone_of(thread)
    if not cone.is_cylinder:
        ratio = thread.form.taper_ratio
        trail.caution(
            "taper-turned",
            f"diameters hold in the plane {0.0 - cone.plane_height_mm:.4f} mm below the face, and "
            "blank or hole is taken to be turned to the taper; the tool follows it: the diameter "
            f"{'grows' if thread.side == 'external' else 'shrinks'} by {ratio:g} of the way along "
            "the axis, away from the face",
        )
    if thread.starts > 1:
        trail.caution(
            "each-start",
            f"the thread has {thread.starts} starts: each pass is cut {thread.starts} times, each "
            f"time begun a pitch, {thread.in_millimetres().pitch:.4f} mm, further along or "
            f"{360 / thread.starts:g} deg further round; times hold them all",
        )


def _depth_of(asked: TurningInput, trail: Trail | None) -> _Depth:
    thread = asked.thread
    check_taper_length(thread, asked.thread_length_mm, trail=trail)
    aim_mm = pitch_diameter_aim_mm(thread=thread, aim_ratio=asked.pitch_diameter_aim_ratio)
    # Without a lead there is no over-cut: the tool copies its profile in the axial plane.
    groove = replace(groove_of(thread=thread, pitch_diameter_mm=aim_mm), lead_mm=0.0)
    nose = asked.tool.as_cutter(groove.pitch_mm)
    start_mm = start_diameter_mm(
        thread=thread,
        blank_diameter_mm=asked.blank_diameter_mm,
        hole_diameter_mm=asked.hole_diameter_mm,
        trail=trail,
    )
    root_mm = nominal_root_diameter_mm(groove=groove, cutter=nose, trail=trail)
    checked = check_nose(
        thread=thread,
        groove=groove,
        cutter=nose,
        root_diameter_mm=root_mm,
        blank_diameter_mm=start_mm,
        trail=trail,
    )
    infeeds = turning_plan(
        tool=tooth_profile(groove=groove, cutter=nose),
        pitch_mm=groove.pitch_mm,
        depth_mm=depth_below_blank_mm(
            groove=groove, root_diameter_mm=root_mm, blank_diameter_mm=start_mm
        ),
        infeed=asked.infeed,
        division=asked.division,
        passes=asked.passes,
        infeed_ratio=asked.infeed_ratio,
        spring_passes=asked.spring_passes,
        flank_clearance_deg=asked.flank_clearance_deg,
        material=asked.material,
        trail=trail,
    )
    return _Depth(groove=groove, start_mm=start_mm, root_mm=root_mm, nose=checked, infeeds=infeeds)


def _answer(
    asked: TurningInput, depth: _Depth, speed: _Speed, timed: OperationTime, trail: Trail | None
) -> TurnedThread:
    infeeds = depth.infeeds
    cuts = sum(each.kind == "cut" for each in infeeds.passes)
    lead_mm = asked.thread.in_millimetres().lead
    return TurnedThread(
        side=asked.thread.side,
        blank_diameter_mm=depth.start_mm,
        pitch_diameter_aim_mm=depth.groove.pitch_diameter_mm,
        root_diameter_mm=depth.root_mm,
        depth_mm=infeeds.depth_mm,
        nose=depth.nose,
        infeed=infeeds.infeed,
        infeed_angle_deg=infeeds.infeed_angle_deg,
        division=infeeds.division,
        cutting_passes=cuts,
        spring_passes=len(infeeds.passes) - cuts,
        passes=_passes(
            infeeds.passes,
            start_mm=depth.start_mm,
            outward=depth.groove.outward,
            speed_rev_per_min=speed.rev_per_min,
            time_s=timed.cutting_time_s / len(infeeds.passes),
            trail=trail,
        ),
        largest_to_smallest_force_ratio=infeeds.force_ratio or 1.0,
        starts=asked.thread.starts,
        surface_speed_m_per_min=math.pi * depth.largest_mm * speed.rev_per_min / 1000,
        spindle_speed_rev_per_min=speed.rev_per_min,
        feed_per_revolution_mm=lead_mm,
        feed_rate_mm_per_min=lead_mm * speed.rev_per_min,
        limited_by=speed.limited_by,
        path_length_mm=timed.path_length_mm or 0.0,
        cutting_time_s=timed.cutting_time_s,
        rapid_time_s=timed.rapid_time_s,
        time_s=timed.cutting_time_s + timed.rapid_time_s,
    )


def _passes(
    found: tuple[TurningPass, ...],
    *,
    start_mm: float,
    outward: int,
    speed_rev_per_min: float,
    time_s: float,
    trail: Trail | None,
) -> tuple[TurnedPass, ...]:
    """The passes with diameters, torque and power; ``time_s`` is that of each."""
    passes = []
    offset_mm = found[0].axial_offset_mm
    for each in found:
        force_n = each.tangential_force_n or 0.0
        diameter_mm = start_mm - outward * 2 * each.depth_mm
        largest_mm = max(start_mm, diameter_mm)
        passes.append(
            TurnedPass(
                number=each.number,
                kind=each.kind,
                root_diameter_mm=diameter_mm,
                depth_mm=each.depth_mm,
                radial_infeed_mm=each.infeed_mm,
                axial_infeed_mm=offset_mm - each.axial_offset_mm,
                axial_offset_mm=each.axial_offset_mm,
                chip_area_mm2=each.chip_area_mm2,
                chip_thickness_leading_mm=each.chip_thickness_leading_mm,
                chip_thickness_trailing_mm=each.chip_thickness_trailing_mm,
                tangential_force_n=force_n,
                torque_nm=force_n * largest_mm / 2000,
                power_kw=POWER(trail, force_n, largest_mm, speed_rev_per_min),
                spindle_speed_rev_per_min=speed_rev_per_min,
                cutting_time_s=time_s,
            )
        )
        offset_mm = each.axial_offset_mm
    return tuple(passes)


def _speed_of(
    *,
    wanted: float,
    given: float | None,
    machine: Machine,
    lead_mm: float,
    power_per_rev_kw: float,
    trail: Trail | None,
) -> _Speed:
    """The given spindle speed, judged, or the fastest that spindle, slide and power allow."""
    most = {
        "surface-speed": wanted,
        "spindle-speed": machine.spindle_speed_max_rev_per_min or math.inf,
        "feed-rate": (machine.feed_rate_max_mm_per_min or math.inf) / lead_mm,
        "power": (machine.spindle_power_kw or math.inf) / power_per_rev_kw,
    }
    if given is None:
        name = min(most, key=lambda each: most[each])
        return _Speed(rev_per_min=most[name], limited_by=name)  # type: ignore[arg-type]
    if trail is not None:
        for name, highest in most.items():
            if given > highest * _HOLD:
                trail.caution(
                    f"{name}-exceeded",
                    f"{given:.0f} rev/min is above the {highest:.0f} rev/min that the "
                    f"{name.replace('-', ' ')} allows",
                )
    return _Speed(rev_per_min=given, limited_by="given")
