"""Toleranced threads put together by hand from published limits, for tests of what consumes them.

M10-6g and M10-6H: ISO 965-2; M24x1.5-6g: ISO 965 rules; 3/4-10 UNC-2A: ASME B1.1; Acme and stub
Acme: ASME B1.5 and B1.8 basic sizes; NPT 1/2: ASME B1.20.1 E1. Values as handbooks print them.
"""

from __future__ import annotations

import math

from threadwright_service.calc.threads.thread import (
    NO_LIMIT,
    DiameterLimits,
    Diameters,
    LengthUnit,
    Side,
    Span,
    ThreadForm,
    ThreadLimits,
)

H = math.sqrt(3) / 2

ISO_FORM = ThreadForm(
    name="60 degree ISO",
    pressure_flank_angle_deg=30.0,
    clearance_flank_angle_deg=30.0,
    addendum_ratio=3 * H / 8,
    dedendum_ratio=H / 4,
    external_root_ratio=H / 4 + H / 8,
    internal_root_ratio=3 * H / 8,
    external_root_flat_ratio=1 / 8,
    internal_root_flat_ratio=1 / 8,
)
WHITWORTH_FORM = ThreadForm(
    name="Whitworth",
    pressure_flank_angle_deg=27.5,
    clearance_flank_angle_deg=27.5,
    addendum_ratio=0.3201635,
    dedendum_ratio=0.3201635,
    external_root_ratio=0.3201635,
    internal_root_ratio=0.3201635,
    external_root_flat_ratio=0.0,
    internal_root_flat_ratio=0.0,
)


def trapezoid(half_deg: float, height: float, name: str) -> ThreadForm:
    """A flat-crested form whose crest and basic root stand ``height`` / 2 off the pitch line."""
    flat = 0.5 - height * math.tan(math.radians(half_deg))
    return ThreadForm(
        name=name,
        pressure_flank_angle_deg=half_deg,
        clearance_flank_angle_deg=half_deg,
        addendum_ratio=height / 2,
        dedendum_ratio=height / 2,
        external_root_ratio=height / 2,
        internal_root_ratio=height / 2,
        external_root_flat_ratio=flat,
        internal_root_flat_ratio=flat,
    )


def thread(
    *,
    designation: str,
    form: ThreadForm,
    major: float,
    pitch_diameter: float,
    minor: float,
    pitch: float,
    limits: tuple[tuple[float | None, float | None], ...],
    side: Side = "external",
    unit: LengthUnit = "mm",
    starts: int = 1,
    allowance: float = 0.0,
    family: str = "iso-metric",
    tolerance_class: str = "6g",
) -> ThreadLimits:
    """A record with limits as (max, min) of major, pitch and minor diameter."""
    spans = [Span(max=high, min=low) for high, low in limits]
    return ThreadLimits(
        designation=designation,
        family=family,
        standard="put together for a test",
        unit=unit,
        side=side,
        hand="right",
        starts=starts,
        series="",
        tolerance_class=tolerance_class,
        nominal_diameter=major,
        pitch=pitch,
        lead=pitch * starts,
        threads_per_inch=1 / pitch if unit == "in" else None,
        lead_angle_deg=math.degrees(math.atan(pitch * starts / (math.pi * pitch_diameter))),
        form=form,
        basic=Diameters(major_diameter=major, pitch_diameter=pitch_diameter, minor_diameter=minor),
        allowance=allowance,
        limits=DiameterLimits(
            major_diameter=spans[0], pitch_diameter=spans[1], minor_diameter=spans[2]
        ),
        root_radius=NO_LIMIT,
        rounding_rule="as printed",
        basis="published",
    )


def m10_6g() -> ThreadLimits:
    """M10-6g: 9.968/9.732, 8.994/8.862, es -32."""
    return thread(
        designation="M10-6g",
        form=ISO_FORM,
        major=10.0,
        pitch_diameter=9.026,
        minor=8.376,
        pitch=1.5,
        limits=((9.968, 9.732), (8.994, 8.862), (None, None)),
        allowance=0.032,
    )


def m10_6h() -> ThreadLimits:
    """M10-6H: 9.206/9.026, 8.676/8.376."""
    return thread(
        designation="M10-6H",
        form=ISO_FORM,
        major=10.0,
        pitch_diameter=9.026,
        minor=8.376,
        pitch=1.5,
        limits=((None, 10.0), (9.206, 9.026), (8.676, 8.376)),
        side="internal",
        tolerance_class="6H",
    )


def unc_3_4_2a() -> ThreadLimits:
    """3/4-10 UNC-2A: 0.7482/0.7353, 0.6832/0.6773, allowance 0.0018 in."""
    return thread(
        designation="3/4-10 UNC-2A",
        form=ISO_FORM,
        major=0.75,
        pitch_diameter=0.6850,
        minor=0.6417,
        pitch=0.1,
        limits=((0.7482, 0.7353), (0.6832, 0.6773), (None, None)),
        unit="in",
        allowance=0.0018,
        family="unified",
        tolerance_class="2A",
    )


def stub_acme_3_2() -> ThreadLimits:
    """3-2 Stub Acme-2G by its basic sizes: E 2.85, K 2.70 in; minor 0.020 in below K.

    Pitch diameter 0.0139 in below basic, tolerance by the Acme formula.
    """
    return thread(
        designation="3-2 Stub Acme-2G",
        form=trapezoid(14.5, 0.3, "stub Acme 29 degree"),
        major=3.0,
        pitch_diameter=2.85,
        minor=2.70,
        pitch=0.5,
        limits=((3.0, 2.975), (2.836, 2.804), (2.68, 2.632)),
        unit="in",
        family="stub-acme",
        tolerance_class="2G",
    )
