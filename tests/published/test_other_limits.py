"""Published limits and basic dimensions of trapezoidal, Acme, pipe, Whitworth and other threads.

Every row of ``data/other_limits.csv`` for these standards is compared digit for digit; its column
``source`` names the publication it was taken from. A row that is not reproduced stands in
``NOT_REPRODUCED`` with the reason. The metric rows of the file belong to another module.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Callable
from decimal import ROUND_DOWN, Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from threadwright_service.calc.rounding import half_even
from threadwright_service.calc.threads.acme import asme_b1_5, asme_b1_8
from threadwright_service.calc.threads.buttress import asme_b1_9
from threadwright_service.calc.threads.designation import tidied
from threadwright_service.calc.threads.pipe import asme_b1_20_1, iso_7_1, iso_228_1
from threadwright_service.calc.threads.registry import Family
from threadwright_service.calc.threads.thread import Span, ThreadLimits
from threadwright_service.calc.threads.trapezoidal import iso_2904
from threadwright_service.calc.threads.unified import asme_b1_15
from threadwright_service.calc.threads.whitworth import bs_84

Row = dict[str, str]
FILE = Path(__file__).parent / "data" / "other_limits.csv"
NOT_REPRODUCED: dict[tuple[str, str, str, str], str] = {}


def rows() -> list[Row]:
    with FILE.open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["standard"] in CHECKS]


@cache
def limits_of(family: Family, text: str) -> ThreadLimits:
    call_out = family.parse(tidied(text))
    assert call_out is not None, text
    return family.limits(call_out)


def limit(thread: ThreadLimits, quantity: str) -> float | None:
    """``ext_minor_max`` and the like."""
    side, diameter, end = quantity.split("_")
    assert thread.side.startswith(side)
    span: Span = getattr(thread.limits, f"{diameter}_diameter")
    return span.max if end == "max" else span.min


def trapezoidal(row: Row) -> float | None:
    thread = limits_of(iso_2904.FAMILY, f"{row['designation']}-{row['class']}")
    return limit(thread, row["quantity"])


def acme(row: Row) -> float | None:
    name, quantity = row["class"], row["quantity"]
    if row["designation"].startswith("size "):
        return _acme_allowance(row)
    text = f"{row['designation']} ACME-{'2G' if name == 'basic' else name}"
    if quantity.startswith("ext"):
        return limit(limits_of(asme_b1_5.FAMILY, text), quantity)
    if quantity.startswith("int"):
        return limit(limits_of(asme_b1_5.FAMILY, f"{text} nut"), quantity)
    thread = limits_of(asme_b1_5.FAMILY, text)
    return {
        "basic_pitch_dia": thread.basic.pitch_diameter,
        "basic_minor_dia": thread.basic.minor_diameter,
        "pitch": half_even(thread.pitch, 5),  # the handbook prints five decimals of 1/n
        "flat": thread.reference["crest_flat"],
    }[quantity]


def _acme_allowance(row: Row) -> float:
    """At the upper end of the range, and alike everywhere in it."""
    low, high = (
        float(sum(Fraction(part) for part in end.split("+")))
        for end in row["designation"].removeprefix("size ").split(" to ")
    )
    found = {
        limits_of(asme_b1_5.FAMILY, f"{size:.4f}-12 ACME-{row['class']}").allowance
        for size in (low + 0.001, (low + high) / 2, high)
    }
    (value,) = found
    return value


def acme_centralizing(row: Row) -> float:
    quantity = row["quantity"]
    name = {"2C": "2C", "3C": "3C", "4C": "4C"}.get(quantity[-2:], "2C")
    thread = limits_of(asme_b1_5.FAMILY, f"{row['designation']} ACME-{name}")
    nut = limits_of(asme_b1_5.FAMILY, f"{row['designation']} ACME-{name} nut")
    reference = thread.reference
    if quantity == "major_tol_2C":
        assert reference["internal_major_tolerance"] == reference["external_major_tolerance"]
    if quantity == "int_minor_tol":
        assert nut.limits.minor_diameter.tolerance == pytest.approx(
            reference["internal_minor_tolerance"], abs=1e-9
        )
    return {
        "ext_minor_allow": thread.allowances["minor_diameter"],
        "int_major_allow": nut.allowances["major_diameter"],
        "int_minor_allow": nut.allowances["minor_diameter"],
        "int_minor_tol": reference["internal_minor_tolerance"],
        "major_tol": reference["external_major_tolerance"],
        "ext_major_tol": reference["external_major_tolerance"],
        "int_major_tol": reference["internal_major_tolerance"],
    }[quantity.removesuffix(f"_{name}")]


def stub_acme(row: Row) -> float:
    count = row["designation"].removesuffix(" tpi")
    thread = limits_of(asme_b1_8.FAMILY, f"2-{count} STUB ACME")
    if row["quantity"] == "pitch":
        return half_even(thread.pitch, 5)
    key = {"crest_flat_int": "crest_flat_internal", "root_flat_int": "root_flat_internal"}
    return thread.reference[key.get(row["quantity"], row["quantity"])]


def parallel_pipe(row: Row) -> float:
    """ISO 228-1: class A and B outside and the inside thread must all carry the tolerances."""
    nut = limits_of(iso_228_1.FAMILY, row["designation"])
    screw = limits_of(iso_228_1.FAMILY, f"{row['designation']} A")
    loose = limits_of(iso_228_1.FAMILY, f"{row['designation']} B")
    tolerances = {
        "TD2": nut.limits.pitch_diameter.tolerance,
        "TD1": nut.limits.minor_diameter.tolerance,
        "Td": screw.limits.major_diameter.tolerance,
    }
    if row["quantity"] == "TD2":
        assert screw.limits.pitch_diameter.tolerance == pytest.approx(tolerances["TD2"], abs=1e-9)
        assert loose.limits.pitch_diameter.tolerance == pytest.approx(
            2 * (tolerances["TD2"] or 0), abs=1e-9
        )
    if row["quantity"] in tolerances:
        return 1000 * (tolerances[row["quantity"]] or 0)
    return _pipe_basic(nut, row["quantity"])


def _pipe_basic(thread: ThreadLimits, quantity: str) -> float:
    return {
        "pitch": thread.pitch,
        "height": thread.reference["thread_height"],
        "major": thread.basic.major_diameter,
        "pitch_dia": thread.basic.pitch_diameter,
        "minor": thread.basic.minor_diameter,
    }[quantity]


def pipe_profile(row: Row) -> float | None:
    """The profile table of GOST 6357, which ISO 228-1 shares, by pitch."""
    size = {"P0.907": "1/8", "P1.337": "1/4", "P1.814": "1/2", "P2.309": "1"}[row["designation"]]
    thread = limits_of(iso_228_1.FAMILY, f"G{size}")
    return {
        "H": thread.reference["triangle_height"],
        "h": thread.reference["profile_height"],
        "height": thread.reference["profile_height"],
        "H/6": thread.reference["truncation"],
        "radius": thread.root_radius.max,
    }[row["quantity"]]


def taper_pipe(row: Row) -> float:
    thread = limits_of(iso_7_1.FAMILY, row["designation"])
    if row["quantity"] in {"pitch", "height"}:
        return _pipe_basic(thread, row["quantity"])
    return {
        "useful_thread_nominal": thread.reference["useful_thread_length"],
        "gauge_length_nominal": thread.reference["gauge_length"],
        "gauge_diameter_trunc2": thread.reference["gauge_diameter"],
    }[row["quantity"]]


def taper_pipe_in_inches(row: Row) -> float:
    """BS 21: the inch lengths and diameters from which ISO 7-1 took its millimetres."""
    thread = limits_of(iso_7_1.FAMILY, row["designation"]).in_inches()
    key = {
        "gauge_diameter": "bs_21_gauge_diameter",
        "gauge_length_nominal": "bs_21_gauge_length",
        "useful_thread_nominal": "bs_21_useful_thread_length",
    }
    return thread.reference[key[row["quantity"]]]


def npt(row: Row) -> float:
    thread = limits_of(asme_b1_20_1.FAMILY, row["designation"])
    key = {
        "D": "outside_diameter",
        "E0": "pitch_diameter_small_end",
        "E1": "pitch_diameter_gauge_plane",
        "E2": "pitch_diameter_effective_end",
        "L1": "length_hand_tight",
        "L2": "length_effective",
        "L1_threads": "length_hand_tight_threads",
        "L2_threads": "length_effective_threads",
        "vanish": "length_vanish",
        "height": "thread_height",
    }
    if row["quantity"] == "pitch":
        return half_even(thread.pitch, 5)
    if row["quantity"] == "E1":
        assert thread.basic.pitch_diameter == thread.reference[key["E1"]]
    return thread.reference[key[row["quantity"]]]


def whitworth_form_row(row: Row) -> float | None:
    thread = limits_of(
        bs_84.FAMILY, f"1-{row['designation'].removesuffix(' tpi')} WHIT medium bolt"
    )
    return {
        "H": thread.reference["triangle_height"],
        "h": thread.reference["thread_height"],
        "r": thread.root_radius.max,
    }[row["quantity"]]


CHECKS: dict[str, Callable[[Row], float | None]] = {
    "DIN 103 / ISO 2903": trapezoidal,
    "ASME B1.5": acme,
    "ASME B1.5 centralizing": acme_centralizing,
    "ASME B1.8 stub Acme": stub_acme,
    "ISO 228-1": parallel_pipe,
    "GOST 6357 / ISO 228 profile": pipe_profile,
    "ISO 7-1": taper_pipe,
    "BS 21 (inch)": taper_pipe_in_inches,
    "ASME B1.20.1": npt,
    "BS 84 form": whitworth_form_row,
}


METRIC = {
    # Standards of the same file that the tests of metric threads read.
    "ANSI/ASME B1.13M",
    "BS 3643-2",
    "DIN 13 / ISO 965",
    "ISO 965-1 table",
    "ISO 965-2",
    "ISO 965-4",
}


def test_no_standard_of_the_file_is_left_out() -> None:
    with FILE.open(encoding="utf-8", newline="") as file:
        assert {row["standard"] for row in csv.DictReader(file)} == METRIC | set(CHECKS)


@pytest.mark.parametrize(
    "row",
    rows(),
    ids=lambda row: " ".join(row[key] for key in ("standard", "designation", "class", "quantity")),
)
def test_row(row: Row) -> None:
    key = (row["standard"], row["designation"], row["class"], row["quantity"])
    got = CHECKS[row["standard"]](row)
    assert got is not None
    printed, computed = Decimal(row["value"]), Decimal(f"{got:.9f}")
    if "trunc" in row["quantity"]:  # the catalogue cuts the standard's third decimal off
        computed = computed.quantize(printed, ROUND_DOWN)
    same = computed == printed
    assert same is (key not in NOT_REPRODUCED), f"{got} against {printed}"


ACME_TABLE_3 = [
    # size, lead angle [deg, min], stress area of class 3G [in2]
    ("1/4-16", 5, 12, "0.0285"),
    ("5/16-14", 4, 42, "0.0474"),
    ("3/8-12", 4, 33, "0.0699"),
    ("7/16-12", 3, 50, "0.1022"),
    ("1/2-10", 4, 3, "0.1287"),
    ("5/8-8", 4, 3, "0.2043"),
    ("3/4-6", 4, 33, "0.2848"),
    ("7/8-6", 3, 50, "0.4150"),
    ("1-5", 4, 3, "0.5354"),
]


@pytest.mark.parametrize(("size", "degrees", "minutes", "area"), ACME_TABLE_3)
def test_acme_handbook_table_3(size: str, degrees: int, minutes: int, area: str) -> None:
    """Machinery's Handbook, 27th ed., p. 1831 Table 3 (ASME/ANSI B1.5-1988).

    The printed areas come from limits that were rounded otherwise (three of nine differ by one in
    the last digit under every order tried), so they are compared to 0.00015 in2.
    """
    thread = limits_of(asme_b1_5.FAMILY, f"{size} ACME-3G")
    assert thread.lead_angle_deg == pytest.approx(degrees + minutes / 60, abs=0.5 / 60)
    assert thread.stress_area == pytest.approx(float(area), abs=0.00015)


NPT_TABLE_1B = [
    # size, L3, E3, V, L4, L5, E5, h, K0
    ("1/16", "0.1111 0.26424 0.1285 0.3896 0.1870 0.28287 0.02963 0.2416"),
    ("1/8", "0.1111 0.35656 0.1285 0.3924 0.1898 0.37537 0.02963 0.3339"),
    ("1/4", "0.1667 0.46697 0.1928 0.5946 0.2907 0.49556 0.04444 0.4329"),
    ("3/8", "0.1667 0.60160 0.1928 0.6006 0.2967 0.63056 0.04444 0.5676"),
    ("1/2", "0.2143 0.74504 0.2478 0.7815 0.3909 0.78286 0.05714 0.7013"),
    ("3/4", "0.2143 0.95429 0.2478 0.7935 0.4029 0.99286 0.05714 0.9105"),
    ("1", "0.2609 1.19733 0.3017 0.9845 0.5089 1.24543 0.06957 1.1441"),
    ("1 1/4", "0.2609 1.54083 0.3017 1.0085 0.5329 1.59043 0.06957 1.4876"),
    ("1 1/2", "0.2609 1.77978 0.3017 1.0252 0.5496 1.83043 0.06957 1.7265"),
    ("2", "0.2609 2.25272 0.3017 1.0582 0.5826 2.30543 0.06957 2.1995"),
    ("2 1/2", "0.2500 2.70391 0.4337 1.5712 0.8875 2.77500 0.10000 2.6195"),
    ("3", "0.2500 3.32500 0.4337 1.6337 0.9500 3.40000 0.10000 3.2406"),
]
NPT_COLUMNS = (
    "length_wrench",
    "pitch_diameter_wrench_end",
    "length_vanish",
    "length_overall",
    "length_perfect",
    "pitch_diameter_perfect_end",
    "thread_height",
    "minor_diameter_small_end",
)


@pytest.mark.parametrize(("size", "printed"), NPT_TABLE_1B)
def test_npt_handbook_table_1b(size: str, printed: str) -> None:
    """Machinery's Handbook, 27th ed., p. 1862 Table 1b (ANSI/ASME B1.20.1-1983)."""
    reference = limits_of(asme_b1_20_1.FAMILY, f"{size} NPT").reference
    assert [reference[key] for key in NPT_COLUMNS] == [float(each) for each in printed.split()]


BUTTRESS_TABLE_4 = [
    # threads per inch, a diameter in each range of the table, tolerance of class 2
    (20, {0.6: 0.0056}),
    (16, {0.6: 0.0060, 0.85: 0.0062, 1.25: 0.0065, 2.0: 0.0068, 3.0: 0.0073}),
    (12, {0.6: 0.0067, 0.85: 0.0069, 1.25: 0.0071, 2.0: 0.0075, 3.0: 0.0080, 5.0: 0.0084}),
    (10, {0.85: 0.0074, 1.25: 0.0076, 2.0: 0.0080, 3.0: 0.0084, 5.0: 0.0089, 8.0: 0.0095}),
    (10, {13.0: 0.0102}),
]


@pytest.mark.parametrize(("count", "row"), BUTTRESS_TABLE_4)
def test_buttress_handbook_table_4(count: int, row: dict[float, float]) -> None:
    """Machinery's Handbook, 27th ed., p. 1854 Table 4 (ANSI B1.9-1973)."""
    for diameter, tolerance in row.items():
        screw = limits_of(asme_b1_9.FAMILY, f"{diameter}-{count} BUTT-2A")
        assert screw.reference["pitch_diameter_tolerance"] == tolerance
        assert screw.limits.major_diameter.tolerance == pytest.approx(tolerance, abs=1e-9)


@pytest.mark.parametrize(
    ("count", "printed"),
    [
        (20, "0.0300 0.0445 0.0073 0.0331 0.0041 0.0036 0.0082"),
        (16, "0.0375 0.0557 0.0091 0.0414 0.0052 0.0045 0.0102"),
    ],
)
def test_buttress_handbook_table_2(count: int, printed: str) -> None:
    """Machinery's Handbook, 27th ed., p. 1851 Table 2: h, H, f, hs, s, r, F."""
    thread = limits_of(asme_b1_9.FAMILY, f"0.6-{count} BUTT-2A")
    reference = thread.reference
    got = [
        reference["thread_height"],
        reference["triangle_height"],
        reference["crest_truncation"],
        reference["height_of_each_thread"],
        reference["root_truncation_max"],
        thread.root_radius.max,
        reference["crest_flat"],
    ]
    assert got == [float(each) for each in printed.split()]


@pytest.mark.parametrize(
    ("side", "tolerance_class", "share"),
    [
        ("bolt", "close", 200 / 3),
        ("bolt", "medium", 100),
        ("bolt", "free", 150),
        ("nut", "medium", 100),
        ("nut", "normal", 150),
    ],
)
def test_shares_of_the_whitworth_classes(side: str, tolerance_class: str, share: float) -> None:
    # BS 84, figure of the tolerance zones of the pitch diameter: per cent of the unit, as reprinted
    # in the technical pages on British threads of a trade publication.
    medium = limits_of(bs_84.FAMILY, f"1-8 BSW medium {side}").limits.pitch_diameter.tolerance
    thread = limits_of(bs_84.FAMILY, f"1-8 BSW {tolerance_class} {side}")
    assert medium is not None
    assert thread.limits.pitch_diameter.tolerance == pytest.approx(share / 100 * medium, abs=0.0001)


def test_the_whitworth_allowance_ends_at_three_quarters() -> None:
    # The same figure: medium and free bolts have the allowance at 3/4 in and under, not over it.
    for tolerance_class in ("medium", "free"):
        assert limits_of(bs_84.FAMILY, f"3/4-10 BSW {tolerance_class} bolt").allowance > 0
        assert limits_of(bs_84.FAMILY, f"7/8-9 BSW {tolerance_class} bolt").allowance == 0


@pytest.mark.parametrize("designation", ["1/4-28 UNJF-3A", "3/8-24 UNJF-3A", "1/2-20 UNJF-3A"])
def test_form_of_the_unj_thread(designation: str) -> None:
    # Lecture notes on components of aircraft (German), section 9.2, after AS8879:
    # d2 = d - 0.64952 P, d3 = d - 1.155 P, H1 = 9/16 H. 3A has no allowance: limits begin at these.
    thread = limits_of(asme_b1_15.FAMILY, designation)
    d, p = thread.nominal_diameter, thread.pitch
    assert thread.limits.pitch_diameter.max == pytest.approx(d - 0.64952 * p, abs=0.0001)
    assert thread.limits.minor_diameter.max == pytest.approx(d - 1.155 * p, abs=0.0001)
    height = 9 / 16 * math.sqrt(3) / 2 * p
    assert thread.reference["thread_height"] == pytest.approx(height, rel=1e-6)


@pytest.mark.parametrize("size", ["14", "16", "18", "20", "24"])
def test_large_sizes_of_npt(size: str) -> None:
    # "Pipe thread sizes", table of an engineering column (public page): 14 to 24 in outside
    # diameter, each with 8 threads per inch. Their length L1 stands in no table that was read.
    thread = limits_of(asme_b1_20_1.FAMILY, f"{size}-8 NPT")
    assert thread.threads_per_inch == 8
    assert thread.nominal_diameter == float(size)
    assert "length L1 from memory" in thread.basis
