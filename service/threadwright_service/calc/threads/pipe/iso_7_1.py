"""Pipe threads for pressure-tight joints, ISO 7-1: R and Rc taper 1:16, Rp parallel [mm].

R is outside and taper, Rc inside and taper, Rp inside and parallel. Basic dimensions and limits
are those in the gauge plane; with ``distance_from_gauge_plane`` (mm, towards the large end) those
at that place. A taper thread's diameters vary by a sixteenth of the gauge plane's tolerance.

Keys of the result beside the limits: ``reference.gauge_length``, ``gauge_length_max``,
``gauge_length_min``, ``useful_thread_length``, ``useful_thread_length_max``,
``useful_thread_length_min`` (for the three gauge lengths), ``fitting_allowance`` and
``fitting_allowance_turns``, ``gauge_plane_tolerance``, ``gauge_diameter``, ``thread_height``,
``profile_height``, ``triangle_height``, ``truncation``, ``taper_ratio``, ``taper_half_angle_deg``,
``distance_from_gauge_plane``; and the inch values of BS 21: ``bs_21_gauge_diameter``,
``bs_21_gauge_length``, ``bs_21_useful_thread_length`` (lengths as all others: in ``unit``).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Final

from threadwright_service.calc import tables
from threadwright_service.calc.errors import AmbiguousError, OutOfRangeError
from threadwright_service.calc.rounding import half_even, half_up
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.pipe import whitworth_pipe as pipe
from threadwright_service.calc.threads.pipe.iso_228_1 import fields_parts
from threadwright_service.calc.threads.record import record
from threadwright_service.calc.threads.registry import Family, Fields, StandardSize
from threadwright_service.calc.threads.rounding_rule import only_rule
from threadwright_service.calc.threads.thread import (
    DiameterLimits,
    Diameters,
    Side,
    Span,
    ThreadLimits,
)
from threadwright_service.calc.trail import Formula, Trail
from threadwright_service.calc.units import MM_PER_IN

KEY: Final = "iso-7-1"
STANDARD: Final = "ISO 7-1"
SYMBOLS: Final[tuple[pipe.Series, ...]] = ("R", "Rp", "Rc")
ROUNDING_RULE: Final = (
    "basic dimensions as ISO 228-1; lengths from inches, each to 0.1 mm; diameters off the gauge "
    "plane are not rounded by the standard and stand to 0.001 mm"
)
_BASIS: Final = (
    "basic dimensions and lengths published (49 of 49 values); tolerances of the gauge length, of "
    "the gauge plane and of Rp recalled, equal to 1, 1.25 and 1.5 turns; limits of the diameters: "
    "those tolerances over the taper 1:16, derivation"
)
_NAMES: Final = {
    "R": "Whitworth pipe, taper 1:16, 55°",
    "Rc": "Whitworth pipe, taper 1:16, 55°",
    "Rp": "Whitworth pipe, parallel, 55°",
}
_LENGTH: Final = Formula(
    "gauge length", "L", "25.4 * Lin", "Lin", unit="mm", source="iso-7-1, Table 1"
)
_FITTING: Final = Formula(
    "fitting allowance", "lf", "turns * 25.4 / n", "turns n", unit="mm", source="iso-7-1, Table 1"
)
_INCH_USEFUL: Final = Formula(
    "useful thread, inch table", "Lu", "L + turns / n", "L turns n", unit="in", source="bs-21"
)
_AT: Final = Formula(
    "diameter at a distance from the gauge plane",
    "dz",
    "d + z / 16",
    "d z",
    unit="mm",
    source="iso-7-1, taper 1:16",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lengths:
    """Lengths along the axis of one size [mm]."""

    gauge_mm: float
    fitting_mm: float
    external_tolerance_mm: float
    internal_tolerance_mm: float
    parallel_tolerance_mm: float
    bs_21_gauge_in: float
    bs_21_useful_in: float
    turns: float


@cache
def sizes() -> tuple[StandardSize, ...]:
    """The sizes of ISO 7-1 under each symbol; ``nominal_diameter`` is the gauge diameter [mm].

    Notes
    -----
    Source: iso-7-1, Table 1.
    """
    return tuple(
        StandardSize(
            series=series,
            size=name,
            nominal_diameter=pipe.all_sizes()[name].major_diameter_mm,
            pitch=half_up(pipe.PITCH.function(pipe.all_sizes()[name].threads_per_inch), 3),
            threads_per_inch=pipe.all_sizes()[name].threads_per_inch,
        )
        for series in SYMBOLS
        for name in _size_names()
    )


@cache
def _size_names() -> tuple[str, ...]:
    return tuple(str(row["size"]) for row in tables.load(__package__, "tables/iso_7_1_lengths"))


def lengths(size: pipe.PipeSize, *, trail: Trail | None = None) -> Lengths:
    """Gauge length, fitting allowance and tolerances of one size [mm].

    Notes
    -----
    Source: iso-7-1, Table 1, from the inches of bs-21; tolerances recalled.

    Examples
    --------
    R1/8: gauge length 4.0, useful thread 6.5 (a pipe-fitting maker's table of ISO 7-1):

    >>> found = lengths(pipe.all_sizes()["1/8"])
    >>> found.gauge_mm, found.gauge_mm + found.fitting_mm
    (4.0, 6.5)
    """
    row = tables.load(__package__, "tables/iso_7_1_lengths").row(size=size.size)
    tolerances = tables.load(__package__, "tables/iso_7_1_tolerances").row(
        threads_per_inch=size.threads_per_inch, above_2_in=size.above_2_in
    )
    gauge_in, turns = float(row["gauge_length_in"]), float(row["fitting_allowance_turns"])
    count = size.threads_per_inch
    return Lengths(
        gauge_mm=_LENGTH.rounded(trail, gauge_in, to=half_up, places=1),
        fitting_mm=_FITTING.rounded(trail, turns, count, to=half_up, places=1),
        external_tolerance_mm=float(tolerances["external_mm"]),
        internal_tolerance_mm=float(tolerances["internal_mm"]),
        parallel_tolerance_mm=float(tolerances["parallel_um"]) / 1000,
        bs_21_gauge_in=gauge_in,
        bs_21_useful_in=_INCH_USEFUL.rounded(trail, gauge_in, turns, count, to=half_even, places=4),
        turns=turns,
    )


def parse(
    text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
) -> CallOut | None:
    """Read a tidied call-out; ``None`` if it is no R, Rp or Rc thread.

    Raises
    ------
    CalcError
        If it is one, and is wrong or says two things.

    Examples
    --------
    >>> parse("R 1/2").side, parse("Rp1/2").series, parse("Rc 1/2 LH").hand
    ('external', 'Rp', 'left')
    """
    del trail
    parts = pipe.take_apart(text)
    if parts is None or parts.series not in SYMBOLS:
        return None
    if parts.tolerance_class or tolerance_class:
        raise pipe.refuse_class(parts, text=text, accepted="no class: ISO 7-1 has one grade")
    return _call_out(parts)


def read(fields: Fields, *, trail: Trail | None = None) -> CallOut:
    """Make the call-out from fields: ``nominal_diameter`` is the size, as ``1/2``.

    Raises
    ------
    CalcError
        If a value is missing or wrong.
    """
    del trail
    symbol = (fields.series or "R").strip().capitalize()
    series: pipe.Series = "Rp" if symbol == "Rp" else "Rc" if symbol == "Rc" else "R"
    parts = fields_parts(fields, series)
    if fields.tolerance_class:
        raise pipe.refuse_class(
            parts, text=fields.tolerance_class, accepted="no class: ISO 7-1 has one grade"
        )
    return _call_out(parts)


def _call_out(parts: pipe.PipeCallOut) -> CallOut:
    """The record, once symbol and side agree."""
    row = pipe.size_of(parts.size, _size_names(), standard=STANDARD)
    side: Side = "external" if parts.series == "R" else "internal"
    _check_side(parts.series, side, parts.side)
    return CallOut(
        family=KEY,
        series=parts.series,
        size=row.size,
        nominal_diameter=row.major_diameter_mm,
        pitch=half_up(pipe.PITCH.function(row.threads_per_inch), 3),
        threads_per_inch=row.threads_per_inch,
        tolerance_class="",
        side=side,
        hand=parts.hand,
    )


def _check_side(series: str, side: Side, said: Side | None) -> None:
    """Refuse another side than the symbol's."""
    if said not in {None, side}:
        raise AmbiguousError(
            f"{series} is an {side} thread, and {said} is asked for",
            parameter="side",
            value=said,
            accepted="R outside; Rp or Rc inside",
        )


def limits(
    call_out: CallOut,
    *,
    rounding: str | None = None,
    trail: Trail | None = None,
    side: Side | None = None,
    distance_from_gauge_plane: float | None = None,
) -> ThreadLimits:
    """Limits of size of one pipe thread in the gauge plane, or at a distance from it [mm].

    Raises
    ------
    OutOfRangeError
        If the distance is off the thread, or given for a parallel one.
    NotTabulatedError
        If several starts are asked for.
    AmbiguousError
        If ``side`` is not the symbol's.

    Notes
    -----
    Source: iso-7-1. 28 of 28 published basic values and 21 of bs-21 are reproduced; tolerances
    recalled.
    """
    only_rule(rounding)
    pipe.one_start(call_out.starts)
    _check_side(call_out.series, call_out.side, side)
    row = pipe.all_sizes()[call_out.size]
    found, along = pipe.profile(row, trail=trail), lengths(row, trail=trail)
    is_taper = call_out.series != "Rp"
    distance_mm = _checked_distance(call_out, along, distance_from_gauge_plane)
    tolerance_mm = {
        "R": along.external_tolerance_mm / 16,
        "Rc": along.internal_tolerance_mm / 16,
        "Rp": along.parallel_tolerance_mm,
    }[call_out.series]

    basic = Diameters(
        major_diameter=_at(found.basic.major_diameter, distance_mm, trail),
        pitch_diameter=_at(found.basic.pitch_diameter, distance_mm, trail),
        minor_diameter=_at(found.basic.minor_diameter, distance_mm, trail),
    )
    if is_taper and trail is not None:
        trail.caution(
            "taper-thread",
            "the diameters hold in one plane only and change by 1/16 of the way along the axis; a "
            "cutter with a full profile needs a tapered form or a taper pass",
        )
    hand = " LH" if call_out.hand == "left" else ""
    return record(
        call_out,
        designation=f"{call_out.series} {row.size}{hand}",
        standard=STANDARD,
        unit="mm",
        form=pipe.whitworth_form(
            name=_NAMES[call_out.series], taper_ratio=pipe.TAPER_RATIO if is_taper else 0.0
        ),
        basic=basic,
        limits=DiameterLimits(
            major_diameter=_around(basic.major_diameter, tolerance_mm),
            pitch_diameter=_around(basic.pitch_diameter, tolerance_mm),
            minor_diameter=_around(basic.minor_diameter, tolerance_mm),
        ),
        reference={**found.reference, **_reference(call_out, row, along, distance_mm)},
        root_radius=Span(max=found.radius_mm, min=found.radius_mm),
        rounding_rule=ROUNDING_RULE,
        basis=_BASIS,
    )


def _at(diameter: float, distance_mm: float, trail: Trail | None) -> float:
    """A diameter at a distance from the gauge plane [mm]."""
    return _AT.rounded(trail, diameter, distance_mm, to=half_up, places=3)


def _around(diameter: float, tolerance_mm: float) -> Span:
    """A tolerance either way [mm]."""
    return Span(max=half_up(diameter + tolerance_mm, 3), min=half_up(diameter - tolerance_mm, 3))


def _checked_distance(call_out: CallOut, along: Lengths, distance_mm: float | None) -> float:
    """The distance from the gauge plane, if it is on the thread."""
    if distance_mm is None:
        return 0.0
    if call_out.series == "Rp":
        raise OutOfRangeError(
            "an Rp thread is parallel: its diameters do not depend on a distance",
            parameter="distance_from_gauge_plane",
            value=distance_mm,
            accepted="no distance, or a taper thread R or Rc",
        )
    low, high = (
        (-along.gauge_mm, along.fitting_mm)
        if call_out.side == "external"
        else (-(along.gauge_mm + along.fitting_mm), along.internal_tolerance_mm)
    )
    if not low - 1e-9 <= distance_mm <= high + 1e-9:
        raise OutOfRangeError(
            f"{distance_mm:g} mm from the gauge plane is off the useful thread",
            parameter="distance_from_gauge_plane",
            value=distance_mm,
            accepted=f"{low:g} mm (small end) to {high:g} mm (large end)",
        )
    return distance_mm


def _reference(
    call_out: CallOut, row: pipe.PipeSize, along: Lengths, distance_mm: float
) -> dict[str, float]:
    """Lengths, taper, and the inch values of BS 21."""
    gauge, play = along.gauge_mm, along.external_tolerance_mm
    useful = gauge + along.fitting_mm
    found = {
        "gauge_diameter": row.major_diameter_mm,
        "gauge_length": gauge,
        "gauge_length_max": half_up(gauge + play, 1),
        "gauge_length_min": half_up(gauge - play, 1),
        "fitting_allowance": along.fitting_mm,
        "fitting_allowance_turns": along.turns,
        "useful_thread_length": half_up(useful, 1),
        "useful_thread_length_max": half_up(useful + play, 1),
        "useful_thread_length_min": half_up(useful - play, 1),
        "gauge_plane_tolerance": play if call_out.series == "R" else along.internal_tolerance_mm,
        "bs_21_gauge_diameter": row.bs_21_in * MM_PER_IN,
        "bs_21_gauge_length": along.bs_21_gauge_in * MM_PER_IN,
        "bs_21_useful_thread_length": along.bs_21_useful_in * MM_PER_IN,
    }
    if call_out.series != "Rp":
        found["taper_ratio"] = pipe.TAPER_RATIO
        found["taper_half_angle_deg"] = math.degrees(math.atan(pipe.TAPER_RATIO / 2))
        found["distance_from_gauge_plane"] = distance_mm
    return found


FAMILY: Final = Family(
    key=KEY,
    title="Pipe threads where pressure-tight joints are made on the threads",
    standard=STANDARD,
    unit="mm",
    symbols=SYMBOLS,
    classes=(),
    parse=parse,
    read=read,
    limits=limits,
    sizes=sizes,
    options=("side", "distance_from_gauge_plane"),
)
