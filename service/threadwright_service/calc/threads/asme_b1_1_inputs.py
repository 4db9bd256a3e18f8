"""What the limits of a Unified thread go by: its pair, its series, its length of engagement."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.errors import MissingInputError, OutOfRangeError
from threadwright_service.calc.threads.asme_b1_1_series import (
    DIAMETER_SERIES_TPI,
    LARGEST_TABULATED_IN,
    Pair,
    peculiarities,
    standard_pairs,
)
from threadwright_service.calc.threads.asme_b1_30 import Inputs, Rule
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.trail import Formula, Trail

SPECIAL: Final = "SE"
"""Stands before the class where the tolerance goes by the given length of engagement."""
_SMALLEST_CLASS_1_IN: Final = 0.25
_SMALLEST_UNFINISHED_IN: Final = 0.25
_UNFINISHED_TPI: Final = 8
_MOST_DIAMETERS: Final = 1.5
_FEWEST_PITCHES: Final = 5
_MOST_PITCHES: Final = 15
_ABSURD_DIAMETERS: Final = 10.0
"""A longer engagement than this many diameters is taken for a slip of the keyboard."""

_DIAMETER_SERIES: Final = frozenset({"UNC", "UNF"})
_B1_1: Final = "asme-b1-1"
_ONE_DIAMETER: Final = Formula(
    "length of engagement behind the tolerance", "LE", "D", "D P",
    unit="in", source=f"{_B1_1}, UNC, UNF, 4UN, 6UN and 8UN",
)  # fmt: skip
_NINE_PITCHES: Final = Formula(
    "length of engagement behind the tolerance", "LE", "9 * P", "D P",
    unit="in", source=f"{_B1_1}, UNEF, the other constant pitches and UNS",
)  # fmt: skip


def inputs_of(call_out: CallOut, rule: Rule, trail: Trail | None) -> Inputs:
    """Find the inputs of the limits of one thread, and what has to be said about them.

    Raises
    ------
    MissingInputError
        If special engagement is called out without its length.
    OutOfRangeError
        If the length of engagement is absurd.

    Notes
    -----
    Source: asme-b1-1: tolerances by one diameter hold up to 1.5 diameters, those by nine pitches
    from 5 to 15 pitches (both from memory).
    """
    count = call_out.threads_per_inch or 1 / call_out.pitch
    pair = (call_out.nominal_diameter, count)
    pitch_in, diameter_in = rule.pair(trail, count, call_out.nominal_diameter)
    series = call_out.series.replace("R", "")
    letters = call_out.tolerance_class[-2:]
    known = peculiarities()
    printed_engagement = known.engagement_diameters.get(pair)
    by_diameter = (
        series in _DIAMETER_SERIES
        or (series == "UN" and count in DIAMETER_SERIES_TPI)
        or printed_engagement is not None
    )
    engagement_in = call_out.length_of_engagement
    special = (engagement_in is not None or call_out.tolerance_class != letters) and _is_special(
        call_out, diameter_in, pitch_in, by_diameter=by_diameter
    )
    if engagement_in is None or not special:
        behind = _ONE_DIAMETER if by_diameter else _NINE_PITCHES
        engagement_in = behind(trail, diameter_in, pitch_in)
    notes, remarks = _said(call_out, pair, series, letters, special=special)
    neighbour = allowance = tolerance = None
    if not special:
        if rule.key == "table":
            if not by_diameter and series != "UNS":
                neighbour = known.tolerance_diameter_in.get(diameter_in)
            if letters[1] == "A":
                allowance = known.allowance_in.get(pair)
            tolerance = known.pitch_tolerance_in.get((pair, letters))
        if printed_engagement or neighbour or allowance or tolerance:
            notes += _noted(trail, printed_engagement, neighbour, allowance, tolerance)
    return Inputs(
        diameter_in,
        count,
        pitch_in,
        diameter_in if neighbour is None else neighbour[0],
        engagement_in,
        letters,
        series != call_out.series,
        letters == "2A"
        and diameter_in >= _SMALLEST_UNFINISHED_IN
        and (series == "UNC" or (series == "UN" and count == _UNFINISHED_TPI)),
        None if allowance is None else allowance[0],
        None if tolerance is None else tolerance[0],
        special,
        notes,
        remarks,
    )


def _noted(trail: Trail | None, *departures: tuple[float, str] | None) -> list[str]:
    """What the printed tables hold otherwise than the formulas, noted as steps; mostly nothing."""
    found = [departure[1] for departure in departures if departure is not None]
    if trail is not None:
        for note in found:
            trail.step(
                "departure of the printed table", "", note, {}, note, "", f"{_B1_1}, limit tables"
            )
    return found


def _said(
    call_out: CallOut, pair: Pair, series: str, letters: str, *, special: bool
) -> tuple[list[str], list[tuple[str, str]]]:
    """What the pair, the class and the engagement make worth saying."""
    notes: list[str] = []
    remarks: list[tuple[str, str]] = []
    standard = standard_pairs().get(pair)
    if standard is None:
        notes.append("special pair (UNS), not in the standard's tables: by the formulas")
    elif standard.basis == "memory":
        notes.append("that the pair is standard: from memory")
    if pair[0] > LARGEST_TABULATED_IN:
        remarks.append(
            (
                "beyond-tables",
                f"The tables of ASME B1.1 end at {LARGEST_TABULATED_IN:g} in; the formulas were "
                "used above that size.",
            )
        )
    if letters[0] == "1" and not (series in {"UNC", "UNF"} and pair[0] >= _SMALLEST_CLASS_1_IN):
        notes.append(f"class {letters} is tabulated for UNC and UNF of 1/4 in and larger only")
        remarks.append(
            (
                "class-not-tabulated",
                f"Class {letters} is tabulated for UNC and UNF of 1/4 in and larger only; the "
                "limits are by its formulas. Class 2 is usual.",
            )
        )
    if special:
        notes.append("tolerance by the given length of engagement")
    if special and not call_out.tolerance_class.startswith(SPECIAL):
        remarks.append(
            (
                "special-engagement",
                "The length of engagement is outside the range of the tabulated tolerance; it "
                f"went into the formula, and the class is written {SPECIAL}{letters}.",
            )
        )
    return notes, remarks


def _is_special(
    call_out: CallOut, diameter_in: float, pitch_in: float, *, by_diameter: bool
) -> bool:
    """Whether the given length of engagement goes into the tolerance."""
    engagement_in = call_out.length_of_engagement
    called_out = call_out.tolerance_class.startswith(SPECIAL)
    if engagement_in is None:
        if called_out:
            raise MissingInputError(
                f"class {call_out.tolerance_class} needs its length of engagement",
                parameter="length_of_engagement",
                accepted="LE and a length in the call-out, or length_of_engagement",
            )
        return False
    if not pitch_in <= engagement_in <= _ABSURD_DIAMETERS * diameter_in:
        raise OutOfRangeError(
            f"a length of engagement of {engagement_in:g} in; between one pitch "
            f"({pitch_in:.4f} in) and {_ABSURD_DIAMETERS:g} diameters are taken",
            parameter="length_of_engagement",
            value=engagement_in,
            accepted=f"{pitch_in:.4f} in to {_ABSURD_DIAMETERS * diameter_in:g} in",
        )
    if called_out:
        return True
    if by_diameter:
        return engagement_in > _MOST_DIAMETERS * diameter_in
    return not _FEWEST_PITCHES * pitch_in <= engagement_in <= _MOST_PITCHES * pitch_in
