"""The path of the cutter's centre for one pass: entry arc, helix, exit arc, as neutral data.

Axes: z along the thread's axis, positive out of the part towards the spindle, 0 at the face
where the thread begins, so the thread lies from 0 to -length; x and y from the thread's axis.
Heights are those of the middle of the nose (of the lowest row of a full-length cutter).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright_service.calc.milling.cutter import Cutter
from threadwright_service.calc.milling.groove import ThreadGroove
from threadwright_service.calc.threads.thread import Hand
from threadwright_service.calc.trail import Trail

Milling = Literal["climb", "conventional"]
Travel = Literal["clockwise", "counter-clockwise"]
Axial = Literal["up", "down"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PathElement:
    """One straight or circular move of the cutter's centre, rising evenly along it.

    ``kind``: ``rapid`` (in the air), ``line``, ``entry-arc``, ``helix``, ``exit-arc``. The sense is
    as seen from the spindle; ``arc_angle_deg`` is the whole angle (720 for two turns), 0 for a
    straight move.
    """

    kind: Literal["rapid", "line", "entry-arc", "helix", "exit-arc"]
    start_x_mm: float
    start_y_mm: float
    start_z_mm: float
    end_x_mm: float
    end_y_mm: float
    end_z_mm: float
    centre_x_mm: float
    centre_y_mm: float
    travel: Travel | None
    arc_angle_deg: float
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CentrePath:
    """The path of one pass; one element list a start thread."""

    cutter_centre_radius_mm: float
    travel: Travel
    axial: Axial
    spindle: Literal["clockwise", "counter-clockwise"]
    turns_ratio: float
    start_height_mm: float
    end_height_mm: float
    entry_arc_radius_mm: float
    entry_arc_angle_deg: float
    entry_rise_mm: float
    path_length_mm: float
    """Entry arc, helix and exit arc of all starts: what is travelled at the feed."""
    heights_from: str
    starts: int
    elements: tuple[PathElement, ...]


def centre_path(
    *,
    groove: ThreadGroove,
    hand: Hand,
    milling: Milling,
    cutter: Cutter,
    root_diameter_mm: float,
    blank_diameter_mm: float,
    thread_length_mm: float,
    shoulder_distance_mm: float | None = None,
    entry_arc_radius_mm: float | None = None,
    cutter_hand: Hand = "right",
    trail: Trail | None = None,
) -> CentrePath:
    """The path of the cutter's centre for one pass.

    Parameters
    ----------
    root_diameter_mm : float
        The diameter that the tip makes in this pass [mm].
    blank_diameter_mm : float
        Blank (outside) or hole (inside) before threading [mm].
    shoulder_distance_mm : float or None
        From the end of the full thread to the shoulder or the hole's bottom [mm]; ``None`` if
        there is neither.
    """
    raise NotImplementedError
