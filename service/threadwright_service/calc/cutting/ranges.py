"""Numbers that no cut has: refused before anything is computed with them.

These are bounds of sense, far outside any workshop, so that the formulas stay within floating
point. Bounds of data are the business of each table.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Final

from threadwright_service.calc.cutting.case import (
    CuttingTool,
    Engagement,
    Reference,
    Running,
    Wanted,
)
from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Machine

Bounds = tuple[float, float, str]
Check = tuple[str, float | None, Bounds]

LENGTH_MM: Final = (1e-4, 1e5, "mm")
LENGTH_OR_NONE_MM: Final = (0.0, 1e5, "mm")
SURFACE_SPEED_M_PER_MIN: Final = (1e-3, 1e5, "m/min")
SPINDLE_SPEED_REV_PER_MIN: Final = (1e-3, 1e6, "rev/min")
FEED_RATE_MM_PER_MIN: Final = (1e-4, 1e7, "mm/min")
LIFE_MIN: Final = (1e-2, 1e6, "min")
HARDNESS_HB: Final = (1.0, 2000.0, "HB")
TEETH: Final = (1, 1000, "teeth")
POWER_KW: Final = (1e-4, 1e5, "kW")


def check_tool(tool: CuttingTool) -> None:
    """Refuse a tool that cannot be.

    Raises
    ------
    OutOfRangeError
        If a length is not above zero, or beyond any workshop.
    """
    _refuse_outside(
        (
            ("cutter_diameter", tool.diameter_mm, LENGTH_MM),
            ("cutter_teeth", tool.teeth, TEETH),
            ("cutter_stick_out", tool.stick_out_mm, LENGTH_MM),
            ("cutter_shank_diameter", tool.shank_diameter_mm, LENGTH_MM),
            ("cutter_neck_diameter", tool.neck_diameter_mm, LENGTH_MM),
            ("cutter_neck_length", tool.neck_length_mm, LENGTH_OR_NONE_MM),
            ("cutter_nose_flat", tool.nose_flat_mm, LENGTH_OR_NONE_MM),
            ("cutter_nose_radius", tool.nose_radius_mm, LENGTH_OR_NONE_MM),
            ("runout", tool.runout_mm, LENGTH_OR_NONE_MM),
        )
    )


def check_engagement(engagement: Engagement) -> None:
    """Refuse an engagement that cannot be.

    Raises
    ------
    OutOfRangeError
        If a length is not above zero, or beyond any workshop.
    """
    _refuse_outside(
        (
            ("radial_width", engagement.radial_width_mm, LENGTH_MM),
            ("axial_depth", engagement.axial_depth_mm, LENGTH_MM),
            ("profile_depth", engagement.profile_depth_mm, LENGTH_MM),
            ("made_diameter", engagement.made_diameter_mm, LENGTH_MM),
            ("pitch", engagement.pitch_mm, LENGTH_MM),
            ("lead", engagement.lead_mm, LENGTH_MM),
        )
    )


def check_condition(
    reference: Reference | None, running: Running | None, wanted: Wanted, machine: Machine
) -> None:
    """Refuse speeds, feeds and limits that cannot be.

    Raises
    ------
    OutOfRangeError
        If one is not above zero, or beyond any workshop.
    """
    _refuse_outside(
        (
            ("surface_speed", wanted.surface_speed_m_per_min, SURFACE_SPEED_M_PER_MIN),
            ("feed_per_tooth", wanted.feed_per_tooth_mm, LENGTH_MM),
            ("tool_life_min", wanted.tool_life_min, LIFE_MIN),
            ("deflection_limit", wanted.deflection_limit_mm, LENGTH_MM),
            (
                "spindle_speed_max",
                machine.spindle_speed_max_rev_per_min,
                SPINDLE_SPEED_REV_PER_MIN,
            ),
            ("feed_rate_max", machine.feed_rate_max_mm_per_min, FEED_RATE_MM_PER_MIN),
            ("spindle_power_kw", machine.spindle_power_kw, POWER_KW),
        )
    )
    if running is not None:
        _refuse_outside(
            (
                ("spindle_speed", running.spindle_speed_rev_per_min, SPINDLE_SPEED_REV_PER_MIN),
                ("feed_rate", running.feed_rate_mm_per_min, FEED_RATE_MM_PER_MIN),
            )
        )
    if reference is not None:
        _refuse_outside(_of_reference(reference))


def _of_reference(reference: Reference) -> Iterable[Check]:
    return (
        (
            "reference_surface_speed",
            reference.surface_speed_m_per_min,
            SURFACE_SPEED_M_PER_MIN,
        ),
        ("reference_feed_per_tooth", reference.feed_per_tooth_mm, LENGTH_MM),
        ("reference_hardness", reference.hardness_hb, HARDNESS_HB),
        ("reference_diameter", reference.diameter_mm, LENGTH_MM),
        ("reference_teeth", reference.teeth, TEETH),
        ("reference_radial_width", reference.radial_width_mm, LENGTH_MM),
        ("reference_stick_out", reference.stick_out_mm, LENGTH_MM),
        ("reference_shank_diameter", reference.shank_diameter_mm, LENGTH_MM),
        ("reference_tool_life_min", reference.tool_life_min, LIFE_MIN),
    )


def _refuse_outside(checks: Iterable[Check]) -> None:
    for parameter, value, (least, most, unit) in checks:
        if value is not None and not (math.isfinite(value) and least <= value <= most):
            raise OutOfRangeError(
                f"{parameter} is {value:g} {unit}; a cut has {least:g} {unit} to {most:g} {unit}",
                parameter=parameter,
                value=value,
                accepted=f"{least:g} {unit} to {most:g} {unit}",
            )
