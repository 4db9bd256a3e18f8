"""A thread with the size aimed at, and the wires and the method it is measured with."""

from __future__ import annotations

from typing import NamedTuple

from threadwright_service.calc.measurement.wires.groove import BareThread, Groove
from threadwright_service.calc.measurement.wires.pins import PinChoice
from threadwright_service.calc.measurement.wires.wire_range import WireRange
from threadwright_service.calc.measurement.wires.wires import Setup, centre_distance_mm, reading_mm
from threadwright_service.calc.threads.thread import Span, ThreadLimits


class Measuring(NamedTuple):
    """What is measured, and with what.

    ``limits`` are those of the pitch diameter; ``choice`` is what was chosen from the wires on
    hand, if there were any.
    """

    thread: ThreadLimits | BareThread
    groove: Groove
    limits: Span
    aim_mm: float
    wires: WireRange
    choice: PinChoice | None
    setup: Setup

    @property
    def outward(self) -> float:
        """1 outside, -1 inside."""
        return 1.0 if self.groove.side == "external" else -1.0

    @property
    def go_limit_mm(self) -> float | None:
        """Limit of the pitch diameter on the side of the GO gauge [mm]."""
        return self.limits.max if self.groove.side == "external" else self.limits.min

    def reading_mm(self, pitch_diameter_mm: float) -> float:
        """What the instrument reads at a pitch diameter [mm]."""
        distance_mm = centre_distance_mm(
            groove=self.groove, pitch_diameter_mm=pitch_diameter_mm, setup=self.setup
        )
        return reading_mm(groove=self.groove, centre_distance_mm=distance_mm, setup=self.setup)
