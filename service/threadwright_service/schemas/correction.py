"""What a size correction takes."""

from __future__ import annotations

from threadwright_service.schemas.compound_fields import Items
from threadwright_service.schemas.fields import Choice, Count, Flag, Number
from threadwright_service.schemas.quantities import LENGTH, RATIO
from threadwright_service.schemas.threads import ThreadRequestSchema, TreatmentKeys

_MOST_MM = 3000.0


class SizeCorrectionRequest(TreatmentKeys, ThreadRequestSchema):
    """A toleranced thread, and what was measured or gauged on its parts.

    ``measured`` holds pitch diameters, or readings if ``method`` or ``wire_diameter`` is given.
    """

    measured = Items(
        "Sizes measured, in the order in which the parts were made: pitch diameters, or readings "
        "over wires, pins or balls.",
        Number("A size.", kind=LENGTH, above=0, most=_MOST_MM),
        most=1000,
    )
    method = Choice(
        "What the sizes are; pitch diameters if neither this nor wire_diameter is given.",
        ("pitch-diameter", "three-wire", "two-wire", "one-wire", "balls"),
    )
    wire_diameter = Number(
        "Diameter of the wires, pins or balls that were measured over.",
        kind=LENGTH,
        above=0,
        most=200,
    )
    opposite_wire_diameter = Number(
        "Diameter on the other side, if it differs.", kind=LENGTH, above=0, most=200
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
    major_diameter = Number(
        "Measured major diameter, on which the anvil rests with one wire.",
        kind=LENGTH,
        above=0,
        most=_MOST_MM,
    )
    ball_reading = Choice(
        "Whether the reading between balls is that of their centres or over their outsides.",
        ("centres", "over-balls"),
    )
    ball_line = Choice(
        "Whether the balls are measured square to the axis or in grooves half a pitch apart.",
        ("square", "slanted"),
    )
    part_numbers = Items(
        "Running number of each measured part, where not every part was measured.",
        Count("A number.", least=1, most=10_000_000),
        most=1000,
    )
    corrections = Items(
        "What was added to the radius offset before each of these parts was made; 0 where nothing "
        "was.",
        Number("A change of the radius offset.", kind=LENGTH, least=-10, most=10),
        most=1000,
    )
    uncertainty = Number(
        "Expanded uncertainty (k = 2) of a measured pitch diameter; kept from both limits.",
        kind=LENGTH,
        least=0,
        most=10,
    )
    standard_deviation = Number(
        "Spread from part to part, if it is known from earlier lots.",
        kind=LENGTH,
        above=0,
        most=10,
    )
    pitch_diameter_aim = Number(
        "Where in its tolerance the pitch diameter is aimed: 0 smallest, 1 largest; the middle if "
        "not given.",
        kind=RATIO,
        least=0,
        most=1,
    )
    wear_start = Flag(
        "Aim at the side of the tolerance that wear walks away from, so that corrections are rare."
    )
    known_drift_per_part = Number(
        "Change of the pitch diameter for each part, if it is known from earlier lots; used until "
        "the series gives one.",
        kind=LENGTH,
        least=-10,
        most=10,
    )
    cutter_changed_at = Count(
        "Running number of the first part made with a new cutter.", least=1, most=10_000_000
    )
    cutter_edge_radius = Number(
        "Radius of the cutting edge, which limits the thinnest chip.",
        kind=LENGTH,
        above=0,
        most=0.2,
    )
    gauge_go = Choice(
        "What the GO gauge did with the last part: beside sizes, or in their place.",
        ("passes", "refuses"),
    )
    gauge_turns = Items(
        "Of taper threads: turns by which the gauge stops short of flush, one for each part; "
        "negative where it goes beyond. In place of measured.",
        Number("Turns short of flush.", least=-50, most=50),
        most=1000,
    )
    gauge_not_go = Choice("What the NOT GO gauge did, without sizes.", ("passes", "refuses"))
    gauge_go_just_passed = Flag("Without sizes: whether GO refused this part one cut before.")
