"""Where a plan starts: the groove to make, what it is cut into, and the cutter that shapes it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.geometry.cone import Cone, check_taper_length, cone_of
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import (
    ThreadGroove,
    groove_of,
    pitch_diameter_aim_mm,
)
from threadwright_service.calc.milling.geometry.nose_fit import (
    narrowest_flat_mm,
    refuse_wide_nose,
)
from threadwright_service.calc.milling.geometry.over_cut import compensated_root_diameter_mm
from threadwright_service.calc.milling.geometry.section import tooth_profile
from threadwright_service.calc.milling.geometry.start_diameter import start_diameter_mm
from threadwright_service.calc.milling.geometry.swept_groove import swept_groove_of
from threadwright_service.calc.milling.infeed.axial_shift import AxialShift, axial_shift_of
from threadwright_service.calc.milling.infeed.division import Given
from threadwright_service.calc.milling.loads.deflection import (
    Stiffness,
    runout_shift_mm,
    stiffness,
)
from threadwright_service.calc.milling.loads.thread_cut import thread_cut
from threadwright_service.calc.milling.path.clearance import check_clearances
from threadwright_service.calc.milling.path.heights import depth_below_blank_mm
from threadwright_service.calc.milling.path.path import PathSetting, path_setting
from threadwright_service.calc.milling.plan.limits import PassLimits, pass_limits
from threadwright_service.calc.milling.plan.pass_time import PassClock
from threadwright_service.calc.milling.plan.plan_input import PlanInput
from threadwright_service.calc.milling.plan.plan_job import Job
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """The groove, the diameter it is cut into, and the depth without bend and run-out.

    ``shaping`` is the cutter of whose nose and flanks the groove is made, at all offsets together;
    ``root_diameter_mm`` is what its tip is set for.
    """

    asked: PlanInput
    groove: ThreadGroove
    diameter_mm: float
    shift: AxialShift | None
    shaping: Cutter
    root_diameter_mm: float

    @property
    def cone(self) -> Cone:
        """The cone on which the thread lies; diameters are those of its plane."""
        return cone_of(self.asked.thread)

    @property
    def depth_mm(self) -> float:
        """Depth of the groove below the blank [mm]."""
        return depth_below_blank_mm(
            groove=self.groove,
            root_diameter_mm=self.root_diameter_mm,
            blank_diameter_mm=self.diameter_mm,
        )

    def setting(self, root_diameter_mm: float, trail: Trail | None = None) -> PathSetting:
        """How the path lies, for a tip that is set for this diameter [mm]."""
        asked = self.asked
        return path_setting(
            groove=self.groove,
            hand=asked.thread.hand,
            milling=asked.milling,
            cutter=self.shaping,
            root_diameter_mm=root_diameter_mm,
            blank_diameter_mm=self.diameter_mm,
            thread_length_mm=asked.thread_length_mm,
            shoulder_distance_mm=asked.shoulder_distance_mm,
            entry_arc_radius_mm=asked.entry_arc_radius_mm,
            overlap_deg=asked.overlap_deg,
            lead_in_mm=asked.lead_in_mm,
            axial_offsets_mm=(0.0,) if self.shift is None else self.shift.offsets_mm,
            cone=self.cone,
            cutter_hand=asked.cutter_hand,
            trail=trail,
        )


def start_of(asked: PlanInput, trail: Trail | None) -> Start:
    """Where the plan starts.

    Raises
    ------
    CalcError
        If blank, hole or nose cannot give the thread.
    """
    thread, cutter = asked.thread, asked.cutter
    if thread.form.taper_ratio and cutter.profile == "full":
        raise InfeasibleError(
            f"{thread.designation} is a taper thread: the rows of a full-length cutter all stand "
            "at one radius",
            parameter="cutter_profile",
            value=cutter.profile,
            accepted="single, whose path follows the taper",
        )
    check_taper_length(thread, asked.thread_length_mm, trail=trail)
    groove = groove_of(
        thread=thread,
        pitch_diameter_mm=pitch_diameter_aim_mm(
            thread=thread, aim_ratio=asked.pitch_diameter_aim_ratio
        ),
    )
    diameter_mm = start_diameter_mm(
        thread=thread,
        blank_diameter_mm=asked.blank_diameter_mm,
        hole_diameter_mm=asked.hole_diameter_mm,
        trail=trail,
    )
    shift = None
    if asked.axial_shift:
        shift = axial_shift_of(
            thread=thread,
            groove=groove,
            cutter=cutter,
            overlap_ratio=asked.axial_overlap_share_ratio,
            trail=trail,
        )
    shaping = cutter if shift is None else shift.widened(cutter)
    # First of all: a nose wider than the groove has no depth at all, and no other fault.
    refuse_wide_nose(thread=thread, groove=groove, cutter=shaping)
    return Start(
        asked=asked,
        groove=groove,
        diameter_mm=diameter_mm,
        shift=shift,
        shaping=shaping,
        root_diameter_mm=compensated_root_diameter_mm(groove=groove, cutter=shaping, trail=trail),
    )


def job_of(start: Start, trail: Trail | None) -> Job:
    """The job with everything resolved.

    Raises
    ------
    CalcError
        If the cutter cannot make the thread. It is refused before the depth is divided: nothing
        bounds how long that would take for a depth or nose that no cut has.
    """
    asked = start.asked
    plain = start.setting(start.root_diameter_mm)
    _check_room(start, plain)
    bending = stiffness(
        cutter=asked.cutter,
        machine=asked.machine,
        thread_length_mm=asked.thread_length_mm,
        trail=trail,
    )
    tolerance_mm = asked.thread.in_millimetres().limits.pitch_diameter.tolerance or 0.0
    runout_mm, runout_spread_mm = runout_shift_mm(
        runout_mm=asked.cutter.runout_mm, teeth=asked.cutter.teeth, trail=trail
    )
    return Job(
        groove=start.groove,
        cutter=start.shaping,
        groove_tooth=tooth_profile(groove=start.groove, cutter=start.shaping),
        swept=swept_groove_of(groove=start.groove, cutter=start.shaping),
        cut=thread_cut(
            groove=start.groove,
            cutter=asked.cutter,
            material=asked.material,
            start_diameter_mm=start.diameter_mm,
            thread_length_mm=asked.thread_length_mm,
            milling=asked.milling,
        ),
        limits=_limits(asked, bending, tolerance_mm, trail),
        stiffness=bending,
        clock=PassClock(setting=plain, machine=asked.machine),
        given=_given(asked),
        blank_diameter_mm=start.diameter_mm,
        tolerance_mm=tolerance_mm,
        runout_mm=runout_mm,
        runout_spread_mm=runout_spread_mm,
    )


def _check_room(start: Start, plain: PathSetting) -> None:
    """Refuse a cutter without room; where a narrow nose makes the groove so deep, blame that."""
    try:
        check_clearances(
            groove=start.groove,
            cutter=start.shaping,
            root_diameter_mm=start.root_diameter_mm,
            blank_diameter_mm=start.diameter_mm,
            heights=plain.heights,
            cone=start.cone,
        )
    except InfeasibleError as refused:
        thread, flat_mm = start.asked.thread, start.shaping.nose_flat_mm
        least_mm = narrowest_flat_mm(thread, start.groove, start.shaping)
        is_of_the_depth = refused.parameter in ("cutter_neck_diameter", "cutter_diameter")
        if not is_of_the_depth or flat_mm is None or flat_mm >= least_mm:
            raise
        raise InfeasibleError(
            f"a nose of {flat_mm:.4g} mm is too narrow for {thread.designation}: to make the pitch "
            f"diameter it goes {start.depth_mm:.4g} mm deep, beyond the limit of the root, and "
            f"{refused.detail}",
            parameter="cutter_nose_flat",
            value=flat_mm,
            accepted=f"at least {math.ceil(least_mm * 100) / 100:g} mm, or axial_shift true, which "
            "cuts several times beside each other",
        ) from None


def _limits(
    asked: PlanInput, bending: Stiffness, tolerance_mm: float, trail: Trail | None
) -> PassLimits:
    return pass_limits(
        cutting=asked.cutting,
        cutter=asked.cutter,
        machine=asked.machine,
        material=asked.material,
        stiffness=bending,
        pitch_diameter_tolerance_mm=tolerance_mm,
        deflection_share_ratio=asked.deflection_share_ratio,
        surface_speed_m_per_min=asked.surface_speed_m_per_min,
        depth_of_a_pass_mm=asked.depth_of_a_pass_mm,
        last_pass_depth_min_mm=asked.last_pass_depth_min_mm,
        trail=trail,
    )


def _given(asked: PlanInput) -> Given:
    return Given(
        passes=asked.passes,
        feed_per_tooth_mm=asked.feed_per_tooth_mm,
        keeps_speed=asked.surface_speed_m_per_min is not None,
        infeed=asked.infeed,
        infeed_ratio=asked.infeed_ratio,
        infeed_depths_mm=asked.infeed_depths_mm,
        first_pass_share_ratio=asked.first_pass_share_ratio,
    )
