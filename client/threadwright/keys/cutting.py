"""Keys of cutting data."""

from typing import Literal, Required, TypedDict

from threadwright.keys.milling import MachineKeys, MaterialKeys
from threadwright.keys.threads import ThreadKeys


class ReferenceKeys(TypedDict, total=False):
    """A condition that is known to be good, to be scaled to this case."""

    reference_surface_speed: float
    """Surface speed that is known to be good."""
    reference_feed_per_tooth: float
    """Feed a tooth that is known to be good."""
    reference_hardness: float
    """Hardness that they are for, in hardness_scale."""
    reference_diameter: float
    """Cutter diameter that they are for."""
    reference_teeth: int
    """Number of teeth that they are for."""
    reference_radial_width: float
    """Radial width that they are for."""
    reference_stick_out: float
    """Stick-out that they are for."""
    reference_shank_diameter: float
    """Shank that they are for."""
    reference_tool_life_min: float
    """Tool life that they are for."""
    reference_coolant: Literal["flood", "air", "minimum-quantity", "dry"]
    """Cooling that they are for."""


class ToolKeys(TypedDict, total=False):
    """The keys that describe any cutting tool."""

    cutter_diameter: Required[float]
    """Cutting diameter; of a chamfer mill at its largest contact, of the work in turning."""
    cutter_teeth: Required[int]
    """Number of teeth or edges."""
    cutter_material: Literal["carbide", "high-speed-steel", "hss", "HSS"]
    """What the cutting edges are made of."""
    cutter_stick_out: float
    """From the holder's face to the teeth; with the shank, for deflection and scaling."""
    cutter_shank_diameter: float
    """Diameter of the shank that the holder grips."""
    cutter_neck_diameter: float
    """Diameter of the neck behind the teeth."""
    cutter_neck_length: float
    """Length of the neck from the teeth to the shank."""
    cutter_included_angle_deg: float
    """Angle of a thread or chamfer mill's profile, of a threading tool, or of a drill's point."""
    cutter_helix_angle_deg: float
    """Helix angle of a side mill's edges."""
    cutter_nose_flat: float
    """Flat at the tooth's nose."""
    cutter_nose_radius: float
    """Radius at the tooth's nose."""
    chamfer_threads: int
    """Threads over which a tap's chamfer cuts."""
    runout: float
    """Total indicator reading at the teeth."""


class CuttingDataKeys(ReferenceKeys, ToolKeys, MaterialKeys, MachineKeys, ThreadKeys, total=False):
    """Keys of ``cutting_data``."""

    material: Required[str]
    """Work material: a group of the materials list, or an international grade name."""
    process: Required[
        Literal[
            "thread-milling",
            "side-milling",
            "chamfering",
            "drilling",
            "tapping",
            "single-point-threading",
        ]
    ]
    """What is done."""
    radial_width: float
    """Width of the layer that is taken: the step, the leg of a chamfer, the depth that a pass adds
    to a thread.
    """
    axial_depth: float
    """Length of edge in the work, along the axis."""
    profile_depth: float
    """Depth of the thread below the blank after the cut."""
    made_diameter: float
    """Diameter that the cut makes: the root outside, the major diameter inside."""
    surface_speed: float
    """Surface speed, if it is to be kept."""
    feed_per_tooth: float
    """Feed a tooth, if it is to be kept."""
    tool_life_min: float
    """Tool life that is wanted, in the cut."""
    coolant: Literal["flood", "air", "minimum-quantity", "dry"]
    """Cooling."""
    deflection_limit: float
    """Largest bending of the tool."""
    spindle_speed: float
    """Spindle speed of a condition that runs, to be worked back with feed_rate."""
    feed_rate: float
    """Programmed feed of that condition, that of the cutter's centre."""
