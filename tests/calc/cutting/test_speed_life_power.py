"""Speed, feed and life formulas against each other and against definitions."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.cutting.hardness_scaling import hardness_on_feed, hardness_on_speed
from threadwright_service.calc.cutting.materials import find_material
from threadwright_service.calc.cutting.speed_and_feed import (
    feed_per_tooth_mm,
    feed_rate_mm_per_min,
    spindle_speed_rev_per_min,
    surface_speed_m_per_min,
)
from threadwright_service.calc.cutting.tool_life import (
    LifePoint,
    coolant_ratio,
    life_band,
    life_exponents,
    tool_life_min,
    usual_coolant,
)
from threadwright_service.calc.errors import NotTabulatedError, OutOfRangeError

KNOWN = LifePoint(
    surface_speed_m_per_min=100, chip_thickness_mm=0.05, width_ratio=0.1, tool_life_min=60
)


@given(sfm=st.floats(5, 3000), diameter_in=st.floats(0.05, 10))
def test_inch_and_millimetre_agree(sfm: float, diameter_in: float) -> None:
    """Published inch formula, OD 1645: n = 12 sfm/(pi D)."""
    found = spindle_speed_rev_per_min(
        surface_speed_m_per_min=sfm * 0.3048, diameter_mm=diameter_in * 25.4
    )
    assert found == pytest.approx(12 * sfm / (math.pi * diameter_in), rel=1e-12)


@given(speed=st.floats(1, 500), diameter_mm=st.floats(1, 200))
def test_speed_there_and_back(speed: float, diameter_mm: float) -> None:
    turns = spindle_speed_rev_per_min(surface_speed_m_per_min=speed, diameter_mm=diameter_mm)
    back = surface_speed_m_per_min(spindle_speed_rev_per_min=turns, diameter_mm=diameter_mm)
    assert back == pytest.approx(speed)


@given(feed_mm=st.floats(0.001, 1), turns=st.floats(1, 20000), teeth=st.integers(1, 12))
def test_feed_there_and_back(feed_mm: float, turns: float, teeth: int) -> None:
    rate = feed_rate_mm_per_min(
        spindle_speed_rev_per_min=turns, teeth=teeth, feed_per_tooth_mm=feed_mm
    )
    back = feed_per_tooth_mm(
        feed_rate_mm_per_min=rate, spindle_speed_rev_per_min=turns, teeth=teeth
    )
    assert back == pytest.approx(feed_mm)


@given(
    speed=st.floats(20, 400),
    chip_mm=st.floats(0.005, 0.3),
    width_ratio=st.floats(0.01, 0.5),
    iso_513=st.sampled_from("PMKNSH"),
)
def test_the_taylor_constant_is_kept(
    speed: float, chip_mm: float, width_ratio: float, iso_513: str
) -> None:
    """Definition: V T^n h^a w^b is the same for every condition of one edge and metal."""
    exponents = life_exponents(cutter_material="carbide", iso_513=iso_513)
    life_min = tool_life_min(
        known=KNOWN,
        surface_speed_m_per_min=speed,
        chip_thickness_mm=chip_mm,
        width_ratio=width_ratio,
        exponents=exponents,
    )

    def constant(v: float, t: float, h: float, w: float) -> float:
        return float(v * t**exponents.n_ratio * h**exponents.feed_ratio * w**exponents.width_ratio)

    assert constant(speed, life_min, chip_mm, width_ratio) == pytest.approx(
        constant(100, 60, 0.05, 0.1)
    )


@pytest.mark.parametrize(("n", "factor"), [(0.25, 1.5), (0.15, 2.0)])
def test_ten_per_cent_of_speed_is_a_wide_band_of_life(n: float, factor: float) -> None:
    """Derived: 0.9^(-1/0.25) = 1.52, 0.9^(-1/0.15) = 2.02."""
    exponents = replace(life_exponents(cutter_material="carbide", iso_513="P"), n_ratio=n)
    band = life_band(life_min=60, exponents=exponents)
    assert band.high_min / 60 == pytest.approx(factor, abs=0.03)
    assert band.low_min < 60


def test_high_speed_steel_has_no_exponents_in_hard_steel() -> None:
    with pytest.raises(NotTabulatedError):
        life_exponents(cutter_material="high-speed-steel", iso_513="H")


@pytest.mark.parametrize("name", ["4140", "D2", "316L", "grey-iron", "6061", "718"])
def test_the_usual_coolant_has_the_full_life(name: str) -> None:
    hardness_hb = {"D2": 600.0, "4140": 250.0, "grey-iron": 200.0, "718": 371.0}.get(name)
    material = find_material(
        name=name, hardness=hardness_hb, hardness_scale=None if hardness_hb is None else "HB"
    )
    assert coolant_ratio(material=material, coolant=usual_coolant(material)) == 1
    for other in ("flood", "air", "minimum-quantity", "dry"):
        assert 0 < coolant_ratio(material=material, coolant=other) <= 1


@pytest.mark.parametrize("scale", [hardness_on_speed, hardness_on_feed])
@pytest.mark.parametrize("reference_hb", [0.0, -200.0])
def test_a_reference_needs_a_hardness_above_zero(scale: Any, reference_hb: float) -> None:
    material = find_material(name="4140", hardness=250, hardness_scale="HB")
    with pytest.raises(OutOfRangeError) as refusal:
        scale(material=material, cutter_material="carbide", reference_hb=reference_hb)
    assert refusal.value.parameter == "reference_hardness"
