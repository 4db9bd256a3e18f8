"""A cutter-centre path with its arcs and straight moves, and points along them: neutral data."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from typing import Literal

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.milling.geometry.cone import CYLINDER, Cone
from threadwright_service.calc.milling.path.direction import Axial, Direction, Travel

Kind = Literal["rapid", "entry-arc", "helix", "exit-arc"]
Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class PathElement:
    """One straight or circular move of the cutter's centre, rising evenly along it."""

    kind: Kind
    """rapid: straight, in the air; entry-arc, helix or exit-arc: at the feed."""
    start_number: int
    """The start of the thread that it belongs to, from 1."""
    start_x_mm: float
    """Where the move begins: x from the thread's axis."""
    start_y_mm: float
    """Where the move begins: y from the thread's axis."""
    start_z_mm: float
    """Where the move begins: height, 0 at the face and positive towards the spindle."""
    end_x_mm: float
    """Where the move ends: x from the thread's axis."""
    end_y_mm: float
    """Where the move ends: y from the thread's axis."""
    end_z_mm: float
    """Where the move ends: height, 0 at the face and positive towards the spindle."""
    centre_x_mm: float
    """Centre of the arc or helix: x; of a straight move, where it ends."""
    centre_y_mm: float
    """Centre of the arc or helix: y; of a straight move, where it ends."""
    travel: Travel | None
    """Sense as seen from the spindle; null for a straight move."""
    arc_angle_deg: float
    """The whole angle, 720 for two turns; 0 for a straight move."""
    length_mm: float
    """Way of the cutter's centre on this move."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CentrePath:
    """The path of one pass, for all starts of the thread."""

    cutter_centre_radius_mm: float
    """From the thread's axis to the cutter's on the helix; of a taper thread in the plane in which
    its diameters are stated."""
    start_radius_mm: float
    """From the thread's axis to the cutter's where the helix begins, without offset; another than
    where it ends on a taper thread alone, between them it changes evenly."""
    end_radius_mm: float
    """From the thread's axis to the cutter's where the helix ends, without offset."""
    travel: Travel
    """Sense of the helix, as seen from the spindle."""
    axial: Axial
    """up towards the spindle, or down."""
    spindle: Travel
    """Sense in which the spindle turns, as seen from it."""
    travel_word: str
    """G2 for clockwise, G3 for counter-clockwise."""
    spindle_word: str
    """M3 for clockwise, M4 for counter-clockwise."""
    starts_at: Literal["face", "bottom"]
    """End of the thread where the helix begins."""
    starts: int
    """Helices that make the thread, one after the other; 1 with a full-length cutter."""
    turns_ratio: float
    """Turns of one helix."""
    start_height_mm: float
    """Height of the nose's middle where the helix begins, without offset."""
    end_height_mm: float
    """Height of the nose's middle where the helix ends, without offset."""
    entry_arc_radius_mm: float
    """Radius of the arcs in and out, tangent to the helix."""
    entry_arc_angle_deg: float
    """Angle of each arc."""
    entry_rise_mm: float
    """How far the cutter moves along the axis on each arc; on a taper thread a little more at its
    small end and less at its large one."""
    helix_length_mm: float
    """Length of the helix, of all starts and offsets."""
    path_length_mm: float
    """What is travelled at the feed: helix and arcs, of all starts and offsets."""
    heights_from: str
    """Where heights are measured from, and of what."""
    axial_offsets_mm: tuple[float, ...]
    """Where along the axis each helix is repeated; 0 alone unless a narrow nose
    widens the groove."""
    elements: tuple[PathElement, ...]
    """Every move in order, rapid ones among them."""

    @property
    def runs(self) -> int:
        """How often the helix is travelled: starts times offsets."""
        return self.starts * len(self.axial_offsets_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class PathShape:
    """The measures from which the elements of one pass follow.

    ``outward`` is +1 outside, −1 inside; ``helices`` the number of helices, evenly spaced around
    the thread and all from ``start_height_mm`` to ``end_height_mm``.
    """

    outward: int
    direction: Direction
    helices: int
    turns_ratio: float
    start_height_mm: float
    end_height_mm: float
    safe_height_mm: float
    centre_radius_mm: float
    arc_radius_mm: float
    arc_angle_deg: float
    rise_mm: float
    axial_offsets_mm: tuple[float, ...] = (0.0,)
    """Where along the axis the whole is travelled, one after the other, from its own place."""
    cone: Cone = CYLINDER
    """Where the path's radius, which is ``centre_radius_mm`` in the plane of the cone, changes."""

    def elements(self) -> tuple[PathElement, ...]:
        """All moves in order: down, entry arc, helix, exit arc, up, across to the next start."""
        moves: list[PathElement] = []
        for offset_mm, number in product(self.axial_offsets_mm, range(1, self.helices + 1)):
            angle = 2 * math.pi * (number - 1) / self.helices
            helix = self._helix(number, angle, offset_mm)
            entry = self._arc(number, helix, is_entry=True)
            exit_arc = self._arc(number, helix, is_entry=False)
            above: Point = (entry.start_x_mm, entry.start_y_mm, self.safe_height_mm)
            if moves:
                moves.append(_straight(number, _end_of(moves[-1]), above))
            moves.append(_straight(number, above, _start_of(entry)))
            moves += [entry, helix, exit_arc]
            away: Point = (exit_arc.end_x_mm, exit_arc.end_y_mm, self.safe_height_mm)
            moves.append(_straight(number, _end_of(exit_arc), away))
        return tuple(moves)

    def _helix(self, number: int, angle: float, offset_mm: float) -> PathElement:
        """The helix of one start, from the angle at which it is joined."""
        last = angle + self.direction.turn_sign * 2 * math.pi * self.turns_ratio
        start_z_mm, end_z_mm = self.start_height_mm + offset_mm, self.end_height_mm + offset_mm
        start_mm = self.cone.radius_mm(self.centre_radius_mm, start_z_mm)
        end_mm = self.cone.radius_mm(self.centre_radius_mm, end_z_mm)
        way_mm = math.pi * self.turns_ratio * (start_mm + end_mm)
        return PathElement(
            kind="helix",
            start_number=number,
            start_x_mm=start_mm * math.cos(angle),
            start_y_mm=start_mm * math.sin(angle),
            start_z_mm=start_z_mm,
            end_x_mm=end_mm * math.cos(last),
            end_y_mm=end_mm * math.sin(last),
            end_z_mm=end_z_mm,
            centre_x_mm=0.0,
            centre_y_mm=0.0,
            travel=self.direction.travel,
            arc_angle_deg=360 * self.turns_ratio,
            length_mm=math.hypot(way_mm, end_z_mm - start_z_mm, end_mm - start_mm),
        )

    def _arc(self, number: int, helix: PathElement, *, is_entry: bool) -> PathElement:
        """The arc tangent to the helix at its start or end, curving to the free side."""
        joint = _start_of(helix) if is_entry else _end_of(helix)
        radius_mm = self.cone.radius_mm(self.centre_radius_mm, joint[2])
        share = (radius_mm + self.outward * self.arc_radius_mm) / radius_mm
        centre_x_mm, centre_y_mm = share * joint[0], share * joint[1]
        # Outside the arc lies against the circle's back and turns the other way.
        sign = -self.outward * self.direction.turn_sign
        turn = math.radians(self.arc_angle_deg) * (-sign if is_entry else sign)
        from_x_mm, from_y_mm = joint[0] - centre_x_mm, joint[1] - centre_y_mm
        # As steep as the helix where it joins: steeper on the smaller circle.
        steeper = self.centre_radius_mm / radius_mm
        rise_mm = self.direction.axial_sign * self.rise_mm * steeper * (-1 if is_entry else 1)
        free: Point = (
            centre_x_mm + from_x_mm * math.cos(turn) - from_y_mm * math.sin(turn),
            centre_y_mm + from_x_mm * math.sin(turn) + from_y_mm * math.cos(turn),
            joint[2] + rise_mm,
        )
        start, end = (free, joint) if is_entry else (joint, free)
        return PathElement(
            kind="entry-arc" if is_entry else "exit-arc",
            start_number=number,
            start_x_mm=start[0],
            start_y_mm=start[1],
            start_z_mm=start[2],
            end_x_mm=end[0],
            end_y_mm=end[1],
            end_z_mm=end[2],
            centre_x_mm=centre_x_mm,
            centre_y_mm=centre_y_mm,
            travel="counter-clockwise" if sign > 0 else "clockwise",
            arc_angle_deg=self.arc_angle_deg,
            length_mm=math.hypot(self.arc_radius_mm * turn, rise_mm),
        )


def points_of(
    *, elements: tuple[PathElement, ...], chord_error_mm: float
) -> Iterator[tuple[Kind, Point]]:
    """Points along the elements, each with the kind of the move that ends there.

    Parameters
    ----------
    chord_error_mm : float
        Largest distance of a chord between two points from its arc [mm]; more than 0.

    Raises
    ------
    OutOfRangeError
        If the chord error is not positive.

    Notes
    -----
    Source: derivation: a chord over the angle a stands off its arc by ``R (1 - cos(a/2))``.
    """
    if chord_error_mm <= 0:
        raise OutOfRangeError(
            f"chord_error is {chord_error_mm:g} mm; points on an arc stand off it",
            parameter="chord_error",
            value=chord_error_mm,
            accepted="more than 0",
        )
    if elements:
        yield elements[0].kind, _start_of(elements[0])
    for element in elements:
        yield from ((element.kind, point) for point in _along(element, chord_error_mm))


def _along(element: PathElement, chord_error_mm: float) -> Iterator[Point]:
    """Points of one element, its end included, its start not."""
    if element.travel is None:
        yield _end_of(element)
        return
    x_mm, y_mm = element.start_x_mm - element.centre_x_mm, element.start_y_mm - element.centre_y_mm
    radius_mm = math.hypot(x_mm, y_mm)
    gain_mm = (
        math.hypot(element.end_x_mm - element.centre_x_mm, element.end_y_mm - element.centre_y_mm)
        - radius_mm
    )
    whole = math.radians(element.arc_angle_deg)
    largest = 2 * math.acos(max(0.0, 1 - chord_error_mm / (radius_mm + max(0.0, gain_mm))))
    count = max(1, math.ceil(whole / largest))
    sense = 1 if element.travel == "counter-clockwise" else -1
    first = math.atan2(y_mm, x_mm)
    for index in range(1, count):
        share = index / count
        angle, here_mm = first + sense * whole * share, radius_mm + share * gain_mm
        yield (
            element.centre_x_mm + here_mm * math.cos(angle),
            element.centre_y_mm + here_mm * math.sin(angle),
            element.start_z_mm + share * (element.end_z_mm - element.start_z_mm),
        )
    yield _end_of(element)


def _start_of(element: PathElement) -> Point:
    return element.start_x_mm, element.start_y_mm, element.start_z_mm


def _end_of(element: PathElement) -> Point:
    return element.end_x_mm, element.end_y_mm, element.end_z_mm


def _straight(number: int, start: Point, end: Point) -> PathElement:
    """A straight move in the air."""
    return PathElement(
        kind="rapid",
        start_number=number,
        start_x_mm=start[0],
        start_y_mm=start[1],
        start_z_mm=start[2],
        end_x_mm=end[0],
        end_y_mm=end[1],
        end_z_mm=end[2],
        centre_x_mm=end[0],
        centre_y_mm=end[1],
        travel=None,
        arc_angle_deg=0.0,
        length_mm=math.dist(start, end),
    )
