"""Published limits and tolerances of ISO metric threads, digit for digit.

Every row of ``data/other_limits.csv`` for the metric standards is compared; its column ``source``
names the publication that it was read from. All of them are reproduced.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import pytest

from threadwright_service.calc import tables
from threadwright_service.calc.rounding import half_up
from threadwright_service.calc.threads.limits import thread_limits
from threadwright_service.calc.threads.metric import iso_965_1_tolerances as tolerances
from threadwright_service.calc.threads.metric.iso_965_1_engagement import engagement
from threadwright_service.calc.threads.thread import Span, ThreadLimits

Row = dict[str, str]
FILE = Path(__file__).parent / "data" / "other_limits.csv"
LIMITS = {"ANSI/ASME B1.13M", "BS 3643-2", "ISO 965-2", "ISO 965-4", "DIN 13 / ISO 965"}
TABLES = "ISO 965-1 table"
REFERENCE = {
    "ext_minor_flat_max": "minor_diameter_flat_max",
    "ext_minor_rounded_min": "minor_diameter_rounded_min",
    "ext_minor_stress": "minor_diameter_stress",
    "int_major_max": "major_diameter_max",
}
WHICH = {
    "Td": tolerances.EXTERNAL_MAJOR,
    "Td2": tolerances.EXTERNAL_PITCH,
    "TD1": tolerances.INTERNAL_MINOR,
    "TD2": tolerances.INTERNAL_PITCH,
}


def rows() -> list[Row]:
    with FILE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def name(row: Row) -> str:
    return " ".join(row[part] for part in ("standard", "designation", "class", "quantity", "value"))


@cache
def thread(designation: str, tolerance_class: str) -> ThreadLimits:
    return thread_limits(designation=f"{designation}-{tolerance_class}")


def micrometres(length_mm: float | None) -> float:
    assert length_mm is not None
    return half_up(1000 * length_mm, 0)


def computed(row: Row) -> float | None:
    """The quantity of a row, in the row's unit."""
    found, quantity = thread(row["designation"], row["class"]), row["quantity"]
    if quantity in REFERENCE:
        return found.reference[REFERENCE[quantity]]
    if quantity == "root_radius_min":
        return found.root_radius.min
    if quantity == "es_abs":
        return micrometres(found.allowance) if row["unit"] == "um" else found.allowance
    if quantity == "dev_minor_stress_abs":
        stress = found.reference["minor_diameter_stress"]
        return micrometres(found.basic.minor_diameter - stress)
    if quantity.startswith("LE_N_"):
        lengths = engagement(diameter_mm=found.nominal_diameter, pitch_mm=found.pitch)
        assert lengths is not None
        return lengths.over_mm if quantity.endswith("over") else lengths.upto_mm
    if quantity.startswith("ei_"):
        _, diameter, _ = quantity.split("_")
        span: Span = getattr(found.limits, f"{diameter}_diameter")
        assert span.min is not None
        return micrometres(getattr(found.basic, f"{diameter}_diameter") - span.min)
    side, diameter, end = quantity.split("_")
    assert found.side.startswith(side)
    span = getattr(found.limits, f"{diameter}_diameter")
    if end == "tol":
        assert span.tolerance is not None
        return half_up(span.tolerance, 3)
    return span.max if end == "max" else span.min


@pytest.mark.parametrize("row", [row for row in rows() if row["standard"] in LIMITS], ids=name)
def test_limits(row: Row) -> None:
    assert computed(row) == float(row["value"]), row["source"]


def cell(row: Row) -> float:
    """A cell of the tolerance tables; ``d11.2-22.4 P1.5`` is a range and a pitch."""
    diameter_mm = 10.0  # of no influence where the table goes by pitch alone
    pitch_mm = 0.0
    for part in row["designation"].split():
        if part.startswith("d"):
            diameter_mm = float(part.split("-")[1])
        else:
            pitch_mm = float(part.removeprefix("P"))
    if row["quantity"].startswith("LE_"):
        lengths = engagement(diameter_mm=diameter_mm, pitch_mm=pitch_mm)
        assert lengths is not None
        return lengths.over_mm if row["quantity"] == "LE_over" else lengths.upto_mm
    if row["quantity"] == "EI":
        return tolerances.deviation(row["class"], pitch_mm=pitch_mm).value_um
    which = WHICH[row["quantity"]]
    found = tolerances.tolerance(
        which, int(row["class"]), diameter_mm=diameter_mm, pitch_mm=pitch_mm
    )
    return found.value_um


@pytest.mark.parametrize("row", [row for row in rows() if row["standard"] == TABLES], ids=name)
def test_tolerance_tables(row: Row) -> None:
    assert cell(row) == float(row["value"]), row["source"]


def test_stress_area_of_iso_898_1() -> None:
    """Nominal stress areas of ISO 898-1 for coarse threads, three digits as printed (memory)."""
    printed = {"M6": 20.1, "M8": 36.6, "M10": 58.0, "M12": 84.3, "M16": 157.0, "M24": 353.0}
    for size, area_mm2 in printed.items():
        found = thread_limits(designation=f"{size}-6g").stress_area
        assert found is not None
        assert float(f"{found:.3g}") == area_mm2


# Machinery's Handbook, 27th edition, p. 1797, "Tolerance Grade Comparisons": approximate ratios of
# the tolerance grades of ISO 965-1 to grade 6; for TD2, to grade 6 of the *external* thread.
GRADE_RATIOS: dict[str, dict[int, float]] = {
    "internal_minor": {4: 0.63, 5: 0.8, 7: 1.25, 8: 1.6},
    "internal_pitch": {4: 0.85, 5: 1.06, 6: 1.32, 7: 1.7, 8: 2.12},
    "external_major": {4: 0.63, 8: 1.6},
    "external_pitch": {3: 0.5, 4: 0.63, 5: 0.8, 7: 1.25, 8: 1.6, 9: 2.0},
}


@pytest.mark.parametrize("name", sorted(GRADE_RATIOS))
def test_every_cell_keeps_the_printed_ratio_of_its_grade(name: str) -> None:
    package = "threadwright_service.calc.threads.metric"
    reference = "external_pitch" if name == "internal_pitch" else name
    grade_6 = {
        (row.get("d_over_mm"), row["pitch_mm"]): float(row["grade_6_um"])
        for row in tables.load(package, f"tables/iso_965_1_{reference}")
    }
    checked = 0
    for row in tables.load(package, f"tables/iso_965_1_{name}"):
        base_um = grade_6.get((row.get("d_over_mm"), row["pitch_mm"]), 0.0)
        for grade, ratio in GRADE_RATIOS[name].items():
            value_um = float(row[f"grade_{grade}_um"])
            if value_um and base_um:
                # Numbers of R40 are 6 % apart: half a step, one for the two decimals of the ratio.
                assert value_um == pytest.approx(ratio * base_um, rel=0.04, abs=1.0), (row, grade)
                checked += 1
    assert checked >= 40
