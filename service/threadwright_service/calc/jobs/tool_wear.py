"""Whether the thread's cutter lasts the lot, where the caller gave no life of his own."""

from __future__ import annotations

import math
from typing import Final

from threadwright_service.calc.cutting.result import CuttingData
from threadwright_service.calc.times.cycle_time import CycleTime
from threadwright_service.calc.trail import Formula, Trail

MINUTES: Final = Formula(
    "minutes that the cutter is in the parts of the lot",
    "u",
    "N_s * t_c / 60",
    "N_s t_c",
    unit="min",
    source="derivation",
)


def note_wear(*, cutting: CuttingData, time: CycleTime, tool: str, trail: Trail) -> None:
    """Say how many cutters a lot wears by the life that its cutting data expect.

    Parameters
    ----------
    cutting : CuttingData
        Of the last cutting pass.
    time : CycleTime
        The lot; nothing is said where it counts a life of the tool already.
    tool : str
        Name of the thread's tool in the operations.
    trail : Trail
        Takes the caution.

    Notes
    -----
    Source: derivation; trial cuts are left out. The life is as wide as its band.
    """
    life_min = cutting.tool_life_min
    if life_min is None or any(each.name == tool and each.life_min for each in time.lot.tools):
        return
    minutes = MINUTES(trail, time.lot.parts_started_ratio, time.part.tool(tool).cutting_time_s)
    if minutes <= life_min:
        return
    band = cutting.tool_life_band
    told = "" if band is None else f" ({band.low_min:.0f} to {band.high_min:.0f})"
    trail.caution(
        "cutter-wears-out",
        f"The cutting data expect the edge to last about {life_min:.0f} min{told}, and the "
        f"lot's parts cut the thread for {minutes:.0f} min, trial cuts apart: about "
        f"{math.ceil(minutes / life_min)} cutters. "
        "Without tool_life_min the lot counts no worn cutter and no time to change one.",
    )
