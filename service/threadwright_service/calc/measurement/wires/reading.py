"""From a reading over wires, pins or balls to a pitch diameter."""

from __future__ import annotations

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.measurement.wires.groove import (
    BareThread,
    Groove,
    check_lead_angle,
    groove_of,
)
from threadwright_service.calc.measurement.wires.wires import (
    BallLine,
    BallReading,
    Method,
    Setup,
    centre_distance_of_reading_mm,
    pitch_diameter_of_centres_mm,
)
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail


def pitch_diameter_from_reading(
    *,
    thread: ThreadLimits | BareThread,
    measured_mm: float,
    wire_diameter_mm: float,
    opposite_wire_diameter_mm: float | None = None,
    method: Method | None = None,
    standard_cylinder_mm: float | None = None,
    standard_reading_mm: float | None = None,
    major_diameter_measured_mm: float | None = None,
    ball_reading: BallReading = "centres",
    ball_line: BallLine = "square",
) -> float:
    """Pitch diameter from one reading over wires, pins or balls [mm].

    Parameters
    ----------
    thread : ThreadLimits or BareThread
        The thread: its side, pitch, lead and flank angles count.
    measured_mm : float
        The reading [mm].
    wire_diameter_mm : float
        Wire, pin or ball diameter, W [mm]; above 0.
    opposite_wire_diameter_mm : float, optional
        Size on the other side, where it differs.
    method : {"three-wire", "two-wire", "one-wire", "balls"}, optional
        Three wires outside and balls inside by default.
    standard_cylinder_mm, standard_reading_mm : float, optional
        Two wires: plain cylinder, and the reading over it with the same wires [mm].
    major_diameter_measured_mm : float, optional
        One wire: the major diameter measured on this part [mm].
    ball_reading : {"centres", "over-balls"}
        Balls inside: whether the reading is between the centres or over the balls.
    ball_line : {"square", "slanted"}
        Balls inside: whether the gauge measures square to the axis or along the line between
        opposite grooves.

    Raises
    ------
    OutOfRangeError, MissingInputError, InfeasibleError
        If a size is not above 0, a needed one is missing, or they do not go together.

    Notes
    -----
    Source: derivation, exact for axially straight flanks; see :mod:`.wires_exact`.

    Examples
    --------
    GATE 2011: pitch 3.5, wires 2.0, cylinder 30.5, readings 16.532 and 15.398 (30.397 printed,
    without lead; the lead takes 1 µm off):

    >>> screw = BareThread(
    ...     pitch_diameter_mm=30.4, pitch_mm=3.5,
    ...     pressure_flank_angle_deg=30.0, clearance_flank_angle_deg=30.0,
    ... )
    >>> round(pitch_diameter_from_reading(
    ...     thread=screw, measured_mm=15.398, wire_diameter_mm=2.0, method="two-wire",
    ...     standard_cylinder_mm=30.5, standard_reading_mm=16.532,
    ... ), 3)
    30.395
    """
    groove = groove_of(thread)
    setup = setup_of(
        groove=groove,
        method=method,
        wire_diameter_mm=wire_diameter_mm,
        opposite_wire_diameter_mm=opposite_wire_diameter_mm,
        standard_cylinder_mm=standard_cylinder_mm,
        standard_reading_mm=standard_reading_mm,
        major_diameter_measured_mm=major_diameter_measured_mm,
        ball_reading=ball_reading,
        ball_line=ball_line,
    )
    return pitch_diameter_of_reading_mm(groove=groove, measured_mm=measured_mm, setup=setup)


def setup_of(
    *,
    groove: Groove,
    method: Method | None,
    wire_diameter_mm: float,
    opposite_wire_diameter_mm: float | None = None,
    standard_cylinder_mm: float | None = None,
    standard_reading_mm: float | None = None,
    major_diameter_measured_mm: float | None = None,
    ball_reading: BallReading = "centres",
    ball_line: BallLine = "square",
) -> Setup:
    """The set-up of a measurement, refused if it makes no sense for the groove.

    Raises
    ------
    OutOfRangeError
        If a size is not above 0.
    InfeasibleError
        If the method does not go with the side or the taper.

    Notes
    -----
    Source: derivation.
    """
    chosen: Method = method or ("three-wire" if groove.side == "external" else "balls")
    check_method(groove, chosen)
    for parameter, value in (
        ("wire_diameter", wire_diameter_mm),
        ("opposite_wire_diameter", opposite_wire_diameter_mm),
        ("standard_cylinder", standard_cylinder_mm),
        ("major_diameter", major_diameter_measured_mm),
    ):
        if value is not None and not value > 0:
            raise OutOfRangeError(
                f"{parameter} is {value:g} mm; it must be above 0",
                parameter=parameter,
                value=value,
                accepted="a length above 0",
            )
    if standard_cylinder_mm is not None and chosen != "two-wire":
        raise InfeasibleError(
            f"a plain cylinder is compared with by the two-wire method, not by {chosen}",
            parameter="standard_cylinder",
            value=standard_cylinder_mm,
            accepted="method two-wire, or no standard_cylinder",
        )
    return Setup(
        method=chosen,
        wire_diameter_mm=wire_diameter_mm,
        opposite_wire_diameter_mm=opposite_wire_diameter_mm or wire_diameter_mm,
        standard_cylinder_mm=standard_cylinder_mm,
        standard_reading_mm=standard_reading_mm,
        major_diameter_measured_mm=major_diameter_measured_mm,
        ball_reading=ball_reading,
        ball_line=ball_line,
    )


def check_method(groove: Groove, method: Method) -> None:
    """Refuse a method that does not go with the side or the taper.

    Raises
    ------
    InfeasibleError
        Wires inside a thread; anything but three wires on an external tapered one.

    Notes
    -----
    Source: derivation.
    """
    if groove.side == "internal" and method != "balls":
        raise InfeasibleError(
            f"{method} measures an outside thread; an inside thread is measured with balls",
            parameter="method",
            value=method,
            accepted="balls",
        )
    if groove.taper_ratio and (groove.side == "internal" or method != "three-wire"):
        raise InfeasibleError(
            "a tapered thread is measured over three wires, outside only: with other methods the "
            "instrument has no defined direction on the cone",
            parameter="method",
            value=method,
            accepted="three-wire on an external tapered thread; a gauge for an internal one",
        )


def pitch_diameter_of_reading_mm(
    *, groove: Groove, measured_mm: float, setup: Setup, trail: Trail | None = None
) -> float:
    """Pitch diameter from a reading, for a groove and set-up that are already checked [mm].

    Raises
    ------
    OutOfRangeError, MissingInputError, InfeasibleError
        As :func:`pitch_diameter_from_reading`.

    Notes
    -----
    Source: derivation.
    """
    distance = centre_distance_of_reading_mm(groove=groove, measured_mm=measured_mm, setup=setup)
    found = pitch_diameter_of_centres_mm(groove=groove, centre_distance_mm=distance, setup=setup)
    check_lead_angle(groove, found)
    if trail is not None:
        trail.step(
            "pitch diameter from the reading",
            "E",
            "E at which the wires lie C apart",
            {"M": measured_mm, "C": distance, "W": setup.mean_wire_mm},
            found,
            "mm",
            "derivation, exact for axially straight flanks",
        )
    return found
