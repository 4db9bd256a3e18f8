"""R40 numbers as tolerances of metric threads."""

from __future__ import annotations

import pytest

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.threads import r40

# ISO 965-1, tolerance table of the external pitch diameter, grade 6 and neighbours, as handbooks
# print it: range of d [mm], pitch [mm], grade, tolerance [um].
EXTERNAL_PITCH = [
    (10, 1.5, 6, 132),
    (10, 1.0, 6, 112),
    (6, 1.0, 6, 112),
    (24, 1.5, 6, 150),
    (24, 3.0, 6, 200),
    (24, 3.0, 4, 125),
    (24, 3.0, 8, 315),
]


@pytest.mark.parametrize(("diameter", "pitch", "grade", "printed"), EXTERNAL_PITCH)
def test_external_pitch_tolerances_of_iso_965_1(
    diameter: float, pitch: float, grade: int, printed: float
) -> None:
    place = r40.pitch_index(diameter, pitch) + r40.EXTERNAL_PITCH_SHIFT[grade]
    assert r40.tolerance_um(place) == printed


@pytest.mark.parametrize(
    ("pitch", "printed"), [(1.0, 180), (1.5, 236), (2.0, 280), (3.0, 375), (0.5, 106)]
)
def test_major_tolerances_of_iso_965_1(pitch: float, printed: float) -> None:
    """ISO 965-1, tolerance of the external major diameter, grade 6."""
    assert r40.tolerance_um(r40.major_index(pitch)) == printed


@pytest.mark.parametrize(("pitch", "printed"), [(1.5, 300), (2.0, 375), (3.0, 500), (0.8, 200)])
def test_minor_tolerances_of_iso_965_1(pitch: float, printed: float) -> None:
    """ISO 965-1, tolerance of the internal minor diameter, grade 6."""
    assert r40.tolerance_um(r40.minor_index(pitch)) == printed


def test_the_series_is_geometric() -> None:
    """ISO 3: each number is within 1.3 % of the power of ten that it stands for."""
    for index in range(80, 160):
        assert r40.tolerance_um(index) == pytest.approx(10 ** (index / 40), rel=0.013)


def test_ranges_include_their_upper_end() -> None:
    assert r40.diameter_range_mm(5.6) == (2.8, 5.6)
    assert r40.diameter_range_mm(5.601) == (5.6, 11.2)


@pytest.mark.parametrize("diameter", [0.99, 0.0, -1.0, 710.1])
def test_outside_the_ranges(diameter: float) -> None:
    with pytest.raises(OutOfRangeError):
        r40.diameter_range_mm(diameter)


def test_no_minor_formula_between_the_two() -> None:
    with pytest.raises(OutOfRangeError, match="one formula"):
        r40.minor_index(0.9)
