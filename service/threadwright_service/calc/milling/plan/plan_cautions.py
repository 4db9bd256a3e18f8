"""What the person at the machine should read beside a pass plan."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.milling.infeed.division import Division, Given
from threadwright_service.calc.milling.loads.force import SMALLEST_MEASURED_CHIP_MM
from threadwright_service.calc.milling.plan.cutting_limits import CuttingLimits
from threadwright_service.calc.milling.plan.limits import PassLimits, practice_passes
from threadwright_service.calc.milling.plan.plan_record import PassPlan
from threadwright_service.calc.prove_out import PROVE_OUT
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail

_OVER: Final = 1 + 1e-5
_SAME_MM: Final = 0.0005

_THICKER: Final = (
    "more feed a tooth, a stiffer cutter, or a sharper edge",
    "fewer passes, more feed a tooth, or a stiffer cutter",
)
_BROKEN: Final = {
    "feed-per-tooth": "the feed a tooth is above what the edge is recommended for",
    "chip-thickness": "the chip at the nose is thicker than the edge is recommended for",
    "deflection": "the cutter bends more than its share of the tolerance",
    "neck-strength": "the bending stress in neck or shank is above what is allowed: it may break",
    "feed-rate": "the feed is above the machine's",
    "centripetal-acceleration": "the machine cannot hold this feed on the circle",
    "power": "the power is above the spindle's",
    "surface-speed": "the surface speed is above the recommended one: the edge wears faster",
}


def note_plan(
    *,
    plan: PassPlan,
    thread: ThreadLimits,
    limits: PassLimits,
    given: Given,
    division: Division,
    cutting: CuttingLimits,
    trail: Trail,
) -> None:
    """Add the plan's cautions to the trail."""
    trail.caution(*PROVE_OUT)
    for report in plan.limits:
        if report.share_ratio > _OVER and report.name in _BROKEN:
            where = f" in pass {report.pass_number}" if report.pass_number else ""
            trail.caution(
                f"{report.name}-exceeded",
                f"{_BROKEN[report.name]}{where}: {report.share_ratio:.2f} of the limit",
            )
    _note_taper(plan, thread, trail)
    _note_runs(plan, trail)
    _note_chips(plan, limits, division, trail)
    _note_passes(plan, limits, given, trail)
    _note_size(plan, thread, given, trail)
    if cutting.basis and plan.spindle_speed_rev_per_min < limits.spindle_speed_rev_per_min * 0.999:
        trail.caution(
            "spindle-slowed",
            f"the spindle is slowed to {plan.spindle_speed_rev_per_min:.0f} rev/min so that the "
            "chip stays thick enough at the feed, or the power within the spindle's",
        )


def _note_taper(plan: PassPlan, thread: ThreadLimits, trail: Trail) -> None:
    """Say how a path goes that follows a taper, and what blank or hole it takes for granted."""
    if plan.plane_height_mm is None:
        return
    metric, path = thread.in_millimetres(), plan.path
    half_taper = metric.form.taper_ratio / 2
    grows = "grows" if path.end_radius_mm > path.start_radius_mm else "shrinks"
    trail.caution(
        "taper-path",
        f"the radius of the helix {grows} by {half_taper * metric.lead:.4f} mm a turn, from "
        f"{path.start_radius_mm:.4f} mm to {path.end_radius_mm:.4f} mm: an arc word holds one "
        "radius, so the program needs a tapering helix, short arcs, or points",
    )
    below_mm = -plan.plane_height_mm
    where = f"{below_mm:.4f} mm below the face" if below_mm else "at the face"
    made, straight = "hole is taken to be bored", "in a straight one turns further in are shallower"
    if plan.side == "external":
        made = "blank is taken to be turned"
        straight = f"on straight stock the first turn is {half_taper * below_mm:.4f} mm deeper"
    trail.caution(
        "taper-blank",
        f"all diameters hold in the plane {where}, and the {made} to the taper: "
        f"{plan.blank_diameter_mm:.4f} mm there; {straight}",
    )


def _note_runs(plan: PassPlan, trail: Trail) -> None:
    """Say that a pass goes its path more than once, which one line of a path does not show."""
    starts = plan.path.starts
    if starts > 1:
        trail.caution(
            "each-start",
            f"the thread has {starts} starts: each pass goes its path {starts} times, each time "
            f"{360 / starts:g} deg further round the axis between the same heights; time and "
            "length of a pass hold them all",
        )
    if plan.axial_shift is not None and len(plan.axial_shift.offsets_mm) > 1:
        offsets_mm = plan.axial_shift.offsets_mm
        trail.caution(
            "axial-shift-load",
            f"each depth is cut {len(offsets_mm)} times beside each other, from "
            f"{max(offsets_mm):.4f} mm below the stated heights to as much above; force "
            "and bend are those of a cut with both flanks, more than the true ones: measure "
            "before the last pass",
        )


def _note_chips(plan: PassPlan, limits: PassLimits, division: Division, trail: Trail) -> None:
    cuts = [each for each in plan.passes if each.kind == "cut"]
    if division.chip_reached_ratio < 1 / _OVER:
        thin = min(cuts, key=lambda each: each.chip_thickness_flank_mm)
        trail.caution(
            "chip-too-thin",
            f"the chip across the flank in pass {thin.number} is at most "
            f"{thin.chip_thickness_flank_mm:.5f} mm; below {limits.chip_thickness_min_mm:.5f} mm "
            f"the edge rubs: {_THICKER[plan.cutting_passes > 1]}",
        )
    if plan.spring_passes:
        trail.caution(
            "spring-pass-rubs",
            "a spring pass takes a chip below what the edge cuts: it rubs, wears the edge and "
            "may work-harden the flank; what it takes off is a bound, not a promise",
        )
    if min(each.chip_thickness_flank_mm for each in cuts) < SMALLEST_MEASURED_CHIP_MM:
        trail.caution(
            "force-extrapolated",
            f"forces are worked out from data for chips of {SMALLEST_MEASURED_CHIP_MM:g} mm and "
            "more; the chips here are thinner, and the real force may be half as much again",
        )


def _note_passes(plan: PassPlan, limits: PassLimits, given: Given, trail: Trail) -> None:
    practice = practice_passes(depth_mm=plan.depth_mm, depth_of_a_pass_mm=limits.depth_of_a_pass_mm)
    if plan.cutting_passes < practice:
        trail.caution(
            "fewer-passes-than-practice",
            f"{plan.cutting_passes} cutting passes for {plan.depth_mm:.3f} mm; at this hardness "
            f"about {practice} are usual",
        )
    if (
        given.passes is not None
        and plan.cutting_passes > practice
        and not any(
            report.binds and report.name in ("deflection", "neck-strength", "chip-thickness")
            for report in plan.limits
        )
    ):
        trail.caution(
            "more-passes-than-asked-for",
            f"{plan.cutting_passes} passes are given; the limits ask for {practice}",
        )
    cuts = [each for each in plan.passes if each.kind == "cut"]
    if cuts[-1].radial_depth_mm < limits.last_depth_min_mm / _OVER:
        trail.caution(
            "last-pass-thin",
            f"the last cut takes {cuts[-1].radial_depth_mm:.4f} mm; it is to take at least "
            f"{limits.last_depth_min_mm:.4f} mm: fewer passes, or a thicker last one",
        )
    worth = [each for each in plan.spring_advice if each.is_planned and not each.is_worth_it]
    if worth:
        trail.caution(
            "spring-pass-not-worth-it",
            f"spring pass {worth[0].number} takes {worth[0].taken_mm:.4f} mm off the pitch "
            "diameter: less than can be measured",
        )


def _note_size(plan: PassPlan, thread: ThreadLimits, given: Given, trail: Trail) -> None:
    span = thread.in_millimetres().limits.pitch_diameter
    low_mm, high_mm = (
        plan.expected_pitch_diameter_range.min_mm,
        plan.expected_pitch_diameter_range.max_mm,
    )
    if (span.max is not None and high_mm > span.max) or (
        span.min is not None and low_mm < span.min
    ):
        trail.caution(
            "size-uncertain",
            f"the pitch diameter may come out from {low_mm:.4f} mm to {high_mm:.4f} mm, which "
            "reaches beyond its limits: measure before the last pass",
        )
    off_mm = plan.expected_pitch_diameter_mm - plan.pitch_diameter_aim_mm
    if given.infeed == "list" and abs(off_mm) > _SAME_MM:
        outward = 1 if plan.side == "external" else -1
        trail.caution(
            "listed-depth-misses-size",
            f"the last listed depth, {plan.depth_mm:.4f} mm, leaves the pitch diameter "
            f"{abs(off_mm):.4f} mm {'large' if off_mm > 0 else 'small'}; about "
            f"{plan.depth_mm + outward * off_mm / 2:.4f} mm would be right",
        )
