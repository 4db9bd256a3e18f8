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
