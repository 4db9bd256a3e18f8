"""Direction of travel, checked by moving points, not by a second table (**D**).

The tooth, the work and the helix are put into coordinates and the conditions of the words climb,
conventional, right hand and left hand are tested as they are defined.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from threadwright_service.calc.milling.path.direction import Milling, direction_of
from threadwright_service.calc.threads.thread import Hand, Side

CASES = list(
    itertools.product(
        ("external", "internal"), ("right", "left"), ("climb", "conventional"), ("right", "left")
    )
)
STEP = 1e-6


def turned(angle: float, radius: float) -> np.ndarray:
    return np.array([radius * math.cos(angle), radius * math.sin(angle), 0.0])


@pytest.mark.parametrize(("side", "hand", "milling", "cutter_hand"), CASES)
@pytest.mark.parametrize("place", [0.0, 0.7, 2.5, 4.0])
def test_every_case(
    side: Side, hand: Hand, milling: Milling, cutter_hand: Hand, place: float
) -> None:
    way = direction_of(side=side, hand=hand, milling=milling, cutter_hand=cutter_hand)
    sense = {"counter-clockwise": 1.0, "clockwise": -1.0}
    # A right-hand cutter has its rake faces forward when it turns clockwise seen from above.
    assert way.spindle == ("clockwise" if cutter_hand == "right" else "counter-clockwise")
    centre = turned(place, 10.0)
    travel = (turned(place + sense[way.travel] * STEP, 10.0) - centre) / STEP
    # The contact: the point of the cutter nearest to the finished wall.
    towards_axis = -centre / np.linalg.norm(centre)
    contact = (4.0 if side == "external" else -4.0) * towards_axis
    spin = np.array([0.0, 0.0, sense[way.spindle]])
    tooth = np.cross(spin, contact)
    # Climb: in the work's eyes the tooth runs back along the way the cutter goes forward, so the
    # chip starts thick at the unmade side and ends at the wall.
    assert (np.dot(tooth, travel) < 0) == (milling == "climb")
    # Right hand: a nut turned clockwise, seen from one end, goes away; the helix that turns
    # counter-clockwise seen from +z comes towards +z.
    turn = np.cross(centre, travel)[2]
    rise = {"up": 1.0, "down": -1.0}[way.axial]
    assert (turn * rise > 0) == (hand == "right")
    assert way.starts_at == ("bottom" if way.axial == "up" else "face")
    assert way.turn_sign == sense[way.travel]
    assert way.axial_sign == rise
    assert way.travel_word == {"clockwise": "G2", "counter-clockwise": "G3"}[way.travel]
    assert way.spindle_word == {"clockwise": "M3", "counter-clockwise": "M4"}[way.spindle]


@pytest.mark.parametrize("side", ["external", "internal"])
def test_the_hand_alone_changes_only_the_axial_direction(side: Side) -> None:
    kinds: tuple[Milling, ...] = ("climb", "conventional")
    for kind in kinds:
        right = direction_of(side=side, hand="right", milling=kind)
        left = direction_of(side=side, hand="left", milling=kind)
        assert (right.travel, right.spindle) == (left.travel, left.spindle)
        assert right.axial != left.axial


def test_chip_of_a_climbing_tooth_ends_at_the_wall() -> None:
    """The tooth's way across the fresh material, outside, right hand: outer side first."""
    way = direction_of(side="external", hand="right", milling="climb")
    spin = -1.0 if way.spindle == "clockwise" else 1.0
    travel_y = -1.0 if way.travel == "clockwise" else 1.0
    # Cutter centre at (10, 0); engaged points lie ahead of the contact at (6, 0), along travel.
    ahead = math.pi - travel_y * 0.3
    before = np.array([10 + 4 * math.cos(ahead), 4 * math.sin(ahead)])
    assert before[1] * travel_y > 0
    rate = spin * np.array([-before[1], before[0] - 10])
    towards_contact = np.array([6.0, 0.0]) - before
    assert np.dot(rate, towards_contact) > 0
