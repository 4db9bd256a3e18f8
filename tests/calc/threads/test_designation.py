"""What all families share in reading a call-out."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.errors import (
    AmbiguousError,
    CalcError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.designation import (
    LONGEST_TEXT,
    lead_angle_deg,
    tidied,
    without_qualifiers,
)
from threadwright_service.calc.threads.limits import thread_limits
from threadwright_service.calc.trail import Trail


@pytest.mark.parametrize(
    ("written", "plain"),
    [
        ("3/4-16 UNF-2A", "3/4-16 UNF-2A"),
        ("  3/4 - 16\tUNF\u00a0-  2A ", "3/4 - 16 UNF - 2A"),
        ("1½–6 UNC‑2A", "1 1/2-6 UNC-2A"),
        ("½—13", "1/2-13"),
        ("3⁄4″-16", '3/4"-16'),
        ("M24×1.5", "M24x1.5"),
        ("М24х1.5", "M24x1.5"),  # Cyrillic letters
        ("№ 10-32", "No. 10-32"),
        ("\ufeff3/4-16", "3/4-16"),
    ],
)
def test_signs_are_brought_to_one_form(written: str, plain: str) -> None:
    assert tidied(written) == plain


def test_a_decimal_comma_is_refused_with_what_to_write() -> None:
    with pytest.raises(UnknownDesignationError, match="decimal comma; write a decimal point"):
        tidied("M24x1,5-6g")


@pytest.mark.parametrize("text", ["", "   ", "\u200b"])
def test_nothing_is_missing_input(text: str) -> None:
    with pytest.raises(MissingInputError):
        tidied(text)


def test_the_longest_text_is_read_and_one_more_is_not() -> None:
    assert tidied("x" * LONGEST_TEXT) == "x" * LONGEST_TEXT
    with pytest.raises(UnknownDesignationError, match="101 characters"):
        tidied("x" * (LONGEST_TEXT + 1))


@pytest.mark.parametrize("text", ["M24\u0661", "3/4-16 UNF-2Å", "M10\x00", "M\ud800"])
def test_a_character_that_no_call_out_has_is_named(text: str) -> None:
    with pytest.raises(UnknownDesignationError, match="which no call-out has"):
        tidied(text)


@given(st.text(max_size=200))
def test_any_text_is_tidied_to_printable_ascii_or_refused(text: str) -> None:
    try:
        plain = tidied(text)
    except CalcError:
        return
    assert plain.isascii()
    assert plain.isprintable()
    assert plain == tidied(plain)


@pytest.mark.parametrize(
    ("text", "rest", "hand", "starts"),
    [
        ("3/4-16 UNF-2A", "3/4-16 UNF-2A", None, None),
        ("3/4-16 UNF-2A LH", "3/4-16 UNF-2A", "left", None),
        ("3/4-16 UNF-2A-LH", "3/4-16 UNF-2A", "left", None),
        ("3/4-16 UNF-2A (left hand)", "3/4-16 UNF-2A", "left", None),
        ("3/4-16 UNF-2A RH", "3/4-16 UNF-2A", "right", None),
        ("1-8 UNC-2A (2 STARTS)", "1-8 UNC-2A", None, 2),
        ("1-8 UNC-2A double start LH", "1-8 UNC-2A", "left", 2),
        ("1-8 (TWO STARTS) UNC-2A", "1-8 UNC-2A", None, 2),
        ("M10 LH-6g", "M10 -6g", "left", None),
    ],
)
def test_hand_and_starts_are_taken_off(
    text: str, rest: str, hand: str | None, starts: int | None
) -> None:
    plain, qualifiers = without_qualifiers(text)
    assert (plain, qualifiers.hand, qualifiers.starts) == (rest, hand, starts)


@pytest.mark.parametrize("text", ["M10-6g LH RH", "1-8 UNC-2A (2 STARTS) (3 STARTS)"])
def test_two_hands_or_two_numbers_of_starts_are_ambiguous(text: str) -> None:
    with pytest.raises(AmbiguousError):
        without_qualifiers(text)


@pytest.mark.parametrize("text", ["M10-6g 0 STARTS", "M10-6g 21 STARTS"])
def test_absurd_starts_are_refused(text: str) -> None:
    with pytest.raises(OutOfRangeError):
        without_qualifiers(text)


def test_lead_angle_is_that_of_the_unrolled_helix() -> None:
    """A lead equal to the circumference makes 45 degrees (derivation)."""
    assert lead_angle_deg(lead=3.141592653589793, pitch_diameter=1.0) == pytest.approx(45.0)


# --- as people write them: what is meant, and nothing else -----------------------------------


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        # Common practice: a blank, a star or a cross for the hyphen, the class spelt out.
        ("1/4*20 UNC-2A", "1/4-20 UNC-2A"),
        ("1/4 20 UNC 2A", "1/4-20 UNC-2A"),
        ("10 32 UNF 2B", "#10-32 UNF-2B"),
        ("5/16-18 UNC CLASS 2A", "5/16-18 UNC-2A"),
        # Threads per inch before the series, as FED-STD-H28 and older drawings have them.
        ("1-1/8-8 8UN-2A", "1 1/8-8 UN-2A"),
        ("1 1/8 8UN 2A", "1 1/8-8 UN-2A"),
        # The only standard pitch with a fraction, as drawings before decimals wrote it.
        ("2-4 1/2 UNC-2A", "2-4.5 UNC-2A"),
        ("2-4½ UNC-2A", "2-4.5 UNC-2A"),
        ("2-1/4-4-1/2 UNC-2A", "2 1/4-4.5 UNC-2A"),
        # The hand first, with points, or right behind the class.
        ("LH 1/4-20 UNC-2A", "1/4-20 UNC-2A LH"),
        ("3/4-16 UNF-2A L.H.", "3/4-16 UNF-2A LH"),
        ("3/4-16UNF-2ALH", "3/4-16 UNF-2A LH"),
        ("M10-6HLH", "M10x1.5-6H-LH"),
        ("LEFT HAND M10-6g", "M10x1.5-6g-LH"),
        ("LH R 1/2", "R 1/2 LH"),
        # The series first.
        ("UNC 1/4-20 2B", "1/4-20 UNC-2B"),
        ("UNF-2A 9/16-18", "9/16-18 UNF-2A"),
        ("UNF 3/4-2A LH", "3/4-16 UNF-2A LH"),
        ("# 8-32 UNC-2A", "#8-32 UNC-2A"),
        ("M12xP1.25-6g", "M12x1.25-6g"),
        # Lead and pitch as ASME B1.13M wrote them before it took Ph from ISO 965-1.
        ("M24xL3P1.5-6g", "M24xPh3P1.5-6g"),
        ("M16xL4-P2-4h6h (TWO STARTS)", "M16xPh4P2-4h6h"),
        ("M24x1.5-5g 6g", "M24x1.5-5g6g"),
        ("Tr32xPh12P6-7e", "Tr32x12(P6)-7e"),
        # Where one of a number size and inches leaves no core the other is meant.
        ("2-10 UNS-2A", "2.0-10 UNS-2A"),
        ("1-5 UNS-2B", "1.0-5 UNS-2B"),
    ],
)
def test_one_meaning_however_it_is_written(written: str, meant: str) -> None:
    assert thread_limits(designation=written).designation == meant
    assert thread_limits(designation=meant).designation == meant


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("00-90 UNS-2A", "below #0"),
        ("#00-90 UNS-2A", "below #0"),
        ("1 1/8-12 8UN 2A", "12 threads per inch and names the series 8UN"),
        ("1/2-13 UNC-2A 2B", "fit of two threads"),
        ("7/8-14 UNF-2A (coated)", "coating_thickness"),
        ("1/2-13 UNC-2B x 1.00 DEEP", "length, a depth"),
        ("M8x1.25x30-6g", "length, a depth"),
        ("4X 1/2-13 UNC-2B", "write 1/2-13 UNC-2B"),
        ("2X M6x1-6H", "write M6x1-6H"),
        ("ISO M10x1.5-6g", "write M10x1.5-6g"),
        ("DIN 13 M10x1.25-6g", "write M10x1.25-6g"),
        ("ISO 228-1 - G 1/2 A", "write G 1/2 A"),
        ("(1 1/8)-12 UNF-2A", "nothing in it was understood"),
        ("5/16-18 UNC-2", "2A outside, 2B inside"),
        ("1/4-28 UNF-2A DOUBLE", "2 STARTS"),
        ("3/4-16 UNF internal", "the class says the side"),
        ("M10 fine", "write the pitch itself"),
        ("24x1.5-6g", "class of metric threads"),
        ("MJ6x1-4h6h MOD", "'MJ6x1-4h6h MOD'"),
        ("MJ6x1", "MJ thread needs"),
        ("2-40 UNS-2A", "neither is standard"),
    ],
)
def test_what_is_not_read_is_named_with_where_it_belongs(written: str, says: str) -> None:
    with pytest.raises(CalcError) as refused:
        thread_limits(designation=written)
    assert says in f"{refused.value.detail} {refused.value.accepted}"


@pytest.mark.parametrize(
    ("written", "cautioned"),
    [
        ("M6X1-6G", True), ("M10-6G", True), ("m6x1-6h", True),
        ("M6x1-6G", False), ("M6x1-6h", False), ("M10-6H", False), ("m10-6g", False),
    ],
)  # fmt: skip
def test_a_class_that_capitals_may_have_changed_is_cautioned(written: str, cautioned: bool) -> None:
    trail = Trail()
    thread_limits(designation=written, trail=trail)
    assert ("class-by-case" in {caution.code for caution in trail.cautions}) is cautioned
