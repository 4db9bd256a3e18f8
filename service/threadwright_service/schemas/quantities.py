"""Kinds of quantity on the wire: which follow the request's unit, and how each is rounded.

Inside the calculations every real number's name ends in its unit (``thread_length_mm``). On the
wire, lengths, areas, feeds and surface speeds follow the one ``unit`` of the request and their keys
carry none (``thread_length``). This table is the only place where one becomes the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.units import M_PER_FT, MM_PER_IN

Unit = Literal["mm", "in"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of quantity.

    Parameters
    ----------
    name : str
        Key in the answer's ``units``.
    suffix : str
        How names of this kind end inside the calculations.
    metric, inch : str
        Unit on the wire for ``unit=mm`` and ``unit=in``.
    factor : float
        The inch unit expressed in the metric one; 1 where the unit does not follow.
    metric_decimals, inch_decimals : int
        Places to which the one rounding at the edge is made.
    bare : bool
        Whether the wire key drops the suffix.
    """

    name: str
    suffix: str
    metric: str
    inch: str
    factor: float = 1.0
    metric_decimals: int = 6
    inch_decimals: int = 6
    bare: bool = True

    def unit(self, unit: Unit) -> str:
        """Name of the unit on the wire."""
        return self.inch if unit == "in" else self.metric

    def scale(self, unit: Unit) -> float:
        """What a number on the wire is multiplied by to give the calculation's unit."""
        return self.factor if unit == "in" else 1.0

    def decimals(self, unit: Unit) -> int:
        """Places of the one rounding at the edge."""
        return self.inch_decimals if unit == "in" else self.metric_decimals

    @property
    def follows_unit(self) -> bool:
        """Whether the number depends on the request's ``unit``."""
        return self.metric != self.inch


LENGTH: Final = Kind(
    name="length", suffix="_mm", metric="mm", inch="in", factor=MM_PER_IN, metric_decimals=5
)
AREA: Final = Kind(
    name="area", suffix="_mm2", metric="mm²", inch="in²", factor=MM_PER_IN**2, metric_decimals=4
)
FEED_RATE: Final = Kind(
    name="feed_rate",
    suffix="_mm_per_min",
    metric="mm/min",
    inch="in/min",
    factor=MM_PER_IN,
    metric_decimals=3,
    inch_decimals=4,
)
SURFACE_SPEED: Final = Kind(
    name="surface_speed",
    suffix="_m_per_min",
    metric="m/min",
    inch="ft/min",
    factor=M_PER_FT,
    metric_decimals=3,
    inch_decimals=2,
)
SPINDLE_SPEED: Final = Kind(
    name="spindle_speed",
    suffix="_rev_per_min",
    metric="rev/min",
    inch="rev/min",
    metric_decimals=2,
    inch_decimals=2,
)
RATIO: Final = Kind(name="ratio", suffix="_ratio", metric="1", inch="1")


def _named(name: str, suffix: str, unit: str, decimals: int) -> Kind:
    """Make a kind whose unit stays in the key."""
    return Kind(
        name=name,
        suffix=suffix,
        metric=unit,
        inch=unit,
        metric_decimals=decimals,
        inch_decimals=decimals,
        bare=False,
    )


COMPLIANCE: Final = _named("compliance", "_um_per_n", "µm/N", 6)
ANGLE_EFFECT: Final = _named("angle_effect", "_um_per_deg", "µm/deg", 4)
EDGE_FORCE: Final = _named("edge_force", "_n_per_mm", "N/mm", 3)
ANGLE: Final = _named("angle", "_deg", "deg", 5)
ARC_MINUTES: Final = _named("angle_arcmin", "_arcmin", "arcmin", 3)
TIME: Final = _named("time", "_s", "s", 3)
TIME_MINUTES: Final = _named("time_min", "_min", "min", 3)
FORCE: Final = _named("force", "_n", "N", 2)
TORQUE: Final = _named("torque", "_nm", "N·m", 4)
POWER: Final = _named("power", "_kw", "kW", 4)
STRESS: Final = _named("stress", "_mpa", "MPa", 1)
MONEY: Final = _named("money", "cost", "currency", 4)
MONEY_EACH: Final = _named("money", "cost_each", "currency", 4)
SPREAD: Final = _named("spread", "spread", "1", 4)
"""Of money or minutes, as its member ``of`` says; what stands in it is rounded alike."""
PLAIN: Final = Kind(name="number", suffix="", metric="1", inch="1")

KINDS: Final = (
    COMPLIANCE,
    ANGLE_EFFECT,
    EDGE_FORCE,
    FEED_RATE,
    SURFACE_SPEED,
    SPINDLE_SPEED,
    LENGTH,
    AREA,
    RATIO,
    ANGLE,
    ARC_MINUTES,
    TIME,
    TIME_MINUTES,
    FORCE,
    TORQUE,
    POWER,
    STRESS,
    MONEY,
    MONEY_EACH,
    SPREAD,
)


def kind_of(name: str) -> Kind:
    """The kind that a name inside the calculations ends in; ``PLAIN`` if in none.

    Examples
    --------
    >>> kind_of("feed_centre_mm_per_min").name, kind_of("tool_life_min").name
    ('feed_rate', 'time_min')
    """
    for kind in KINDS:
        if name.endswith(kind.suffix):
            return kind
    return PLAIN


def wire_name(name: str) -> str:
    """The key on the wire for a name inside the calculations.

    Examples
    --------
    >>> wire_name("cutter_centre_radius_mm"), wire_name("cutting_time_s")
    ('cutter_centre_radius', 'cutting_time_s')
    """
    kind = kind_of(name)
    return name.removesuffix(kind.suffix) if kind.bare and kind.suffix else name


def units_of(unit: Unit) -> dict[str, str]:
    """Unit of each kind of quantity in an answer; the rest carries its unit in the key."""
    return {
        kind.name: kind.unit(unit)
        for kind in (LENGTH, AREA, FEED_RATE, SURFACE_SPEED, SPINDLE_SPEED)
    }
