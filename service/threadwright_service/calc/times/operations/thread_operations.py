"""A thread made by an axis that follows the spindle: turned with one edge, or tapped."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.times.lot.typical import or_typical
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.motion.motion import MM_PER_M, S_PER_MIN
from threadwright_service.calc.times.motion.ramps import ramped
from threadwright_service.calc.times.operations.operation_time import OperationTime
from threadwright_service.calc.times.ranges import above_zero, count, not_negative
from threadwright_service.calc.trail import Formula, Trail
from threadwright_service.calc.turning.along_the_work import caution_fast

SYNCHRONOUS_TIME: Final = Formula(
    "time of a cut that follows the spindle",
    "t",
    "60 * l / (n * L)",
    "l n L",
    unit="s",
    source="derivation",
)


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
        if trail is not None:
            caution_fast(feed_mm_per_min, trail)
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
            f"{feed_mm_per_min:g} mm/min; the machine feeds "
            f"{most_mm_per_min:g} mm/min",
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
