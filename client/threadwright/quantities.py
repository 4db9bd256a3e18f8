"""Kinds of number in a result, so that a program can say in which unit each one is.

Lengths, areas, feeds and speeds follow the answer's ``unit``, and their keys carry none; their
annotations name the kind, and the answer's ``units`` names the unit of each kind. Every other
number has its unit in its key (``cutting_time_s``).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Final


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity; ``name`` is its key in the answer's ``units``."""

    name: str


Length = Annotated[float, Kind("length")]
"""mm or in."""

Area = Annotated[float, Kind("area")]
"""mm² or in²."""

FeedRate = Annotated[float, Kind("feed_rate")]
"""mm/min or in/min."""

SurfaceSpeed = Annotated[float, Kind("surface_speed")]
"""m/min or ft/min."""

SpindleSpeed = Annotated[float, Kind("spindle_speed")]
"""rev/min."""

_UNIT_BY_ENDING: Final = (
    ("_um_per_deg", "µm/deg"),
    ("_um_per_n", "µm/N"),
    ("_n_per_mm", "N/mm"),
    ("_per_k", "1/K"),
    ("_arcmin", "arcmin"),
    ("_deg", "deg"),
    ("_min", "min"),
    ("_mpa", "MPa"),
    ("_ksi", "ksi"),
    ("_nm", "N·m"),
    ("_kw", "kW"),
    ("_hb", "HB"),
    ("_um", "µm"),
    ("_s", "s"),
    ("_n", "N"),
    ("_g", "g"),
    ("_c", "°C"),
)


_SMALLEST: Final = frozenset(("growth_min",))
"""Keys that end in the smallest of something without a unit, not in minutes."""


def unit_in_key(key: str) -> str:
    """The unit that a key ends in; empty if in none.

    Examples
    --------
    >>> unit_in_key("cutting_time_s"), unit_in_key("torque_nm"), unit_in_key("passes")
    ('s', 'N·m', '')
    """
    if key in _SMALLEST:
        return ""
    for ending, unit in _UNIT_BY_ENDING:
        if key.endswith(ending):
            return unit
    return ""
