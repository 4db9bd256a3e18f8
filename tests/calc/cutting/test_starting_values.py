"""Starting values: order, bands, refusals. Numbers are trade knowledge or published, as named."""

from __future__ import annotations

import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from threadwright_service.calc.cutting.interpolation import power_between
from threadwright_service.calc.cutting.materials import find_material
from threadwright_service.calc.cutting.starting_values import (
    CuttingCondition,
    Operation,
    drill_feed_mm,
    starting_condition,
)
from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import CutterMaterial
from threadwright_service.calc.trail import Trail

OPERATIONS: tuple[Operation, ...] = (
    "thread-milling",
    "side-milling",
    "chamfering",
    "drilling",
    "tapping",
    "single-point-threading",
)
FAMILIES = [
    "alloy-steel",
    "tool-steel",
    "medium-carbon-steel",
    "martensitic-stainless",
    "precipitation-hardening-stainless",
    "austenitic-stainless",
    "duplex-stainless",
    "grey-iron",
    "nodular-iron",
    "aluminium-wrought",
    "nickel-alloy",
    "titanium-alloy",
]
RANGES_HB = {
    "alloy-steel": (130, 740),
    "tool-steel": (150, 740),
    "medium-carbon-steel": (130, 654),
    "martensitic-stainless": (130, 700),
    "precipitation-hardening-stainless": (150, 490),
    "austenitic-stainless": (120, 290),
    "duplex-stainless": (210, 320),
    "grey-iron": (110, 320),
    "nodular-iron": (120, 340),
    "aluminium-wrought": (20, 190),
    "nickel-alloy": (120, 480),
    "titanium-alloy": (280, 400),
}


def _start(
    name: str,
    hardness_hb: float,
    operation: Operation = "thread-milling",
    edge: CutterMaterial = "carbide",
    diameter_mm: float = 10,
    trail: Trail | None = None,
) -> CuttingCondition:
    return starting_condition(
        material=find_material(name=name, hardness=hardness_hb, hardness_scale="HB"),
        cutter_material=edge,
        operation=operation,
        cutter_diameter_mm=diameter_mm,
        trail=trail,
    )


@given(
    family=st.sampled_from(FAMILIES),
    operation=st.sampled_from(OPERATIONS),
    edge=st.sampled_from(["carbide", "high-speed-steel"]),
    shares=st.tuples(st.floats(0, 1), st.floats(0, 1)),
)
def test_harder_is_never_faster(
    family: str, operation: Operation, edge: CutterMaterial, shares: tuple[float, float]
) -> None:
    low_hb, high_hb = RANGES_HB[family]
    soft_hb, hard_hb = (low_hb + share * (high_hb - low_hb) for share in sorted(shares))
    try:
        soft = _start(family, soft_hb, operation, edge)
        hard = _start(family, hard_hb, operation, edge)
    except OutOfRangeError:
        reject()
    for end in ("low_m_per_min", "aim_m_per_min", "high_m_per_min"):
        assert getattr(hard.surface_speed, end) <= getattr(soft.surface_speed, end) * (1 + 1e-12)
    for end in ("low_mm", "aim_mm", "high_mm"):
        assert getattr(hard.feed_per_tooth, end) <= getattr(soft.feed_per_tooth, end) * (1 + 1e-12)


@given(
    family=st.sampled_from(FAMILIES),
    operation=st.sampled_from(OPERATIONS),
    share=st.floats(0, 1),
    diameter_mm=st.floats(1, 40),
)
def test_bands_are_in_order(
    family: str, operation: Operation, share: float, diameter_mm: float
) -> None:
    low_hb, high_hb = RANGES_HB[family]
    try:
        found = _start(
            family, low_hb + share * (high_hb - low_hb), operation, "carbide", diameter_mm
        )
    except OutOfRangeError:
        reject()
    speed, feed = found.surface_speed, found.feed_per_tooth
    assert 0 < speed.low_m_per_min <= speed.aim_m_per_min <= speed.high_m_per_min
    assert 0 < feed.low_mm <= feed.aim_mm <= feed.high_mm <= found.chip_thickness_allowed_mm
    assert 0 < found.chip_thickness_min_mm < found.edge_radius_mm
    assert found.tool_life_min > 0


# Trade knowledge (memory, ±40 %): solid coated carbide, thread milling, m/min and % of diameter.
TRADE = [
    ("alloy-steel", 200, 90, 150, 0.5, 0.8),
    ("alloy-steel", 325, 60, 110, 0.35, 0.6),
    ("alloy-steel", 450, 50, 90, 0.2, 0.4),
    ("alloy-steel", 520, 40, 70, 0.15, 0.3),
    ("alloy-steel", 605, 30, 50, 0.1, 0.25),
    ("alloy-steel", 690, 20, 40, 0.1, 0.15),
    ("austenitic-stainless", 180, 50, 90, 0.3, 0.6),
    ("grey-iron", 200, 70, 120, 0.5, 0.9),
    ("aluminium-wrought", 95, 150, 350, 0.8, 1.2),
    ("brass", 110, 120, 220, 0.7, 1.0),
    ("titanium-alloy", 330, 35, 60, 0.3, 0.5),
    ("nickel-alloy", 280, 15, 30, 0.2, 0.4),
]


@pytest.mark.parametrize("row", TRADE, ids=lambda row: f"trade range {row[0]} {row[1]} HB")
def test_aims_lie_in_the_trades_ranges(row: tuple[str, float, float, float, float, float]) -> None:
    name, hardness_hb, low, high, feed_low, feed_high = row
    found = _start(name, hardness_hb, diameter_mm=10)
    assert low <= found.surface_speed.aim_m_per_min <= high
    assert feed_low * 0.1 <= found.feed_per_tooth.aim_mm <= feed_high * 0.1


def test_hss_ratio_is_the_published_tables() -> None:
    """Ferrous Metals Data Book, table 9-12: 150 against 765 ft/min at 225 to 275 HB."""
    carbide = _start("alloy-steel", 250).surface_speed.aim_m_per_min
    steel = _start("alloy-steel", 250, edge="high-speed-steel").surface_speed.aim_m_per_min
    assert steel / carbide == pytest.approx(150 / 765, rel=0.05)


@pytest.mark.parametrize("operation", OPERATIONS)
def test_high_speed_steel_is_refused_on_hard_steel(operation: Operation) -> None:
    with pytest.raises(OutOfRangeError) as refusal:
        _start("tool-steel", 600, operation, "high-speed-steel")
    assert refusal.value.parameter == "cutter_material"
    assert refusal.value.accepted == "carbide"


def test_high_speed_steel_ends_with_the_table() -> None:
    """Table 9-12 ends at 425 HB; an aged stainless steel beyond has no data."""
    _start("precipitation-hardening-stainless", 425, edge="high-speed-steel")
    with pytest.raises(OutOfRangeError):
        _start("precipitation-hardening-stainless", 426, edge="high-speed-steel")


def test_outside_the_data_is_said() -> None:
    trail = Trail()
    found = _start("alloy-steel", 730, trail=trail)
    assert "hardness-outside-data" in [caution.code for caution in trail.cautions]
    assert any(factor.extrapolated for factor in found.factors)
    trail = Trail()
    _start("alloy-steel", 300, diameter_mm=30, trail=trail)
    assert "diameter-outside-data" in [caution.code for caution in trail.cautions]


@pytest.mark.parametrize("diameter_mm", [0.2, 51])
def test_drill_feed_ends_with_the_table(diameter_mm: float) -> None:
    material = find_material(name="alloy-steel", hardness=200, hardness_scale="HB")
    with pytest.raises(OutOfRangeError) as refusal:
        drill_feed_mm(diameter_mm=diameter_mm, material=material)
    assert refusal.value.parameter == "cutter_diameter"


def test_speed_is_the_product_of_what_is_shown() -> None:
    """The working's numbers multiply to the result: shown is computed."""
    trail = Trail(steps=[])
    found = _start("D2", 600, "side-milling", trail=trail)
    assert trail.steps is not None
    step = next(each for each in trail.steps if each.symbol == "vc")
    product = 1.0
    for factor in step.inputs.values():
        assert isinstance(factor, float)
        product *= factor
    assert product == pytest.approx(found.surface_speed.aim_m_per_min)


@given(exponent=st.floats(-3, -0.1), base=st.floats(1, 1000), at=st.floats(50, 900))
def test_interpolation_reproduces_a_power_law(exponent: float, base: float, at: float) -> None:
    """Derived: on a power law every chord of the logarithms is the law itself."""
    points = [(x, base * x**exponent) for x in (100.0, 180.0, 300.0, 500.0)]
    found = power_between(points, at)
    assert found.value == pytest.approx(base * at**exponent, rel=1e-9)
    assert found.exponent_ratio == pytest.approx(exponent, rel=1e-6)
    assert found.extrapolated == (not 100 <= at <= 500)
