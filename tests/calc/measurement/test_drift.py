"""Drift of a series, Student's t and pre-control."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.errors import CalcError, InfeasibleError, OutOfRangeError
from threadwright_service.calc.measurement.correction.drift import WINDOW, drift_of, student_t_ratio
from threadwright_service.calc.measurement.correction.pre_control import (
    Zone,
    advice,
    is_qualified,
    pre_control,
)


@pytest.mark.parametrize("degrees", [1, 2, 3, 5, 8, 13, 28])
def test_student_t_against_its_density(degrees: int) -> None:
    # Independent: the density of Student's t integrated between -t and +t holds 95 %.
    t = student_t_ratio(degrees)
    angles = np.linspace(0, math.atan(t / math.sqrt(degrees)), 20_001)
    # With x = sqrt(n) tan(angle) the density becomes a power of the cosine.
    heights = np.cos(angles) ** (degrees - 1)
    area = float(np.sum((heights[1:] + heights[:-1]) / 2 * np.diff(angles)))
    norm = math.gamma((degrees + 1) / 2) / (math.sqrt(math.pi) * math.gamma(degrees / 2))
    assert 2 * norm * area == pytest.approx(0.95, abs=1e-4)


@pytest.mark.parametrize("seed", range(5))
def test_slope_and_spread_against_a_general_least_squares(seed: int) -> None:
    noise = random.Random(seed)
    numbers = sorted(noise.sample(range(1, 200), 20))
    sizes = [0.0004 * number + noise.gauss(0, 0.003) for number in numbers]
    found = drift_of(part_numbers=numbers, sizes_mm=sizes)
    (slope, _), covariance = np.polyfit(numbers, sizes, 1, cov=True)
    residuals = np.array(sizes) - np.polyval(np.polyfit(numbers, sizes, 1), numbers)
    assert found.estimate_mm == pytest.approx(slope, rel=1e-9)
    assert found.standard_deviation_mm == pytest.approx(
        math.sqrt(float(residuals @ residuals) / 18), rel=1e-9
    )
    assert found.uncertainty_mm == pytest.approx(
        student_t_ratio(18) * math.sqrt(covariance[0, 0]), rel=1e-9
    )


def test_a_drift_in_the_noise_is_not_acted_on() -> None:
    # Without any drift, about 1 in 20 series is called significant: that is what 95 % means.
    noise = random.Random(7)
    called = sum(
        drift_of(
            part_numbers=range(1, 11), sizes_mm=[noise.gauss(0, 0.004) for _ in range(10)]
        ).is_significant
        for _ in range(1000)
    )
    assert 30 <= called <= 75


def test_a_clear_drift_is_stated_with_its_uncertainty() -> None:
    noise = random.Random(11)
    inside = 0
    for _ in range(400):
        sizes = [0.0004 * number + noise.gauss(0, 0.002) for number in range(1, 26)]
        found = drift_of(part_numbers=range(1, 26), sizes_mm=sizes)
        assert found.is_significant
        assert found.estimate_mm is not None
        assert found.uncertainty_mm is not None
        inside += abs(found.estimate_mm - 0.0004) <= found.uncertainty_mm
    # The interval holds the true drift in 95 % of the series.
    assert 0.92 <= inside / 400 <= 0.98


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_too_few_parts(count: int) -> None:
    found = drift_of(part_numbers=range(1, count + 1), sizes_mm=[0.001 * i for i in range(count)])
    assert found.estimate_mm is None
    assert not found.is_significant
    assert f"{count} of at least 5" in found.reason


def test_five_parts_are_enough() -> None:
    found = drift_of(part_numbers=range(1, 6), sizes_mm=[0.0, 0.001, 0.002, 0.003, 0.004])
    assert found.is_significant
    assert found.estimate_mm == pytest.approx(0.001)
    assert found.level_mm == pytest.approx(0.004)


def test_equal_sizes_have_no_drift() -> None:
    found = drift_of(part_numbers=range(1, 9), sizes_mm=[0.01] * 8)
    assert not found.is_significant
    assert found.level_mm == pytest.approx(0.01)


def test_only_the_last_parts_count() -> None:
    # A new cutter wears fast, then slowly; the line follows the last thirty parts.
    sizes = [0.01 * i for i in range(20)] + [0.2 + 0.001 * i for i in range(WINDOW)]
    found = drift_of(part_numbers=range(1, len(sizes) + 1), sizes_mm=sizes)
    assert found.parts == WINDOW
    assert found.estimate_mm == pytest.approx(0.001)


def test_a_step_is_told() -> None:
    noise = random.Random(3)
    sizes = [noise.gauss(0, 0.002) for _ in range(12)]
    assert not drift_of(part_numbers=range(1, 13), sizes_mm=sizes).is_step
    assert drift_of(part_numbers=range(1, 14), sizes_mm=[*sizes, 0.03]).is_step


@pytest.mark.parametrize("numbers", [[], [1, 1, 2], [3, 2, 1]])
def test_part_numbers_must_rise(numbers: list[int]) -> None:
    with pytest.raises(OutOfRangeError):
        drift_of(part_numbers=numbers, sizes_mm=[0.0] * len(numbers))


def test_zones_are_quarters_of_the_tolerance() -> None:
    # Articles on pre-control: green is the middle half, yellow the outer quarters.
    zones = pre_control(max_mm=10.4, min_mm=10.0)
    assert zones.green.min_mm == pytest.approx(10.1)
    assert zones.green.max_mm == pytest.approx(10.3)
    expected: list[tuple[float, Zone]] = [
        (9.9999, "red-low"),
        (10.0, "yellow-low"),
        (10.05, "yellow-low"),
        (10.1, "green"),
        (10.2, "green"),
        (10.3, "green"),
        (10.35, "yellow-high"),
        (10.4, "yellow-high"),
        (10.4001, "red-high"),
    ]
    assert [(size, zones.zone(size)) for size, _ in expected] == expected
    with pytest.raises(InfeasibleError):
        pre_control(max_mm=10.0, min_mm=10.0)


@pytest.mark.parametrize(
    ("zones", "said"),
    [
        (["green"], "continue"),
        (["yellow-high"], "continue"),
        (["green", "yellow-low"], "continue"),
        (["yellow-low", "yellow-low"], "adjust"),
        (["yellow-low", "yellow-high"], "stop"),
        (["green", "red-high"], "adjust"),
        (["red-high", "green"], "continue"),
        ([], "continue"),
    ],
)
def test_two_consecutive_parts_decide(zones: list[Zone], said: str) -> None:
    assert advice(zones) == said


@pytest.mark.parametrize(
    ("cp", "green", "five_in_a_row"),
    # Probabilities of a centred normal process, derived independently in the reference notes.
    [(0.67, 0.685, 0.15), (1.00, 0.866, 0.49), (1.33, 0.954, 0.79)],
)
def test_chance_of_green_of_a_centred_process(
    cp: float, green: float, five_in_a_row: float
) -> None:
    noise = random.Random(5)
    zones = pre_control(max_mm=1.0, min_mm=-1.0)
    drawn = [zones.zone(noise.gauss(0, 1 / (3 * cp))) for _ in range(20_000)]
    assert drawn.count("green") / len(drawn) == pytest.approx(green, abs=0.012)
    runs = [is_qualified(drawn[i : i + 5]) for i in range(0, len(drawn), 5)]
    assert sum(runs) / len(runs) == pytest.approx(five_in_a_row, abs=0.03)


@given(st.lists(st.floats(-1, 1), min_size=1, max_size=40))
def test_any_series_is_answered(sizes: list[float]) -> None:
    found = drift_of(part_numbers=range(1, len(sizes) + 1), sizes_mm=sizes)
    assert math.isfinite(found.level_mm)
    assert found.is_significant or found.reason
    with pytest.raises(CalcError):
        drift_of(part_numbers=[1] * (len(sizes) + 1), sizes_mm=[*sizes, 0.0])
