"""Material groups, their hardness ranges and the grade names that lead to them."""

from __future__ import annotations

from dataclasses import dataclass

from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialGroup:
    """One material group as the service knows it."""

    key: str
    name: str
    iso_513: str
    hardness_low_hb: float
    hardness_high_hb: float
    hardness_required: bool
    aliases: tuple[str, ...]
    cautions: tuple[str, ...]
    basis: str


def find_material(
    *,
    name: str,
    hardness: float | None = None,
    hardness_scale: str | None = None,
    trail: Trail | None = None,
) -> WorkMaterial:
    """The work material for a group's or grade's name and a hardness.

    Parameters
    ----------
    name : str
        Key of a group, a word of ISO 513, or an international grade name, as ``17-4PH``,
        ``1.7225`` or ``42CrMo4``.
    hardness : float, optional
        Hardness in ``hardness_scale``; needed where the group's range changes the result.
    hardness_scale : str, optional
        ``HRC``, ``HB``, ``HV`` …, as the hardness conversion takes it.
    trail : Trail, optional
        Takes assumptions and cautions.
    """
    raise NotImplementedError


def list_materials() -> tuple[MaterialGroup, ...]:
    """All groups, in the order of ISO 513."""
    raise NotImplementedError
