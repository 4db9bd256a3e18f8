"""A 60° thread with given limits, put together by hand: tests then need no standard's module."""

from __future__ import annotations

import math

from threadwright_service.calc.threads.thread import (
    DiameterLimits,
    Diameters,
    LengthUnit,
    Side,
    Span,
    ThreadForm,
    ThreadLimits,
)

_HEIGHT = math.sqrt(3) / 2

SIXTY_DEGREES = ThreadForm(
    name="60 degree, flat crest P/8",
    pressure_flank_angle_deg=30.0,
    clearance_flank_angle_deg=30.0,
    addendum_ratio=3 / 8 * _HEIGHT,
    dedendum_ratio=1 / 4 * _HEIGHT,
    external_root_ratio=1 / 4 * _HEIGHT,
    internal_root_ratio=3 / 8 * _HEIGHT,
    external_root_flat_ratio=1 / 4,
    internal_root_flat_ratio=1 / 8,
)


def sixty_degree_thread(
    *,
    designation: str,
    side: Side,
    diameter: float,
    pitch: float,
    pitch_limits: tuple[float, float],
    minor_limits: tuple[float, float] | None = None,
    unit: LengthUnit = "mm",
    form: ThreadForm = SIXTY_DEGREES,
) -> ThreadLimits:
    """A single-start thread; limits as (smallest, largest)."""
    pitch_diameter = diameter - 3 / 4 * _HEIGHT * pitch
    return ThreadLimits(
        designation=designation,
        family="by hand",
        standard="by hand",
        unit=unit,
        side=side,
        hand="right",
        starts=1,
        series="",
        tolerance_class=designation.rpartition("-")[2],
        nominal_diameter=diameter,
        pitch=pitch,
        lead=pitch,
        threads_per_inch=1 / pitch if unit == "in" else None,
        lead_angle_deg=math.degrees(math.atan(pitch / (math.pi * pitch_diameter))),
        form=form,
        basic=Diameters(
            major_diameter=diameter,
            pitch_diameter=pitch_diameter,
            minor_diameter=diameter - 5 / 4 * _HEIGHT * pitch,
        ),
        allowance=0.0,
        limits=DiameterLimits(
            major_diameter=Span(max=None, min=None),
            pitch_diameter=Span(min=pitch_limits[0], max=pitch_limits[1]),
            minor_diameter=Span(min=minor_limits[0], max=minor_limits[1])
            if minor_limits
            else Span(max=None, min=None),
        ),
        rounding_rule="none",
        basis="by hand",
    )
