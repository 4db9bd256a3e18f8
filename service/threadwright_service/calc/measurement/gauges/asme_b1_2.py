"""Gauges whose tolerance lies inside the product's limits: ASME B1.2 (inch) and B1.16M (metric).

The gauge pitch diameters are the product's own limits (50 published values of a metric chart
agree). Amount and direction of the X tolerance stand in a public chart up to 1.5 in; above that
size they are from memory. For metric gauges no amount is carried at all.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, NotTabulatedError
from threadwright_service.calc.measurement.acceptance import Band
from threadwright_service.calc.measurement.gauges.gauge import (
    GaugeKind,
    GaugeLimits,
    GaugeSize,
    GaugeStandard,
    ThreadGauge,
    go_rule,
    not_go_rule,
)
from threadwright_service.calc.tables import Cell, load
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail
from threadwright_service.calc.units import MM_PER_IN

SIZE_STEP_IN: Final = 1.5
SIZE_MAX_IN: Final = 4.0
NOT_GO_TURNS: Final = 3.0

_CRESTS: Final = (
    "tolerances of the gauges' major and minor diameters, and the truncated crest of the NOT GO "
    "gauges: not carried"
)
_METRIC_X: Final = "X tolerances of metric gauges: not carried"
_REFERENCE: Final = "class W, for setting and reference gauges: not carried"


def x_tolerances(*, nominal_diameter_in: float, threads_per_inch: float) -> Mapping[str, Cell]:
    """Class X tolerances of inch thread gauges.

    Parameters
    ----------
    nominal_diameter_in : float
        Nominal size [in]; above 0, up to 4.
    threads_per_inch : float
        n; 4 to 80, inside one of the table's groups.

    Returns
    -------
    mapping
        ``pitch_diameter_in``, ``lead_in``, ``half_angle_arcmin`` and ``basis``.

    Raises
    ------
    NotTabulatedError
        Outside the table.

    Notes
    -----
    Source: pitch-diameter-chart, #0-80 to 1-20; memory of asme-b1-2 above 1.5 in and below 8
    threads per inch.

    Examples
    --------
    >>> x_tolerances(nominal_diameter_in=0.75, threads_per_inch=10.0)["pitch_diameter_in"]
    0.0003
    """
    if not 0 < nominal_diameter_in <= SIZE_MAX_IN:
        raise NotTabulatedError(
            f"the X tolerances are carried up to {SIZE_MAX_IN:g} in; this thread has "
            f"{nominal_diameter_in:g} in",
            parameter="nominal_diameter",
            value=nominal_diameter_in,
            accepted="above 0, up to 4 in",
        )
    for row in load(__package__, "tables/asme_b1_2_x"):
        if float(row["from_per_inch"]) >= threads_per_inch >= float(row["to_per_inch"]):
            large = nominal_diameter_in > SIZE_STEP_IN
            return {
                "pitch_diameter_in": row["over_1_5_in" if large else "to_1_5_in"],
                "lead_in": row["lead_in"],
                "half_angle_arcmin": row["half_angle_arcmin"],
                "basis": row["basis_over_1_5" if large else "basis_to_1_5"],
            }
    raise NotTabulatedError(
        f"the X tolerances have no group for {threads_per_inch:g} threads per inch",
        parameter="threads_per_inch",
        value=threads_per_inch,
        accepted="80 to 48, 44 to 36, 32 to 20, 18 to 9, 8 to 4",
    )


def asme_gauges(
    *, thread: ThreadLimits, standard: GaugeStandard = "ASME B1.2", trail: Trail | None = None
) -> GaugeLimits:
    """GO and NOT GO plug or ring whose tolerance lies inside the product's limits.

    Parameters
    ----------
    thread : ThreadLimits
        A Unified thread (ASME B1.2) or an ISO metric thread (ASME B1.16M).
    standard : {"ASME B1.2", "ASME B1.16M"}
    trail : Trail, optional
        Takes the working.

    Raises
    ------
    InfeasibleError
        If the thread has no limits of the pitch diameter.
    NotTabulatedError
        If an inch thread is outside the table of X tolerances.

    Notes
    -----
    Source: asme-b1-16m, public gauge chart, for the sizes; pitch-diameter-chart and memory of
    asme-b1-2 for the tolerance and its direction. A GO gauge worn to the product's limit is
    withdrawn: derivation, as beyond it parts outside the limits would pass.
    """
    metric = standard == "ASME B1.16M"
    own = thread.in_millimetres() if metric else thread.in_inches()
    factor = 1.0 if metric else MM_PER_IN
    limits = own.limits.pitch_diameter
    if limits.max is None or limits.min is None:
        raise InfeasibleError(
            "gauges follow from both limits of the pitch diameter",
            parameter="tolerance_class",
            value=thread.tolerance_class,
            accepted="a class that limits the pitch diameter",
        )
    x_row = (
        None
        if metric
        else x_tolerances(nominal_diameter_in=own.nominal_diameter, threads_per_inch=1 / own.pitch)
    )
    x = None if x_row is None else float(x_row["pitch_diameter_in"])
    plug = own.side == "internal"
    if trail is not None and x is not None and x_row is not None:
        trail.step(
            "X tolerance of the gauge's pitch diameter",
            "X",
            "table",
            {"D": own.nominal_diameter, "n": 1 / own.pitch},
            x,
            "in",
            f"asme-b1-2, {x_row['basis']}",
        )
    # Inside the product's limits: upwards from its smallest size, downwards from its largest.
    go, not_go = (
        (_upwards(limits.min, x, factor, limits.min), _downwards(limits.max, x, factor, None))
        if plug
        else (_downwards(limits.max, x, factor, limits.max), _upwards(limits.min, x, factor, None))
    )
    return _gauges(own, standard, x_row, factor, go, not_go)


def _gauges(
    own: ThreadLimits,
    standard: GaugeStandard,
    x_row: Mapping[str, Cell] | None,
    factor: float,
    go: GaugeSize,
    not_go: GaugeSize,
) -> GaugeLimits:
    kind: GaugeKind = "plug" if own.side == "internal" else "ring"
    crest = own.limits.major_diameter.min if kind == "plug" else None
    accepted = (
        Band(max_mm=not_go.min_mm, min_mm=go.max_mm)
        if kind == "plug"
        else Band(max_mm=go.min_mm, min_mm=not_go.max_mm)
    )
    sizes = (
        "sizes: published chart (the product's limits)"
        if x_row is None
        else f"sizes: the product's limits, X tolerances and their direction: {x_row['basis']}"
    )
    return GaugeLimits(
        standard=standard,
        gauge=kind,
        go=ThreadGauge(
            profile="full",
            pitch_diameter=go,
            major_diameter=None
            if crest is None
            else GaugeSize(
                max_mm=None, min_mm=crest * factor, nominal_mm=crest * factor, wear_mm=None
            ),
            turns_allowed=None,
            rule=go_rule(kind),
        ),
        not_go=ThreadGauge(
            profile="truncated",
            pitch_diameter=not_go,
            major_diameter=None,
            turns_allowed=NOT_GO_TURNS,
            rule=not_go_rule(kind, NOT_GO_TURNS),
        ),
        check_plug=None,
        accepted_pitch_diameter=accepted,
        lead_tolerance_mm=None if x_row is None else float(x_row["lead_in"]) * factor,
        half_angle_tolerance_arcmin=None if x_row is None else float(x_row["half_angle_arcmin"]),
        not_carried=(_CRESTS, _METRIC_X) if x_row is None else (_CRESTS, _REFERENCE),
        basis=f"{sizes}; turns of the NOT GO gauge: memory",
    )


def _upwards(size: float, x: float | None, factor: float, wear: float | None) -> GaugeSize:
    return GaugeSize(
        max_mm=None if x is None else (size + x) * factor,
        min_mm=size * factor,
        nominal_mm=size * factor,
        wear_mm=None if wear is None else wear * factor,
    )


def _downwards(size: float, x: float | None, factor: float, wear: float | None) -> GaugeSize:
    return GaugeSize(
        max_mm=size * factor,
        min_mm=None if x is None else (size - x) * factor,
        nominal_mm=size * factor,
        wear_mm=None if wear is None else wear * factor,
    )
