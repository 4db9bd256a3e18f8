"""The groove that a measuring wire, pin or ball lies in, and threads that no standard names."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.tables import Cell, load
from threadwright_service.calc.threads.thread import (
    NO_LIMIT,
    Side,
    Span,
    ThreadForm,
    ThreadLimits,
)
from threadwright_service.calc.trail import Trail

LEAD_ANGLE_MAX_DEG: Final = 30.0
STRICT_LEAD_ANGLE_MAX_DEG: Final = 20.0
"""Up to these (the second for inside threads and unsymmetrical flanks) the seat agrees with an
independent model; beyond them wire or ball begin to touch the flanks elsewhere."""
INTERNAL_PITCH_MAX_RATIO: Final = 0.45
STRICT_INTERNAL_PITCH_MAX_RATIO: Final = 0.35
"""Pitch over pitch diameter up to which balls inside agree with that model, on symmetric and on
unsymmetrical flanks."""

_SAME_RATIO: Final = 1e-3
"""Shares of the pitch that are the same line of the form, rounded differently in print."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BareThread:
    """A thread that no standard names, as far as a measurement needs it.

    Parameters
    ----------
    pitch_diameter_mm : float
        Pitch diameter that is aimed at, E [mm].
    pitch_mm : float
        Pitch, P [mm].
    starts : int
        Number of starts; the lead is ``starts`` pitches.
    pressure_flank_angle_deg, clearance_flank_angle_deg : float
        Angle of each flank from the normal to the axis, half the included angle of a symmetric
        form [deg].
    side : "external" or "internal"
    pitch_diameter : Span
        Limits of the pitch diameter [mm]; ``None`` in it where there is no limit.
    addendum_ratio, dedendum_ratio : float or None
        Pitch line to the external crest and to the internal crest, in pitches; ``None`` takes
        those of the known form with these angles, and says so.
    """

    pitch_diameter_mm: float
    pitch_mm: float
    pressure_flank_angle_deg: float
    clearance_flank_angle_deg: float
    starts: int = 1
    side: Side = "external"
    pitch_diameter: Span = NO_LIMIT
    addendum_ratio: float | None = None
    dedendum_ratio: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Groove:
    """A thread groove in the axial plane, in millimetres.

    Heights are measured from the pitch line towards the groove's opening: outwards on an
    external thread, inwards on an internal one. ``None`` stands for "not known".
    """

    side: Side
    pitch_mm: float
    lead_mm: float
    pressure_flank_angle_deg: float
    clearance_flank_angle_deg: float
    crest_mm: float | None = None
    """Pitch line to the crest that stands beside the groove."""
    flank_end_mm: float | None = None
    """Pitch line to where the straight flank ends below the crest."""
    root_mm: float | None = None
    """Pitch line down to the root, a positive depth."""
    flank_start_mm: float | None = None
    """Pitch line down to where the straight flank begins above the root, a positive depth."""
    taper_ratio: float = 0.0
    form: str = ""

    @property
    def starts(self) -> int:
        """Number of starts."""
        return max(1, math.floor(self.lead_mm / self.pitch_mm + 0.5))

    @property
    def is_symmetric(self) -> bool:
        """Whether both flanks stand at the same angle."""
        return self.pressure_flank_angle_deg == self.clearance_flank_angle_deg

    @property
    def flank_angle_deg(self) -> float:
        """Half the included angle [deg]; the flank angle itself for symmetric forms."""
        return (self.pressure_flank_angle_deg + self.clearance_flank_angle_deg) / 2

    @property
    def tilt_deg(self) -> float:
        """How far the groove's bisector leans over [deg]; 0 for symmetric forms."""
        return (self.pressure_flank_angle_deg - self.clearance_flank_angle_deg) / 2

    @property
    def sharp_root_mm(self) -> float:
        """Pitch line to the point where the flanks would meet [mm]."""
        return (self.pitch_mm / 2) / (
            math.tan(math.radians(self.pressure_flank_angle_deg))
            + math.tan(math.radians(self.clearance_flank_angle_deg))
        )

    @property
    def taper_angle_deg(self) -> float:
        """Angle between the axis and a line along the pitch cone [deg]."""
        return math.degrees(math.atan(self.taper_ratio / 2))

    def lead_angle_deg(self, pitch_diameter_mm: float) -> float:
        """Lead angle at a pitch diameter [deg]."""
        return math.degrees(math.atan(self.lead_mm / (math.pi * pitch_diameter_mm)))


def groove_of(thread: ThreadLimits | BareThread, *, trail: Trail | None = None) -> Groove:
    """The groove of a thread, of a standard or bare.

    Parameters
    ----------
    thread : ThreadLimits or BareThread
        The thread; one of a standard may be in either unit.
    trail : Trail, optional
        Takes the assumption of a known form for a bare thread.

    Raises
    ------
    OutOfRangeError
        If a bare thread's sizes are no thread: a size not above 0, no start, or flank angles
        outside 1 to 50 degrees.

    Notes
    -----
    Source: derivation. The depth of the root is taken from the limits where the standard sets
    them, else from the basic profile.
    """
    if isinstance(thread, BareThread):
        return _bare_groove(thread, trail)
    return _standard_groove(thread.in_millimetres())


def _standard_groove(thread: ThreadLimits) -> Groove:
    form, pitch = thread.form, thread.pitch
    limits = thread.limits
    if thread.side == "external":
        crest, root = form.addendum_ratio, form.dedendum_ratio
        depth = _half_difference(limits.pitch_diameter.max, limits.minor_diameter.max)
        rounded_crest = _is_rounded(
            form, form.internal_root_flat_ratio, form.internal_root_ratio, crest
        )
        rounded_root = _is_rounded(
            form, form.external_root_flat_ratio, form.external_root_ratio, root
        )
    else:
        crest, root = form.dedendum_ratio, form.addendum_ratio
        depth = _half_difference(limits.major_diameter.min, limits.pitch_diameter.min)
        rounded_crest = _is_rounded(
            form, form.external_root_flat_ratio, form.external_root_ratio, crest
        )
        rounded_root = _is_rounded(
            form, form.internal_root_flat_ratio, form.internal_root_ratio, root
        )
    angle = form.pressure_flank_angle_deg
    return Groove(
        side=thread.side,
        pitch_mm=pitch,
        lead_mm=thread.lead,
        pressure_flank_angle_deg=angle,
        clearance_flank_angle_deg=form.clearance_flank_angle_deg,
        crest_mm=crest * pitch,
        flank_end_mm=_straight_end_ratio(crest, angle, rounded_crest) * pitch,
        root_mm=root * pitch if depth is None else depth,
        flank_start_mm=_straight_end_ratio(root, angle, rounded_root) * pitch,
        taper_ratio=form.taper_ratio,
        form=form.name,
    )


def _bare_groove(thread: BareThread, trail: Trail | None) -> Groove:
    _check_bare(thread)
    crest, root, rounded, name = thread.addendum_ratio, thread.dedendum_ratio, False, ""
    if crest is None or root is None:
        known = _known_form(thread.pressure_flank_angle_deg, thread.clearance_flank_angle_deg)
        if known is not None:
            name = str(known["form"])
            rounded = crest is None and root is None and bool(known["rounded"])
            crest = float(known["addendum_ratio"]) if crest is None else crest
            root = float(known["dedendum_ratio"]) if root is None else root
            if trail is not None:
                trail.assume("form", name, "the known form with these flank angles")
    if thread.side == "internal":
        crest, root = root, crest
    angle, pitch = thread.pressure_flank_angle_deg, thread.pitch_mm
    return Groove(
        side=thread.side,
        pitch_mm=pitch,
        lead_mm=pitch * thread.starts,
        pressure_flank_angle_deg=angle,
        clearance_flank_angle_deg=thread.clearance_flank_angle_deg,
        crest_mm=None if crest is None else crest * pitch,
        flank_end_mm=None if crest is None else _straight_end_ratio(crest, angle, rounded) * pitch,
        root_mm=None if root is None else root * pitch,
        flank_start_mm=None if root is None else _straight_end_ratio(root, angle, rounded) * pitch,
        form=name,
    )


def _check_bare(thread: BareThread) -> None:
    for parameter, value in (
        ("pitch_diameter", thread.pitch_diameter_mm),
        ("pitch", thread.pitch_mm),
    ):
        if not value > 0:
            raise OutOfRangeError(
                f"{parameter} is {value:g} mm; it must be above 0",
                parameter=parameter,
                value=value,
                accepted="a length above 0",
            )
    limits = thread.pitch_diameter
    if limits.max is not None and limits.min is not None and limits.max < limits.min:
        raise OutOfRangeError(
            f"the largest pitch diameter, {limits.max:g} mm, is below the smallest, "
            f"{limits.min:g} mm",
            parameter="pitch_diameter_max",
            value=limits.max,
            accepted="not below pitch_diameter_min",
        )
    if thread.starts < 1:
        raise OutOfRangeError(
            f"starts is {thread.starts}; a thread has at least one",
            parameter="starts",
            value=thread.starts,
            accepted="1 or more",
        )
    angles = (thread.pressure_flank_angle_deg, thread.clearance_flank_angle_deg)
    if not all(1.0 <= angle <= 50.0 for angle in angles) or sum(angles) > 90.0:
        raise OutOfRangeError(
            f"flank angles of {angles[0]:g} and {angles[1]:g} degrees: the flank angle is measured "
            "from the normal to the axis, half the included angle of a symmetric form (30 for a "
            "60 degree thread)",
            parameter="flank_angle_deg",
            value=angles[0],
            accepted="1 to 45 degrees; 1 to 50 for one flank of an unsymmetrical form",
        )


def check_lead_angle(groove: Groove, pitch_diameter_mm: float) -> None:
    """Refuse a thread that is steeper than the seat of a wire was proved for.

    Raises
    ------
    OutOfRangeError
        If the lead angle is above 30 degrees, or above 20 inside and on unsymmetrical flanks; or
        if the pitch inside is above 0.45 of the pitch diameter (0.35 on unsymmetrical
        flanks).

    Notes
    -----
    Source: derivation, from an independent model of a ball and a free wire.
    """
    angle = groove.lead_angle_deg(pitch_diameter_mm)
    proved = groove.is_symmetric and groove.side == "external"
    most = LEAD_ANGLE_MAX_DEG if proved else STRICT_LEAD_ANGLE_MAX_DEG
    if angle > most:
        raise OutOfRangeError(
            f"the lead angle is {angle:.1f} degrees; readings over wires are computed up to "
            f"{most:g} degrees",
            parameter="pitch_diameter",
            value=pitch_diameter_mm,
            accepted=f"lead / (pi x pitch diameter) up to tan({most:g} degrees)",
        )
    coarsest = INTERNAL_PITCH_MAX_RATIO if groove.is_symmetric else STRICT_INTERNAL_PITCH_MAX_RATIO
    if groove.side == "internal" and groove.pitch_mm > coarsest * pitch_diameter_mm:
        raise OutOfRangeError(
            f"a pitch of {groove.pitch_mm:g} mm inside a pitch diameter of "
            f"{pitch_diameter_mm:g} mm is too coarse for balls",
            parameter="pitch",
            value=groove.pitch_mm,
            accepted=f"up to {coarsest:g} of the pitch diameter",
        )


def _half_difference(outer: float | None, inner: float | None) -> float | None:
    return None if outer is None or inner is None else (outer - inner) / 2


def _is_rounded(form: ThreadForm, flat: float, line: float, crest: float) -> bool:
    """Whether the crest opposite a radiused root is rounded as well (Whitworth and its kin).

    The form prints no flat at the mating root, that root is on this crest's line, and the
    straight flanks would leave a flat there.
    """
    if flat != 0 or abs(line - crest) > _SAME_RATIO or not form.is_symmetric:
        return False
    left_flat = 0.5 - 2 * crest * math.tan(math.radians(form.pressure_flank_angle_deg))
    return left_flat > _SAME_RATIO


def _straight_end_ratio(crest: float, flank_angle_deg: float, rounded: bool) -> float:
    """Pitch line to the end of the straight flank, in pitches."""
    if not rounded:
        return crest
    sine = math.sin(math.radians(flank_angle_deg))
    sharp = 0.25 / math.tan(math.radians(flank_angle_deg))
    radius = (sharp - crest) / (1 / sine - 1)
    return crest - radius * (1 - sine)


@lru_cache(maxsize=64)
def _known_form(pressure_deg: float, clearance_deg: float) -> Mapping[str, Cell] | None:
    for row in load(__package__, "tables/known_forms"):
        if (
            row["pressure_flank_angle_deg"] == pressure_deg
            and row["clearance_flank_angle_deg"] == clearance_deg
        ):
            return row
    return None
