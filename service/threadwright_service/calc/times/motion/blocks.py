"""Time of program blocks one after the other: corners, block rate and look-ahead.

The speed at each joint of two blocks is the highest from which everything that follows can still
be met, and that can be reached from what went before: one sweep backwards, one forwards.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.motion.motion import (
    MM_PER_M,
    S_PER_MIN,
    SpeedLimit,
    feed_reached_mm_per_min,
)
from threadwright_service.calc.times.motion.ramps import ramped
from threadwright_service.calc.times.ranges import above_zero, not_negative
from threadwright_service.calc.trail import Formula

BLOCK_SPEED: Final = Formula(
    "speed at which the control runs out of blocks",
    "v_b",
    "s_b * n_b",
    "s_b n_b",
    unit="mm/s",
    source="derivation",
)
WINDOW_SPEED: Final = Formula(
    "speed from which the move can be stopped inside the blocks that are known",
    "v_w",
    "sqrt(2 * d * s_w)",
    "d s_w",
    unit="mm/s",
    source="derivation",
)
CORNER_RADIUS: Final = Formula(
    "radius that rounds a corner within a tolerance",
    "r_k",
    "delta * cos(radians(theta/2)) / (1 - cos(radians(theta/2)))",
    "delta theta",
    unit="mm",
    source="derivation",
)
CHORD_LENGTH: Final = Formula(
    "longest straight piece of a circle within a tolerance",
    "s_b",
    "2 * sqrt(2*r*delta - delta**2)",
    "r delta",
    unit="mm",
    source="derivation",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One block of a program, or one curve that the program gives in straight pieces.

    Parameters
    ----------
    length_mm : float
        Length along the path [mm].
    feed_mm_per_min : float or None
        Programmed feed of the cutter centre [mm/min]; ``None``: rapid traverse.
    radius_mm : float or None
        Radius of an arc or helix [mm]; ``None``: a straight line.
    lead_mm : float
        Rise of a helix for each turn [mm].
    corner_deg : float
        Change of direction at its end [°]: 0 goes on tangent, 180 turns back.
    stops : bool
        True: comes to rest at its end whatever follows.
    segment_length_mm : float or None
        Length of the straight pieces that the program gives the curve in [mm]; ``None``: one block.
    name : str
        What it is, for the answer.
    """

    length_mm: float
    feed_mm_per_min: float | None
    radius_mm: float | None = None
    lead_mm: float = 0.0
    corner_deg: float = 0.0
    stops: bool = False
    segment_length_mm: float | None = None
    name: str = ""

    def __post_init__(self) -> None:
        not_negative("length_mm", self.length_mm)
        not_negative("lead_mm", self.lead_mm)
        not_negative("corner_deg", self.corner_deg)
        for name in ("feed_mm_per_min", "radius_mm", "segment_length_mm"):
            if getattr(self, name) is not None:
                above_zero(name, getattr(self, name))


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockMotion:
    """How one block runs."""

    name: str
    length_mm: float
    time_s: float
    speed_reached_mm_per_min: float
    limited_by: SpeedLimit
    rapid: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SequenceMotion:
    """How a sequence of blocks runs, from rest to rest."""

    time_s: float
    length_mm: float
    blocks: tuple[BlockMotion, ...]

    @property
    def rapid_time_s(self) -> float:
        """Time of the rapid moves among them [s]."""
        return math.fsum(block.time_s for block in self.blocks if block.rapid)

    @property
    def feed_time_s(self) -> float:
        """Time of the moves at a programmed feed [s]."""
        return math.fsum(block.time_s for block in self.blocks if not block.rapid)


def sequence(*, blocks: Sequence[Block], machine: MachineMotion) -> SequenceMotion:
    """Time of blocks one after the other, from rest to rest.

    Parameters
    ----------
    blocks : sequence of Block
        In the order of the program.
    machine : MachineMotion
        Rates, ramps, block rate, look-ahead and corner tolerance.

    Raises
    ------
    OutOfRangeError
        If a radius is too small to be a path.

    Notes
    -----
    Source: derivation. A corner that may be rounded off is taken at the speed that its rounding
    radius allows towards the centre; the path that it saves is not taken off. A limited look-ahead
    is a control that never runs faster than it can stop at the last block that it knows.
    """
    caps = [_cap(block, machine) for block in blocks]
    joints, held = _joint_limits(blocks, caps, machine)
    braking_mm_per_s2 = machine.braking_m_per_s2 * MM_PER_M
    acceleration_mm_per_s2 = machine.acceleration_m_per_s2 * MM_PER_M
    # joints[i] is the speed before block i; the first and the last are rest.
    for i in range(len(blocks) - 1, -1, -1):
        reach = math.sqrt(joints[i + 1] ** 2 + 2 * braking_mm_per_s2 * blocks[i].length_mm)
        joints[i] = min(joints[i], reach)
    for i, block in enumerate(blocks):
        reach = math.sqrt(joints[i] ** 2 + 2 * acceleration_mm_per_s2 * block.length_mm)
        joints[i + 1] = min(joints[i + 1], reach)
    motions = tuple(
        _run(block, caps[i], joints[i], joints[i + 1], held[i] or held[i + 1], machine)
        for i, block in enumerate(blocks)
    )
    return SequenceMotion(
        time_s=math.fsum(motion.time_s for motion in motions),
        length_mm=math.fsum(block.length_mm for block in blocks),
        blocks=motions,
    )


def corner_speed_mm_per_s(
    *,
    corner_deg: float,
    tolerance_mm: float,
    centripetal_acceleration_m_per_s2: float,
    shorter_block_mm: float,
) -> float:
    r"""Speed at which a corner may be taken when it may be rounded off [mm/s].

    .. math:: r = \delta \frac{\cos(\theta/2)}{1 - \cos(\theta/2)}, \qquad v = \sqrt{a_c r}

    The rounding may use half of the shorter block at most: r tan(θ/2) ≤ s/2.

    Parameters
    ----------
    corner_deg : float
        Change of direction, θ [°]; 0 goes straight on and has no limit.
    tolerance_mm : float
        Distance of the rounded path from the corner, δ [mm].
    centripetal_acceleration_m_per_s2 : float
        Limit towards the centre [m/s²].
    shorter_block_mm : float
        Length of the shorter of the two blocks [mm].

    Raises
    ------
    OutOfRangeError
        If the angle or the tolerance is negative.

    Notes
    -----
    Source: derivation.

    Examples
    --------
    A square corner with 0.01 mm to spare, at 4 m/s²: a radius of 0.0241 mm.

    >>> 60 * corner_speed_mm_per_s(
    ...     corner_deg=90,
    ...     tolerance_mm=0.01,
    ...     centripetal_acceleration_m_per_s2=4,
    ...     shorter_block_mm=10,
    ... )
    589.6
    """
    not_negative("corner_deg", corner_deg)
    not_negative("corner_tolerance_mm", tolerance_mm)
    if corner_deg < SMOOTH_DEG:
        return math.inf
    if tolerance_mm == 0 or corner_deg >= 180:
        return 0.0
    radius_mm = min(
        CORNER_RADIUS.function(tolerance_mm, corner_deg),
        shorter_block_mm / 2 / math.tan(math.radians(corner_deg) / 2),
    )
    return math.sqrt(centripetal_acceleration_m_per_s2 * MM_PER_M * radius_mm)


SMOOTH_DEG: Final = 1e-6
"""A corner below this is the rounding error of an angle that was computed."""


def chord_length_mm(*, radius_mm: float, tolerance_mm: float) -> float:
    """Longest straight piece that stays within a tolerance of a circle [mm].

    Raises
    ------
    OutOfRangeError
        If a value is not above zero.

    Notes
    -----
    Source: derivation (height of a circular segment).

    Examples
    --------
    >>> chord_length_mm(radius_mm=10, tolerance_mm=0.002)
    0.4
    """
    above_zero("radius_mm", radius_mm)
    above_zero("tolerance_mm", tolerance_mm)
    return CHORD_LENGTH.function(radius_mm, min(tolerance_mm, radius_mm))


def _pieces(block: Block) -> int:
    """Program blocks that a block stands for."""
    if block.segment_length_mm is None:
        return 1
    # A hair's breadth more than a whole number of pieces is that number.
    return max(1, math.ceil(block.length_mm / block.segment_length_mm - 1e-9))


def _cap(block: Block, machine: MachineMotion) -> tuple[float, SpeedLimit]:
    """The highest speed inside a block [mm/s] and what sets it."""
    reason: SpeedLimit = "feed"
    if block.feed_mm_per_min is None:
        cap_mm_per_min, reason = machine.rapid_rate_mm_per_min, "rapid-rate"
    else:
        cap_mm_per_min = block.feed_mm_per_min
        highest_mm_per_min = machine.feed_rate_max_mm_per_min or machine.rapid_rate_mm_per_min
        if highest_mm_per_min < cap_mm_per_min:
            cap_mm_per_min, reason = highest_mm_per_min, "feed-rate-max"
    if block.radius_mm is not None:
        allowed_mm_per_min = feed_reached_mm_per_min(
            radius_mm=block.radius_mm,
            acceleration_m_per_s2=machine.centripetal_m_per_s2,
            lead_mm=block.lead_mm,
        )
        if allowed_mm_per_min < cap_mm_per_min:
            cap_mm_per_min, reason = allowed_mm_per_min, "centripetal"
    cap_mm_per_s = cap_mm_per_min / S_PER_MIN
    piece_mm = block.length_mm / _pieces(block)
    if machine.block_rate_per_s is not None and piece_mm > 0:
        block_mm_per_s = BLOCK_SPEED.function(piece_mm, machine.block_rate_per_s)
        if block_mm_per_s < cap_mm_per_s:
            cap_mm_per_s, reason = block_mm_per_s, "block-rate"
    if machine.look_ahead_blocks and _pieces(block) > 1:
        window_mm_per_s = WINDOW_SPEED.function(
            machine.braking_m_per_s2 * MM_PER_M, machine.look_ahead_blocks * piece_mm
        )
        if window_mm_per_s < cap_mm_per_s:
            cap_mm_per_s, reason = window_mm_per_s, "look-ahead"
    return cap_mm_per_s, reason


def _joint_limits(
    blocks: Sequence[Block], caps: Sequence[tuple[float, SpeedLimit]], machine: MachineMotion
) -> tuple[list[float], list[bool]]:
    """Speed that each joint allows by itself [mm/s], and whether look-ahead sets it."""
    joints, held = [0.0], [False]
    for i in range(len(blocks) - 1):
        block, following = blocks[i], blocks[i + 1]
        limit_mm_per_s = min(caps[i][0], caps[i + 1][0])
        if block.stops:
            limit_mm_per_s = 0.0
        limit_mm_per_s = min(
            limit_mm_per_s,
            corner_speed_mm_per_s(
                corner_deg=block.corner_deg,
                tolerance_mm=machine.corner_tolerance_mm,
                centripetal_acceleration_m_per_s2=machine.centripetal_m_per_s2,
                shorter_block_mm=min(block.length_mm, following.length_mm),
            ),
        )
        window_mm_per_s = _window_speed_mm_per_s(blocks, i + 1, machine)
        held.append(window_mm_per_s < limit_mm_per_s)
        joints.append(min(limit_mm_per_s, window_mm_per_s))
    return [*joints, 0.0], [*held, False]


def _window_speed_mm_per_s(blocks: Sequence[Block], first: int, machine: MachineMotion) -> float:
    """Speed from which the blocks that the control knows are long enough to stop in [mm/s]."""
    if machine.look_ahead_blocks is None:
        return math.inf
    known, length_mm = machine.look_ahead_blocks, 0.0
    for i in range(first, len(blocks)):
        if known <= 0:
            break
        pieces = _pieces(blocks[i])
        length_mm += blocks[i].length_mm * min(known, pieces) / pieces
        known -= pieces
    return WINDOW_SPEED.function(machine.braking_m_per_s2 * MM_PER_M, length_mm)


def _run(
    block: Block,
    cap: tuple[float, SpeedLimit],
    entry_mm_per_s: float,
    exit_mm_per_s: float,
    held: bool,
    machine: MachineMotion,
) -> BlockMotion:
    acceleration_mm_per_s2 = machine.acceleration_m_per_s2 * MM_PER_M
    braking_mm_per_s2 = machine.braking_m_per_s2 * MM_PER_M
    cap_mm_per_s, reason = cap
    pieces = _pieces(block)
    if machine.look_ahead_blocks == 0 and pieces > 1:
        time_s, top_mm_per_s = ramped(
            block.length_mm / pieces, cap_mm_per_s, acceleration_mm_per_s2, braking_mm_per_s2, 0, 0
        )
        time_s, held = time_s * pieces, True
    else:
        time_s, top_mm_per_s = ramped(
            block.length_mm,
            cap_mm_per_s,
            acceleration_mm_per_s2,
            braking_mm_per_s2,
            entry_mm_per_s,
            exit_mm_per_s,
        )
    if top_mm_per_s < cap_mm_per_s * (1 - 1e-12):
        reason = "look-ahead" if held else "acceleration"
    return BlockMotion(
        name=block.name,
        length_mm=block.length_mm,
        time_s=time_s,
        speed_reached_mm_per_min=top_mm_per_s * S_PER_MIN,
        limited_by=reason,
        rapid=block.feed_mm_per_min is None,
    )
