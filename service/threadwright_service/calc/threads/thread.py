"""What every thread standard answers with: one record for all families.

A standard is computed in the unit in which it is authoritative, so the record states its
``unit`` once and its lengths carry no unit in their names. :meth:`ThreadLimits.in_millimetres`
gives the same thread for the mechanics, which work in millimetres throughout.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Literal

from threadwright_service.calc.quick_record import maker_of
from threadwright_service.calc.units import MM_PER_IN

LengthUnit = Literal["in", "mm"]
Side = Literal["external", "internal"]
Hand = Literal["right", "left"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadForm:
    """The thread's profile in the axial plane, as shares of the pitch.

    The pitch line halves the pitch: groove and ridge are each P/2 wide on it.

    Parameters
    ----------
    name : str
        The form in words, with its angle.
    pressure_flank_angle_deg, clearance_flank_angle_deg : float
        Angle of each flank from the normal to the axis [deg]; equal for symmetric forms.
    addendum_ratio : float
        Pitch line to the external crest (basic major), in pitches.
    dedendum_ratio : float
        Pitch line to the basic internal crest (basic minor), in pitches.
    external_root_ratio : float
        Pitch line to the sharpest root line that the standard's external form reaches (its
        design root), in pitches.
    internal_root_ratio : float
        Pitch line to the design root of the internal form, in pitches.
    external_root_flat_ratio, internal_root_flat_ratio : float
        Width of the design root flat, in pitches; 0 where the form prints a radius alone.
    taper_ratio : float
        Taper on diameter, e.g. 1/16; 0 for parallel threads.
    crest_radius_ratio : float
        Radius of the crests of both members, in pitches; 0 where they are flat.
    """

    name: str
    pressure_flank_angle_deg: float
    clearance_flank_angle_deg: float
    addendum_ratio: float
    dedendum_ratio: float
    external_root_ratio: float
    internal_root_ratio: float
    external_root_flat_ratio: float
    internal_root_flat_ratio: float
    taper_ratio: float = 0.0
    crest_radius_ratio: float = 0.0

    @property
    def crest_rounding_ratio(self) -> float:
        """From a rounded crest to where the straight flank begins, radially, in pitches.

        Notes
        -----
        Source: derivation: an arc that touches a flank at the angle a from the normal to the axis
        ends r (1 - sin a) from its top.
        """
        steepest = math.sin(math.radians(self.pressure_flank_angle_deg))
        return self.crest_radius_ratio * (1 - steepest)

    @property
    def is_symmetric(self) -> bool:
        """Whether both flanks stand at the same angle."""
        return self.pressure_flank_angle_deg == self.clearance_flank_angle_deg

    @property
    def included_angle_deg(self) -> float:
        """Angle between the flanks [deg]."""
        return self.pressure_flank_angle_deg + self.clearance_flank_angle_deg


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Largest and smallest size; ``None`` where the standard sets no limit."""

    max: float | None
    min: float | None

    @property
    def tolerance(self) -> float | None:
        """Difference of the two, where both exist."""
        return None if self.max is None or self.min is None else self.max - self.min


@dataclass(frozen=True, slots=True, kw_only=True)
class Diameters:
    """Basic diameters, in the record's unit."""

    major_diameter: float
    pitch_diameter: float
    minor_diameter: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DiameterLimits:
    """Limits of size, in the record's unit."""

    major_diameter: Span
    pitch_diameter: Span
    minor_diameter: Span


make_span = maker_of(Span)
"""The same in the quick way: by position, largest first."""
make_diameters = maker_of(Diameters)
make_diameter_limits = maker_of(DiameterLimits)

NO_LIMIT = Span(max=None, min=None)
State = Literal["finished", "before-coating", "before-hardening", "before-hardening-and-coating"]
FINISHED: State = "finished"
NamedSizes = MappingProxyType[str, float] | dict[str, float]
NONE_NAMED = MappingProxyType[str, float]({})
NO_LENGTH = ("_threads", "_turns", "_ratio", "_deg")
"""Ends of the reference keys whose values are counts, shares or angles."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadLimits:
    """One toleranced thread, complete; lengths in ``unit``.

    ``allowance`` is that of the pitch diameter, never negative; ``allowances`` names those of
    the other diameters where the standard gives them different ones. ``reference`` holds sizes
    that are printed but are no limits; a key that ends in ``_threads``, ``_turns``, ``_ratio``
    or ``_deg`` is no length and keeps its value in every unit. ``basis`` says what the numbers
    rest on: a published table, a formula that reproduces published rows, or memory alone.
    ``state`` says of which part the limits are: the finished one, or the one that is still to be
    coated or hardened.
    """

    designation: str
    family: str
    standard: str
    unit: LengthUnit
    side: Side
    hand: Hand
    starts: int
    series: str
    tolerance_class: str
    nominal_diameter: float
    pitch: float
    lead: float
    threads_per_inch: float | None
    lead_angle_deg: float
    form: ThreadForm
    basic: Diameters
    allowance: float
    allowances: NamedSizes = field(default_factory=lambda: NONE_NAMED)
    limits: DiameterLimits
    reference: NamedSizes = field(default_factory=lambda: NONE_NAMED)
    root_radius: Span = NO_LIMIT
    stress_area: float | None = None
    length_of_engagement: float | None = None
    length_of_engagement_group: str = ""
    rounding_rule: str
    basis: str
    state: State = FINISHED

    def in_millimetres(self) -> ThreadLimits:
        """The same thread with every length in millimetres, unrounded."""
        return self if self.unit == "mm" else self.scaled(MM_PER_IN, "mm")

    def in_inches(self) -> ThreadLimits:
        """The same thread with every length in inches, unrounded."""
        return self if self.unit == "in" else self.scaled(1 / MM_PER_IN, "in")

    def scaled(self, factor: float, unit: LengthUnit) -> ThreadLimits:
        """The same thread with every length multiplied, areas twice."""

        def span(value: Span) -> Span:
            return Span(
                max=None if value.max is None else value.max * factor,
                min=None if value.min is None else value.min * factor,
            )

        return replace(
            self,
            unit=unit,
            nominal_diameter=self.nominal_diameter * factor,
            pitch=self.pitch * factor,
            lead=self.lead * factor,
            basic=Diameters(
                major_diameter=self.basic.major_diameter * factor,
                pitch_diameter=self.basic.pitch_diameter * factor,
                minor_diameter=self.basic.minor_diameter * factor,
            ),
            allowance=self.allowance * factor,
            allowances=MappingProxyType({k: v * factor for k, v in self.allowances.items()}),
            limits=DiameterLimits(
                major_diameter=span(self.limits.major_diameter),
                pitch_diameter=span(self.limits.pitch_diameter),
                minor_diameter=span(self.limits.minor_diameter),
            ),
            reference=MappingProxyType(
                {k: v if k.endswith(NO_LENGTH) else v * factor for k, v in self.reference.items()}
            ),
            root_radius=span(self.root_radius),
            stress_area=None if self.stress_area is None else self.stress_area * factor**2,
            length_of_engagement=None
            if self.length_of_engagement is None
            else self.length_of_engagement * factor,
        )


make_thread_limits = maker_of(ThreadLimits)
"""The same in the quick way: every field, by position, in the order of the record."""
