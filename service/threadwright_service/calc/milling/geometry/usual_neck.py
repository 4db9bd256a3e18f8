"""The neck of a thread mill where the caller tells none: the stoutest that lets the teeth cut."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import groove_of, pitch_diameter_aim_mm
from threadwright_service.calc.milling.geometry.over_cut import compensated_root_diameter_mm
from threadwright_service.calc.milling.infeed.axial_shift import axial_shift_of
from threadwright_service.calc.milling.path.heights import depth_below_blank_mm
from threadwright_service.calc.threads.thread import ThreadLimits

USUAL_CLEARANCE_MM: Final = 0.2
THINNEST_RATIO: Final = 0.3


def stoutest_neck_mm(
    *,
    thread: ThreadLimits,
    cutter: Cutter,
    start_diameter_mm: float,
    pitch_diameter_aim_ratio: float = 0.5,
    axial_shift: bool = False,
    axial_overlap_share_ratio: float | None = None,
) -> float:
    """Diameter of the stoutest neck that clears the crests by 0.2 mm at full depth [mm].

    Parameters
    ----------
    cutter : Cutter
        Diameter, angle and nose count.
    start_diameter_mm : float
        Blank outside, hole inside [mm].
    pitch_diameter_aim_ratio, axial_shift, axial_overlap_share_ratio
        As for the plan.

    Raises
    ------
    InfeasibleError
        If the cutter cannot make the thread whatever its neck.
    MissingInputError, OutOfRangeError
        As the plan would.

    Notes
    -----
    Source: derivation; not thinner than 0.3 of the cutter, which the plan then judges.
    """
    aim_mm = pitch_diameter_aim_mm(thread=thread, aim_ratio=pitch_diameter_aim_ratio)
    groove = groove_of(thread=thread, pitch_diameter_mm=aim_mm)
    if axial_shift:
        shift = axial_shift_of(
            thread=thread, groove=groove, cutter=cutter, overlap_ratio=axial_overlap_share_ratio
        )
        cutter = replace(cutter, nose_flat_mm=shift.groove_flat_mm)
    depth_mm = depth_below_blank_mm(
        groove=groove,
        root_diameter_mm=compensated_root_diameter_mm(groove=groove, cutter=cutter),
        blank_diameter_mm=start_diameter_mm,
    )
    stoutest_mm = cutter.diameter_mm - 2 * (depth_mm + USUAL_CLEARANCE_MM)
    return max(stoutest_mm, THINNEST_RATIO * cutter.diameter_mm)
