"""The base of every picture: shapes and text that become one SVG of plain presentation attributes.

Shapes are written as text at once, because a picture must cost no more than the calculation that it
shows; building an element tree and writing that costs ten times as much. No style sheet, no script
and no font of its own is used, so that a picture is the same in a page, in a file and in a
spreadsheet, and prints. Everything reads in black and white: what a colour says, a hatch, a dash or
a word says too.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from typing import Final, Literal

INK: Final = "#1b2024"
SOFT: Final = "#5c666c"
PALE: Final = "#e3e8e6"
DEEP: Final = "#0b5468"
RUST: Final = "#a3420e"

WIDTH: Final = 420.0
TEXT: Final = 13.0
SMALL: Final = 12.0
HEADING: Final = 15.0

THIN: Final = f'fill="none" stroke="{INK}" stroke-width="1"'
BOLD: Final = f'fill="none" stroke="{INK}" stroke-width="2"'
FAINT: Final = f'fill="none" stroke="{SOFT}" stroke-width="0.8"'
DASHED: Final = f'fill="none" stroke="{INK}" stroke-width="1.2" stroke-dasharray="6 3"'
DOTTED: Final = f'fill="none" stroke="{SOFT}" stroke-width="1" stroke-dasharray="1.5 3"'
CHAIN: Final = f'fill="none" stroke="{SOFT}" stroke-width="1" stroke-dasharray="10 3 2 3"'
PATH: Final = f'fill="none" stroke="{DEEP}" stroke-width="2"'
WORKING: Final = f'fill="none" stroke="{RUST}" stroke-width="2"'
METAL: Final = f'fill="{PALE}" stroke="none"'
BLANK: Final = f'fill="#fff" stroke="{INK}" stroke-width="1"'

Hatch = Literal["rising", "falling", "crossed", "dots"]
Anchor = Literal["start", "middle", "end"]

_HATCHES: Final[dict[Hatch, tuple[str, str, int]]] = {
    "rising": (INK, "M-1 1L1 -1M0 6L6 0M5 7L7 5", 6),
    "falling": (DEEP, "M-1 5L1 7M0 0L6 6M5 -1L7 1", 6),
    "crossed": (RUST, "M0 0L6 6M0 6L6 0", 6),
    "dots": (SOFT, "M2 2h1.4M5 5h1.4", 6),
}
Point = tuple[float, float]


class Drawing:
    """A picture in the making.

    Parameters
    ----------
    name : str
        Short word, which keeps the ids of several pictures in one page apart.
    title, description : str
        What is shown, for people who do not see it.
    height : float
        Height at a width of ``width`` units; one unit is about a pixel on a phone.
    width : float
        Width in units.
    """

    def __init__(
        self, name: str, title: str, description: str, height: float, width: float = WIDTH
    ) -> None:
        self.name = name
        self.height = height
        self.width = width
        self._title = title
        self._description = description
        self._parts: list[str] = []
        self._hatches: dict[Hatch, None] = {}

    def line(self, x1: float, y1: float, x2: float, y2: float, pen: str = THIN) -> None:
        """A straight line."""
        self._parts.append(f'<path d="M{x1:.2f} {y1:.2f}L{x2:.2f} {y2:.2f}" {pen}/>')

    def run(self, points: Iterable[Point]) -> str:
        """The commands of straight lines from point to point, to be drawn more than once."""
        # A per cent sign writes a pair of numbers in three quarters of the time.
        return "M" + "L".join(["%.2f %.2f" % point for point in points])  # noqa: UP031

    def constant(self, x: float, y: float, markup: str) -> None:
        """Markup that was made before, at another place."""
        self._parts.append(f'<g transform="translate({x:.1f} {y:.1f})">{markup}</g>')

    def markup(self) -> str:
        """What has been drawn so far, without its frame."""
        return "".join(self._parts)

    def leader(self, x1: float, y1: float, x2: float, x3: float, y3: float, pen: str) -> None:
        """A level line and on from its end to the words that belong to it."""
        self._parts.append(f'<path d="M{x1:.1f} {y1:.1f}H{x2:.1f}L{x3:.1f} {y3:.1f}" {pen}/>')

    def polyline(self, points: Iterable[Point], pen: str = THIN, *, closed: bool = False) -> None:
        """Straight lines from point to point."""
        self._parts.append(f'<path d="{self.run(points)}{"Z" if closed else ""}" {pen}/>')

    def path(self, commands: str, pen: str = THIN) -> None:
        """A path by its commands."""
        self._parts.append(f'<path d="{commands}" {pen}/>')

    def rectangle(self, x: float, y: float, width: float, height: float, pen: str = BLANK) -> None:
        """A rectangle from its upper left corner."""
        self._parts.append(
            f'<rect x="{x:.2f}" y="{y:.2f}" width="{max(width, 0):.2f}" '
            f'height="{max(height, 0):.2f}" {pen}/>'
        )

    def circle(self, x: float, y: float, radius: float, pen: str = THIN) -> None:
        """A circle."""
        self._parts.append(f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{max(radius, 0):.2f}" {pen}/>')

    def hatched(self, hatch: Hatch, stroke: str = INK, width: float = 1.0) -> str:
        """The pen for an area with a hatch."""
        self._hatches[hatch] = None
        return f'fill="url(#{self.name}-{hatch})" stroke="{stroke}" stroke-width="{width:g}"'

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        anchor: Anchor = "start",
        size: float = TEXT,
        bold: bool = False,
        backed: bool = False,
        colour: str = INK,
    ) -> None:
        """One line of text on its base line; ``backed`` lays white below it, over lines."""
        if backed:
            wide = text_width(words, size)
            left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
            self.rectangle(left - 2, y - size * 0.82, wide + 4, size * 1.08, 'fill="#fff"')
        weight = ' font-weight="700"' if bold else ""
        place = "" if anchor == "start" else f' text-anchor="{anchor}"'
        self._parts.append(
            f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" fill="{colour}"{place}{weight}>'
            f"{escape(words, quote=False) if '&' in words or '<' in words else words}</text>"
        )

    def arrow(self, tip: Point, tail: Point, pen: str = THIN, size: float = 7.0) -> None:
        """A line with a filled head at its tip."""
        self.line(*tail, *tip, pen)
        self.head(tip, (tip[0] - tail[0], tip[1] - tail[1]), pen, size)

    def head(self, tip: Point, direction: Point, pen: str = THIN, size: float = 7.0) -> None:
        """The head of an arrow that points in a direction."""
        length = (direction[0] ** 2 + direction[1] ** 2) ** 0.5
        if not length:
            return
        ux, uy = direction[0] / length, direction[1] / length
        bx, by = tip[0] - ux * size, tip[1] - uy * size
        half = size * 0.38
        colour = pen.split('stroke="', 1)[1].split('"', 1)[0]
        self._parts.append(
            f'<path d="M{tip[0]:.2f} {tip[1]:.2f}L{bx - uy * half:.2f} {by + ux * half:.2f}'
            f'L{bx + uy * half:.2f} {by - ux * half:.2f}Z" fill="{colour}"/>'
        )

    def span(self, tip: Point, other: Point, pen: str = THIN, size: float = 6.0) -> None:
        """A dimension line with a head at both ends."""
        self.arrow(tip, other, pen, size)
        self.head(other, (other[0] - tip[0], other[1] - tip[1]), pen, size)

    def svg(self) -> str:
        """The picture."""
        patterns = "".join(
            f'<pattern id="{self.name}-{hatch}" width="{step}" height="{step}" '
            f'patternUnits="userSpaceOnUse"><rect width="{step}" height="{step}" fill="#fff"/>'
            f'<path d="{lines}" stroke="{colour}" stroke-width="0.9"/></pattern>'
            for hatch in self._hatches
            for colour, lines, step in (_HATCHES[hatch],)
        )
        return (
            '<svg xmlns="http://www.w3.org/2000/svg" role="img" '
            f'aria-labelledby="{self.name}-title {self.name}-desc" '
            f'viewBox="0 0 {self.width:g} {self.height:g}" '
            f'width="{self.width:g}" height="{self.height:g}" '
            "font-family=\"Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif\">"
            f'<title id="{self.name}-title">{escape(self._title, quote=False)}</title>'
            f'<desc id="{self.name}-desc">{escape(self._description, quote=False)}</desc>'
            + (f"<defs>{patterns}</defs>" if patterns else "")
            + f'<rect width="{self.width:g}" height="{self.height:g}" fill="#fff"/>'
            + "".join(self._parts)
            + "</svg>"
        )


def text_width(words: str, size: float = TEXT) -> float:
    """About how wide a line of text is in an ordinary sans-serif letter."""
    narrow = sum(words.count(letter) for letter in " .,:;'|ilj()")
    return size * (0.56 * (len(words) - narrow) + 0.30 * narrow)


def apart(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Places as near as can be to those wanted, at least ``gap`` apart, in the same order.

    Parameters
    ----------
    wanted : sequence of float
        Wanted places, rising.
    gap : float
        Smallest distance.
    low, high : float
        Ends of the room; they give way if the places need more of it.

    Examples
    --------
    >>> apart([10, 11, 50], 8, 0, 100)
    [6.5, 14.5, 50.0]
    """
    groups: list[tuple[float, int]] = []  # centre of a group and how many it holds
    for place in wanted:
        group = (float(place), 1)
        while groups and _overlap(groups[-1], group, gap):
            centre, count = groups.pop()
            together = count + group[1]
            group = ((centre * count + group[0] * group[1]) / together, together)
        groups.append(group)
    placed = [
        centre + (index - (count - 1) / 2) * gap
        for centre, count in groups
        for index in range(count)
    ]
    for index in range(len(placed)):
        least = low if index == 0 else placed[index - 1] + gap
        placed[index] = max(placed[index], least)
    for index in reversed(range(len(placed))):
        most = high if index == len(placed) - 1 else placed[index + 1] - gap
        placed[index] = min(placed[index], most)
    return placed


def _overlap(first: tuple[float, int], second: tuple[float, int], gap: float) -> bool:
    return second[0] - first[0] < (first[1] + second[1]) / 2 * gap - 1e-9
