"""From measured pitch diameters to the next correction of the cutter radius.

Everything is reckoned as metal left on the pitch diameter: more metal is a larger external and a
smaller internal pitch diameter. Seen so, outside and inside threads behave alike: a cutter that
wears leaves more metal from part to part, and a negative radius correction takes metal off.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.measurement.acceptance import Acceptance, acceptance, verdict
from threadwright_service.calc.measurement.correction.correction_cautions import note_cautions
from threadwright_service.calc.measurement.correction.correction_decision import (
    State,
    decide,
)
from threadwright_service.calc.measurement.correction.correction_result import (
    DriftTold,
    MeasuredPart,
    SizeCorrection,
)
from threadwright_service.calc.measurement.correction.correction_series import (
    Series,
    gain_of,
    series_of,
)
from threadwright_service.calc.measurement.correction.correction_target import (
    Band,
    band_of,
    guard_band_mm,
    target_of,
)
from threadwright_service.calc.measurement.correction.drift import Drift, drift_of, student_t_ratio
from threadwright_service.calc.measurement.correction.pre_control import is_qualified, pre_control
from threadwright_service.calc.measurement.correction.recut import edge_radius_mm, recut_of
from threadwright_service.calc.measurement.gauges.gauge_steps import GaugeResult, note_form_error
from threadwright_service.calc.threads.thread import Span, ThreadLimits
from threadwright_service.calc.trail import Formula, Trail

EXCESS: Final = Formula(
    "metal left on above the target",
    "x",
    "d*(E - E_t)",
    "d E E_t",
    unit="mm",
    source="derivation, d = 1 outside and -1 inside",
)
_NORMAL_RATIO: Final = 1.96
"""What Student's t becomes for many parts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Trend:
    """What the series shows: how far an offset acts, the drift, and the spread to plan with.

    ``slope_mm`` is the drift in metal left on for each part: the one found, else a known one.
    """

    gain_ratio: float
    drift: Drift
    slope_mm: float | None
    spread_mm: float | None


def size_correction(
    *,
    thread: ThreadLimits,
    pitch_diameters_mm: Sequence[float],
    part_numbers: Sequence[int] | None = None,
    corrections_mm: Sequence[float] | None = None,
    uncertainty_mm: float | None = None,
    standard_deviation_mm: float | None = None,
    aim_ratio: float | None = None,
    wear_start: bool = False,
    known_drift_per_part_mm: float | None = None,
    cutter_changed_at: int | None = None,
    cutter_edge_radius_mm: float | None = None,
    go: GaugeResult | None = None,
    trail: Trail | None = None,
) -> SizeCorrection:
    """The next correction from one or many measured pitch diameters.

    Parameters
    ----------
    thread : ThreadLimits
        The thread, with the limits that the part must have when it is measured (before coating, if
        it is coated afterwards); in either unit.
    pitch_diameters_mm : sequence of float
        Measured pitch diameters in the order in which the parts were made [mm].
    part_numbers : sequence of int, optional
        Running numbers, where not every part was measured.
    corrections_mm : sequence of float, optional
        What was added to the radius offset before each part was made [mm]; 0 where nothing was.
    uncertainty_mm : float, optional
        Expanded uncertainty of a pitch diameter, U (k = 2) [mm]; the guard band at each limit.
    standard_deviation_mm : float, optional
        Spread from part to part, if known from earlier lots [mm]; from five parts on it is taken
        from the series.
    aim_ratio : float, optional
        Where to aim: 0 at the smallest, 1 at the largest pitch diameter; the middle by default.
    wear_start : bool
        Aim at the side of the tolerance that the wear walks away from.
    known_drift_per_part_mm : float, optional
        Drift of the pitch diameter for each part, known from earlier lots [mm]; used until the
        series gives one.
    cutter_changed_at : int, optional
        Running number of the first part made with a new cutter; earlier parts are left out.
    cutter_edge_radius_mm : float, optional
        Radius of the cutting edge [mm], above 0, at most 0.2; 0.015 is assumed.
    go : "passes" or "refuses", optional
        What a GO gauge did with the last part, where it was tried too.
    trail : Trail, optional
        Takes assumptions, cautions and working.

    Raises
    ------
    CalcError
        If sizes, limits and numbers do not go together; see :func:`.correction_series.series_of`
        and :func:`.correction_target.target_of`.

    Notes
    -----
    Source: derivation for the correction, the band and the drift; pre-control-articles for the
    zones. While no drift is proved the mean of all readings, with the corrections taken out, is
    corrected; after n parts that moves the offset by 1/n of the last deviation, as Grubbs' rule for
    setting up has it (memory).
    """
    thread = thread.in_millimetres()
    band = band_of(thread)
    guard_mm = guard_band_mm(band, uncertainty_mm)
    _check_spread(standard_deviation_mm, known_drift_per_part_mm, band)
    every = series_of(
        thread=thread,
        band=band,
        pitch_diameters_mm=pitch_diameters_mm,
        part_numbers=part_numbers,
        corrections_mm=corrections_mm,
        trail=trail,
    )
    series = _since_change(every, cutter_changed_at)
    trend = _trend_of(
        series=series,
        known_slope_mm=None
        if known_drift_per_part_mm is None
        else band.outward * known_drift_per_part_mm,
        uncertainty_mm=uncertainty_mm,
        standard_deviation_mm=standard_deviation_mm,
        trail=trail,
    )
    target = target_of(
        band=band,
        guard_mm=guard_mm,
        spread_mm=trend.spread_mm,
        aim_ratio=aim_ratio,
        wear_start=wear_start,
        drift_direction=-1 if trend.slope_mm is not None and trend.slope_mm < 0 else 1,
        trail=trail,
    )
    state = State(
        band=band,
        series=series,
        gain_ratio=trend.gain_ratio,
        drift=trend.drift,
        slope_mm=trend.slope_mm,
        spread_mm=trend.spread_mm,
        uncertainty_mm=uncertainty_mm,
        guard_mm=guard_mm,
        target=target,
        wear_start=wear_start,
        zones=pre_control(max_mm=band.max_mm, min_mm=band.min_mm),
    )
    edge_mm = edge_radius_mm(cutter_edge_radius_mm, trail)
    result = _answer(thread, state, every, edge_mm, trail)
    if go == "refuses" and result.verdict == "accept" and trail is not None:
        note_form_error(trail)
    return result


def _check_spread(
    standard_deviation_mm: float | None, known_drift_mm: float | None, band: Band
) -> None:
    whole = 2 * band.half_mm
    if standard_deviation_mm is not None and not 0 < standard_deviation_mm <= whole:
        raise OutOfRangeError(
            f"a standard deviation of {standard_deviation_mm:g} mm is not above 0 and at most the "
            f"tolerance of {whole:.6g} mm",
            parameter="standard_deviation",
            value=standard_deviation_mm,
            accepted=f"above 0 mm and at most {whole:.6g} mm",
        )
    if known_drift_mm is not None and not abs(known_drift_mm) <= whole:
        raise OutOfRangeError(
            f"a drift of {known_drift_mm:g} mm for each part is more than the tolerance of "
            f"{whole:.6g} mm",
            parameter="known_drift_per_part",
            value=known_drift_mm,
            accepted=f"-{whole:.6g} mm to {whole:.6g} mm",
        )


def _since_change(series: Series, cutter_changed_at: int | None) -> Series:
    """The parts of the present cutter."""
    if cutter_changed_at is None:
        return series
    if not 1 <= cutter_changed_at <= series.numbers[-1]:
        raise OutOfRangeError(
            f"no part from number {cutter_changed_at} on was measured",
            parameter="cutter_changed_at",
            value=cutter_changed_at,
            accepted=f"1 to {series.numbers[-1]}",
        )
    return series.since(cutter_changed_at)


def _trend_of(
    *,
    series: Series,
    known_slope_mm: float | None,
    uncertainty_mm: float | None,
    standard_deviation_mm: float | None,
    trail: Trail | None,
) -> _Trend:
    gain, _ = gain_of(
        series=series,
        reading_spread_mm=_reading_spread_mm(uncertainty_mm, standard_deviation_mm),
        drift_mm=known_slope_mm or 0.0,
        trail=trail,
    )
    drift = drift_of(
        part_numbers=series.numbers, sizes_mm=series.without_corrections_mm(gain), trail=trail
    )
    return _Trend(
        gain_ratio=gain,
        drift=drift,
        slope_mm=drift.estimate_mm if drift.is_significant else known_slope_mm,
        spread_mm=_spread_mm(drift, standard_deviation_mm),
    )


def _reading_spread_mm(
    uncertainty_mm: float | None, standard_deviation_mm: float | None
) -> float | None:
    """Standard deviation of one reading: instrument (U is two of them) and process."""
    if uncertainty_mm is None:
        return None
    return math.hypot(uncertainty_mm / 2, standard_deviation_mm or 0.0) or None


def _spread_mm(drift: Drift, given_mm: float | None) -> float | None:
    """Spread from part to part to plan with; widened by Student's t while the parts are few."""
    found = drift.standard_deviation_mm
    if found is None:
        return given_mm
    found *= student_t_ratio(drift.parts - 2) / _NORMAL_RATIO
    return found if given_mm is None else max(found, given_mm)


def _answer(
    thread: ThreadLimits, state: State, every: Series, edge_mm: float, trail: Trail | None
) -> SizeCorrection:
    """Decide, judge the last part, and put the answer together."""
    band, target = state.band, state.target
    limits = Span(max=band.max_mm, min=band.min_mm)
    judged = acceptance(limits=limits, uncertainty_mm=state.uncertainty_mm, trail=trail)
    parts = _parts(state, every, limits, judged, trail)
    decision = decide(state, trail)
    now = decision.radius_correction_mm if decision.action == "correct" else 0.0
    zones = [state.zones.zone(size) for size in state.series.sizes_mm]
    zones = zones[-state.series.parts_at_this_setting :]
    slope = state.slope_mm
    told = _told(state)
    result = SizeCorrection(
        pitch_diameter_mm=every.sizes_mm,
        excess_mm=decision.excess_mm,
        excess_uncertainty_mm=_excess_uncertainty_mm(state),
        gain_ratio=state.gain_ratio,
        radius_correction_mm=decision.radius_correction_mm,
        diameter_correction_mm=2 * decision.radius_correction_mm,
        action=decision.action,
        action_reason=decision.reason,
        radius_correction_now_mm=now,
        diameter_correction_now_mm=2 * now,
        expected_pitch_diameter_mm=band.pitch_diameter_mm(decision.expected_left_mm),
        drift_per_part_mm=None if slope is None else band.outward * slope,
        drift_per_part_uncertainty_mm=told.uncertainty_mm if told.is_significant else None,
        next_correction_after_parts=decision.next_correction_after_parts,
        next_correction_reason=decision.next_correction_reason,
        measure_every_parts=decision.measure_every_parts,
        verdict=parts[-1].verdict,
        recut=recut_of(thread, state, parts[-1], edge_mm, trail),
        target=target,
        drift=told,
        pre_control=state.zones,
        is_qualified=is_qualified(zones),
        parts=parts,
        procedure=(),
    )
    note_cautions(result, state, trail)
    return result


def _parts(
    state: State, every: Series, limits: Span, judged: Acceptance, trail: Trail | None
) -> tuple[MeasuredPart, ...]:
    """Every part with its excess, zone and verdict; only the last one's excess is shown worked."""
    target = state.target.pitch_diameter_mm
    last = len(every.numbers) - 1
    return tuple(
        MeasuredPart(
            number=number,
            pitch_diameter_mm=size,
            excess_mm=EXCESS(trail if index == last else None, state.band.outward, size, target),
            zone=state.zones.zone(size),
            verdict=verdict(pitch_diameter_mm=size, limits=limits, judged=judged),
        )
        for index, (number, size) in enumerate(zip(every.numbers, every.sizes_mm, strict=True))
    )


def _told(state: State) -> DriftTold:
    """The drift in pitch diameter."""
    drift, outward = state.drift, state.band.outward
    return DriftTold(
        parts=drift.parts,
        estimate_mm=None if drift.estimate_mm is None else outward * drift.estimate_mm,
        uncertainty_mm=drift.uncertainty_mm,
        is_significant=drift.is_significant,
        standard_deviation_mm=drift.standard_deviation_mm,
        reason=drift.reason,
    )


def _excess_uncertainty_mm(state: State) -> float | None:
    """Of the mean size (k = 2): the measurement, and the spread shared out over the parts."""
    if state.uncertainty_mm is None:
        return None
    spread = state.spread_mm or 0.0
    return math.hypot(state.uncertainty_mm, 2 * spread / math.sqrt(state.drift.parts))
