"""Tolerances of metric trapezoidal threads against a printed table of another standard.

GOST 24739-81, appendix 2, prints the deviations of the external class 10c by range of diameters
and pitch. ISO 2903 has no grade 10, but the same major-diameter tolerance, the same position c and
grades of the pitch diameter four places apart in R40: what is printed checks all three.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from threadwright_service.calc.threads import r40
from threadwright_service.calc.threads.trapezoidal import iso_2903


def _rows() -> list[dict[str, str]]:
    path = Path(__file__).parent / "data" / "trapezoidal_10c.csv"
    with path.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


ROWS = _rows()
SOUND = [row for row in ROWS if not row["note"]]


def _name(row: dict[str, str]) -> str:
    return f"{row['d_over_mm']}-{row['d_to_mm']}x{row['pitch_mm']}"


@pytest.mark.parametrize("row", ROWS, ids=_name)
def test_major_diameter(row: dict[str, str]) -> None:
    answer = iso_2903.major_diameter_tolerance_um(pitch_mm=float(row["pitch_mm"]))
    assert answer == float(row["major_tolerance_um"])


@pytest.mark.parametrize("row", SOUND, ids=_name)
def test_position_c(row: dict[str, str]) -> None:
    pitch = iso_2903.pitches()[float(row["pitch_mm"])]
    assert pitch.deviations_um["c"] == float(row["deviation_um"])
    assert pitch.bases["c"] == "published"


@pytest.mark.parametrize("row", SOUND, ids=_name)
def test_pitch_diameter_one_grade_above_the_coarsest(row: dict[str, str]) -> None:
    printed = float(row["pitch_lower_um"]) - float(row["deviation_um"])
    coarsest = iso_2903.pitch_diameter_tolerance_um(
        nominal_diameter_mm=float(row["d_to_mm"]),
        pitch_mm=float(row["pitch_mm"]),
        grade=9,
        internal=False,
    )
    series = [r40.tolerance_um(place) for place in range(140)]
    assert series[series.index(coarsest) + 4] == printed


@pytest.mark.parametrize("row", SOUND, ids=_name)
def test_minor_diameter_is_one_and_a_quarter(row: dict[str, str]) -> None:
    single = float(row["pitch_lower_um"]) - float(row["deviation_um"])
    printed = float(row["minor_lower_um"]) - float(row["deviation_um"])
    # What ends in a half or a quarter is printed as the next whole micrometre; ISO 2903 has some
    # ties rounded down, which is why a micrometre is allowed here.
    assert iso_2903.minor_share_um(single) == pytest.approx(printed, abs=1.0)


def test_a_misprinted_row_is_known_as_such() -> None:
    (row,) = [row for row in ROWS if row["note"]]
    other = {each["deviation_um"] for each in SOUND if each["pitch_mm"] == row["pitch_mm"]}
    assert other == {"335"}
    # With 335 the printed minor diameter is 1.25 times 850, the tolerance that 1205 - 355 leaves.
    single = float(row["pitch_lower_um"]) - float(row["deviation_um"])
    assert float(row["minor_lower_um"]) == pytest.approx(335 + 1.25 * single, abs=0.5)
