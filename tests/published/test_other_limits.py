"""Published limits and basic dimensions of trapezoidal, Acme, pipe, Whitworth and other threads.

Every row of ``data/other_limits.csv`` for these standards is compared digit for digit; its column
``source`` names the publication it was taken from. A row that is not reproduced stands in
``NOT_REPRODUCED`` with the reason. The metric rows of the file belong to another module.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from decimal import ROUND_DOWN, Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from threadwright_service.calc.rounding import half_even
from threadwright_service.calc.threads import (
    asme_b1_5,
    asme_b1_8,
    asme_b1_20_1,
    iso_7_1,
    iso_228_1,
    iso_2904,
)
from threadwright_service.calc.threads.designation import tidied
from threadwright_service.calc.threads.registry import Family
from threadwright_service.calc.threads.thread import Span, ThreadLimits

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
}


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
