"""The one entry for all threads: call-outs as written, fields, contradictions, any text."""

from __future__ import annotations

import contextlib
import math
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from threadwright_service.calc.errors import (
    AmbiguousError,
    CalcError,
    InfeasibleError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads import registry
from threadwright_service.calc.threads.limits import list_threads, parse_call_out, thread_limits
from threadwright_service.calc.trail import Trail


def designation_of(**arguments: object) -> str:
    return thread_limits(**arguments).designation  # type: ignore[arg-type]


# --- call-outs ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "designation"),
    [
        ("3/4-16 UNF-2A", "3/4-16 UNF-2A"),
        ('3/4"-16 UNF 2A', "3/4-16 UNF-2A"),
        ("3/4 in-16 UNF 2A", "3/4-16 UNF-2A"),
        (".750-16UNF-2A", "3/4-16 UNF-2A"),
        ("0.75 - 16 UNF - 2a", "3/4-16 UNF-2A"),
        ("3/4-16 unf-2A RH", "3/4-16 UNF-2A"),
        ("3/4 x 16 TPI UNF-2A", "3/4-16 UNF-2A"),
        ("#10-32 UNF-2B", "#10-32 UNF-2B"),
        ("No. 10-32 UNF-2B", "#10-32 UNF-2B"),
        ("No.10-32 UNF-2B", "#10-32 UNF-2B"),
        ("10-32 UNF-2B", "#10-32 UNF-2B"),
        ("10-32-2B", "#10-32 UNF-2B"),
        ("10 (.190)-32 UNF-2B", "#10-32 UNF-2B"),
        ("1.5 (1.500)-6 UNC-2B", "1 1/2-6 UNC-2B"),
        (".190-32 UNF-2B", "#10-32 UNF-2B"),
        ("2-56 UNC-2A", "#2-56 UNC-2A"),
        ("2-4.5 UNC-2A", "2-4.5 UNC-2A"),
        ("2-8 UN-2A", "2-8 UN-2A"),
        ("1-8 UNC-2A", "1-8 UNC-2A"),
        ("1 UNEF-2A", "1-20 UNEF-2A"),
        ("12 UNC-2A", "#12-24 UNC-2A"),
        ("3/4 UNC-2B", "3/4-10 UNC-2B"),
        ("1-1/2-6 UNC-2A LH", "1 1/2-6 UNC-2A LH"),
        ("1 1/2-6 UNC-2A-LH", "1 1/2-6 UNC-2A LH"),
        ("24/16-6 UNC-2A", "1 1/2-6 UNC-2A"),
        ("0.5625-20 UN-2A", "9/16-20 UN-2A"),
        ("3/4-16 UN-2A", "3/4-16 UNF-2A"),
        ("3/4-16 UNR-3A", "3/4-16 UNRF-3A"),
        ("3/4-15 UNS-2A", "3/4-15 UNS-2A"),
        ("3/4-15 UN-2A", "3/4-15 UNS-2A"),
        ("1-8 UNC-2A (2 STARTS)", "1-8 UNC-2A (2 STARTS)"),
        ("1-8-.25L UNC-2A", "1-8 UNC-2A (2 STARTS)"),
        (".5-.0833P-.1667L (2 STARTS) UNS-2A", "1/2-12 UNS-2A (2 STARTS)"),
        ("0.5-0.0833P-0.1667L-UNS-2A (TWO STARTS)", "1/2-12 UNS-2A (2 STARTS)"),
        ("1-8 UNC-SE2A LE 2.5", "1-8 UNC-SE2A LE 2.5"),
        ("1-8 UNC-SE2A LE=2.5 LH", "1-8 UNC-SE2A LE 2.5 LH"),
        ("½-13 UNC-2A", "1/2-13 UNC-2A"),
        ("M24×1.5 - 6g LH", "M24x1.5-6g-LH"),
    ],
)
def test_call_outs_as_people_write_them(text: str, designation: str) -> None:
    assert designation_of(designation=text) == designation


@pytest.mark.parametrize(
    ("text", "error", "parameter", "said", "accepted"),
    [
        ("3/4-16 UNC-2A", AmbiguousError, "series", "3/4-16 is UNF", "3/4-10 is UNC"),
        ("3/4-16 UNS-2A", AmbiguousError, "series", "says UNS", "3/4-16 is UNF"),
        (".313-18 UNC-2A", AmbiguousError, "series", "0.313-18", "5/16 (0.3125 in)"),
        ("3/4-15", UnknownDesignationError, "designation", "in no series", "3/4-16 UNF"),
        ("0.3-17-2A", UnknownDesignationError, "designation", "in no series", "near 19/64"),
        ("12x1.5", UnknownDesignationError, "designation", "read in inches", "M12x1.5, M before"),
        ("3/4-16 UNF", MissingInputError, "tolerance_class", "3/4-16 UNF", "2B"),
        ("3/4-16 UNF-4A", UnknownDesignationError, "tolerance_class", "4A", "1A, 2A, 3A"),
        ("3/4-16 UNF-6g", UnknownDesignationError, "tolerance_class", "6G", "1A, 2A, 3A"),
        ("3/4-16 UNF-2A/2B", AmbiguousError, "tolerance_class", "a fit", "2A or 2B"),
        ("3/4-16 UNRF-2B", AmbiguousError, "tolerance_class", "UNRF", "UNF with 2B"),
        ("3/4-2A", MissingInputError, "threads_per_inch", "0.75", "3/4-10 UNC"),
        ("3/4 UN-2A", MissingInputError, "threads_per_inch", "UN of 0.75", "3/4-12 UN"),
        ("1-50 UNS-2A", AmbiguousError, "nominal_diameter", "#1 or 1 in", '1"-50'),
        ("1 UNC-2A", AmbiguousError, "nominal_diameter", "both are", "#1-64 UNC"),
        ("0 UNC-2A", AmbiguousError, "nominal_diameter", "#0 or 0 in", "#0-80"),
        ("#7-32 UNC-2A", UnknownDesignationError, "nominal_diameter", "#7", "#6, #8"),
        ("1/3-16 UNC-2A", UnknownDesignationError, "nominal_diameter", "1/3", "64ths"),
        ("1/0-16 UNC-2A", UnknownDesignationError, "nominal_diameter", "1/0", "64ths"),
        ("#10 (.250)-32-2A", AmbiguousError, "nominal_diameter", ".250", "10 (.190)"),
        ("0.01-80 UNS-2A", OutOfRangeError, "nominal_diameter", "#0", "24 in"),
        ("30-3 UNS-2A", OutOfRangeError, "nominal_diameter", "30", "24 in"),
        ("3/4-3200 UNS-2A", OutOfRangeError, "threads_per_inch", "3200", "1 to 100"),
        ("3/4-0 UNS-2A", OutOfRangeError, "threads_per_inch", "0", "1 to 100"),
        ("1/4-3 UNS-2A", OutOfRangeError, "threads_per_inch", "half", "1/4-20 UNC"),
        (".5-.0P UNS-2A", OutOfRangeError, "pitch", "0", "0.01 in"),
        (".5-.0833P-.2L UNS-2A", AmbiguousError, "designation", "2.4 pitches", "multiple"),
        (".5-.0833P-.1667L UNS-2A 3 STARTS", AmbiguousError, "starts", "2 starts", "2 starts"),
        (".5-.1667L UNF-2A", MissingInputError, "pitch", "no pitch", ".0833P"),
        ("1/4-20 NC-2", UnknownDesignationError, "designation", "American National", "UNC"),
        ("1-8 UNC-2A MOD", UnknownDesignationError, "designation", "drawing itself", "LH"),
        ("1-8 UNC-2A X 2", UnknownDesignationError, "designation", "'X 2'", "LH"),
        ("3/4-16 banana", UnknownDesignationError, "designation", "with 16 threads", "UNC"),
        ("3/4-16-banana", UnknownDesignationError, "designation", "'banana' was not", "UNC"),
        ("banana", UnknownDesignationError, "designation", "nothing in it", "M10-6H"),
        ("M24x1,5-6g", UnknownDesignationError, "designation", "decimal comma", "M24x1.5-6g"),
    ],
)
def test_refusals_say_what_was_understood_and_what_is_accepted(
    text: str, error: type[CalcError], parameter: str, said: str, accepted: str
) -> None:
    with pytest.raises(error) as caught:
        thread_limits(designation=text)
    assert caught.value.parameter == parameter
    assert said in caught.value.detail
    assert accepted in caught.value.accepted
    assert len(caught.value.detail) < 400


@pytest.mark.parametrize(
    ("text", "parameter", "value"),
    [
        ("10-32-2B", "series", "UNF"),
        ("3/4 UNF-2A", "threads_per_inch", 16.0),
        (".5-.0833P UNS-2A", "threads_per_inch", 12.0),
    ],
)
def test_what_the_standard_implies_is_said(text: str, parameter: str, value: object) -> None:
    trail = Trail()
    thread_limits(designation=text, trail=trail)
    assert (parameter, value) in {(each.parameter, each.value) for each in trail.assumptions}


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("3/4-16 UN-2A", "series-normalised"),
        ("1-8 UNC-2A (21)", "gauging-system-ignored"),
    ],
)
def test_what_is_read_otherwise_than_written_is_cautioned(text: str, code: str) -> None:
    trail = Trail()
    thread_limits(designation=text, trail=trail)
    assert code in {caution.code for caution in trail.cautions}
    assert thread_limits(designation=text)  # without a trail the same thread, in silence


# --- fields ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fields", "designation"),
    [
        (
            {"series": "UNF", "nominal_diameter": "3/4", "threads_per_inch": 16},
            "3/4-16 UNF-2A",
        ),
        ({"series": "unf", "nominal_diameter": 0.75}, "3/4-16 UNF-2A"),
        ({"series": "8UN", "nominal_diameter": 2.5}, "2 1/2-8 UN-2A"),
        ({"series": "12 UNR", "nominal_diameter": "1 3/8"}, "1 3/8-12 UNRF-2A"),
        ({"nominal_diameter": "#10", "threads_per_inch": 32}, "#10-32 UNF-2A"),
        ({"nominal_diameter": "10", "threads_per_inch": 32}, "#10-32 UNF-2A"),
        ({"series": "UN", "nominal_diameter": 1, "pitch": 0.0625}, "1-16 UN-2A"),
        (
            {"series": "UN", "nominal_diameter": 25.4, "pitch": 1.5875, "length_unit": "mm"},
            "1-16 UN-2A",
        ),
        ({"nominal_diameter": 0.75, "pitch": 0.0625, "threads_per_inch": 16}, "3/4-16 UNF-2A"),
    ],
)
def test_threads_as_fields(fields: dict[str, object], designation: str) -> None:
    assert designation_of(**fields, tolerance_class="2A") == designation


def test_a_metric_thread_as_fields() -> None:
    trail = Trail()
    found = thread_limits(nominal_diameter=24, pitch=1.5, tolerance_class="6g", trail=trail)
    assert found.designation == "M24x1.5-6g"
    assert {each.parameter for each in trail.assumptions} == {"series", "length_of_engagement"}
    assert thread_limits(nominal_diameter=24, pitch=1.5, tolerance_class="6g") == found


def test_a_whole_number_as_number_is_inches_and_as_text_may_be_a_number_size() -> None:
    assert designation_of(
        nominal_diameter=2, threads_per_inch=8, tolerance_class="2A"
    ) == designation_of(designation="2-8 UN-2A")
    with pytest.raises(UnknownDesignationError, match=r"10\.0-32 is in no series"):
        thread_limits(nominal_diameter=10, threads_per_inch=32, tolerance_class="2A")


@pytest.mark.parametrize(
    ("fields", "error", "parameter"),
    [
        ({}, MissingInputError, "designation"),
        ({"pitch": 1.5}, MissingInputError, "series"),
        ({"pitch": 1.5, "tolerance_class": "?"}, MissingInputError, "series"),
        ({"series": "XX"}, UnknownDesignationError, "series"),
        ({"series": "8XUN"}, UnknownDesignationError, "series"),
        ({"series": "1234UN", "nominal_diameter": 1}, UnknownDesignationError, "series"),
        ({"series": "U" * 101}, UnknownDesignationError, "series"),
        ({"series": "UNC"}, MissingInputError, "nominal_diameter"),
        ({"series": "UNC", "nominal_diameter": "x"}, UnknownDesignationError, "nominal_diameter"),
        ({"series": "UNC", "nominal_diameter": 1.0}, MissingInputError, "tolerance_class"),
        (
            {"series": "8UN", "nominal_diameter": 1.5, "threads_per_inch": 12},
            AmbiguousError,
            "threads_per_inch",
        ),
        (
            {"series": "UN", "nominal_diameter": 1.5, "threads_per_inch": 12, "pitch": 0.125},
            AmbiguousError,
            "pitch",
        ),
        ({"series": "UN", "nominal_diameter": 1.5, "pitch": 3.0}, OutOfRangeError, "pitch"),
        ({"series": "UN", "nominal_diameter": -1.0}, OutOfRangeError, "nominal_diameter"),
        ({"series": "UN", "nominal_diameter": 1e9}, OutOfRangeError, "nominal_diameter"),
        ({"series": "UN", "nominal_diameter": math.nan}, OutOfRangeError, "nominal_diameter"),
        ({"series": "UN", "nominal_diameter": 1.0, "pitch": 0}, OutOfRangeError, "pitch"),
        ({"series": "M", "nominal_diameter": 10, "pitch": math.inf}, OutOfRangeError, "pitch"),
        ({"series": "M", "nominal_diameter": 10, "starts": 0}, OutOfRangeError, "starts"),
    ],
)
def test_fields_that_make_no_thread(
    fields: dict[str, object], error: type[CalcError], parameter: str
) -> None:
    with pytest.raises(error) as caught:
        thread_limits(**fields)  # type: ignore[arg-type]
    assert caught.value.parameter == parameter
    assert caught.value.accepted


# --- a call-out and fields ------------------------------------------------------------------

STUD = "3/4-16 UNF-2A"


@pytest.mark.parametrize(
    "fields",
    [
        {"series": "UNF"},
        {"series": "UN"},
        {"series": "16UN"},
        {"nominal_diameter": "3/4"},
        {"nominal_diameter": "0.75"},
        {"nominal_diameter": 0.75},
        {"nominal_diameter": 19.05, "length_unit": "mm"},
        {"threads_per_inch": 16},
        {"pitch": 0.0625},
        {"pitch": 1.5875, "length_unit": "mm"},
        {"tolerance_class": "2A"},
        {"tolerance_class": "2a"},
        {"hand": "right"},
        {"starts": 1},
        {"side": "external"},
    ],
)
def test_fields_may_repeat_what_the_call_out_says(fields: dict[str, object]) -> None:
    assert designation_of(designation=STUD, **fields) == STUD


@pytest.mark.parametrize(
    ("text", "fields", "parameter"),
    [
        (STUD, {"series": "UNC"}, "series"),
        (STUD, {"series": "12UN"}, "series"),
        (STUD, {"nominal_diameter": 0.7}, "nominal_diameter"),
        (STUD, {"nominal_diameter": "5/8"}, "nominal_diameter"),
        (STUD, {"pitch": 0.05}, "pitch"),
        (STUD, {"threads_per_inch": 20}, "threads_per_inch"),
        (STUD, {"tolerance_class": "3A"}, "tolerance_class"),
        (f"{STUD} LH", {"hand": "right"}, "hand"),
        (f"{STUD} RH", {"hand": "left"}, "hand"),
        (f"{STUD} (2 STARTS)", {"starts": 3}, "starts"),
        (STUD, {"side": "internal"}, "side"),
        ("1-8 UNC-SE2A LE 2.5", {"length_of_engagement": 3.0}, "length_of_engagement"),
        ("M24x1.5-6g", {"threads_per_inch": 16}, "threads_per_inch"),
        ("M24x1.5-6g", {"tolerance_class": "6h"}, "tolerance_class"),
        ("M24x1.5-6g", {"series": "8M"}, "series"),
        ("M24x1.5-6g", {"nominal_diameter": "M22"}, "nominal_diameter"),
    ],
)
def test_a_contradiction_names_both(text: str, fields: dict[str, object], parameter: str) -> None:
    with pytest.raises(AmbiguousError) as caught:
        thread_limits(designation=text, **fields)  # type: ignore[arg-type]
    assert caught.value.parameter == parameter
    assert str(caught.value.value) in caught.value.detail


@pytest.mark.parametrize(
    ("text", "fields", "designation"),
    [
        ("3/4-16 UNF", {"tolerance_class": "2A"}, STUD),
        ("M24x1.5", {"tolerance_class": "6g"}, "M24x1.5-6g"),
        ("M24x1.5-6g6g", {"tolerance_class": "6g", "nominal_diameter": "M24"}, "M24x1.5-6g"),
        (STUD, {"hand": "left"}, f"{STUD} LH"),
        (STUD, {"starts": 2}, "3/4-16 UNF-2A (2 STARTS)"),
        ("1-8 UNC-SE2A LE 2.5", {"length_of_engagement": 2.5}, "1-8 UNC-SE2A LE 2.5"),
        (
            "1-8 UNC-2A",
            {"length_of_engagement": 63.5, "length_unit": "mm"},
            "1-8 UNC-SE2A LE 2.5",
        ),
    ],
)
def test_fields_complete_a_call_out(text: str, fields: dict[str, object], designation: str) -> None:
    assert designation_of(designation=text, **fields) == designation


def test_options_of_other_families_are_refused_where_they_mean_nothing() -> None:
    with pytest.raises(InfeasibleError) as caught:
        thread_limits(designation=STUD, distance_from_gauge_plane=1.0)
    assert caught.value.parameter == "distance_from_gauge_plane"


def test_options_reach_the_family_in_its_own_unit() -> None:
    """A taper of 1 in 16: 0.1 in towards the large end adds 0.1/16 in (ASME B1.20.1)."""
    plane = thread_limits(designation="1/2-14 NPT", side="external")
    moved = thread_limits(
        designation="1/2-14 NPT",
        side="external",
        distance_from_gauge_plane=2.54,
        length_unit="mm",
    )
    assert moved.basic.pitch_diameter - plane.basic.pitch_diameter == pytest.approx(
        0.1 / 16, abs=2e-5
    )
    with pytest.raises(OutOfRangeError):
        thread_limits(designation="1/2-14 NPT", distance_from_gauge_plane=math.nan)


# --- any text at all ------------------------------------------------------------------------

WORDS = """M Tr G Rc UN UNC UNF UNEF UNS UNR UNJF NPT ACME STUB BSW BUTT No. # - / x . ( ) LH RH
LEFT STARTS STARTS) P L Ph 2A 3B 6g 6H 4h6h 7e SE2A LE TPI IN in " 1/2 3/4 1 10 24 1.5 .0833 16 32
0 00
1e9 az (21) MOD S N × ½ – medium close nut bolt"""
pieces = st.lists(
    st.one_of(
        st.sampled_from(WORDS.split()),
        st.text(alphabet="0123456789.-/ xXPLHhgA#()", max_size=12),
        st.integers(min_value=-10, max_value=10**9).map(str),
    ),
    max_size=14,
).flatmap(lambda parts: st.sampled_from(["", " ", "-"]).map(lambda joint: joint.join(parts)))


@settings(max_examples=300)
@given(st.one_of(st.text(max_size=200), pieces))
def test_any_text_is_a_thread_or_a_refusal(text: str) -> None:
    with contextlib.suppress(CalcError):
        found = thread_limits(designation=text, trail=Trail(steps=[]))
        assert found.pitch > 0
        assert found.designation


@settings(max_examples=150)
@given(
    st.fixed_dictionaries(
        {},
        optional={
            "designation": st.sampled_from([STUD, "M24x1.5-6g", "3/4-16 UNF", "1/2-14 NPT"]),
            "series": st.one_of(
                st.sampled_from(["UNC", "8UN", "M", "Tr", "NPT"]), st.text(max_size=5)
            ),
            "nominal_diameter": st.one_of(
                st.floats(),
                st.integers(-3, 500),
                st.sampled_from(["3/4", "#10"]),
                st.text(max_size=9),
            ),
            "pitch": st.one_of(st.floats(), st.sampled_from([1.5, 0.0625])),
            "threads_per_inch": st.one_of(st.floats(), st.integers(-3, 90)),
            "tolerance_class": st.one_of(st.sampled_from(["2A", "6g", "7H"]), st.text(max_size=6)),
            "hand": st.sampled_from(["left", "right"]),
            "starts": st.integers(-2, 30),
            "length_of_engagement": st.floats(),
            "side": st.sampled_from(["external", "internal"]),
            "distance_from_gauge_plane": st.floats(),
            "length_unit": st.sampled_from(["in", "mm"]),
            "rounding": st.sampled_from(["table", "b130", "exact", "?"]),
        },
    )
)
def test_any_fields_are_a_thread_or_a_refusal(fields: dict[str, object]) -> None:
    with contextlib.suppress(CalcError):
        assert thread_limits(**fields).designation  # type: ignore[arg-type]


LONG = (
    "1" * 100,
    "1 " * 50,
    "1/" * 50,
    "1-" * 50,
    "M" + "1" * 99,
    "M1" + "x1" * 49,
    "." * 100,
    "(" * 100,
    "#" + " " * 98 + "1",
    "3/4-16 " + "UNF-" * 23,
    "1 STARTS " * 11,
    "LH " * 33,
)


@pytest.mark.parametrize("text", LONG)
def test_no_text_takes_long(text: str) -> None:
    """A pattern that backtracks without end would take seconds on one of these."""
    begin = time.process_time()
    with pytest.raises(CalcError):
        thread_limits(designation=text)
    assert time.process_time() - begin < 0.2


# --- the registry ---------------------------------------------------------------------------


def test_every_family_is_there_and_lists_its_sizes() -> None:
    listed = list_threads()
    assert [each.key for each, _ in listed][:2] == ["unified", "iso-metric"]
    assert len({each.key for each, _ in listed}) == len(registry.FAMILY_ADDRESSES)
    for each, sizes in listed:
        assert registry.family(each.key) is each
        assert sizes
        assert all(size.nominal_diameter > size.pitch > 0 for size in sizes)
        assert each.symbols


def test_no_two_families_share_a_symbol() -> None:
    symbols = [
        symbol.casefold().replace(" ", "")
        for each in registry.families()
        for symbol in each.symbols
    ]
    assert len(symbols) == len(set(symbols))


def test_a_wrong_address_fails_loudly(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(registry, "FAMILY_ADDRESSES", ("unified.asme_b1_1:STANDARD",))
    with pytest.raises(TypeError, match="is not a Family"):
        registry.families.__wrapped__()
    monkeypatch.setattr(registry, "FAMILY_ADDRESSES", ("no_such_module:FAMILY",))
    with pytest.raises(ModuleNotFoundError):
        registry.families.__wrapped__()


def test_the_call_out_alone_can_be_read() -> None:
    found = parse_call_out("1 1/2-6 UNC-2A LH")
    assert (found.size, found.pitch, found.side, found.hand) == ("1 1/2", 1 / 6, "external", "left")
