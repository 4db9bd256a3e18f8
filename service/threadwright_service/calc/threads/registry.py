"""The families of threads that the service knows, and what each of them must offer.

A family is one module, or a part of one, named after its standard. It states itself as one
:class:`Family` record; this module finds the records by the addresses in
:data:`FAMILY_ADDRESSES`, when they are first needed. A wrong address fails loudly.

To add a family: write its module with a ``Family`` record and add one line here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from importlib import import_module
from typing import Final, Protocol

from threadwright_service.calc.errors import AmbiguousError
from threadwright_service.calc.rounding import half_even
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.thread import Hand, LengthUnit, Side, ThreadLimits
from threadwright_service.calc.trail import Trail
from threadwright_service.calc.units import MM_PER_IN

FAMILY_ADDRESSES: Final = (
    "unified.asme_b1_1:UNIFIED",
    "metric.iso_965_1:ISO_METRIC",
    "unified.asme_b1_15:FAMILY",
    "metric.iso_5855:FAMILY",
    "trapezoidal.iso_2904:FAMILY",
    "acme.asme_b1_5:FAMILY",
    "acme.asme_b1_8:FAMILY",
    "pipe.iso_228_1:FAMILY",
    "pipe.iso_7_1:FAMILY",
    "pipe.asme_b1_20_1:FAMILY",
    "whitworth.bs_84:FAMILY",
    "buttress.asme_b1_9:FAMILY",
    "buttress.din_513:FAMILY",
)
"""``module:record`` of each family, in the order in which they are asked to read a text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardSize:
    """One standard diameter-pitch pair of a series, for the ``threads`` operation.

    Lengths are in the family's unit; ``size`` is the size as a call-out writes it.
    """

    series: str
    size: str
    nominal_diameter: float
    pitch: float
    threads_per_inch: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fields:
    """A thread given as single values instead of, or beside, a call-out.

    Families receive them with the lengths already in the family's own unit. ``series`` is
    as the caller wrote it; ``nominal_diameter`` may be a size as text, like ``3/4`` or ``#10``.
    """

    series: str | None = None
    nominal_diameter: float | str | None = None
    pitch: float | None = None
    threads_per_inch: float | None = None
    tolerance_class: str | None = None
    hand: Hand | None = None
    starts: int | None = None
    length_of_engagement: float | None = None
    side: Side | None = None
    length_unit: LengthUnit | None = None

    def in_unit(self, unit: LengthUnit) -> Fields:
        """The same fields with the lengths in ``unit``; texts stay as they are."""
        if self.length_unit is None or self.length_unit == unit:
            return self

        def length(value: float | None) -> float | None:
            if value is None:
                return None
            # To 0.1 um and 1e-6 in, so that 19.05 mm is 3/4 in and not a hair beside it.
            if unit == "in":
                return half_even(value / MM_PER_IN, 6)
            return half_even(value * MM_PER_IN, 4)

        diameter = self.nominal_diameter
        return replace(
            self,
            nominal_diameter=diameter if isinstance(diameter, str) else length(diameter),
            pitch=length(self.pitch),
            length_of_engagement=length(self.length_of_engagement),
            length_unit=unit,
        )


class Parse(Protocol):
    """Reads a call-out of one family.

    ``text`` is already tidied (:func:`~..designation.tidied`): printable ASCII, one blank at
    most in a row, ``-`` for every dash, ``x`` for the multiplication sign, at most 100
    characters. ``tolerance_class`` is the class given beside the text, if any: it is used when
    the text has none, and must agree with it otherwise (:func:`agreed_class`). ``trail`` takes
    what was assumed in reading, like a pitch that the standard implies.

    Returns ``None`` if the text is not of this family; raises a ``CalcError`` if it clearly is
    but is wrong, incomplete or has more than one meaning.
    """

    def __call__(
        self, text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
    ) -> CallOut | None:
        """Read a tidied text."""


class Read(Protocol):
    """Makes the call-out of one family from fields; raises a ``CalcError`` if it cannot."""

    def __call__(self, fields: Fields, *, trail: Trail | None = None) -> CallOut:
        """Make the call-out."""


class Limits(Protocol):
    """Computes the limits of size of one call-out of the family.

    ``rounding`` is the caller's word for the rule, ``None`` for the family's default; a family
    refuses a rule that it does not know.
    """

    def __call__(
        self, call_out: CallOut, *, rounding: str | None = None, trail: Trail | None = None
    ) -> ThreadLimits:
        """Compute the limits of size."""


class Sizes(Protocol):
    """Lists the standard sizes of the family, series by series, rising."""

    def __call__(self) -> tuple[StandardSize, ...]:
        """List the sizes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """One family of threads: what it is called, how it is read and computed.

    Parameters
    ----------
    key : str
        The family's name in answers: ``unified``, ``iso-metric`` …
    title : str
        The family in words.
    standard : str
        The standards that it follows, with their editions where they matter.
    unit : "in" or "mm"
        The unit in which the standard is authoritative.
    symbols : tuple of str
        The series symbols as the standard writes them; the field ``series`` is matched
        against these (capitals and small letters alike) to find the family.
    classes : tuple of str
        The tolerance classes that it knows; where there are very many, those in common use.
    parse, read, limits, sizes
        See :class:`Parse`, :class:`Read`, :class:`Limits` and :class:`Sizes`.
    options : tuple of str
        Keyword arguments that ``limits`` takes beside those of :class:`Limits`: ``side`` where
        the call-out need not say it, ``distance_from_gauge_plane`` of taper threads (in the
        family's unit, positive towards the large end).
    """

    key: str
    title: str
    standard: str
    unit: LengthUnit
    symbols: tuple[str, ...]
    classes: tuple[str, ...]
    parse: Parse
    read: Read
    limits: Limits
    sizes: Sizes
    options: tuple[str, ...] = ()


@cache
def families() -> tuple[Family, ...]:
    """All families."""
    return tuple(each_family())


def each_family() -> Iterator[Family]:
    """The families one by one, each imported when it is its turn for the first time."""
    return map(_family_at, FAMILY_ADDRESSES)


@cache
def _family_at(address: str) -> Family:
    module, _, record = address.partition(":")
    family = getattr(import_module(f"{__package__}.{module}"), record)
    if not isinstance(family, Family):
        raise TypeError(f"{address} is not a Family")
    return family


@cache
def family(key: str) -> Family:
    """The family with this key.

    Raises
    ------
    KeyError
        If there is none: keys come from call-outs, never from a caller.
    """
    return {each.key: each for each in families()}[key]


@lru_cache(maxsize=256)
def family_of_symbol(symbol: str) -> Family | None:
    """The family that has this series symbol; ``symbol`` in small letters, without blanks."""
    for each in families():
        if any(symbol == known.casefold().replace(" ", "") for known in each.symbols):
            return each
    return None


def agreed_class(from_text: str, given: str | None) -> str:
    """The tolerance class from the text and the one given beside it, both as normalised.

    Returns an empty text if neither is there.

    Raises
    ------
    AmbiguousError
        If both are there and differ.
    """
    if from_text and given and from_text != given:
        raise AmbiguousError(
            f"the call-out says class {from_text}, the field tolerance_class says {given}",
            parameter="tolerance_class",
            value=given,
            accepted=f"{from_text}, or a call-out without a class",
        )
    return from_text or given or ""
