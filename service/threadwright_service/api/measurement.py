"""The operations that prove a thread: over wires, and by gauges."""

from __future__ import annotations

from typing import Any

from threadwright_service.api.operation import Example, Operation, Outcome, Request
from threadwright_service.api.threads import THREAD_KEYS
from threadwright_service.api.treatments import thread_to_cut
from threadwright_service.calc.errors import REFUSALS, AmbiguousError, MissingInputError
from threadwright_service.calc.measurement.gauges.gauge import GaugeLimits
from threadwright_service.calc.measurement.gauges.gauge_limits import gauge_limits
from threadwright_service.calc.measurement.uncertainty import MeasuringErrors
from threadwright_service.calc.measurement.wires.groove import BareThread
from threadwright_service.calc.measurement.wires.wire_measurement import wire_measurement
from threadwright_service.calc.measurement.wires.wire_result import WireMeasurement
from threadwright_service.calc.threads.thread import Span, ThreadLimits
from threadwright_service.schemas.measurement import (
    BareThreadKeys,
    GaugeLimitsRequest,
    WireMeasurementRequest,
)
from threadwright_service.schemas.quantities import LENGTH

_BARE_KEYS = tuple(
    field.inner_name(key)
    for key, field in vars(BareThreadKeys).items()
    if hasattr(field, "inner_name")
)


def measured_thread_of(request: Request) -> ThreadLimits | BareThread:
    """The thread of a request: one of a standard, or a bare one by its pitch diameter.

    Raises
    ------
    CalcError
        If it is both, neither, or incomplete.
    """
    values = request.values
    bare = {key: values.pop(key) for key in _BARE_KEYS if key in values}
    if not bare:
        return thread_to_cut(request)
    for key in ("designation", "series", "tolerance_class"):
        if key in values:
            raise AmbiguousError(
                f"{key} names a thread of a standard, {_wire(next(iter(bare)))} one without",
                parameter=key,
                value=values[key],
                accepted="either a call-out, or pitch_diameter, pitch and flank_angle_deg",
            )
    for key in ("pitch_diameter_mm", "flank_angle_deg"):
        if key not in bare:
            raise MissingInputError(
                f"a thread without a standard needs {_wire(key)}",
                parameter=_wire(key),
                accepted="pitch_diameter, pitch and flank_angle_deg",
            )
    scale = LENGTH.scale(request.unit or "mm")
    pitch, count = values.pop("pitch", None), values.pop("threads_per_inch", None)
    if (pitch is None) == (count is None):
        raise MissingInputError(
            "a thread without a standard needs its pitch, or its threads per inch",
            parameter="pitch",
            accepted="pitch or threads_per_inch",
        )
    flank_deg = bare["flank_angle_deg"]
    if "side" not in values:
        request.trail.assume("side", "external", "no side given")
    thread = BareThread(
        pitch_diameter_mm=bare["pitch_diameter_mm"],
        pitch_mm=pitch * scale if pitch is not None else LENGTH.factor / count,
        pressure_flank_angle_deg=flank_deg,
        clearance_flank_angle_deg=bare.get("clearance_flank_angle_deg", flank_deg),
        starts=values.pop("starts", 1),
        side=values.pop("side", "external"),
        pitch_diameter=Span(
            max=bare.get("pitch_diameter_max_mm"), min=bare.get("pitch_diameter_min_mm")
        ),
    )
    for key in THREAD_KEYS:  # hand changes no reading; the rest has no meaning without a standard
        values.pop(key, None)
    return thread


def run_wire_measurement(request: Request) -> Outcome:
    """Wires, readings and, for a reading, pitch diameter and verdict."""
    values = request.values
    thread = measured_thread_of(request)
    errors = _errors_of(values)
    aim_ratio = values.pop("pitch_diameter_aim_ratio", None)
    result = wire_measurement(
        thread=thread,
        wire_diameter_mm=values.pop("wire_diameter_mm", None),
        opposite_wire_diameter_mm=values.pop("opposite_wire_diameter_mm", None),
        wires_on_hand_mm=values.pop("wires_on_hand_mm", ()),
        on_hand=values.pop("on_hand"),
        method=values.pop("method", None),
        measured_mm=values.pop("measured_mm", None),
        uncertainty_mm=values.pop("uncertainty_mm", None),
        errors=errors,
        acceptance_rule=values.pop("acceptance_rule"),
        guard_band_ratio=values.pop("guard_band_share_ratio", None),
        aim_ratio=aim_ratio,
        major_diameter_measured_mm=values.pop("major_diameter_mm", None),
        standard_cylinder_mm=values.pop("standard_cylinder_mm", None),
        standard_reading_mm=values.pop("standard_reading_mm", None),
        ball_reading=values.pop("ball_reading", None),
        ball_line=values.pop("ball_line"),
        temperature_c=values.pop("temperature_c", None),
        part_expansion_per_k=values.pop("part_expansion_per_k", None),
        trail=request.trail,
    )
    own = thread.unit if isinstance(thread, ThreadLimits) else "mm"
    return Outcome(result, request.unit or own)


def run_gauge_limits(request: Request) -> Outcome:
    """Sizes of the gauges for the thread."""
    thread = thread_to_cut(request)
    standard = request.values.pop("gauge_standard", None)
    result = gauge_limits(thread=thread, standard=standard, trail=request.trail)
    return Outcome(result, request.unit or thread.unit)


def _errors_of(values: dict[str, Any]) -> MeasuringErrors | None:
    """What the uncertainty is to be computed from, if any of it was given."""
    given = {
        inner: values.pop(key)
        for key, inner in (
            ("instrument_error_mm", "instrument_half_width_mm"),
            ("wire_uncertainty_mm", "wire_uncertainty_mm"),
            ("pitch_error_mm", "pitch_half_width_mm"),
            ("flank_angle_error_deg", "flank_angle_half_width_deg"),
            ("repeatability_mm", "repeatability_mm"),
        )
        if key in values
    }
    if not given:
        return None
    if "instrument_half_width_mm" not in given:
        raise MissingInputError(
            "the uncertainty is computed from instrument_error and what goes with it",
            parameter="instrument_error",
            accepted="the instrument's largest error",
        )
    return MeasuringErrors(**given)


def _wire(name: str) -> str:
    return name.removesuffix("_mm")


OPERATIONS = (
    Operation(
        name="wire-measurement",
        summary="Readings over wires, pins or balls, and what a reading says",
        description=(
            "Best, smallest and largest wire; readings at the limits and at the size aimed at, "
            "with the exact lead correction; from a reading the pitch diameter and a verdict with "
            "a guard band for the uncertainty."
        ),
        tag="measurement",
        request=WireMeasurementRequest,
        response=WireMeasurement,
        run=run_wire_measurement,
        refusals=REFUSALS,
        sources=("ASME B1.2", "NBS Handbook H28", "ISO 14253-1", "derivation"),
        examples=(
            Example(
                title="Levelling screws: readings over the best wires",
                request={"designation": "M24x1.5-6g"},
            ),
            Example(
                title="Die-clamp studs: a reading over wires on hand, with its uncertainty",
                request={
                    "designation": "3/4-16 UNF-2A",
                    "unit": "in",
                    "wire_diameter": 0.036,
                    "measured": 0.7601,
                    "uncertainty": 0.0002,
                },
            ),
            Example(
                title="Ring nuts: between balls",
                request={"designation": "1 3/8-12 UN-2B", "unit": "in", "measured": 1.3003},
            ),
        ),
    ),
    Operation(
        name="gauge-limits",
        summary="GO and NOT GO gauges with their wear limits",
        description=(
            "Pitch, major and minor diameters of GO and NOT GO plug gauges for inside threads and "
            "ring gauges for outside threads, by ISO 1502 or ASME B1.2."
        ),
        tag="measurement",
        request=GaugeLimitsRequest,
        response=GaugeLimits,
        run=run_gauge_limits,
        refusals=REFUSALS,
        sources=("ISO 1502", "ASME B1.2", "ASME B1.16M"),
        examples=(
            Example(title="Levelling screws: ring gauges", request={"designation": "M24x1.5-6g"}),
            Example(title="Ring nuts: plug gauges", request={"designation": "1 3/8-12 UN-2B"}),
        ),
    ),
)
