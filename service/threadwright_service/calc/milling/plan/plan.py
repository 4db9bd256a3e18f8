"""The pass plan of a thread on a mill: from limits, cutter, material and machine to the first part.

The depth is the one that gives the pitch diameter with the cutter in hand: its nose, the helix, the
bend that is expected after the last pass, and its run-out. The division of the depth, the feed and
the speed are the fastest that keep the limits. What the caller gives is kept and judged.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from threadwright_service.calc.milling.geometry.cone import Cone
from threadwright_service.calc.milling.geometry.largest_cutter import FormCheck, check_form
from threadwright_service.calc.milling.geometry.nose import NoseCheck, check_nose
from threadwright_service.calc.milling.geometry.over_cut import OverCut, over_cut
from threadwright_service.calc.milling.infeed.division import Division
from threadwright_service.calc.milling.infeed.infeed import check_infeed_keys
from threadwright_service.calc.milling.infeed.planned_pass import (
    cutting_pass,
    spring_advice,
    spring_pass,
)
from threadwright_service.calc.milling.loads.deflection import caution_slender
from threadwright_service.calc.milling.loads.spring_pass import Bend
from threadwright_service.calc.milling.path.clearance import Clearances, check_clearances
from threadwright_service.calc.milling.path.leftovers import Leftovers, leftovers_of
from threadwright_service.calc.milling.path.path import PathSetting
from threadwright_service.calc.milling.path.path_elements import CentrePath
from threadwright_service.calc.milling.plan.failings import failings_of
from threadwright_service.calc.milling.plan.limit_report import limit_reports
from threadwright_service.calc.milling.plan.plan_cautions import note_plan
from threadwright_service.calc.milling.plan.plan_input import PlanInput
from threadwright_service.calc.milling.plan.plan_job import Job, settled
from threadwright_service.calc.milling.plan.plan_record import (
    LimitReport,
    PassPlan,
    PlannedPass,
    Range,
)
from threadwright_service.calc.milling.plan.plan_start import Start, job_of, start_of
from threadwright_service.calc.trail import Trail


def pass_plan(asked: PlanInput, *, trail: Trail | None = None) -> PassPlan:
    """Plan the passes of a milled thread.

    Parameters
    ----------
    asked : PlanInput
        Thread, cutter, material, machine, and what the caller fixed.

    Raises
    ------
    OutOfRangeError
        If a value is outside what it can be.
    InfeasibleError
        If the cutter cannot make the thread: nose, neck, hole, reach.
    MissingInputError
        If the thread has no two limits of the pitch diameter, or an infeed lacks its values.

    Notes
    -----
    Source: derivation. Bending is quasi-static; dynamics (chatter) are not modelled.
    """
    check_infeed_keys(
        infeed=asked.infeed,
        infeed_ratio=asked.infeed_ratio,
        infeed_depths_mm=asked.infeed_depths_mm,
        first_pass_share_ratio=asked.first_pass_share_ratio,
    )
    start = start_of(asked, trail)
    job = job_of(start, trail)
    division, bends, springs = settled(
        job=job, plain_mm=start.depth_mm, spring_passes=asked.spring_passes, trail=trail
    )
    found = _Settled(
        start=start,
        job=job,
        division=division,
        bends=bends,
        springs=springs,
        setting=start.setting(job.root_diameter_mm(division.depths_mm[-1]), trail),
    )
    plan = _answer(found, trail)
    if trail is not None:
        caution_slender(cutter=job.cutter, trail=trail)
        note_plan(
            plan=plan,
            thread=asked.thread,
            limits=job.limits,
            given=job.given,
            division=division,
            cutting=asked.cutting,
            trail=trail,
        )
    return plan


@dataclass(frozen=True, slots=True, kw_only=True)
class _Settled:
    """Depths, feed and speed, as they were found; the answer is put together from them."""

    start: Start
    job: Job
    division: Division
    bends: list[Bend]
    springs: int
    setting: PathSetting

    @property
    def depth_mm(self) -> float:
        """Depth of the last pass [mm]."""
        return self.division.depths_mm[-1]

    @property
    def root_diameter_mm(self) -> float:
        """What the tip of the last pass is set for [mm]."""
        return self.job.root_diameter_mm(self.depth_mm)

    @property
    def left(self) -> Bend:
        """What the last pass of all leaves proud."""
        return self.bends[self.springs]

    @property
    def expected_mm(self) -> float:
        """Pitch diameter to expect [mm]."""
        job = self.job
        return job.programmed_pitch_diameter_mm(self.depth_mm) + 2 * job.groove.outward * (
            self.left.expected_mm - job.runout_mm
        )

    @property
    def expected_range(self) -> Range:
        """Between what it is expected, by the bounds of bend and run-out."""
        spread_mm = 2 * (self.left.half_spread_mm + self.job.runout_spread_mm)
        return Range(max_mm=self.expected_mm + spread_mm, min_mm=self.expected_mm - spread_mm)

    @property
    def surface_speed_m_per_min(self) -> float:
        """At the cutter's tip [m/min]."""
        speed_rev_per_min = self.division.spindle_speed_rev_per_min
        return math.pi * self.job.cutter.diameter_mm * speed_rev_per_min / 1000

    @property
    def is_corrected(self) -> bool:
        """Whether the depth is ours to correct, and not a list that is kept."""
        return self.job.given.infeed != "list"


def _answer(found: _Settled, trail: Trail | None) -> PassPlan:
    asked, job, division = found.start.asked, found.job, found.division
    cuts = [
        cutting_pass(job=job, division=division, setting=found.setting, index=index, trail=trail)
        for index in range(division.passes)
    ]
    planned = (*cuts, *_spring_passes(found))
    paths = tuple(found.setting.path(root_diameter_mm=each.root_diameter_mm) for each in cuts)
    outward, corrected = job.groove.outward, found.is_corrected
    made = _over_cut(found, trail)
    nose, form, reports = _nose(found, trail), _form(found, made, trail), _limits(found, planned)
    return PassPlan(
        side=job.groove.side,
        milling=job.cut.milling,
        blank_diameter_mm=job.blank_diameter_mm,
        pitch_diameter_aim_mm=job.groove.pitch_diameter_mm,
        root_diameter_mm=found.root_diameter_mm,
        plane_height_mm=_plane_height_mm(found.setting.cone),
        expected_pitch_diameter_mm=found.expected_mm,
        expected_pitch_diameter_range=found.expected_range,
        over_cut=made,
        deflection_correction_mm=-2 * outward * found.left.expected_mm if corrected else 0.0,
        runout_correction_mm=2 * outward * job.runout_mm if corrected else 0.0,
        nose=nose,
        form=form,
        axial_shift=found.start.shift,
        depth_mm=found.depth_mm,
        cutter_centre_radius_mm=planned[-1].cutter_centre_radius_mm,
        surface_speed_m_per_min=found.surface_speed_m_per_min,
        spindle_speed_rev_per_min=division.spindle_speed_rev_per_min,
        tool_life_min=asked.cutting.tool_life_min,
        infeed=job.given.infeed,
        cutting_passes=division.passes,
        spring_passes=found.springs,
        passes=planned,
        spring_advice=spring_advice(job=job, bends=found.bends, planned=found.springs),
        limits=reports,
        failings=failings_of(
            thread=asked.thread,
            expected_pitch_diameter_mm=found.expected_mm,
            nose=nose,
            form=form,
            division=division,
            reports=reports,
        ),
        cutting_time_s=sum(each.cutting_time_s for each in planned),
        path=paths[-1],
        pass_paths=paths,
        clearances=_clearances(found, trail),
        leftovers=_leftovers(found, paths[-1], trail),
        stiffness=job.stiffness,
    )


def _plane_height_mm(cone: Cone) -> float | None:
    return None if cone.is_cylinder else cone.plane_height_mm


def _spring_passes(found: _Settled) -> list[PlannedPass]:
    return [
        spring_pass(
            job=found.job,
            division=found.division,
            setting=found.setting,
            number=number,
            bends=found.bends,
        )
        for number in range(1, found.springs + 1)
    ]


def _over_cut(found: _Settled, trail: Trail | None) -> OverCut:
    return over_cut(
        groove=found.job.groove,
        cutter=found.job.cutter,
        root_diameter_mm=found.root_diameter_mm,
        corrected=found.is_corrected,
        profile_points=found.start.asked.profile_points,
        trail=trail,
    )


def _nose(found: _Settled, trail: Trail | None) -> NoseCheck:
    return check_nose(
        thread=found.start.asked.thread,
        groove=found.job.groove,
        cutter=found.job.cutter,
        root_diameter_mm=found.root_diameter_mm,
        blank_diameter_mm=found.job.blank_diameter_mm,
        trail=trail,
    )


def _form(found: _Settled, made: OverCut, trail: Trail | None) -> FormCheck:
    job = found.job
    return check_form(
        thread=found.start.asked.thread,
        groove=job.groove,
        cutter=job.cutter,
        over_cut=made,
        share_ratio=found.start.asked.form_share_ratio,
        hole_diameter_mm=None if job.groove.side == "external" else job.blank_diameter_mm,
        trail=trail,
    )


def _limits(found: _Settled, planned: Sequence[PlannedPass]) -> tuple[LimitReport, ...]:
    asked, job = found.start.asked, found.job
    return limit_reports(
        cut=job.cut,
        division=found.division,
        limits=job.limits,
        given=job.given,
        cutting=asked.cutting,
        machine=asked.machine,
        passes=planned,
        pass_time_s=job.pass_time_s,
    )


def _clearances(found: _Settled, trail: Trail | None) -> Clearances:
    asked = found.start.asked
    return check_clearances(
        groove=found.job.groove,
        cutter=found.job.cutter,
        root_diameter_mm=found.root_diameter_mm,
        blank_diameter_mm=found.job.blank_diameter_mm,
        heights=found.setting.heights,
        cone=found.setting.cone,
        thread_length_mm=asked.thread_length_mm,
        drill_point_angle_deg=asked.drill_point_angle_deg,
        trail=trail,
    )


def _leftovers(found: _Settled, path: CentrePath, trail: Trail | None) -> Leftovers:
    feed_mm = found.division.feed_per_tooth_mm
    return leftovers_of(
        setting=found.setting,
        path=path,
        root_diameter_mm=found.root_diameter_mm,
        feed_per_tooth_centre_mm=feed_mm * found.job.cut.centre_feed_ratio(found.depth_mm),
        trail=trail,
    )
