"""Tool life by the extended Taylor equation, and the speed for a life."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.cutting.designations import PACKAGE
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.milling.geometry.cutter import CutterMaterial
from threadwright_service.calc.tables import load
from threadwright_service.calc.trail import Formula, Trail

SPEED_SPREAD_RATIO: Final = 0.1
"""Speeds of a table are right to about this share; it makes the band of the life."""

LIFE: Final = Formula(
    "tool life",
    "T",
    "T1 * (V1 / V)**(1 / n) * (h1 / h)**(a / n) * (w1 / w)**(b / n) * k",
    "T1 V1 V n h1 h a w1 w b k",
    unit="min",
    source="tables/exponents.toml; extended Taylor equation V T^n h^a w^b = C",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LifeExponents:
    """Exponents of V T^n h^a w^b = C and the spread of n."""

    n_ratio: float
    n_low_ratio: float
    n_high_ratio: float
    feed_ratio: float
    width_ratio: float
    basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolLifeBand:
    """Life of an edge as a band, for 10 % of speed either way."""

    low_min: float
    """Life at a tenth more speed."""
    high_min: float
    """Life at a tenth less speed."""


def life_exponents(*, cutter_material: CutterMaterial, iso_513: str) -> LifeExponents:
    """Exponents for an edge and a class of material.

    Raises
    ------
    NotTabulatedError
        If there are none: high-speed steel does not cut class H.

    Notes
    -----
    Source: tables/exponents.toml.
    """
    row = load(PACKAGE, "tables/exponents").row(cutter_material=cutter_material, iso_513=iso_513)
    return LifeExponents(
        n_ratio=float(row["n"]),
        n_low_ratio=float(row["n_low"]),
        n_high_ratio=float(row["n_high"]),
        feed_ratio=float(row["feed_a"]),
        width_ratio=float(row["width_b"]),
        basis=str(row["basis"]),
    )


def life_ratio(*, speed_ratio: float, exponent_ratio: float) -> float:
    """How many times the life becomes when the speed becomes so many times.

    Parameters
    ----------
    speed_ratio : float
        New speed over old, above 0.
    exponent_ratio : float
        Taylor's n, above 0.

    Notes
    -----
    Source: fundamentals-of-machining-processes p. 174; V T^n = C.

    Examples
    --------
    Half the speed with n = 0.25 (a question of a production course, 16):

    >>> life_ratio(speed_ratio=0.5, exponent_ratio=0.25)
    16.0
    """
    return float((1 / speed_ratio) ** (1 / exponent_ratio))


def coolant_ratio(*, material: WorkMaterial, coolant: str) -> float:
    """Life with a coolant over the life with the usual one of the material's class.

    Notes
    -----
    Source: tables/coolants.toml.
    """
    row = load(PACKAGE, "tables/coolants").row(iso_513=material.iso_513, coolant=coolant)
    return float(row["life_ratio"])


def usual_coolant(material: WorkMaterial) -> str:
    """What the class is usually cut with: air in hard steel, flood elsewhere.

    Notes
    -----
    Source: common practice; the entries with 1 in tables/coolants.toml.
    """
    return "air" if material.iso_513 == "H" else "flood"


@dataclass(frozen=True, slots=True, kw_only=True)
class LifePoint:
    """Speed, chip and width that a life belongs to; ``width_ratio`` is width over diameter."""

    surface_speed_m_per_min: float
    chip_thickness_mm: float
    width_ratio: float
    tool_life_min: float


def tool_life_min(
    *,
    known: LifePoint,
    surface_speed_m_per_min: float,
    chip_thickness_mm: float,
    width_ratio: float,
    exponents: LifeExponents,
    coolant_life_ratio: float = 1.0,
    trail: Trail | None = None,
) -> float:
    """Life of an edge from a known one, T [min].

    Parameters
    ----------
    known : LifePoint
        A condition whose life is known.
    surface_speed_m_per_min, chip_thickness_mm, width_ratio : float
        The condition asked for; its chip must not be thinner than the edge can cut.
    exponents : LifeExponents
        For the edge and the material.
    coolant_life_ratio : float
        Life with this case's coolant over life with the known condition's.

    Notes
    -----
    Source: fundamentals-of-machining-processes p. 174 for n; pmc-7306598 for the width.
    """
    return LIFE(
        trail,
        known.tool_life_min,
        known.surface_speed_m_per_min,
        surface_speed_m_per_min,
        exponents.n_ratio,
        known.chip_thickness_mm,
        chip_thickness_mm,
        exponents.feed_ratio,
        known.width_ratio,
        width_ratio,
        exponents.width_ratio,
        coolant_life_ratio,
    )


def life_band(*, life_min: float, exponents: LifeExponents) -> ToolLifeBand:
    """The band of a life for 10 % of speed either way.

    Notes
    -----
    Source: derivation; 1.5 to 1.9 times either way for n of 0.25 to 0.15.
    """
    slow = life_ratio(speed_ratio=1 - SPEED_SPREAD_RATIO, exponent_ratio=exponents.n_ratio)
    fast = life_ratio(speed_ratio=1 + SPEED_SPREAD_RATIO, exponent_ratio=exponents.n_ratio)
    return ToolLifeBand(low_min=life_min * fast, high_min=life_min * slow)
