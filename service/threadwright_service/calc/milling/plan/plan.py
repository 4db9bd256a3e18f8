"""The pass plan of a thread on a mill: from limits, cutter, material and machine to the first part.

The depth is the one that gives the pitch diameter with the cutter in hand: its nose, the helix, the
bend that is expected after the last pass, and its run-out. The division of the depth, the feed and
the speed are the fastest that keep the limits. What the caller gives is kept and judged.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.milling.geometry.cutter import Cutter, Machine
from threadwright_service.calc.milling.geometry.groove import groove_of, pitch_diameter_aim_mm
from threadwright_service.calc.milling.geometry.largest_cutter import check_form
from threadwright_service.calc.milling.geometry.nose import check_nose, refuse_wide_nose
from threadwright_service.calc.milling.geometry.over_cut import (
    compensated_root_diameter_mm,
    over_cut,
)
from threadwright_service.calc.milling.geometry.section import tooth_profile
from threadwright_service.calc.milling.geometry.start_diameter import start_diameter_mm
from threadwright_service.calc.milling.geometry.swept_groove import swept_groove_of
from threadwright_service.calc.milling.infeed.axial_shift import AxialShift, axial_shift_of
from threadwright_service.calc.milling.infeed.division import Division, Given
from threadwright_service.calc.milling.infeed.infeed import Infeed, check_infeed_keys
from threadwright_service.calc.milling.infeed.planned_pass import (
    cutting_pass,
    spring_advice,
    spring_pass,
)
from threadwright_service.calc.milling.loads.deflection import (
    caution_slender,
    runout_shift_mm,
    stiffness,
)
from threadwright_service.calc.milling.loads.force import thread_cut
from threadwright_service.calc.milling.loads.spring_pass import Bend
from threadwright_service.calc.milling.path.clearance import check_clearances
from threadwright_service.calc.milling.path.heights import depth_below_blank_mm
from threadwright_service.calc.milling.path.leftovers import leftovers_of
from threadwright_service.calc.milling.path.path import Milling, PathSetting, path_setting
from threadwright_service.calc.milling.plan.cutting_limits import CuttingLimits
from threadwright_service.calc.milling.plan.limit_report import limit_reports
from threadwright_service.calc.milling.plan.limits import pass_limits
from threadwright_service.calc.milling.plan.pass_time import PassClock
from threadwright_service.calc.milling.plan.plan_cautions import note_plan
from threadwright_service.calc.milling.plan.plan_job import Job, settled
from threadwright_service.calc.milling.plan.plan_record import PassPlan, Range
from threadwright_service.calc.threads.thread import Hand, ThreadLimits
from threadwright_service.calc.trail import Trail


def pass_plan(
    *,
    thread: ThreadLimits,
    cutter: Cutter,
    material: WorkMaterial,
    machine: Machine,
    cutting: CuttingLimits,
    thread_length_mm: float,
    blank_diameter_mm: float | None = None,
    hole_diameter_mm: float | None = None,
    shoulder_distance_mm: float | None = None,
    passes: int | None = None,
    spring_passes: int | None = None,
    feed_per_tooth_mm: float | None = None,
    surface_speed_m_per_min: float | None = None,
    infeed: Infeed = "equal-force",
    infeed_ratio: float | None = None,
    infeed_depths_mm: Sequence[float] | None = None,
    first_pass_share_ratio: float | None = None,
    milling: Milling = "climb",
    pitch_diameter_aim_ratio: float = 0.5,
    deflection_share_ratio: float | None = None,
    form_share_ratio: float | None = None,
    depth_of_a_pass_mm: float | None = None,
    last_pass_depth_min_mm: float | None = None,
    entry_arc_radius_mm: float | None = None,
    lead_in_mm: float | None = None,
    overlap_deg: float | None = None,
    axial_shift: bool = False,
    axial_overlap_share_ratio: float | None = None,
    drill_point_angle_deg: float | None = None,
    profile_points: int = 0,
    cutter_hand: Hand = "right",
    trail: Trail | None = None,
) -> PassPlan:
    """Plan the passes of a milled thread.

    Parameters
    ----------
    thread : ThreadLimits
        The thread with its limits, in any unit.
    cutter, material, machine
        What cuts, what is cut, and on what.
    cutting : CuttingLimits
        What edge and material allow: speed, feed, chips.
    thread_length_mm : float
        Length of full thread [mm].
    blank_diameter_mm, hole_diameter_mm : float, optional
        Diameter before threading, outside or inside [mm]; the middle of the thread's limits if
        not given.
    shoulder_distance_mm : float, optional
        From the end of the full thread to a shoulder or the hole's bottom [mm].
    passes, spring_passes : int, optional
        Numbers to keep; chosen if not given.
    feed_per_tooth_mm : float, optional
        Feed a tooth on the surface that is made, to keep [mm].
    surface_speed_m_per_min : float, optional
        Surface speed to keep [m/min]; the spindle's highest speed still holds.
    infeed, infeed_ratio, infeed_depths_mm, first_pass_share_ratio
        How the depth is divided; see :mod:`.infeed`.
    pitch_diameter_aim_ratio : float
        Where in its tolerance the pitch diameter is aimed, 0 smallest to 1 largest.
    deflection_share_ratio : float, optional
        Largest bend of a cutting pass, on the pitch diameter, as a share of its tolerance.
    form_share_ratio : float, optional
        Share of the tolerance that may go into the flank's form; see :mod:`.largest_cutter`.
    depth_of_a_pass_mm, last_pass_depth_min_mm : float, optional
        Largest mean radial depth of the passes, least depth of the last cut [mm]; by common
        practice for the hardness if not given.
    lead_in_mm, overlap_deg : float, optional
        Beginning of the helix, and overlap of a full-length cutter; see :mod:`.path`.
    axial_shift : bool
        Whether a nose narrower than the groove widens it by cuts beside each other at each depth,
        so that the root stays within its limits; see :mod:`.axial_shift`.
    drill_point_angle_deg : float, optional
        Point angle of the drill of a blind hole [deg].
    profile_points : int
        How many points of the groove's axial section are told.

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
        infeed=infeed,
        infeed_ratio=infeed_ratio,
        infeed_depths_mm=infeed_depths_mm,
        first_pass_share_ratio=first_pass_share_ratio,
    )
    groove = groove_of(
        thread=thread,
        pitch_diameter_mm=pitch_diameter_aim_mm(thread=thread, aim_ratio=pitch_diameter_aim_ratio),
    )
    start_mm = start_diameter_mm(
        thread=thread,
        blank_diameter_mm=blank_diameter_mm,
        hole_diameter_mm=hole_diameter_mm,
        trail=trail,
    )
    given = Given(
        passes=passes,
        feed_per_tooth_mm=feed_per_tooth_mm,
        keeps_speed=surface_speed_m_per_min is not None,
        infeed=infeed,
        infeed_ratio=infeed_ratio,
        infeed_depths_mm=infeed_depths_mm,
        first_pass_share_ratio=first_pass_share_ratio,
    )
    shift = None
    if axial_shift:
        shift = axial_shift_of(
            thread=thread,
            groove=groove,
            cutter=cutter,
            overlap_ratio=axial_overlap_share_ratio,
            trail=trail,
        )
    # The cutter of whose nose and flanks the groove is made, at all offsets together.
    shaping = cutter if shift is None else shift.widened(cutter)
    root_mm = compensated_root_diameter_mm(groove=groove, cutter=shaping, trail=trail)

    def setting_at(root_diameter_mm: float, to: Trail | None) -> PathSetting:
        return path_setting(
            groove=groove,
            hand=thread.hand,
            milling=milling,
            cutter=shaping,
            root_diameter_mm=root_diameter_mm,
            blank_diameter_mm=start_mm,
            thread_length_mm=thread_length_mm,
            shoulder_distance_mm=shoulder_distance_mm,
            entry_arc_radius_mm=entry_arc_radius_mm,
            overlap_deg=overlap_deg,
            lead_in_mm=lead_in_mm,
            axial_offsets_mm=(0.0,) if shift is None else shift.offsets_mm,
            cutter_hand=cutter_hand,
            trail=to,
        )

    plain_setting = setting_at(root_mm, None)
    # A cutter that cannot make the thread is refused before the depth is divided: nothing bounds
    # how long that would take for a depth or nose that no cut has.
    refuse_wide_nose(thread=thread, groove=groove, cutter=shaping)
    check_clearances(
        groove=groove,
        cutter=shaping,
        root_diameter_mm=root_mm,
        blank_diameter_mm=start_mm,
        heights=plain_setting.heights,
    )
    bending = stiffness(
        cutter=cutter, machine=machine, thread_length_mm=thread_length_mm, trail=trail
    )
    limits_of_size = thread.in_millimetres().limits.pitch_diameter
    tolerance_mm = limits_of_size.tolerance or 0.0
    runout_mm, runout_spread_mm = runout_shift_mm(
        runout_mm=cutter.runout_mm, teeth=cutter.teeth, trail=trail
    )
    job = Job(
        groove=groove,
        cutter=shaping,
        groove_tooth=tooth_profile(groove=groove, cutter=shaping),
        swept=swept_groove_of(groove=groove, cutter=shaping),
        cut=thread_cut(
            groove=groove,
            cutter=cutter,
            material=material,
            start_diameter_mm=start_mm,
            thread_length_mm=thread_length_mm,
            milling=milling,
        ),
        limits=pass_limits(
            cutting=cutting,
            cutter=cutter,
            machine=machine,
            material=material,
            stiffness=bending,
            pitch_diameter_tolerance_mm=tolerance_mm,
            deflection_share_ratio=deflection_share_ratio,
            surface_speed_m_per_min=surface_speed_m_per_min,
            depth_of_a_pass_mm=depth_of_a_pass_mm,
            last_pass_depth_min_mm=last_pass_depth_min_mm,
            trail=trail,
        ),
        stiffness=bending,
        clock=PassClock(setting=plain_setting, machine=machine),
        given=given,
        blank_diameter_mm=start_mm,
        tolerance_mm=tolerance_mm,
        runout_mm=runout_mm,
        runout_spread_mm=runout_spread_mm,
    )
    plain_mm = depth_below_blank_mm(
        groove=groove, root_diameter_mm=root_mm, blank_diameter_mm=start_mm
    )
    division, bends, springs = settled(
        job=job, plain_mm=plain_mm, spring_passes=spring_passes, trail=trail
    )
    setting = setting_at(job.root_diameter_mm(division.depths_mm[-1]), trail)
    return _assembled(
        job=job,
        division=division,
        bends=bends,
        springs=springs,
        setting=setting,
        shift=shift,
        wanted=_Wanted(
            thread=thread,
            cutting=cutting,
            machine=machine,
            thread_length_mm=thread_length_mm,
            form_share_ratio=form_share_ratio,
            drill_point_angle_deg=drill_point_angle_deg,
            profile_points=profile_points,
        ),
        trail=trail,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wanted:
    """What the answer is put together from beside the job."""

    thread: ThreadLimits
    cutting: CuttingLimits
    machine: Machine
    thread_length_mm: float
    form_share_ratio: float | None
    drill_point_angle_deg: float | None
    profile_points: int


def _assembled(
    *,
    job: Job,
    division: Division,
    bends: list[Bend],
    springs: int,
    setting: PathSetting,
    shift: AxialShift | None,
    wanted: _Wanted,
    trail: Trail | None,
) -> PassPlan:
    depth_mm = division.depths_mm[-1]
    root_mm = job.root_diameter_mm(depth_mm)
    cuts = [
        cutting_pass(job=job, division=division, setting=setting, index=index, trail=trail)
        for index in range(division.passes)
    ]
    planned = [
        *cuts,
        *(
            spring_pass(job=job, division=division, setting=setting, number=k + 1, bends=bends)
            for k in range(springs)
        ),
    ]
    final, left = planned[-1], bends[springs]
    outward, corrected = job.groove.outward, job.given.infeed != "list"
    expected_mm = job.programmed_pitch_diameter_mm(depth_mm) + 2 * outward * (
        left.expected_mm - job.runout_mm
    )
    spread_mm = 2 * (left.half_spread_mm + job.runout_spread_mm)
    paths = tuple(setting.path(root_diameter_mm=each.root_diameter_mm) for each in cuts)
    thread, cutting = wanted.thread, wanted.cutting
    made = over_cut(
        groove=job.groove,
        cutter=job.cutter,
        root_diameter_mm=root_mm,
        corrected=corrected,
        profile_points=wanted.profile_points,
        trail=trail,
    )
    plan = PassPlan(
        side=job.groove.side,
        milling=job.cut.milling,
        blank_diameter_mm=job.blank_diameter_mm,
        pitch_diameter_aim_mm=job.groove.pitch_diameter_mm,
        root_diameter_mm=root_mm,
        expected_pitch_diameter_mm=expected_mm,
        expected_pitch_diameter_range=Range(
            max_mm=expected_mm + spread_mm, min_mm=expected_mm - spread_mm
        ),
        over_cut=made,
        deflection_correction_mm=-2 * outward * left.expected_mm if corrected else 0.0,
        runout_correction_mm=2 * outward * job.runout_mm if corrected else 0.0,
        nose=check_nose(
            thread=thread,
            groove=job.groove,
            cutter=job.cutter,
            root_diameter_mm=root_mm,
            blank_diameter_mm=job.blank_diameter_mm,
            trail=trail,
        ),
        form=check_form(
            thread=thread,
            groove=job.groove,
            cutter=job.cutter,
            over_cut=made,
            share_ratio=wanted.form_share_ratio,
            hole_diameter_mm=None if job.groove.side == "external" else job.blank_diameter_mm,
            trail=trail,
        ),
        axial_shift=shift,
        depth_mm=depth_mm,
        cutter_centre_radius_mm=final.cutter_centre_radius_mm,
        surface_speed_m_per_min=math.pi
        * job.cutter.diameter_mm
        * division.spindle_speed_rev_per_min
        / 1000,
        spindle_speed_rev_per_min=division.spindle_speed_rev_per_min,
        tool_life_min=cutting.tool_life_min,
        infeed=job.given.infeed,
        cutting_passes=division.passes,
        spring_passes=springs,
        passes=tuple(planned),
        spring_advice=spring_advice(job=job, bends=bends, planned=springs),
        limits=limit_reports(
            cut=job.cut,
            division=division,
            limits=job.limits,
            given=job.given,
            cutting=cutting,
            machine=wanted.machine,
            passes=planned,
            pass_time_s=job.pass_time_s,
        ),
        cutting_time_s=sum(each.cutting_time_s for each in planned),
        path=paths[-1],
        pass_paths=paths,
        clearances=check_clearances(
            groove=job.groove,
            cutter=job.cutter,
            root_diameter_mm=root_mm,
            blank_diameter_mm=job.blank_diameter_mm,
            heights=setting.heights,
            thread_length_mm=wanted.thread_length_mm,
            drill_point_angle_deg=wanted.drill_point_angle_deg,
            trail=trail,
        ),
        leftovers=leftovers_of(
            setting=setting,
            path=paths[-1],
            root_diameter_mm=root_mm,
            feed_per_tooth_centre_mm=division.feed_per_tooth_mm
            * job.cut.centre_feed_ratio(depth_mm),
            trail=trail,
        ),
        stiffness=job.stiffness,
    )
    if trail is not None:
        caution_slender(cutter=job.cutter, trail=trail)
        note_plan(
            plan=plan,
            thread=thread,
            limits=job.limits,
            given=job.given,
            division=division,
            cutting=cutting,
            trail=trail,
        )
    return plan
