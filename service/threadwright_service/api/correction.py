"""The operation from measured sizes to the next correction of the cutter."""

from __future__ import annotations

from typing import Any

from threadwright_service.api.operation import Example, Operation, Outcome, Request
from threadwright_service.api.treatments import thread_to_cut
from threadwright_service.calc.errors import REFUSALS, AmbiguousError, MissingInputError
from threadwright_service.calc.measurement.correction.correction_readings import (
    Instrument,
    instrument_for,
)
from threadwright_service.calc.measurement.correction.correction_result import SizeCorrection
from threadwright_service.calc.measurement.correction.gauge_turns import (
    pitch_diameters_by_turns_mm,
)
from threadwright_service.calc.measurement.correction.size_correction import size_correction
from threadwright_service.calc.measurement.gauges.gauge_steps import correction_by_gauge
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.schemas.correction import SizeCorrectionRequest

_OF_READINGS = {
    "opposite_wire_diameter_mm": "opposite_wire_diameter_mm",
    "standard_cylinder_mm": "standard_cylinder_mm",
    "standard_reading_mm": "standard_reading_mm",
    "major_diameter_mm": "major_diameter_measured_mm",
    "ball_reading": "ball_reading",
    "ball_line": "ball_line",
}
_OF_SIZES = (
    "part_numbers",
    "corrections_mm",
    "uncertainty_mm",
    "standard_deviation_mm",
    "known_drift_per_part_mm",
    "cutter_changed_at",
    "cutter_edge_radius_mm",
)


def run_size_correction(request: Request) -> Outcome:
    """The next correction, from sizes or from gauges alone."""
    thread = thread_to_cut(request)
    values = request.values
    measured, turns = values.pop("measured_mm", None), values.pop("gauge_turns", None)
    if measured is not None and turns is not None:
        raise AmbiguousError(
            "measured and gauge_turns are both given",
            parameter="gauge_turns",
            value=turns,
            accepted="one of them",
        )
    if turns is not None:
        measured = pitch_diameters_by_turns_mm(thread, turns, trail=request.trail)
        values["method"] = _method_beside_turns(values)
    result = (
        _by_gauge(thread, request)
        if measured is None
        else _by_sizes(thread, tuple(measured), request)
    )
    return Outcome(result, request.unit or thread.unit)


def _method_beside_turns(values: dict[str, Any]) -> str:
    """Turns make pitch diameters; another method contradicts them."""
    method = str(values.get("method", "pitch-diameter"))
    if method != "pitch-diameter":
        raise AmbiguousError(
            f"gauge_turns are no readings of {method}",
            parameter="method",
            value=method,
            accepted="no method, or measured in place of gauge_turns",
        )
    return method


def _by_sizes(
    thread: ThreadLimits, measured_mm: tuple[float, ...], request: Request
) -> SizeCorrection:
    values, trail = request.values, request.trail
    for key in ("gauge_not_go", "gauge_go_just_passed"):
        if key in values:
            raise AmbiguousError(
                f"{key} is for parts of which no size is known",
                parameter=key,
                value=values[key],
                accepted="gauge_go alone beside measured, or the gauges without measured",
            )
    instrument = _instrument(thread, values, request)
    sizes = measured_mm
    if instrument is not None:
        sizes = instrument.pitch_diameters_mm(measured_mm, trail)
    result = size_correction(
        thread=thread,
        pitch_diameters_mm=sizes,
        aim_ratio=values.pop("pitch_diameter_aim_ratio", None),
        wear_start=values.pop("wear_start", False),
        go=values.pop("gauge_go", None),
        trail=trail,
        **{key: values.pop(key) for key in _OF_SIZES if key in values},
    )
    return result if instrument is None else instrument.with_readings(result)


def _instrument(
    thread: ThreadLimits, values: dict[str, Any], request: Request
) -> Instrument | None:
    """How the sizes were read; ``None`` if they are pitch diameters."""
    method = values.pop("method", None)
    wire_mm = values.pop("wire_diameter_mm", None)
    given = {_OF_READINGS[key]: values.pop(key) for key in _OF_READINGS if key in values}
    if method == "pitch-diameter" or (method is None and wire_mm is None):
        if wire_mm is not None or given:
            stray = "wire_diameter" if wire_mm is not None else _wire(next(iter(given)))
            raise AmbiguousError(
                f"{stray} belongs to readings, but the sizes are pitch diameters",
                parameter=stray,
                accepted="a method and wire_diameter, or pitch diameters alone",
            )
        if method is None:
            request.trail.assume(
                "method", "pitch-diameter", "neither method nor wire_diameter given"
            )
        return None
    return instrument_for(
        thread=thread, method=method, wire_diameter_mm=wire_mm, trail=request.trail, **given
    )


def _by_gauge(thread: ThreadLimits, request: Request) -> SizeCorrection:
    values = request.values
    go = values.pop("gauge_go", None)
    if go is None:
        raise MissingInputError(
            "nothing was measured or gauged",
            parameter="measured",
            accepted="measured sizes, or gauge_go and gauge_not_go",
        )
    stray = next(
        (key for key in (*_OF_SIZES, *_OF_READINGS, "wire_diameter_mm") if key in values), ""
    )
    if stray:
        raise AmbiguousError(
            f"{_wire(stray)} goes with measured sizes, of which none is given",
            parameter=_wire(stray),
            accepted="measured sizes, or the gauges alone",
        )
    return correction_by_gauge(
        thread=thread,
        go=go,
        not_go=values.pop("gauge_not_go", None),
        go_just_passed=values.pop("gauge_go_just_passed", False),
        trail=request.trail,
    )


def _wire(name: str) -> str:
    return name.removesuffix("_mm").removesuffix("_measured")


OPERATIONS = (
    Operation(
        name="size-correction",
        summary="The next correction of the cutter from measured sizes",
        description=(
            "From one or many pitch diameters, or readings over wires, pins or balls: the metal "
            "left on, the correction of the cutter's radius (halved once), the size expected after "
            "it, the drift with its uncertainty, the parts until the next correction, the zones of "
            "pre-control, and whether the last part is worth another cut. With GO and NOT GO "
            "gauges alone it says the next step; of a taper thread the turns of its gauge do."
        ),
        tag="measurement",
        request=SizeCorrectionRequest,
        response=SizeCorrection,
        run=run_size_correction,
        refusals=REFUSALS,
        sources=("ISO 14253-1", "articles on pre-control", "derivation"),
        examples=(
            Example(
                title="Levelling screws: the first article over wires",
                request={
                    "designation": "M24x1.5-6g",
                    "unit": "mm",
                    "measured": [24.36],
                    "wire_diameter": 0.895,
                    "uncertainty": 0.005,
                },
            ),
            Example(
                title="Ring nuts: six parts, an offset in between, started for wear",
                request={
                    "designation": "1 3/8-12 UN-2B",
                    "unit": "in",
                    "measured": [1.3225, 1.3262, 1.3259, 1.3257, 1.3254, 1.3252],
                    "corrections": [0, -0.0018, 0, 0, 0, 0],
                    "uncertainty": 0.0002,
                    "wear_start": True,
                },
            ),
            Example(
                title="Die-clamp studs: gauges alone",
                request={"designation": "3/4-16 UNF-2A", "gauge_go": "refuses"},
            ),
        ),
        rows="parts",
    ),
)
