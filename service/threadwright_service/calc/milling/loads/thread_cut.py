"""What the force of every pass follows from: work, tooth, material, way of milling."""

from __future__ import annotations

from dataclasses import dataclass, field

from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.milling.geometry.section import ToothProfile, tooth_profile
from threadwright_service.calc.milling.loads.edge_widths import EdgeWidths, edge_widths
from threadwright_service.calc.milling.loads.engagement import outward_of, runout_step_mm
from threadwright_service.calc.milling.path.path import Milling


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadCut:
    """What stays the same from pass to pass: work, tooth, material, way of milling.

    Parameters
    ----------
    outward : int
        +1 outside, −1 inside.
    start_radius_mm : float
        Radius of the blank or the hole before threading [mm].
    rows_ratio : float
        Rows of teeth in the work at once: 1 for a single-profile cutter, thread length over
        pitch for a full-length one.
    runout_step_mm : float
        Largest radial step from one tooth to the next [mm].
    """

    outward: int
    start_radius_mm: float
    cutter_radius_mm: float
    teeth: int
    rows_ratio: float
    tooth: ToothProfile
    specific_force_mpa: float
    force_exponent_ratio: float
    radial_to_tangential_ratio: float
    edge_force_n_per_mm: float
    runout_step_mm: float
    milling: Milling
    lead_mm: float
    power_of_chip_ratio: float = field(init=False, repr=False, compare=False)
    """Exponent of the chip thickness in the force, 1 − m."""
    widths: EdgeWidths = field(init=False, repr=False, compare=False)
    """The tooth's edge, condensed for the force."""

    def __post_init__(self) -> None:
        power = 1 - self.force_exponent_ratio
        object.__setattr__(self, "power_of_chip_ratio", power)
        object.__setattr__(self, "widths", edge_widths(self.tooth, power))

    def made_radius_mm(self, depth_mm: float) -> float:
        """Radius that the tip makes at a depth below the blank [mm]."""
        return self.start_radius_mm - self.outward * depth_mm

    def centre_radius_mm(self, depth_mm: float) -> float:
        """Radius of the cutter-centre path at a depth [mm]."""
        return self.made_radius_mm(depth_mm) + self.outward * self.cutter_radius_mm

    def centre_feed_ratio(self, depth_mm: float) -> float:
        """Feed of the centre over the feed on the surface made, e/Rf."""
        return self.centre_radius_mm(depth_mm) / self.made_radius_mm(depth_mm)


def thread_cut(
    *,
    groove: ThreadGroove,
    cutter: Cutter,
    material: WorkMaterial,
    start_diameter_mm: float,
    thread_length_mm: float,
    milling: Milling = "climb",
) -> ThreadCut:
    """Put together what the force of every pass follows from."""
    rows_ratio = 1.0
    if cutter.profile == "full":
        rows_ratio = max(1.0, thread_length_mm / groove.pitch_mm)
    return ThreadCut(
        outward=outward_of(groove.side),
        start_radius_mm=start_diameter_mm / 2,
        cutter_radius_mm=cutter.radius_mm,
        teeth=cutter.teeth,
        rows_ratio=rows_ratio,
        tooth=tooth_profile(groove=groove, cutter=cutter),
        specific_force_mpa=material.specific_force_mpa,
        force_exponent_ratio=material.force_exponent_ratio,
        radial_to_tangential_ratio=material.radial_to_tangential_ratio,
        edge_force_n_per_mm=material.edge_force_n_per_mm,
        runout_step_mm=runout_step_mm(runout_mm=cutter.runout_mm, teeth=cutter.teeth),
        milling=milling,
        lead_mm=groove.lead_mm,
    )
