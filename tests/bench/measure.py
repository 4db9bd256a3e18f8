"""How everything here is measured: in turn, in one run, as ratios, and told with its range.

A piece of the benchmark is a module with ``rows(pace)``, which gives :class:`Row` objects. Cases
are run in turn, in the opposite order every second round, so that whatever else the machine does
meets all of them alike; each ratio is taken inside a round, and the median of the rounds is told
with the lowest and the highest.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from statistics import median


@dataclass(frozen=True, kw_only=True)
class Pace:
    """How long to measure."""

    rounds: int = 5
    seconds: float = 1.0
    long: bool = False


@dataclass(frozen=True, kw_only=True)
class Row:
    """One line of the table.

    ``least`` or ``most`` is the goal, if there is one.
    """

    what: str
    value: float
    low: float
    high: float
    unit: str = "×"
    least: float | None = None
    most: float | None = None
    note: str = ""

    @property
    def goal(self) -> str:
        """The goal in words."""
        if self.least is not None:
            return f"≥ {self.least:g}"
        return f"≤ {self.most:g}" if self.most is not None else ""

    @property
    def met(self) -> bool | None:
        """Whether the median meets the goal; ``None`` without one."""
        if self.least is not None:
            return self.value >= self.least
        return self.value <= self.most if self.most is not None else None


Samples = Mapping[str, Sequence[float]]


def in_turn(cases: Mapping[str, Callable[[], float]], rounds: int) -> dict[str, list[float]]:
    """Run every case once a round, in the opposite order every second round."""
    got: dict[str, list[float]] = {name: [] for name in cases}
    names = list(cases)
    for number in range(rounds):
        for name in names if number % 2 == 0 else reversed(names):
            got[name].append(cases[name]())
    return got


def ratio(
    what: str,
    samples: Samples,
    of: str,
    to: str,
    *,
    unit: str = "×",
    least: float | None = None,
    most: float | None = None,
    note: str = "",
) -> Row:
    """How many times one case is another, round by round."""
    pairs = [ours / theirs for ours, theirs in zip(samples[of], samples[to], strict=True)]
    return values(what, pairs, unit=unit, least=least, most=most, note=note)


def values(
    what: str,
    found: Sequence[float],
    *,
    unit: str,
    least: float | None = None,
    most: float | None = None,
    note: str = "",
) -> Row:
    """A case by itself."""
    return Row(
        what=what,
        value=median(found),
        low=min(found),
        high=max(found),
        unit=unit,
        least=least,
        most=most,
        note=note,
    )


CORES = sorted(os.sched_getaffinity(0))
SERVER_CORE, TOOL_CORE = CORES[0], CORES[-1]


def has_two_cores() -> bool:
    """Whether the server and the tool can each have a core of their own."""
    return len(CORES) > 1


@contextmanager
def held_to(*cores: int) -> Iterator[None]:
    """Hold this process to some cores for a while."""
    before = os.sched_getaffinity(0)
    os.sched_setaffinity(0, cores)
    try:
        yield
    finally:
        os.sched_setaffinity(0, before)
