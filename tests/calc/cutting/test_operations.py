"""Chip, force, power of each operation against independent models.

With m = 0 the specific force is a constant, and power is that constant times the volume removed in
a time, which needs no arc at all: the volume is a slab, an annulus, a cylinder or a thread groove.
Forces with m > 0 are checked against plain sums over a fine grid.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from threadwright_service.calc.cutting.case import CuttingTool, Engagement
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.cutting.materials import find_material
from threadwright_service.calc.cutting.operations.arc import arc_of, straight_arc
from threadwright_service.calc.cutting.operations.chamfering import effective_diameter_mm
from threadwright_service.calc.cutting.operations.load import Cut
from threadwright_service.calc.cutting.operations.mechanics import mechanics_of
from threadwright_service.calc.errors import (
    CalcError,
    InfeasibleError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.trail import Trail

STEEL = find_material(name="4140", hardness=300, hardness_scale="HB")
CONSTANT = replace(STEEL, force_exponent_ratio=0.0, specific_force_mpa=2000.0)
MILL = CuttingTool(diameter_mm=10, teeth=4)
THREAD_MILL = CuttingTool(diameter_mm=16, teeth=5, included_angle_deg=60, nose_flat_mm=0.1)


def _cut(tool: CuttingTool, material: WorkMaterial = STEEL, **engagement: object) -> Cut:
    return Cut(tool=tool, engagement=Engagement(**engagement), material=material)  # type: ignore[arg-type]


# --- engagement ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("side", "made_mm", "angle_deg"),
    [("external", 18.0, 22.52), (None, None, 25.84), ("internal", 18.0, 31.52)],
)
def test_engagement_outside_straight_inside(
    side: str | None, made_mm: float | None, angle_deg: float
) -> None:
    """Derived by the law of cosines, made radius 9, layer 0.3, cutter radius 3."""
    cut = _cut(
        CuttingTool(diameter_mm=6, teeth=3),
        radial_width_mm=0.3,
        side=side,
        made_diameter_mm=made_mm,
    )
    assert arc_of(cut).engagement_deg == pytest.approx(angle_deg, abs=0.005)


@given(diameter_mm=st.floats(2, 20), share=st.floats(0.001, 0.999), feed_mm=st.floats(0.001, 0.2))
def test_straight_chip_is_the_chord_of_the_arc(
    diameter_mm: float, share: float, feed_mm: float
) -> None:
    """Derived: the tooth enters where the wall, ae off the tangent, cuts the circle of the tip."""
    width_mm = share * diameter_mm
    mechanics = mechanics_of(
        "side-milling",
        _cut(
            CuttingTool(diameter_mm=diameter_mm, teeth=2),
            radial_width_mm=width_mm,
            axial_depth_mm=1,
        ),
    )
    half_chord_mm = math.sqrt(width_mm * (diameter_mm - width_mm))
    sine = half_chord_mm / (diameter_mm / 2) if width_mm < diameter_mm / 2 else 1.0
    load = mechanics.load(feed_mm)
    assert load.chip_thickness_max_mm == pytest.approx(feed_mm * sine, rel=1e-6)
    assert load.chip_thickness_mean_mm < load.chip_thickness_max_mm * (1 + 1e-12)


@given(
    made_mm=st.floats(12, 60),
    width_mm=st.floats(0.05, 2),
    side=st.sampled_from(["external", "internal"]),
)
def test_centre_feed_is_that_of_a_point_on_the_same_spoke(
    made_mm: float, width_mm: float, side: str
) -> None:
    """Published rule of the trade: F (D + d)/D outside, F (D − d)/D inside, D the made diameter."""
    cut = _cut(
        MILL, radial_width_mm=width_mm, axial_depth_mm=5, side=side, made_diameter_mm=made_mm
    )
    mechanics = mechanics_of("side-milling", cut)
    sign = 1 if side == "external" else -1
    assert mechanics.centre_feed_ratio == pytest.approx((made_mm + sign * 10) / made_mm)


# --- power against volume -----------------------------------------------------------------------


@given(
    width=st.floats(0.01, 0.99),
    depth_mm=st.floats(0.5, 20),
    feed_mm=st.floats(0.005, 0.2),
    teeth=st.integers(1, 8),
    helix_deg=st.sampled_from([None, 0.0, 30.0, 45.0]),
)
def test_power_of_a_straight_cut_is_the_slab(
    width: float, depth_mm: float, feed_mm: float, teeth: int, helix_deg: float | None
) -> None:
    """Derived: P = kc · ae · ap · vf; with vc = π D n the mean force is kc ae ap z fz/(π D)."""
    tool = CuttingTool(diameter_mm=10, teeth=teeth, helix_angle_deg=helix_deg)
    cut = _cut(tool, CONSTANT, radial_width_mm=10 * width, axial_depth_mm=depth_mm)
    load = mechanics_of("side-milling", cut).load(feed_mm)
    slab_n = 2000 * 10 * width * depth_mm * teeth * feed_mm / (math.pi * 10)
    assert load.tangential_force_mean_n == pytest.approx(slab_n, rel=1e-4)
    assert load.tangential_force_n >= load.tangential_force_mean_n * (1 - 2e-3)


@given(
    made_mm=st.floats(14, 50),
    width_mm=st.floats(0.05, 1.5),
    feed_mm=st.floats(0.005, 0.1),
    side=st.sampled_from(["external", "internal"]),
)
def test_power_on_a_circle_is_the_annulus(
    made_mm: float, width_mm: float, feed_mm: float, side: str
) -> None:
    """Derived: one turn of the path removes π |Ra² − Rf²| ap; it takes 2π Rf/(z fz) revolutions."""
    sign = 1 if side == "external" else -1
    cut = _cut(
        MILL,
        CONSTANT,
        radial_width_mm=width_mm,
        axial_depth_mm=3,
        side=side,
        made_diameter_mm=made_mm,
    )
    load = mechanics_of("side-milling", cut).load(feed_mm)
    before_mm = made_mm / 2 + sign * width_mm
    volume_mm3 = math.pi * abs(before_mm**2 - (made_mm / 2) ** 2) * 3
    revolutions = math.pi * made_mm / (4 * feed_mm)
    work_nmm = 2000 * volume_mm3
    assert load.tangential_force_mean_n == pytest.approx(
        work_nmm / (revolutions * math.pi * 10), rel=1e-4
    )


@pytest.mark.parametrize(("depth_mm", "tolerance"), [(0.05, 0.005), (0.2, 0.02), (1.0, 0.07)])
@pytest.mark.parametrize("side", ["external", "internal"])
def test_power_of_a_thread_is_the_groove(side: str, depth_mm: float, tolerance: float) -> None:
    """Derived: section w t + t² tan 30° swept once round at its centroid's radius (Pappus).

    The force acts at the tip in the model, on the flank a little inside of it: the difference
    goes with depth over cutter radius.
    """
    made_mm = 30.0
    cut = _cut(
        THREAD_MILL,
        CONSTANT,
        radial_width_mm=depth_mm,
        side=side,
        made_diameter_mm=made_mm,
    )
    feed_mm = 0.05
    load = mechanics_of("thread-milling", cut).load(feed_mm)
    sign = 1 if side == "external" else -1
    slices = 2000
    volume_mm3 = 0.0
    for index in range(slices):
        at_mm = (index + 0.5) * depth_mm / slices
        half_width_mm = 0.05 + at_mm * math.tan(math.radians(30))
        radius_mm = made_mm / 2 + sign * at_mm
        volume_mm3 += 2 * half_width_mm * 2 * math.pi * radius_mm * depth_mm / slices
    revolutions = math.pi * made_mm / (5 * feed_mm)
    expected_n = 2000 * volume_mm3 / (revolutions * math.pi * 16)
    assert load.tangential_force_mean_n == pytest.approx(expected_n, rel=tolerance)


def test_power_of_a_drill_is_the_cylinder() -> None:
    """Derived: π/4 D² f each revolution, so torque D² f kc/8 — the textbook's formula."""
    tool = CuttingTool(diameter_mm=10, teeth=2, included_angle_deg=118)
    load = mechanics_of("drilling", _cut(tool, CONSTANT)).load(0.1)
    torque_nmm = load.tangential_force_mean_n * 10 / 2
    assert torque_nmm == pytest.approx(10**2 * 0.2 * 2000 / 8)


def test_power_of_a_turned_thread_is_the_section() -> None:
    """Derived: the first pass of a sharp 60° tool takes x² tan 30° whatever the diameter."""
    tool = CuttingTool(diameter_mm=30, teeth=1, included_angle_deg=60)
    cut = _cut(tool, CONSTANT, radial_width_mm=0.3, pitch_mm=2)
    load = mechanics_of("single-point-threading", cut).load(2.0)
    # Both flanks cut with x sin 30 over x/cos 30 of edge: twice the triangle, an upper bound.
    assert load.tangential_force_n == pytest.approx(2000 * 2 * 0.3**2 * math.tan(math.radians(30)))


def test_chamfer_force_bounds_the_triangle() -> None:
    """Derived: the true section of a 45° chamfer is c²/2; the whole edge is an upper bound of 2."""
    tool = CuttingTool(diameter_mm=8, teeth=4, included_angle_deg=90)
    cut = _cut(tool, CONSTANT, radial_width_mm=0.5)
    load = mechanics_of("chamfering", cut).load(0.04)
    # The triangle swept along a straight edge, mean over a revolution.
    triangle_n = 2000 * 0.5 * 0.5 / 2 * 4 * 0.04 / (math.pi * 8)
    assert triangle_n < load.tangential_force_mean_n < 2.05 * triangle_n


# --- peak force against a plain sum ---------------------------------------------------------------


def _peak_by_grid(
    *,
    radius_mm: float,
    width_mm: float,
    depth_mm: float,
    helix_deg: float,
    teeth: int,
    feed_mm: float,
) -> float:
    """Tangential force by summing thin discs of the mill at each angle: no integral, no formula."""
    exit_rad = math.acos(1 - width_mm / radius_mm)
    power = 1 - STEEL.force_exponent_ratio
    discs = 200
    lags = [
        depth_mm * (disc + 0.5) / discs * math.tan(math.radians(helix_deg)) / radius_mm
        for disc in range(discs)
    ]
    best = 0.0
    for turn in range(720):
        force_n = 0.0
        for tooth in range(teeth):
            for lag in lags:
                angle = (math.radians(turn / 2) + tooth * 2 * math.pi / teeth - lag) % (2 * math.pi)
                if angle <= exit_rad:
                    chip_mm = feed_mm * math.sin(angle)
                    force_n += STEEL.specific_force_mpa * depth_mm / discs * chip_mm**power
        best = max(best, force_n)
    return best


@pytest.mark.parametrize("helix_deg", [0.0, 30.0, 60.0])
@pytest.mark.parametrize(("width_mm", "teeth"), [(0.4, 4), (4.0, 6), (9.0, 3)])
def test_peak_force_of_side_milling(width_mm: float, teeth: int, helix_deg: float) -> None:
    tool = CuttingTool(diameter_mm=10, teeth=teeth, helix_angle_deg=helix_deg)
    cut = _cut(tool, radial_width_mm=width_mm, axial_depth_mm=6)
    found = mechanics_of("side-milling", cut).load(0.05).tangential_force_n
    summed = _peak_by_grid(
        radius_mm=5, width_mm=width_mm, depth_mm=6, helix_deg=helix_deg, teeth=teeth, feed_mm=0.05
    )
    assert found == pytest.approx(summed, rel=0.02)


@pytest.mark.parametrize("exponent", [0.0, 0.14, 0.3])
@pytest.mark.parametrize("width_mm", [0.2, 5.0, 9.0])
def test_mean_force_of_side_milling(width_mm: float, exponent: float) -> None:
    """Against a plain midpoint sum over the arc."""
    material = replace(STEEL, force_exponent_ratio=exponent)
    cut = _cut(MILL, material, radial_width_mm=width_mm, axial_depth_mm=2)
    found = mechanics_of("side-milling", cut).load(0.08).tangential_force_mean_n
    exit_rad, slices = math.acos(1 - width_mm / 5), 200_000
    total = sum(
        math.sin((index + 0.5) * exit_rad / slices) ** (1 - exponent) for index in range(slices)
    )
    expected_n = (
        material.specific_force_mpa * 2 * 0.08 ** (1 - exponent) * total * exit_rad / slices
    ) * (4 / (2 * math.pi))
    assert found == pytest.approx(expected_n, rel=1e-4)


@given(step_mm=st.floats(0, 0.05), feed_mm=st.floats(0.005, 0.1))
@settings(max_examples=30)
def test_runout_never_thins_the_largest_chip(step_mm: float, feed_mm: float) -> None:
    even = mechanics_of("side-milling", _cut(MILL, radial_width_mm=1, axial_depth_mm=2))
    uneven = mechanics_of(
        "side-milling",
        _cut(replace(MILL, runout_mm=step_mm), radial_width_mm=1, axial_depth_mm=2),
    )
    plain, worst = even.load(feed_mm), uneven.load(feed_mm)
    assert plain.chip_thickness_max_mm <= worst.chip_thickness_max_mm
    assert worst.chip_thickness_max_mm <= 4 * plain.chip_thickness_max_mm * (1 + 1e-12)
    assert worst.tangential_force_mean_n == plain.tangential_force_mean_n


def test_full_profile_mill_loads_every_row() -> None:
    """Derived: ten pitches in the work at once carry ten times the force of one."""
    one = _cut(THREAD_MILL, radial_width_mm=0.9, side="external", made_diameter_mm=22, pitch_mm=1.5)
    ten = replace(one, engagement=replace(one.engagement, axial_depth_mm=15.0))
    single, full = (mechanics_of("thread-milling", cut).load(0.04) for cut in (one, ten))
    assert full.tangential_force_n == pytest.approx(10 * single.tangential_force_n)


def test_tap_torque_is_the_textbooks() -> None:
    """Memory: M = P² D kc/8, kc at the chip of a chamfer tooth."""
    tool = CuttingTool(diameter_mm=12, teeth=4, material="high-speed-steel", chamfer_threads=4)
    load = mechanics_of("tapping", _cut(tool, CONSTANT, pitch_mm=1.75)).load(0.0)
    assert load.tangential_force_mean_n * 12 / 2 == pytest.approx(1.75**2 * 12 * 2000 / 8)


def test_effective_diameter_of_a_chamfer_mill() -> None:
    """Derived: a 60° point spreads by 2 y tan 30°."""
    found = effective_diameter_mm(tip_diameter_mm=1, contact_height_mm=2, included_angle_deg=60)
    assert found == pytest.approx(1 + 4 / math.sqrt(3))


# --- refusals -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("operation", "tool", "engagement", "error", "parameter"),
    [
        ("broaching", MILL, {}, UnknownDesignationError, "operation"),
        ("side-milling", MILL, {"axial_depth_mm": 1.0}, MissingInputError, "radial_width"),
        ("side-milling", MILL, {"radial_width_mm": 1.0}, MissingInputError, "axial_depth"),
        (
            "side-milling",
            MILL,
            {"radial_width_mm": 11.0, "axial_depth_mm": 1.0},
            OutOfRangeError,
            "radial_width",
        ),
        (
            "side-milling",
            MILL,
            {"radial_width_mm": -1.0, "axial_depth_mm": 1.0},
            OutOfRangeError,
            "radial_width",
        ),
        (
            "side-milling",
            MILL,
            {"radial_width_mm": 1.0, "axial_depth_mm": 1.0, "made_diameter_mm": 20.0},
            MissingInputError,
            "side",
        ),
        (
            "side-milling",
            MILL,
            {"radial_width_mm": 1.0, "axial_depth_mm": 1.0, "side": "external"},
            MissingInputError,
            "made_diameter",
        ),
        (
            "side-milling",
            MILL,
            {
                "radial_width_mm": 1.0,
                "axial_depth_mm": 1.0,
                "side": "internal",
                "made_diameter_mm": 9.0,
            },
            InfeasibleError,
            "cutter_diameter",
        ),
        (
            "side-milling",
            MILL,
            {
                "radial_width_mm": 12.0,
                "axial_depth_mm": 1.0,
                "side": "internal",
                "made_diameter_mm": 22.0,
            },
            OutOfRangeError,
            "radial_width",
        ),
        (
            "side-milling",
            replace(MILL, helix_angle_deg=85.0),
            {"radial_width_mm": 1.0, "axial_depth_mm": 1.0},
            OutOfRangeError,
            "cutter_helix_angle_deg",
        ),
        ("side-milling", replace(MILL, diameter_mm=0.0), {}, OutOfRangeError, "cutter_diameter"),
        ("side-milling", replace(MILL, teeth=0), {}, OutOfRangeError, "cutter_teeth"),
        ("thread-milling", THREAD_MILL, {"radial_width_mm": 1.0}, MissingInputError, "side"),
        (
            "thread-milling",
            MILL,
            {"radial_width_mm": 1.0, "side": "external", "made_diameter_mm": 20.0},
            MissingInputError,
            "cutter_included_angle_deg",
        ),
        (
            "thread-milling",
            THREAD_MILL,
            {
                "radial_width_mm": 1.0,
                "profile_depth_mm": 0.5,
                "side": "external",
                "made_diameter_mm": 20.0,
            },
            OutOfRangeError,
            "radial_width",
        ),
        (
            "chamfering",
            MILL,
            {"radial_width_mm": 1.0},
            MissingInputError,
            "cutter_included_angle_deg",
        ),
        (
            "chamfering",
            replace(MILL, included_angle_deg=175.0),
            {"radial_width_mm": 1.0},
            OutOfRangeError,
            "cutter_included_angle_deg",
        ),
        (
            "drilling",
            replace(MILL, included_angle_deg=30.0),
            {},
            OutOfRangeError,
            "cutter_included_angle_deg",
        ),
        ("tapping", MILL, {}, MissingInputError, "pitch"),
        (
            "tapping",
            replace(MILL, chamfer_threads=0),
            {"pitch_mm": 1.5},
            OutOfRangeError,
            "chamfer_threads",
        ),
        (
            "single-point-threading",
            THREAD_MILL,
            {"pitch_mm": 2.0},
            MissingInputError,
            "radial_width",
        ),
        (
            "single-point-threading",
            MILL,
            {"pitch_mm": 2.0, "radial_width_mm": 0.2},
            MissingInputError,
            "cutter_included_angle_deg",
        ),
        (
            "single-point-threading",
            THREAD_MILL,
            {"pitch_mm": 2.0, "radial_width_mm": 0.2, "profile_depth_mm": 0.1},
            OutOfRangeError,
            "radial_width",
        ),
    ],
)
def test_refusals_name_the_parameter(
    operation: str,
    tool: CuttingTool,
    engagement: dict[str, object],
    error: type[CalcError],
    parameter: str,
) -> None:
    with pytest.raises(error) as refusal:
        mechanics_of(operation, _cut(tool, STEEL, **engagement))
    assert refusal.value.parameter == parameter
    assert refusal.value.accepted


def test_wide_cut_in_hard_steel_is_cautioned() -> None:
    """Common practice: about 3 % of the diameter, 2 to 5 %, in hardened steel."""
    hard = find_material(name="4140", hardness=55, hardness_scale="HRC")
    for width_mm, warned in ((0.3, False), (0.5, False), (0.8, True)):
        trail = Trail()
        mechanics_of(
            "side-milling", _cut(MILL, hard, radial_width_mm=width_mm, axial_depth_mm=5), trail
        )
        codes = [caution.code for caution in trail.cautions]
        assert ("wide-cut-in-hard-steel" in codes) == warned


def test_straight_arc_ends_at_the_slot() -> None:
    assert straight_arc(radial_width_mm=10, diameter_mm=10).engagement_deg == pytest.approx(180)


def test_a_chamfer_is_cut_across_its_slant() -> None:
    """Derived: a 90° mill's edge leans 45°; the chip across it is cos 45° of the straight one."""
    tool = CuttingTool(diameter_mm=8, teeth=4, included_angle_deg=90)
    slant = mechanics_of("chamfering", _cut(tool, radial_width_mm=0.5))
    upright = mechanics_of("side-milling", _cut(tool, radial_width_mm=0.5, axial_depth_mm=0.5))
    ratio = slant.load(0.04).chip_thickness_max_mm / upright.load(0.04).chip_thickness_max_mm
    assert ratio == pytest.approx(math.cos(math.pi / 4))
    assert slant.chip_sine_ratio / upright.chip_sine_ratio == pytest.approx(ratio)
