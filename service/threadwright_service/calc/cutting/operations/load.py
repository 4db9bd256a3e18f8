"""What every operation tells of one cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from threadwright_service.calc.cutting.case import CuttingTool, Engagement
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.errors import MissingInputError
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLoad:
    """Chip and force of one tooth at one feed."""

    engagement_angle_deg: float | None
    """Angle over which a tooth is in the work; ``None`` where it never leaves it."""
    chip_thickness_max_mm: float
    chip_thickness_mean_mm: float
    chip_thickness_thinnest_mm: float
    """Largest chip where the edge cuts thinnest: on a flank, at the nose otherwise."""
    tangential_force_n: float
    """Largest of all teeth that are in the work together."""
    tangential_force_mean_n: float
    """Mean over a revolution, all teeth; power and torque follow from it."""
    radial_force_n: float
    edge_length_mm: float
    """Edge in the work, for the ploughing force."""


class OperationMechanics(Protocol):
    """An operation: how its feed, chip and force hang together."""

    def feed_per_revolution_mm(self, feed_per_tooth_mm: float) -> float:
        """Feed along the path of each revolution for a feed of each tooth [mm]."""

    @property
    def centre_feed_ratio(self) -> float:
        """Feed of the tool's centre over the feed at the made diameter."""

    @property
    def chip_sine_ratio(self) -> float:
        """Largest chip thickness over feed of a tooth at the made diameter."""

    @property
    def engagement_sine_ratio(self) -> float | None:
        """Largest chip of an upright edge over feed of the centre; ``None`` off the mill."""

    @property
    def width_ratio(self) -> float:
        """Width or depth of cut as a share of the diameter, for the life."""

    @property
    def feed_is_the_lead(self) -> bool:
        """Whether the thread's lead sets the feed, so that only the speed is free."""

    def load(self, feed_per_tooth_mm: float, trail: Trail | None = None) -> CutLoad:
        """Chip and force at a feed of each tooth at the made diameter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """Tool, engagement and material of an operation."""

    tool: CuttingTool
    engagement: Engagement
    material: WorkMaterial


def required(value: float | None, parameter: str, why: str) -> float:
    """A length or an angle that an operation cannot do without.

    Raises
    ------
    MissingInputError
        If it was not given.
    """
    if value is None:
        accepted = "an angle in degrees" if parameter.endswith("_deg") else "a length above zero"
        raise MissingInputError(why, parameter=parameter, accepted=accepted)
    return value
