"""Where sizes lie in their tolerance: limits, aim, what was measured, gauges, drills."""

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
from threadwright_service.app.pictures.drawing import HEADING, SMALL, Drawing, Hatch
from threadwright_service.app.pictures.size_scale import Column, Mark, Zone, columns

_TOP: Final = 92.0
_BOTTOM: Final = 268.0


def draw_limits(answer: Answer) -> str | None:
    """The zones of major, pitch and minor diameter against the basic profile."""
    thread = thread_of(answer)
    if thread is None:
        return None
    coating = answer["result"].get("before_coating")
    picture = _picture(
        answer,
        thread["designation"],
        "Chain line: basic profile" + ("; inner zones: before coating" if coating else ""),
        "Zones of major, pitch and minor diameter above or below their basic sizes.",
    )
    shown = []
    for part in ("major", "pitch", "minor"):
        key = f"{part}_diameter"
        basic = thread["basic"][key]
        marks = _ends(thread["limits"][key], basic)
        zones = _between(thread["limits"][key], basic)
        if coating:
            inner = coating["limits"][key]
            zones += _between(inner, basic, hatch="falling", narrow=True)
            marks += [
                Mark(at=mark.at, words=f"before {mark.words[4:]}", kind="plain")
                for mark in _ends(inner, basic)
            ]
        shown.append(
            Column(
                heading=part,
                second_line=f"basic {said(basic)}",
                zones=zones,
                marks=marks,
                note="" if marks else "no limit",
            )
        )
    columns(picture, shown, top=_TOP, bottom=_BOTTOM, zero=0.0)
    return picture.svg()


def draw_wires(answer: Answer) -> str | None:
    """Pitch diameter and reading side by side: limits, aim, accepted zone, what was read."""
    wires = part_of(answer, "wires", "best_wire_diameter")
    if wires is None:
        return None
    shown = [_pitch_column(wires)]
    reading = _reading_column(wires, answer)
    if reading is not None:
        shown.append(reading)
    if not any(column.marks for column in shown):
        return None
    picture = _picture(
        answer,
        _name(answer),
        f"{_METHODS[wires['method']]} of {said(wires['wire_diameter'])}",
        "Limits and aim of the pitch diameter, and the readings that stand for them.",
    )
    columns(picture, shown, top=_TOP, bottom=_BOTTOM)
    return picture.svg()


def draw_gauges(answer: Answer) -> str | None:
    """The part's zone beside those of the GO and NOT GO gauge, with their wear limits."""
    gauges = part_of(answer, "gauges", "not_go")
    thread = thread_of(answer)
    if gauges is None or thread is None:
        return None
    part = limits_of(thread["limits"]["pitch_diameter"])
    shown = [
        Column(
            heading="part",
            second_line="pitch diameter",
            zones=(Zone(low=part.low, high=part.high),) if part else (),
            marks=_ends(thread["limits"]["pitch_diameter"]),
        )
    ]
    for key, name in (("go", "GO"), ("not_go", "NOT GO")):
        sizes = gauges[key]["pitch_diameter"] if gauges[key] else None
        if sizes:
            shown.append(_gauge_column(name, gauges["gauge"], sizes))
    worn = any(mark.kind == "wear" for column in shown for mark in column.marks)
    picture = _picture(
        answer,
        _name(answer),
        f"{gauges['gauge'].capitalize()} gauges by {gauges['standard']}"
        + ("; dashed: worn out" if worn else ""),
        "Zone of the part's pitch diameter beside the zones and wear limits of its gauges.",
    )
    columns(picture, shown, top=_TOP, bottom=_BOTTOM)
    return picture.svg()


def draw_hole(answer: Answer) -> str | None:
    """Limits of the hole, the size to aim at, and the nearest drills."""
    hole = part_of(answer, "hole", "over_fill_below")
    if hole is None:
        return None
    sizes = hole["hole_diameter"]
    limits = limits_of(sizes)
    marks = _ends(sizes)
    if sizes.get("aim") is not None:
        marks.append(Mark(at=sizes["aim"], words=f"aim {said(sizes['aim'])}", kind="aim"))
    if hole["given"] is not None:
        size = hole["given"]["diameter"]
        marks.append(Mark(at=size, words=f"given {said(size)}", kind="measured"))
    drills = [
        Mark(
            at=drill["diameter"],
            words=f"{drill['name']}: {said(drill['diameter'])}",
            kind="plain",
        )
        for drill in hole["nearest"]
    ]
    picture = _picture(
        answer,
        _name(answer),
        "Hole before the thread, and the nearest drills",
        "Limits of the hole's diameter and the nearest standard drills.",
    )
    shown = [
        Column(
            heading="hole",
            second_line=hole["process"],
            zones=(Zone(low=limits.low, high=limits.high),) if limits else (),
            marks=marks,
        )
    ]
    if drills:
        shown.append(Column(heading="drills", second_line="nearest to the aim", marks=drills))
    columns(picture, shown, top=_TOP, bottom=_BOTTOM)
    return picture.svg()


_METHODS: Final = {
    "three-wire": "Over three wires",
    "two-wire": "Over two wires",
    "one-wire": "Over one wire",
    "balls": "Between balls",
}


_UNITS: Final = {"mm": "mm", "in": "inches"}


def _picture(answer: Answer, heading: str, line: str, description: str) -> Drawing:
    picture = Drawing("zone", f"{heading}: sizes and tolerance", description, 292)
    picture.text(8, 17, heading, bold=True, size=HEADING)
    picture.text(8, 35, f"{line}; sizes in {_UNITS[answer['unit']]}", size=SMALL)
    return picture


def _name(answer: Answer) -> str:
    thread = thread_of(answer)
    return "Thread without a standard" if thread is None else str(thread["designation"])


def _ends(pair: Mapping[str, Any] | None, basic: float = 0.0) -> list[Mark]:
    """The limits that exist, as marks above or below a basic size."""
    if pair is None:
        return []
    return [
        Mark(at=pair[end] - basic, words=f"{end} {said(pair[end])}")
        for end in ("max", "min")
        if pair.get(end) is not None
    ]


def _between(
    pair: Mapping[str, Any], basic: float, *, hatch: Hatch = "rising", narrow: bool = False
) -> list[Zone]:
    """The zone between both limits, if both exist."""
    limits = limits_of(pair)
    if limits is None:
        return []
    return [Zone(low=limits.low - basic, high=limits.high - basic, hatch=hatch, narrow=narrow)]


def _pitch_column(wires: Mapping[str, Any]) -> Column:
    limits = limits_of(wires["pitch_diameter_limits"])
    acceptance = wires["acceptance"] or {}
    accepted = limits_of(acceptance.get("pitch_diameter"))
    zones = [Zone(low=limits.low, high=limits.high)] if limits else []
    marks = _ends(wires["pitch_diameter_limits"])
    if accepted and limits and accepted != limits and accepted.high > accepted.low:
        zones.append(Zone(low=accepted.low, high=accepted.high, hatch="falling", narrow=True))
        marks += [
            Mark(at=accepted.high, words=f"accept to {said(accepted.high)}", kind="plain"),
            Mark(at=accepted.low, words=f"accept from {said(accepted.low)}", kind="plain"),
        ]
    if wires["aim_pitch_diameter"] is not None:
        aim = wires["aim_pitch_diameter"]
        marks.append(Mark(at=aim, words=f"aim {said(aim)}", kind="aim"))
    if wires["pitch_diameter"] is not None:
        size = wires["pitch_diameter"]
        marks.append(
            Mark(
                at=size,
                words=f"measured {said(size)}",
                kind="measured",
                spread=acceptance.get("uncertainty") or 0.0,
            )
        )
    return Column(heading="pitch diameter", zones=zones, marks=marks)


def _reading_column(wires: Mapping[str, Any], answer: Answer) -> Column | None:
    """The readings, shifted so that each stands beside its pitch diameter."""
    reading, limits = wires["reading"], wires["pitch_diameter_limits"]
    if reading is None or limits is None:
        return None
    shift = next(
        (
            limits[end] - reading[end]
            for end in ("max", "min")
            if limits.get(end) is not None and reading.get(end) is not None
        ),
        None,
    )
    if shift is None:
        return None
    marks = [
        Mark(at=reading[end] + shift, words=f"{end} {said(reading[end])}")
        for end in ("max", "min")
        if reading.get(end) is not None
    ]
    both = limits_of(reading)
    if reading.get("aim") is not None:
        marks.append(
            Mark(at=reading["aim"] + shift, words=f"aim {said(reading['aim'])}", kind="aim")
        )
    read = answer["input"].get("measured")
    if isinstance(read, (int, float)) and wires["pitch_diameter"] is not None:
        marks.append(
            Mark(at=wires["pitch_diameter"], words=f"read {said(float(read))}", kind="measured")
        )
    return Column(
        heading="reading",
        second_line=_METHODS[wires["method"]].lower(),
        zones=(Zone(low=both.low + shift, high=both.high + shift),) if both else (),
        marks=marks,
    )


def _gauge_column(name: str, form: str, sizes: Mapping[str, Any]) -> Column:
    limits = limits_of(sizes)
    marks = _ends(sizes)
    if sizes.get("wear") is not None and sizes["wear"] not in (sizes["max"], sizes["min"]):
        marks.append(Mark(at=sizes["wear"], words=f"worn {said(sizes['wear'])}", kind="wear"))
    return Column(
        heading=name,
        second_line=f"new {form}",
        zones=(Zone(low=limits.low, high=limits.high, hatch="crossed"),) if limits else (),
        marks=marks,
    )
