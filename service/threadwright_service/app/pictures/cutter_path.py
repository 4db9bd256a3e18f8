"""The path of the cutter's centre, from above and from the side, with the ways it goes."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, Final, NamedTuple

from threadwright_service.app.pictures.answer_parts import (
    Answer,
    brief,
    given,
    part_of,
    said,
    thread_of,
)
from threadwright_service.app.pictures.drawing import (
    BOLD,
    CHAIN,
    DASHED,
    DEEP,
    FAINT,
    HEADING,
    INK,
    METAL,
    PATH,
    RUST,
    SMALL,
    WORKING,
    Drawing,
    Point,
    apart,
)

_VIEW: Final = 190.0
"""Width and height of the view from above, and width of the one from the side."""
_TOP: Final = 48.0
_SIDE: Final = 126.0
"""Height of the view from the side."""
_LABELS: Final = 212.0
_LINE: Final = 16.0


class _Side(NamedTuple):
    """The view from the side: where its middle is, and how lengths become places."""

    middle: float
    across: float
    place: Callable[[float], float]


def draw(answer: Answer) -> str | None:
    """The picture; ``None`` if the answer holds no path."""
    plan = part_of(answer, "plan", "pass_paths")
    thread = thread_of(answer)
    if plan is None or thread is None:
        return None
    path = plan["path"]
    picture = Drawing(
        "path",
        f"Path of the cutter's centre for {thread['designation']}",
        f"Seen from above and from the side: travel {path['travel']}, {path['axial']} along the "
        f"axis, {brief(path['turns'])} turns.",
        _TOP + _VIEW + 36 + _SIDE + 12,
    )
    picture.text(8, 17, f"{thread['designation']}: cutter-centre path", bold=True, size=HEADING)
    picture.text(8, 35, f"last pass, {thread['hand']} hand, {plan['milling']} milling", size=SMALL)
    _from_above(picture, answer, plan)
    _from_the_side(picture, answer, plan, _TOP + _VIEW + 36)
    return picture.svg()


def _from_above(picture: Drawing, answer: Answer, plan: Mapping[str, Any]) -> None:
    path, unit = plan["path"], answer["unit"]
    tool = given(answer, "cutter_diameter") / 2
    outside = plan["side"] == "external"
    elements = [each for each in path["elements"] if each["start_number"] == 1]
    farthest = max(
        plan["blank_diameter"] / 2,
        plan["root_diameter"] / 2,
        path["cutter_centre_radius"] + tool,
        *(abs(each[key]) for each in elements for key in ("start_x", "start_y", "end_x", "end_y")),
    )
    scale = (_VIEW / 2 - 8) / farthest
    middle = (8 + _VIEW / 2, _TOP + _VIEW / 2)

    def at(x: float, y: float) -> Point:
        return middle[0] + x * scale, middle[1] - y * scale

    blank, root = plan["blank_diameter"] / 2 * scale, plan["root_diameter"] / 2 * scale
    if outside:
        picture.circle(*middle, blank, METAL)
        picture.circle(*middle, blank, BOLD)
        picture.circle(*middle, root, DASHED)
    else:
        picture.rectangle(8, _TOP, _VIEW, _VIEW, METAL)
        picture.circle(*middle, root, f'fill="#fff" stroke="{INK}" stroke-dasharray="6 3"')
        picture.circle(*middle, blank, BOLD)
    picture.line(middle[0] - 6, middle[1], middle[0] + 6, middle[1])
    picture.line(middle[0], middle[1] - 6, middle[0], middle[1] + 6)
    _helix_from_above(picture, path, at, scale)
    for each in elements:
        if each["kind"] in ("entry-arc", "exit-arc"):
            _arc(picture, each, at, scale)
    helix = next(each for each in elements if each["kind"] == "helix")
    _cutter(picture, at(helix["start_x"], helix["start_y"]), tool * scale, path["spindle"])
    _words_above(picture, path, unit, outside)


def _helix_from_above(
    picture: Drawing, path: Mapping[str, Any], at: Callable[[float, float], Point], scale: float
) -> None:
    radius = path["cutter_centre_radius"]
    picture.circle(*at(0, 0), radius * scale, PATH)
    turn = 1 if path["travel"] == "counter-clockwise" else -1
    for angle in (75, 165, 255, 345):
        here = math.radians(angle)
        x, y = radius * math.cos(here), radius * math.sin(here)
        picture.head(at(x, y), (-turn * math.sin(here), -turn * math.cos(here)), PATH, 10)


def _arc(
    picture: Drawing, each: Mapping[str, Any], at: Callable[[float, float], Point], scale: float
) -> None:
    """An entry or exit arc, with the head of an arrow at its end."""
    start, end = at(each["start_x"], each["start_y"]), at(each["end_x"], each["end_y"])
    radius = (
        math.hypot(each["start_x"] - each["centre_x"], each["start_y"] - each["centre_y"]) * scale
    )
    large = 1 if each["arc_angle_deg"] > 180 else 0
    against = each["travel"] == "counter-clockwise"
    picture.path(
        f"M{start[0]:.2f} {start[1]:.2f}A{radius:.2f} {radius:.2f} 0 {large} "
        f"{0 if against else 1} {end[0]:.2f} {end[1]:.2f}",
        WORKING,
    )
    outward_x, outward_y = each["end_x"] - each["centre_x"], each["end_y"] - each["centre_y"]
    turn = 1 if against else -1
    picture.head(end, (-turn * outward_y, -turn * outward_x), WORKING, 8)


def _cutter(picture: Drawing, middle: Point, radius: float, spindle: str) -> None:
    """The cutter where the helix begins, with the way it turns."""
    picture.circle(*middle, radius, f'fill="none" stroke="{RUST}" stroke-width="1.4"')
    picture.circle(*middle, 2.2, f'fill="{RUST}"')
    inner = max(radius * 0.6, 5.0)
    clockwise = spindle == "clockwise"
    start = (middle[0] - inner * 0.707, middle[1] - inner * 0.707)
    end = (middle[0] + inner * 0.707, middle[1] - inner * 0.707)
    if not clockwise:
        start, end = end, start
    picture.path(
        f"M{start[0]:.2f} {start[1]:.2f}A{inner:.2f} {inner:.2f} 0 0 {1 if clockwise else 0} "
        f"{end[0]:.2f} {end[1]:.2f}",
        f'fill="none" stroke="{RUST}" stroke-width="1.4"',
    )
    picture.head(end, (1 if clockwise else -1, 1), f'stroke="{RUST}"', 7)


def _words_above(picture: Drawing, path: Mapping[str, Any], unit: str, outside: bool) -> None:
    lines = (
        ("From above", True, INK),
        ("", False, INK),
        (f"path {path['travel']} ({path['travel_word']})", True, DEEP),
        (f"radius {said(path['cutter_centre_radius'], unit)}", True, DEEP),
        ("", False, INK),
        (f"spindle {path['spindle']} ({path['spindle_word']})", False, RUST),
        (f"arcs of {said(path['entry_arc_angle_deg'])} deg,", False, RUST),
        (f"radius {said(path['entry_arc_radius'], unit)}", False, RUST),
        ("", False, INK),
        ("full line: " + ("blank" if outside else "hole"), False, INK),
        ("dashed: " + ("root" if outside else "groove"), False, INK),
    )
    for index, (words, bold, colour) in enumerate(lines):
        if words:
            picture.text(
                _LABELS, _TOP + 14 + index * _LINE, words, size=SMALL, bold=bold, colour=colour
            )


def _from_the_side(picture: Drawing, answer: Answer, plan: Mapping[str, Any], top: float) -> None:
    path = plan["path"]
    length = given(answer, "thread_length")
    shoulder = given(answer, "shoulder_distance")
    low = min(path["start_height"], path["end_height"], -length)
    high = max(path["start_height"], path["end_height"], 0.0)
    bottom = min(low, -length - (shoulder or 0.0))
    room = (high - bottom) or 1.0
    scale = (_SIDE - 20) / room
    radius = max(path["cutter_centre_radius"], plan["blank_diameter"] / 2)
    side = _Side(
        middle=8 + _VIEW / 2,
        across=(_VIEW / 2 - 16) / radius,
        place=lambda z: top + 8 + (high - z) * scale,
    )
    _work(picture, plan, side, length, None if shoulder is None else -length - shoulder, top)
    _turns(picture, path, side)
    _heights(picture, answer, path, side, length, shoulder, top)


def _work(
    picture: Drawing,
    plan: Mapping[str, Any],
    side: _Side,
    length: float,
    shoulder: float | None,
    top: float,
) -> None:
    half = plan["blank_diameter"] / 2 * side.across
    face, foot = side.place(0.0), top + _SIDE
    end = foot if shoulder is None else min(side.place(shoulder), foot)
    left, right = side.middle - _VIEW / 2, side.middle + _VIEW / 2
    if plan["side"] == "external":
        picture.rectangle(side.middle - half, face, 2 * half, end - face, METAL)
        picture.rectangle(side.middle - half, face, 2 * half, end - face, BOLD)
        if shoulder is not None:
            picture.rectangle(left, end, _VIEW, foot - end + 6, METAL)
            picture.line(left, end, right, end, BOLD)
    else:
        picture.rectangle(left, face, _VIEW, foot - face + 6, METAL)
        picture.rectangle(side.middle - half, face, 2 * half, end - face, 'fill="#fff"')
        picture.line(left, face, side.middle - half, face, BOLD)
        picture.line(side.middle + half, face, right, face, BOLD)
        for x in (side.middle - half, side.middle + half):
            picture.line(x, face, x, end, BOLD)
        if shoulder is not None:
            picture.line(side.middle - half, end, side.middle + half, end, BOLD)
    y = side.place(-length)
    picture.line(left, y, right, y, CHAIN)


def _turns(picture: Drawing, path: Mapping[str, Any], side: _Side) -> None:
    """The helix as a zigzag between its outermost points, and the way along the axis."""
    start, end, turns = path["start_height"], path["end_height"], path["turns"]
    first_reach, last_reach = (path[f"{at}_radius"] * side.across for at in ("start", "end"))
    reach = max(first_reach, last_reach)
    halves = min(max(int(turns * 2), 1), 80)
    points = [
        (
            side.middle
            + (-1 if index % 2 else 1)
            * (first_reach + (last_reach - first_reach) * index / halves),
            side.place(start + (end - start) * index / halves),
        )
        for index in range(halves + 1)
    ]
    picture.polyline(points, f'fill="none" stroke="{DEEP}" stroke-width="1.2"')
    picture.circle(*points[0], 4, f'fill="{RUST}"')
    x = side.middle + reach + 9
    first, last = side.place(start), side.place(end)
    picture.arrow((x, first + (last - first) * 0.75), (x, first + (last - first) * 0.25), PATH, 10)


def _heights(
    picture: Drawing,
    answer: Answer,
    path: Mapping[str, Any],
    side: _Side,
    length: float,
    shoulder: float | None,
    top: float,
) -> None:
    unit = answer["unit"]
    picture.text(_LABELS, top - 12, "From the side", bold=True, size=SMALL)
    picture.text(
        8, top - 12, f"{brief(path['turns'])} turns {path['axial']}", bold=True, size=SMALL
    )
    named = [
        (path["start_height"], f"start z {said(path['start_height'])}", RUST, True),
        (path["end_height"], f"end z {said(path['end_height'])}", DEEP, True),
        (0.0, "face z 0", INK, False),
        (-length, f"thread length {said(length, unit)}", INK, False),
    ]
    if shoulder is not None:
        place = "shoulder" if answer_side(answer) == "external" else "bottom"
        height = -length - shoulder
        named.append((height, f"{place} z {said(height)}", INK, False))
    named.sort(key=lambda each: -each[0])
    wanted = [side.place(z) for z, _, _, _ in named]
    edge = 8 + _VIEW
    for (z, words, colour, bold), y in zip(
        named, apart(wanted, _LINE, top, top + _SIDE + 4), strict=True
    ):
        picture.line(edge, side.place(z), _LABELS - 3, y, FAINT)
        picture.text(_LABELS, y + 4, words, size=SMALL, colour=colour, bold=bold)


def answer_side(answer: Answer) -> str:
    """Whether the thread of a plan is outside or inside."""
    plan = part_of(answer, "plan", "pass_paths")
    return "external" if plan is None else str(plan["side"])
