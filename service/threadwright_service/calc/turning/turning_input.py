"""What a turning plan is asked for."""

from __future__ import annotations

from dataclasses import dataclass

from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.milling.geometry.cutter import Cutter, Machine
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.turning.turning_infeed import TurningDivision, TurningInfeed


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningTool:
    """A single-point threading tool: exactly one of flat and radius is given."""

    nose_flat_mm: float | None
    nose_radius_mm: float | None
    included_angle_deg: float

    def as_cutter(self, pitch_mm: float) -> Cutter:
        """A cutter with this nose, so that the geometry of the groove is the same."""
        around_mm = 4 * pitch_mm
        return Cutter(
            profile="single",
            diameter_mm=around_mm,
            teeth=1,
            nose_flat_mm=self.nose_flat_mm,
            nose_radius_mm=self.nose_radius_mm,
            included_angle_deg=self.included_angle_deg,
            neck_diameter_mm=around_mm,
            neck_length_mm=0.0,
            shank_diameter_mm=around_mm,
            stick_out_mm=0.0,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningInput:
    """Thread, tool, material and machine, and what the caller fixed; ``None``: nothing.

    Parameters
    ----------
    machine, motion
        Limits of the lathe, and how its slides move.
    surface_speed_m_per_min : float
        On the largest diameter that is cut [m/min].
    thread_length_mm : float
        Length of full thread [mm].
    spindle_speed_rev_per_min : float, optional
        A speed to keep [rev/min]; it is judged, not changed.
    blank_diameter_mm, hole_diameter_mm : float, optional
        Diameter before threading, outside or inside [mm].
    infeed, division, infeed_ratio, flank_clearance_deg, passes, spring_passes
        See :mod:`.turning_infeed`.
    pitch_diameter_aim_ratio : float
        Where in its tolerance the pitch diameter is aimed, 0 smallest to 1 largest.
    thread_approach_mm, thread_overrun_mm : float, optional
        Way before the thread, three leads if not given, and past it [mm].
    clearance_mm : float, optional
        Way out and in again at the ends of a cut, each [mm].
    """

    thread: ThreadLimits
    tool: TurningTool
    material: WorkMaterial
    machine: Machine
    motion: MachineMotion
    surface_speed_m_per_min: float
    thread_length_mm: float
    spindle_speed_rev_per_min: float | None = None
    blank_diameter_mm: float | None = None
    hole_diameter_mm: float | None = None
    infeed: TurningInfeed = "modified-flank"
    division: TurningDivision = "equal-area"
    infeed_ratio: float | None = None
    flank_clearance_deg: float | None = None
    passes: int | None = None
    spring_passes: int = 1
    pitch_diameter_aim_ratio: float = 0.5
    thread_approach_mm: float | None = None
    thread_overrun_mm: float = 0.0
    clearance_mm: float | None = None
