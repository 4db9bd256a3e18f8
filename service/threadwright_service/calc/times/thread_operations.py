"""The thread itself: milled, single-point turned, or tapped."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.errors import InfeasibleError, MissingInputError
from threadwright_service.calc.times.blocks import Block
from threadwright_service.calc.times.machine_motion import MachineMotion
from threadwright_service.calc.times.motion import MM_PER_M, S_PER_MIN, helix_length_mm
from threadwright_service.calc.times.operation_time import OperationTime, of_blocks
from threadwright_service.calc.times.ramps import ramped
from threadwright_service.calc.times.ranges import above_zero, count, not_negative
from threadwright_service.calc.times.typical import or_typical
from threadwright_service.calc.trail import Formula, Trail

SYNCHRONOUS_TIME: Final = Formula(
    "time of a cut that follows the spindle",
    "t",
    "60 * l / (n * L)",
    "l n L",
    unit="s",
    source="derivation",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadPass:
    """One pass of a thread mill, as a pass plan gives it; ``times`` equal ones."""

    path_length_mm: float
    cutter_centre_radius_mm: float
    feed_centre_mm_per_min: float
    times: int = 1

    def __post_init__(self) -> None:
        for name in ("path_length_mm", "cutter_centre_radius_mm", "feed_centre_mm_per_min"):
            above_zero(name, getattr(self, name))
        count("passes", self.times, least=1)


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
        for thread_pass in self.passes:
            turn_mm = helix_length_mm(
                turns_ratio=1, radius_mm=thread_pass.cutter_centre_radius_mm, lead_mm=self.lead_mm
            )
            axial_mm = thread_pass.path_length_mm / turn_mm * self.lead_mm
            back_mm = axial_mm + clearance_mm if self.return_mm is None else self.return_mm
            blocks += [
                Block(
                    length_mm=thread_pass.path_length_mm,
                    feed_mm_per_min=thread_pass.feed_centre_mm_per_min,
                    radius_mm=thread_pass.cutter_centre_radius_mm,
                    lead_mm=self.lead_mm,
                    stops=True,
                    name="pass",
                ),
                Block(length_mm=back_mm, feed_mm_per_min=None, stops=True, name="return"),
            ] * thread_pass.times
        # The last return is the way out; the way in is as long.
        return of_blocks(
            name=self.name,
            kind="thread-milling",
            tool=self.tool,
            blocks=[blocks[1], *blocks],
            machine=machine,
            sized=self.sized,
        )


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


@dataclass(frozen=True, slots=True, kw_only=True)
class SinglePointThreading:
    """A thread turned with one edge: cuts that follow the spindle, and rapid returns.

    Parameters
    ----------
    thread_length_mm, lead_mm : float
        Length of the thread and rise for each turn [mm].
    cuts : int
        Cuts of one start, spring cuts among them.
    spindle_speed_rev_per_min : float
        Spindle speed [rev/min].
    starts : int
    approach_mm : float or None
        Way before the thread in which the slide picks up speed [mm]; ``None``: three leads.
    overrun_mm : float
        Way past the thread, in the relief [mm].
    retract_mm : float or None
        Way out and in again at the ends of a cut, each [mm].
    """

    thread_length_mm: float
    lead_mm: float
    cuts: int
    spindle_speed_rev_per_min: float
    starts: int = 1
    approach_mm: float | None = None
    overrun_mm: float = 0.0
    retract_mm: float | None = None
    name: str = "thread"
    tool: str = "threading tool"
    sized: bool = True

    def __post_init__(self) -> None:
        for name in ("thread_length_mm", "lead_mm", "spindle_speed_rev_per_min"):
            above_zero(name, getattr(self, name))
        for name in ("approach_mm", "retract_mm"):
            if getattr(self, name) is not None:
                not_negative(name, getattr(self, name))
        not_negative("overrun_mm", self.overrun_mm)
        count("cuts", self.cuts, least=1)
        count("starts", self.starts, least=1)

    def time(self, machine: MachineMotion, trail: Trail | None = None) -> OperationTime:
        """Times of the operation on a machine.

        Raises
        ------
        InfeasibleError
            If the slide would have to be faster than the machine's feed.

        Notes
        -----
        Source: derivation. The slide follows the spindle: the cut is at constant speed over
        approach, thread and overrun.
        """
        feed_mm_per_min = followed_feed_mm_per_min(
            self.spindle_speed_rev_per_min, self.lead_mm, machine
        )
        approach_mm = self.approach_mm
        if approach_mm is None:
            approach_mm = 3 * self.lead_mm
            if trail is not None:
                trail.assume("thread_approach", approach_mm, "none given; three leads", unit="mm")
        speed_mm_per_s = feed_mm_per_min / S_PER_MIN
        needed_mm = speed_mm_per_s**2 / (2 * machine.acceleration_m_per_s2 * MM_PER_M)
        if trail is not None and approach_mm < needed_mm:
            trail.caution(
                "thread-approach-short",
                f"The slide needs {needed_mm:.2f} mm to reach {feed_mm_per_min:.0f} mm/min; the "
                f"approach of {approach_mm:g} mm leaves the first turns with a wrong lead.",
            )
        cut_mm = approach_mm + self.thread_length_mm + self.overrun_mm
        retract_mm = or_typical("clearance", self.retract_mm, trail)
        passes = self.cuts * self.starts
        cut_s = SYNCHRONOUS_TIME(trail, cut_mm, self.spindle_speed_rev_per_min, self.lead_mm)
        return OperationTime(
            name=self.name,
            kind="single-point-threading",
            tool=self.tool,
            cutting_time_s=passes * cut_s,
            rapid_time_s=passes * (rapid_s(cut_mm, machine) + 2 * rapid_s(retract_mm, machine)),
            sized=self.sized,
            path_length_mm=passes * cut_mm,
            feed_reached_mm_per_min=feed_mm_per_min,
            limited_by="spindle",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Tapping:
    """A thread tapped in one stroke: in, reverse, out.

    Parameters
    ----------
    depth_mm, lead_mm : float
        Depth that the tap goes to and its lead [mm].
    spindle_speed_rev_per_min : float
        Spindle speed going in [rev/min].
    return_speed_ratio : float
        Speed going out as a multiple of that going in.
    approach_mm : float or None
        Way above the hole [mm].
    reversal_time_s : float or None
        Time in which the spindle stops and turns back [s]; once at the bottom, once on top.
    """

    depth_mm: float
    lead_mm: float
    spindle_speed_rev_per_min: float
    return_speed_ratio: float = 1.0
    approach_mm: float | None = None
    reversal_time_s: float | None = None
    name: str = "thread"
    tool: str = "tap"
    sized: bool = False

    def __post_init__(self) -> None:
        for name in ("depth_mm", "lead_mm", "spindle_speed_rev_per_min", "return_speed_ratio"):
            above_zero(name, getattr(self, name))
        for name in ("approach_mm", "reversal_time_s"):
            if getattr(self, name) is not None:
                not_negative(name, getattr(self, name))

    def time(self, machine: MachineMotion, trail: Trail | None = None) -> OperationTime:
        """Times of the operation on a machine.

        Raises
        ------
        InfeasibleError
            If the axis would have to be faster than the machine's feed.

        Notes
        -----
        Source: derivation.
        """
        fastest_rev_per_min = self.spindle_speed_rev_per_min * max(1.0, self.return_speed_ratio)
        followed_feed_mm_per_min(fastest_rev_per_min, self.lead_mm, machine)
        approach_mm = or_typical("clearance", self.approach_mm, trail)
        reversal_s = or_typical("tap_reversal_time_s", self.reversal_time_s, trail)
        stroke_mm = approach_mm + self.depth_mm
        in_s = SYNCHRONOUS_TIME(trail, stroke_mm, self.spindle_speed_rev_per_min, self.lead_mm)
        return OperationTime(
            name=self.name,
            kind="tapping",
            tool=self.tool,
            cutting_time_s=in_s * (1 + 1 / self.return_speed_ratio),
            other_time_s=2 * reversal_s,
            sized=self.sized,
            path_length_mm=2 * stroke_mm,
            feed_reached_mm_per_min=self.spindle_speed_rev_per_min * self.lead_mm,
            limited_by="spindle",
        )


def followed_feed_mm_per_min(
    spindle_speed_rev_per_min: float, lead_mm: float, machine: MachineMotion
) -> float:
    """Feed of an axis that follows the spindle [mm/min].

    Raises
    ------
    InfeasibleError
        If it is above what the machine feeds: the thread would get a wrong lead.

    Notes
    -----
    Source: derivation.
    """
    feed_mm_per_min = spindle_speed_rev_per_min * lead_mm
    most_mm_per_min = machine.feed_rate_max_mm_per_min or machine.rapid_rate_mm_per_min
    if feed_mm_per_min > most_mm_per_min:
        raise InfeasibleError(
            f"{spindle_speed_rev_per_min:g} rev/min with a lead of {lead_mm:g} mm ask for "
            f"{feed_mm_per_min:g} mm/min; the machine feeds {most_mm_per_min:g}",
            parameter="spindle_speed",
            value=spindle_speed_rev_per_min,
            accepted=f"at most {most_mm_per_min / lead_mm:.0f} rev/min",
        )
    return feed_mm_per_min


def rapid_s(length_mm: float, machine: MachineMotion) -> float:
    """Time of one rapid move from rest to rest [s].

    Notes
    -----
    Source: derivation.
    """
    time_s, _ = ramped(
        length_mm,
        machine.rapid_rate_mm_per_min / S_PER_MIN,
        machine.acceleration_m_per_s2 * MM_PER_M,
        machine.braking_m_per_s2 * MM_PER_M,
        0,
        0,
    )
    return time_s
