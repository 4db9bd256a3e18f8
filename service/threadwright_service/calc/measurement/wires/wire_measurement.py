"""Measurement of one thread over wires, pins or balls, from limits to reading to verdict."""

from __future__ import annotations

from collections.abc import Sequence

from threadwright_service.calc.errors import AmbiguousError, OutOfRangeError
from threadwright_service.calc.measurement.acceptance import AcceptanceRule, acceptance_of_limits
from threadwright_service.calc.measurement.plausible_size import check_plausible
from threadwright_service.calc.measurement.temperature import reading_at_reference_mm
from threadwright_service.calc.measurement.uncertainty import (
    MeasuringErrors,
    UncertaintyBudget,
    uncertainty_budget,
)
from threadwright_service.calc.measurement.wires.groove import (
    BareThread,
    Groove,
    check_lead_angle,
    groove_of,
)
from threadwright_service.calc.measurement.wires.measuring import Measuring
from threadwright_service.calc.measurement.wires.pins import OnHand, chosen_wires
from threadwright_service.calc.measurement.wires.reading import (
    check_method,
    pitch_diameter_of_reading_mm,
    setup_of,
)
from threadwright_service.calc.measurement.wires.wire_answer import wire_answer
from threadwright_service.calc.measurement.wires.wire_cautions import note_cautions
from threadwright_service.calc.measurement.wires.wire_range import wire_range
from threadwright_service.calc.measurement.wires.wire_result import WireMeasurement
from threadwright_service.calc.measurement.wires.wires import BallLine, BallReading, Method
from threadwright_service.calc.threads.thread import Span, ThreadLimits
from threadwright_service.calc.trail import Trail


def wire_measurement(
    *,
    thread: ThreadLimits | BareThread,
    wire_diameter_mm: float | None = None,
    opposite_wire_diameter_mm: float | None = None,
    wires_on_hand_mm: Sequence[float] = (),
    on_hand: OnHand = "sets",
    method: Method | None = None,
    measured_mm: float | None = None,
    uncertainty_mm: float | None = None,
    errors: MeasuringErrors | None = None,
    acceptance_rule: AcceptanceRule = "guard-band",
    guard_band_ratio: float | None = None,
    aim_ratio: float | None = None,
    major_diameter_measured_mm: float | None = None,
    standard_cylinder_mm: float | None = None,
    standard_reading_mm: float | None = None,
    ball_reading: BallReading | None = None,
    ball_line: BallLine = "square",
    temperature_c: float | None = None,
    part_expansion_per_k: float | None = None,
    trail: Trail | None = None,
) -> WireMeasurement:
    """Wires for a thread, readings at its limits, and the verdict on a reading.

    Parameters
    ----------
    thread : ThreadLimits or BareThread
        The thread; one of a standard may be in either unit.
    wire_diameter_mm : float, optional
        Wire, pin or ball diameter, W [mm]; the best one by default.
    opposite_wire_diameter_mm : float, optional
        Size on the other side, where it differs [mm].
    wires_on_hand_mm : sequence of float
        Sizes to choose from instead [mm]; see :func:`.pins.choose_pins` for ``on_hand``.
    method : {"three-wire", "two-wire", "one-wire", "balls"}, optional
        Three wires outside and balls inside by default.
    measured_mm : float, optional
        A reading [mm].
    uncertainty_mm : float, optional
        Expanded uncertainty of the pitch diameter, U (k = 2) [mm].
    errors : MeasuringErrors, optional
        What U is computed from instead.
    acceptance_rule, guard_band_ratio
        See :func:`.reading.acceptance`.
    aim_ratio : float, optional
        Size aimed at, 0 (smallest pitch diameter) to 1 (largest); 0.5 by default.
    major_diameter_measured_mm, standard_cylinder_mm, standard_reading_mm, ball_reading, ball_line
        See :func:`.reading.pitch_diameter_from_reading`.
    temperature_c : float, optional
        Temperature of part and instrument [°C]; without it no correction is made.
    part_expansion_per_k : float, optional
        Expansion of the part [1/K]; the instrument is taken as steel.
    trail : Trail, optional
        Takes assumptions, cautions and working.

    Raises
    ------
    OutOfRangeError
        If a wire cannot be used in this groove, or a value is outside its range.
    MissingInputError
        If the method needs a size that was not given.
    AmbiguousError
        If a wire and wires on hand, or an uncertainty and errors, are given together.
    InfeasibleError
        If the method does not go with the thread, or the sizes do not go together.

    Notes
    -----
    Source: derivation for the seat of the wire (exact for axially straight flanks, which a tool of
    the thread's profile aims at); the handbook's quadratic lead correction stands beside it.

    Examples
    --------
    A bare screw of 8.9277 mm, pitch 1.5 mm, wire 0.866 mm: 8.9277 + 3 x 0.866 - 0.866025 x 1.5 is
    10.2267 mm, and the lead adds 1.8 µm.

    >>> screw = BareThread(
    ...     pitch_diameter_mm=8.9277, pitch_mm=1.5,
    ...     pressure_flank_angle_deg=30.0, clearance_flank_angle_deg=30.0,
    ... )
    >>> round(wire_measurement(thread=screw, wire_diameter_mm=0.866).reading.aim_mm, 4)
    10.2284
    """
    if isinstance(thread, ThreadLimits):
        thread = thread.in_millimetres()
    groove = groove_of(thread, trail=trail)
    limits = _limits(thread)
    aim = _aim(thread, limits, aim_ratio, trail)
    check_lead_angle(groove, aim)
    chosen_method = _method(groove, method, trail)
    wires = wire_range(groove=groove, trail=trail)
    first, second, choice = chosen_wires(
        wires=wires,
        method=chosen_method,
        given_mm=(wire_diameter_mm, opposite_wire_diameter_mm),
        on_hand_mm=wires_on_hand_mm,
        on_hand=on_hand,
        trail=trail,
    )
    setup = setup_of(
        groove=groove,
        method=chosen_method,
        wire_diameter_mm=first,
        opposite_wire_diameter_mm=second,
        standard_cylinder_mm=standard_cylinder_mm,
        standard_reading_mm=standard_reading_mm,
        major_diameter_measured_mm=major_diameter_measured_mm,
        ball_reading=_ball_reading(groove, ball_reading, trail),
        ball_line=ball_line,
    )
    measuring = Measuring(thread, groove, limits, aim, wires, choice, setup)
    budget = _budget(measuring, uncertainty_mm, errors, trail)
    judged = acceptance_of_limits(
        limits=limits,
        uncertainty_mm=budget.uncertainty_mm if budget else uncertainty_mm,
        rule=acceptance_rule,
        guard_band_ratio=guard_band_ratio,
        has_reading=measured_mm is not None,
        trail=trail,
    )
    found_mm = None
    if measured_mm is not None:
        found_mm = _found_mm(measuring, measured_mm, temperature_c, part_expansion_per_k, trail)
    result = wire_answer(measuring, judged, budget, found_mm, trail)
    if trail is not None:
        note_cautions(result=result, groove=groove, thread=thread, trail=trail)
    return result


def _limits(thread: ThreadLimits | BareThread) -> Span:
    if isinstance(thread, BareThread):
        return thread.pitch_diameter
    return thread.limits.pitch_diameter


def _aim(
    thread: ThreadLimits | BareThread, limits: Span, aim_ratio: float | None, trail: Trail | None
) -> float:
    if limits.max is None or limits.min is None:
        if aim_ratio is not None:
            raise OutOfRangeError(
                "an aim in the tolerance needs both limits of the pitch diameter",
                parameter="pitch_diameter_aim",
                value=aim_ratio,
                accepted="no aim, or a thread with both limits",
            )
        if isinstance(thread, BareThread):
            return thread.pitch_diameter_mm
        return thread.basic.pitch_diameter
    if aim_ratio is None:
        aim_ratio = 0.5
        if trail is not None:
            trail.assume("pitch_diameter_aim", aim_ratio, "none given; the middle of the tolerance")
    if not 0 <= aim_ratio <= 1:
        raise OutOfRangeError(
            f"the aim is {aim_ratio:g}; it lies in the tolerance",
            parameter="pitch_diameter_aim",
            value=aim_ratio,
            accepted="0 (smallest) to 1 (largest)",
        )
    return limits.min + aim_ratio * (limits.max - limits.min)


def _method(groove: Groove, method: Method | None, trail: Trail | None) -> Method:
    if method is None:
        method = "three-wire" if groove.side == "external" else "balls"
        if trail is not None:
            trail.assume("method", method, f"none given; usual for {groove.side} threads")
    check_method(groove, method)
    return method


def _ball_reading(
    groove: Groove, ball_reading: BallReading | None, trail: Trail | None
) -> BallReading:
    if ball_reading is None:
        ball_reading = "centres"
        if groove.side == "internal" and trail is not None:
            trail.assume(
                "ball_reading", ball_reading, "none given; readings are between the ball centres"
            )
    return ball_reading


def _budget(
    measuring: Measuring,
    uncertainty_mm: float | None,
    errors: MeasuringErrors | None,
    trail: Trail | None,
) -> UncertaintyBudget | None:
    if errors is None:
        return None
    if uncertainty_mm is not None:
        raise AmbiguousError(
            "an uncertainty and the errors that it follows from are both given",
            parameter="uncertainty",
            value=uncertainty_mm,
            accepted="uncertainty, or the errors of instrument, wires and part",
        )
    return uncertainty_budget(
        groove=measuring.groove,
        setup=measuring.setup,
        best_wire_diameter_mm=measuring.wires.best_mm,
        pitch_diameter_mm=measuring.aim_mm,
        errors=errors,
        trail=trail,
    )


def _found_mm(
    measuring: Measuring,
    measured_mm: float,
    temperature_c: float | None,
    part_expansion_per_k: float | None,
    trail: Trail | None,
) -> float:
    """Pitch diameter that a reading stands for [mm]."""
    groove, setup = measuring.groove, measuring.setup
    reading_mm = reading_at_reference_mm(
        measured_mm=measured_mm,
        temperature_c=temperature_c,
        part_expansion_per_k=part_expansion_per_k,
        trail=trail,
    )
    check_plausible(
        size_mm=reading_mm,
        expected_mm=measuring.reading_mm(measuring.aim_mm),
        pitch_mm=groove.pitch_mm,
        parameter="measured",
        what=f"a reading of this thread with {setup.mean_wire_mm:.6g} mm of "
        f"{'wire' if groove.side == 'external' else 'ball'}",
    )
    return pitch_diameter_of_reading_mm(
        groove=groove, measured_mm=reading_mm, setup=setup, trail=trail
    )
