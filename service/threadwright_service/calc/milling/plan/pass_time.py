"""Time of a pass at its feed: helix and arcs, kept down by the machine's acceleration."""

from __future__ import annotations

import math
from dataclasses import dataclass

from threadwright_service.calc.milling.geometry.cutter import Machine
from threadwright_service.calc.milling.path.path import PathSetting
from threadwright_service.calc.milling.path.path_elements import CentrePath
from threadwright_service.calc.times.motion.machine_motion import acceleration_m_per_s2
from threadwright_service.calc.times.motion.motion import feed_reached_mm_per_min, helix_time_s


@dataclass(frozen=True, slots=True, kw_only=True)
class PassClock:
    """Times the passes of one plan, before their paths are laid out and after."""

    setting: PathSetting
    machine: Machine

    def length_mm(self, root_diameter_mm: float) -> float:
        """Length of the path at the feed, of all runs, to well within a thousandth [mm].

        Notes
        -----
        Source: derivation.
        """
        setting = self.setting
        centre_mm = root_diameter_mm / 2 + setting.groove.outward * setting.cutter.radius_mm
        arcs_mm = 2 * setting.arc_radius_mm(centre_mm) * math.radians(setting.entry_arc_angle_deg)
        turn_mm = math.pi * sum(setting.ends_mm(centre_mm))
        helix_mm = setting.turns_ratio * math.hypot(turn_mm, setting.groove.lead_mm)
        return setting.runs * (helix_mm + arcs_mm)

    def time_s(self, path: CentrePath, feed_centre_mm_per_min: float) -> float:
        """Time of a pass at its feed [s]: ramps at both ends of each start, slower arcs.

        Without an acceleration of the machine nothing but the feed counts.

        Notes
        -----
        Source: derivation; motion as calc.times.
        """
        feed_mm_per_min = feed_centre_mm_per_min
        if self.machine.feed_rate_max_mm_per_min is not None:
            feed_mm_per_min = min(feed_mm_per_min, self.machine.feed_rate_max_mm_per_min)
        if self.machine.acceleration_g is None:
            return 60 * path.path_length_mm / feed_mm_per_min
        acceleration = acceleration_m_per_s2(acceleration_g=self.machine.acceleration_g)
        each_s = helix_time_s(
            length_mm=path.path_length_mm / path.runs,
            radius_mm=path.cutter_centre_radius_mm,
            feed_mm_per_min=feed_mm_per_min,
            acceleration_m_per_s2=acceleration,
            lead_mm=self.setting.groove.lead_mm,
        )
        on_arc_mm_per_min = feed_reached_mm_per_min(
            radius_mm=path.entry_arc_radius_mm,
            acceleration_m_per_s2=acceleration,
            feed_mm_per_min=feed_mm_per_min,
        )
        on_helix_mm_per_min = feed_reached_mm_per_min(
            radius_mm=path.cutter_centre_radius_mm,
            acceleration_m_per_s2=acceleration,
            feed_mm_per_min=feed_mm_per_min,
        )
        arcs_mm = path.path_length_mm - path.helix_length_mm
        slower_s = 60 * arcs_mm * (1 / on_arc_mm_per_min - 1 / on_helix_mm_per_min)
        return each_s * path.runs + max(0.0, slower_s)
