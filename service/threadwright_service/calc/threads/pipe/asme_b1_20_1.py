"""Taper pipe threads, ASME B1.20.1: NPT, 60°, taper 1 in 16 on the diameter [in].

Basic dimensions and limits are those in the gauge plane, which is L1 from the small end outside
and at the face inside; with ``distance_from_gauge_plane`` (inch, towards the large end) those at
that place. The call-out is the same for both members; the outside thread is computed unless the
side is said.

Keys of the result beside the limits, each in ``reference``: ``outside_diameter`` (D),
``pitch_diameter_small_end`` (E0), ``pitch_diameter_gauge_plane`` (E1),
``pitch_diameter_effective_end`` (E2), ``pitch_diameter_wrench_end`` (E3),
``pitch_diameter_perfect_end`` (E5), ``minor_diameter_small_end`` (K0), ``length_hand_tight`` (L1),
``length_hand_tight_threads``, ``length_effective`` (L2), ``length_effective_threads``,
``length_wrench`` (L3), ``length_wrench_threads``, ``length_overall`` (L4), ``length_perfect`` (L5),
``length_vanish`` (V), ``thread_height`` (h), ``triangle_height`` (H), ``truncation_max``,
``truncation_min``, ``gauge_tolerance`` (one turn, along the axis), ``pitch_diameter_per_turn``,
``taper_ratio``, ``taper_half_angle_deg``, ``distance_from_gauge_plane``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.rounding import half_even
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.pipe.asme_b1_20_1_call_out import (
    KEY,
    SERIES,
    NptSize,
    npt_sizes,
    parse,
    read,
    sizes,
)
from threadwright_service.calc.threads.pipe.whitworth_pipe import one_start
from threadwright_service.calc.threads.record import record
from threadwright_service.calc.threads.registry import Family
from threadwright_service.calc.threads.rounding_rule import only_rule
from threadwright_service.calc.threads.side_words import side_of
from threadwright_service.calc.threads.thread import (
    DiameterLimits,
    Diameters,
    Side,
    Span,
    ThreadForm,
    ThreadLimits,
)
from threadwright_service.calc.trail import Formula, Trail

STANDARD: Final = "ASME B1.20.1"
ROUNDING_RULE: Final = (
    "diameters to 5 decimals from exact arithmetic, ties to even; lengths to 4 decimals; L4 from "
    "rounded lengths"
)
TAPER_RATIO: Final = 1 / 16
PLACES: Final = 5
_TWO_INCHES_OD: Final = 2.375
"""Outside diameter of size 2; up to it wrench make-up is 3 threads, above it 2."""

_SMALL_END: Final = Formula(
    "pitch diameter at the small end",
    "E0",
    "D - (0.05 * D + 1.1) * p",
    "D p",
    unit="in",
    source="asme-b1-20-1, Table 2",
)
_GAUGE_PLANE: Final = Formula(
    "pitch diameter in the gauge plane",
    "E1",
    "E0 + L1 / 16",
    "E0 L1",
    unit="in",
    source="asme-b1-20-1, Table 2",
)
_EFFECTIVE: Final = Formula(
    "length of effective thread",
    "L2",
    "(0.8 * D + 6.8) * p",
    "D p",
    unit="in",
    source="asme-b1-20-1, Table 2",
)
_ALONG: Final = Formula(
    "pitch diameter at a length from the small end",
    "E",
    "E0 + L / 16",
    "E0 L",
    unit="in",
    source="asme-b1-20-1, taper 1 in 16",
)
_HEIGHT: Final = Formula(
    "height of thread", "h", "0.8 * p", "p", unit="in", source="asme-b1-20-1, 2.4"
)
_TRIANGLE: Final = Formula(
    "height of the sharp thread", "H", "0.866025404 * p", "p", unit="in", source="asme-b1-20-1, 2.3"
)
_VANISH: Final = Formula(
    "vanish thread", "V", "3.4696 * p", "p", unit="in", source="asme-b1-20-1, Table 2"
)
_TURN: Final = Formula(
    "change of the pitch diameter by one turn",
    "dE",
    "p / 16",
    "p",
    unit="in",
    source="asme-b1-20-1, one turn on a taper of 1 in 16",
)
_TRUNCATION_MIN: Final = Formula(
    "least truncation", "f min", "0.033 * p", "p", unit="in", source="asme-b1-20-1, 2.4"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class NptDimensions:
    """Basic dimensions of one size, rounded as printed [in]."""

    small_end: float
    gauge_plane: float
    hand_tight: float
    effective: float
    vanish: float
    height: float
    reference: dict[str, float]


def dimensions(row: NptSize, *, trail: Trail | None = None) -> NptDimensions:
    """Basic dimensions along the axis of one size [in].

    Notes
    -----
    Source: asme-b1-20-1, Table 2; machinerys-handbook-27, p. 1862 Table 1b. E1 must not start
    from the rounded E0: that misses 3 of 25 printed values.

    Examples
    --------
    The row of 1/2: E0 .75843, E1 .77843, L2 .5337:

    >>> found = dimensions(npt_sizes()["1/2"])
    >>> found.small_end, found.gauge_plane, found.effective
    (0.75843, 0.77843, 0.5337)
    """
    d, p = row.outside_diameter, 1 / row.threads_per_inch
    small_end = _SMALL_END(trail, d, p)
    effective = _EFFECTIVE(trail, d, p)
    vanish = _VANISH.rounded(trail, p, to=half_even, places=4)
    height = _HEIGHT.rounded(trail, p, to=half_even, places=PLACES)
    wrench_threads = 3 if d <= _TWO_INCHES_OD else 2

    def along(length: float) -> float:
        return _ALONG.rounded(trail, small_end, length, to=half_even, places=PLACES)

    gauge_plane = _GAUGE_PLANE.rounded(
        trail, small_end, row.hand_tight_length, to=half_even, places=PLACES
    )
    shown_effective = half_even(effective, 4)
    return NptDimensions(
        small_end=half_even(small_end, PLACES),
        gauge_plane=gauge_plane,
        hand_tight=row.hand_tight_length,
        effective=shown_effective,
        vanish=vanish,
        height=height,
        reference={
            "outside_diameter": d,
            "pitch_diameter_small_end": half_even(small_end, PLACES),
            "pitch_diameter_gauge_plane": gauge_plane,
            "pitch_diameter_effective_end": along(effective),
            "pitch_diameter_wrench_end": along(-wrench_threads * p),
            "pitch_diameter_perfect_end": along(effective - 2 * p),
            "minor_diameter_small_end": half_even(small_end - 0.8 * p, 4),
            "length_hand_tight": row.hand_tight_length,
            "length_hand_tight_threads": half_even(row.hand_tight_length * row.threads_per_inch, 2),
            "length_effective": shown_effective,
            "length_effective_threads": half_even(0.8 * d + 6.8, 2),
            "length_wrench": half_even(wrench_threads * p, 4),
            "length_wrench_threads": float(wrench_threads),
            "length_overall": half_even(shown_effective + vanish, 4),
            "length_perfect": half_even(effective - 2 * p, 4),
            "length_vanish": vanish,
            "thread_height": height,
            "triangle_height": _TRIANGLE.rounded(trail, p, to=half_even, places=PLACES),
            "truncation_max": row.truncation_max,
            "truncation_min": _TRUNCATION_MIN.rounded(trail, p, to=half_even, places=4),
            "gauge_tolerance": p,
            "pitch_diameter_per_turn": _TURN.rounded(trail, p, to=half_even, places=PLACES),
            "taper_ratio": TAPER_RATIO,
            "taper_half_angle_deg": math.degrees(math.atan(TAPER_RATIO / 2)),
        },
    )


def limits(
    call_out: CallOut,
    *,
    rounding: str | None = None,
    trail: Trail | None = None,
    side: Side | None = None,
    distance_from_gauge_plane: float | None = None,
) -> ThreadLimits:
    """Limits of size of one NPT thread in the gauge plane, or at a distance from it [in].

    Raises
    ------
    OutOfRangeError
        If the distance is off the thread.
    AmbiguousError
        If the call-out says one side and ``side`` the other.
    NotTabulatedError
        If several starts are asked for.

    Notes
    -----
    Source: asme-b1-20-1. 174 of 174 published basic values are reproduced; the limits are one
    turn on the taper, and the truncations of Table 1.
    """
    only_rule(rounding)
    one_start(call_out.starts)
    side = side_of(
        call_out, side, trail, reason="the call-out is the same for both members; give the side"
    )
    row = npt_sizes()[call_out.size]
    found = dimensions(row, trail=trail)
    distance = _checked_distance(side, row, found, distance_from_gauge_plane)
    p = call_out.pitch
    pitch_diameter = half_even(found.gauge_plane + distance / 16, PLACES)
    if trail is not None:
        trail.caution(
            "taper-thread",
            "the diameters hold in one plane only and change by 1/16 of the way along the axis; a "
            "cutter with a full profile needs a tapered form or a taper pass",
        )
    return record(
        call_out,
        side=side,
        designation=f"{row.size}-{row.threads_per_inch:g} NPT"
        + ("-LH" if call_out.hand == "left" else ""),
        standard=STANDARD,
        unit="in",
        form=_FORM,
        basic=Diameters(
            major_diameter=half_even(pitch_diameter + 0.8 * p, PLACES),
            pitch_diameter=pitch_diameter,
            minor_diameter=half_even(pitch_diameter - 0.8 * p, PLACES),
        ),
        limits=_limits(pitch_diameter, p, row.truncation_max),
        reference={**found.reference, "distance_from_gauge_plane": distance},
        rounding_rule=ROUNDING_RULE,
        basis=_BASIC[row.basis] + "; limits of the pitch diameter: one turn either way, the "
        "gauging tolerance, on the taper; of major and minor diameter: those and the published "
        "truncations, derivation",
    )


def _limits(pitch_diameter: float, p: float, truncation_max: float) -> DiameterLimits:
    """One turn either way, with crests and roots between least and largest truncation."""
    turn = _TURN.function(p)
    sharp = _TRIANGLE.function(p)
    full, low = sharp - 2 * _TRUNCATION_MIN.function(p), sharp - 2 * truncation_max
    largest, smallest = pitch_diameter + turn, pitch_diameter - turn
    return DiameterLimits(
        major_diameter=Span(
            max=half_even(largest + full, PLACES), min=half_even(smallest + low, PLACES)
        ),
        pitch_diameter=Span(max=half_even(largest, PLACES), min=half_even(smallest, PLACES)),
        minor_diameter=Span(
            max=half_even(largest - low, PLACES), min=half_even(smallest - full, PLACES)
        ),
    )


def _checked_distance(
    side: Side, row: NptSize, found: NptDimensions, distance: float | None
) -> float:
    """The distance from the gauge plane, if it is on the thread."""
    if distance is None:
        return 0.0
    low, high = (
        (-row.hand_tight_length, found.effective + found.vanish - row.hand_tight_length)
        if side == "external"
        else (
            -(row.hand_tight_length + found.reference["length_wrench"]),
            1 / row.threads_per_inch,
        )
    )
    if not low - 1e-9 <= distance <= high + 1e-9:
        raise OutOfRangeError(
            f"{distance:g} in from the gauge plane is off the thread",
            parameter="distance_from_gauge_plane",
            value=distance,
            accepted=f"{low:.4f} in (small end) to {high:.4f} in (large end)",
        )
    return distance


_BASIC: Final = {
    "published": "basic dimensions published (174 of 174 values, sizes 1/16 to 12)",
    "memory": "formulas and sizes published; length L1 from memory",
}
_FLAT_RATIO: Final = 0.5 - 2 * 0.4 * math.tan(math.radians(30))
_FORM: Final = ThreadForm(
    name="NPT, taper 1 in 16, 60°",
    pressure_flank_angle_deg=30.0,
    clearance_flank_angle_deg=30.0,
    addendum_ratio=0.4,
    dedendum_ratio=0.4,
    external_root_ratio=0.4,
    internal_root_ratio=0.4,
    external_root_flat_ratio=_FLAT_RATIO,
    internal_root_flat_ratio=_FLAT_RATIO,
    taper_ratio=TAPER_RATIO,
)

FAMILY: Final = Family(
    key=KEY,
    title="Taper pipe threads for general use",
    standard=STANDARD,
    unit="in",
    symbols=(SERIES,),
    classes=(),
    parse=parse,
    read=read,
    limits=limits,
    sizes=sizes,
    options=("side", "distance_from_gauge_plane"),
)
