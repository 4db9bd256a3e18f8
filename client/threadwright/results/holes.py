"""Result on the hole for a thread."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright.quantities import Length
from threadwright.record import Record
from threadwright.results.answer import Result


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleDiameter(Record):
    """Largest and smallest hole, and the size to aim at."""

    max: Length | None
    """Largest hole; ``None`` where the standard sets no limit."""
    min: Length | None
    """Smallest hole; ``None`` where the standard sets no limit."""
    aim: Length
    """Hole to aim at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenHole(Record):
    """The hole that was asked about."""

    diameter: Length
    inside_limits: bool
    drills: tuple[str, ...]
    """Standard drills of this size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NearDrill(Record):
    """A standard drill near the size to aim at."""

    name: str
    """As the drill is marked."""
    series: Literal["metric", "fractional", "number", "letter"]
    diameter: Length
    from_aim: Length
    """Above 0 for a drill larger than the aim."""
    thread_percentage: float
    """Percentage of thread that a hole of this size leaves."""
    inside_limits: bool
    basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadHole(Result):
    """The hole for one internal thread."""

    process: Literal["cut-tap", "form-tap", "thread-mill"]
    convention: str
    """What 100 % of thread means: 3H/4, 5H/8, basic (the form's own depth) or forming."""
    hole_diameter: HoleDiameter
    thread_percentage: float
    """Of the given hole, else of the aim, by the convention."""
    thread_percentage_3h4: float | None
    """Of the same hole by the 3H/4 convention; ``None`` where it has no meaning."""
    thread_percentage_5h8: float | None
    """Of the same hole by the 5H/8 convention; ``None`` where it has no meaning."""
    given: GivenHole | None
    nearest: tuple[NearDrill, ...]
    """Standard drills, the nearest to the aim first."""
    over_fill_below: Length | None
    """Hole below which a forming tap over-fills and jams; ``None`` for other processes."""
    limits_rule: str
    """What the limits are."""
    aim_rule: str
    """How the aim was chosen."""
    basis: str
    """What the limits rest on."""
