"""What a part costs or takes in lots of different size, in one way or in two."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Final, NamedTuple

from threadwright_service.app.pictures.answer_parts import Answer, brief, money, part_of
from threadwright_service.app.pictures.drawing import (
    CHAIN,
    DEEP,
    FAINT,
    HEADING,
    RUST,
    SMALL,
    THIN,
    Anchor,
    Drawing,
    Point,
    text_width,
)

_LEFT: Final = 62.0
_RIGHT: Final = 408.0
_TOP: Final = 60.0
_BOTTOM: Final = 260.0
_FIRST: Final = f'fill="none" stroke="{DEEP}" stroke-width="2.2"'
_SECOND: Final = f'fill="none" stroke="{RUST}" stroke-width="2.2" stroke-dasharray="7 4"'


class _Chart(NamedTuple):
    """From quantity and height to a place: quantities by their logarithm, heights from 0."""

    fewest: float
    most: float
    highest: float

    def at(self, quantity: float, height: float) -> Point:
        wide = math.log(self.most / self.fewest) or 1.0
        return (
            _LEFT + (_RIGHT - _LEFT) * math.log(quantity / self.fewest) / wide,
            _BOTTOM - (_BOTTOM - _TOP) * height / self.highest,
        )


def draw(answer: Answer) -> str | None:
    """The picture; ``None`` if the answer holds no times."""
    times = part_of(answer, "time", "price_breaks")
    if times is None or not times["price_breaks"]:
        return None
    other = times["alternatives"][0] if times["alternatives"] else None
    priced = times["lot"]["cost"] is not None and (other is None or other["cost"] is not None)
    key = "cost_each" if priced else "time_each_min"
    unit = (times["lot"]["currency"] or "") if priced else "min"
    first = _points(times["price_breaks"], key)
    second = _points(other["price_breaks"], key) if other else []
    heading = "Cost of a part" if priced else "Minutes of a part"
    picture = Drawing(
        "breakeven",
        f"{heading} by the quantity of the lot",
        _told(times, other),
        346 if other else 306,
    )
    picture.text(8, 17, f"{heading} by quantity", bold=True, size=HEADING)
    told = f"{unit} for a good part" if unit else "for a good part, in the currency of the rates"
    picture.text(8, 36, told, size=SMALL)
    places = [*first, *second]
    most = max(q for q, _ in places)
    meeting = (other["break_even"]["quantity"] if other else None) or most
    chart = _Chart(
        min(q for q, _ in places),
        max(most, meeting * 1.1 if meeting < 10 * most else most),
        max(h for _, h in places) * 1.05 or 1.0,  # without a rate all may be 0
    )
    _axes(picture, chart, sorted({q for q, _ in places}))
    if other:
        _break_even(picture, chart, other)
    for points, pen, colour in ((first, _FIRST, DEEP), (second, _SECOND, RUST)):
        if points:
            picture.polyline((chart.at(*point) for point in points), pen)
            for point in points:
                picture.circle(
                    *chart.at(*point), 3, f'fill="#fff" stroke="{colour}" stroke-width="2"'
                )
    _this_lot(picture, chart, times, key)
    if other:
        _key(picture, other)
    return picture.svg()


def _points(breaks: Sequence[Mapping[str, Any]], key: str) -> list[tuple[int, float]]:
    return sorted((each["quantity"], each[key]) for each in breaks if each[key] is not None)


def _told(times: Mapping[str, Any], other: Mapping[str, Any] | None) -> str:
    lot = times["lot"]
    told = f"The curve falls with the quantity; this lot holds {lot['quantity']}."
    if other is None:
        return told
    return f"{told} The second way, {other['name']}: {_verdict(other)}."


def _verdict(other: Mapping[str, Any]) -> str:
    found = other["break_even"]
    quantity = found["quantity"]
    return {
        "from": f"pays from {quantity} parts on",
        "up-to": f"pays up to {quantity} parts",
        "always": "pays at every quantity",
        "never": "pays at no quantity",
        "alike": "costs the same",
    }[found["pays"]]


def _axes(picture: Drawing, chart: _Chart, quantities: Sequence[int]) -> None:
    picture.line(_LEFT, _BOTTOM, _RIGHT, _BOTTOM)
    picture.line(_LEFT, _TOP, _LEFT, _BOTTOM)
    taken = -100.0
    for quantity in quantities:
        x, _ = chart.at(quantity, 0)
        picture.line(x, _BOTTOM, x, _BOTTOM + 4)
        if x - taken >= 24:
            picture.text(x, _BOTTOM + 17, str(quantity), anchor="middle", size=SMALL)
            taken = x
    picture.text(_RIGHT, _BOTTOM + 34, "parts in the lot", anchor="end", size=SMALL)
    step = _step(chart.highest)
    for index in range(1, int(chart.highest / step) + 1):
        _, y = chart.at(chart.fewest, index * step)
        picture.line(_LEFT, y, _RIGHT, y, FAINT)
        picture.text(_LEFT - 6, y + 4, f"{index * step:g}", anchor="end", size=SMALL)


def _step(highest: float) -> float:
    """A round step that gives the scale three to six lines."""
    power: float = 10.0 ** math.floor(math.log10(highest / 3))
    return next(power * factor for factor in (1, 2, 5, 10) if highest / (power * factor) <= 6)


def _break_even(picture: Drawing, chart: _Chart, other: Mapping[str, Any]) -> None:
    quantity = other["break_even"]["quantity"]
    if quantity is None or not chart.fewest <= quantity <= chart.most:
        return
    x, _ = chart.at(quantity, 0)
    picture.line(x, _TOP - 4, x, _BOTTOM, CHAIN)
    anchor: Anchor = "end" if x > (_LEFT + _RIGHT) / 2 else "start"
    picture.text(
        x + (-5 if anchor == "end" else 5),
        _TOP + 6,
        f"break-even {quantity}",
        anchor=anchor,
        size=SMALL,
        bold=True,
        backed=True,
    )


def _this_lot(picture: Drawing, chart: _Chart, times: Mapping[str, Any], key: str) -> None:
    lot = times["lot"]
    height = next(
        (each[key] for each in times["price_breaks"] if each["quantity"] == lot["quantity"]), None
    )
    if height is None:
        return
    x, y = chart.at(lot["quantity"], height)
    picture.circle(x, y, 6, THIN)
    words = f"this lot of {lot['quantity']}"
    words += f": {money(height, None) if key == 'cost_each' else brief(height, 'min')}"
    if x + 6 + text_width(words, SMALL) < picture.width:
        picture.text(x + 4, y - 11, words, size=SMALL, backed=True)
    else:  # the curve falls to the right, so there is room above
        picture.line(x, y - 6, _RIGHT - 20, y - 34, FAINT)
        picture.text(_RIGHT, y - 38, words, anchor="end", size=SMALL, backed=True)


def _key(picture: Drawing, other: Mapping[str, Any]) -> None:
    y = _BOTTOM + 52
    picture.line(8, y, 40, y, _FIRST)
    picture.text(46, y + 4, "as asked", size=SMALL)
    picture.line(8, y + 20, 40, y + 20, _SECOND)
    picture.text(46, y + 24, f"{other['name']}: {_verdict(other)}", size=SMALL)
