"""Keys that tell how a thread is turned with a single point."""

from typing import Literal, Required

from threadwright.keys.milling import MaterialKeys
from threadwright.keys.threads import ThreadKeys, TreatmentKeys


class TurningPlanKeys(MaterialKeys, TreatmentKeys, ThreadKeys, total=False):
    """Keys of ``turning_plan``."""

    material: Required[str]
    """Work material: a group of the materials list, or an international grade name."""
    thread_length: Required[float]
    """Length of full thread."""
    blank_diameter: float
    """Diameter before threading, outside."""
    hole_diameter: float
    """Diameter before threading, inside."""
    cutter_nose_flat: float
    """Width of the flat at the tool's nose; give this or the nose radius."""
    cutter_nose_radius: float
    """Radius of the tool's nose; give this or the nose flat."""
    cutter_included_angle_deg: float
    """Angle between the tool's flanks; the thread form's own if not given."""
    cutter_material: Literal["carbide", "high-speed-steel", "hss", "HSS"]
    """What the edge is made of."""
    infeed: Literal["radial", "flank", "modified-flank", "alternating"]
    """Direction of the infeed: both flanks, along one, along nearly one, or in turn."""
    division: Literal["equal-area", "equal-depth", "falling"]
    """How the depth is divided among the passes."""
    infeed_ratio: float
    """Each infeed as a share of the one before, for falling division."""
    flank_clearance_deg: float
    """How much steeper than the flank the tool is fed, for modified flank and alternating."""
    passes: int
    """Number of cutting passes, if it is to be kept."""
    spring_passes: int
    """Passes at full depth after the last cut."""
    pitch_diameter_aim: float
    """Where in its tolerance the pitch diameter is aimed: 0 smallest, 1 largest."""
    surface_speed: float
    """Surface speed on the largest diameter that is cut, if it is to be kept."""
    spindle_speed: float
    """Spindle speed, if it is to be kept."""
    thread_approach: float
    """Way before the thread in which the slide picks up speed."""
    thread_overrun: float
    """Way past the thread, in the relief."""
    clearance: float
    """Way out and in again at the ends of a cut, each."""
    spindle_speed_max: float
    """Highest spindle speed."""
    spindle_power_kw: float
    """Power of the spindle, a limit of every cut."""
    feed_rate_max: float
    """Highest feed rate."""
    rapid_rate: float
    """Rapid traverse rate."""
    acceleration_g: float
    """Acceleration of the axes, in g."""
