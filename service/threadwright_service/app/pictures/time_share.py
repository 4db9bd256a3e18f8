"""Where the time of one part and of the lot goes, and the lot's money."""

from __future__ import annotations

from typing import Final

from threadwright_service.app.pictures.answer_parts import Answer, brief, money, part_of
from threadwright_service.app.pictures.drawing import (
    DEEP,
    HEADING,
    RUST,
    SMALL,
    Drawing,
    Hatch,
)

_ROW: Final = 21.0
_NAMES: Final = 146.0
_BAR: Final = 150.0
_PART: Final = (
    ("cutting_time_s", "cutting"),
    ("rapid_time_s", "rapid moves"),
    ("other_time_s", "probing and other"),
    ("tool_change_time_s", "tool changes"),
    ("spindle_time_s", "spindle start, stop"),
    ("load_time_s", "loading"),
    ("hand_time_s", "work by hand"),
    ("beside_time_s", "beside the machine"),
)


def draw(answer: Answer) -> str | None:
    """The picture; ``None`` if the answer holds no times."""
    times = part_of(answer, "time", "price_breaks")
    if times is None:
        return None
    part, lot = times["part"], times["lot"]
    steps = [(name, part[key]) for key, name in _PART if part.get(key)]
    lines = [line for line in times["breakdown"] if line["time_min"]]
    costs = [line for line in times["breakdown"] if line["cost"]]
    rows = len(steps) + len(lines) + len(costs)
    picture = Drawing(
        "times",
        "Where the time goes",
        f"One part takes {brief(part['time_s'])} s; the lot of {lot['quantity']} takes "
        f"{brief(lot['time_min'])} min. Bars show what it is spent on.",
        44 + rows * _ROW + (3 if costs else 2) * 34,
    )
    picture.text(8, 17, "Where the time goes", bold=True, size=HEADING)
    told = [(name, seconds, brief(seconds, "s")) for name, seconds in steps]
    y = _bars(picture, 52, f"One part: {brief(part['time_s'], 's')}", told, "rising")
    y = _bars(
        picture,
        y + 34,
        f"Lot of {lot['quantity']}: {brief(lot['time_min'], 'min')}",
        [(line["name"], line["time_min"], brief(line["time_min"], "min")) for line in lines],
        "falling",
    )
    if costs:
        currency = lot["currency"]
        _bars(
            picture,
            y + 34,
            f"Cost of the lot: {money(lot['cost'], currency)}",
            [(line["name"], line["cost"], money(line["cost"], currency)) for line in costs],
            "crossed",
        )
    return picture.svg()


def _bars(
    picture: Drawing,
    y: float,
    heading: str,
    rows: list[tuple[str, float, str]],
    hatch: Hatch,
) -> float:
    """A heading and one bar a row; gives the height below the last."""
    picture.text(8, y, heading, bold=True)
    most = max((size for _, size, _ in rows), default=1.0)
    colour = {"rising": "#1b2024", "falling": DEEP}.get(hatch, RUST)
    y += 8
    for name, size, words in rows:
        picture.text(_NAMES - 8, y + 14, name, size=SMALL, anchor="end")
        wide = _BAR * size / most
        picture.rectangle(_NAMES, y + 3, max(wide, 1.5), 14, picture.hatched(hatch, colour))
        picture.text(_NAMES + max(wide, 1.5) + 6, y + 14, words, size=SMALL)
        y += _ROW
    return y
