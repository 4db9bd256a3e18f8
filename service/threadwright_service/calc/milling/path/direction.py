"""Which way the cutter travels: derived from vectors, not from a table.

Axes: z along the thread's axis, positive towards the spindle. A turn that is counter-clockwise
as seen from the spindle is positive about z. The cutter's centre is looked at where it stands on
the x axis at +e.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.threads.thread import Hand, Side

Milling = Literal["climb", "conventional"]
Travel = Literal["clockwise", "counter-clockwise"]
Axial = Literal["up", "down"]

_TURN: Final[dict[int, Travel]] = {1: "counter-clockwise", -1: "clockwise"}
_AXIAL: Final[dict[int, Axial]] = {1: "up", -1: "down"}
_PATH_WORD: Final = {1: "G3", -1: "G2"}
_SPINDLE_WORD: Final = {1: "M4", -1: "M3"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Direction:
    """Travel of the cutter's centre, axial direction and spindle, as seen from the spindle.

    The words are those of ISO 6983-1: G2/G3 clockwise and counter-clockwise arc, M3/M4 spindle
    clockwise and counter-clockwise. ``starts_at`` is the end of the thread where the helix
    begins: ``face`` (z = 0) or ``bottom``.
    """

    travel: Travel
    axial: Axial
    spindle: Travel
    travel_word: str
    spindle_word: str
    starts_at: Literal["face", "bottom"]

    @property
    def turn_sign(self) -> int:
        """+1 counter-clockwise, −1 clockwise."""
        return 1 if self.travel == "counter-clockwise" else -1

    @property
    def axial_sign(self) -> int:
        """+1 up towards the spindle, −1 down."""
        return 1 if self.axial == "up" else -1


def direction_of(
    *, side: Side, hand: Hand, milling: Milling, cutter_hand: Hand = "right"
) -> Direction:
    """Travel, axial direction and spindle direction of a thread-milling path.

    Parameters
    ----------
    side : "external" or "internal"
    hand : "right" or "left"
        Hand of the thread.
    milling : "climb" or "conventional"
    cutter_hand : "right" or "left"
        A right-hand cutter turns clockwise as seen from the spindle (M3).

    Notes
    -----
    Source: derivation. The contact stands at ``c = -x`` outside and ``c = +x`` inside of the
    cutter's centre; a tooth there moves with ``v = spin z × c``. In climb milling the tooth moves
    against the travel, so that its chip ends at the finished wall; in conventional milling with
    it. The turn about the thread's axis follows from the travel at +x, and a right-hand helix
    rises with a positive turn.

    Examples
    --------
    Outside, right hand, climb: clockwise and down.

    >>> way = direction_of(side="external", hand="right", milling="climb")
    >>> way.travel, way.axial, way.spindle_word
    ('clockwise', 'down', 'M3')
    """
    spin = -1 if cutter_hand == "right" else 1
    contact_x = -1 if side == "external" else 1
    tooth_y = spin * contact_x  # z × x = y
    travel_y = -tooth_y if milling == "climb" else tooth_y
    turn = travel_y  # at +x, a move along +y is a positive turn
    rise = turn if hand == "right" else -turn
    return Direction(
        travel=_TURN[turn],
        axial=_AXIAL[rise],
        spindle=_TURN[spin],
        travel_word=_PATH_WORD[turn],
        spindle_word=_SPINDLE_WORD[spin],
        starts_at="face" if rise < 0 else "bottom",
    )
