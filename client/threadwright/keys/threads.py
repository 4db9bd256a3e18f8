"""Keys that tell a thread."""

from typing import Literal

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
    """Pitch."""
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


class ThreadLimitsKeys(ThreadKeys, total=False):
    """Keys of ``thread_limits``."""
