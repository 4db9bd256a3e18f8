"""A step or a bore milled on circles, and a chamfer."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final, Literal

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.times.lot.typical import or_typical
from threadwright_service.calc.times.motion.blocks import Block
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.motion.motion import helix_length_mm
from threadwright_service.calc.times.operations.operation_time import OperationTime, of_blocks
from threadwright_service.calc.times.ranges import above_zero, count
from threadwright_service.calc.trail import Formula, Trail

Side = Literal["external", "internal"]

CENTRE_RADIUS_OUTSIDE: Final = Formula(
    "radius of the cutter-centre path outside",
    "e",
    "d/2 + D_c/2",
    "d D_c",
    unit="mm",
    source="derivation",
)
CENTRE_RADIUS_INSIDE: Final = Formula(
    "radius of the cutter-centre path inside",
    "e",
    "d/2 - D_c/2",
    "d D_c",
    unit="mm",
    source="derivation",
)
STEPS: Final = Formula(
    "number of cuts", "n", "ceil(t / a_e - 1e-9)", "t a_e", unit="", source="derivation"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CircularMilling:
    """A step roughed down to a diameter (outside) or a hole opened to one (inside).

    Each cut is an arc in, a full turn and an arc out, tangent to it; outside, a rapid link leads to
    the next cut. The levels follow one another through the clear plane.

    Parameters
    ----------
    side : "external" or "internal"
    start_diameter_mm, diameter_mm : float
        Before (the blank, the drilled hole) and after [mm].
    length_mm : float
        Axial length [mm].
    cutter_diameter_mm : float
        Cutter diameter [mm].
    radial_depth_mm : float
        Radial width of a cut, a_e [mm]; 2 to 5 % of the cutter in hard steel is common practice.
    axial_depth_mm : float or None
        Depth of a level [mm]; ``None``: the whole length, up to twice the cutter's diameter.
    feed_mm_per_min : float
        Feed of the cutter centre [mm/min].
    finishing_cuts : int
        Extra turns at the final diameter.
    entry_arc_radius_mm : float or None
        Radius of the arcs in and out [mm], outside; ``None``: half the cutter's radius. Inside
        they are half turns from the axis.
    clearance_mm : float or None
        Rapid height above the part [mm].
    """

    side: Side
    start_diameter_mm: float
    diameter_mm: float
    length_mm: float
    cutter_diameter_mm: float
    radial_depth_mm: float
    feed_mm_per_min: float
    axial_depth_mm: float | None = None
    finishing_cuts: int = 0
    entry_arc_radius_mm: float | None = None
    clearance_mm: float | None = None
    name: str = "step"
    tool: str = "end mill"
    sized: bool = False

    def __post_init__(self) -> None:
        for name in (
            "start_diameter_mm",
            "diameter_mm",
            "length_mm",
            "cutter_diameter_mm",
            "radial_depth_mm",
            "feed_mm_per_min",
        ):
            above_zero(name, getattr(self, name))
        for name in ("axial_depth_mm", "entry_arc_radius_mm"):
            if getattr(self, name) is not None:
                above_zero(name, getattr(self, name))
        count("finishing_cuts", self.finishing_cuts)
        grows = self.diameter_mm - self.start_diameter_mm
        if grows * (1 if self.side == "external" else -1) > 0:
            raise InfeasibleError(
                f"{self.name}: {self.start_diameter_mm:g} mm before and {self.diameter_mm:g} mm "
                "after leave nothing to cut",
                parameter="start_diameter_mm",
                value=self.start_diameter_mm,
                accepted="larger than the diameter outside, smaller inside",
            )
        if self.side == "internal" and self.cutter_diameter_mm >= self.start_diameter_mm:
            raise InfeasibleError(
                f"{self.name}: a cutter of {self.cutter_diameter_mm:g} mm does not enter a hole of "
                f"{self.start_diameter_mm:g} mm",
                parameter="cutter_diameter_mm",
                value=self.cutter_diameter_mm,
                accepted="a cutter smaller than the hole before",
            )

    def time(self, machine: MachineMotion, trail: Trail | None = None) -> OperationTime:
        """Times of the operation on a machine.

        Raises
        ------
        OutOfRangeError
            As the motion does.

        Notes
        -----
        Source: derivation.
        """
        depth_mm = abs(self.start_diameter_mm - self.diameter_mm) / 2
        cuts = int(STEPS(trail, depth_mm, self.radial_depth_mm)) if depth_mm > 0 else 0
        sign = 1 if self.side == "external" else -1
        radii_mm = [
            self.diameter_mm / 2 + sign * (depth_mm - depth_mm * (i + 1) / cuts)
            for i in range(cuts)
        ] + [self.diameter_mm / 2] * self.finishing_cuts
        level_mm = self._level_mm(trail)
        levels = math.ceil(self.length_mm / level_mm - 1e-9)
        clearance_mm = or_typical("clearance", self.clearance_mm, trail)
        blocks: list[Block] = []
        for level in range(levels if radii_mm else 0):
            height_mm = clearance_mm + min((level + 1) * level_mm, self.length_mm)
            blocks.append(Block(length_mm=height_mm, feed_mm_per_min=None, stops=True))
            blocks.extend(self._level_blocks(radii_mm, trail if level == 0 else None))
            blocks.append(Block(length_mm=height_mm, feed_mm_per_min=None, stops=True))
        return of_blocks(
            name=self.name,
            kind="circular-milling",
            tool=self.tool,
            blocks=blocks,
            machine=machine,
            sized=self.sized,
        )

    def _level_mm(self, trail: Trail | None) -> float:
        if self.axial_depth_mm is not None:
            return self.axial_depth_mm
        deepest_mm = 2 * self.cutter_diameter_mm
        if trail is not None:
            trail.assume(
                "step_axial_depth",
                min(self.length_mm, deepest_mm),
                "none given; the whole length in one level, up to twice the cutter's diameter",
                unit="mm",
            )
        return min(self.length_mm, deepest_mm)

    def _level_blocks(self, radii_mm: list[float], trail: Trail | None) -> list[Block]:
        blocks: list[Block] = []
        for i, radius_mm in enumerate(radii_mm):
            # The last radius is the one whose working is shown.
            shown = trail if i == len(radii_mm) - 1 else None
            centre_mm = centre_radius_mm(
                side=self.side,
                diameter_mm=2 * radius_mm,
                cutter_diameter_mm=self.cutter_diameter_mm,
                trail=shown,
            )
            arc = self._arc(centre_mm, shown)
            turn = Block(
                length_mm=helix_length_mm(turns_ratio=1, radius_mm=centre_mm, lead_mm=0),
                feed_mm_per_min=self.feed_mm_per_min,
                radius_mm=centre_mm,
                name="turn",
            )
            if i > 0 and self.side == "external":
                # From the end of the arc out to the start of the next arc in.
                link_mm = 2 * (arc.radius_mm or 0) + self.radial_depth_mm
                blocks.append(Block(length_mm=link_mm, feed_mm_per_min=None, stops=True))
            blocks += [arc, turn, replace(arc, stops=True)]
        return blocks

    def _arc(self, centre_mm: float, trail: Trail | None) -> Block:
        if self.side == "internal":
            # Half a turn from the axis, tangent to the path: half of the path's radius.
            radius_mm, share_of_turn = centre_mm / 2, 1 / 2
        else:
            radius_mm, share_of_turn = (
                self.entry_arc_radius_mm or self.cutter_diameter_mm / 4,
                1 / 4,
            )
            if self.entry_arc_radius_mm is None and trail is not None:
                trail.assume(
                    "step_entry_arc_radius",
                    radius_mm,
                    "none given; half the cutter's radius",
                    unit="mm",
                )
        return Block(
            length_mm=2 * math.pi * radius_mm * share_of_turn,
            feed_mm_per_min=self.feed_mm_per_min,
            radius_mm=radius_mm,
            name="arc",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Chamfer:
    """A chamfer milled in one turn and an overlap, once or several times.

    Parameters
    ----------
    side : "external" or "internal"
    diameter_mm : float
        Diameter of the work where the cutter touches it [mm].
    cutter_diameter_mm : float
        Diameter of the cutter where it touches the work [mm].
    feed_mm_per_min : float
        Feed of the cutter centre [mm/min].
    turns : int
        Turns; a second one leaves a better edge.
    overlap_mm : float or None
        Way past the full turn [mm].
    """

    side: Side
    diameter_mm: float
    cutter_diameter_mm: float
    feed_mm_per_min: float
    turns: int = 1
    overlap_mm: float | None = None
    clearance_mm: float | None = None
    name: str = "chamfer"
    tool: str = "chamfer mill"
    sized: bool = False

    def __post_init__(self) -> None:
        for name in ("diameter_mm", "cutter_diameter_mm", "feed_mm_per_min"):
            above_zero(name, getattr(self, name))
        count("turns", self.turns, least=1)
        if self.side == "internal" and self.cutter_diameter_mm >= self.diameter_mm:
            raise InfeasibleError(
                f"{self.name}: a cutter of {self.cutter_diameter_mm:g} mm at the contact does not "
                f"go into {self.diameter_mm:g} mm",
                parameter="cutter_diameter_mm",
                value=self.cutter_diameter_mm,
                accepted="smaller than the diameter of the work",
            )

    def time(self, machine: MachineMotion, trail: Trail | None = None) -> OperationTime:
        """Times of the operation on a machine.

        Raises
        ------
        OutOfRangeError
            As the motion does.

        Notes
        -----
        Source: derivation; the overlap of 1 to 3 mm is common practice.
        """
        centre_mm = centre_radius_mm(
            side=self.side,
            diameter_mm=self.diameter_mm,
            cutter_diameter_mm=self.cutter_diameter_mm,
            trail=trail,
        )
        overlap_mm = or_typical("chamfer_overlap", self.overlap_mm, trail)
        clearance_mm = or_typical("clearance", self.clearance_mm, trail)
        turn = Block(
            length_mm=self.turns * helix_length_mm(turns_ratio=1, radius_mm=centre_mm, lead_mm=0)
            + overlap_mm,
            feed_mm_per_min=self.feed_mm_per_min,
            radius_mm=centre_mm,
            stops=True,
            name="turn",
        )
        rapid = Block(length_mm=clearance_mm, feed_mm_per_min=None, stops=True)
        return of_blocks(
            name=self.name,
            kind="chamfer",
            tool=self.tool,
            blocks=[rapid, turn, rapid],
            machine=machine,
            sized=self.sized,
        )


def centre_radius_mm(
    *, side: Side, diameter_mm: float, cutter_diameter_mm: float, trail: Trail | None = None
) -> float:
    """Radius of the cutter-centre path for the diameter that it makes [mm].

    Notes
    -----
    Source: derivation.

    Examples
    --------
    >>> centre_radius_mm(side="external", diameter_mm=24, cutter_diameter_mm=16)
    20.0
    >>> centre_radius_mm(side="internal", diameter_mm=24, cutter_diameter_mm=16)
    4.0
    """
    formula = CENTRE_RADIUS_OUTSIDE if side == "external" else CENTRE_RADIUS_INSIDE
    return formula(trail, diameter_mm, cutter_diameter_mm)
