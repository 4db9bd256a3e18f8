"""A wire, pin or ball in the groove, and the reading over it."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

from threadwright_service.app.pictures.answer_parts import Answer, part_of, said, thread_of
from threadwright_service.app.pictures.drawing import (
    BOLD,
    CHAIN,
    DEEP,
    HEADING,
    INK,
    METAL,
    RUST,
    SMALL,
    Drawing,
    Point,
)
from threadwright_service.app.pictures.profile import Flanks, outline

_MIDDLE: Final = 132.0
_WIDE: Final = 240.0
_TOP: Final = 60.0
_LABELS: Final = 268.0
_WORDS: Final = {
    "three-wire": "over three wires",
    "two-wire": "over two wires",
    "one-wire": "over one wire",
    "balls": "between balls",
}


class _Scene(NamedTuple):
    """A groove with a wire in it, and how it lies on the paper.

    ``wire`` is the wire's middle: along the axis from the groove's, and from the axis.
    """

    flanks: Flanks
    pitch_diameter: float
    crest: float
    root: float
    wire: Point
    wire_radius: float
    scale: float
    high: float
    """Largest distance from the axis that is drawn."""
    low: float

    @property
    def outermost(self) -> float:
        """Where the anvil touches the wire, from the axis."""
        return self.wire[1] + self.flanks.outward * self.wire_radius

    def at(self, point: Point) -> Point:
        """Where a point lies on the paper."""
        return _MIDDLE + point[0] * self.scale, _TOP + (self.high - point[1]) * self.scale


def draw(answer: Answer) -> str | None:
    """The picture; ``None`` if the answer is about no wires."""
    wires = part_of(answer, "wires", "best_wire_diameter")
    if wires is None:
        return None
    scene = _scene(answer, wires["wire_diameter"] / 2)
    picture = Drawing(
        "wires",
        f"Measuring {_WORDS[wires['method']]}",
        "Axial section of a groove with the wire or ball touching both flanks.",
        _TOP + (scene.high - scene.low) * scene.scale + 74,
    )
    thread = thread_of(answer)
    name = thread["designation"] if thread else "Thread without a standard"
    picture.text(8, 17, name, bold=True, size=HEADING)
    picture.text(8, 36, f"{_WORDS[wires['method']]}, {wires['side']}", size=SMALL)
    _draw_groove(picture, scene)
    line = scene.at((0, scene.pitch_diameter / 2))[1]
    picture.line(_MIDDLE - _WIDE / 2, line, _LABELS - 6, line, CHAIN)
    _draw_wire(picture, scene)
    anvil = scene.at((0, scene.outermost))[1]
    picture.line(
        _MIDDLE - _WIDE / 2, anvil, _LABELS - 6, anvil, f'stroke="{DEEP}" stroke-width="2"'
    )
    _words(picture, answer, line, anvil)
    return picture.svg()


def _scene(answer: Answer, wire_radius: float) -> _Scene:
    flanks, pitch_diameter, crest, root = _groove(answer)
    wire = _wire_middle(flanks, pitch_diameter / 2, wire_radius)
    reach = flanks.outward * wire_radius
    radii = (crest / 2, root / 2, wire[1] + reach, wire[1] - reach)
    return _Scene(
        flanks=flanks,
        pitch_diameter=pitch_diameter,
        crest=crest,
        root=root,
        wire=wire,
        wire_radius=wire_radius,
        scale=_WIDE / (1.5 * flanks.pitch),
        high=max(radii),
        low=min(radii),
    )


def _draw_groove(picture: Drawing, scene: _Scene) -> None:
    """The groove with metal below it."""
    shape = outline(
        scene.flanks, pitch_diameter=scene.pitch_diameter, crest=scene.crest, root=scene.root
    )
    profile = [scene.at(point) for point in shape]
    base = scene.at((0, scene.root / 2))[1] + scene.flanks.outward * 20
    edge = 0.75 * scene.flanks.pitch
    corners = [(scene.at((edge, 0))[0], base), (scene.at((-edge, 0))[0], base)]
    picture.polyline([*profile, *corners], METAL, closed=True)
    picture.polyline(profile, BOLD)


def _draw_wire(picture: Drawing, scene: _Scene) -> None:
    """The wire with its middle, and where it touches the flanks."""
    x, y = scene.at(scene.wire)
    picture.circle(
        x,
        y,
        scene.wire_radius * scene.scale,
        f'fill="#fff" fill-opacity="0.8" stroke="{RUST}" stroke-width="2"',
    )
    picture.line(x - 4, y, x + 4, y, f'stroke="{RUST}"')
    picture.line(x, y - 4, x, y + 4, f'stroke="{RUST}"')
    aside, middle = scene.wire
    for side, slope in ((-1, scene.flanks.left), (1, scene.flanks.right)):
        angle = math.atan(slope)
        along = aside + side * scene.wire_radius * math.cos(angle)
        away = middle - scene.flanks.outward * scene.wire_radius * math.sin(angle)
        picture.circle(*scene.at((along, away)), 3, f'fill="{INK}"')


def _groove(answer: Answer) -> tuple[Flanks, float, float, float]:
    """Flanks, and diameters at the pitch line, crest and root."""
    wires = part_of(answer, "wires", "best_wire_diameter") or {}
    thread = thread_of(answer)
    if thread is not None:
        flanks, basic = Flanks.of_thread(thread), thread["basic"]
        ends = basic["major_diameter"], basic["minor_diameter"]
        crest, root = ends if flanks.outward > 0 else ends[::-1]
        return flanks, basic["pitch_diameter"], crest, root
    given = answer["input"]
    inch = answer["unit"] == "in"
    pitch = (
        given["pitch"] if "pitch" in given else (1 if inch else 25.4) / given["threads_per_inch"]
    )
    angle = given["flank_angle_deg"]
    flanks = Flanks(
        pitch=pitch,
        left=math.tan(math.radians(angle)),
        right=math.tan(math.radians(given.get("clearance_flank_angle_deg", angle))),
        outward=1 if wires.get("side") == "external" else -1,
    )
    # No form is known: half of the sharp form's height to either side is drawn.
    rise = 0.5 * pitch / (flanks.left + flanks.right)
    diameter = given["pitch_diameter"]
    return flanks, diameter, diameter + flanks.outward * rise, diameter - flanks.outward * rise


def _wire_middle(flanks: Flanks, pitch_radius: float, radius: float) -> Point:
    """Where the wire's middle lies, without the lead's small part: it touches both flanks."""
    left, right = math.atan(flanks.left), math.atan(flanks.right)
    sharp = flanks.sharp_radius(pitch_radius)
    across = flanks.pitch / 4 + flanks.outward * (sharp - pitch_radius) * flanks.right
    away = radius / math.sin((left + right) / 2)
    lean = (right - left) / 2
    return across + away * math.sin(lean), sharp + flanks.outward * away * math.cos(lean)


def _words(picture: Drawing, answer: Answer, line: float, anvil: float) -> None:
    wires = part_of(answer, "wires", "best_wire_diameter") or {}
    unit = answer["unit"]
    reading = wires["reading"] or {}
    over = f"aim {said(reading['aim'], unit)}" if reading.get("aim") is not None else "reading"
    picture.text(_LABELS, anvil + 4, over, bold=True, colour=DEEP)
    y = line if abs(line - anvil) > 34 else anvil + 34
    picture.text(_LABELS, y + 4, "pitch line", size=SMALL)
    kind = "ball" if wires["method"] == "balls" else "wire"
    bottom = picture.height - 12
    picture.text(
        8, bottom - 17, f"{kind} {said(wires['wire_diameter'], unit)}", colour=RUST, bold=True
    )
    told = f"best {said(wires['best_wire_diameter'])}"
    if wires["wire_diameter_min"] is not None and wires["wire_diameter_max"] is not None:
        ends = said(wires["wire_diameter_min"]), said(wires["wire_diameter_max"])
        told += f", from {ends[0]} to {ends[1]}"
    picture.text(8, bottom, told, size=SMALL)
