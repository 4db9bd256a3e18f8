"""Size, pitch, series and class of a Unified thread, put together and checked for agreement."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, NamedTuple, NoReturn

from threadwright_service.calc.errors import (
    AmbiguousError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.call_out import CallOut, make_call_out
from threadwright_service.calc.threads.thread import Hand, Side
from threadwright_service.calc.threads.unified.asme_b1_1_series import (
    near_text,
    number_size_diameter_in,
    pitches_of,
    pitches_text,
    size_text,
    special_size_text,
    standard_pairs,
)
from threadwright_service.calc.trail import Trail

CLASSES: Final = ("1A", "2A", "3A", "1B", "2B", "3B")
CLASSES_TEXT: Final = "1A, 2A, 3A (outside), 1B, 2B, 3B (inside)"
SMALLEST_IN: Final = 0.06
LARGEST_IN: Final = 24.0
FEWEST_TPI: Final = 1.0
MOST_TPI: Final = 100.0
_LARGEST_SHARE: Final = 0.5
"""A pitch above this share of the diameter leaves no core; standard pairs stay below 0.22."""
_SIDES: Final[Mapping[str, Side]] = {
    f"{engagement}{each}": "external" if each[1] == "A" else "internal"
    for each in CLASSES
    for engagement in ("", "SE")
}
_METRIC: Final = 4.0
"""Fewer threads per inch in no series are more likely a metric pitch whose M was left out."""
_NAMED_SERIES: Final = ("UNC", "UNF", "UNEF")


class Size(NamedTuple):
    """A size as written: inches, a number size, or, where a text may be either, both."""

    diameter_in: float | None
    number: int | None


def agreed(
    inches: float | None,
    number: int | None,
    threads_per_inch: float | None,
    symbol: str,
    tolerance_class: str,
    hand: Hand,
    starts: int,
    engagement_in: float | None,
    trail: Trail | None,
) -> CallOut:
    """The call-out that the parts make, with the series that the standard gives the pair.

    Raises
    ------
    CalcError
        If a part is missing, unknown or absurd, or contradicts another.
    """
    if number is None:
        diameter_in = inches or 0.0
    else:
        diameter_in = _diameter_in(number, inches, threads_per_inch, symbol.replace("R", ""))
    if not SMALLEST_IN <= diameter_in <= LARGEST_IN:
        raise OutOfRangeError(
            f"a size of {diameter_in:g} in; Unified threads begin at #0 ({SMALLEST_IN:g} in), and "
            f"more than {LARGEST_IN:g} in are not computed",
            parameter="nominal_diameter",
            value=diameter_in,
            accepted=f"{SMALLEST_IN:g} in to {LARGEST_IN:g} in",
        )
    if threads_per_inch is None:
        threads_per_inch = _implied_count(diameter_in, symbol.replace("R", ""), trail)
    if not (
        FEWEST_TPI <= threads_per_inch <= MOST_TPI
        and threads_per_inch * diameter_in * _LARGEST_SHARE >= 1
    ):
        _refuse_count(diameter_in, threads_per_inch)
    pair = standard_pairs().get((diameter_in, threads_per_inch))
    if pair is not None and symbol == pair.series:
        series, text = symbol, pair.size
    elif pair is None and symbol == "UNS":
        series, text = symbol, special_size_text(diameter_in)
    else:
        series = _series(diameter_in, threads_per_inch, symbol, trail)
        text = size_text(diameter_in, threads_per_inch)
    side = _SIDES.get(tolerance_class)
    if side is None:
        _refuse_class(tolerance_class, f"{text}-{threads_per_inch:g} {series}")
    if side == "internal" and "R" in series:
        raise AmbiguousError(
            f"{series} is for outside threads, class {tolerance_class} for inside ones; the mate "
            f"of a {series} thread is {series.replace('R', '')}",
            parameter="tolerance_class",
            value=tolerance_class,
            accepted=f"{series} with 1A, 2A or 3A, or {series.replace('R', '')} with "
            f"{tolerance_class}",
        )
    return make_call_out(
        "unified",
        series,
        text,
        diameter_in,
        1 / threads_per_inch,
        threads_per_inch,
        tolerance_class,
        side,
        True,
        hand,
        starts,
        engagement_in,
        "",
    )


def _diameter_in(
    number: int, inches: float | None, threads_per_inch: float | None, series: str
) -> float:
    """Diameter of a number size, or of a whole number that may be a number size or inches."""
    as_number_in = number_size_diameter_in(number)
    if inches is None:
        return as_number_in

    def is_standard(diameter_in: float) -> bool:
        if threads_per_inch is None:
            return series in _NAMED_SERIES and series in pitches_of(diameter_in)
        return (diameter_in, threads_per_inch) in standard_pairs()

    def leaves_a_core(diameter_in: float) -> bool:
        return (threads_per_inch or 0.0) * diameter_in * _LARGEST_SHARE >= 1

    standard = [each for each in (as_number_in, inches) if is_standard(each)]
    found = standard or [each for each in (as_number_in, inches) if leaves_a_core(each)]
    if len(found) == 1:
        return found[0]
    pitch = "" if threads_per_inch is None else f"-{threads_per_inch:g}"
    raise AmbiguousError(
        f"{number}{pitch} may be number size #{number} or {number} in, and "
        + ("both are" if standard else "neither is")
        + " standard with that pitch",
        parameter="nominal_diameter",
        value=f"{number}{pitch}",
        accepted=f'#{number}{pitch} or {number}"{pitch} with a series; standard: '
        f"{pitches_text(as_number_in)}"
        + (f", {pitches_text(inches)}" if pitches_of(inches) else ""),
    )


def _implied_count(diameter_in: float, series: str, trail: Trail | None) -> float:
    """Threads per inch that a named series implies."""
    counts = pitches_of(diameter_in).get(series, ()) if series in _NAMED_SERIES else ()
    if len(counts) != 1:
        raise MissingInputError(
            f"{series or 'the thread'} of {diameter_in:g} in needs its threads per inch",
            parameter="threads_per_inch",
            accepted=pitches_text(diameter_in),
        )
    if trail is not None:
        trail.assume(
            "threads_per_inch", counts[0], f"none given; {series} of this size has {counts[0]:g}"
        )
    return counts[0]


def _refuse_count(diameter_in: float, threads_per_inch: float) -> NoReturn:
    """Refuse threads per inch that nobody cuts, and a pitch too coarse for the diameter."""
    if not FEWEST_TPI <= threads_per_inch <= MOST_TPI:
        raise OutOfRangeError(
            f"{threads_per_inch:g} threads per inch; {FEWEST_TPI:g} to {MOST_TPI:g} are read",
            parameter="threads_per_inch",
            value=threads_per_inch,
            accepted=f"{FEWEST_TPI:g} to {MOST_TPI:g}",
        )
    raise OutOfRangeError(
        f"{threads_per_inch:g} threads per inch are too coarse for {diameter_in:g} in: the "
        "pitch would be more than half of the diameter",
        parameter="threads_per_inch",
        value=threads_per_inch,
        accepted=f"at least {1 / (_LARGEST_SHARE * diameter_in):.4g}; standard: "
        f"{pitches_text(diameter_in)}",
    )


def _series(diameter_in: float, threads_per_inch: float, symbol: str, trail: Trail | None) -> str:
    """The series of a pair, checked against the symbol of the call-out.

    A standard pair has one symbol. Where the call-out has none, or the general UN, the pair's
    own is taken and that is noted; any other one contradicts the pitch. A pair that is in no
    series is UNS, and has to be called UN or UNS: without a symbol a slip is as likely.
    """
    rounded = "R" if "R" in symbol else ""
    named = symbol.replace("R", "")
    pair = standard_pairs().get((diameter_in, threads_per_inch))
    right = "UNS" if pair is None else pair.series
    written = f"{size_text(diameter_in, threads_per_inch)}-{threads_per_inch:g}"
    if named == right:
        return symbol
    if pair is None and not named:
        raise UnknownDesignationError(
            f"read in inches, {written} is in no series",
            parameter="designation",
            value=written,
            accepted=(
                f"M{diameter_in:g}x{threads_per_inch:g}, M before a metric size; "
                if threads_per_inch < _METRIC
                else ""
            )
            + f"{pitches_text(diameter_in)}; or {written} UNS, if it is meant",
        )
    if named and named != "UN":
        others = pitches_of(diameter_in).get(named, ())
        meant = ", ".join(f"{size_text(diameter_in, n)}-{n:g} is {named}" for n in others)
        if not pitches_of(diameter_in):
            meant = f"standard sizes {near_text(diameter_in)}"
        raise AmbiguousError(
            f"{written} is {right}, the call-out says {symbol}",
            parameter="series",
            value=symbol,
            accepted=f"{written} is {right}" + (f"; {meant}" if meant else ""),
        )
    series = f"UN{rounded}{right[2:]}"
    if trail is not None and named:
        trail.caution(
            "series-normalised",
            f"{written} is {series} by the standard's tables; the call-out says {symbol}. The "
            f"limits are those of {series}.",
        )
    elif trail is not None:
        trail.assume("series", series, f"none given; {written} is {series} in the standard")
    return series


def _refuse_class(tolerance_class: str, thread: str) -> NoReturn:
    """Raise what is wrong with a class: missing, a fit of two, or none of this standard."""
    if not tolerance_class:
        raise MissingInputError(
            f"{thread} needs a tolerance class",
            parameter="tolerance_class",
            accepted=f"{CLASSES_TEXT}; class 2 is usual",
        )
    parts = tolerance_class.split("/")
    if len(parts) == 2:
        raise AmbiguousError(
            f"{tolerance_class} is a fit of two threads",
            parameter="tolerance_class",
            value=tolerance_class,
            accepted=f"{parts[0]} or {parts[1]}, one at a time",
        )
    raise UnknownDesignationError(
        f"'{tolerance_class[:20]}' is not a class of Unified threads",
        parameter="tolerance_class",
        value=tolerance_class[:100],
        accepted=CLASSES_TEXT,
    )
