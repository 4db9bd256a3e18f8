"""Bending of the stepped cutter against beam elements, a worked example and limits."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter, Machine
from threadwright_service.calc.milling.loads.deflection import (
    bending_compliance_um_per_n,
    caution_slender,
    runout_shift_mm,
    stiffness,
)
from threadwright_service.calc.trail import Trail

CUTTER = Cutter(
    profile="single",
    diameter_mm=9.525,
    teeth=4,
    nose_flat_mm=0.127,
    nose_radius_mm=None,
    included_angle_deg=60,
    neck_diameter_mm=6,
    neck_length_mm=20,
    shank_diameter_mm=10,
    stick_out_mm=35,
)


def _beam_elements(sections: list[tuple[float, float]], modulus: float) -> float:
    """Deflection at the free end for 1 N by Hermite beam elements [mm], from the holder out."""
    size = 2 * (len(sections) + 1)
    matrix = np.zeros((size, size))
    for index, (diameter, length) in enumerate(sections):
        stiff = modulus * math.pi * diameter**4 / 64 / length**3
        block = stiff * np.array(
            [
                [12, 6 * length, -12, 6 * length],
                [6 * length, 4 * length**2, -6 * length, 2 * length**2],
                [-12, -6 * length, 12, -6 * length],
                [6 * length, 2 * length**2, -6 * length, 4 * length**2],
            ]
        )
        place = slice(2 * index, 2 * index + 4)
        matrix[place, place] += block
    load = np.zeros(size - 2)
    load[-2] = 1.0
    return float(np.linalg.solve(matrix[2:, 2:], load)[-2])


def test_worked_example_of_the_stepped_shank() -> None:
    # Reference example: neck 6 × 20, shank 10 × 15, 600 GPa, 100 N: 10.93 µm.
    compliance = bending_compliance_um_per_n(
        neck_diameter_mm=6,
        neck_length_mm=20,
        shank_diameter_mm=10,
        shank_length_mm=15,
        modulus_mpa=600_000,
    )
    assert 100 * compliance == pytest.approx(10.93, abs=0.005)


@given(
    neck=st.floats(1.5, 14),
    neck_length=st.floats(2, 60),
    shank=st.floats(3, 25),
    shank_length=st.floats(2, 80),
)
def test_stepped_beam_against_beam_elements(
    neck: float, neck_length: float, shank: float, shank_length: float
) -> None:
    expected = _beam_elements([(shank, shank_length), (neck, neck_length)], 600_000.0)
    assert bending_compliance_um_per_n(
        neck_diameter_mm=neck,
        neck_length_mm=neck_length,
        shank_diameter_mm=shank,
        shank_length_mm=shank_length,
        modulus_mpa=600_000,
    ) == pytest.approx(1000 * expected, rel=1e-6)


def test_uniform_shank_is_the_textbook_cantilever() -> None:
    # F L³ / (3 E I) in any textbook of strength of materials.
    expected = 1000 * 45**3 / (3 * 600_000 * math.pi * 12**4 / 64)
    for neck_length in (0.0, 20.0, 45.0):
        assert bending_compliance_um_per_n(
            neck_diameter_mm=12,
            neck_length_mm=neck_length,
            shank_diameter_mm=12,
            shank_length_mm=45 - neck_length,
            modulus_mpa=600_000,
        ) == pytest.approx(expected)


def test_stiffness_of_the_cutter_in_hand() -> None:
    trail = Trail(steps=[])
    found = stiffness(cutter=CUTTER, machine=Machine(holder_compliance_um_per_n=0.02), trail=trail)
    assert found.cutter_compliance_um_per_n == pytest.approx(0.1093, abs=5e-5)
    assert found.compliance_um_per_n == pytest.approx(0.1293, abs=5e-5)
    # σ π d³/(32 L) at the neck's end; the shank stands more.
    assert found.neck_force_max_n == pytest.approx(
        found.neck_stress_mpa * math.pi * 6**3 / (32 * 20)
    )
    assert {item.parameter for item in trail.assumptions} == {
        "cutter_modulus_mpa",
        "cutter_neck_stress_mpa",
    }
    given = replace(CUTTER, modulus_mpa=210_000.0, neck_stress_mpa=400.0)
    trail = Trail()
    own = stiffness(cutter=given, machine=Machine(), trail=trail)
    assert own.cutter_compliance_um_per_n == pytest.approx(
        found.cutter_compliance_um_per_n * found.modulus_mpa / 210_000
    )
    assert own.neck_force_max_n == pytest.approx(
        found.neck_force_max_n * 400 / found.neck_stress_mpa
    )
    assert trail.assumptions == []


def test_high_speed_steel_bends_nearly_three_times_as_much() -> None:
    # Textbook moduli: steel 210 GPa against 600 GPa.
    carbide = stiffness(cutter=CUTTER, machine=Machine())
    steel = stiffness(cutter=replace(CUTTER, material="high-speed-steel"), machine=Machine())
    assert steel.compliance_um_per_n / carbide.compliance_um_per_n == pytest.approx(600 / 210)


def test_full_length_cutter_is_loaded_in_the_middle_of_its_teeth() -> None:
    full = replace(CUTTER, profile="full")
    found = stiffness(cutter=full, machine=Machine(), thread_length_mm=12)
    expected = _beam_elements([(10, 15), (6, 14)], 600_000.0)
    assert found.compliance_um_per_n == pytest.approx(1000 * expected)


def test_full_length_teeth_longer_than_the_cutter_are_refused() -> None:
    with pytest.raises(InfeasibleError) as caught:
        stiffness(cutter=replace(CUTTER, profile="full"), machine=Machine(), thread_length_mm=80)
    assert caught.value.parameter == "cutter_stick_out"


def test_neck_longer_than_the_stick_out_is_refused() -> None:
    with pytest.raises(InfeasibleError) as caught:
        stiffness(cutter=replace(CUTTER, neck_length_mm=36), machine=Machine())
    assert caught.value.parameter == "cutter_neck_length"


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("neck_diameter_mm", 0.0),
        ("shank_diameter_mm", -1.0),
        ("modulus_mpa", 0.0),
        ("neck_length_mm", -0.1),
        ("shank_length_mm", math.nan),
    ],
)
def test_impossible_beams_are_refused(name: str, value: float) -> None:
    values: dict[str, Any] = {
        "neck_diameter_mm": 6.0,
        "neck_length_mm": 20.0,
        "shank_diameter_mm": 10.0,
        "shank_length_mm": 15.0,
        "modulus_mpa": 6e5,
    }
    with pytest.raises(OutOfRangeError) as caught:
        bending_compliance_um_per_n(**{**values, name: value})
    assert caught.value.parameter == name


@pytest.mark.parametrize("teeth", [2, 3, 5])
def test_runout_shift_is_the_mean_of_all_ways_to_clamp(teeth: int) -> None:
    # Independent: the highest tooth for many directions of the eccentricity; the middle of its
    # smallest and largest value.
    highest = []
    for direction in range(3000):
        highest.append(
            max(
                0.004 * math.cos(2 * math.pi * (k / teeth + direction / 3000)) for k in range(teeth)
            )
        )
    shift, spread = runout_shift_mm(runout_mm=0.008, teeth=teeth)
    assert shift == pytest.approx((max(highest) + min(highest)) / 2, rel=1e-3)
    assert spread == pytest.approx((max(highest) - min(highest)) / 2, rel=1e-2)


def test_runout_of_one_tooth_may_go_either_way() -> None:
    assert runout_shift_mm(runout_mm=0.01, teeth=1) == (0.0, 0.005)
    assert runout_shift_mm(runout_mm=0.0, teeth=4) == (0.0, 0.0)


def test_slender_neck_is_cautioned() -> None:
    trail = Trail()
    caution_slender(cutter=CUTTER, trail=trail)
    assert not trail.cautions
    caution_slender(cutter=replace(CUTTER, neck_diameter_mm=2.4), trail=trail)
    assert [item.code for item in trail.cautions] == ["neck-slender"]
