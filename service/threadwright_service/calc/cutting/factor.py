"""One factor of a scaling, with all that a reader needs to judge it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

AppliesTo = Literal["surface_speed", "feed_per_tooth", "feed_rate"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """A number that a condition is multiplied by, and why."""

    name: str
    """What differs: ``hardness``, ``diameter``, ``engagement``, ``stick-out`` …"""
    applies_to: AppliesTo
    """What is multiplied: surface speed, feed of a tooth or feed rate."""
    value_ratio: float
    """The factor itself; 1 where this case does not differ from the reference."""
    formula: str
    """The equation with its symbols; the numbers put in stand in the working."""
    source: str
    """Publication, derivation, common practice or memory behind the formula."""
    exponent_ratio: float | None = None
    """The exponent of the power law; null where there is none."""
    range: str = ""
    """Where the data behind it ends, in words."""
    extrapolated: bool = False
    """Whether this case lies outside that range."""
