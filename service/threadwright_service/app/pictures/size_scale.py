"""Sizes on one upright scale: columns of zones and marks, each with its words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final, Literal

from threadwright_service.app.pictures.drawing import (
    BOLD,
    CHAIN,
    DEEP,
    FAINT,
    INK,
    RUST,
    SMALL,
    TEXT,
    Drawing,
    Hatch,
    apart,
)

Kind = Literal["limit", "aim", "measured", "wear", "plain"]
_GAP: Final = 16.0
_BAR: Final = 30.0


@dataclass(slots=True)
class Zone:
    """A range of sizes; ``narrow`` is drawn inside a wider one."""

    low: float
    high: float
    hatch: Hatch = "rising"
    narrow: bool = False


@dataclass(slots=True)
class Mark:
    """One size with its words; ``spread`` is drawn as a bar of uncertainty to both sides."""

    at: float
    words: str
    kind: Kind = "limit"
    spread: float = 0.0


@dataclass(slots=True)
class Column:
    """What stands side by side with others on the same scale."""

    heading: str
    second_line: str = ""
    zones: Sequence[Zone] = ()
    marks: Sequence[Mark] = ()
    note: str = ""


@dataclass(slots=True)
class Scale:
    """The room between ``top`` and ``bottom`` for sizes from ``low`` to ``high``.

    ``crossed``: a line runs across it, behind the words.
    """

    top: float
    bottom: float
    low: float = field(default=0.0)
    high: float = field(default=1.0)
    crossed: bool = False

    def fit(self, columns: Sequence[Column]) -> None:
        """Take in everything of the columns."""
        places: list[float] = []
        for column in columns:
            for zone in column.zones:
                places += (zone.low, zone.high)
            for mark in column.marks:
                places += (mark.at - mark.spread, mark.at + mark.spread)
        self.low, self.high = min(places), max(places)
        if self.high - self.low <= 0:
            self.low, self.high = self.low - 0.5, self.high + 0.5

    def at(self, size: float) -> float:
        """The height of a size."""
        share = (size - self.low) / (self.high - self.low)
        return self.bottom - share * (self.bottom - self.top)


def columns(
    picture: Drawing,
    shown: Sequence[Column],
    *,
    top: float,
    bottom: float,
    zero: float | None = None,
) -> Scale:
    """Draw columns side by side.

    Parameters
    ----------
    zero : float, optional
        A size at which a line is drawn across all columns.
    """
    scale = Scale(top, bottom, crossed=zero is not None)
    origin = () if zero is None else (Column(heading="", marks=(Mark(at=zero, words=""),)),)
    scale.fit((*shown, *origin))
    wide = (picture.width - 16) / len(shown)
    if zero is not None:
        picture.line(8, scale.at(zero), picture.width - 8, scale.at(zero), CHAIN)
    for index, column in enumerate(shown):
        _column(picture, column, 8 + index * wide, scale)
    return scale


def _column(picture: Drawing, column: Column, x: float, scale: Scale) -> None:
    picture.text(x, scale.top - 30, column.heading, bold=True)
    if column.second_line:
        picture.text(x, scale.top - 15, column.second_line, size=SMALL)
    if column.note:
        picture.text(x, (scale.top + scale.bottom) / 2, column.note, size=SMALL)
    for zone in column.zones:
        inset = _BAR * 0.3 if zone.narrow else 0.0
        high, low = scale.at(zone.high), scale.at(zone.low)
        picture.rectangle(
            x + inset, high, _BAR - 2 * inset, max(low - high, 1.5), picture.hatched(zone.hatch)
        )
    marks = sorted(column.marks, key=lambda mark: -mark.at)
    places = apart([scale.at(mark.at) for mark in marks], _GAP, scale.top - 4, scale.bottom + 12)
    for mark, y in zip(marks, places, strict=True):
        _mark(picture, mark, x, scale, y)
        if mark.kind == "limit" and not column.zones:  # open to the other side
            level = scale.at(mark.at)
            picture.line(x, level, x + _BAR, level, BOLD)


_COLOURS: Final = {"aim": DEEP, "measured": RUST}


def _mark(picture: Drawing, mark: Mark, x: float, scale: Scale, y: float) -> None:
    level = scale.at(mark.at)
    edge = x + _BAR
    # A limit is drawn across the bar; its leader then begins there.
    begin = x if mark.kind in ("limit", "plain") else edge
    picture.leader(begin, level, edge, edge + 10, y, FAINT)
    bold = mark.kind in ("aim", "measured")
    size = SMALL if mark.kind == "plain" else TEXT
    colour = _COLOURS.get(mark.kind, INK)
    picture.text(
        edge + 13, y + 4, mark.words, bold=bold, colour=colour, size=size, backed=scale.crossed
    )
    if mark.kind == "aim":
        picture.line(x - 4, level, edge + 4, level, f'stroke="{DEEP}" stroke-width="2.4"')
    elif mark.kind == "wear":
        picture.line(
            x, level, edge, level, f'stroke="{INK}" stroke-width="1.6" stroke-dasharray="4 2"'
        )
    elif mark.kind == "measured":
        middle = x + _BAR / 2
        if mark.spread:
            high, low = scale.at(mark.at + mark.spread), scale.at(mark.at - mark.spread)
            pen = f'fill="none" stroke="{RUST}" stroke-width="2"'
            picture.line(middle, high, middle, low, pen)
            picture.line(middle - 6, high, middle + 6, high, pen)
            picture.line(middle - 6, low, middle + 6, low, pen)
        picture.path(
            f"M{middle - 7:.1f} {level:.1f}l7 -7l7 7l-7 7Z",
            f'fill="{RUST}" stroke="#fff" stroke-width="1"',
        )
