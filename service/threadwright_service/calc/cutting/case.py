"""What cutting data are asked for: tool, engagement, reference, running condition."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright_service.calc.milling.cutter import Cutter, CutterMaterial

Coolant = Literal["flood", "air", "minimum-quantity", "dry"]
Side = Literal["outside", "inside"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingTool:
    """The cutting tool of an operation: a mill, a drill, a tap or a turning tool.

    ``stick_out_mm`` and the diameters behind the edge are needed for deflection and for scaling
    with the stick-out only. A neck stands between the edge and the shank, if there is one.
    """

    diameter_mm: float
    """Cutting diameter; of a chamfer mill at its largest contact; ``0`` never."""
    teeth: int
    material: CutterMaterial = "carbide"
    stick_out_mm: float | None = None
    shank_diameter_mm: float | None = None
    neck_diameter_mm: float | None = None
    neck_length_mm: float | None = None
    included_angle_deg: float | None = None
    """Of a thread or chamfer mill's profile, or of a drill's point."""

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
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Engagement:
    """How the tool meets the work.

    ``radial_width_mm`` is the width of the layer (the thread's depth in thread milling);
    ``axial_depth_mm`` the length of edge in the work. With a ``side`` the path is a circle and
    ``made_diameter_mm`` is the diameter that the cut makes; without, it is straight.
    ``feed_per_revolution_mm`` is the lead in tapping and single-point threading.
    """

    radial_width_mm: float | None = None
    axial_depth_mm: float | None = None
    side: Side | None = None
    made_diameter_mm: float | None = None
    feed_per_revolution_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reference:
    """A condition that is known to be good; ``None`` where it is as in this case."""

    surface_speed_m_per_min: float | None = None
    feed_per_tooth_mm: float | None = None
    hardness_hb: float | None = None
    diameter_mm: float | None = None
    teeth: int | None = None
    radial_width_mm: float | None = None
    axial_depth_mm: float | None = None
    stick_out_mm: float | None = None
    shank_diameter_mm: float | None = None
    tool_life_min: float | None = None
    coolant: Coolant | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """A condition that runs: spindle speed and the feed of the cutter's centre."""

    spindle_speed_rev_per_min: float
    feed_rate_mm_per_min: float
