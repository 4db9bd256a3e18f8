"""The work material, as the mechanics need it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkMaterial:
    """A material group at one hardness, with what its cutting force follows from.

    The specific cutting force is ``kc = specific_force_mpa * h**-force_exponent_ratio`` with the
    chip thickness h in millimetres. ``radial_to_tangential_ratio`` is the edge-normal force as a
    share of the tangential one; ``edge_force_n_per_mm`` the ploughing force for each
    millimetre of edge.
    """

    name: str
    """The group's or grade's name as it is shown, e.g. ``precipitation-hardening stainless``."""
    group: str
    """Key of the material group in the materials table."""
    iso_513: str
    """Application group: P, M, K, N, S or H."""
    hardness_hb: float
    specific_force_mpa: float
    force_exponent_ratio: float
    radial_to_tangential_ratio: float
    edge_force_n_per_mm: float
    basis: str
    """What the force values rest on."""
