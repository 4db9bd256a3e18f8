"""What is told about the hole for an internal thread, and the cautions that go with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, get_args

from threadwright_service.calc.measurement.holes.drill_series import DrillSeries
from threadwright_service.calc.trail import Trail

Process = Literal["cut-tap", "form-tap", "thread-mill"]
PROCESSES: Final[tuple[Process, ...]] = get_args(Process)


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleDiameter:
    """Largest and smallest hole, and the size to aim at."""

    max_mm: float | None
    """Largest hole; null where the standard sets no limit."""
    min_mm: float | None
    """Smallest hole; null where the standard sets no limit."""
    aim_mm: float
    """Hole to aim at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenHole:
    """The hole that was asked about."""

    diameter_mm: float
    """The diameter that was given."""
    inside_limits: bool
    """Whether it lies within the limits of the hole."""
    drills: tuple[str, ...]
    """Standard drills of this size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NearDrill:
    """A standard drill near the size to aim at."""

    name: str
    """As the drill is marked."""
    series: DrillSeries
    """Series of standard drills that it belongs to."""
    diameter_mm: float
    """Diameter of the drill itself, not of the hole that it cuts."""
    from_aim_mm: float
    """Above 0 for a drill larger than the aim."""
    thread_percentage: float
    """Percentage of thread that a hole of this size leaves."""
    inside_limits: bool
    """Whether it lies within the limits of the hole."""
    basis: str
    """Whether the size was read in print or is from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadHole:
    """The hole for one internal thread."""

    process: Process
    """How the thread is made in the hole."""
    convention: str
    """What 100 % of thread means: 3H/4, 5H/8, basic (the form's own depth) or forming."""
    hole_diameter: HoleDiameter
    """Limits of the hole and the size to aim at."""
    thread_percentage: float
    """Of the given hole, else of the aim, by the convention."""
    thread_percentage_3h4: float | None
    """Of the same hole by the 3H/4 convention; null where it has no meaning."""
    thread_percentage_5h8: float | None
    """Of the same hole by the 5H/8 convention; null where it has no meaning."""
    given: GivenHole | None
    """The hole that was asked about; null if none was."""
    nearest: tuple[NearDrill, ...]
    """Standard drills, the nearest to the aim first."""
    over_fill_below_mm: float | None
    """Hole below which a forming tap over-fills and jams; null for other processes."""
    limits_rule: str
    """What the limits are."""
    aim_rule: str
    """How the aim was chosen."""
    basis: str
    """What the limits rest on."""


def note_cautions(result: ThreadHole, hole_mm: float, inside: bool, trail: Trail | None) -> None:
    """Note what the person at the machine should know about this hole.

    Parameters
    ----------
    result : ThreadHole
        The answer.
    hole_mm : float
        The hole that it tells the percentage of [mm].
    inside : bool
        Whether that hole is inside the limits.
    trail : Trail or None
        Takes the cautions.

    Notes
    -----
    Source: common practice.
    """
    if trail is None:
        return
    hole = result.hole_diameter
    if not inside:
        trail.caution(
            "hole-outside-limits",
            f"A hole of {hole_mm:.6g} mm is outside the limits "
            f"{_told(hole.min_mm)} to {_told(hole.max_mm)}.",
        )
    if not any(drill.inside_limits for drill in result.nearest):
        trail.caution(
            "no-standard-drill",
            "None of the drills listed lies inside the limits; bore or ream the hole.",
        )
    if result.process == "form-tap":
        trail.caution(
            "forming-rule",
            "The hole for a forming tap is a rule of thumb: prove the minor diameter on a first "
            "piece, and take the tap maker's hole where there is one.",
        )
        if result.over_fill_below_mm is not None and hole_mm < result.over_fill_below_mm:
            trail.caution(
                "over-fill",
                f"Below {result.over_fill_below_mm:.6g} mm the displaced metal has no room: the "
                "tap jams and breaks.",
            )
        return
    trail.caution(
        "drill-cuts-over-size",
        "A drill commonly cuts larger than its own size; measure the hole, not the drill.",
    )
    if result.process == "cut-tap":
        trail.caution(
            "hole-closes",
            "In soft and ductile material a tap squeezes the crests inwards; the minor diameter "
            "then comes out smaller than the hole.",
        )


def _told(value_mm: float | None) -> str:
    return "no limit" if value_mm is None else f"{value_mm:.6g} mm"
