"""Published measurement values: wires, two-wire reading, gauges, coating, functional size.

Each row of ``data/measurement.csv`` names its source, the quantity and its inputs. It is met to
half a unit of its last printed digit, or stands in :data:`DEPARTURES` with the reason.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Final

import pytest

from support.sample_threads import ISO_FORM, WHITWORTH_FORM, thread, trapezoid
from threadwright_service.calc import tables
from threadwright_service.calc.measurement.gauges.gauge import GaugeLimits
from threadwright_service.calc.measurement.gauges.gauge_limits import gauge_limits
from threadwright_service.calc.measurement.gauges.iso_1502 import gauge_row
from threadwright_service.calc.measurement.treatments.coating import FLANK_FACTOR
from threadwright_service.calc.measurement.treatments.functional_size import angle_effect_mm
from threadwright_service.calc.measurement.treatments.iso_4042 import (
    LengthOfCoating,
    smallest_deviation_um,
    thickness_that_fits_um,
)
from threadwright_service.calc.measurement.wires.groove import BareThread, Groove, groove_of
from threadwright_service.calc.measurement.wires.measuring_force import flattening_mm
from threadwright_service.calc.measurement.wires.reading import pitch_diameter_from_reading
from threadwright_service.calc.measurement.wires.wire_range import BEST_WIRE, wire_range
from threadwright_service.calc.measurement.wires.wires import LEAD_CORRECTION, OVER_WIRES
from threadwright_service.calc.threads.thread import ThreadLimits

_DATA: Final = Path(__file__).parent / "data" / "measurement.csv"

# Rows that are not met to half a unit of the last printed digit: how far off they may be, and why.
_PITCH_HALF = "the table takes 0.6495 P for 0.649519 P, which shows at a pitch of 0.5 mm"
_ONE_UP = "2 x 0.3247595 + 0.8660254 = 1.5155445, a third of it 0.5051815: printed one unit high"
DEPARTURES: Final[dict[str, tuple[float, str]]] = {
    "amarillo-vertex": (6e-5, "0.59845 printed as 0.5985: rounded up by hand"),
    "amarillo-mow": (6e-5, "follows from the vertex diameter that was rounded up"),
    "chart-best-40": (1e-5, "0.532089 cut off, not rounded"),
    "chart-W-53-8": (
        1.3e-4,
        "the row's angle is atan(1/2); the chart's is 53 deg 8 min: see the test below",
    ),
    "limit-min-60": (1e-6, _ONE_UP),
    "b12-min": (1e-6, _ONE_UP),
    "flatten-M60-10N": (
        0.43,
        "a text of unknown origin without its assumptions; Hertz's formula gives a quarter more, "
        "so the answer calls the estimate good to a quarter",
    ),
    "1502-M3-go": (6e-5, _PITCH_HALF),
    "1502-M3-wear": (6e-5, _PITCH_HALF),
    "1502-M4x0.5-go": (6e-5, _PITCH_HALF),
    "1502-M4x0.5-wear": (6e-5, _PITCH_HALF),
    "1502-M8x0.5-wear": (6e-5, _PITCH_HALF),
    "1502-M9x0.5-go": (6e-5, _PITCH_HALF),
}

Inputs = dict[str, str]


def number(text: str) -> float:
    return float(Fraction(text)) if "/" in text else float(text)


def of(inputs: Inputs, name: str, default: float | None = None) -> float:
    if default is not None and name not in inputs:
        return default
    return number(inputs[name])


def bare_groove(half: float, pitch: float = 1.0) -> Groove:
    return groove_of(
        BareThread(
            pitch_diameter_mm=100.0 * pitch,
            pitch_mm=pitch,
            pressure_flank_angle_deg=half,
            clearance_flank_angle_deg=half,
        )
    )


def best_wire(inputs: Inputs) -> float:
    return BEST_WIRE(None, of(inputs, "P"), of(inputs, "half"))


def over_wires_less_wires(half: float, pitch: float, wire: float) -> float:
    """Reading less the pitch diameter."""
    return OVER_WIRES(None, 0.0, wire, pitch, half)


def coeff_w(inputs: Inputs) -> float:
    return over_wires_less_wires(of(inputs, "half"), 0.0, 1.0)


def coeff_p(inputs: Inputs) -> float:
    return -over_wires_less_wires(of(inputs, "half"), 1.0, 0.0)


def major_const(inputs: Inputs) -> float:
    """k of M = D - k P + w W: addendum twice, and the pitch term."""
    return coeff_p(inputs) + 2 * of(inputs, "add")


def over_wires_from_major(inputs: Inputs) -> float:
    pitch = of(inputs, "P")
    pitch_diameter = of(inputs, "D") - 2 * of(inputs, "add") * pitch
    return OVER_WIRES(None, pitch_diameter, of(inputs, "W"), pitch, of(inputs, "half"))


def vertex_diameter(inputs: Inputs) -> float:
    """D - k P, the constant being the one that the same example uses (checked by its own row)."""
    k = major_const({"half": "30", "add": "0.3247595264191645"})
    assert k == pytest.approx(of(inputs, "k"), abs=5e-7)
    return of(inputs, "D") - k * of(inputs, "P")


def depth_const(inputs: Inputs) -> float:
    """Twice the addendum of the form that the service knows by its flank angle."""
    half = 30.0 if of(inputs, "add") > 0.322 else 27.5
    crest = bare_groove(half).crest_mm
    assert crest is not None
    return 2 * crest


def limits_of_wires(inputs: Inputs) -> tuple[float, float]:
    forms = {"60": ISO_FORM, "W55": WHITWORTH_FORM, "29": trapezoid(14.5, 0.5, "Acme")}
    form = forms[inputs["form"]]
    pitch = of(inputs, "P")
    made = thread(
        designation="",
        form=form,
        major=100.0,
        pitch_diameter=100.0 - 2 * form.addendum_ratio * pitch,
        minor=99.0,
        pitch=pitch,
        limits=((None, None), (None, None), (None, None)),
    )
    wires = wire_range(groove=groove_of(made))
    assert wires.min_mm is not None
    assert wires.max_mm is not None
    return wires.min_mm, wires.max_mm


def flattening_um(inputs: Inputs) -> float:
    # Es of the row is 1 / (2 (1 - v²) / E) of like materials with v = 0.3.
    modulus = 2 * of(inputs, "Es") * (1 - 0.3**2)
    return 1000 * flattening_mm(
        force_n=of(inputs, "F"),
        pitch_diameter_mm=of(inputs, "E"),
        wire_diameter_mm=of(inputs, "W"),
        flank_angle_deg=of(inputs, "half"),
        part_modulus_mpa=modulus,
        wire_modulus_mpa=modulus,
    )


def lead_coeff(inputs: Inputs) -> float:
    return LEAD_CORRECTION(None, 1.0, 1.0, 1.0, of(inputs, "half"))


def two_wires_against_cylinder(inputs: Inputs) -> float:
    pitch, half = of(inputs, "P"), of(inputs, "half")
    found = pitch_diameter_from_reading(
        thread=BareThread(
            pitch_diameter_mm=of(inputs, "std"),
            pitch_mm=pitch,
            pressure_flank_angle_deg=half,
            clearance_flank_angle_deg=half,
        ),
        measured_mm=of(inputs, "Rw"),
        wire_diameter_mm=of(inputs, "W"),
        method="two-wire",
        standard_cylinder_mm=of(inputs, "std"),
        standard_reading_mm=of(inputs, "Rs"),
    )
    # The question leaves the lead out; the service never does.
    return found + LEAD_CORRECTION(None, of(inputs, "W"), pitch, found, half)


def angle_effect_um(inputs: Inputs) -> float:
    error = of(inputs, "dA") / 60
    return 1000 * angle_effect_mm(
        groove=bare_groove(30.0, of(inputs, "P")),
        pressure_error_deg=error,
        clearance_error_deg=error,
        rule="mean",
    )


def plate_factor(inputs: Inputs) -> float:
    half = of(inputs, "half")
    return FLANK_FACTOR(None, half, half)


def length_of(inputs: Inputs) -> LengthOfCoating:
    name = inputs["len"]
    assert name in ("local", "le5d", "le10d", "le15d")
    return name  # type: ignore[return-value]


def iso4042_maxthk(inputs: Inputs) -> float:
    return thickness_that_fits_um(
        deviation_um=of(inputs, "dev"), length=length_of(inputs)
    ).thickness_um


def iso4042_mindev(inputs: Inputs) -> float:
    return smallest_deviation_um(thickness_um=of(inputs, "t"), length=length_of(inputs))


def metric(inputs: Inputs, *, side: str) -> ThreadLimits:
    """The thread of a gauge row: basic size rounded as ISO 724 rounds it, deviations on it."""
    major, pitch = of(inputs, "D"), of(inputs, "P")
    basic = math.floor(1000 * (major - 0.649519053 * pitch) + 0.5) / 1000
    deviation = of(inputs, "es", 0.0) / 1000
    tolerance = of(inputs, "T", 100.0) / 1000
    if side == "external":
        pair = (basic + deviation, basic + deviation - tolerance)
    else:
        pair = (basic + tolerance, basic)
    return thread(
        designation=f"M{major}x{pitch}",
        form=ISO_FORM,
        major=major,
        pitch_diameter=basic,
        minor=major - 1.082531755 * pitch,
        pitch=pitch,
        limits=((None, None), pair, (None, None)),
        side="external" if side == "external" else "internal",
    )


def gauge_pd(inputs: Inputs) -> float:
    which = inputs["g"]
    made = metric(inputs, side="internal" if which.endswith("plug") else "external")
    gauges = gauge_limits(thread=made, standard="ASME B1.16M")
    chosen = gauges.not_go if which.startswith("notgo") else gauges.go
    return chosen.pitch_diameter.nominal_mm


@cache
def plug(diameter: float, pitch: float, tolerance: float) -> GaugeLimits:
    inputs = {"D": str(diameter), "P": str(pitch), "T": str(tolerance)}
    return gauge_limits(thread=metric(inputs, side="internal"), standard="ISO 1502")


def iso1502_plug(inputs: Inputs) -> float:
    gauges = plug(of(inputs, "D"), of(inputs, "P"), of(inputs, "T"))
    go, not_go = gauges.go.pitch_diameter, gauges.not_go.pitch_diameter
    assert go.max_mm is not None
    assert go.wear_mm is not None
    assert not_go.wear_mm is not None
    return {
        "go_mid": go.nominal_mm,
        "go_wear": go.wear_mm,
        "half_tol": go.max_mm - go.nominal_mm,
        "notgo_mid": not_go.nominal_mm,
        "notgo_wear": not_go.wear_mm,
        "ng_mid": not_go.nominal_mm,
        "ng_wear": not_go.wear_mm,
    }[inputs["g"]]


def iso1502_table(inputs: Inputs) -> float:
    name = inputs["g"]
    kind = "ring" if name in ("Z_R", "T_R", "T_CP", "m") else "plug"
    column = {"Z_PL": "Z_um", "T_PL": "T_um", "Z_R": "Z_um", "T_R": "T_um", "m": "m_um"}.get(
        name, f"{name}_um"
    )
    return float(gauge_row(of(inputs, "T"), kind)[column]) / 1000


QUANTITIES: Final[dict[str, Callable[[Inputs], float]]] = {
    "best_wire": best_wire,
    "coeff_w": coeff_w,
    "coeff_p": coeff_p,
    "major_const": major_const,
    "M_from_D": over_wires_from_major,
    "E_from_D": vertex_diameter,
    "depth_const": depth_const,
    "wire_min": lambda inputs: limits_of_wires(inputs)[0],
    "wire_max": lambda inputs: limits_of_wires(inputs)[1],
    "hertz_m": flattening_um,
    "lead_coeff": lead_coeff,
    "two_wire_std": two_wires_against_cylinder,
    "angle_comp_mean": angle_effect_um,
    "plate_factor": plate_factor,
    "iso4042_maxthk": iso4042_maxthk,
    "iso4042_mindev": iso4042_mindev,
    "gauge_pd": gauge_pd,
    "iso1502_plug": iso1502_plug,
    "iso1502_table": iso1502_table,
}


def rows() -> list[dict[str, str]]:
    with _DATA.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def half_digit(printed: str) -> float:
    """Half a unit of the last printed digit."""
    _, _, decimals = printed.partition(".")
    return 0.5 * 10.0 ** -len(decimals)


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["case"])
def test_published_value(row: dict[str, str]) -> None:
    inputs = dict(part.split("=", 1) for part in row["inputs"].split(";"))
    got = QUANTITIES[inputs["fn"]](inputs)
    allowed = half_digit(row["value"]) * (1 + 1e-9) + 1e-12
    off = abs(got - float(row["value"]))
    if row["case"] in DEPARTURES:
        most, _ = DEPARTURES[row["case"]]
        assert allowed < off <= most, "no longer a departure: take it off the list"
    else:
        assert off <= allowed, (row["case"], got, row["value"], row["source"])


def test_departures_are_of_this_table_and_have_reasons() -> None:
    cases = {row["case"] for row in rows()}
    assert set(DEPARTURES) <= cases
    assert all(reason for _, reason in DEPARTURES.values())


def test_every_quantity_is_exercised() -> None:
    used = {row["inputs"].split(";")[0].removeprefix("fn=") for row in rows()}
    assert used == set(QUANTITIES)


def test_chart_constant_at_the_angle_that_it_names() -> None:
    """Included angle 53 deg 8 min: 3.23594 in the formula chart."""
    assert coeff_w({"half": str((53 + 8 / 60) / 2)}) == pytest.approx(3.23594, abs=5e-6)


@pytest.mark.parametrize(
    "row",
    [
        row
        for row in rows()
        if "fn=iso1502_plug" in row["inputs"] and "half_tol" not in row["inputs"]
    ],
    ids=lambda row: row["case"],
)
def test_gauge_table_with_its_own_constant(row: dict[str, str]) -> None:
    """The plug table comes out digit for digit, ties up, when basic sizes use its 0.6495 P."""
    inputs = dict(part.split("=", 1) for part in row["inputs"].split(";"))
    moved = (0.75 * math.sqrt(3) / 2 - 0.6495) * of(inputs, "P")
    got = iso1502_plug(inputs) + moved
    assert math.floor(got * 1e4 + 0.5 + 1e-6) / 1e4 == float(row["value"])


@pytest.mark.parametrize(
    ("pitch_mm", "major_mm", "effective_mm", "minor_mm", "radius_mm"),
    [
        (1.00, 6.00, 5.400, 4.80, 0.1808),
        (0.90, 5.30, 4.760, 4.22, 0.1627),
        (0.81, 4.70, 4.215, 3.73, 0.1465),
        (0.73, 4.10, 3.660, 3.22, 0.1320),
        (0.66, 3.60, 3.205, 2.81, 0.1193),
    ],
)
def test_form_of_the_ba_thread(
    pitch_mm: float, major_mm: float, effective_mm: float, minor_mm: float, radius_mm: float
) -> None:
    # Machinery's Handbook, 31st edition, p. 2115: 0 to 4 BA of BS 93. The angle of 47.5 degrees
    # stands in Kaye and Laby, Tables of physical and chemical constants, 1941, p. 25.
    (row,) = [
        row
        for row in tables.load("threadwright_service.calc.measurement.wires", "tables/known_forms")
        if row["pressure_flank_angle_deg"] == 47.5 / 2
    ]
    # The print has the effective and minor diameter to 0.005 and 0.01 mm.
    above, below = float(row["addendum_ratio"]), float(row["dedendum_ratio"])
    assert above * pitch_mm == pytest.approx((major_mm - effective_mm) / 2, abs=0.0025)
    assert below * pitch_mm == pytest.approx((effective_mm - minor_mm) / 2, abs=0.005)
    # A round crest that meets the flanks smoothly at that height has the printed radius.
    half_rad = math.radians(47.5 / 2)
    sharp = 0.25 / math.tan(half_rad)
    radius = (sharp - above) / (1 / math.sin(half_rad) - 1)
    assert radius * pitch_mm == pytest.approx(radius_mm, abs=0.0001)
