"""The work material, as the mechanics need it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkMaterial:
    """A material group at one hardness, with what its cutting force follows from."""

    name: str
    """The group's or grade's name as it is shown, e.g. ``precipitation-hardening stainless``."""
    group: str
    """Key of the material group in the materials table."""
    iso_513: str
    """Application group: P, M, K, N, S or H."""
    hardness_hb: float
    """Brinell hardness that all its values are for."""
    specific_force_mpa: float
    """kc1.1 at this hardness: the specific cutting force for a chip 1 mm thick."""
    force_exponent_ratio: float
    """m in kc = kc1.1 * h**-m, with the chip thickness h in millimetres."""
    radial_to_tangential_ratio: float
    """Force normal to the edge as a share of the tangential one."""
    edge_force_n_per_mm: float
    """Ploughing force on each length of edge in the work, whatever the chip."""
    basis: str
    """What the force values rest on."""
