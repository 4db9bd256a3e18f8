"""Buttress inch screw threads, ANSI/ASME B1.9: 7°/45°, classes 2 and 3 [in].

The pressure flank stands at 7°, the clearance flank at 45°. ``2.5-8 BUTT-2A`` is the screw,
``2.5-8 BUTT-2B`` the nut; PUSH-BUTT and PULL-BUTT say which way the load goes and change no size.

Keys of the result beside the limits: ``reference.thread_height`` (h = 0.6 p),
``triangle_height`` (H), ``crest_truncation`` (f), ``crest_flat`` (F), ``height_of_each_thread``
(hs = hn), ``root_truncation_max`` (s), ``root_truncation_min``, ``root_flat_max`` (S),
``pitch_diameter_tolerance``. ``root_radius`` is r and half of it.
"""

from __future__ import annotations

import math
from typing import Final

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.rounding import half_even
from threadwright_service.calc.threads.buttress.asme_b1_9_call_out import (
    CLASSES,
    COUNTS,
    KEY,
    OPEN_SIDE,
    STANDARD,
    SYMBOLS,
    parse,
    range_of,
    read,
    sizes,
)
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.near_sizes import near_sizes
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

PRESSURE_FLANK_DEG: Final = 7.0
CLEARANCE_FLANK_DEG: Final = 45.0
PLACES: Final = 4
ROUNDING_RULE: Final = (
    "basic dimensions, allowance and tolerances to 0.0001 in, ties to even, then exact sums"
)

_HEIGHT: Final = Formula("basic height", "h", "0.6 * p", "p", unit="in", source="asme-b1-9")
_PITCH_DIAMETER: Final = Formula(
    "basic pitch diameter", "E", "D - 0.6 * p", "D p", unit="in", source="asme-b1-9"
)
_MINOR: Final = Formula(
    "basic minor diameter", "K", "D - 1.2 * p", "D p", unit="in", source="asme-b1-9"
)
_EXTERNAL_MINOR: Final = Formula(
    "minor diameter of the screw before the allowance",
    "Ks + G",
    "D - 1.32542 * p",
    "D p",
    unit="in",
    source="asme-b1-9",
)
_INTERNAL_MAJOR: Final = Formula(
    "major diameter of the nut", "Dn", "D + 0.12542 * p", "D p", unit="in", source="asme-b1-9"
)
_ROOT_FROM_PITCH: Final = Formula(
    "far limit of a root, from the pitch diameter",
    "0.80803 p",
    "0.80803 * p",
    "p",
    unit="in",
    source="asme-b1-9",
)
_TOLERANCE: Final = Formula(
    "tolerance, class 2, for an engagement of Le",
    "T2",
    "0.002 * cbrt(D) + 0.00278 * sqrt(Le) + 0.00854 * sqrt(p)",
    "D Le p",
    unit="in",
    source="asme-b1-9",
)
_TOLERANCE_10P: Final = Formula(
    "tolerance, class 2, for an engagement of ten pitches",
    "T2",
    "0.002 * cbrt(D) + 0.0173 * sqrt(p)",
    "D p",
    unit="in",
    source="asme-b1-9",
)
_CLASS_3: Final = Formula(
    "tolerance, class 3; also the allowance of both classes",
    "T3",
    "2 / 3 * T2",
    "T2",
    unit="in",
    source="asme-b1-9",
)
_FORM_TABLE: Final = (
    ("triangle_height", 0.89064),
    ("thread_height", 0.6),
    ("crest_truncation", 0.14532),
    ("height_of_each_thread", 0.66271),
    ("root_truncation_max", 0.0826),
    ("crest_flat", 0.16316),
    ("root_flat_max", 0.0928),
)


def tolerance_in(
    *,
    nominal_diameter_in: float,
    pitch_in: float,
    grade: int,
    length_of_engagement_in: float | None = None,
    trail: Trail | None = None,
) -> float:
    """Tolerance of pitch diameter, screw's major and nut's minor diameter [in], to 0.0001 in.

    Parameters
    ----------
    nominal_diameter_in : float
        Basic major diameter, D [in]; the middle of its range is put in.
    pitch_in : float
        Pitch, p [in].
    grade : int
        2 (standard) or 3 (precision).
    length_of_engagement_in : float or None
        Le [in]; ten pitches if none.

    Raises
    ------
    OutOfRangeError
        If the size is outside 0.5 in to 24 in.

    Notes
    -----
    Source: asme-b1-9, Table 4 and its formula, as machinerys-handbook-27, p. 1851 and p. 1854.

    Examples
    --------
    Table 4, class 2, 16 threads per inch, over 1.5 through 2.5:

    >>> tolerance_in(nominal_diameter_in=2, pitch_in=1 / 16, grade=2)
    0.0068
    """
    over, through, _, _ = range_of(nominal_diameter_in)
    middle = (over + through) / 2
    exact = (
        _TOLERANCE_10P(trail, middle, pitch_in)
        if length_of_engagement_in is None
        else _TOLERANCE(trail, middle, length_of_engagement_in, pitch_in)
    )
    if grade == 2:
        return half_even(exact, PLACES)
    return _CLASS_3.rounded(trail, exact, to=half_even, places=PLACES)


def limits(
    call_out: CallOut,
    *,
    rounding: str | None = None,
    trail: Trail | None = None,
    side: Side | None = None,
) -> ThreadLimits:
    """Limits of size of one inch buttress thread [in].

    Raises
    ------
    OutOfRangeError
        If the size is outside 0.5 in to 24 in.
    InfeasibleError
        If the pitch leaves no core.
    AmbiguousError
        If the call-out says one side and ``side`` the other.

    Notes
    -----
    Source: asme-b1-9, Table 3, as machinerys-handbook-27, p. 1853, prints it.
    """
    only_rule(rounding)
    side = side_of(call_out, side, trail, reason=OPEN_SIDE)
    d, p = call_out.nominal_diameter, call_out.pitch
    grade = int(call_out.tolerance_class[0])
    basis = _checked(call_out, trail)
    tolerance, allowance = (
        tolerance_in(
            nominal_diameter_in=d,
            pitch_in=p,
            grade=each,
            length_of_engagement_in=call_out.length_of_engagement,
            trail=trail,
        )
        for each in (grade, 3)
    )
    basic = Diameters(
        major_diameter=half_even(d, PLACES),
        pitch_diameter=_PITCH_DIAMETER.rounded(trail, d, p, to=half_even, places=PLACES),
        minor_diameter=_MINOR.rounded(trail, d, p, to=half_even, places=PLACES),
    )
    hand = "-LH" if call_out.hand == "left" else ""
    return record(
        call_out,
        side=side,
        designation=f"{call_out.size}-{call_out.threads_per_inch:g} {call_out.series}-{grade}"
        f"{'A' if side == 'external' else 'B'}{hand}",
        standard=STANDARD,
        unit="in",
        form=_FORM,
        basic=basic,
        allowance=allowance if side == "external" else 0.0,
        limits=_external(basic, d, p, allowance, tolerance, trail)
        if side == "external"
        else _internal(basic, d, p, tolerance, trail),
        reference={
            **{name: half_even(share * p, PLACES) for name, share in _FORM_TABLE},
            "root_truncation_min": half_even(0.0413 * p, PLACES),
            "pitch_diameter_tolerance": tolerance,
        },
        root_radius=Span(max=half_even(0.0714 * p, PLACES), min=half_even(0.0357 * p, PLACES)),
        rounding_rule=ROUNDING_RULE,
        basis=basis,
    )


def _external(
    basic: Diameters, d: float, p: float, allowance: float, tolerance: float, trail: Trail | None
) -> DiameterLimits:
    """Limits of the screw: every diameter less the allowance; the root from the pitch diameter."""
    major, pitch, minor = (
        half_even(size - allowance, PLACES)
        for size in (
            basic.major_diameter,
            basic.pitch_diameter,
            _EXTERNAL_MINOR.rounded(trail, d, p, to=half_even, places=PLACES),
        )
    )
    root = _ROOT_FROM_PITCH.rounded(trail, p, to=half_even, places=PLACES)
    return DiameterLimits(
        major_diameter=Span(max=major, min=half_even(major - tolerance, PLACES)),
        pitch_diameter=Span(max=pitch, min=half_even(pitch - tolerance, PLACES)),
        minor_diameter=Span(max=minor, min=half_even(pitch - tolerance - root, PLACES)),
    )


def _internal(
    basic: Diameters, d: float, p: float, tolerance: float, trail: Trail | None
) -> DiameterLimits:
    """Limits of the nut: basic is the least; the root from the pitch diameter."""
    root = _ROOT_FROM_PITCH.rounded(trail, p, to=half_even, places=PLACES)
    pitch, minor = basic.pitch_diameter, basic.minor_diameter
    return DiameterLimits(
        major_diameter=Span(
            max=half_even(pitch + tolerance + root, PLACES),
            min=_INTERNAL_MAJOR.rounded(trail, d, p, to=half_even, places=PLACES),
        ),
        pitch_diameter=Span(max=half_even(pitch + tolerance, PLACES), min=pitch),
        minor_diameter=Span(max=half_even(minor + tolerance, PLACES), min=minor),
    )


def _checked(call_out: CallOut, trail: Trail | None) -> str:
    """Refuse what has no core, note what is untabulated; what is returned is the basis."""
    d, p, count = call_out.nominal_diameter, call_out.pitch, call_out.threads_per_inch or 0.0
    _, _, finest, coarsest = range_of(d)
    if d - 1.32542 * p < 0.25 * d:
        raise InfeasibleError(
            f"{count:g} threads per inch leave less than a quarter of {d:g} in as core",
            parameter="threads_per_inch",
            value=count,
            accepted=f"near sizes: {near_sizes(sizes(), nominal_diameter=d, pitch=p)}",
        )
    parts = [
        "form and formulas published; tolerances reproduce the rows of Table 4 that were read (20 "
        "to 10 threads per inch)"
    ]
    if count not in COUNTS or not coarsest <= count <= finest:
        parts.append("not tabulated: this pair is not in the tolerance table")
        if trail is not None:
            trail.caution(
                "not-tabulated",
                f"{call_out.size}-{count:g} is not in the tolerance table of ANSI B1.9; its limits "
                f"are computed by the standard's formula. Near sizes: "
                f"{near_sizes(sizes(), nominal_diameter=d, pitch=p)}",
            )
    elif count < 10:
        parts.append("that the table has this pair is recalled")
    if call_out.starts > 1:
        parts.append("limits of the single-start thread")
        if trail is not None:
            trail.caution("several-starts", "ANSI B1.9 gives its limits for single-start threads")
    return "; ".join(parts)


_SLOPE: Final = math.tan(math.radians(PRESSURE_FLANK_DEG)) + math.tan(
    math.radians(CLEARANCE_FLANK_DEG)
)
_ROOT_RATIO: Final = 0.66271 - 0.3
_FORM: Final = ThreadForm(
    name="buttress, 7° and 45°",
    pressure_flank_angle_deg=PRESSURE_FLANK_DEG,
    clearance_flank_angle_deg=CLEARANCE_FLANK_DEG,
    addendum_ratio=0.3,
    dedendum_ratio=0.3,
    external_root_ratio=_ROOT_RATIO,
    internal_root_ratio=_ROOT_RATIO,
    external_root_flat_ratio=0.5 - _ROOT_RATIO * _SLOPE,
    internal_root_flat_ratio=0.5 - _ROOT_RATIO * _SLOPE,
)

FAMILY: Final = Family(
    key=KEY,
    title="Buttress inch screw threads, 7°/45°",
    standard=STANDARD,
    unit="in",
    symbols=SYMBOLS,
    classes=CLASSES,
    parse=parse,
    read=read,
    limits=limits,
    sizes=sizes,
    options=("side",),
)
