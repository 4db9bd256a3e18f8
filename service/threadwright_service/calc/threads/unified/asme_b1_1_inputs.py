"""What the limits of a Unified thread go by: its pair, its series, its length of engagement."""

from __future__ import annotations

from functools import cache
from typing import Final, NamedTuple

from threadwright_service.calc.errors import MissingInputError, OutOfRangeError
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.unified.asme_b1_1_series import (
    DIAMETER_SERIES_TPI,
    LARGEST_TABULATED_IN,
    Pair,
    peculiarities,
    standard_pairs,
)
from threadwright_service.calc.threads.unified.asme_b1_30 import NOTHING, Given
from threadwright_service.calc.trail import Trail

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

Departure = tuple[float, str]
"""A value that the tables print otherwise than the formulas give it, and what it rests on."""
Remark = tuple[str, str]
"""Code and sentence of a caution."""


class PairFacts(NamedTuple):
    """What the standard's tables say of a diameter-pitch pair, whatever its class.

    ``tolerance_diameter``, ``allowance`` and ``pitch_tolerances`` (by class) belong to the rounding
    rule of the tables alone; ``engagement`` to every rule.
    """

    by_diameter: bool
    is_unfinished_made: bool
    has_class_1: bool
    notes: tuple[str, ...]
    engagement: Departure | None = None
    tolerance_diameter: Departure | None = None
    allowance: Departure | None = None
    pitch_tolerances: tuple[tuple[str, Departure], ...] = ()

    @property
    def departs(self) -> bool:
        """Whether the tables print anything otherwise than the formulas give it."""
        return bool(
            self.engagement or self.tolerance_diameter or self.allowance or self.pitch_tolerances
        )


_SPECIAL_PAIR: Final = PairFacts(
    by_diameter=False,
    is_unfinished_made=False,
    has_class_1=False,
    notes=("special pair (UNS), not in the standard's tables: by the formulas",),
)


@cache
def _facts() -> dict[Pair, tuple[PairFacts, bool]]:
    """The facts of every standard pair, and whether the tables depart from the formulas there."""
    return {pair: (facts, facts.departs) for pair, facts in map(_facts_of, standard_pairs())}


def _facts_of(pair: Pair) -> tuple[Pair, PairFacts]:
    diameter_in, count = pair
    standard, known = standard_pairs()[pair], peculiarities()
    engagement = known.engagement_diameters.get(pair)
    by_diameter = (
        standard.series in _DIAMETER_SERIES
        or (standard.series == "UN" and count in DIAMETER_SERIES_TPI)
        or engagement is not None
    )
    coarse = standard.series == "UNC" or (standard.series == "UN" and count == _UNFINISHED_TPI)
    neighbour = None
    if not by_diameter:
        neighbour = known.tolerance_diameter_in.get(diameter_in)
    return pair, PairFacts(
        by_diameter=by_diameter,
        is_unfinished_made=coarse and diameter_in >= _SMALLEST_UNFINISHED_IN,
        has_class_1=standard.series in _DIAMETER_SERIES and diameter_in >= _SMALLEST_CLASS_1_IN,
        notes=("that the pair is standard: from memory",) if standard.basis == "memory" else (),
        engagement=engagement,
        tolerance_diameter=neighbour,
        allowance=known.allowance_in.get(pair),
        pitch_tolerances=tuple(
            (letters, departure)
            for (where, letters), departure in known.pitch_tolerance_in.items()
            if where == pair
        ),
    )


def facts_of(pair: Pair) -> tuple[PairFacts, bool]:
    """The facts of a pair, and whether the tables depart from the formulas there."""
    return _facts().get(pair) or (_SPECIAL_PAIR, False)


def given_of(
    call_out: CallOut,
    pair: Pair,
    facts: PairFacts,
    *,
    by_table: bool,
    trail: Trail | None,
) -> tuple[Given, tuple[str, ...], tuple[Remark, ...]]:
    """What is given in place of a formula, and what has to be said about the thread.

    Parameters
    ----------
    call_out : CallOut
        The thread.
    pair : tuple of float
        Its diameter [in] and threads per inch.
    facts : PairFacts
        Those of the pair.
    by_table : bool
        Whether the rounding rule is that of the printed tables, with its departures.
    trail : Trail or None
        Takes the departures, if it keeps working.

    Returns
    -------
    tuple
        What is given, notes for the basis of the answer, remarks for its cautions.

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
    written = call_out.tolerance_class
    letters = written[-2:]
    special = (call_out.length_of_engagement is not None or written != letters) and _is_special(
        call_out, 1 / pair[1], by_diameter=facts.by_diameter
    )
    notes, remarks = _said(call_out, facts, letters, special=special)
    if special:
        return Given(engagement_in=call_out.length_of_engagement), notes, remarks
    neighbour = allowance = tolerance = None
    if by_table:
        neighbour = facts.tolerance_diameter
        allowance = facts.allowance if letters[1] == "A" else None
        tolerance = dict(facts.pitch_tolerances).get(letters)
    notes += _noted(trail, facts.engagement, neighbour, allowance, tolerance)
    if neighbour is allowance is tolerance is None:
        return NOTHING, notes, remarks
    given = Given(
        tolerance_diameter_in=None if neighbour is None else neighbour[0],
        allowance_in=None if allowance is None else allowance[0],
        pitch_tolerance_in=None if tolerance is None else tolerance[0],
    )
    return given, notes, remarks


def _noted(trail: Trail | None, *departures: Departure | None) -> tuple[str, ...]:
    """What the printed tables hold otherwise than the formulas, noted as steps."""
    notes = tuple(departure[1] for departure in departures if departure is not None)
    if trail is not None:
        for note in notes:
            trail.step(
                "departure of the printed table", "", note, {}, note, "", f"{_B1_1}, limit tables"
            )
    return notes


def _said(
    call_out: CallOut, facts: PairFacts, letters: str, *, special: bool
) -> tuple[tuple[str, ...], tuple[Remark, ...]]:
    """What the pair, the class and the engagement make worth saying."""
    notes = list(facts.notes)
    remarks: list[Remark] = []
    if call_out.nominal_diameter > LARGEST_TABULATED_IN:
        remarks.append(
            (
                "beyond-tables",
                f"The tables of ASME B1.1 end at {LARGEST_TABULATED_IN:g} in; the formulas were "
                "used above that size.",
            )
        )
    if letters[0] == "1" and not facts.has_class_1:
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
        if not call_out.tolerance_class.startswith(SPECIAL):
            remarks.append(
                (
                    "special-engagement",
                    "The length of engagement is outside the range of the tabulated tolerance; it "
                    f"went into the formula, and the class is written {SPECIAL}{letters}.",
                )
            )
    return tuple(notes), tuple(remarks)


def _is_special(call_out: CallOut, pitch_in: float, *, by_diameter: bool) -> bool:
    """Whether the given length of engagement goes into the tolerance."""
    engagement_in, diameter_in = call_out.length_of_engagement, call_out.nominal_diameter
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
