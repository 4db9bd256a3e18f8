"""Measured sizes in the order of the parts, in their tolerance, with target and next step."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from threadwright_service.app.pictures.answer_parts import (
    Answer,
    limits_of,
    part_of,
    said,
    thread_of,
)
from threadwright_service.app.pictures.drawing import (
    BOLD,
    DASHED,
    DEEP,
    FAINT,
    HEADING,
    RUST,
    SMALL,
    Drawing,
    apart,
)
from threadwright_service.app.pictures.size_scale import Column, Mark, Scale

_TOP: Final = 66.0
_BOTTOM: Final = 262.0
_LEFT: Final = 14.0
_RIGHT: Final = 270.0
_LABELS: Final = 286.0
_MOST: Final = 200


def draw(answer: Answer) -> str | None:
    """The picture; ``None`` if the answer is no correction."""
    found = part_of(answer, "correction", "pre_control")
    thread = thread_of(answer)
    if found is None or thread is None:
        return None
    pair = thread["limits"]["pitch_diameter"]
    limits = limits_of(pair)
    if limits is None:
        return None
    parts = found["parts"][-_MOST:]
    target = found["target"]["pitch_diameter"]
    sizes = [part["pitch_diameter"] for part in parts]
    picture = Drawing(
        "correction",
        f"Sizes of {thread['designation']}",
        f"{len(parts)} measured pitch diameters within their limits, with the target.",
        316,
    )
    picture.text(8, 17, f"{thread['designation']}: pitch diameter", bold=True, size=HEADING)
    picture.text(8, 36, _next(found, answer["unit"]), size=SMALL, colour=RUST, bold=True)
    scale = Scale(_TOP, _BOTTOM)
    marks = [Mark(at=size, words="") for size in (*sizes, *limits, target)]
    scale.fit((Column(heading="", marks=marks),))
    _bands(picture, found, limits.low, limits.high, scale)
    _parts(picture, parts, scale)
    _named(picture, found, pair, parts, scale)
    picture.text(_LEFT, 304, "outer bands: slow down, measure again; middle: go on", size=SMALL)
    return picture.svg()


def _next(found: Mapping[str, Any], unit: str) -> str:
    """The next step in words."""
    now = found.get("diameter_correction_now")
    if now:
        return f"now: {said(now, unit)} on the cutter's diameter"
    return f"now: {found['action']}"


def _bands(
    picture: Drawing, found: Mapping[str, Any], low: float, high: float, scale: Scale
) -> None:
    bands = found["pre_control"] or {}
    for key in ("yellow_high", "yellow_low"):
        band = limits_of(bands.get(key))
        if band:
            top, bottom = scale.at(band.high), scale.at(band.low)
            picture.rectangle(
                _LEFT, top, _RIGHT - _LEFT, bottom - top, picture.hatched("dots", "none", 0)
            )
    for size in (low, high):
        picture.line(_LEFT, scale.at(size), _RIGHT, scale.at(size), BOLD)
    y = scale.at(found["target"]["pitch_diameter"])
    picture.line(_LEFT, y, _RIGHT, y, f'fill="none" stroke="{DEEP}" stroke-width="2"')


def _parts(picture: Drawing, parts: list[Mapping[str, Any]], scale: Scale) -> None:
    if not parts:
        return
    room = _RIGHT - _LEFT - 40
    step = room / max(len(parts) - 1, 1)
    points = [
        (
            _LEFT + 20 + (index * step if len(parts) > 1 else room / 2),
            scale.at(part["pitch_diameter"]),
        )
        for index, part in enumerate(parts)
    ]
    picture.polyline(points, f'fill="none" stroke="{RUST}" stroke-width="1"')
    every = max(1, round(22 / step)) if len(parts) > 1 else 1
    for index, (x, y) in enumerate(points):
        picture.path(
            f"M{x - 5:.1f} {y:.1f}l5 -5l5 5l-5 5Z", f'fill="{RUST}" stroke="#fff" stroke-width="1"'
        )
        if index % every == 0 or index == len(points) - 1:
            picture.text(x, _BOTTOM + 22, said(parts[index]["number"]), anchor="middle", size=SMALL)
    picture.text(_LABELS, _BOTTOM + 22, "part", size=SMALL)


def _named(
    picture: Drawing,
    found: Mapping[str, Any],
    pair: Mapping[str, Any],
    parts: list[Mapping[str, Any]],
    scale: Scale,
) -> None:
    target = found["target"]["pitch_diameter"]
    named = [
        (pair["max"], f"max {said(pair['max'])}", None),
        (pair["min"], f"min {said(pair['min'])}", None),
        (target, f"target {said(target)}", DEEP),
    ]
    if parts:
        last = parts[-1]["pitch_diameter"]
        named.append((last, f"last {said(last)}", RUST))
    green = limits_of((found["pre_control"] or {}).get("green"))
    if green:
        for size in green:
            picture.line(_LEFT, scale.at(size), _RIGHT, scale.at(size), DASHED)
    named.sort(key=lambda each: -each[0])
    places = apart([scale.at(size) for size, _, _ in named], 16, _TOP - 6, _BOTTOM + 6)
    for (size, words, colour), y in zip(named, places, strict=True):
        picture.line(_RIGHT, scale.at(size), _LABELS - 3, y, FAINT)
        picture.text(
            _LABELS, y + 4, words, size=SMALL, bold=colour is not None, colour=colour or "#1b2024"
        )
