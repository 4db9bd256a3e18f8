"""Tapping: the lead is the feed, so only the speed is free."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.cutting.operations.load import Cut, CutLoad, required
from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.trail import Formula, Trail

THREAD_DEPTH_PER_PITCH: Final = 0.5413
"""5/8 of the height of the 60° triangle (ISO 68-1): the depth that a tap cuts at most."""
CHAMFER_THREADS: Final = 4

CHIP: Final = Formula(
    "chip thickness of a tooth in the tap's chamfer",
    "h",
    "t / (c * z)",
    "t c z",
    unit="mm",
    source="derivation; thread depth t over the teeth of the chamfer",
)
TORQUE: Final = Formula(
    "tangential force at the diameter, all teeth of the chamfer",
    "Ft",
    "kc * h**-m * P**2 / 4",
    "kc h m P",
    unit="N",
    source="memory: torque P^2 D kc / 8",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tapping:
    """Cutting a thread with a tap."""

    cut: Cut
    pitch_mm: float
    lead_mm: float
    chamfer_threads: int

    @classmethod
    def of(cls, cut: Cut, trail: Trail | None = None) -> Tapping:
        """The operation for a cut.

        Raises
        ------
        MissingInputError
            If the pitch is missing.
        OutOfRangeError
            If the chamfer has no thread.
        InfeasibleError
            If the thread is outside.
        """
        if cut.engagement.side == "external":
            raise InfeasibleError(
                "a tap cuts inside threads",
                parameter="process",
                value="tapping",
                accepted="an inside thread, or thread-milling or single-point-threading",
            )
        pitch_mm = required(
            cut.engagement.pitch_mm, "pitch", "the pitch is missing; it is the tap's feed"
        )
        lead_mm = pitch_mm if cut.engagement.lead_mm is None else cut.engagement.lead_mm
        chamfer = cut.tool.chamfer_threads
        if chamfer is None:
            chamfer = CHAMFER_THREADS
            if trail is not None:
                trail.assume(
                    "chamfer_threads", chamfer, "none given: a plug tap cuts over 3 to 5 threads"
                )
        if chamfer < 1:
            raise OutOfRangeError(
                f"a chamfer of {chamfer} threads cuts nothing",
                parameter="chamfer_threads",
                value=chamfer,
                accepted="1 or more",
            )
        if trail is not None:
            trail.caution(
                "tap-friction",
                "The torque is that of the chips alone; friction of a worn tap or a small hole "
                "can double it. A tap that jams breaks: set the torque limit of the machine.",
            )
        return cls(cut=cut, pitch_mm=pitch_mm, lead_mm=lead_mm, chamfer_threads=chamfer)

    def feed_per_revolution_mm(self, feed_per_tooth_mm: float) -> float:  # noqa: ARG002
        """The lead [mm]."""
        return self.lead_mm

    @property
    def centre_feed_ratio(self) -> float:
        """1: the tap goes along its axis."""
        return 1.0

    @property
    def chip_sine_ratio(self) -> float:
        """Chip of a chamfer tooth over the lead's share of a tooth."""
        return self._chip_mm / (self.lead_mm / self.cut.tool.teeth)

    @property
    def engagement_sine_ratio(self) -> None:
        """None: the edge never leaves the work."""
        return None

    @property
    def width_ratio(self) -> float:
        """Depth of the thread over the diameter."""
        return THREAD_DEPTH_PER_PITCH * self.pitch_mm / self.cut.tool.diameter_mm

    @property
    def feed_is_the_lead(self) -> bool:
        """Yes."""
        return True

    @property
    def _chip_mm(self) -> float:
        return CHIP.function(
            THREAD_DEPTH_PER_PITCH * self.pitch_mm, self.chamfer_threads, self.cut.tool.teeth
        )

    def load(self, feed_per_tooth_mm: float, trail: Trail | None = None) -> CutLoad:  # noqa: ARG002
        """Chip and force; the feed is the lead whatever is asked."""
        material, tool = self.cut.material, self.cut.tool
        chip_mm = CHIP(
            trail, THREAD_DEPTH_PER_PITCH * self.pitch_mm, self.chamfer_threads, tool.teeth
        )
        force_n = TORQUE(
            trail,
            material.specific_force_mpa,
            chip_mm,
            material.force_exponent_ratio,
            self.pitch_mm,
        )
        return CutLoad(
            engagement_angle_deg=None,
            chip_thickness_max_mm=chip_mm,
            chip_thickness_mean_mm=chip_mm,
            chip_thickness_thinnest_mm=chip_mm,
            tangential_force_n=force_n / (self.chamfer_threads * tool.teeth),
            tangential_force_mean_n=force_n,
            radial_force_n=0.0,
            edge_length_mm=2 * THREAD_DEPTH_PER_PITCH * self.pitch_mm * tool.teeth,
        )
