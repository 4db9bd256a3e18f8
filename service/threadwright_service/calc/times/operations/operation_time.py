"""What every operation of a part answers: its times, its tool, and what limits it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

from threadwright_service.calc.times.motion.blocks import Block, SequenceMotion, sequence
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.motion.motion import SpeedLimit
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class OperationTime:
    """Times of one operation on one part."""

    name: str
    """As the request names it, or what such an operation is called."""
    kind: str
    """Kind of operation."""
    tool: str
    """The tool that it uses; empty for work without one."""
    cutting_time_s: float
    """Time at the feed, or what was given as time in the cut."""
    rapid_time_s: float = 0.0
    """Time in rapid traverse."""
    other_time_s: float = 0.0
    """Dwells, reversals, probing, free-form time, hand work at the machine."""
    beside_time_s: float = 0.0
    """Hand work beside the machine, while it runs another part."""
    hand: bool = False
    """True: the operator does it by hand."""
    sized: bool = False
    """True: repeated in a trial cut of the first article, because it makes the measured size."""
    path_length_mm: float = 0.0
    """Way at the feed."""
    feed_reached_mm_per_min: float | None = None
    """Highest feed reached in its longest feed move; null without such a move."""
    limited_by: SpeedLimit | None = None
    """What kept its longest feed move from being faster; null without such a move."""
    time_s: float = field(init=False)
    """Time at the machine."""

    def __post_init__(self) -> None:
        time_s = self.cutting_time_s + self.rapid_time_s + self.other_time_s
        object.__setattr__(self, "time_s", time_s)


class Operation(Protocol):
    """One operation of a part: plain numbers in, its time out."""

    @property
    def name(self) -> str:
        """What the answer calls it."""
        ...

    @property
    def tool(self) -> str:
        """The tool that it uses; empty for work without one."""
        ...

    def time(self, machine: MachineMotion, trail: Trail | None = None) -> OperationTime:
        """Times of the operation on a machine."""
        ...


def of_blocks(
    *,
    name: str,
    kind: str,
    tool: str,
    blocks: list[Block],
    machine: MachineMotion,
    other_time_s: float = 0.0,
    sized: bool = False,
) -> OperationTime:
    """Times of an operation that is a sequence of program blocks.

    Raises
    ------
    CalcError
        As :func:`~threadwright_service.calc.times.motion.blocks.sequence` does.

    Notes
    -----
    Source: derivation.
    """
    motion = sequence(blocks=blocks, machine=machine)
    longest = max(
        (block for block in motion.blocks if not block.rapid),
        key=lambda block: block.time_s,
        default=None,
    )
    return OperationTime(
        name=name,
        kind=kind,
        tool=tool,
        cutting_time_s=motion.feed_time_s,
        rapid_time_s=motion.rapid_time_s,
        other_time_s=other_time_s,
        sized=sized,
        path_length_mm=feed_length_mm(motion),
        feed_reached_mm_per_min=longest.speed_reached_mm_per_min if longest else None,
        limited_by=longest.limited_by if longest else None,
    )


def feed_length_mm(motion: SequenceMotion) -> float:
    """Length of the moves at a programmed feed [mm].

    Notes
    -----
    Source: derivation.
    """
    return sum(block.length_mm for block in motion.blocks if not block.rapid)
