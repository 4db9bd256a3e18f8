"""What measuring over wires and gauging take."""

from __future__ import annotations

from threadwright_service.schemas.compound_fields import Items
from threadwright_service.schemas.fields import Choice, Number
from threadwright_service.schemas.quantities import ANGLE, LENGTH, RATIO
from threadwright_service.schemas.threads import ThreadRequestSchema, TreatmentKeys

_MOST_MM = 3000.0


class BareThreadKeys:
    """A thread that no standard names: its pitch diameter, pitch and flanks; a mix-in."""

    pitch_diameter = Number(
        "Pitch diameter of a thread that no standard names, with pitch and flank_angle_deg.",
        kind=LENGTH,
        above=0,
        most=_MOST_MM,
    )
    pitch_diameter_max = Number(
        "Its largest permitted pitch diameter.", kind=LENGTH, above=0, most=_MOST_MM
    )
    pitch_diameter_min = Number(
        "Its smallest permitted pitch diameter.", kind=LENGTH, above=0, most=_MOST_MM
    )
    flank_angle_deg = Number(
        "Angle of its flank from the normal to the axis, half the angle of a symmetric form.",
        kind=ANGLE,
        above=0,
        below=90,
    )
    clearance_flank_angle_deg = Number(
        "Angle of the other flank, if it differs.", kind=ANGLE, least=0, below=90
    )


class WireMeasurementRequest(BareThreadKeys, TreatmentKeys, ThreadRequestSchema):
    """A thread, how it is measured, and a reading if there is one."""

    method = Choice(
        "How it is measured; over three wires outside and between balls inside if not given.",
        ("three-wire", "two-wire", "one-wire", "balls"),
    )
    wire_diameter = Number(
        "Diameter of wire, pin or ball; the best one if not given.",
        kind=LENGTH,
        above=0,
        most=200,
    )
    opposite_wire_diameter = Number(
        "Diameter on the other side, if it differs.", kind=LENGTH, above=0, most=200
    )
    wires_on_hand = Items(
        "Diameters on hand, from which the best usable one is chosen.",
        Number("Diameter.", kind=LENGTH, above=0, most=200),
        most=500,
    )
    on_hand = Choice(
        "Whether each size is on hand as a set of three, or as single pins to be paired.",
        ("sets", "single-pins"),
        assume="sets",
        reason="wires are sold in sets of three",
    )
    measured = Number("A reading.", kind=LENGTH, above=0, most=_MOST_MM)
    uncertainty = Number(
        "Expanded uncertainty (k = 2) of the measured pitch diameter.",
        kind=LENGTH,
        least=0,
        most=10,
    )
    instrument_error = Number(
        "Largest error of the instrument; with the next ones, in place of the uncertainty.",
        kind=LENGTH,
        least=0,
        most=10,
    )
    wire_uncertainty = Number(
        "Expanded uncertainty (k = 2) of the wire's diameter.", kind=LENGTH, least=0, most=1
    )
    pitch_error = Number("Largest error of the part's pitch.", kind=LENGTH, least=0, most=1)
    flank_angle_error_deg = Number(
        "Largest error of the part's half angles.", kind=ANGLE, least=0, most=10
    )
    repeatability = Number("Standard deviation of repeated readings.", kind=LENGTH, least=0, most=1)
    acceptance_rule = Choice(
        "guard-band keeps the uncertainty away from both limits; simple compares with the limits.",
        ("guard-band", "simple"),
        assume="guard-band",
        reason="the cautious rule: a part is accepted only if it is surely inside",
    )
    guard_band_share = Number(
        "Width of the guard band as a share of the uncertainty.",
        kind=RATIO,
        least=0,
        most=1.5,
    )
    pitch_diameter_aim = Number(
        "Where in its tolerance the pitch diameter is aimed: 0 smallest, 1 largest.",
        kind=RATIO,
        least=0,
        most=1,
    )
    major_diameter = Number(
        "Measured major diameter, on which the anvil rests with one wire.",
        kind=LENGTH,
        above=0,
        most=_MOST_MM,
    )
    standard_cylinder = Number(
        "Diameter of the cylinder that two wires are compared with.",
        kind=LENGTH,
        above=0,
        most=_MOST_MM,
    )
    standard_reading = Number(
        "Reading over that cylinder with the same wires.", kind=LENGTH, above=0, most=_MOST_MM
    )
    ball_reading = Choice(
        "Whether the reading between balls is that of their centres or over their outsides.",
        ("centres", "over-balls"),
    )
    ball_line = Choice(
        "Whether the balls are measured square to the axis or in grooves half a pitch apart.",
        ("square", "slanted"),
        assume="square",
        reason="measured square to the axis",
    )
    temperature_c = Number(
        "Temperature of part and instrument, in degrees Celsius.", least=-20, most=80
    )
    part_expansion_per_k = Number(
        "Thermal expansion of the part, for each kelvin.", least=0, most=0.001
    )


class GaugeLimitsRequest(TreatmentKeys, ThreadRequestSchema):
    """A toleranced thread that is to be gauged."""

    gauge_standard = Choice(
        "Standard of the gauges; that which goes with the thread if not given.",
        ("ISO 1502", "ASME B1.2", "ASME B1.16M"),
    )
