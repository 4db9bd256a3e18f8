"""How a cutter, a machine and a work material are described, and what a pass plan takes."""

from __future__ import annotations

from threadwright_service.schemas.compound_fields import Items
from threadwright_service.schemas.fields import Choice, Count, Flag, Number
from threadwright_service.schemas.quantities import (
    ANGLE,
    LENGTH,
    RATIO,
    STRESS,
    SURFACE_SPEED,
    TIME_MINUTES,
)
from threadwright_service.schemas.shared_keys import (
    LONGEST_MM,
    BlankKeys,
    MachineKeys,
    MaterialKeys,
)
from threadwright_service.schemas.threads import ThreadRequestSchema, TreatmentKeys


class CutterKeys:
    """The keys that describe a thread mill; a mix-in of requests."""

    cutter_profile = Choice(
        "Whether the cutter has one row of teeth, or teeth over the thread's whole length.",
        ("single", "full"),
        assume="single",
        reason="no profile given; one row of teeth cuts any pitch within its range",
    )
    cutter_diameter = Number("Cutting diameter.", kind=LENGTH, above=0, most=500, required=True)
    cutter_teeth = Count("Number of teeth around the cutter.", least=1, most=100, required=True)
    cutter_nose_flat = Number(
        "Width of the flat at the tooth's nose; give this or the nose radius.",
        kind=LENGTH,
        least=0,
        most=50,
    )
    cutter_nose_radius = Number(
        "Radius of the tooth's nose; give this or the nose flat.", kind=LENGTH, least=0, most=50
    )
    cutter_included_angle_deg = Number(
        "Angle between the cutter's flanks; the thread form's own if not given.",
        kind=ANGLE,
        above=1,
        below=179,
    )
    cutter_neck_diameter = Number(
        "Diameter of the neck behind the teeth.", kind=LENGTH, above=0, most=500
    )
    cutter_neck_length = Number(
        "Length of the neck from the teeth to the shank.", kind=LENGTH, above=0, most=LONGEST_MM
    )
    cutter_shank_diameter = Number(
        "Diameter of the shank that the holder grips.", kind=LENGTH, above=0, most=500
    )
    cutter_stick_out = Number(
        "From the holder's face to the teeth.", kind=LENGTH, above=0, most=LONGEST_MM
    )
    cutter_material = Choice(
        "What the cutting edges are made of.",
        ("carbide", "high-speed-steel"),
        also={"hss": "high-speed-steel", "HSS": "high-speed-steel"},
        assume="carbide",
        reason="no cutter material given; thread mills for hard steel are solid carbide",
    )
    cutter_hand = Choice(
        "Which way the cutter must turn to cut, seen from the spindle.",
        ("right", "left"),
        assume="right",
        reason="no cutting hand given; right-hand cutters (spindle clockwise) are common practice",
    )
    cutter_land = Number(
        "Length of the cutter below its lowest flank; it takes room at a shoulder.",
        kind=LENGTH,
        least=0,
        most=500,
    )
    cutter_modulus_mpa = Number(
        "Modulus of elasticity of neck and shank; that of the cutter material if not given.",
        kind=STRESS,
        least=10_000,
        most=2_000_000,
    )
    cutter_neck_stress_mpa = Number(
        "Bending stress allowed in neck and shank; that of the cutter material if not given.",
        kind=STRESS,
        least=1,
        most=10_000,
    )
    runout = Number(
        "Total indicator reading at the teeth.",
        kind=LENGTH,
        least=0,
        most=1,
        assume=0.0,
        reason="no run-out given; measure it at the teeth",
    )


class PlanKeys(BlankKeys):
    """The keys that say how a thread is to be milled; a mix-in of requests."""

    shoulder_distance = Number(
        "From the end of the full thread to the shoulder or the hole's bottom.",
        kind=LENGTH,
        least=0,
        most=LONGEST_MM,
    )
    surface_speed = Number(
        "Surface speed at the cutter's diameter, if it is to be kept.",
        kind=SURFACE_SPEED,
        above=0,
        most=5000,
    )
    feed_per_tooth = Number(
        "Feed a tooth at the cutting edge's path, if it is to be kept.",
        kind=LENGTH,
        above=0,
        most=5,
    )
    passes = Count("Number of cutting passes, if it is to be kept.", least=1, most=100)
    spring_passes = Count("Passes at full depth after the last cut.", least=0, most=10)
    infeed = Choice(
        "How the depth is divided among the passes.",
        ("equal-force", "equal-area", "equal-depth", "falling", "list"),
        assume="equal-force",
        reason="both flanks stay in the cut over the whole depth, so equal area is not equal force",
    )
    infeed_ratio = Number(
        "Each infeed as a share of the one before, for falling infeed.",
        above=0,
        most=1,
    )
    infeed_depths = Items(
        "Radial depth after each pass below the blank, for infeed by list.",
        Number("Radial depth.", kind=LENGTH, above=0, most=100),
        most=100,
    )
    first_pass_share = Number(
        "First infeed as a share of the planned one, for a skim cut.",
        kind=RATIO,
        above=0,
        most=1,
    )
    milling = Choice(
        "Whether the teeth enter thick and leave thin (climb) or the other way round.",
        ("climb", "conventional"),
        assume="climb",
        reason="climb milling is the usual choice on a machine without backlash",
    )
    entry_arc_radius = Number(
        "Radius of the arc that leads into the cut; chosen if not given.",
        kind=LENGTH,
        above=0,
        most=1000,
    )
    lead_in = Number(
        "Height above the face at which the helix of one row of teeth begins or ends; clear of "
        "the work if not given.",
        kind=LENGTH,
        least=0,
        most=1000,
    )
    overlap_deg = Number(
        "What a full-length cutter goes on after its one turn.", kind=ANGLE, least=0, most=360
    )
    depth_of_a_pass = Number(
        "Mean radial depth of a pass that sets the smallest number of passes; by common practice "
        "for the hardness if not given.",
        kind=LENGTH,
        above=0,
        most=100,
    )
    last_pass_depth_min = Number(
        "Least radial depth of the last cut; by common practice for the hardness if not given.",
        kind=LENGTH,
        least=0,
        most=10,
    )
    tool_life_wanted_min = Number(
        "Tool life that the surface speed is chosen for, in the cut; that of the starting values "
        "if not given.",
        kind=TIME_MINUTES,
        above=0,
        most=100_000,
    )
    form_share = Number(
        "Share of the pitch diameter tolerance that may go into the flank's form, which no depth "
        "corrects.",
        kind=RATIO,
        above=0,
        most=1,
    )
    axial_shift = Flag(
        "Whether a nose narrower than the groove widens it by cuts beside each other at each "
        "depth, so that the root stays within its limits; for coarse forms."
    )
    axial_overlap_share = Number(
        "Overlap of those cuts, as a share of the nose.", kind=RATIO, least=0, most=0.9
    )
    profile_points = Count(
        "Points of the groove's axial section that are wanted, from crest to root.",
        least=2,
        most=500,
    )
    drill_point_angle_deg = Number(
        "Point angle of the drill that makes a blind hole.",
        kind=ANGLE,
        least=60,
        most=180,
    )
    deflection_share = Number(
        "Largest deflection, on the pitch diameter, as a share of its tolerance.",
        kind=RATIO,
        above=0,
        most=1,
    )


class PassPlanRequest(
    PlanKeys, CutterKeys, MaterialKeys, MachineKeys, TreatmentKeys, ThreadRequestSchema
):
    """A thread, a cutter, a material and a machine, from which a pass plan is made."""
