"""Functional pitch diameter: the size at which a thread with errors of lead and angle acts.

A GO gauge feels the functional size, wires the simple pitch diameter. Errors make an external
thread act larger and an internal one smaller, whatever their sign.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.measurement.plausible_size import (
    check_pitch_diameter,
    check_plausible,
)
from threadwright_service.calc.measurement.wires.groove import BareThread, Groove, groove_of
from threadwright_service.calc.threads.thread import Side, ThreadLimits
from threadwright_service.calc.trail import Formula, Trail

AngleRule = Literal["flank-by-flank", "iso", "mean"]

ARCMIN_PER_DEG: Final = 60.0
ANGLE_ERROR_MAX_DEG: Final = 5.0
"""Beyond this the small-angle formulas no longer hold."""

PITCH_EFFECT: Final = Formula(
    "pitch diameter equivalent of the pitch error",
    "f_P",
    "2 * abs(dP) / (tan(radians(A1)) + tan(radians(A2)))",
    "dP A1 A2",
    unit="mm",
    source="screw-thread-lecture, cot A dP for symmetric flanks; derivation for others",
)
ANGLE_EFFECT: Final = Formula(
    "pitch diameter equivalent of the flank angle errors",
    "f_A",
    "2 * (y1*abs(dA1)/cos(radians(A1))**2 + y2*abs(dA2)/cos(radians(A2))**2)"
    " / (tan(radians(A1)) + tan(radians(A2)))",
    "y1 y2 dA1 dA2 A1 A2",
    unit="mm",
    source="screw-thread-lecture, 2 y dA / sin 2A for each symmetric flank; derivation for others",
)
ANGLE_EFFECT_ISO: Final = Formula(
    "pitch diameter equivalent of the flank angle errors, ISO numbers",
    "f_A",
    "0.073 * P * (K1*abs(dA1) + K2*abs(dA2)) / 1000",
    "P K1 K2 dA1 dA2",
    unit="mm",
    source="memory, ISO number form for 60 degrees; derivation reproduces its constants",
)
ANGLE_EFFECT_MEAN: Final = Formula(
    "pitch diameter equivalent of the mean half-angle error",
    "f_A",
    "0.36 * P * abs(dA) / 1000",
    "P dA",
    unit="mm",
    source="thread-fits-paper, 60 degrees, mean of both flanks and signs",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FunctionalSize:
    """What the errors of a thread do to the size at which it acts."""

    side: Side
    """Outside or inside thread."""
    pitch_diameter_mm: float
    """Simple pitch diameter, as it was measured."""
    pitch_effect_mm: float
    """What the pitch error takes of the pitch diameter, 0 or more."""
    angle_effect_mm: float
    """What the flank angle errors take of the pitch diameter, 0 or more."""
    angle_rule: AngleRule
    """How angle errors count: flank-by-flank by the form; iso and mean by rounded numbers
    for 60 degrees."""
    functional_pitch_diameter_mm: float
    """Size at which the thread acts: both effects added outside, taken off inside."""
    go_limit_mm: float | None
    """Limit that a GO gauge stands for; null where the standard sets none."""
    left_to_go_limit_mm: float | None
    """What is left of the tolerance on the GO side; negative if the GO gauge refuses, null where
    there is no limit."""
    passes_go: bool | None
    """Whether the GO gauge goes; null where there is no limit to go by."""
    pitch_diameter_for_go_mm: float | None
    """Simple pitch diameter at which, with these errors, the GO gauge just goes; null where
    there is no limit."""
    basis: str
    """What the formulas rest on."""


def pitch_effect_mm(*, groove: Groove, pitch_error_mm: float, trail: Trail | None = None) -> float:
    """Pitch diameter equivalent of a pitch error, f_P [mm], 0 or more.

    Parameters
    ----------
    groove : Groove
        The groove: its flank angles count.
    pitch_error_mm : float
        Worst accumulated pitch (lead) error between any two flanks within the length of
        engagement, dP [mm]; the sign does not matter.
    trail : Trail, optional
        Takes the working.

    Notes
    -----
    Source: screw-thread-lecture; derivation for unsymmetrical flanks.

    Examples
    --------
    A bolt with an error of 0.09 mm (0.155 or 0.156 mm in print):

    >>> bolt = groove_of(BareThread(
    ...     pitch_diameter_mm=30.0, pitch_mm=4.0,
    ...     pressure_flank_angle_deg=30.0, clearance_flank_angle_deg=30.0,
    ... ))
    >>> round(pitch_effect_mm(groove=bolt, pitch_error_mm=0.09), 3)
    0.156
    """
    return PITCH_EFFECT(
        trail,
        pitch_error_mm,
        groove.pressure_flank_angle_deg,
        groove.clearance_flank_angle_deg,
    )


def angle_effect_mm(
    *,
    groove: Groove,
    pressure_error_deg: float,
    clearance_error_deg: float,
    rule: AngleRule = "flank-by-flank",
    trail: Trail | None = None,
) -> float:
    """Pitch diameter equivalent of flank angle errors, f_A [mm], 0 or more.

    A flank turns about its point on the pitch line. A flank angle that is too large fouls the
    mating thread at the end of the contact nearer to the thread's own root, one that is too small
    at the end nearer to its crest.

    Parameters
    ----------
    groove : Groove
        The groove, with the heights of crest and root.
    pressure_error_deg, clearance_error_deg : float
        Errors of the flank angles, positive if the angle is too large [deg]; up to 5 either way.
    rule : {"flank-by-flank", "iso", "mean"}
        ``iso``: the rounded number form for 60 degrees, with 2 and 3 for the two ends. ``mean``:
        0.36 P for the mean error of both flanks, 60 degrees.
    trail : Trail, optional
        Takes the working.

    Raises
    ------
    OutOfRangeError
        If an error is above 5 degrees.
    InfeasibleError
        If the form's heights are not known, or a 60 degree rule meets another form.

    Notes
    -----
    Source: screw-thread-lecture; derivation; thread-fits-paper for the mean.

    Examples
    --------
    P = 4 mm, half a minute (0.72 µm in print):

    >>> bolt = groove_of(BareThread(
    ...     pitch_diameter_mm=30.0, pitch_mm=4.0,
    ...     pressure_flank_angle_deg=30.0, clearance_flank_angle_deg=30.0,
    ... ))
    >>> error_deg = -0.5 / 60
    >>> round(1000 * angle_effect_mm(
    ...     groove=bolt, pressure_error_deg=error_deg, clearance_error_deg=error_deg, rule="mean"
    ... ), 2)
    0.72
    """
    errors = (pressure_error_deg, clearance_error_deg)
    if not all(abs(error) <= ANGLE_ERROR_MAX_DEG for error in errors):
        raise OutOfRangeError(
            f"flank angle errors of {errors[0]:g} and {errors[1]:g} degrees",
            parameter="flank_angle_error",
            value=max(errors, key=abs),
            accepted=f"up to {ANGLE_ERROR_MAX_DEG:g} degrees either way",
        )
    if rule != "flank-by-flank":
        return _angle_effect_by_number(groove, errors, rule, trail)
    heights = [_fouling_height(groove, error) for error in errors]
    return ANGLE_EFFECT(
        trail,
        *heights,
        *(math.radians(error) for error in errors),
        groove.pressure_flank_angle_deg,
        groove.clearance_flank_angle_deg,
    )


def accumulated_pitch_error_mm(
    *, relative_error_ratio: float, length_of_engagement_mm: float
) -> float:
    """Pitch error that a constant relative error of the lead adds up over the engagement [mm].

    Parameters
    ----------
    relative_error_ratio : float
        Error of the lead over the lead, from a screw, its temperature or a growth; -0.1 to 0.1.
    length_of_engagement_mm : float
        Length of engagement [mm]; above 0.

    Raises
    ------
    OutOfRangeError
        Outside these ranges.

    Notes
    -----
    Source: derivation.

    Examples
    --------
    -0.05 % over 20 mm:

    >>> round(accumulated_pitch_error_mm(
    ...     relative_error_ratio=-0.0005, length_of_engagement_mm=20.0
    ... ), 3)
    -0.01
    """
    if not abs(relative_error_ratio) <= 0.1:
        raise OutOfRangeError(
            f"the relative error of the lead is {relative_error_ratio:g}",
            parameter="lead_error",
            value=relative_error_ratio,
            accepted="-0.1 to 0.1",
        )
    if not length_of_engagement_mm > 0:
        raise OutOfRangeError(
            f"the length of engagement is {length_of_engagement_mm:g} mm",
            parameter="length_of_engagement",
            value=length_of_engagement_mm,
            accepted="a length above 0",
        )
    return relative_error_ratio * length_of_engagement_mm


def functional_size(
    *,
    thread: ThreadLimits | BareThread,
    pitch_diameter_mm: float,
    pitch_error_mm: float = 0.0,
    pressure_error_deg: float = 0.0,
    clearance_error_deg: float = 0.0,
    angle_rule: AngleRule = "flank-by-flank",
    trail: Trail | None = None,
) -> FunctionalSize:
    """Size at which a thread with errors of lead and angle acts, and whether a GO gauge goes.

    Parameters
    ----------
    thread : ThreadLimits or BareThread
        The thread; one of a standard may be in either unit.
    pitch_diameter_mm : float
        Simple pitch diameter, as measured over wires [mm]; above 0.
    pitch_error_mm : float
        See :func:`pitch_effect_mm`.
    pressure_error_deg, clearance_error_deg, angle_rule
        See :func:`angle_effect_mm`.
    trail : Trail, optional
        Takes cautions and working.

    Raises
    ------
    OutOfRangeError, InfeasibleError
        As the functions named above, and if the pitch diameter is not above 0 or is none of a
        thread of a standard.

    Notes
    -----
    Source: screw-thread-lecture for f_P and f_A; derivation for how they add.

    Examples
    --------
    M10x1.5-6g, E 8.930, 8 µm over the engagement, both half angles 20 minutes too small: 13.9 and
    13.1 µm by the ISO numbers, 8.957 mm.

    >>> screw = BareThread(
    ...     pitch_diameter_mm=8.930, pitch_mm=1.5,
    ...     pressure_flank_angle_deg=30.0, clearance_flank_angle_deg=30.0,
    ... )
    >>> found = functional_size(
    ...     thread=screw, pitch_diameter_mm=8.930, pitch_error_mm=0.008,
    ...     pressure_error_deg=-1/3, clearance_error_deg=-1/3, angle_rule="iso",
    ... )
    >>> round(found.functional_pitch_diameter_mm, 3)
    8.957
    """
    _check_pitch_diameter(thread, pitch_diameter_mm)
    groove = groove_of(thread, trail=trail)
    by_pitch = pitch_effect_mm(groove=groove, pitch_error_mm=pitch_error_mm, trail=trail)
    by_angle = 0.0
    if pressure_error_deg or clearance_error_deg:
        by_angle = angle_effect_mm(
            groove=groove,
            pressure_error_deg=pressure_error_deg,
            clearance_error_deg=clearance_error_deg,
            rule=angle_rule,
            trail=trail,
        )
    outward = 1.0 if groove.side == "external" else -1.0
    acts = pitch_diameter_mm + outward * (by_pitch + by_angle)
    go = _go_limit(thread)
    left = None if go is None else outward * (go - acts)
    _note_refusal(left, trail)
    return FunctionalSize(
        side=groove.side,
        pitch_diameter_mm=pitch_diameter_mm,
        pitch_effect_mm=by_pitch,
        angle_effect_mm=by_angle,
        angle_rule=angle_rule,
        functional_pitch_diameter_mm=acts,
        go_limit_mm=go,
        left_to_go_limit_mm=left,
        passes_go=None if left is None else left >= -1e-9,
        pitch_diameter_for_go_mm=None if go is None else go - outward * (by_pitch + by_angle),
        basis="memory for the number form, reproduced by derivation"
        if angle_rule == "iso"
        else "published formulas; derivation for unsymmetrical flanks",
    )


def _check_pitch_diameter(thread: ThreadLimits | BareThread, pitch_diameter_mm: float) -> None:
    """Refuse a size that no thread has, or not this one."""
    check_pitch_diameter(pitch_diameter_mm)
    if isinstance(thread, ThreadLimits):
        own = thread.in_millimetres()
        check_plausible(
            size_mm=pitch_diameter_mm,
            expected_mm=own.basic.pitch_diameter,
            pitch_mm=own.pitch,
            parameter="measured_pitch_diameter",
            what=f"a pitch diameter of {own.designation}",
        )


def _note_refusal(left: float | None, trail: Trail | None) -> None:
    if trail is not None and left is not None and left < 0:
        trail.caution(
            "go-gauge-refuses",
            f"With these errors the GO gauge refuses by {-left:.4f} mm though the pitch diameter "
            "over wires may be inside its limits: correct lead or form before taking more off.",
        )


def _angle_effect_by_number(
    groove: Groove, errors: tuple[float, float], rule: AngleRule, trail: Trail | None
) -> float:
    if not groove.is_symmetric or groove.flank_angle_deg != 30.0:
        raise InfeasibleError(
            f"the {rule} numbers hold for 60 degree threads; this form has flanks of "
            f"{groove.pressure_flank_angle_deg:g} and {groove.clearance_flank_angle_deg:g} degrees",
            parameter="angle_rule",
            value=rule,
            accepted="flank-by-flank",
        )
    first, second = (ARCMIN_PER_DEG * error for error in errors)
    if rule == "mean":
        return ANGLE_EFFECT_MEAN(trail, groove.pitch_mm, (abs(first) + abs(second)) / 2)
    # The contact ends H/4 inside the pitch line (number 2) and 3H/8 outside it (number 3); the
    # root is inside on a screw and outside in a nut.
    at_root, at_crest = (2.0, 3.0) if groove.side == "external" else (3.0, 2.0)
    numbers = [at_root if error > 0 else at_crest for error in errors]
    return ANGLE_EFFECT_ISO(trail, groove.pitch_mm, *numbers, first, second)


def _fouling_height(groove: Groove, error_deg: float) -> float:
    """Distance from the pitch line to the end of the contact at which a turned flank fouls."""
    # A flank that leans too far leaves too much metal at the root's end, inside and outside alike.
    height = groove.flank_start_mm if error_deg > 0 else groove.flank_end_mm
    if height is None:
        raise InfeasibleError(
            "the effect of a flank angle error needs the heights of crest and root above and below "
            "the pitch line",
            parameter="addendum",
            accepted="addendum and dedendum of the form, or flank angles of a known form",
        )
    return height


def _go_limit(thread: ThreadLimits | BareThread) -> float | None:
    limits = (
        thread.pitch_diameter
        if isinstance(thread, BareThread)
        else thread.in_millimetres().limits.pitch_diameter
    )
    return limits.max if thread.side == "external" else limits.min
