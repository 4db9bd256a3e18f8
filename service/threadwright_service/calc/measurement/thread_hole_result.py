"""What is told about the hole for an internal thread, and the cautions that go with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, get_args

from threadwright_service.calc.measurement.drill_series import DrillSeries
from threadwright_service.calc.trail import Trail

Process = Literal["cut-tap", "form-tap", "thread-mill"]
PROCESSES: Final[tuple[Process, ...]] = get_args(Process)


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleDiameter:
    """Largest and smallest hole, and the size to aim at [mm]."""

    max_mm: float | None
    min_mm: float | None
    aim_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenHole:
    """The hole that the caller asked about. ``drills`` names the standard drills of its size."""

    diameter_mm: float
    inside_limits: bool
    drills: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NearDrill:
    """A standard drill near the size to aim at; ``from_aim_mm`` is above 0 for a larger one."""

    name: str
    series: DrillSeries
    diameter_mm: float
    from_aim_mm: float
    thread_percentage: float
    inside_limits: bool
    basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadHole:
    """The hole for one internal thread.

    ``thread_percentage`` is that of the given hole, else that of the aim, by ``convention``; the
    other two state the same hole by both conventions of 60° threads (``None`` for other forms, and
    for a formed thread, whose crest is not the hole's wall). ``over_fill_below_mm`` is for forming
    alone.
    """

    process: Process
    convention: str
    hole_diameter: HoleDiameter
    thread_percentage: float
    thread_percentage_3h4: float | None
    thread_percentage_5h8: float | None
    given: GivenHole | None
    nearest: tuple[NearDrill, ...]
    over_fill_below_mm: float | None
    limits_rule: str
    aim_rule: str
    basis: str


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
