"""Gauges for ISO metric threads by ISO 1502.

The gauge tolerances follow from the product's tolerance of the pitch diameter. The tables' plug
values for tolerances over 50 to 200 µm were read in published gauge tables; all others, and all
ring values, are from memory, and the answer says so.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, NotTabulatedError
from threadwright_service.calc.measurement.acceptance import Band
from threadwright_service.calc.measurement.gauges.gauge import (
    GaugeLimits,
    GaugeSize,
    ThreadGauge,
    go_rule,
    not_go_rule,
)
from threadwright_service.calc.tables import Cell, load
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Formula, Trail

STANDARD: Final = "ISO 1502"
NOT_GO_TURNS: Final = 2.0

BASIC_PITCH_DIAMETER: Final = Formula(
    "basic pitch diameter, unrounded",
    "D2",
    "D - 3/4 * sqrt(3)/2 * P",
    "D P",
    unit="mm",
    source="iso-1502, gauges start from the unrounded basic size",
)
GO_PLUG: Final = Formula(
    "GO plug, middle of the pitch diameter",
    "d2_GO",
    "D2 + EI + Z_PL",
    "D2 EI Z_PL",
    unit="mm",
    source="iso-1502, plug gauges",
)
GO_PLUG_WEAR: Final = Formula(
    "GO plug, wear limit",
    "d2_wear",
    "D2 + EI + Z_PL - W_GO",
    "D2 EI Z_PL W_GO",
    unit="mm",
    source="iso-1502, plug gauges",
)
NOT_GO_PLUG: Final = Formula(
    "NOT GO plug, middle of the pitch diameter",
    "d2_NG",
    "D2 + EI + T_D2 + T_PL/2",
    "D2 EI T_D2 T_PL",
    unit="mm",
    source="iso-1502, plug gauges",
)
GO_RING: Final = Formula(
    "GO ring, middle of the pitch diameter",
    "D2_GO",
    "d2 + es - Z_R",
    "d2 es Z_R",
    unit="mm",
    source="gost-24997, p. 3, what Z_R is measured from; its sign from memory",
)
NOT_GO_RING: Final = Formula(
    "NOT GO ring, middle of the pitch diameter",
    "D2_NG",
    "d2 + es - T_d2 - T_R/2",
    "d2 es T_d2 T_R",
    unit="mm",
    source="memory, iso-1502 ring gauges",
)
CHECK_PLUG: Final = Formula(
    "check plug for a new GO ring, middle of the pitch diameter",
    "d2_CP",
    "d2 + es - Z_R - m",
    "d2 es Z_R m",
    unit="mm",
    source="memory, iso-1502 check plugs",
)

_TRUNCATED: Final = (
    "major diameter of the NOT GO plug: it needs F1, the height of the shortened flank, which is "
    "not carried"
)
_RING_MINOR: Final = "minor diameters of the rings: their tolerance is not carried"


def gauge_row(product_tolerance_um: float, kind: str) -> Mapping[str, Cell]:
    """The row of the gauge table for a product tolerance of the pitch diameter [µm].

    Parameters
    ----------
    product_tolerance_um : float
        T_d2 or T_D2 [µm]; over 24, up to and including 670.
    kind : {"plug", "ring"}

    Raises
    ------
    NotTabulatedError
        Outside that range.

    Notes
    -----
    Source: iso-1502, tables of gauge tolerances; basis in each row.

    Examples
    --------
    A tolerance of 125 µm still belongs to the range 80 to 125:

    >>> gauge_row(125.0, "plug")["Z_um"], gauge_row(125.5, "plug")["Z_um"]
    (6, 12)
    """
    for row in load(__package__, f"tables/iso_1502_{kind}"):
        # Micrometres as whole numbers: the noise of binary fractions must not move a boundary.
        if float(row["over_um"]) + 1e-6 < product_tolerance_um <= float(row["to_um"]) + 1e-6:
            return row
    raise NotTabulatedError(
        f"{STANDARD}: gauges are tabulated for product tolerances over 24 to 670 µm; this thread "
        f"has {product_tolerance_um:g} µm",
        parameter="tolerance_class",
        value=product_tolerance_um,
        accepted="a class whose pitch diameter tolerance is over 24 up to 670 µm",
    )


def iso_1502_gauges(*, thread: ThreadLimits, trail: Trail | None = None) -> GaugeLimits:
    """GO and NOT GO plug or ring for an ISO metric thread.

    Parameters
    ----------
    thread : ThreadLimits
        An ISO metric thread with both limits of the pitch diameter.
    trail : Trail, optional
        Takes the working.

    Raises
    ------
    InfeasibleError
        If the thread has no limits of the pitch diameter.
    NotTabulatedError
        If its tolerance is outside the table.

    Notes
    -----
    Source: iso-1502. The plug formulas reproduce published tables of 18 sizes; one such table
    starts from 0.6495 P instead of 0.649519 P and so prints the sizes of pitch 0.5 mm
    0.0001 mm larger. Ring formulas and values: memory.
    """
    thread = thread.in_millimetres()
    limits = thread.limits.pitch_diameter
    if limits.max is None or limits.min is None:
        raise InfeasibleError(
            "gauges follow from both limits of the pitch diameter",
            parameter="tolerance_class",
            value=thread.tolerance_class,
            accepted="a class that limits the pitch diameter",
        )
    basic = BASIC_PITCH_DIAMETER(trail, thread.nominal_diameter, thread.pitch)
    # The limits stand on the basic size rounded to the micrometre; their distance from it is exact.
    tolerance = _micrometres(limits.max - limits.min)
    if thread.side == "internal":
        deviation = _micrometres(limits.min - thread.basic.pitch_diameter)
        return _plugs(thread, basic, deviation / 1000, tolerance, trail)
    deviation = _micrometres(limits.max - thread.basic.pitch_diameter)
    return _rings(basic, deviation / 1000, tolerance, trail)


def _plugs(
    thread: ThreadLimits, basic: float, deviation: float, tolerance_um: float, trail: Trail | None
) -> GaugeLimits:
    row = gauge_row(tolerance_um, "plug")
    gauge, offset, wear_go, wear_not_go = (
        float(row[name]) / 1000 for name in ("T_um", "Z_um", "W_GO_um", "W_NG_um")
    )
    go = GO_PLUG(trail, basic, deviation, offset)
    not_go = NOT_GO_PLUG(trail, basic, deviation, tolerance_um / 1000, gauge)
    crest = thread.nominal_diameter + deviation + offset
    go_size = _size(go, gauge / 2, GO_PLUG_WEAR(trail, basic, deviation, offset, wear_go))
    not_go_size = _size(not_go, gauge / 2, not_go - wear_not_go)
    return GaugeLimits(
        standard=STANDARD,
        gauge="plug",
        go=ThreadGauge(
            profile="full",
            pitch_diameter=go_size,
            major_diameter=_size(crest, gauge, None),
            turns_allowed=None,
            rule=go_rule("plug"),
        ),
        not_go=ThreadGauge(
            profile="truncated",
            pitch_diameter=not_go_size,
            major_diameter=None,
            turns_allowed=NOT_GO_TURNS,
            rule=not_go_rule("plug", NOT_GO_TURNS),
        ),
        check_plug=None,
        accepted_pitch_diameter=Band(max_mm=not_go_size.min_mm, min_mm=go_size.max_mm),
        lead_tolerance_mm=None,
        half_angle_tolerance_arcmin=None,
        not_carried=(_TRUNCATED,),
        basis=f"sizes: {row['basis']}; turns of the NOT GO gauge: memory",
    )


def _rings(basic: float, deviation: float, tolerance_um: float, trail: Trail | None) -> GaugeLimits:
    row = gauge_row(tolerance_um, "ring")
    gauge, offset, wear_go, wear_not_go, shift, check_gauge = (
        float(row[name]) / 1000
        for name in ("T_um", "Z_um", "W_GO_um", "W_NG_um", "m_um", "T_CP_um")
    )
    go = GO_RING(trail, basic, deviation, offset)
    not_go = NOT_GO_RING(trail, basic, deviation, tolerance_um / 1000, gauge)
    check = CHECK_PLUG(trail, basic, deviation, offset, shift)
    go_size = _size(go, gauge / 2, go + wear_go)
    not_go_size = _size(not_go, gauge / 2, not_go + wear_not_go)
    return GaugeLimits(
        standard=STANDARD,
        gauge="ring",
        go=ThreadGauge(
            profile="full",
            pitch_diameter=go_size,
            major_diameter=None,
            turns_allowed=None,
            rule=go_rule("ring"),
        ),
        not_go=ThreadGauge(
            profile="truncated",
            pitch_diameter=not_go_size,
            major_diameter=None,
            turns_allowed=NOT_GO_TURNS,
            rule=not_go_rule("ring", NOT_GO_TURNS),
        ),
        check_plug=_size(check, check_gauge / 2, None),
        accepted_pitch_diameter=Band(max_mm=go_size.min_mm, min_mm=not_go_size.max_mm),
        lead_tolerance_mm=None,
        half_angle_tolerance_arcmin=None,
        not_carried=(_RING_MINOR,),
        basis=f"sizes: {row['basis']}; turns of the NOT GO gauge: memory",
    )


def _size(middle: float, half: float, wear: float | None) -> GaugeSize:
    return GaugeSize(max_mm=middle + half, min_mm=middle - half, nominal_mm=middle, wear_mm=wear)


def _micrometres(length_mm: float) -> float:
    """A difference of printed limits in micrometres, without the noise of binary fractions."""
    return math.floor(length_mm * 1e6 + 0.5) / 1e3
