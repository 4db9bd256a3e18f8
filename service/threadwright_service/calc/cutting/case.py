"""What cutting data are asked for: tool, engagement, reference, running condition."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright_service.calc.milling.geometry.cutter import Cutter, CutterMaterial
from threadwright_service.calc.threads.thread import Side

Coolant = Literal["flood", "air", "minimum-quantity", "dry"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingTool:
    """The cutting tool of an operation: a mill, a drill, a tap or a turning tool.

    ``stick_out_mm`` and the diameters behind the edge are needed for deflection and for scaling
    with the stick-out only. A neck stands between the edge and the shank, if there is one.
    """

    diameter_mm: float
    """Cutting diameter; of a chamfer mill at its largest contact; of the work in turning."""
    teeth: int
    material: CutterMaterial = "carbide"
    stick_out_mm: float | None = None
    shank_diameter_mm: float | None = None
    neck_diameter_mm: float | None = None
    neck_length_mm: float | None = None
    included_angle_deg: float | None = None
    """Of a thread or chamfer mill's profile, of a threading tool, or of a drill's point."""
    helix_angle_deg: float | None = None
    """Of a side mill's edges; straight edges, the upper bound of the force, if ``None``."""
    nose_flat_mm: float = 0.0
    nose_radius_mm: float = 0.0
    """Of a thread mill's or threading tool's tooth; one of the two is 0."""
    chamfer_threads: int | None = None
    """Of a tap: threads over which its chamfer cuts."""
    runout_mm: float = 0.0
    """Total indicator reading at the teeth."""

    @classmethod
    def of_cutter(cls, cutter: Cutter) -> CuttingTool:
        """The same thread mill as the pass plan takes it."""
        return cls(
            diameter_mm=cutter.diameter_mm,
            teeth=cutter.teeth,
            material=cutter.material,
            stick_out_mm=cutter.stick_out_mm,
            shank_diameter_mm=cutter.shank_diameter_mm,
            neck_diameter_mm=cutter.neck_diameter_mm,
            neck_length_mm=cutter.neck_length_mm,
            included_angle_deg=cutter.included_angle_deg,
            nose_flat_mm=cutter.nose_flat_mm or 0.0,
            nose_radius_mm=cutter.nose_radius_mm or 0.0,
            runout_mm=cutter.runout_mm,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Engagement:
    """How the tool meets the work.

    With a ``side`` the path of a mill is a circle and ``made_diameter_mm`` is the diameter that
    the cut makes: the root outside, the major diameter inside. Without, the cut is straight.
    """

    radial_width_mm: float | None = None
    """Width of the layer that is taken: the step, the radial leg of a chamfer, the depth that a
    pass adds to a thread, the infeed of a threading tool."""
    axial_depth_mm: float | None = None
    """Length of edge in the work, along the axis: the height of the step, the thread's length
    for a full-profile thread mill."""
    profile_depth_mm: float | None = None
    """Depth of the thread below the blank after the cut; the layer alone if ``None``."""
    side: Side | None = None
    made_diameter_mm: float | None = None
    pitch_mm: float | None = None
    lead_mm: float | None = None
    """Of the thread; the pitch if ``None``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reference:
    """A condition that is known to be good; ``None`` where it is as in this case.

    Its cut is straight. Speed, feed or both may be known.
    """

    surface_speed_m_per_min: float | None = None
    feed_per_tooth_mm: float | None = None
    hardness_hb: float | None = None
    diameter_mm: float | None = None
    teeth: int | None = None
    radial_width_mm: float | None = None
    stick_out_mm: float | None = None
    shank_diameter_mm: float | None = None
    tool_life_min: float | None = None
    coolant: Coolant | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """A condition that runs: spindle speed and the programmed feed, that of the centre."""

    spindle_speed_rev_per_min: float
    feed_rate_mm_per_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the caller fixes for this case; ``None`` where it is to be found."""

    surface_speed_m_per_min: float | None = None
    feed_per_tooth_mm: float | None = None
    tool_life_min: float | None = None
    coolant: Coolant | None = None
    deflection_limit_mm: float | None = None
