"""The hole for an internal thread: its limits, the size to aim at, the nearest drills."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Final, cast

from threadwright_service.calc.errors import (
    InfeasibleError,
    MissingInputError,
    NotTabulatedError,
    UnknownDesignationError,
)
from threadwright_service.calc.measurement.holes.drill_series import (
    ALL_SERIES,
    DrillSeries,
    DrillSize,
    drill_sizes,
    nearest_drills,
)
from threadwright_service.calc.measurement.holes.thread_hole_result import (
    PROCESSES,
    GivenHole,
    HoleDiameter,
    NearDrill,
    Process,
    ThreadHole,
    note_cautions,
)
from threadwright_service.calc.measurement.holes.thread_percentage import (
    Convention,
    check_hole,
    check_percentage,
    depth_ratio,
    hole_for_percentage_mm,
    thread_percentage_of_hole,
)
from threadwright_service.calc.rounding import half_even
from threadwright_service.calc.threads.thread import Span, ThreadForm, ThreadLimits
from threadwright_service.calc.trail import Formula, Trail

FORMING_LOW_PERCENTAGE: Final = 65.0
FORMING_HIGH_PERCENTAGE: Final = 75.0
"""The band that forming taps are commonly run in (memory)."""

FORMING_HOLE: Final = Formula(
    "hole for a forming tap",
    "D_h",
    "D - 0.0068 * p * P",
    "D p P",
    unit="mm",
    source="memory, the usual rule for forming taps",
)
FORMING_PERCENTAGE: Final = Formula(
    "percentage of thread of a hole, formed",
    "p",
    "(D - D_h) / (0.0068 * P)",
    "D D_h P",
    unit="%",
    source="memory, the usual rule for forming taps",
)
OVER_FILL: Final = Formula(
    "hole below which a forming tap over-fills",
    "D_o",
    "D - 2*h + 2*(3/4*h - h**2*tan(radians(30))/P)",
    "D h P",
    unit="mm",
    source="derivation, area of the groove below the hole's wall equal to that of the ridge above",
)
MIDDLE: Final = Formula(
    "middle of the hole's limits",
    "D_h",
    "(D1_max + D1_min) / 2",
    "D1_max D1_min",
    unit="mm",
    source="common practice",
)

FORMING: Final = "forming"
"""The convention of forming taps, as it is named in answers."""

_LIMITS_RULES: Final[Mapping[Process, str]] = MappingProxyType(
    {
        "cut-tap": "limits of the minor diameter, before tapping",
        "thread-mill": "limits of the minor diameter, before milling",
        "form-tap": "holes for 75 % and 65 % of thread by the rule for forming taps",
    }
)
_SAME_DRILL_MM: Final = 0.0013
"""Half of 0.0001 in: a size written with four decimals of an inch is that drill."""
_NOTHING_MM: Final = 1e-9


def thread_hole(
    *,
    thread: ThreadLimits,
    process: Process = "cut-tap",
    thread_percentage: float | None = None,
    convention: Convention | None = None,
    hole_diameter_mm: float | None = None,
    drill_series: Sequence[DrillSeries] = ALL_SERIES,
    nearest_count: int = 6,
    trail: Trail | None = None,
) -> ThreadHole:
    """The hole for an internal thread.

    Parameters
    ----------
    thread : ThreadLimits
        A parallel internal thread, in either unit.
    process : "cut-tap", "form-tap" or "thread-mill"
        How the thread is made in the hole.
    thread_percentage : float, optional
        Percentage of thread to aim at, above 0, at most 120; without it the middle of the limits.
    convention : "3H/4", "5H/8" or "basic", optional
        What 100 % means; 3H/4 for 60° threads and the basic depth for other forms by default. A
        forming tap has a convention of its own.
    hole_diameter_mm : float, optional
        A hole to be judged [mm]; above 0, below the major diameter.
    drill_series : sequence of series
        Where to look for drills.
    nearest_count : int
        How many drills to list.
    trail : Trail, optional
        Takes assumptions, cautions and working.

    Returns
    -------
    ThreadHole
        Unrounded. The limits are those of the minor diameter, which the hole becomes; for a forming
        tap they are the holes for 75 % and 65 %, because the hole's wall is not the minor diameter.

    Raises
    ------
    InfeasibleError
        If the thread is external, or the process does not go with the form or the convention.
    NotTabulatedError
        If the thread is tapered.
    MissingInputError
        If the standard sets no limit of the minor diameter and no percentage is given.
    OutOfRangeError, UnknownDesignationError
        If a number or a word is outside what is accepted.

    Notes
    -----
    Source: machinerys-handbook-31, pages 2155 and 2168, for the percentages; the thread's standard
    for the limits; memory for forming. Aiming at the middle of the limits is common practice.
    """
    _check(thread, process)
    thread = thread.in_millimetres()
    by = _convention(thread, process, convention, trail)
    limits = _limits(thread, process, trail)
    aim_mm, aim_rule = _aim(thread, limits, by, thread_percentage, trail)
    given = None
    if hole_diameter_mm is not None:
        check_hole(hole_diameter_mm, thread.basic.major_diameter)
        given = GivenHole(
            diameter_mm=hole_diameter_mm,
            inside_limits=_inside(hole_diameter_mm, limits),
            drills=_drills_of(hole_diameter_mm),
        )
    reported_mm = aim_mm if hole_diameter_mm is None else hole_diameter_mm
    both = _is_sixty_degrees(thread.form) and by != FORMING
    result = ThreadHole(
        process=process,
        convention=by,
        hole_diameter=HoleDiameter(max_mm=limits.max, min_mm=limits.min, aim_mm=aim_mm),
        thread_percentage=_percentage(thread, by, reported_mm, trail),
        thread_percentage_3h4=_percentage(thread, "3H/4", reported_mm) if both else None,
        thread_percentage_5h8=_percentage(thread, "5H/8", reported_mm) if both else None,
        given=given,
        nearest=_nearest(thread, by, aim_mm, limits, drill_series, nearest_count),
        over_fill_below_mm=_over_fill_mm(thread, trail) if by == FORMING else None,
        limits_rule=_LIMITS_RULES[process],
        aim_rule=aim_rule,
        basis=thread.basis if by != FORMING else "memory",
    )
    note_cautions(result, reported_mm, _inside(reported_mm, limits), trail)
    return result


def _check(thread: ThreadLimits, process: str) -> None:
    if process not in PROCESSES:
        raise UnknownDesignationError(
            f"{process!r} is not a way to make an internal thread",
            parameter="process",
            value=process,
            accepted=", ".join(PROCESSES),
        )
    if thread.side != "internal":
        raise InfeasibleError(
            f"{thread.designation} is an external thread; a hole goes with an internal one",
            parameter="tolerance_class",
            value=thread.tolerance_class,
            accepted="a class of internal threads, such as 6H or 2B",
        )
    if thread.form.taper_ratio:
        raise NotTabulatedError(
            f"{thread.designation} is tapered; its hole is not held here",
            parameter="designation",
            value=thread.designation,
            accepted="a parallel thread",
        )
    if process == "form-tap" and not _is_sixty_degrees(thread.form):
        raise InfeasibleError(
            f"the rule for forming taps is for 60° threads, not {thread.form.name}",
            parameter="process",
            value=process,
            accepted="cut-tap or thread-mill",
        )


def _convention(
    thread: ThreadLimits, process: Process, convention: Convention | None, trail: Trail | None
) -> str:
    """The convention by which percentages are told here."""
    sixty = _is_sixty_degrees(thread.form)
    if process == "form-tap":
        if convention is not None:
            raise InfeasibleError(
                "a forming tap's percentage has a convention of its own",
                parameter="convention",
                value=convention,
                accepted="no convention for form-tap",
            )
        return FORMING
    if convention is None:
        assumed: Convention = "3H/4" if sixty else "basic"
        if trail is not None:
            trail.assume(
                "convention",
                assumed,
                "none given; the one of the usual tap drill tables"
                if sixty
                else "none given; the form is not 60°, so its own basic depth is 100 %",
            )
        return assumed
    depth_ratio(convention, thread.form)  # refuses a word that is no convention
    if convention != "basic" and not sixty:
        raise InfeasibleError(
            f"{convention} is a depth of 60° threads, not of {thread.form.name}",
            parameter="convention",
            value=convention,
            accepted="basic",
        )
    return convention


def _limits(thread: ThreadLimits, process: Process, trail: Trail | None) -> Span:
    """Limits of the hole before the thread is made [mm]."""
    if process == "form-tap":
        diameter, pitch = thread.basic.major_diameter, thread.pitch
        return Span(
            max=FORMING_HOLE(trail, diameter, FORMING_LOW_PERCENTAGE, pitch),
            min=FORMING_HOLE(trail, diameter, FORMING_HIGH_PERCENTAGE, pitch),
        )
    return thread.limits.minor_diameter


def _aim(
    thread: ThreadLimits,
    limits: Span,
    by: str,
    thread_percentage: float | None,
    trail: Trail | None,
) -> tuple[float, str]:
    """The size to aim at [mm], and the rule in words."""
    if thread_percentage is not None:
        return (
            _hole_mm(thread, by, thread_percentage, trail),
            f"the hole for {thread_percentage:g} % of thread, {by}",
        )
    if limits.max is None or limits.min is None:
        raise MissingInputError(
            f"{thread.standard} sets no limits of the minor diameter for {thread.designation}",
            parameter="thread_percentage",
            accepted="a percentage of thread to aim at",
        )
    aim_mm = MIDDLE(trail, limits.max, limits.min)
    if trail is not None:
        trail.assume(
            "thread_percentage",
            half_even(_percentage(thread, by, aim_mm), 2),
            "none given; that of the middle of the hole's limits",
            unit="%",
        )
    return aim_mm, "the middle of the hole's limits"


def _hole_mm(thread: ThreadLimits, by: str, thread_percentage: float, trail: Trail | None) -> float:
    if by == FORMING:
        check_percentage(thread_percentage)
        return FORMING_HOLE(trail, thread.basic.major_diameter, thread_percentage, thread.pitch)
    return hole_for_percentage_mm(
        nominal_diameter_mm=thread.basic.major_diameter,
        pitch_mm=thread.pitch,
        thread_percentage=thread_percentage,
        convention=cast(Convention, by),
        form=thread.form,
        trail=trail,
    )


def _percentage(thread: ThreadLimits, by: str, hole_mm: float, trail: Trail | None = None) -> float:
    if by == FORMING:
        return FORMING_PERCENTAGE(trail, thread.basic.major_diameter, hole_mm, thread.pitch)
    return thread_percentage_of_hole(
        nominal_diameter_mm=thread.basic.major_diameter,
        pitch_mm=thread.pitch,
        hole_diameter_mm=hole_mm,
        convention=cast(Convention, by),
        form=thread.form,
        trail=trail,
    )


def _nearest(
    thread: ThreadLimits,
    by: str,
    aim_mm: float,
    limits: Span,
    series: Sequence[DrillSeries],
    count: int,
) -> tuple[NearDrill, ...]:
    """Standard drills near the aim that leave a thread at all."""
    return tuple(
        NearDrill(
            name=drill.name,
            series=drill.series,
            diameter_mm=drill.diameter_mm,
            from_aim_mm=drill.diameter_mm - aim_mm,
            thread_percentage=_percentage(thread, by, drill.diameter_mm),
            inside_limits=_inside(drill.diameter_mm, limits),
            basis=drill.basis,
        )
        for drill in nearest_drills(diameter_mm=aim_mm, series=series, count=count)
        # Far beyond the ends of the series no drill is near.
        if abs(drill.diameter_mm - aim_mm) < thread.pitch
        and drill.diameter_mm < thread.basic.major_diameter
    )


def _over_fill_mm(thread: ThreadLimits, trail: Trail | None) -> float:
    height_mm = depth_ratio("5H/8") * thread.pitch
    return OVER_FILL(trail, thread.basic.major_diameter, height_mm, thread.pitch)


def _inside(diameter_mm: float, limits: Span) -> bool:
    return (limits.max is None or diameter_mm <= limits.max + _NOTHING_MM) and (
        limits.min is None or diameter_mm >= limits.min - _NOTHING_MM
    )


def _drills_of(diameter_mm: float) -> tuple[str, ...]:
    found: list[DrillSize] = [
        size
        for series in ALL_SERIES
        for size in drill_sizes(series)
        if abs(size.diameter_mm - diameter_mm) <= _SAME_DRILL_MM
    ]
    found.sort(key=lambda size: abs(size.diameter_mm - diameter_mm))
    return tuple(size.name for size in found)


def _is_sixty_degrees(form: ThreadForm) -> bool:
    return form.is_symmetric and form.included_angle_deg == 60
