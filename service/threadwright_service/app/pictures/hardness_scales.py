"""One hardness on every scale that the tables reach, side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from threadwright_service.app.pictures.answer_parts import Answer, brief, part_of
from threadwright_service.app.pictures.drawing import (
    DEEP,
    HEADING,
    RUST,
    SMALL,
    SOFT,
    Anchor,
    Drawing,
)

_ROW: Final = 42.0
_LEFT: Final = 70.0
_RIGHT: Final = 404.0
_SPAN: Final = {
    # Ends of each ruler: about the range in which the scale is used for steels.
    "HRC": (20, 68),
    "HRA": (60, 86),
    "HRB": (40, 100),
    "HV": (80, 1000),
    "HB": (80, 750),
    "HBW": (80, 750),
    "HBS": (80, 450),
    "Rm": (250, 2600),
    "Rm-ksi": (40, 380),
}


def draw(answer: Answer) -> str | None:
    """The picture; ``None`` if the answer is no hardness."""
    found = part_of(answer, "hardness", "given_scale")
    if found is None:
        return None
    rows = [each for each in found["conversions"] if each["value"] is not None]
    told = _given(found, rows)
    picture = Drawing(
        "scales",
        f"{told} on other scales",
        "A ruler for each scale, from about the least to the greatest value in use, with the "
        "converted value; the given one is marked.",
        62 + _ROW * len(rows),
    )
    picture.text(8, 17, told, bold=True, size=HEADING)
    picture.text(8, 36, "by table; approximate, each scale within its own range", size=SMALL)
    for index, each in enumerate(rows):
        _ruler(picture, 70 + index * _ROW, each, each["basis"] == "given")
    return picture.svg()


def _given(found: Mapping[str, Any], rows: Sequence[Mapping[str, Any]]) -> str:
    """What was given, as it is written: a hardness before its scale, a strength with its unit."""
    scale = found["given_scale"]
    unit = next((each["unit"] for each in rows if each["scale"] == scale), "")
    value = brief(found["given_value"], unit or "")
    return f"Rm {value}" if unit else f"{value} {scale}"


def _ruler(picture: Drawing, y: float, each: Mapping[str, Any], is_given: bool) -> None:
    scale = str(each["scale"])
    value = float(str(each["value"]))
    low, high = _SPAN.get(scale, (value * 0.5, value * 1.5))
    low, high = min(low, value), max(high, value)
    anchor: Anchor

    def at(size: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * (size - low) / ((high - low) or 1)

    colour = RUST if is_given else DEEP
    picture.text(8, y + 4, scale, bold=True, colour=colour)
    picture.line(_LEFT, y, _RIGHT, y)
    for x, end, anchor in ((_LEFT, low, "start"), (_RIGHT, high, "end")):
        picture.line(x, y - 4, x, y + 4)
        picture.text(x, y + 17, brief(end), anchor=anchor, size=SMALL, colour=SOFT)
    if each["low"] is not None and each["high"] is not None:
        ends = float(str(each["low"])), float(str(each["high"]))
        wide = at(min(ends[1], high)) - at(max(ends[0], low))
        picture.rectangle(
            at(max(ends[0], low)), y - 5, wide, 10, picture.hatched("rising", "none", 0)
        )
    x = at(value)
    picture.path(
        f"M{x - 6:.1f} {y:.1f}l6 -6l6 6l-6 6Z", f'fill="{colour}" stroke="#fff" stroke-width="1"'
    )
    words = brief(value, str(each["unit"]))
    ends_here = x > _RIGHT - 60
    picture.text(
        x + (-8 if ends_here else 8),
        y - 8,
        words,
        anchor="end" if ends_here else "start",
        size=SMALL,
        bold=is_given,
    )
