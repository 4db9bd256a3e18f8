"""How the surface speed comes about, and how near the cut goes to its limits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from threadwright_service.app.pictures.answer_parts import Answer, brief, part_of, said
from threadwright_service.app.pictures.drawing import (
    CHAIN,
    DEEP,
    HEADING,
    INK,
    RUST,
    SMALL,
    Drawing,
)

_ROW: Final = 22.0
_ROOM: Final = 50.0
_AXIS: Final = 196.0
_REACH: Final = 118.0
_WORDS: Final = 330.0


def draw(answer: Answer) -> str | None:
    """The picture; ``None`` if the answer holds no cutting data."""
    data = part_of(answer, "cutting", "chip_thickness_allowed")
    if data is None:
        return None
    factors = [each for each in data["factors"] if each["value"] > 0]
    measures = _measures(data, answer)
    units = answer["units"]
    picture = Drawing(
        "factors",
        "Speed, feed and chip",
        f"Surface speed {said(data['surface_speed'], units['surface_speed'])} with the factors "
        "behind it, and the feed and chip within their ranges.",
        (80 + _ROW * len(factors) if factors else 78) + _ROOM * len(measures) + 4,
    )
    picture.text(8, 17, "Speed, feed and chip", bold=True, size=HEADING)
    picture.text(
        8,
        38,
        f"{said(data['surface_speed'], units['surface_speed'])}, "
        f"{said(data['spindle_speed'], units['spindle_speed'])}",
        bold=True,
        colour=DEEP,
    )
    y = _factors(picture, factors, data["basis"], 66)
    for measure in measures:
        _range(picture, y + 20, *measure)
        y += _ROOM
    return picture.svg()


def _factors(picture: Drawing, factors: Sequence[Mapping[str, Any]], basis: str, y: float) -> float:
    """A bar for each factor, to the left below 1 and to the right above."""
    if not factors:
        picture.text(8, y, f"{basis}: no factor was used", size=SMALL)
        return y + 12
    picture.text(8, y, "factors (chain line: 1)", bold=True, size=SMALL)
    most = max(0.25, *(abs(each["value"] - 1) for each in factors))
    top = y + 6
    for index, each in enumerate(factors):
        row = top + index * _ROW
        name = f"{each['name']}, {_APPLIES.get(each['applies_to'], each['applies_to'])}"
        picture.text(_AXIS - _REACH * 0.5, row + 15, name, size=SMALL, anchor="end")
        wide = (each["value"] - 1) / most * _REACH * (0.46 if each["value"] < 1 else 1)
        hatch = picture.hatched("crossed" if each["value"] < 1 else "falling", stroke=INK)
        picture.rectangle(_AXIS + min(wide, 0), row + 4, max(abs(wide), 1.5), 14, hatch)
        picture.text(_WORDS, row + 15, brief(each["value"]), size=SMALL)
    bottom = top + _ROW * len(factors)
    picture.line(_AXIS, top, _AXIS, bottom + 4, CHAIN)
    return bottom + 8


_APPLIES: Final = {
    "surface_speed": "speed",
    "feed_per_tooth": "feed",
    "feed_rate": "feed rate",
    "tool_life_min": "life",
}


def _measures(
    data: Mapping[str, Any], answer: Answer
) -> list[tuple[str, float, float, float, str]]:
    """Name, value, low and high end, and unit of what lies in a range."""
    unit = answer["unit"]
    found = []
    start = data["start"] or {}
    for key, name in (("surface_speed", "surface speed"), ("feed_per_tooth", "feed per tooth")):
        band = start.get(key)
        value = data[key]
        if band and value is not None and band["low"] is not None:
            named = answer["units"]["surface_speed"] if key == "surface_speed" else unit
            found.append((name, value, band["low"], band["high"], named))
    chip, least, most = (
        data["chip_thickness_max"],
        data["chip_thickness_min"],
        data["chip_thickness_allowed"],
    )
    if chip is not None and least is not None and most is not None:
        found.append(("chip, greatest", chip, least, most, unit))
    return found


def _range(
    picture: Drawing, y: float, name: str, value: float, low: float, high: float, unit: str
) -> None:
    """A value on a line from the low to the high end of its range."""
    left, right = 108.0, 312.0
    least, most = min(low, value), max(high, value)
    wide = (most - least) or 1.0

    def at(size: float) -> float:
        return left + (right - left) * (size - least) / wide

    picture.text(8, y + 4, name, size=SMALL)
    picture.rectangle(at(low), y - 5, at(high) - at(low), 10, picture.hatched("rising"))
    picture.text(at(low), y + 20, said(low), size=SMALL, anchor="middle")
    picture.text(at(high), y + 20, said(high), size=SMALL, anchor="middle")
    x = at(value)
    picture.path(f"M{x:.1f} {y - 9:.1f}v18", f'stroke="{RUST}" stroke-width="3"')
    picture.text(_WORDS, y + 4, said(value, unit), size=SMALL, bold=True, colour=RUST)
