"""What a plan of a thread turned with a single point takes."""

from __future__ import annotations

from threadwright_service.schemas.fields import Choice, Count, Number
from threadwright_service.schemas.quantities import (
    ANGLE,
    LENGTH,
    SPINDLE_SPEED,
    SURFACE_SPEED,
)
from threadwright_service.schemas.shared_keys import (
    LONGEST_MM,
    BlankKeys,
    DriveKeys,
    MaterialKeys,
)
from threadwright_service.schemas.threads import ThreadRequestSchema, TreatmentKeys


class TurningToolKeys:
    """The keys that describe a single-point threading tool; a mix-in of requests."""

    cutter_nose_flat = Number(
        "Width of the flat at the tool's nose; give this or the nose radius.",
        kind=LENGTH,
        least=0,
        most=50,
    )
    cutter_nose_radius = Number(
        "Radius of the tool's nose; give this or the nose flat.", kind=LENGTH, least=0, most=50
    )
    cutter_included_angle_deg = Number(
        "Angle between the tool's flanks; the thread form's own if not given.",
        kind=ANGLE,
        above=1,
        below=179,
    )
    cutter_material = Choice(
        "What the edge is made of.",
        ("carbide", "high-speed-steel"),
        also={"hss": "high-speed-steel", "HSS": "high-speed-steel"},
        assume="carbide",
        reason="none given; threading inserts are carbide",
    )


class TurningKeys(BlankKeys, DriveKeys):
    """The keys that say how a thread is to be turned; a mix-in of requests."""

    infeed = Choice(
        "Direction of the infeed: both flanks, along one, along nearly one, or in turn.",
        ("radial", "flank", "modified-flank", "alternating"),
        assume="modified-flank",
        reason="one flank cuts and the other is only shaved: the usual choice (common practice)",
    )
    division = Choice(
        "How the depth is divided among the passes.",
        ("equal-area", "equal-depth", "falling"),
        assume="equal-area",
        reason="in turning the force goes with the section of the chip",
    )
    infeed_ratio = Number(
        "Each infeed as a share of the one before, for falling division.",
        above=0,
        most=1,
    )
    flank_clearance_deg = Number(
        "How much steeper than the flank the tool is fed, for modified flank and alternating.",
        kind=ANGLE,
        least=0,
        most=60,
    )
    passes = Count("Number of cutting passes, if it is to be kept.", least=1, most=200)
    spring_passes = Count(
        "Passes at full depth after the last cut.",
        least=0,
        most=20,
        assume=1,
        reason="none given; one takes off what tool and part sprang back (common practice)",
    )
    surface_speed = Number(
        "Surface speed on the largest diameter that is cut, if it is to be kept.",
        kind=SURFACE_SPEED,
        above=0,
        most=5000,
    )
    spindle_speed = Number(
        "Spindle speed, if it is to be kept.", kind=SPINDLE_SPEED, above=0, most=500_000
    )
    thread_approach = Number(
        "Way before the thread in which the slide picks up speed.",
        kind=LENGTH,
        least=0,
        most=LONGEST_MM,
    )
    thread_overrun = Number(
        "Way past the thread, in the relief.",
        kind=LENGTH,
        least=0,
        most=LONGEST_MM,
        assume=0.0,
        reason="none given; the tool is drawn out at the end of the thread",
    )
    clearance = Number(
        "Way out and in again at the ends of a cut, each.", kind=LENGTH, least=0, most=1000
    )


class TurningPlanRequest(
    TurningKeys, TurningToolKeys, MaterialKeys, TreatmentKeys, ThreadRequestSchema
):
    """A thread, a single-point tool and a material, from which passes are made."""
