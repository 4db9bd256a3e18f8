"""The passes of a thread mill."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from threadwright_service.calc.errors import InfeasibleError, MissingInputError
from threadwright_service.calc.times.lot.typical import or_typical
from threadwright_service.calc.times.motion.blocks import Block
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.motion.motion import helix_length_mm
from threadwright_service.calc.times.operations.operation_time import OperationTime, of_blocks
from threadwright_service.calc.times.ranges import above_zero, count, not_negative
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadPass:
    """One pass of a thread mill, as a pass plan gives it.

    Parameters
    ----------
    path_length_mm : float
        Length at the feed with the arcs in and out, of all starts together [mm].
    cutter_centre_radius_mm : float
        Radius of the helix of the cutter centre [mm].
    feed_centre_mm_per_min : float
        Feed of the cutter centre [mm/min].
    starts : int
        Helices that the pass cuts one after the other, each from rest to rest.
    arcs_length_mm : float
        Of the path's length, that of all arcs in and out together [mm]; 0: their radius is taken
        to be the helix's.
    entry_arc_radius_mm : float or None
        Radius of the arcs [mm], where ``arcs_length_mm`` is given.
    times : int
        Equal passes.
    """

    path_length_mm: float
    cutter_centre_radius_mm: float
    feed_centre_mm_per_min: float
    starts: int = 1
    arcs_length_mm: float = 0.0
    entry_arc_radius_mm: float | None = None
    times: int = 1

    def __post_init__(self) -> None:
        for name in ("path_length_mm", "cutter_centre_radius_mm", "feed_centre_mm_per_min"):
            above_zero(name, getattr(self, name))
        count("passes", self.times, least=1)
        count("starts", self.starts, least=1)
        not_negative("arcs_length_mm", self.arcs_length_mm)
        if self.arcs_length_mm >= self.path_length_mm:
            raise InfeasibleError(
                f"arcs of {self.arcs_length_mm:g} mm leave no helix in a path of "
                f"{self.path_length_mm:g} mm",
                parameter="arcs_length_mm",
                value=self.arcs_length_mm,
                accepted="less than the path's length",
            )
        if self.arcs_length_mm:
            if self.entry_arc_radius_mm is None:
                raise MissingInputError(
                    "arcs need a radius to say how fast they can be taken",
                    parameter="entry_arc_radius_mm",
                    accepted="a radius, or arcs_length 0",
                )
            above_zero("entry_arc_radius_mm", self.entry_arc_radius_mm)

    def blocks(self, lead_mm: float) -> list[Block]:
        """The blocks of one start: arc in, helix, arc out; at rest at the end.

        Notes
        -----
        Source: derivation.
        """
        helix = Block(
            length_mm=(self.path_length_mm - self.arcs_length_mm) / self.starts,
            feed_mm_per_min=self.feed_centre_mm_per_min,
            radius_mm=self.cutter_centre_radius_mm,
            lead_mm=lead_mm,
            stops=not self.arcs_length_mm,
            name="helix",
        )
        if not self.arcs_length_mm:
            return [helix]
        arc = Block(
            length_mm=self.arcs_length_mm / self.starts / 2,
            feed_mm_per_min=self.feed_centre_mm_per_min,
            radius_mm=self.entry_arc_radius_mm,
            name="arc",
        )
        return [arc, helix, replace(arc, stops=True)]

    def axial_travel_mm(self, lead_mm: float) -> float:
        """Rise of one start over its whole path, as if the arcs were helix too [mm].

        Notes
        -----
        Source: derivation.
        """
        turn_mm = helix_length_mm(
            turns_ratio=1, radius_mm=self.cutter_centre_radius_mm, lead_mm=lead_mm
        )
        return self.path_length_mm / self.starts / turn_mm * lead_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadMilling:
    """The passes of a thread mill, spring passes among them.

    A pass is a helix with its arcs, from rest to rest; between two passes the cutter goes back
    along the axis in rapid traverse, and comes from and goes to the clear plane before and after.

    Parameters
    ----------
    passes : tuple of ThreadPass
        At least one.
    lead_mm : float
        Rise for each turn [mm].
    return_mm : float or None
        Way in rapid traverse between the end of a pass and the start of the next [mm]; ``None``:
        the axial travel of the pass and the clearance.
    clearance_mm : float or None
        Rapid height above the part [mm].
    """

    passes: tuple[ThreadPass, ...]
    lead_mm: float
    return_mm: float | None = None
    clearance_mm: float | None = None
    name: str = "thread"
    tool: str = "thread mill"
    sized: bool = True

    def __post_init__(self) -> None:
        above_zero("lead_mm", self.lead_mm)
        if self.return_mm is not None:
            not_negative("return_mm", self.return_mm)
        if not self.passes:
            raise MissingInputError(
                "a thread without a pass takes no time; give at least one",
                parameter="passes",
                accepted="one pass or more",
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
        clearance_mm = or_typical("clearance", self.clearance_mm, trail)
        blocks: list[Block] = []
        for each in self.passes:
            back_mm = self.return_mm
            if back_mm is None:
                back_mm = each.axial_travel_mm(self.lead_mm) + clearance_mm
            back = Block(length_mm=back_mm, feed_mm_per_min=None, stops=True, name="return")
            blocks += [*each.blocks(self.lead_mm), back] * (each.starts * each.times)
        # The last return is the way out; the way in is as long.
        return of_blocks(
            name=self.name,
            kind="thread-milling",
            tool=self.tool,
            blocks=[_first_return(blocks), *blocks],
            machine=machine,
            sized=self.sized,
        )


def _first_return(blocks: list[Block]) -> Block:
    return next(block for block in blocks if block.feed_mm_per_min is None)


def thread_turns(
    *,
    profile: Literal["single", "full"],
    thread_length_mm: float,
    lead_mm: float,
    run_in_turns_ratio: float | None = None,
    overlap_deg: float | None = None,
    trail: Trail | None = None,
) -> float:
    """Turns of one pass for a cutter with one row of teeth or with rows over the whole thread.

    A single row follows every start by itself for length/lead turns and a run in and out; rows
    over the whole length, spaced by the pitch, cut all starts in one turn and an overlap.

    Parameters
    ----------
    profile : "single" or "full"
    thread_length_mm, lead_mm : float
        Length of the thread and rise for each turn [mm].
    run_in_turns_ratio : float or None
        Turns of run in and out together, single row.
    overlap_deg : float or None
        Overlap past the full turn [°], whole rows; 10° to 30° are common practice.

    Raises
    ------
    OutOfRangeError
        If a length is not above zero.

    Notes
    -----
    Source: derivation; run in and overlap: common practice.

    Examples
    --------
    >>> thread_turns(profile="single", thread_length_mm=28, lead_mm=1.5)
    19.67
    >>> thread_turns(profile="full", thread_length_mm=28, lead_mm=1.5)
    1.083
    """
    above_zero("thread_length_mm", thread_length_mm)
    above_zero("lead_mm", lead_mm)
    if profile == "full":
        overlap_deg = or_typical("overlap_deg", overlap_deg, trail)
        not_negative("overlap_deg", overlap_deg)
        return 1 + overlap_deg / 360
    run_in_turns_ratio = or_typical("run_in_turns_ratio", run_in_turns_ratio, trail)
    not_negative("run_in_turns_ratio", run_in_turns_ratio)
    return thread_length_mm / lead_mm + run_in_turns_ratio
