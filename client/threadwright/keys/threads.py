"""Keys that tell a thread."""

from typing import Literal, TypedDict

from threadwright.keys.call import CallKeys


class ThreadKeys(CallKeys, total=False):
    """A thread, as a call-out or as fields."""

    designation: str
    """The thread's call-out, as it stands on the drawing."""
    series: str
    """Series symbol, where the thread is given as fields."""
    nominal_diameter: float | str
    """Nominal diameter, a number or a size as it is written."""
    pitch: float
    """Pitch, where no call-out says it."""
    threads_per_inch: float
    """Threads per inch, in place of the pitch."""
    tolerance_class: str
    """Tolerance class, where the call-out holds none."""
    side: Literal["external", "internal", "outside", "inside"]
    """Outside or inside thread, where the class does not say."""
    hand: Literal["right", "left", "RH", "LH", "rh", "lh"]
    """Hand of the thread."""
    starts: int
    """Number of starts."""
    length_of_engagement: float
    """Length of engagement with the mating thread."""
    distance_from_gauge_plane: float
    """Of a taper thread: where the diameters are wanted, measured from the gauge plane towards the
    large end.
    """
    rounding: Literal["table", "b130", "exact"]
    """Rounding rule of Unified limits: that of the published tables, the step-by-step calculation
    of ASME B1.30, or the exact result rounded once.
    """


class TreatmentKeys(TypedDict, total=False):
    """What is done to a thread after it is cut: the limits are then those to cut to before it."""

    coating_thickness: float
    """Largest thickness of a coating on one surface; the limits then hold after coating."""
    coating_thickness_min: float
    """Smallest thickness of the coating."""
    growth_min: float
    """Smallest growth by heat treatment, as a share of size; negative is shrinkage."""
    growth_max: float
    """Largest growth by heat treatment, as a share of size."""


class ThreadLimitsKeys(TreatmentKeys, ThreadKeys, total=False):
    """Keys of ``thread_limits``."""

    coated_length: float
    """Length of the coated part, for the guidance of ISO 4042."""
    measured_pitch_diameter: float
    """Measured pitch diameter of a part whose functional size is wanted."""
    pitch_error: float
    """Its largest accumulated pitch error within the engagement."""
    flank_angle_error_deg: float
    """Error of its half angle, both flanks if only this is given."""
    clearance_flank_angle_error_deg: float
    """Error of its other half angle."""
