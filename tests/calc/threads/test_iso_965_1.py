"""ISO metric limits: the tables against their rule, what must always hold, refusals, working."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from threadwright_service.calc.errors import (
    AmbiguousError,
    InfeasibleError,
    MissingInputError,
    NotTabulatedError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.tables import document_of, load
from threadwright_service.calc.threads import r40
from threadwright_service.calc.threads.limits import thread_limits
from threadwright_service.calc.threads.metric import iso_261
from threadwright_service.calc.threads.metric import iso_965_1_tolerances as tolerances
from threadwright_service.calc.threads.metric.iso_965_1 import ISO_METRIC
from threadwright_service.calc.threads.metric.iso_965_1_classes import COMMON_CLASSES, metric_class
from threadwright_service.calc.threads.metric.iso_965_1_engagement import engagement
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail

PACKAGE = "threadwright_service.calc.threads.metric"


SOURCES = {
    "derivation",
    *(
        entry["id"]
        for entry in document_of("threadwright_service.calc.threads", "sources")["source"]
    ),
}
"""Ids of the publications that a step of the working may cite."""


def limits(text: str, **fields: object) -> ThreadLimits:
    return thread_limits(designation=text, **fields)  # type: ignore[arg-type]


# --- the tables -----------------------------------------------------------------------------

# Places that the tables set otherwise than the grade-6 formula, as the comparison of the rule
# with 221 published cells found them: (lower limit of the range or None, pitch) -> R40 place.
SET_OTHERWISE: dict[str, dict[tuple[float | None, float], int]] = {
    "TD1": {(None, 0.25): 74, (None, 0.5): 86, (None, 1.0): 95},
    "Td": {(None, 0.2): 70, (None, 4.0): 107},
    "Td2": {(2.8, 0.5): 75, (2.8, 0.75): 78, (45.0, 5.0): 96, (180.0, 3.0): 96, (180.0, 4.0): 98},
}
SET_OTHERWISE["TD2"] = SET_OTHERWISE["Td2"]
ONE_CELL_OFF_THE_SHIFT = {("Td", 8.0, 8): 1180}


@pytest.mark.parametrize(
    ("which", "name"),
    [
        (tolerances.EXTERNAL_PITCH, "external_pitch"),
        (tolerances.INTERNAL_PITCH, "internal_pitch"),
        (tolerances.EXTERNAL_MAJOR, "external_major"),
        (tolerances.INTERNAL_MINOR, "internal_minor"),
    ],
    ids=lambda value: getattr(value, "symbol", ""),
)
def test_every_cell_is_the_rule_or_a_known_exception(
    which: tolerances.Tolerance, name: str
) -> None:
    """The tables were copied from print; the rule of R40 places does not rest on the copy."""
    compared = 0
    for row in load(PACKAGE, f"tables/iso_965_1_{name}"):
        over, pitch = row.get("d_over_mm"), float(row["pitch_mm"])
        key = (None if over is None else float(over), pitch)
        diameter = 10.0 if over is None else float(row["d_upto_mm"])
        place = SET_OTHERWISE[which.symbol].get(key, which.index(diameter, pitch))
        for grade, shift in which.shift.items():
            value = row.get(f"grade_{grade}_um", 0)
            if value:
                printed = r40.tolerance_um(place + shift)
                expected = ONE_CELL_OFF_THE_SHIFT.get((which.symbol, pitch, grade), printed)
                assert value == expected, (key, grade)
                compared += 1
    assert compared > 60


@pytest.mark.parametrize(
    "name", ["external_pitch", "internal_pitch", "external_major", "internal_minor", "deviations"]
)
def test_each_value_says_what_it_rests_on(name: str) -> None:
    for row in load(PACKAGE, f"tables/iso_965_1_{name}"):
        values = [value for column, value in row.items() if column.endswith("_um")]
        letters = str(row["basis"])
        assert len(letters) == len(values)
        assert all(
            (letter == "-") == (value == 0) for letter, value in zip(letters, values, strict=True)
        )
        assert set(letters) <= set("PIRM-")


def test_ranges_are_over_the_lower_up_to_and_including_the_upper() -> None:
    """M11.2 belongs to the range below 11.2, anything above it to the next (ISO 965-1)."""
    assert tolerances.range_over_mm(11.2) == 5.6
    assert tolerances.range_over_mm(11.201) == 11.2
    assert tolerances.range_over_mm(355.0) == 180.0


def test_outside_of_the_ranges_nothing_is_told() -> None:
    for diameter in (0.99, 355.1):
        with pytest.raises(OutOfRangeError):
            tolerances.range_over_mm(diameter)
    with pytest.raises(NotTabulatedError):
        tolerances.tolerance(tolerances.EXTERNAL_MAJOR, 5, diameter_mm=24, pitch_mm=1.2)


def test_groups_of_engagement_meet() -> None:
    known = engagement(diameter_mm=24, pitch_mm=1.5)
    assert known is not None
    assert [known.group(length) for length in (6.3, 6.31, 19.0, 19.01)] == ["S", "N", "N", "L"]


def test_the_plan_is_sane() -> None:
    """Choices, and pitches that fall, from coarse to fine (ISO 261)."""
    assert len(iso_261.plan()) > 90
    for diameter, row in iso_261.plan().items():
        assert row.choice in {1, 2, 3}
        assert list(row.pitches_mm) == sorted(set(row.pitches_mm), reverse=True)
        assert all(pitch <= 0.25 * diameter for pitch in row.pitches_mm)
        if row.coarse_mm is not None:
            assert diameter <= 68
    assert len(ISO_METRIC.sizes()) == sum(len(row.pitches_mm) for row in iso_261.plan().values())


# --- what must always hold ------------------------------------------------------------------

planned = st.sampled_from([(size.nominal_diameter, size.pitch) for size in ISO_METRIC.sizes()])


def made(diameter: float, pitch: float, tolerance_class: str) -> ThreadLimits | None:
    """The limits, or nothing where the standard has no such grade or position for the pitch."""
    try:
        return limits(f"M{diameter:g}x{pitch:g}-{tolerance_class}")
    except (NotTabulatedError, OutOfRangeError, InfeasibleError):
        return None


@given(planned, st.sampled_from(COMMON_CLASSES))
def test_order_of_the_diameters(pair: tuple[float, float], tolerance_class: str) -> None:
    found = made(*pair, tolerance_class)
    assume(found is not None)
    assert found is not None
    check_order(found)


@given(
    st.integers(min_value=10, max_value=3550).map(lambda tenths: tenths / 10),
    st.integers(min_value=20, max_value=800).map(lambda hundredths: hundredths / 100),
    st.sampled_from(["6g", "6h", "6H", "4g6g", "6e", "6f", "6G"]),
)
def test_any_pair_computes_or_is_refused(
    diameter: float, pitch: float, tolerance_class: str
) -> None:
    assume(pitch <= diameter / 2)
    found = made(diameter, pitch, tolerance_class)
    if found is not None:
        check_order(found)


def check_order(found: ThreadLimits) -> None:
    major, pitch, minor = (
        found.limits.major_diameter,
        found.limits.pitch_diameter,
        found.limits.minor_diameter,
    )
    assert pitch.max is not None
    assert pitch.min is not None
    assert major.min is not None
    assert pitch.min < pitch.max < major.min
    if found.side == "external":
        assert major.max is not None
        assert major.min < major.max <= found.nominal_diameter
        assert pitch.max == pytest.approx(found.basic.pitch_diameter - found.allowance)
        assert minor.max is None
        assert minor.min is None
        flat = found.reference["minor_diameter_flat_max"]
        assert found.reference["minor_diameter_rounded_min"] < flat < pitch.min
        assert found.reference["minor_diameter_stress"] < flat
    else:
        assert minor.min is not None
        assert minor.max is not None
        assert minor.min < minor.max < pitch.min
        assert pitch.min == pytest.approx(found.basic.pitch_diameter + found.allowance)
        assert major.max is None
        assert found.reference["major_diameter_max"] > major.min


@given(planned)
def test_positions_move_the_zone_and_keep_its_width(pair: tuple[float, float]) -> None:
    zones = [made(*pair, tolerance_class) for tolerance_class in ("6h", "6g", "6f", "6e")]
    allowances = [zone.allowance for zone in zones if zone is not None]
    assert allowances == sorted(allowances)
    widths = {round(zone.limits.pitch_diameter.tolerance or 0, 6) for zone in zones if zone}
    assert len(widths) <= 1


@given(planned)
def test_inches_and_millimetres_say_the_same(pair: tuple[float, float]) -> None:
    diameter, pitch = pair
    in_mm = thread_limits(
        series="M", nominal_diameter=diameter, pitch=pitch, tolerance_class="4h", length_unit="mm"
    )
    in_inches = thread_limits(
        series="M",
        nominal_diameter=diameter / 25.4,
        pitch=pitch / 25.4,
        tolerance_class="4h",
        length_unit="in",
    )
    assert in_inches == in_mm


@given(planned, st.integers(min_value=1, max_value=6), st.sampled_from(["left", "right"]))
def test_the_normalised_call_out_reads_as_the_same_thread(
    pair: tuple[float, float], starts: int, hand: str
) -> None:
    diameter, pitch = pair
    found = thread_limits(
        series="M",
        nominal_diameter=diameter,
        pitch=pitch,
        tolerance_class="4h",
        starts=starts,
        hand=hand,  # type: ignore[arg-type]
    )
    assert limits(found.designation) == found
    assert found.lead == pytest.approx(starts * pitch)


# --- single cases ---------------------------------------------------------------------------


def test_a_mixed_class_takes_each_part_from_its_own_grade() -> None:
    """M10x1.5: Td2 of grade 4 is 85 um, Td of grade 6 is 236 um (tables of ISO 965-1)."""
    found = limits("M10x1.5-4g6g").limits
    assert found.pitch_diameter.tolerance == pytest.approx(0.085)
    assert found.major_diameter.tolerance == pytest.approx(0.236)


def test_parts_with_different_positions_have_different_allowances() -> None:
    found = limits("M10x1.5-6g6h")
    assert found.allowance == 0.032
    assert dict(found.allowances) == {"major_diameter": 0.0}
    inside = limits("M10x1.5-6H6G")
    assert inside.allowance == 0.0
    assert dict(inside.allowances) == {"minor_diameter": 0.032}


@pytest.mark.parametrize(
    ("text", "error", "accepted"),
    [
        ("M10x1.5", MissingInputError, "6g (medium)"),
        ("M10x1.5-6H/6g", AmbiguousError, "6H or 6g"),
        ("M10x1.5-6g6H", AmbiguousError, "two small letters"),
        ("M10x1.5-6c", NotTabulatedError, "e, f, g, h, az"),
        ("M10x1.5-6AZ", NotTabulatedError, "G, H inside"),
        ("M10x1.5-8az", NotTabulatedError, "6az"),
        ("M10x1.5-6k", UnknownDesignationError, "e, f, g, h, az"),
        ("M10x1.5-5g", NotTabulatedError, "5g6g"),
        ("M10x1.5-12H", NotTabulatedError, "4, 5, 6, 7, 8"),
        ("M3x0.5-8g", NotTabulatedError, "grades 4, 6"),
        ("M2x0.4-6e", NotTabulatedError, "g or h"),
        ("M20x0.45-6e", NotTabulatedError, "g or h"),
        ("M20x0.44-6e", NotTabulatedError, "g or h"),
        ("M20x0.33-6f", NotTabulatedError, "g or h"),
        ("M35-6g", MissingInputError, "M35x1.5"),
        ("M23-6g", MissingInputError, "M22 and M24"),
        ("M10x9-6g", OutOfRangeError, "M10x1.5 (coarse)"),
        ("M10x0-6g", OutOfRangeError, "M10x1.5 (coarse)"),
        ("M0.9x0.2-6g", OutOfRangeError, "1 mm to 355 mm"),
        ("M400x6-6g", OutOfRangeError, "1 mm to 355 mm"),
        ("M10x0.9-6H", OutOfRangeError, "0.8 mm"),
        ("M350x0.2-9g6g", InfeasibleError, "coarser pitch"),
        ("M24x1.5x40-6g", UnknownDesignationError, "no length of the part"),
        ("M24x1.5-6g-X", UnknownDesignationError, "LH"),
        ("M16xPh4P1.5-6H", AmbiguousError, "Ph3P1.5"),
        ("M16xPh3P0-6H", AmbiguousError, "starts x pitch"),
        ("M16xPh3P1.5-6H 3 STARTS", AmbiguousError, "2"),
        ("M99999xPh99999P.000001-6H", OutOfRangeError, "1 to 20"),
    ],
)
def test_refusals_say_what_is_accepted(text: str, error: type[Exception], accepted: str) -> None:
    with pytest.raises(error) as caught:
        limits(text)
    assert accepted in caught.value.accepted  # type: ignore[attr-defined]
    assert caught.value.parameter  # type: ignore[attr-defined]


@pytest.mark.parametrize("text", ["", "g6", "6", "666g", "6g4g2g", "6é"])
def test_what_is_no_class_is_refused(text: str) -> None:
    with pytest.raises((MissingInputError, UnknownDesignationError)):
        metric_class(text)


@pytest.mark.parametrize(
    ("text", "designation"),
    [
        ("M10-6H", "M10x1.5-6H"),
        ("m10-6h", "M10x1.5-6h"),
        ("M 10 x 1.25 6g", "M10x1.25-6g"),
        ("M10*1.25-6g", "M10x1.25-6g"),
        ("M10-1.25-6g", "M10x1.25-6g"),
        ("M24X2-6g6g", "M24x2-6g"),
        ("M24×1.5 - 6g LH", "M24x1.5-6g-LH"),
        ("M20x2-5h6h-S-LH", "M20x2-5h6h-S-LH"),
        ("M20x2-7H-L", "M20x2-7H-L"),
        ("M20x2-6H-N", "M20x2-6H"),
        ("M16xPh3P1.5-6H", "M16xPh3P1.5-6H"),
        ("M24x3(P1.5)-6g", "M24xPh3P1.5-6g"),
        ("M14x6-P2-7H-L-LH", "M14xPh6P2-7H-L-LH"),
        ("M24x1.5-6g (2 STARTS)", "M24xPh3P1.5-6g"),
        ("M16xPh3P1.5 (two starts)-6H", "M16xPh3P1.5-6H"),
    ],
)
def test_call_outs_as_people_write_them(text: str, designation: str) -> None:
    assert limits(text).designation == designation


def test_what_is_implied_is_said() -> None:
    trail = Trail()
    limits("M10-6H", trail=trail)
    assert {(each.parameter, each.value) for each in trail.assumptions} == {
        ("pitch", 1.5),
        ("length_of_engagement", "N"),
    }
    trail = Trail()
    limits("M10x1.5-6H", length_of_engagement=10, length_unit="mm", trail=trail)
    assert not trail.assumptions


@pytest.mark.parametrize(
    ("length_mm", "group", "cautions"),
    [
        (5.0, "S", {"class-for-engagement"}),
        (12.0, "N", set()),
        (16.0, "L", {"class-for-engagement"}),
    ],
)
def test_engagement_gives_the_group_and_keeps_the_class(
    length_mm: float, group: str, cautions: set[str]
) -> None:
    """M10x1.5: N is over 5 mm up to 15 mm (table of ISO 965-1)."""
    trail = Trail()
    found = limits("M10x1.5-6g", length_of_engagement=length_mm, length_unit="mm", trail=trail)
    assert found.length_of_engagement_group == group
    assert {caution.code for caution in trail.cautions} == cautions
    assert found.limits == limits("M10x1.5-6g").limits


def test_engagement_that_contradicts_its_group_is_ambiguous() -> None:
    with pytest.raises(AmbiguousError) as caught:
        limits("M10x1.5-6g-L", length_of_engagement=10)
    assert caught.value.accepted == "group N is over 5 mm up to 15 mm"
    assert limits("M10x1.5-7g6g-L", length_of_engagement=16).length_of_engagement_group == "L"


@pytest.mark.parametrize("length_mm", [1.0, 101.0])
def test_absurd_engagement_is_refused(length_mm: float) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        limits("M10x1.5-6g", length_of_engagement=length_mm)
    assert caught.value.parameter == "length_of_engagement"


def test_what_is_not_tabulated_is_flagged() -> None:
    trail = Trail(steps=[])
    found = limits("M24x1.2-6g", length_of_engagement=12, trail=trail)
    assert "not tabulated" in found.basis
    assert "not in the general plan" in found.basis
    assert found.length_of_engagement_group == ""
    assert {caution.code for caution in trail.cautions} == {
        "not-in-general-plan",
        "engagement-not-tabulated",
    }
    assert any(step.formula == "R40, from the grade-6 formula" for step in trail.steps or ())
    assert "not tabulated" not in limits("M24x1.5-6g").basis
    with pytest.raises(NotTabulatedError):
        limits("M24x1.2-10g6g")
    assert limits("M24x1.2-6G").allowance > 0


def test_galvanised_threads_name_their_standard() -> None:
    """M10-6az: es = 330 um (ISO 965-4)."""
    found = limits("M10-6az")
    assert found.allowance == 0.330
    assert "ISO 965-4" in found.standard


@pytest.mark.parametrize(
    "text", ["M10x1.5-6g", "M10x1.5-6az", "M10x1.5-6H6G", "M24x1.2-6e", "M6x1-4H5H"]
)
def test_the_working_shows_what_is_computed(text: str) -> None:
    trail = Trail(steps=[])
    shown = limits(text, trail=trail)
    assert shown == limits(text)
    assert trail.steps
    names = {"sqrt": math.sqrt, "pi": math.pi}
    for step in trail.steps:
        assert re.split("[,;]", step.source)[0] in SOURCES
        if step.formula == "table" or step.formula.startswith("R40"):
            continue
        value = eval(step.substituted, names)
        # The numbers put in are shown to ten digits, so an unrounded value agrees to nine.
        within = 0.5000001 * 10.0 ** -int(step.rounding.split()[0]) if step.rounding else 0.0
        assert value == pytest.approx(step.value, abs=within, rel=1e-9), step.quantity


def test_another_rounding_rule_is_refused() -> None:
    with pytest.raises(UnknownDesignationError) as caught:
        limits("M10x1.5-6g", rounding="b130")
    assert caught.value.accepted == "table"
    assert limits("M10x1.5-6g", rounding="table") == limits("M10x1.5-6g")


@pytest.mark.parametrize(
    ("fields", "error", "parameter"),
    [
        ({"series": "M"}, MissingInputError, "nominal_diameter"),
        (
            {"series": "M", "nominal_diameter": 10, "threads_per_inch": 20},
            AmbiguousError,
            "threads_per_inch",
        ),
        ({"series": "M", "nominal_diameter": "3/8"}, UnknownDesignationError, "nominal_diameter"),
        (
            {"series": "M", "nominal_diameter": 10, "pitch": 1.5},
            MissingInputError,
            "tolerance_class",
        ),
    ],
)
def test_fields_that_do_not_make_a_metric_thread(
    fields: dict[str, object], error: type[Exception], parameter: str
) -> None:
    with pytest.raises(error) as caught:
        thread_limits(**fields)  # type: ignore[arg-type]
    assert caught.value.parameter == parameter  # type: ignore[attr-defined]


def test_a_size_as_text_is_read() -> None:
    for size in ("M24", "24", "m 24", "24.0"):
        found = thread_limits(series="M", nominal_diameter=size, pitch=2, tolerance_class="6g")
        assert found.designation == "M24x2-6g"
