"""The cutter, the holder and the machine, as the mechanics need them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Profile = Literal["single", "full"]
CutterMaterial = Literal["carbide", "high-speed-steel"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutter:
    """A thread mill.

    ``profile`` is ``single`` for a cutter with one row of teeth and ``full`` for one whose teeth
    cover the thread's length. Exactly one of ``nose_flat_mm`` and ``nose_radius_mm`` is given. The
    neck (``neck_diameter_mm`` over ``neck_length_mm``) is followed by the shank up to
    ``stick_out_mm`` from the holder. ``runout_mm`` is the total indicator reading at the teeth.
    ``land_mm`` is the length below the lowest flank, ``modulus_mpa`` the modulus of elasticity and
    ``neck_stress_mpa`` the bending stress allowed; ``None`` where the caller gave none.
    """

    profile: Profile
    diameter_mm: float
    teeth: int
    nose_flat_mm: float | None
    nose_radius_mm: float | None
    included_angle_deg: float
    neck_diameter_mm: float
    neck_length_mm: float
    shank_diameter_mm: float
    stick_out_mm: float
    material: CutterMaterial = "carbide"
    runout_mm: float = 0.0
    land_mm: float | None = None
    modulus_mpa: float | None = None
    neck_stress_mpa: float | None = None

    @property
    def radius_mm(self) -> float:
        """Half the cutting diameter [mm]."""
        return self.diameter_mm / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """Limits of the machine; ``None`` where the caller gave none."""

    spindle_speed_max_rev_per_min: float | None = None
    feed_rate_max_mm_per_min: float | None = None
    rapid_rate_mm_per_min: float | None = None
    acceleration_g: float | None = None
    spindle_power_kw: float | None = None
    holder_compliance_um_per_n: float = 0.0
    """Bending of holder and spindle at the cutter [µm/N]; 0 leaves them rigid."""
