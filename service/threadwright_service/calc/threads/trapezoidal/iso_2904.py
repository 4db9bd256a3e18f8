"""ISO metric trapezoidal threads, Tr: profile, plan, tolerances and limits of size [mm].

ISO 2901 (profile), ISO 2902 (plan), ISO 2903 (tolerances) and ISO 2904 (basic dimensions); DIN
103 carries the same numbers. Flanks at 15°. A position (e or c) exists only on the external
pitch diameter; the crests are h outside and H inside.

Keys of the result beside the limits: ``reference.external_minor_diameter`` (d3),
``reference.internal_major_diameter`` (D4), ``reference.crest_clearance`` (ac),
``reference.thread_height`` (h3 = H4), ``reference.crest_radius_max`` (R1). ``root_radius.max`` is
R2. Outside, d3 is ``limits.minor_diameter.max``; inside, D4 is ``limits.major_diameter.min`` and
has no upper limit.
"""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.errors import InfeasibleError, NotTabulatedError, OutOfRangeError
from threadwright_service.calc.rounding import half_up
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.near_sizes import near_sizes
from threadwright_service.calc.threads.record import record
from threadwright_service.calc.threads.registry import Family
from threadwright_service.calc.threads.rounding_rule import only_rule
from threadwright_service.calc.threads.thread import (
    DiameterLimits,
    Diameters,
    Span,
    ThreadForm,
    ThreadLimits,
)
from threadwright_service.calc.threads.trapezoidal import iso_2903
from threadwright_service.calc.threads.trapezoidal.iso_2902 import (
    CLASSES,
    KEY,
    parse,
    plan,
    read,
    sizes,
)
from threadwright_service.calc.trail import Formula, Trail

FLANK_ANGLE_DEG: Final = 15.0
MOST_DIAMETER_MM: Final = 300.0
"""Largest diameter of ISO 2904; above it there is nothing that the rule was checked against."""
LEAST_DIAMETER_MM: Final = 8.0
ROUNDING_RULE: Final = (
    "basic dimensions to 0.001 mm, half up; deviations and tolerances whole micrometres; then "
    "exact sums"
)
_PITCH_DIAMETER: Final = Formula(
    "basic pitch diameter", "d2", "d - 0.5 * P", "d P", unit="mm", source="iso-2901"
)
_MINOR: Final = Formula(
    "basic minor diameter, internal", "D1", "d - P", "d P", unit="mm", source="iso-2901"
)
_EXTERNAL_MINOR: Final = Formula(
    "minor diameter, external", "d3", "d - P - 2 * ac", "d P ac", unit="mm", source="iso-2901"
)
_INTERNAL_MAJOR: Final = Formula(
    "major diameter, internal", "D4", "d + 2 * ac", "d ac", unit="mm", source="iso-2901"
)
_LESS: Final = Formula(
    "limit of size", "limit", "size - amount / 1000", "size amount", unit="mm", source="iso-2903"
)
_PLUS: Final = Formula(
    "limit of size", "limit", "size + amount / 1000", "size amount", unit="mm", source="iso-2903"
)


def limits(
    call_out: CallOut, *, rounding: str | None = None, trail: Trail | None = None
) -> ThreadLimits:
    """Limits of size of one trapezoidal thread [mm].

    Raises
    ------
    NotTabulatedError
        If ISO 2903 has no such pitch.
    OutOfRangeError
        If the diameter is outside 8 mm to 300 mm.
    InfeasibleError
        If the pitch leaves no core.

    Notes
    -----
    Source: iso-2901, iso-2903. 505 published limits of classes 7e and 7H (DIN 103, Tr8 to
    Tr210) are reproduced by this rule.
    """
    only_rule(rounding)
    pitch = _checked_pitch(call_out)
    d, p, ac = call_out.nominal_diameter, call_out.pitch, pitch.crest_clearance_mm
    basic = Diameters(
        major_diameter=d,
        pitch_diameter=_PITCH_DIAMETER.rounded(trail, d, p, to=half_up, places=3),
        minor_diameter=_MINOR.rounded(trail, d, p, to=half_up, places=3),
    )
    external_minor = _EXTERNAL_MINOR.rounded(trail, d, p, ac, to=half_up, places=3)
    internal_major = _INTERNAL_MAJOR.rounded(trail, d, ac, to=half_up, places=3)
    grade, position = int(call_out.tolerance_class[0]), call_out.tolerance_class[1]
    deviation_um = pitch.deviations_um[position]
    found = (
        _internal(basic, internal_major, call_out, grade, trail)
        if call_out.side == "internal"
        else _external(basic, external_minor, call_out, grade, deviation_um, trail)
    )
    return record(
        call_out,
        designation=_designation(call_out),
        standard="ISO 2901, ISO 2903, ISO 2904",
        unit="mm",
        form=form(pitch_mm=p, crest_clearance_mm=ac),
        basic=basic,
        allowance=half_up(deviation_um / 1000, 3),
        limits=found,
        reference={
            "external_minor_diameter": external_minor,
            "internal_major_diameter": internal_major,
            "crest_clearance": ac,
            "thread_height": half_up(0.5 * p + ac, 3),
            "crest_radius_max": half_up(0.5 * ac, 3),
        },
        root_radius=Span(max=ac, min=None),
        engagement_group=iso_2903.engagement_group(call_out, trail),
        rounding_rule=ROUNDING_RULE,
        basis=_basis(call_out, pitch.bases[position], position, trail),
    )


def form(*, pitch_mm: float, crest_clearance_mm: float) -> ThreadForm:
    """The profile of ISO 2901: 30° between the flanks, flat crests and roots.

    Notes
    -----
    Source: iso-2901; width of the root flat by derivation, P/2 on the pitch line.
    """
    share = crest_clearance_mm / pitch_mm
    flat = 0.5 - 2 * (0.25 + share) * _TANGENT
    return ThreadForm(
        name="ISO metric trapezoidal, 30°",
        pressure_flank_angle_deg=FLANK_ANGLE_DEG,
        clearance_flank_angle_deg=FLANK_ANGLE_DEG,
        addendum_ratio=0.25,
        dedendum_ratio=0.25,
        external_root_ratio=0.25 + share,
        internal_root_ratio=0.25 + share,
        external_root_flat_ratio=flat,
        internal_root_flat_ratio=flat,
    )


_TANGENT: Final = 0.2679491924311227
"""tan 15°."""


def _checked_pitch(call_out: CallOut) -> iso_2903.Pitch:
    """The pitch's row, after the size was checked."""
    d, p = call_out.nominal_diameter, call_out.pitch
    near = near_sizes(sizes(), nominal_diameter=d, pitch=p)
    pitch = iso_2903.pitches().get(p)
    if pitch is None:
        raise NotTabulatedError(
            f"ISO 2903 has no pitch of {p:g} mm",
            parameter="pitch",
            value=p,
            accepted=", ".join(f"{each:g}" for each in iso_2903.pitches())
            + f" mm; near sizes: {near}",
        )
    if not LEAST_DIAMETER_MM <= d <= MOST_DIAMETER_MM:
        raise OutOfRangeError(
            f"a nominal diameter of {d:g} mm; ISO 2904 covers {LEAST_DIAMETER_MM:g} mm to "
            f"{MOST_DIAMETER_MM:g} mm",
            parameter="nominal_diameter",
            value=d,
            accepted=f"{LEAST_DIAMETER_MM:g} to {MOST_DIAMETER_MM:g} mm; near sizes: {near}",
        )
    if d - p - 2 * pitch.crest_clearance_mm <= 0.25 * d:
        raise InfeasibleError(
            f"a pitch of {p:g} mm leaves less than a quarter of {d:g} mm as core",
            parameter="pitch",
            value=p,
            accepted=f"near sizes: {near}",
        )
    return pitch


def _external(
    basic: Diameters,
    external_minor: float,
    call_out: CallOut,
    grade: int,
    deviation_um: float,
    trail: Trail | None,
) -> DiameterLimits:
    """Limits of the screw: d h4, d2 by class, d3 h."""
    d, p = call_out.nominal_diameter, call_out.pitch
    single_um = iso_2903.pitch_diameter_tolerance_um(
        nominal_diameter_mm=d, pitch_mm=p, grade=grade, internal=False
    )
    share_um = iso_2903.minor_share_um(single_um, trail=trail)
    _look_up(trail, "tolerance of the external pitch diameter", "Td2", d, p, single_um)
    _look_up(trail, "fundamental deviation, as an amount", "es", d, p, deviation_um)
    tolerance_um = iso_2903.for_starts(single_um, call_out.starts, trail)
    pitch_max = _LESS.rounded(trail, basic.pitch_diameter, deviation_um, to=half_up, places=3)
    major_um = iso_2903.major_diameter_tolerance_um(pitch_mm=p)
    _look_up(trail, "tolerance of the major diameter", "Td", d, p, major_um)
    return DiameterLimits(
        major_diameter=Span(max=d, min=_LESS.rounded(trail, d, major_um, to=half_up, places=3)),
        pitch_diameter=Span(
            max=pitch_max,
            min=_LESS.rounded(trail, pitch_max, tolerance_um, to=half_up, places=3),
        ),
        minor_diameter=Span(
            max=external_minor,
            min=_LESS.rounded(trail, external_minor, share_um + deviation_um, to=half_up, places=3),
        ),
    )


def _internal(
    basic: Diameters, internal_major: float, call_out: CallOut, grade: int, trail: Trail | None
) -> DiameterLimits:
    """Limits of the nut: D4 from below, D2 by class, D1 H4."""
    d, p = call_out.nominal_diameter, call_out.pitch
    single_um = iso_2903.pitch_diameter_tolerance_um(
        nominal_diameter_mm=d, pitch_mm=p, grade=grade, internal=True
    )
    _look_up(trail, "tolerance of the internal pitch diameter", "TD2", d, p, single_um)
    tolerance_um = iso_2903.for_starts(single_um, call_out.starts, trail)
    minor_um = iso_2903.minor_diameter_tolerance_um(pitch_mm=p)
    _look_up(trail, "tolerance of the minor diameter", "TD1", d, p, minor_um)
    return DiameterLimits(
        major_diameter=Span(max=None, min=internal_major),
        pitch_diameter=Span(
            max=_PLUS.rounded(trail, basic.pitch_diameter, tolerance_um, to=half_up, places=3),
            min=basic.pitch_diameter,
        ),
        minor_diameter=Span(
            max=_PLUS.rounded(trail, basic.minor_diameter, minor_um, to=half_up, places=3),
            min=basic.minor_diameter,
        ),
    )


def _look_up(
    trail: Trail | None, quantity: str, symbol: str, d: float, p: float, value_um: float
) -> None:
    """Note a tolerance that came from a table or from the R40 rule."""
    if trail is not None:
        trail.step(
            quantity, symbol, "table", {"d": d, "P": p}, value_um, "um", "iso-2903", "R40 number"
        )


def _designation(call_out: CallOut) -> str:
    """The call-out in the order of ISO 2902, with the class."""
    lead = call_out.pitch * call_out.starts
    starts = f"(P{call_out.pitch:g})" if call_out.starts > 1 else ""
    hand = "LH" if call_out.hand == "left" else ""
    engagement = (
        f"-{call_out.length_of_engagement:g}" if call_out.length_of_engagement is not None else ""
    )
    return f"Tr{call_out.size}x{lead:g}{starts}{hand}-{call_out.tolerance_class}{engagement}"


def _basis(call_out: CallOut, deviation_basis: str, position: str, trail: Trail | None) -> str:
    """What these limits rest on, in a sentence or three."""
    parts = [
        "profile published; tolerances by the R40 rule, which reproduces 505 published limits of "
        "DIN 103 (7e and 7H)"
    ]
    if call_out.tolerance_class[0] != "7":
        parts.append(
            f"grade {call_out.tolerance_class[0]} by the grades' ratio, which gives grade 10 of "
            "GOST 24739-81"
        )
    if position != "H":
        word = {
            "published": "published in GOST 24739-81",
            "implied": "implied by published limits",
            "memory": "memory only",
        }
        parts.append(f"position {position} at P = {call_out.pitch:g}: {word[deviation_basis]}")
    if position == "e" and call_out.pitch == 12:
        parts.append("sources disagree on es at P = 12, 160 or 170 micrometres; 160 is used")
    if call_out.tolerance_class == "7c":
        parts.append("7c is grade 7 with position c, not one of the recommended classes")
    if call_out.starts > 1:
        parts.append("factor for several starts: memory only")
    if (call_out.nominal_diameter, call_out.pitch) not in plan():
        near = near_sizes(sizes(), nominal_diameter=call_out.nominal_diameter, pitch=call_out.pitch)
        parts.append("not tabulated: this pair is not in the plan of ISO 2902")
        if trail is not None:
            trail.caution(
                "not-tabulated",
                f"Tr{call_out.size}x{call_out.pitch:g} is not in the plan of ISO 2902; its limits "
                f"are computed by the standard's rule. Near standard sizes: {near}",
            )
    return "; ".join(parts)


FAMILY: Final = Family(
    key=KEY,
    title="ISO metric trapezoidal screw threads",
    standard="ISO 2901, ISO 2902, ISO 2903, ISO 2904",
    unit="mm",
    symbols=("Tr",),
    classes=CLASSES,
    parse=parse,
    read=read,
    limits=limits,
    sizes=sizes,
)
