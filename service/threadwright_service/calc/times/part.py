"""The time of one part: its operations, tool changes, spindle and loading."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from threadwright_service.calc.errors import MissingInputError
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.operations.operation_time import Operation, OperationTime
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class Handling:
    """What comes between the operations of a part.

    Parameters
    ----------
    load_time_s : float
        Unload, clean the holding, load and clamp [s].
    tool_change_time_s : float
        From cut to cut, spindle stop and start among it [s].
    spindle_start_time_s, spindle_stop_time_s : float
        At the beginning and at the end of the part [s].
    """

    load_time_s: float
    tool_change_time_s: float
    spindle_start_time_s: float
    spindle_stop_time_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolCutting:
    """How long a tool cuts on each part, and in a trial cut."""

    name: str
    """The tool, as the operations name it."""
    cutting_time_s: float
    """Time in the cut on each part."""
    trial_cutting_time_s: float
    """Time in the cut of one trial cut."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartTime:
    """Where the time of one part goes."""

    cutting_time_s: float
    """At the feed, all operations together."""
    rapid_time_s: float
    """In rapid traverse, all operations together."""
    other_time_s: float
    """Dwells, probing, free-form time."""
    tool_changes: int
    """Changes between operations, and back to the first tool for the next part."""
    tool_change_time_s: float
    """Time of these changes."""
    spindle_time_s: float
    """Starting the spindle at the beginning and stopping it at the end."""
    load_time_s: float
    """Unloading, cleaning, loading and clamping."""
    hand_time_s: float
    """Work by hand while the machine waits."""
    beside_time_s: float
    """Work by hand while the machine runs another part."""
    time_s: float
    """From part to part at the machine."""
    trial_time_s: float
    """Machine time of one trial cut: the operations that make the measured size."""
    tools: tuple[ToolCutting, ...]
    """How long each tool cuts on a part, and in a trial cut."""
    operations: tuple[OperationTime, ...]
    """Every operation in turn."""
    cycle_time_s: float = field(init=False)
    """The part's machine cycle: all but loading and work by hand."""

    def __post_init__(self) -> None:
        cycle_s = math.fsum(
            (
                self.cutting_time_s,
                self.rapid_time_s,
                self.other_time_s,
                self.tool_change_time_s,
                self.spindle_time_s,
            )
        )
        object.__setattr__(self, "cycle_time_s", cycle_s)

    def tool(self, name: str) -> ToolCutting:
        """The cutting times of a tool; none at all for one that the part does not use."""
        for tool in self.tools:
            if tool.name == name:
                return tool
        return ToolCutting(name=name, cutting_time_s=0.0, trial_cutting_time_s=0.0)


def part_time(
    *,
    operations: Sequence[Operation],
    machine: MachineMotion,
    handling: Handling,
    trail: Trail | None = None,
) -> PartTime:
    """Time of one part.

    Parameters
    ----------
    operations : sequence of Operation
        In the order in which they are done.
    machine : MachineMotion
    handling : Handling

    Raises
    ------
    MissingInputError
        If there is no operation.
    CalcError
        As the operations do.

    Notes
    -----
    Source: derivation. Tools change between operations that follow one another with different
    tools, and back to the first tool for the next part. A trial cut repeats the operations marked
    as sized, or all those with a tool if none is marked.
    """
    if not operations:
        raise MissingInputError(
            "a part without an operation takes no time; give at least one",
            parameter="operations",
            accepted="one operation or more",
        )
    times = tuple(operation.time(machine, trail) for operation in operations)
    tools = [each.tool for each in times if each.tool]
    changes = sum(before != after for before, after in pairwise([*tools, *tools[:1]]))
    start_and_stop_s = handling.spindle_start_time_s + handling.spindle_stop_time_s
    spindle_s = start_and_stop_s if tools else 0.0
    tried = tuple(each for each in times if each.sized) or tuple(
        each for each in times if each.tool
    )
    cutting_s = math.fsum(each.cutting_time_s for each in times)
    rapid_s = math.fsum(each.rapid_time_s for each in times)
    other_s = math.fsum(each.other_time_s for each in times if not each.hand)
    hand_s = math.fsum(each.other_time_s for each in times if each.hand)
    change_s = changes * handling.tool_change_time_s
    return PartTime(
        cutting_time_s=cutting_s,
        rapid_time_s=rapid_s,
        other_time_s=other_s,
        tool_changes=changes,
        tool_change_time_s=change_s,
        spindle_time_s=spindle_s,
        load_time_s=handling.load_time_s,
        hand_time_s=hand_s,
        beside_time_s=math.fsum(each.beside_time_s for each in times),
        time_s=math.fsum(
            (cutting_s, rapid_s, other_s, hand_s, change_s, spindle_s, handling.load_time_s)
        ),
        trial_time_s=math.fsum(each.time_s for each in tried)
        + (start_and_stop_s if tried else 0.0),
        tools=_tools(times, tried),
        operations=times,
    )


def _tools(
    times: Sequence[OperationTime], tried: Sequence[OperationTime]
) -> tuple[ToolCutting, ...]:
    names = dict.fromkeys(each.tool for each in times if each.tool)
    return tuple(
        ToolCutting(
            name=name,
            cutting_time_s=math.fsum(each.cutting_time_s for each in times if each.tool == name),
            trial_cutting_time_s=math.fsum(
                each.cutting_time_s for each in tried if each.tool == name
            ),
        )
        for name in names
    )
