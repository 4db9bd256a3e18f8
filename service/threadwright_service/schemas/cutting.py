"""What cutting data take."""

from __future__ import annotations

from threadwright_service.schemas.fields import Choice, Count, Number
from threadwright_service.schemas.quantities import (
    ANGLE,
    FEED_RATE,
    LENGTH,
    SPINDLE_SPEED,
    SURFACE_SPEED,
    TIME_MINUTES,
)
from threadwright_service.schemas.shared_keys import MachineKeys, MaterialKeys
from threadwright_service.schemas.threads import ThreadRequestSchema

COOLANTS = ("flood", "air", "minimum-quantity", "dry")


class ToolKeys:
    """The keys that describe any cutting tool; a mix-in of requests."""

    cutter_diameter = Number(
        "Cutting diameter; of a chamfer mill at its largest contact, of the work in turning.",
        kind=LENGTH,
        above=0,
        most=1000,
        required=True,
    )
    cutter_teeth = Count("Number of teeth or edges.", least=1, most=100, required=True)
    cutter_material = Choice(
        "What the cutting edges are made of.",
        ("carbide", "high-speed-steel"),
        also={"hss": "high-speed-steel", "HSS": "high-speed-steel"},
        assume="carbide",
        reason="no cutter material given; carbide is the usual choice for hard work",
    )
    cutter_stick_out = Number(
        "From the holder's face to the teeth; with the shank, for deflection and scaling.",
        kind=LENGTH,
        above=0,
        most=3000,
    )
    cutter_shank_diameter = Number(
        "Diameter of the shank that the holder grips.", kind=LENGTH, above=0, most=500
    )
    cutter_neck_diameter = Number(
        "Diameter of the neck behind the teeth.", kind=LENGTH, above=0, most=500
    )
    cutter_neck_length = Number(
        "Length of the neck from the teeth to the shank.", kind=LENGTH, above=0, most=3000
    )
    cutter_included_angle_deg = Number(
        "Angle of a thread or chamfer mill's profile, of a threading tool, or of a drill's point.",
        kind=ANGLE,
        above=1,
        below=180,
    )
    cutter_helix_angle_deg = Number(
        "Helix angle of a side mill's edges.", kind=ANGLE, least=0, most=75
    )
    cutter_nose_flat = Number("Flat at the tooth's nose.", kind=LENGTH, least=0, most=50)
    cutter_nose_radius = Number("Radius at the tooth's nose.", kind=LENGTH, least=0, most=50)
    chamfer_threads = Count("Threads over which a tap's chamfer cuts.", least=1, most=20)
    runout = Number("Total indicator reading at the teeth.", kind=LENGTH, least=0, most=1)


class ReferenceKeys:
    """A condition that is known to be good, to be scaled to this case; a mix-in of requests."""

    reference_surface_speed = Number(
        "Surface speed that is known to be good.", kind=SURFACE_SPEED, above=0, most=5000
    )
    reference_feed_per_tooth = Number(
        "Feed a tooth that is known to be good.", kind=LENGTH, above=0, most=5
    )
    reference_hardness = Number(
        "Hardness that they are for, in hardness_scale.", above=0, most=4000
    )
    reference_diameter = Number(
        "Cutter diameter that they are for.", kind=LENGTH, above=0, most=1000
    )
    reference_teeth = Count("Number of teeth that they are for.", least=1, most=100)
    reference_radial_width = Number(
        "Radial width that they are for.", kind=LENGTH, above=0, most=500
    )
    reference_stick_out = Number("Stick-out that they are for.", kind=LENGTH, above=0, most=3000)
    reference_shank_diameter = Number("Shank that they are for.", kind=LENGTH, above=0, most=500)
    reference_tool_life_min = Number(
        "Tool life that they are for.", kind=TIME_MINUTES, above=0, most=100_000
    )
    reference_coolant = Choice("Cooling that they are for.", COOLANTS)


class CuttingDataRequest(ReferenceKeys, ToolKeys, MaterialKeys, MachineKeys, ThreadRequestSchema):
    """A process, a tool, a material and how they meet."""

    process = Choice(
        "What is done.",
        (
            "thread-milling",
            "side-milling",
            "chamfering",
            "drilling",
            "tapping",
            "single-point-threading",
        ),
        required=True,
    )
    radial_width = Number(
        "Width of the layer that is taken: the step, the leg of a chamfer, the depth that a pass "
        "adds to a thread.",
        kind=LENGTH,
        above=0,
        most=500,
    )
    axial_depth = Number(
        "Length of edge in the work, along the axis.", kind=LENGTH, above=0, most=3000
    )
    profile_depth = Number(
        "Depth of the thread below the blank after the cut.", kind=LENGTH, above=0, most=500
    )
    made_diameter = Number(
        "Diameter that the cut makes: the root outside, the major diameter inside.",
        kind=LENGTH,
        above=0,
        most=3000,
    )
    surface_speed = Number(
        "Surface speed, if it is to be kept.", kind=SURFACE_SPEED, above=0, most=5000
    )
    feed_per_tooth = Number("Feed a tooth, if it is to be kept.", kind=LENGTH, above=0, most=5)
    tool_life_min = Number(
        "Tool life that is wanted, in the cut.", kind=TIME_MINUTES, above=0, most=100_000
    )
    coolant = Choice("Cooling.", COOLANTS)
    deflection_limit = Number("Largest bending of the tool.", kind=LENGTH, above=0, most=10)
    spindle_speed = Number(
        "Spindle speed of a condition that runs, to be worked back with feed_rate.",
        kind=SPINDLE_SPEED,
        above=0,
        most=500_000,
    )
    feed_rate = Number(
        "Programmed feed of that condition, that of the cutter's centre.",
        kind=FEED_RATE,
        above=0,
        most=1_000_000,
    )
