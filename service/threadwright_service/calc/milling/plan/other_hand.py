"""The path of the other hand: a lot in pairs of right and left hand has one plan and two paths."""

from __future__ import annotations

from dataclasses import replace

from threadwright_service.calc.milling.geometry.groove import groove_of
from threadwright_service.calc.milling.path.clearance import check_clearances
from threadwright_service.calc.milling.path.path_elements import CentrePath
from threadwright_service.calc.milling.plan.plan_input import PlanInput
from threadwright_service.calc.milling.plan.plan_record import PassPlan
from threadwright_service.calc.milling.plan.plan_start import Start
from threadwright_service.calc.threads.thread import Hand


def path_of_hand(asked: PlanInput, *, plan: PassPlan, hand: Hand) -> CentrePath:
    """The path of the last pass of a plan for a thread of a given hand.

    Parameters
    ----------
    asked : PlanInput
        What the plan was made for; its thread's own hand does not count.
    plan : PassPlan
        The plan, of either hand: load, depths and sizes are those of both.
    hand : "right" or "left"
        The hand wanted.

    Raises
    ------
    InfeasibleError
        If the cutter has no room on this path.

    Notes
    -----
    Source: derivation; the mirrored helix has the mirrored loads.
    """
    shift = plan.axial_shift
    start = Start(
        asked=replace(asked, thread=replace(asked.thread, hand=hand)),
        groove=groove_of(thread=asked.thread, pitch_diameter_mm=plan.pitch_diameter_aim_mm),
        diameter_mm=plan.blank_diameter_mm,
        shift=shift,
        shaping=asked.cutter if shift is None else shift.widened(asked.cutter),
        root_diameter_mm=plan.root_diameter_mm,
    )
    setting = start.setting(plan.root_diameter_mm)
    check_clearances(
        groove=start.groove,
        cutter=start.shaping,
        root_diameter_mm=plan.root_diameter_mm,
        blank_diameter_mm=plan.blank_diameter_mm,
        heights=setting.heights,
        cone=start.cone,
    )
    return setting.path(root_diameter_mm=plan.root_diameter_mm)
