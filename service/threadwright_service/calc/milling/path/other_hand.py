"""The path of the other hand: a lot in pairs of right and left hand has one plan and two paths."""

from __future__ import annotations

from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import groove_of
from threadwright_service.calc.milling.path.clearance import check_clearances
from threadwright_service.calc.milling.path.path import CentrePath, path_setting
from threadwright_service.calc.milling.plan.plan_record import PassPlan
from threadwright_service.calc.threads.thread import Hand, ThreadLimits


def path_of_hand(
    *,
    plan: PassPlan,
    thread: ThreadLimits,
    hand: Hand,
    cutter: Cutter,
    thread_length_mm: float,
    shoulder_distance_mm: float | None = None,
    entry_arc_radius_mm: float | None = None,
    overlap_deg: float | None = None,
    lead_in_mm: float | None = None,
    cutter_hand: Hand = "right",
) -> CentrePath:
    """The path of the last pass of a plan for a thread of a given hand.

    Parameters
    ----------
    plan : PassPlan
        The plan, of either hand: load, depths and sizes are those of both.
    thread, cutter
        As for the plan; the thread's own hand does not count.
    hand : "right" or "left"
        The hand wanted.
    thread_length_mm, shoulder_distance_mm, entry_arc_radius_mm, lead_in_mm : float
        As for the plan [mm].
    overlap_deg : float
        As for the plan [deg].
    cutter_hand : "right" or "left"
        Hand of the cutter.

    Raises
    ------
    InfeasibleError
        If the cutter has no room on this path.

    Notes
    -----
    Source: derivation; the mirrored helix has the mirrored loads.
    """
    shift = plan.axial_shift
    if shift is not None:
        cutter = shift.widened(cutter)
    groove = groove_of(thread=thread, pitch_diameter_mm=plan.pitch_diameter_aim_mm)
    setting = path_setting(
        groove=groove,
        hand=hand,
        milling=plan.milling,
        cutter=cutter,
        root_diameter_mm=plan.root_diameter_mm,
        blank_diameter_mm=plan.blank_diameter_mm,
        thread_length_mm=thread_length_mm,
        shoulder_distance_mm=shoulder_distance_mm,
        entry_arc_radius_mm=entry_arc_radius_mm,
        overlap_deg=overlap_deg,
        lead_in_mm=lead_in_mm,
        axial_offsets_mm=plan.path.axial_offsets_mm,
        cutter_hand=cutter_hand,
    )
    check_clearances(
        groove=groove,
        cutter=cutter,
        root_diameter_mm=plan.root_diameter_mm,
        blank_diameter_mm=plan.blank_diameter_mm,
        heights=setting.heights,
    )
    return setting.path(root_diameter_mm=plan.root_diameter_mm)
