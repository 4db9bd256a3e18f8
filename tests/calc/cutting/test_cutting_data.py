"""The whole of cutting data: scaling, limits, life, back-calculation, and what may never happen."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from threadwright_service.calc.cutting.case import (
    CuttingTool,
    Engagement,
    Reference,
    Running,
    Wanted,
)
from threadwright_service.calc.cutting.cutting_data import cutting_data
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.cutting.materials import find_material
from threadwright_service.calc.cutting.result import CuttingData
from threadwright_service.calc.errors import (
    CalcError,
    InfeasibleError,
    MissingInputError,
    OutOfRangeError,
)
from threadwright_service.calc.milling.geometry.cutter import Cutter, Machine
from threadwright_service.calc.trail import Trail

STAINLESS = find_material(name="17-4PH", hardness=42, hardness_scale="HRC")
SCREW_CUTTER = CuttingTool(
    diameter_mm=16,
    teeth=5,
    included_angle_deg=60,
    nose_flat_mm=0.1,
    neck_diameter_mm=12,
    neck_length_mm=30,
    shank_diameter_mm=16,
    stick_out_mm=45,
)
SCREW = Engagement(radial_width_mm=1.0, side="external", made_diameter_mm=22.0, pitch_mm=1.5)
MILL = CuttingTool(
    diameter_mm=10,
    teeth=6,
    helix_angle_deg=45,
    stick_out_mm=30,
    shank_diameter_mm=10,
)
STEP = Engagement(radial_width_mm=0.3, axial_depth_mm=10)


def _steel(hardness_hb: float) -> WorkMaterial:
    return find_material(name="4140", hardness=hardness_hb, hardness_scale="HB")


def _step(hardness_hb: float = 481.0, **more: Any) -> CuttingData:
    given: dict[str, Any] = {"tool": MILL, "engagement": STEP} | more
    return cutting_data(material=_steel(hardness_hb), operation="side-milling", **given)


def _factor(data: CuttingData, name: str, applies_to: str) -> float:
    return next(
        each.value_ratio
        for each in data.factors
        if (each.name, each.applies_to) == (name, applies_to)
    )


# --- common practice ---------------------------------------------------------------------------


def test_the_shops_own_condition() -> None:
    """Common practice: 1,655 rev/min, 6 teeth, 3 in/min is about 0.0003 in for each tooth."""
    data = _step(
        tool=replace(MILL, diameter_mm=9.525),
        running=Running(spindle_speed_rev_per_min=1655, feed_rate_mm_per_min=76.2),
    )
    assert data.feed_per_tooth_mm / 25.4 == pytest.approx(0.0003, abs=0.00001)
    assert data.surface_speed_m_per_min == pytest.approx(math.pi * 9.525 * 1.655)
    assert data.basis == "worked back from the condition that runs"
    # Both slow and light: a life of weeks would be a number without sense, and is marked.
    assert data.tool_life_extrapolated


def test_three_per_cent_in_hard_steel_is_usual() -> None:
    """Common practice: light radial width in hardened steel, 60 to 200 m/min, air."""
    trail = Trail()
    data = _step(trail=trail, wanted=Wanted(coolant="air"))
    codes = [caution.code for caution in trail.cautions]
    assert "wide-cut-in-hard-steel" not in codes
    assert 60 < data.surface_speed_m_per_min < 200
    assert data.chip_thickness_max_mm < 0.02


def test_scenario_screw_is_plausible() -> None:
    """M24x1.5 in 17-4 PH at 42 HRC: trade range 32 to 60 m/min (memory), force of tens to some
    hundred newtons, power far below the machine's."""
    data = cutting_data(
        material=STAINLESS,
        operation="thread-milling",
        tool=SCREW_CUTTER,
        engagement=SCREW,
        machine=Machine(spindle_speed_max_rev_per_min=8000, spindle_power_kw=5.5),
    )
    assert 32 <= data.surface_speed_m_per_min <= 60
    assert 30 < data.tangential_force_n < 400
    assert data.power_kw < 0.3
    assert data.limited_by is None
    # Trade rule for the program's feed: F (D + d)/D, D the made diameter.
    assert data.feed_centre_mm_per_min == pytest.approx(data.feed_edge_mm_per_min * (22 + 16) / 22)


# --- reference and factors ---------------------------------------------------------------------


REFERENCE = Reference(
    surface_speed_m_per_min=100,
    feed_per_tooth_mm=0.03,
    hardness_hb=481,
    diameter_mm=10,
    teeth=6,
    radial_width_mm=0.3,
    stick_out_mm=30,
    shank_diameter_mm=10,
    tool_life_min=45,
    coolant="air",
)


def test_the_reference_itself_has_factors_of_one() -> None:
    data = _step(reference=REFERENCE, wanted=Wanted(coolant="air", tool_life_min=45))
    assert len(data.factors) >= 8
    for factor in data.factors:
        assert factor.value_ratio == pytest.approx(1, rel=1e-12), factor.name
        assert not factor.extrapolated, factor.name
    assert data.surface_speed_m_per_min == pytest.approx(100)
    assert data.feed_per_tooth_mm == pytest.approx(0.03)
    assert data.tool_life_min == pytest.approx(45)


def test_every_factor_tells_its_reasons() -> None:
    data = _step(
        reference=replace(REFERENCE, hardness_hb=390),
        wanted=Wanted(coolant="flood", tool_life_min=60),
    )
    names = {factor.name for factor in data.factors}
    assert names >= {
        "hardness",
        "diameter",
        "engagement",
        "stick-out",
        "tool life",
        "teeth",
        "coolant",
    }
    for factor in data.factors:
        assert factor.formula
        assert factor.source
        assert factor.range
    assert any(factor.extrapolated for factor in data.factors)


def test_hardness_beyond_the_table_goes_with_its_square() -> None:
    """Table 9-12's last step has HB^-2; at 481 HB from 400: (400/481)^2, extrapolated."""
    data = _step(reference=replace(REFERENCE, hardness_hb=400))
    assert _factor(data, "hardness", "surface_speed") == pytest.approx((400 / 481) ** 2)


def test_engagement_keeps_the_largest_chip() -> None:
    """Derived: width from 1 mm to 0.3 mm on 10 mm; sines 0.6 and 0.3412."""
    data = _step(reference=replace(REFERENCE, radial_width_mm=1.0))
    ratio = 0.6 / (2 * math.sqrt(0.03 * 0.97))
    assert _factor(data, "engagement", "feed_per_tooth") == pytest.approx(ratio)
    assert data.chip_thickness_max_mm == pytest.approx(0.03 * 0.6)


def test_engagement_on_speed_is_the_published_exponent() -> None:
    """Heliyon 6 (2020) e04217: life as width^-1 at speed^-4, so speed as width^-1/4, titanium."""
    data = cutting_data(
        material=find_material(name="Ti-6Al-4V"),
        operation="side-milling",
        tool=MILL,
        engagement=replace(STEP, radial_width_mm=1.0),
        reference=Reference(surface_speed_m_per_min=100, feed_per_tooth_mm=0.05, radial_width_mm=5),
    )
    assert _factor(data, "engagement", "surface_speed") == pytest.approx(5**0.25)


def test_stick_out_keeps_the_deflection() -> None:
    """Derived: a plain round tool bends as L³; the force must fall as much, the feed by
    1/(1 − m) as a power."""
    material = _steel(481)
    data = _step(reference=replace(REFERENCE, stick_out_mm=20))
    expected = ((20 / 30) ** 3) ** (1 / (1 - material.force_exponent_ratio))
    assert _factor(data, "stick-out", "feed_per_tooth") == pytest.approx(expected)
    stiffer = _step(reference=replace(REFERENCE, stick_out_mm=40))
    assert _factor(stiffer, "stick-out", "feed_per_tooth") == 1


def test_shank_goes_with_its_fourth_power() -> None:
    """Derived: I = π d⁴/64."""
    data = _step(
        tool=replace(MILL, shank_diameter_mm=8), reference=replace(REFERENCE, shank_diameter_mm=10)
    )
    exponent = 1 / (1 - _steel(481).force_exponent_ratio)
    assert _factor(data, "stick-out", "feed_per_tooth") == pytest.approx((0.8**4) ** exponent)


def test_life_wanted_is_the_life_got() -> None:
    data = _step(reference=REFERENCE, wanted=Wanted(tool_life_min=90))
    assert _factor(data, "tool life", "surface_speed") == pytest.approx((45 / 90) ** 0.2)
    assert data.tool_life_min == pytest.approx(90)


def test_flood_on_hot_carbide_costs_life() -> None:
    """Memory: life factor 0.5 to 0.8 in hard steel; at the same speed the life falls by it."""
    air = _step(wanted=Wanted(surface_speed_m_per_min=100, coolant="air"))
    flood = _step(wanted=Wanted(surface_speed_m_per_min=100, coolant="flood"))
    assert air.tool_life_min is not None
    assert flood.tool_life_min is not None
    assert 0.5 <= flood.tool_life_min / air.tool_life_min <= 0.8


def test_teeth_change_the_feed_rate_only() -> None:
    data = _step(tool=replace(MILL, teeth=4), reference=REFERENCE)
    assert _factor(data, "teeth", "feed_rate") == pytest.approx(4 / 6)
    assert data.feed_per_tooth_mm == pytest.approx(0.03)


def test_missing_parts_of_the_reference_are_told() -> None:
    trail = Trail()
    _step(reference=Reference(surface_speed_m_per_min=100, feed_per_tooth_mm=0.03), trail=trail)
    assert {each.parameter for each in trail.assumptions} >= {
        "reference_hardness",
        "reference_diameter",
        "reference_tool_life_min",
        "reference_coolant",
    }


@pytest.mark.parametrize("known", ["surface_speed_m_per_min", "feed_per_tooth_mm"])
def test_half_a_reference_is_completed_by_starting_values(known: str) -> None:
    bare = _step()
    data = _step(reference=Reference(**{known: 0.02 if "feed" in known else 80.0}))  # type: ignore[arg-type]
    assert data.basis != bare.basis
    if known == "surface_speed_m_per_min":
        assert data.feed_per_tooth_mm == pytest.approx(bare.feed_per_tooth_mm)
    else:
        assert data.feed_per_tooth_mm == pytest.approx(0.02)


def test_a_reference_for_a_drill_scales_by_the_table() -> None:
    """US Navy feeds: 1/4 in to 1/2 in 0.004 to 0.007, 1/2 in to 1 in 0.007 to 0.015; the aim in
    steel of 250 HB stands at three tenths of a range."""
    data = cutting_data(
        material=_steel(250),
        operation="drilling",
        tool=CuttingTool(diameter_mm=20, teeth=2, material="high-speed-steel"),
        engagement=Engagement(),
        reference=Reference(surface_speed_m_per_min=15, feed_per_tooth_mm=0.06, diameter_mm=10),
    )
    aim_20, aim_10 = 0.007 + 0.3 * 0.008, 0.004 + 0.3 * 0.003
    assert _factor(data, "diameter", "feed_per_tooth") == pytest.approx(aim_20 / aim_10)


# --- limits ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("machine", "wanted", "name"),
    [
        (Machine(spindle_speed_max_rev_per_min=1000), Wanted(), "spindle speed"),
        (Machine(feed_rate_max_mm_per_min=100), Wanted(), "feed rate"),
        (Machine(spindle_power_kw=0.05), Wanted(), "power"),
        (Machine(), Wanted(deflection_limit_mm=0.002), "deflection"),
    ],
)
def test_each_limit_binds_by_its_name(machine: Machine, wanted: Wanted, name: str) -> None:
    free = _step()
    assert free.limited_by is None
    data = _step(machine=machine, wanted=wanted)
    assert data.limited_by == name
    assert data.limits == (name,)
    assert data.feed_centre_mm_per_min < free.feed_centre_mm_per_min
    if machine.spindle_speed_max_rev_per_min:
        assert data.spindle_speed_rev_per_min == 1000
    if machine.feed_rate_max_mm_per_min:
        assert data.feed_centre_mm_per_min == pytest.approx(100)
    if machine.spindle_power_kw:
        assert data.power_kw == pytest.approx(0.05)
    if wanted.deflection_limit_mm:
        assert data.deflection_mm == pytest.approx(0.002)


def test_the_chip_binds_in_a_wide_cut() -> None:
    """Run-out as large as the chip itself thickens it beyond the bold end."""
    data = _step(tool=replace(MILL, runout_mm=0.06), engagement=replace(STEP, radial_width_mm=2.0))
    assert data.limited_by == "chip thickness"
    assert data.chip_thickness_allowed_mm is not None
    assert data.chip_thickness_max_mm == pytest.approx(data.chip_thickness_allowed_mm)


@given(
    speed_max=st.floats(50, 20000),
    feed_max=st.floats(1, 5000),
    power_kw=st.floats(0.001, 10),
    bend_mm=st.floats(0.0005, 0.1),
    side=st.sampled_from(["external", "internal", None]),
)
@settings(max_examples=60)
def test_no_limit_is_passed(
    speed_max: float, feed_max: float, power_kw: float, bend_mm: float, side: Any
) -> None:
    machine = Machine(
        spindle_speed_max_rev_per_min=speed_max,
        feed_rate_max_mm_per_min=feed_max,
        spindle_power_kw=power_kw,
    )
    engagement = replace(STEP, side=side, made_diameter_mm=30.0 if side else None)
    data = _step(machine=machine, engagement=engagement, wanted=Wanted(deflection_limit_mm=bend_mm))
    assert data.spindle_speed_rev_per_min <= speed_max * (1 + 1e-9)
    assert data.feed_centre_mm_per_min <= feed_max * (1 + 1e-9)
    assert data.power_kw <= power_kw * (1 + 1e-9)
    assert data.deflection_mm is not None
    assert data.deflection_mm <= bend_mm * (1 + 1e-9)
    assert (data.limited_by is None) == (data.limits == ())
    assert data.limited_by is None or data.limited_by in data.limits


@given(feeds=st.tuples(st.floats(0.005, 0.2), st.floats(0.005, 0.2)))
def test_feed_rate_rises_with_feed_until_the_named_limit(feeds: tuple[float, float]) -> None:
    """Time is path over feed rate: it falls until a limit binds, and then the limit has a name."""
    machine = Machine(feed_rate_max_mm_per_min=600)
    slow, fast = (
        _step(
            machine=machine,
            wanted=Wanted(feed_per_tooth_mm=feed_mm, surface_speed_m_per_min=90),
        )
        for feed_mm in sorted(feeds)
    )
    assert fast.feed_centre_mm_per_min >= slow.feed_centre_mm_per_min * (1 - 1e-12)
    if sorted(feeds)[1] > sorted(feeds)[0] and fast.limited_by is None:
        assert fast.feed_centre_mm_per_min > slow.feed_centre_mm_per_min
    if fast.feed_centre_mm_per_min >= 600 * (1 + 1e-9):
        assert fast.limited_by == "feed rate"


def test_a_threads_feed_limit_slows_the_spindle() -> None:
    """The lead cannot give way: 6 mm lead under 1200 mm/min is 200 rev/min."""
    data = cutting_data(
        material=find_material(name="free-machining steel"),
        operation="single-point-threading",
        tool=CuttingTool(diameter_mm=32, teeth=1, included_angle_deg=30, nose_flat_mm=2.0),
        engagement=Engagement(pitch_mm=6, radial_width_mm=0.2, profile_depth_mm=3.5),
        machine=Machine(feed_rate_max_mm_per_min=1200),
    )
    assert data.limited_by == "feed rate"
    assert data.spindle_speed_rev_per_min == pytest.approx(200)
    assert data.feed_per_revolution_mm == 6


# --- order -------------------------------------------------------------------------------------


@given(
    hardnesses=st.tuples(st.floats(135, 735), st.floats(135, 735)),
    coolant=st.sampled_from([None, "air", "flood", "minimum-quantity", "dry"]),
    life_min=st.sampled_from([None, 10.0, 45.0, 240.0]),
)
@example(hardnesses=(420.9, 421.0), coolant="dry", life_min=None)
@example(hardnesses=(420.9, 421.0), coolant="minimum-quantity", life_min=240.0)
def test_harder_is_never_faster(
    hardnesses: tuple[float, float], coolant: Any, life_min: float | None
) -> None:
    wanted = Wanted(coolant=coolant, tool_life_min=life_min)
    soft, hard = (_step(each, wanted=wanted) for each in sorted(hardnesses))
    assert hard.surface_speed_m_per_min <= soft.surface_speed_m_per_min * (1 + 1e-9)
    assert hard.feed_centre_mm_per_min <= soft.feed_centre_mm_per_min * (1 + 1e-9)


@given(
    hardnesses=st.tuples(st.floats(135, 735), st.floats(135, 735)),
    reference_hb=st.floats(150, 700),
)
def test_harder_is_never_faster_from_a_reference(
    hardnesses: tuple[float, float], reference_hb: float
) -> None:
    reference = replace(REFERENCE, hardness_hb=reference_hb)
    soft, hard = (_step(each, reference=reference) for each in sorted(hardnesses))
    assert hard.surface_speed_m_per_min <= soft.surface_speed_m_per_min * (1 + 1e-9)
    assert hard.feed_per_tooth_mm <= soft.feed_per_tooth_mm * (1 + 1e-9)


@given(speeds=st.tuples(st.floats(20, 400), st.floats(20, 400)))
def test_life_falls_with_speed(speeds: tuple[float, float]) -> None:
    slow_speed, fast_speed = sorted(speeds)
    assume(fast_speed > slow_speed * 1.0001)
    slow, fast = (
        _step(wanted=Wanted(surface_speed_m_per_min=each, feed_per_tooth_mm=0.03))
        for each in (slow_speed, fast_speed)
    )
    assert slow.tool_life_min is not None
    assert fast.tool_life_min is not None
    assert fast.tool_life_min < slow.tool_life_min
    ratio = fast.tool_life_min / slow.tool_life_min
    assert ratio == pytest.approx((slow_speed / fast_speed) ** 5, rel=1e-6)  # n = 0.2, memory
    band = fast.tool_life_band
    assert band is not None
    assert band.low_min < fast.tool_life_min < band.high_min


@given(widths=st.tuples(st.floats(0.1, 5), st.floats(0.1, 5)))
def test_wider_is_never_gentler(widths: tuple[float, float]) -> None:
    narrow, wide = (
        _step(300, engagement=replace(STEP, radial_width_mm=each)) for each in sorted(widths)
    )
    assert wide.surface_speed_m_per_min <= narrow.surface_speed_m_per_min * (1 + 1e-9)
    assert wide.feed_per_tooth_mm <= narrow.feed_per_tooth_mm * (1 + 1e-9)


# --- back-calculation --------------------------------------------------------------------------


@given(
    hardness_hb=st.floats(150, 700),
    side=st.sampled_from(["external", "internal"]),
    made_mm=st.floats(18, 60),
    layer_mm=st.floats(0.05, 1.2),
)
def test_back_calculation_returns_the_forward_condition(
    hardness_hb: float, side: Any, made_mm: float, layer_mm: float
) -> None:
    case: dict[str, Any] = {
        "material": _steel(hardness_hb),
        "operation": "thread-milling",
        "tool": SCREW_CUTTER,
        "engagement": Engagement(
            radial_width_mm=layer_mm, side=side, made_diameter_mm=made_mm, pitch_mm=1.5
        ),
    }
    forward = cutting_data(**case)
    back = cutting_data(
        **case,
        running=Running(
            spindle_speed_rev_per_min=forward.spindle_speed_rev_per_min,
            feed_rate_mm_per_min=forward.feed_centre_mm_per_min,
        ),
    )
    for name in (
        "surface_speed_m_per_min",
        "feed_per_tooth_mm",
        "feed_edge_mm_per_min",
        "chip_thickness_max_mm",
        "tangential_force_n",
        "power_kw",
        "tool_life_min",
    ):
        assert getattr(back, name) == pytest.approx(getattr(forward, name), rel=1e-9), name


def test_a_condition_beyond_the_machine_is_told_not_cut() -> None:
    trail = Trail()
    data = _step(
        running=Running(spindle_speed_rev_per_min=12000, feed_rate_mm_per_min=4000),
        machine=Machine(spindle_speed_max_rev_per_min=8000, feed_rate_max_mm_per_min=3000),
        trail=trail,
    )
    assert data.spindle_speed_rev_per_min == 12000
    assert data.limited_by is None
    told = [caution.detail for caution in trail.cautions if caution.code == "beyond-the-machine"]
    assert len(told) == 2
    assert "faster-than-usual" in [caution.code for caution in trail.cautions]


def test_a_thread_that_does_not_follow_its_lead_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refusal:
        cutting_data(
            material=_steel(250),
            operation="tapping",
            tool=CuttingTool(diameter_mm=12, teeth=4, material="high-speed-steel"),
            engagement=Engagement(pitch_mm=1.75),
            running=Running(spindle_speed_rev_per_min=200, feed_rate_mm_per_min=340),
        )
    assert refusal.value.parameter == "feed_rate"
    assert refusal.value.accepted == "350 mm/min"


# --- what the caller brings wins ---------------------------------------------------------------


def test_given_speed_and_feed_are_kept_and_judged() -> None:
    trail = Trail()
    data = _step(
        wanted=Wanted(surface_speed_m_per_min=300, feed_per_tooth_mm=0.3),
        trail=trail,
    )
    assert data.surface_speed_m_per_min == pytest.approx(300)
    assert data.feed_per_tooth_mm == pytest.approx(0.3)
    assert data.limited_by is None
    assert "chip-too-thick" in [caution.code for caution in trail.cautions]


def test_where_our_data_end_the_callers_go_on() -> None:
    trail = Trail()
    steel_edge = replace(MILL, material="high-speed-steel")
    data = _step(
        tool=steel_edge,
        wanted=Wanted(surface_speed_m_per_min=4, feed_per_tooth_mm=0.01),
        trail=trail,
    )
    assert data.start is None
    assert data.tool_life_min is None
    assert "no-data-of-ours" in [caution.code for caution in trail.cautions]
    with pytest.raises(OutOfRangeError):
        _step(tool=steel_edge, wanted=Wanted(surface_speed_m_per_min=4))
    kept = _step(
        tool=steel_edge,
        reference=Reference(surface_speed_m_per_min=4, feed_per_tooth_mm=0.01, hardness_hb=481),
    )
    assert kept.surface_speed_m_per_min == pytest.approx(4)
    running = Running(spindle_speed_rev_per_min=127, feed_rate_mm_per_min=8)
    assert _step(tool=steel_edge, running=running, trail=trail).start is None
    lasting = _step(
        tool=replace(MILL, material="high-speed-steel"),
        reference=Reference(surface_speed_m_per_min=4, feed_per_tooth_mm=0.01, tool_life_min=20),
    )
    assert lasting.tool_life_min is None  # no exponents for this edge in hard steel


def test_a_carbide_tap_in_soft_steel_lives_by_the_callers_life() -> None:
    """No data of ours for it; the caller's condition and its life stand."""
    case = ORDINARY["tapping"] | {"tool": CuttingTool(diameter_mm=12, teeth=4)}
    data = cutting_data(
        material=_steel(250),
        operation="tapping",
        reference=Reference(surface_speed_m_per_min=20, tool_life_min=40),
        **case,
    )
    assert data.start is None
    assert data.tool_life_min == pytest.approx(40)
    fixed = cutting_data(
        material=_steel(250),
        operation="tapping",
        wanted=Wanted(surface_speed_m_per_min=15),
        reference=Reference(feed_per_tooth_mm=0.1),
        **case,
    )
    assert fixed.surface_speed_m_per_min == pytest.approx(15)
    assert fixed.feed_per_revolution_mm == 1.75


def test_neck_alone_is_shank_too() -> None:
    """Derived: a neck with no shank named bends as one bar of the neck's diameter."""
    with_neck = _step(tool=replace(MILL, shank_diameter_mm=None, neck_diameter_mm=8))
    plain = _step(tool=replace(MILL, shank_diameter_mm=8))
    assert with_neck.deflection_mm == pytest.approx(plain.deflection_mm)


def test_a_thicker_chip_than_the_table_slows_the_speed() -> None:
    bare = _step(300)
    thick = _step(300, wanted=Wanted(feed_per_tooth_mm=2 * bare.feed_per_tooth_mm))
    thin = _step(300, wanted=Wanted(feed_per_tooth_mm=bare.feed_per_tooth_mm / 2))
    assert thick.surface_speed_m_per_min == pytest.approx(bare.surface_speed_m_per_min * 0.5**0.4)
    assert thin.surface_speed_m_per_min == pytest.approx(bare.surface_speed_m_per_min)


def test_a_chip_too_thin_rubs() -> None:
    trail = Trail()
    _step(wanted=Wanted(surface_speed_m_per_min=60, feed_per_tooth_mm=0.004), trail=trail)
    assert "rubs" in [caution.code for caution in trail.cautions]


# --- circles -----------------------------------------------------------------------------------


@given(made_mm=st.floats(14, 200), width_mm=st.floats(0.05, 0.5))
def test_equal_chip_feed_goes_with_the_root(made_mm: float, width_mm: float) -> None:
    """Derived for small widths: the same chip needs sqrt(e/Rf) of the edge's feed, not e/Rf."""
    for side, sign in (("external", 1), ("internal", -1)):
        data = _step(
            engagement=Engagement(
                radial_width_mm=width_mm,
                axial_depth_mm=5,
                side=side,  # type: ignore[arg-type]
                made_diameter_mm=made_mm,
            )
        )
        root = math.sqrt((made_mm + sign * 10) / made_mm)
        assert data.feed_centre_equal_chip_mm_per_min is not None
        ratio = data.feed_centre_equal_chip_mm_per_min / data.feed_edge_mm_per_min
        assert ratio == pytest.approx(root, rel=0.1)
        assert (ratio - 1) * sign > 0


def test_large_circle_is_a_straight_cut() -> None:
    straight = _step()
    circle = _step(engagement=replace(STEP, side="external", made_diameter_mm=1e5))
    for name in ("feed_centre_mm_per_min", "chip_thickness_max_mm", "tangential_force_n"):
        assert getattr(circle, name) == pytest.approx(getattr(straight, name), rel=5e-4)


# --- refusals ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("more", "error", "parameter"),
    [
        ({"wanted": Wanted(surface_speed_m_per_min=0)}, OutOfRangeError, "surface_speed"),
        ({"wanted": Wanted(feed_per_tooth_mm=-1)}, OutOfRangeError, "feed_per_tooth"),
        ({"wanted": Wanted(tool_life_min=0)}, OutOfRangeError, "tool_life_min"),
        ({"wanted": Wanted(deflection_limit_mm=0)}, OutOfRangeError, "deflection_limit"),
        (
            {
                "tool": replace(MILL, stick_out_mm=300, shank_diameter_mm=3),
                "wanted": Wanted(deflection_limit_mm=0.0002),
            },
            InfeasibleError,
            "deflection_limit",
        ),
        (
            {"machine": Machine(spindle_speed_max_rev_per_min=0)},
            OutOfRangeError,
            "spindle_speed_max",
        ),
        (
            {"reference": Reference(feed_per_tooth_mm=0.03, tool_life_min=45)},
            MissingInputError,
            "reference_surface_speed",
        ),
        ({"reference": Reference()}, InfeasibleError, "reference_surface_speed"),
        (
            {"reference": replace(REFERENCE, hardness_hb=0)},
            OutOfRangeError,
            "reference_hardness",
        ),
        (
            {"tool": replace(MILL, stick_out_mm=None), "reference": REFERENCE},
            MissingInputError,
            "cutter_stick_out",
        ),
        (
            {"tool": replace(MILL, neck_length_mm=50)},
            OutOfRangeError,
            "cutter_stick_out",
        ),
        (
            {"running": Running(spindle_speed_rev_per_min=0, feed_rate_mm_per_min=100)},
            OutOfRangeError,
            "spindle_speed",
        ),
        (
            {
                "running": Running(spindle_speed_rev_per_min=100, feed_rate_mm_per_min=100),
                "wanted": Wanted(surface_speed_m_per_min=100),
            },
            InfeasibleError,
            "spindle_speed",
        ),
    ],
)
def test_bad_input_names_its_parameter(
    more: dict[str, Any], error: type[CalcError], parameter: str
) -> None:
    with pytest.raises(error) as refusal:
        _step(**more)
    assert refusal.value.parameter == parameter
    assert refusal.value.accepted


# --- the rest ----------------------------------------------------------------------------------


def test_working_shows_every_quantity_of_the_answer() -> None:
    trail = Trail(steps=[])
    _step(trail=trail, reference=REFERENCE, wanted=Wanted(tool_life_min=60))
    assert trail.steps is not None
    symbols = {step.symbol for step in trail.steps}
    assert symbols >= {"n", "vc", "phi_s", "h_max", "h_m", "Ft", "M", "P", "T", "f_T", "vf_centre"}
    assert all(step.source for step in trail.steps)


def test_safety_is_always_said() -> None:
    trail = Trail()
    _step(trail=trail)
    codes = [caution.code for caution in trail.cautions]
    assert "prove-out" in codes


def test_the_plans_cutter_is_the_same_tool() -> None:
    cutter = Cutter(
        profile="single",
        diameter_mm=16,
        teeth=5,
        nose_flat_mm=0.1,
        nose_radius_mm=None,
        included_angle_deg=60,
        neck_diameter_mm=12,
        neck_length_mm=30,
        shank_diameter_mm=16,
        stick_out_mm=45,
    )
    assert CuttingTool.of_cutter(cutter) == SCREW_CUTTER


# One ordinary case of each operation: what the shop would enter.
ORDINARY: dict[str, dict[str, Any]] = {
    "thread-milling": {"tool": SCREW_CUTTER, "engagement": SCREW},
    "side-milling": {"tool": MILL, "engagement": STEP},
    "chamfering": {
        "tool": CuttingTool(diameter_mm=8, teeth=4, included_angle_deg=90),
        "engagement": Engagement(radial_width_mm=1.0, side="external", made_diameter_mm=22.0),
    },
    "drilling": {
        "tool": CuttingTool(diameter_mm=10.2, teeth=2, material="high-speed-steel"),
        "engagement": Engagement(),
    },
    "tapping": {
        "tool": CuttingTool(diameter_mm=12, teeth=4, material="high-speed-steel"),
        "engagement": Engagement(pitch_mm=1.75),
    },
    "single-point-threading": {
        "tool": CuttingTool(diameter_mm=24, teeth=1, included_angle_deg=60, nose_radius_mm=0.1),
        "engagement": Engagement(pitch_mm=1.5, radial_width_mm=0.15),
    },
}


@pytest.mark.parametrize("operation", ORDINARY)
def test_each_operation_forward_and_back(operation: Any) -> None:
    """Torque is power over angular speed, feed is speed times feed a revolution: definitions."""
    trail = Trail(steps=[])
    case = {"material": _steel(250), "operation": operation} | ORDINARY[operation]
    data = cutting_data(**case, trail=trail)
    omega = data.spindle_speed_rev_per_min * 2 * math.pi / 60
    assert data.torque_nm * omega / 1000 == pytest.approx(data.power_kw)
    assert data.feed_edge_mm_per_min == pytest.approx(
        data.spindle_speed_rev_per_min * data.feed_per_revolution_mm
    )
    teeth = case["tool"].teeth
    assert data.feed_per_revolution_mm == pytest.approx(teeth * data.feed_per_tooth_mm)
    assert data.surface_speed_m_per_min == pytest.approx(
        math.pi * case["tool"].diameter_mm * data.spindle_speed_rev_per_min / 1000
    )
    assert 0 < data.chip_thickness_mean_mm <= data.chip_thickness_max_mm
    assert data.tool_life_min is not None
    assert data.start is not None
    assert (data.engagement_angle_deg is None) == (
        operation in ("drilling", "tapping", "single-point-threading")
    )
    running = Running(
        spindle_speed_rev_per_min=data.spindle_speed_rev_per_min,
        feed_rate_mm_per_min=data.feed_centre_mm_per_min,
    )
    back = cutting_data(**case, running=running, trail=trail)
    assert back.power_kw == pytest.approx(data.power_kw)
    assert back.tool_life_min == pytest.approx(data.tool_life_min)


@pytest.mark.parametrize("operation", ORDINARY)
def test_each_operation_from_a_reference(operation: Any) -> None:
    """The reference's own hardness, diameter and width give its own speed back."""
    case = {"material": _steel(250), "operation": operation} | ORDINARY[operation]
    data = cutting_data(
        **case, reference=Reference(surface_speed_m_per_min=20, feed_per_tooth_mm=0.02)
    )
    assert data.surface_speed_m_per_min == pytest.approx(20)
    if operation not in ("tapping", "single-point-threading"):
        assert data.feed_per_tooth_mm == pytest.approx(0.02)


def test_a_chamfers_slant_drops_out_of_the_thinning() -> None:
    """Derived: the same straight width here and there needs the same feed, whatever the slant."""
    case: dict[str, Any] = {"material": _steel(250), "operation": "chamfering"}
    case |= ORDINARY["chamfering"]
    case["engagement"] = Engagement(radial_width_mm=1.0)
    data = cutting_data(**case, reference=Reference(feed_per_tooth_mm=0.02, radial_width_mm=1.0))
    assert data.feed_per_tooth_mm == pytest.approx(0.02)


def test_a_taps_friction_is_told() -> None:
    """Trade knowledge: friction can double a tap's torque, so it must be told."""
    trail = Trail()
    cutting_data(material=_steel(250), operation="tapping", trail=trail, **ORDINARY["tapping"])
    assert "tap-friction" in [caution.code for caution in trail.cautions]
    assert [each.parameter for each in trail.assumptions] == ["chamfer_threads", "coolant"]


def test_without_a_shank_the_fluted_bar_is_assumed() -> None:
    """Memory: a fluted length bends like 0.8 of its diameter; compliance goes with d^-4."""
    trail = Trail()
    bare = _step(tool=replace(MILL, shank_diameter_mm=None), trail=trail)
    full = _step(tool=MILL)
    assert bare.deflection_mm is not None
    assert full.deflection_mm is not None
    assert bare.deflection_mm / full.deflection_mm == pytest.approx(0.8**-4)
    assert [each.parameter for each in trail.assumptions] == ["cutter_shank_diameter", "coolant"]


def test_holder_bends_too() -> None:
    stiff = _step()
    soft = _step(machine=Machine(holder_compliance_um_per_n=0.02))
    assert soft.deflection_mm is not None
    assert stiff.deflection_mm is not None
    force_n = math.hypot(stiff.tangential_force_n, stiff.radial_force_n)
    assert soft.deflection_mm - stiff.deflection_mm == pytest.approx(0.02 * force_n / 1000)


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"tool": replace(MILL, stick_out_mm=None)}, "deflection-unknown"),
        ({"tool": replace(MILL, stick_out_mm=80)}, "bends-much"),
        ({"tool": replace(MILL, helix_angle_deg=None)}, "straight-edges-reckoned"),
        ({"engagement": replace(STEP, axial_depth_mm=25)}, "deep-side-cut"),
        ({"engagement": replace(STEP, radial_width_mm=0.05)}, "factor-extrapolated"),
        ({"wanted": Wanted(surface_speed_m_per_min=20)}, "life-extrapolated"),
        ({}, "force-extrapolated"),
        ({}, "stop-on-sparks"),
        ({"reference": replace(REFERENCE, hardness_hb=390)}, "hardness-outside-data"),
    ],
)
def test_cautions_have_their_causes(more: dict[str, Any], code: str) -> None:
    calm, trail = Trail(), Trail()
    _step(trail=trail, **more)
    _step(
        200,
        trail=calm,
        engagement=Engagement(radial_width_mm=2.0, axial_depth_mm=1),
        wanted=Wanted(feed_per_tooth_mm=0.08),
    )
    assert code in [caution.code for caution in trail.cautions]
    assert code not in [caution.code for caution in calm.cautions]


SIZES = st.sampled_from([1e-300, 1e-3, 0.02, 0.3, 1.0, 5.0, 10.0, 16.0, 300.0, 1e5, 1e300])
MAYBE = st.none() | SIZES


@given(
    operation=st.sampled_from(sorted(ORDINARY)),
    sizes=st.tuples(SIZES, MAYBE, MAYBE, MAYBE, MAYBE, MAYBE, MAYBE),
    side=st.sampled_from([None, "external", "internal"]),
    wanted=st.tuples(MAYBE, MAYBE, MAYBE, MAYBE),
    hardness_hb=st.sampled_from([150.0, 300.0, 421.0, 700.0]),
)
@settings(max_examples=300)
def test_anything_is_answered_or_refused(
    operation: Any, sizes: Any, side: Any, wanted: Any, hardness_hb: float
) -> None:
    """No input may end in another error than a refusal, and no answer in a number that is none."""
    diameter_mm, stick_out_mm, width_mm, axial_mm, made_mm, pitch_mm, lead_mm = sizes
    speed, feed_mm, life_min, bend_mm = wanted
    try:
        data = cutting_data(
            material=_steel(hardness_hb),
            operation=operation,
            tool=CuttingTool(
                diameter_mm=diameter_mm, teeth=4, stick_out_mm=stick_out_mm, included_angle_deg=90
            ),
            engagement=Engagement(
                radial_width_mm=width_mm,
                axial_depth_mm=axial_mm,
                side=side,
                made_diameter_mm=made_mm,
                pitch_mm=pitch_mm,
                lead_mm=lead_mm,
            ),
            wanted=Wanted(
                surface_speed_m_per_min=speed,
                feed_per_tooth_mm=feed_mm,
                tool_life_min=life_min,
                deflection_limit_mm=bend_mm,
            ),
            machine=Machine(spindle_speed_max_rev_per_min=8000, spindle_power_kw=5.5),
            trail=Trail(steps=[]),
        )
    except CalcError as refusal:
        told = (refusal.detail, refusal.accepted)
        if not all(told):
            raise
        return
    for name in ("feed_centre_mm_per_min", "tangential_force_n", "power_kw", "tool_life_min"):
        value = getattr(data, name)
        assert value is None or (math.isfinite(value) and value >= 0), name
