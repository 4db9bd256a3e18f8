"""The cutter's tooth as it stands in a groove: flat or round nose, straight flanks."""

from __future__ import annotations

import math
from dataclasses import dataclass

from threadwright_service.app.pictures.answer_parts import Answer, given, said
from threadwright_service.app.pictures.drawing import Point
from threadwright_service.app.pictures.profile import Flanks, rounded_root


@dataclass(frozen=True, slots=True, kw_only=True)
class Tooth:
    """A tooth in the answer's unit; ``outward`` is 1 for a cutter outside the work, -1 inside."""

    half_angle: float
    nose_flat: float
    nose_radius: float
    outward: int

    @classmethod
    def of_answer(cls, answer: Answer, side: str) -> Tooth:
        """The tooth that a plan's request describes."""
        return cls(
            half_angle=math.radians(given(answer, "cutter_included_angle_deg") / 2),
            nose_flat=given(answer, "cutter_nose_flat") or 0.0,
            nose_radius=given(answer, "cutter_nose_radius") or 0.0,
            outward=1 if side == "external" else -1,
        )

    @property
    def slope(self) -> float:
        """Half width gained for each unit away from the tip."""
        return math.tan(self.half_angle)

    def outline(self, tip: float, end: float, widest: float) -> list[Point]:
        """Points from the left end over the nose to the right end.

        Parameters
        ----------
        tip, end : float
            Radii from the thread's axis: of the tip, and up to where it is drawn.
        widest : float
            Half width beyond which it is cut off.
        """
        if self.nose_radius:
            sharp = tip - self.outward * self.nose_radius * (1 / math.sin(self.half_angle) - 1)
            flanks = Flanks(pitch=1.0, left=self.slope, right=self.slope, outward=self.outward)
            nose = rounded_root(flanks, sharp, self.nose_radius)
            wide = abs(end - sharp) * self.slope
        else:
            nose = [(-self.nose_flat / 2, tip), (self.nose_flat / 2, tip)]
            wide = self.nose_flat / 2 + abs(end - tip) * self.slope
        wide = min(wide, widest)
        return [(-wide, end), *nose, (wide, end)]

    def told(self, unit: str) -> str:
        """The nose in words."""
        if self.nose_radius:
            return f"nose radius {said(self.nose_radius, unit)}"
        return f"nose flat {said(self.nose_flat, unit)}"
