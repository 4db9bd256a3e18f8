"""The groove to be milled, as the geometry of this package needs it; millimetres throughout."""

from __future__ import annotations

from dataclasses import dataclass

from threadwright_service.calc.errors import MissingInputError, OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.threads.thread import Side, ThreadLimits


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadGroove:
    """The groove at the pitch diameter that is aimed at.

    Parameters
    ----------
    side : "external" or "internal"
    pitch_mm, lead_mm : float
        Pitch, P, and lead, L = starts · P [mm].
    pitch_diameter_mm : float
        Pitch diameter aimed at, d2 or D2 [mm].
    pressure_flank_angle_deg, clearance_flank_angle_deg : float
        The form's flank angles from the normal to the axis [deg].
    crest_diameter_mm : float
        Where the flank ends at the crest: the major diameter outside, the minor inside [mm].
    contact_diameter_mm : float
        Where the mating thread's flank ends in the groove: the basic minor diameter outside, the
        basic major diameter inside, less the rounding of its crest if that is round [mm].
    """

    side: Side
    pitch_mm: float
    lead_mm: float
    pitch_diameter_mm: float
    pressure_flank_angle_deg: float
    clearance_flank_angle_deg: float
    crest_diameter_mm: float
    contact_diameter_mm: float

    @property
    def outward(self) -> int:
        """+1 where the groove widens outwards (external), −1 where it widens inwards."""
        return 1 if self.side == "external" else -1

    @property
    def flank_angles_deg(self) -> tuple[float, float]:
        """Pressure and clearance flank angle [deg]."""
        return self.pressure_flank_angle_deg, self.clearance_flank_angle_deg


def pitch_diameter_aim_mm(*, thread: ThreadLimits, aim_ratio: float = 0.5) -> float:
    """Pitch diameter at a place in its tolerance: 0 is the smallest, 1 the largest [mm].

    Raises
    ------
    OutOfRangeError
        If the place is not from 0 to 1.
    MissingInputError
        If the thread has no two limits of the pitch diameter.

    Notes
    -----
    Source: derivation.
    """
    if not 0 <= aim_ratio <= 1:
        raise OutOfRangeError(
            f"pitch_diameter_aim is {aim_ratio:g}; a place in the tolerance is from 0 to 1",
            parameter="pitch_diameter_aim",
            value=aim_ratio,
            accepted="0 (smallest) to 1 (largest)",
        )
    limits = thread.in_millimetres().limits.pitch_diameter
    if limits.max is None or limits.min is None:
        raise MissingInputError(
            f"{thread.designation} has no two limits of the pitch diameter to aim between",
            parameter="tolerance_class",
            accepted="a class that the standard has limits for",
        )
    return limits.min + aim_ratio * (limits.max - limits.min)


def groove_of(*, thread: ThreadLimits, pitch_diameter_mm: float) -> ThreadGroove:
    """The groove of a toleranced thread, cut to a pitch diameter.

    The flank is taken to the largest crest that the limits allow (external major maximum,
    internal minor minimum), because there it is longest. Of a taper thread it is the groove in the
    plane in which the limits hold: a cone of 1 in 16 moves the two flanks of the swept groove along
    the axis by the same, and leaves its width.

    Notes
    -----
    Source: derivation.
    """
    metric = thread.in_millimetres()
    external = metric.side == "external"
    basic, limits = metric.basic, metric.limits
    crest_mm = limits.major_diameter.max if external else limits.minor_diameter.min
    if crest_mm is None:
        crest_mm = basic.major_diameter if external else basic.minor_diameter
    mating_crest_mm = basic.minor_diameter if external else basic.major_diameter
    rounding_mm = 2 * metric.form.crest_rounding_ratio * metric.pitch
    return ThreadGroove(
        side=metric.side,
        pitch_mm=metric.pitch,
        lead_mm=metric.lead,
        pitch_diameter_mm=pitch_diameter_mm,
        pressure_flank_angle_deg=metric.form.pressure_flank_angle_deg,
        clearance_flank_angle_deg=metric.form.clearance_flank_angle_deg,
        crest_diameter_mm=crest_mm,
        contact_diameter_mm=mating_crest_mm + (rounding_mm if external else -rounding_mm),
    )


def cutter_flank_angles_deg(*, groove: ThreadGroove, cutter: Cutter) -> tuple[float, float]:
    """The cutter's two flank angles [deg], in the order pressure, clearance.

    A cutter whose included angle differs from the form's is taken to share the difference
    equally between its flanks: nothing else is said by one angle.

    Notes
    -----
    Source: derivation.
    """
    off_deg = (cutter.included_angle_deg - sum(groove.flank_angles_deg)) / 2
    return groove.pressure_flank_angle_deg + off_deg, groove.clearance_flank_angle_deg + off_deg
