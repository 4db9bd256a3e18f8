"""Work without a tool path: by hand, by probe, or a time that the caller knows."""

from __future__ import annotations

from dataclasses import dataclass

from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.operations.operation_time import OperationTime
from threadwright_service.calc.times.ranges import count, not_negative
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class HandWork:
    """Deburring, cleaning, marking: a time by hand.

    ``beside`` says that it is done while the machine runs the next part; ``None`` is taken as
    False, the machine waits.
    """

    time_s: float
    beside: bool | None = None
    name: str = "deburr"
    tool: str = ""

    def __post_init__(self) -> None:
        not_negative("time_s", self.time_s)

    def time(self, machine: MachineMotion, trail: Trail | None = None) -> OperationTime:  # noqa: ARG002 - by hand
        """Times of the operation, whatever the machine.

        Notes
        -----
        Source: the caller.
        """
        beside = self.beside
        if beside is None:
            beside = False
            if trail is not None:
                trail.assume(
                    "deburr_beside", beside, "none given; the machine waits for work by hand"
                )
        return OperationTime(
            name=self.name,
            kind="hand-work",
            tool="",
            cutting_time_s=0.0,
            other_time_s=0.0 if beside else self.time_s,
            beside_time_s=self.time_s if beside else 0.0,
            hand=True,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Probing:
    """Points touched with a probe on the machine; each takes ``time_per_point_s``."""

    points: int
    time_per_point_s: float
    name: str = "probing"
    tool: str = "probe"

    def __post_init__(self) -> None:
        count("points", self.points, least=1)
        not_negative("time_per_point_s", self.time_per_point_s)

    def time(self, machine: MachineMotion, trail: Trail | None = None) -> OperationTime:  # noqa: ARG002 - the caller's
        """Times of the operation, as the caller knows them.

        Notes
        -----
        Source: the caller.
        """
        return OperationTime(
            name=self.name,
            kind="probing",
            tool=self.tool,
            cutting_time_s=0.0,
            other_time_s=self.points * self.time_per_point_s,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedTime:
    """A time that the caller knows: of a cut (it wears the tool) or of anything else."""

    time_s: float
    cutting: bool = True
    name: str = "operation"
    tool: str = ""
    sized: bool = False

    def __post_init__(self) -> None:
        not_negative("time_s", self.time_s)

    def time(self, machine: MachineMotion, trail: Trail | None = None) -> OperationTime:  # noqa: ARG002 - the caller's
        """Times of the operation, as the caller knows them.

        Notes
        -----
        Source: the caller.
        """
        return OperationTime(
            name=self.name,
            kind="fixed-time",
            tool=self.tool,
            cutting_time_s=self.time_s if self.cutting else 0.0,
            other_time_s=0.0 if self.cutting else self.time_s,
            sized=self.sized,
        )
