"""Sizing with a GO and a NOT GO gauge alone: in steps, because no size is known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.measurement.acceptance import Verdict
from threadwright_service.calc.measurement.correction.correction_result import (
    Action,
    SizeCorrection,
    Target,
)
from threadwright_service.calc.measurement.correction.correction_target import Band, band_of
from threadwright_service.calc.measurement.correction.pre_control import pre_control
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Formula, Trail

GaugeResult = Literal["passes", "refuses"]

STEP: Final = Formula(
    "step of the cutter radius",
    "dR",
    "-T/8",
    "T",
    unit="mm",
    source="derivation, a quarter of the tolerance on the pitch diameter",
)

PROCEDURE: Final = (
    "Start with metal left on: GO must refuse the first part.",
    "While GO refuses, add the radius correction to the offset, cut the same part again without "
    "moving it, and try GO again.",
    "When GO passes, try NOT GO: it must refuse. The part is then good.",
    "Before the next part add the correction once more: GO has only just passed, so a quarter of "
    "the tolerance further is nearer the middle and cannot leave it.",
    "When NOT GO passes, the part is lost: take one step back before the next part.",
    "When GO refuses and NOT GO passes together, do not touch the offset: lead or form is wrong.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    verdict: Verdict
    action: Action
    reason: str
    direction: Literal[-1, 0, 1]
    """Steps to take, -1 into the metal."""


def correction_by_gauge(
    *,
    thread: ThreadLimits,
    go: GaugeResult,
    not_go: GaugeResult | None = None,
    go_just_passed: bool = False,
    trail: Trail | None = None,
) -> SizeCorrection:
    """The next step where the thread was tried with gauges only.

    Parameters
    ----------
    thread : ThreadLimits
        A parallel thread, in either unit.
    go : "passes" or "refuses"
        What the GO gauge did.
    not_go : "passes" or "refuses", optional
        What the NOT GO gauge did; not needed while GO refuses.
    go_just_passed : bool
        Whether GO refused the cut before, so that the size is known to a quarter of the tolerance.
    trail : Trail, optional
        Takes cautions and working.

    Raises
    ------
    InfeasibleError
        If the thread is tapered, or GO passes and NOT GO was not tried.
    CalcError
        As :func:`.correction_target.band_of`.

    Notes
    -----
    Source: derivation. Steps of a quarter of the tolerance on the pitch diameter: four span it, so
    the first size at which GO passes is inside, and so is the one a step further.
    """
    thread = thread.in_millimetres()
    if thread.form.taper_ratio:
        raise InfeasibleError(
            f"{thread.designation} is tapered: its gauge neither goes nor is refused, it stops",
            parameter="gauge_go",
            value=go,
            accepted="gauge_turns, the turns by which it stops short of flush",
        )
    band = band_of(thread)
    step_mm = STEP(trail, 2 * band.half_mm)
    step = _step(go, not_go, go_just_passed)
    now = -step.direction * step_mm if step.direction else 0.0
    _warn(go, not_go, trail)
    return _answer(band, step, now)


def _step(go: GaugeResult, not_go: GaugeResult | None, go_just_passed: bool) -> _Step:
    if go == "refuses":
        if not_go == "passes":
            return _Step(
                verdict="reject",
                action="stop",
                reason="GO refuses and NOT GO passes: lead or form error, not size",
                direction=0,
            )
        return _Step(
            verdict="reject", action="correct", reason="GO refuses: metal is left on", direction=-1
        )
    if not_go is None:
        raise InfeasibleError(
            "GO passes, which alone says nothing about the other limit",
            parameter="gauge_not_go",
            accepted="passes or refuses",
        )
    if not_go == "passes":
        return _Step(
            verdict="reject",
            action="correct",
            reason="NOT GO passes: too much metal is off",
            direction=1,
        )
    if go_just_passed:
        return _Step(
            verdict="accept",
            action="correct",
            reason="GO has only just passed: one step more for the next part",
            direction=-1,
        )
    return _Step(
        verdict="accept", action="leave", reason="GO passes and NOT GO refuses", direction=0
    )


def _answer(band: Band, step: _Step, now_mm: float) -> SizeCorrection:
    quarter = band.half_mm / 2
    return SizeCorrection(
        pitch_diameter_mm=(),
        excess_mm=None,
        excess_uncertainty_mm=None,
        gain_ratio=1.0,
        radius_correction_mm=now_mm,
        diameter_correction_mm=2 * now_mm,
        action=step.action,
        action_reason=step.reason,
        radius_correction_now_mm=now_mm,
        diameter_correction_now_mm=2 * now_mm,
        expected_pitch_diameter_mm=None,
        drift_per_part_mm=None,
        drift_per_part_uncertainty_mm=None,
        next_correction_after_parts=None,
        next_correction_reason="gauges give no size, so no drift can be told",
        measure_every_parts=None,
        verdict=step.verdict,
        recut=None,
        target=Target(
            pitch_diameter_mm=band.middle_mm,
            aim_ratio=0.5,
            rule="steps of a quarter of the tolerance from the metal-rich side",
            guard_band_mm=0.0,
            standard_deviation_mm=None,
            usable_max_mm=band.max_mm - quarter,
            usable_min_mm=band.min_mm + quarter,
        ),
        drift=None,
        pre_control=pre_control(max_mm=band.max_mm, min_mm=band.min_mm),
        is_qualified=False,
        parts=(),
        procedure=PROCEDURE,
    )


def _warn(go: GaugeResult, not_go: GaugeResult | None, trail: Trail | None) -> None:
    if trail is None:
        return
    trail.caution(
        "gauges-only",
        "Gauges tell no size: the steps are coarse, and drift is seen only when a part fails. "
        "Measure over wires if you can.",
    )
    if go == "refuses" and not_go == "passes":
        note_form_error(trail)
    if go == "refuses":
        trail.caution(
            "recut-in-register",
            "Cut the same part again only if it was not moved and the cutter starts at the same "
            "height and angle; else the new groove misses the old one.",
        )


def note_form_error(trail: Trail) -> None:
    """Note that the size is not to be opened where the gauges contradict it.

    Notes
    -----
    Source: derivation; GO checks the functional size, wires the simple pitch diameter.
    """
    trail.caution(
        "lead-or-form",
        "GO refuses although the pitch diameter is not on its side: look for a lead, angle or "
        "form error, a burr or dirt. Do not open the size to make GO pass.",
    )
