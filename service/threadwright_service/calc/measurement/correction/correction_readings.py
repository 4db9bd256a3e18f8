"""A size correction in readings over wires: from readings to sizes, and from sizes back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from threadwright_service.calc.errors import MissingInputError
from threadwright_service.calc.measurement.correction.correction_result import (
    SizeCorrection,
    SizesAsReadings,
)
from threadwright_service.calc.measurement.wires.groove import Groove, groove_of
from threadwright_service.calc.measurement.wires.reading import (
    pitch_diameter_of_reading_mm,
    setup_of,
)
from threadwright_service.calc.measurement.wires.wires import (
    BallLine,
    BallReading,
    Method,
    Setup,
    centre_distance_mm,
    reading_mm,
)
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """How the parts of a series are measured."""

    groove: Groove
    setup: Setup

    def pitch_diameters_mm(
        self, readings_mm: Sequence[float], trail: Trail | None = None
    ) -> tuple[float, ...]:
        """Pitch diameters of readings; the working shows the last one."""
        last = len(readings_mm) - 1
        return tuple(
            pitch_diameter_of_reading_mm(
                groove=self.groove,
                measured_mm=reading,
                setup=self.setup,
                trail=trail if index == last else None,
            )
            for index, reading in enumerate(readings_mm)
        )

    def read_mm(self, pitch_diameter_mm: float) -> float:
        """What the instrument reads on a pitch diameter."""
        return reading_mm(
            groove=self.groove,
            centre_distance_mm=centre_distance_mm(
                groove=self.groove, pitch_diameter_mm=pitch_diameter_mm, setup=self.setup
            ),
            setup=self.setup,
        )

    def with_readings(self, result: SizeCorrection) -> SizeCorrection:
        """The same correction, with its sizes as readings beside them."""
        target, zones = result.target, result.pre_control
        expected = result.expected_pitch_diameter_mm
        return replace(
            result,
            readings=SizesAsReadings(
                method=self.setup.method,
                wire_diameter_mm=self.setup.wire_diameter_mm,
                target_mm=self.read_mm(target.pitch_diameter_mm),
                expected_mm=None if expected is None else self.read_mm(expected),
                max_mm=self.read_mm(zones.limits.max_mm),
                min_mm=self.read_mm(zones.limits.min_mm),
                green_max_mm=self.read_mm(zones.green.max_mm),
                green_min_mm=self.read_mm(zones.green.min_mm),
            ),
        )


def instrument_for(
    *,
    thread: ThreadLimits,
    method: Method | None,
    wire_diameter_mm: float | None,
    opposite_wire_diameter_mm: float | None = None,
    standard_cylinder_mm: float | None = None,
    standard_reading_mm: float | None = None,
    major_diameter_measured_mm: float | None = None,
    ball_reading: BallReading | None = None,
    ball_line: BallLine | None = None,
    trail: Trail | None = None,
) -> Instrument:
    """The way of measuring that readings of a series were made with.

    Parameters
    ----------
    thread : ThreadLimits
        The thread, in either unit.
    method : {"three-wire", "two-wire", "one-wire", "balls"} or None
        Three wires outside and balls inside if not given.
    wire_diameter_mm : float or None
        Wire, pin or ball diameter [mm]; it must be given.
    opposite_wire_diameter_mm, standard_cylinder_mm, standard_reading_mm, major_diameter_measured_mm
        As for :func:`.reading.pitch_diameter_from_reading`.
    ball_reading, ball_line
        As there; ball centres, measured square to the axis, if not given.
    trail : Trail, optional
        Takes assumptions.

    Raises
    ------
    MissingInputError
        If the wire is not given: a reading means nothing without it.
    CalcError
        As :func:`.reading.setup_of`.

    Notes
    -----
    Source: derivation; see :mod:`.reading`.
    """
    if wire_diameter_mm is None:
        raise MissingInputError(
            "a reading means nothing without the wire that it was made over",
            parameter="wire_diameter",
            accepted="the diameter of wire, pin or ball; or pitch diameters without a method",
        )
    groove = groove_of(thread.in_millimetres(), trail=trail)
    usual: Method = "three-wire" if groove.side == "external" else "balls"
    if trail is not None and method is None:
        trail.assume("method", usual, f"none given; usual for {groove.side} threads")
    if trail is not None and (method or usual) == "balls":
        if ball_reading is None:
            trail.assume("ball_reading", "centres", "none given; readings are between ball centres")
        if ball_line is None:
            trail.assume("ball_line", "square", "none given; measured square to the axis")
    setup = setup_of(
        groove=groove,
        method=method or usual,
        wire_diameter_mm=wire_diameter_mm,
        opposite_wire_diameter_mm=opposite_wire_diameter_mm,
        standard_cylinder_mm=standard_cylinder_mm,
        standard_reading_mm=standard_reading_mm,
        major_diameter_measured_mm=major_diameter_measured_mm,
        ball_reading=ball_reading or "centres",
        ball_line=ball_line or "square",
    )
    return Instrument(groove=groove, setup=setup)
