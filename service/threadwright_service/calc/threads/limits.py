"""The thread of a request: read from its call-out or fields, and toleranced.

:func:`thread_limits` is the one entry for every family of :mod:`.registry`. A call-out may be
completed by fields (class, hand, starts, length of engagement, side) but not contradicted.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Any, Final

from threadwright_service.calc.errors import (
    AmbiguousError,
    InfeasibleError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.agreement import LEADING_COUNT, check_agreement
from threadwright_service.calc.threads.beside_the_thread import (
    hint,
    without_what_stands_before,
)
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.designation import (
    EXAMPLES,
    LONGEST_TEXT,
    checked_starts,
    hand_behind,
    tidied,
)
from threadwright_service.calc.threads.registry import (
    Family,
    Fields,
    StandardSize,
    each_family,
    families,
    family,
    family_of_symbol,
)
from threadwright_service.calc.threads.thread import Hand, LengthUnit, Side, ThreadLimits
from threadwright_service.calc.trail import Trail

Distance = tuple[float, LengthUnit | None]
"""A distance from the gauge plane, and its unit if it is not the standard's own."""


def thread_limits(
    *,
    designation: str | None = None,
    series: str | None = None,
    nominal_diameter: float | str | None = None,
    pitch: float | None = None,
    threads_per_inch: float | None = None,
    tolerance_class: str | None = None,
    hand: Hand | None = None,
    starts: int | None = None,
    length_of_engagement: float | None = None,
    side: Side | None = None,
    distance_from_gauge_plane: float | None = None,
    length_unit: LengthUnit | None = None,
    rounding: str | None = None,
    trail: Trail | None = None,
) -> ThreadLimits:
    """Basic dimensions and limits of size of one thread, in its standard's own unit.

    Parameters
    ----------
    designation : str, optional
        The call-out, as it stands on the drawing.
    series : str, optional
        Series symbol, like ``UNF``, ``8UN``, ``M``; with the fields below in place of a call-out.
    nominal_diameter : float or str, optional
        Basic major diameter, or a size as text, like ``3/4`` or ``#10``.
    pitch, threads_per_inch : float, optional
        Either of them.
    tolerance_class : str, optional
        Where the call-out holds none.
    hand : "right" or "left", optional
        Right, unless the call-out says otherwise.
    starts : int, optional
        One, unless the call-out says otherwise.
    length_of_engagement : float, optional
        With the mating thread.
    side : "external" or "internal", optional
        Where the call-out leaves it open.
    distance_from_gauge_plane : float, optional
        Of a taper thread, positive towards its large end.
    length_unit : "in" or "mm", optional
        Unit of the lengths above; the standard's own if none is given.
    rounding : str, optional
        Rounding rule: ``table`` (that of the published tables, the default), and for Unified
        threads ``b130`` (ASME B1.30) or ``exact``.
    trail : Trail, optional
        Takes assumptions, cautions and, if it keeps steps, the working.

    Raises
    ------
    UnknownDesignationError
        If the text or a symbol in it is not known.
    AmbiguousError
        If the values contradict each other or fit more than one thread.
    MissingInputError
        If the class, the pitch or the size is missing.
    NotTabulatedError
        If the standard has no entry for the combination.
    OutOfRangeError
        If a value is absurd or outside of what the standard states.
    InfeasibleError
        If the tolerances are larger than the thread's height.

    Notes
    -----
    Source: the standards named in the record's ``standard`` and ``basis``.

    Examples
    --------
    Published rows of M24x1.5-6g (a share of them in ISO 965-2) and 2 1/2-4 UNC-2A:

    >>> thread = thread_limits(designation="M24×1.5 - 6g LH")
    >>> thread.designation, thread.hand, thread.limits.pitch_diameter.max
    ('M24x1.5-6g-LH', 'left', 22.994)
    >>> thread_limits(designation="2 1/2-4 UNC", tolerance_class="2A").limits.pitch_diameter.max
    2.3345
    """
    given = None
    if not (
        series is None
        and nominal_diameter is None
        and pitch is None
        and threads_per_inch is None
        and tolerance_class is None
        and hand is None
        and starts is None
        and length_of_engagement is None
        and side is None
    ):
        given = Fields(
            series=series,
            nominal_diameter=nominal_diameter,
            pitch=pitch,
            threads_per_inch=threads_per_inch,
            tolerance_class=tolerance_class,
            hand=hand,
            starts=starts,
            length_of_engagement=length_of_engagement,
            side=side,
            length_unit=length_unit,
        )
    distance = None
    if distance_from_gauge_plane is not None:
        distance = distance_from_gauge_plane, length_unit
    found, call_out = _read(designation, given, trail)
    side = None if given is None else given.side
    if side is None and distance is None:
        return found.limits(call_out, rounding=rounding, trail=trail)
    options = _options(found, call_out, side, distance)
    limits: Any = found.limits  # a family's own options are beyond the common protocol
    answer: ThreadLimits = limits(call_out, rounding=rounding, trail=trail, **options)
    return answer


def parse_call_out(
    designation: str | None, given: Fields | None = None, *, trail: Trail | None = None
) -> CallOut:
    """The call-out of a thread, from its text completed by fields, or from fields alone.

    Raises
    ------
    CalcError
        As :func:`thread_limits`.

    Examples
    --------
    >>> parse_call_out("#10-32 UNF-2B").size
    '#10'
    """
    return _read(designation, given, trail)[1]


def _read(
    designation: str | None, given: Fields | None, trail: Trail | None
) -> tuple[Family, CallOut]:
    """The family of a thread, and its call-out."""
    if given is not None:
        _check_numbers(given)
    elif designation is None:
        raise MissingInputError(
            "no thread is given",
            parameter="designation",
            accepted=f"designation, as {EXAMPLES}; or series, nominal_diameter, "
            "threads_per_inch or pitch, and tolerance_class",
        )
    if designation is not None:
        text, beside = tidied(designation), None if given is None else given.tolerance_class
        if text[0] in "LlRr":
            text = hand_behind(text)
        for each in each_family():
            call_out = each.parse(text, beside, trail=trail)
            if call_out is not None:
                if given is not None:
                    fields = given.in_unit(each.unit)
                    check_agreement(call_out, fields, text)
                    call_out = _completed(call_out, fields)
                return each, call_out
        raise _not_known(text)
    fields = given or Fields()
    found = _family_of_fields(fields, trail)
    fields = fields.in_unit(found.unit)
    return found, _completed(found.read(fields, trail=trail), fields)


def list_threads() -> tuple[tuple[Family, tuple[StandardSize, ...]], ...]:
    """Every family with its standard sizes, for the ``threads`` operation."""
    return tuple((each, each.sizes()) for each in families())


def _check_numbers(given: Fields) -> None:
    """Refuse numbers that are none, before anything is computed from them."""
    for name in (
        "nominal_diameter",
        "pitch",
        "threads_per_inch",
        "length_of_engagement",
    ):
        value = getattr(given, name)
        if isinstance(value, str) or value is None:
            continue
        if not (math.isfinite(value) and 0 < value < _ABSURD):
            raise OutOfRangeError(
                f"{name} is {value}; a number above 0 is needed",
                parameter=name,
                value=value,
                accepted=f"above 0, below {_ABSURD:g}",
            )
    for name in ("nominal_diameter", "series", "tolerance_class"):
        value = getattr(given, name)
        if isinstance(value, str) and len(value) > LONGEST_TEXT:
            raise UnknownDesignationError(
                f"{name} has {len(value)} characters; at most {LONGEST_TEXT} are read",
                parameter=name,
                value=value[:LONGEST_TEXT],
                accepted=EXAMPLES,
            )
    if given.starts is not None:
        checked_starts(given.starts)


_ABSURD: Final = 1e6
"""No length or count of a thread reaches this."""
_UNIFIED_CLASS: Final = re.compile(r"(?:SE)?[1-3][ABab]")


def _family_of_fields(given: Fields, trail: Trail | None) -> Family:
    """The family of a thread that is given as fields."""
    if given.series:
        symbol = tidied(given.series).casefold().replace(" ", "")
        found = family_of_symbol(symbol) or family_of_symbol(LEADING_COUNT.sub("", symbol))
        if found is None:
            raise UnknownDesignationError(
                f"'{given.series}' is not a series symbol that is known",
                parameter="series",
                value=given.series,
                accepted=_symbols_text(),
            )
        return found
    if _UNIFIED_CLASS.fullmatch(given.tolerance_class or ""):
        return family("unified")
    if given.pitch is not None and given.threads_per_inch is None and given.tolerance_class:
        from_class = re.fullmatch(r"[0-9]{1,2}[a-zA-Z]{1,2}.*", given.tolerance_class)
        if from_class:
            if trail is not None:
                trail.assume("series", "M", "none given; pitch and class are those of ISO metric")
            return family("iso-metric")
    raise MissingInputError(
        "the thread has no series symbol",
        parameter="series",
        accepted=_symbols_text(),
    )


def _symbols_text() -> str:
    return ", ".join(symbol for each in families() for symbol in each.symbols)


def _completed(call_out: CallOut, fields: Fields) -> CallOut:
    """The call-out with hand, starts and length of engagement of the fields put on."""
    changes: dict[str, Any] = {}
    if fields.hand is not None and fields.hand != call_out.hand:
        changes["hand"] = fields.hand
    if fields.starts is not None and fields.starts != call_out.starts:
        changes["starts"] = fields.starts
    if fields.length_of_engagement is not None and call_out.length_of_engagement is None:
        changes["length_of_engagement"] = fields.length_of_engagement
    return replace(call_out, **changes) if changes else call_out


def _options(
    found: Family,
    call_out: CallOut,
    side: Side | None,
    distance: Distance | None,
) -> dict[str, Any]:
    """The family's own options; what it does not take must not be asked for."""
    options: dict[str, Any] = {}
    if side is not None:
        if "side" in found.options:
            options["side"] = side
        elif side != call_out.side:
            raise AmbiguousError(
                f"class {call_out.tolerance_class} is {call_out.side}, the field side says {side}",
                parameter="side",
                value=side,
                accepted=f"{call_out.side}, or another class",
            )
    if distance is not None:
        distance_from_gauge_plane, length_unit = distance
        if "distance_from_gauge_plane" not in found.options:
            raise InfeasibleError(
                f"{found.title} are parallel: they have no gauge plane",
                parameter="distance_from_gauge_plane",
                value=distance_from_gauge_plane,
                accepted="a taper pipe thread, or no distance",
            )
        if not math.isfinite(distance_from_gauge_plane):
            raise OutOfRangeError(
                f"distance_from_gauge_plane is {distance_from_gauge_plane}",
                parameter="distance_from_gauge_plane",
                value=distance_from_gauge_plane,
                accepted="a length",
            )
        lengths = Fields(length_of_engagement=distance_from_gauge_plane, length_unit=length_unit)
        options["distance_from_gauge_plane"] = lengths.in_unit(found.unit).length_of_engagement
    return options


_INCH_SIZE: Final = re.compile(
    r"(?P<size>(?:#|No\.? ?)?(?:[0-9]{1,3}[ \-])?(?:[0-9]{1,3}/[0-9]{1,3}|[0-9]{0,3}\.?[0-9]{1,8}))"
    r"\"? ?[-x] ?(?P<count>[0-9]{1,6})",
    re.IGNORECASE,
)


def _not_known(text: str) -> UnknownDesignationError:
    """What was understood of a text that no family knows, and what would be accepted."""
    understood = "nothing in it was understood"
    bare = without_what_stands_before(text)
    if bare != text:
        understood = f"pieces or a standard before the thread are not part of it; write {bare}"
    match = _INCH_SIZE.match(text) if bare == text else None
    if match is not None:
        rest = text[match.end() :].strip(" -")
        understood = f"size {match['size'].strip()} with {match['count']} threads per inch was read"
        if rest:
            understood += f", '{rest}' was not understood{hint(rest)}"
    return UnknownDesignationError(
        f"'{text}' is not a thread that is known: {understood}",
        parameter="designation",
        value=text,
        accepted=f"{EXAMPLES}; series {_symbols_text()}",
    )
