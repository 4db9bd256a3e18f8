"""Keys that tell cutter, material, machine and how a thread is milled."""

from collections.abc import Sequence
from typing import Literal, Required, TypedDict

from threadwright.keys.measurement import HardnessScale
from threadwright.keys.threads import ThreadKeys, TreatmentKeys


class PlanKeys(TypedDict, total=False):
    """The keys that say how a thread is to be milled."""

    blank_diameter: float
    """Diameter before threading, outside."""
    hole_diameter: float
    """Diameter before threading, inside."""
    shoulder_distance: float
    """From the end of the full thread to the shoulder or the hole's bottom."""
    surface_speed: float
    """Surface speed at the cutter's diameter, if it is to be kept."""
    feed_per_tooth: float
    """Feed a tooth at the cutting edge's path, if it is to be kept."""
    passes: int
    """Number of cutting passes, if it is to be kept."""
    spring_passes: int
    """Passes at full depth after the last cut."""
    infeed: Literal["equal-force", "equal-area", "equal-depth", "falling", "list"]
    """How the depth is divided among the passes."""
    infeed_ratio: float
    """Each infeed as a share of the one before, for falling infeed."""
    infeed_depths: Sequence[float]
    """Radial depth after each pass below the blank, for infeed by list."""
    first_pass_share: float
    """First infeed as a share of the planned one, for a skim cut."""
    milling: Literal["climb", "conventional"]
    """Whether the teeth enter thick and leave thin (climb) or the other way round."""
    pitch_diameter_aim: float
    """Where in its tolerance the pitch diameter is aimed: 0 smallest, 1 largest."""
    entry_arc_radius: float
    """Radius of the arc that leads into the cut; chosen if not given."""
    lead_in: float
    """Height above the face at which the helix of one row of teeth begins or ends."""
    overlap_deg: float
    """What a full-length cutter goes on after its one turn."""
    depth_of_a_pass: float
    """Mean radial depth of a pass that sets the smallest number of passes."""
    last_pass_depth_min: float
    """Least radial depth of the last cut."""
    tool_life_wanted_min: float
    """Tool life that the surface speed is chosen for, in the cut."""
    form_share: float
    """Share of the pitch diameter tolerance that may go into the flank's form."""
    axial_shift: bool
    """Whether a narrow nose widens a coarse groove by cuts beside each other at each depth."""
    axial_overlap_share: float
    """Overlap of those cuts, as a share of the nose."""
    profile_points: int
    """Points of the groove's axial section that are wanted, from crest to root."""
    drill_point_angle_deg: float
    """Point angle of the drill that makes a blind hole."""
    deflection_share: float
    """Largest deflection, on the pitch diameter, as a share of its tolerance."""


class CutterKeys(TypedDict, total=False):
    """The keys that describe a thread mill."""

    cutter_profile: Literal["single", "full"]
    """Whether the cutter has one row of teeth, or teeth over the thread's whole length."""
    cutter_nose_flat: float
    """Width of the flat at the tooth's nose; give this or the nose radius."""
    cutter_nose_radius: float
    """Radius of the tooth's nose; give this or the nose flat."""
    cutter_included_angle_deg: float
    """Angle between the cutter's flanks; the thread form's own if not given."""
    cutter_neck_diameter: float
    """Diameter of the neck behind the teeth."""
    cutter_neck_length: float
    """Length of the neck from the teeth to the shank."""
    cutter_shank_diameter: float
    """Diameter of the shank that the holder grips."""
    cutter_stick_out: float
    """From the holder's face to the teeth."""
    cutter_material: Literal["carbide", "high-speed-steel", "hss", "HSS"]
    """What the cutting edges are made of."""
    cutter_hand: Literal["right", "left"]
    """Which way the cutter must turn to cut, seen from the spindle."""
    cutter_land: float
    """Length of the cutter below its lowest flank; it takes room at a shoulder."""
    cutter_modulus_mpa: float
    """Modulus of elasticity of neck and shank."""
    cutter_neck_stress_mpa: float
    """Bending stress allowed in neck and shank."""
    runout: float
    """Total indicator reading at the teeth."""


class MaterialKeys(TypedDict, total=False):
    """The keys that describe the work material."""

    hardness: float
    """Hardness of the work, in hardness_scale."""
    hardness_scale: HardnessScale
    """Scale of the hardness; Rm is a tensile strength in MPa, Rm-ksi in ksi."""


class MachineKeys(TypedDict, total=False):
    """The keys that describe the machine."""

    spindle_speed_max: float
    """Highest spindle speed."""
    feed_rate_max: float
    """Highest feed rate."""
    rapid_rate: float
    """Rapid traverse rate."""
    acceleration_g: float
    """Acceleration of the axes, in g."""
    spindle_power_kw: float
    """Power of the spindle, a limit of every cut."""
    holder_compliance_um_per_n: float
    """Bending of holder and spindle at the cutter, in micrometres a newton."""


class PassPlanKeys(
    PlanKeys, CutterKeys, MaterialKeys, MachineKeys, TreatmentKeys, ThreadKeys, total=False
):
    """Keys of ``pass_plan``."""

    material: Required[str]
    """Work material: a group of the materials list, or an international grade name."""
    cutter_diameter: Required[float]
    """Cutting diameter."""
    cutter_teeth: Required[int]
    """Number of teeth around the cutter."""
    thread_length: Required[float]
    """Length of full thread."""
