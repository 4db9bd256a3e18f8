"""The record of one toleranced thread, with what every family takes over from its call-out."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.designation import lead_angle_deg
from threadwright_service.calc.threads.thread import (
    NO_LIMIT,
    DiameterLimits,
    Diameters,
    LengthUnit,
    Side,
    Span,
    ThreadForm,
    ThreadLimits,
)

_NONE: Mapping[str, float] = MappingProxyType({})


def record(
    call_out: CallOut,
    *,
    designation: str,
    standard: str,
    unit: LengthUnit,
    form: ThreadForm,
    basic: Diameters,
    limits: DiameterLimits,
    rounding_rule: str,
    basis: str,
    side: Side | None = None,
    allowance: float = 0.0,
    allowances: Mapping[str, float] = _NONE,
    reference: Mapping[str, float] = _NONE,
    root_radius: Span = NO_LIMIT,
    stress_area: float | None = None,
    engagement_group: str = "",
) -> ThreadLimits:
    """Put the record together; the lead angle is that of the basic pitch diameter.

    Parameters
    ----------
    call_out : CallOut
        Gives family, series, class, size, pitch, hand, starts and engagement.
    side : "external", "internal" or None
        The computed member, where the call-out leaves it open; else the call-out's.

    Other parameters are those of :class:`~threadwright_service.calc.threads.thread.ThreadLimits`.
    """
    lead = call_out.pitch * call_out.starts
    return ThreadLimits(
        designation=designation,
        family=call_out.family,
        standard=standard,
        unit=unit,
        side=side or call_out.side,
        hand=call_out.hand,
        starts=call_out.starts,
        series=call_out.series,
        tolerance_class=call_out.tolerance_class,
        nominal_diameter=call_out.nominal_diameter,
        pitch=call_out.pitch,
        lead=lead,
        threads_per_inch=call_out.threads_per_inch,
        lead_angle_deg=lead_angle_deg(lead=lead, pitch_diameter=basic.pitch_diameter),
        form=form,
        basic=basic,
        allowance=allowance,
        allowances=MappingProxyType(dict(allowances)),
        limits=limits,
        reference=MappingProxyType(dict(reference)),
        root_radius=root_radius,
        stress_area=stress_area,
        length_of_engagement=call_out.length_of_engagement,
        length_of_engagement_group=engagement_group,
        rounding_rule=rounding_rule,
        basis=basis,
    )
