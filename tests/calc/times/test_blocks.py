"""Blocks one after the other: corners, block rate, look-ahead, against a fine numeric model."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.times.motion.blocks import (
    Block,
    chord_length_mm,
    corner_speed_mm_per_s,
    sequence,
)
from threadwright_service.calc.times.motion.machine_motion import MachineMotion

MACHINE = MachineMotion(rapid_rate_mm_per_min=15_000, acceleration_m_per_s2=4.0)


def _numeric_s(
    lengths: Sequence[float], speeds: Sequence[float], acceleration: float, braking: float
) -> float:
    """Time on a straight line cut into cells: v² grows by 2 a ds at most, and falls by 2 d ds."""
    cells = 4000
    total = math.fsum(lengths)
    ends = [math.fsum(lengths[: i + 1]) for i in range(len(lengths))]
    ds = total / cells
    caps = [0.0] * (cells + 1)
    for k in range(1, cells):
        at = k * ds
        caps[k] = min(
            speed**2
            for speed, start, end in zip(speeds, [0.0, *ends], ends, strict=False)
            if start - 1e-12 <= at <= end + 1e-12
        )
    for k in range(1, cells + 1):
        caps[k] = min(caps[k], caps[k - 1] + 2 * acceleration * ds)
    for k in range(cells - 1, -1, -1):
        caps[k] = min(caps[k], caps[k + 1] + 2 * braking * ds)
    return math.fsum(2 * ds / (math.sqrt(caps[k]) + math.sqrt(caps[k + 1])) for k in range(cells))


@settings(max_examples=40, deadline=None)
@given(
    blocks=st.lists(st.tuples(st.floats(1, 50), st.floats(200, 12_000)), min_size=1, max_size=5),
    acceleration=st.floats(0.5, 8),
    braking=st.floats(0.5, 8),
)
def test_blocks_on_one_line_against_a_numeric_model(
    blocks: list[tuple[float, float]], acceleration: float, braking: float
) -> None:
    ours = sequence(
        blocks=[Block(length_mm=length, feed_mm_per_min=feed) for length, feed in blocks],
        machine=MachineMotion(
            rapid_rate_mm_per_min=15_000,
            acceleration_m_per_s2=acceleration,
            deceleration_m_per_s2=braking,
        ),
    )
    numeric_s = _numeric_s(
        [length for length, _ in blocks],
        [feed / 60 for _, feed in blocks],
        acceleration * 1000,
        braking * 1000,
    )
    assert ours.time_s == pytest.approx(numeric_s, rel=0.01)


@given(
    length=st.floats(0.1, 200),
    share=st.floats(0.01, 0.99),
    feed=st.floats(10, 15_000),
)
def test_a_joint_without_a_corner_costs_nothing(length: float, share: float, feed: float) -> None:
    whole = sequence(blocks=[Block(length_mm=length, feed_mm_per_min=feed)], machine=MACHINE)
    parts = sequence(
        blocks=[
            Block(length_mm=length * share, feed_mm_per_min=feed),
            Block(length_mm=length * (1 - share), feed_mm_per_min=feed),
        ],
        machine=MACHINE,
    )
    assert parts.time_s == pytest.approx(whole.time_s, rel=1e-9)


def test_a_corner_without_tolerance_is_a_stop() -> None:
    """Twice 10 mm at 100 mm/s with 4 m/s², rest at the corner: 2(0.1 + 0.025) s."""
    blocks = [
        Block(length_mm=10, feed_mm_per_min=6000, corner_deg=90),
        Block(length_mm=10, feed_mm_per_min=6000),
    ]
    assert sequence(blocks=blocks, machine=MACHINE).time_s == pytest.approx(0.25, rel=1e-12)


def test_a_corner_that_may_be_rounded() -> None:
    """90° within 0.01 mm: r = 0.01 cos 45°/(1 - cos 45°) = 0.024142 mm, v = 9.827 mm/s."""
    speed = corner_speed_mm_per_s(
        corner_deg=90, tolerance_mm=0.01, centripetal_acceleration_m_per_s2=4, shorter_block_mm=10
    )
    assert speed == pytest.approx(math.sqrt(4000 * 0.0241421356), rel=1e-8)
    # The rounding may not use more than half of the shorter block: r tan 45° <= 0.01 mm.
    short = corner_speed_mm_per_s(
        corner_deg=90, tolerance_mm=0.01, centripetal_acceleration_m_per_s2=4, shorter_block_mm=0.02
    )
    assert short == pytest.approx(math.sqrt(4000 * 0.01), rel=1e-9)
    back = corner_speed_mm_per_s(
        corner_deg=180, tolerance_mm=0.01, centripetal_acceleration_m_per_s2=4, shorter_block_mm=10
    )
    assert back == 0


@given(corner=st.floats(1, 179), more=st.floats(0.1, 60))
def test_a_sharper_corner_is_never_faster(corner: float, more: float) -> None:
    blunt, sharp = (
        corner_speed_mm_per_s(
            corner_deg=min(180, angle),
            tolerance_mm=0.01,
            centripetal_acceleration_m_per_s2=4,
            shorter_block_mm=10,
        )
        for angle in (corner, corner + more)
    )
    assert sharp <= blunt


def test_block_rate_is_the_limit_and_is_named() -> None:
    """A curve in pieces of 0.1 mm, 500 blocks a second: 50 mm/s = 3,000 mm/min at most."""
    block = Block(length_mm=100, feed_mm_per_min=6000, segment_length_mm=0.1)
    machine = MachineMotion(
        rapid_rate_mm_per_min=15_000, acceleration_m_per_s2=4.0, block_rate_per_s=500
    )
    motion = sequence(blocks=[block], machine=machine)
    assert motion.blocks[0].limited_by == "block-rate"
    assert motion.blocks[0].speed_reached_mm_per_min == pytest.approx(3000)
    assert motion.time_s == pytest.approx(100 / 50 + 50 / 4000, rel=1e-12)


def test_without_look_ahead_every_piece_ends_at_rest() -> None:
    """Ten pieces of 1 mm with 4 m/s²: 10 · 2 sqrt(1/4000) s."""
    block = Block(length_mm=10, feed_mm_per_min=6000, segment_length_mm=1)
    machine = MachineMotion(
        rapid_rate_mm_per_min=15_000, acceleration_m_per_s2=4.0, look_ahead_blocks=0
    )
    motion = sequence(blocks=[block], machine=machine)
    assert motion.time_s == pytest.approx(20 * math.sqrt(1 / 4000), rel=1e-12)
    assert motion.blocks[0].limited_by == "look-ahead"


def test_look_ahead_over_a_few_pieces() -> None:
    """Three pieces of 0.1 mm known with 4 m/s²: sqrt(2 · 4000 · 0.3) = 48.99 mm/s at most."""
    block = Block(length_mm=100, feed_mm_per_min=6000, segment_length_mm=0.1)
    machine = MachineMotion(
        rapid_rate_mm_per_min=15_000, acceleration_m_per_s2=4.0, look_ahead_blocks=3
    )
    motion = sequence(blocks=[block], machine=machine)
    assert motion.blocks[0].limited_by == "look-ahead"
    assert motion.blocks[0].speed_reached_mm_per_min == pytest.approx(60 * math.sqrt(2400))


@settings(max_examples=50, deadline=None)
@given(
    blocks=st.lists(st.floats(0.05, 3), min_size=2, max_size=12),
    known=st.integers(0, 10),
)
def test_more_look_ahead_is_never_slower(blocks: list[float], known: int) -> None:
    times = [
        sequence(
            blocks=[Block(length_mm=length, feed_mm_per_min=9000) for length in blocks],
            machine=MachineMotion(
                rapid_rate_mm_per_min=15_000, acceleration_m_per_s2=4.0, look_ahead_blocks=count
            ),
        ).time_s
        for count in (known, known + 1, None)
    ]
    assert times[1] <= times[0] * (1 + 1e-12)
    assert times[2] <= times[1] * (1 + 1e-12)


def test_the_machines_feed_is_the_limit_and_is_named() -> None:
    machine = MachineMotion(
        rapid_rate_mm_per_min=15_000, acceleration_m_per_s2=4.0, feed_rate_max_mm_per_min=5000
    )
    motion = sequence(blocks=[Block(length_mm=100, feed_mm_per_min=6000)], machine=machine)
    assert motion.blocks[0].limited_by == "feed-rate-max"
    assert motion.blocks[0].speed_reached_mm_per_min == pytest.approx(5000)
    rapid = sequence(blocks=[Block(length_mm=100, feed_mm_per_min=None)], machine=MACHINE)
    assert rapid.blocks[0].limited_by == "rapid-rate"
    assert rapid.rapid_time_s == pytest.approx(100 / 250 + 250 / 4000)
    assert rapid.feed_time_s == 0


def test_an_arc_between_two_lines_is_taken_at_its_own_speed() -> None:
    """A quarter turn of 1 mm at 4 m/s² allows 63.2 mm/s; the lines slow down to it before it.

    By hand: lines of 20 mm up to 100 mm/s and down to 63.246: up 0.025 s over 1.25 mm, down
    (100² - 4000)/8000 = 0.75 mm in 0.009189 s, 18 mm at 100 mm/s; the arc at constant speed.
    """
    blocks = [
        Block(length_mm=20, feed_mm_per_min=6000),
        Block(length_mm=math.pi / 2, feed_mm_per_min=6000, radius_mm=1),
        Block(length_mm=20, feed_mm_per_min=6000),
    ]
    motion = sequence(blocks=blocks, machine=MACHINE)
    arc_mm_per_s = math.sqrt(4000)
    line_s = 0.025 + (100 - arc_mm_per_s) / 4000 + 18 / 100
    assert motion.time_s == pytest.approx(2 * line_s + math.pi / 2 / arc_mm_per_s, rel=1e-12)
    assert motion.blocks[1].limited_by == "centripetal"


def test_the_chord_of_a_circle() -> None:
    """Height of a segment: r - sqrt(r² - (s/2)²) is the tolerance again."""
    chord = chord_length_mm(radius_mm=13.2, tolerance_mm=0.002)
    height = 13.2 - math.sqrt(13.2**2 - (chord / 2) ** 2)
    assert height == pytest.approx(0.002, rel=1e-9)
    assert chord_length_mm(radius_mm=1, tolerance_mm=5) == pytest.approx(2)


def test_blocks_that_cannot_be_are_refused() -> None:
    with pytest.raises(OutOfRangeError):
        Block(length_mm=-1, feed_mm_per_min=100)
    with pytest.raises(OutOfRangeError):
        Block(length_mm=1, feed_mm_per_min=0)
    with pytest.raises(OutOfRangeError):
        Block(length_mm=1, feed_mm_per_min=100, radius_mm=math.nan)


def test_a_window_that_ends_inside_a_curve() -> None:
    """One block of 0.2 mm and then pieces of 0.1 mm; three known: 0.2 + 2 · 0.1 mm to stop in."""
    blocks = [
        Block(length_mm=5, feed_mm_per_min=6000),
        Block(length_mm=0.2, feed_mm_per_min=6000),
        Block(length_mm=50, feed_mm_per_min=6000, segment_length_mm=0.1),
    ]
    machine = MachineMotion(
        rapid_rate_mm_per_min=15_000, acceleration_m_per_s2=4.0, look_ahead_blocks=3
    )
    motion = sequence(blocks=blocks, machine=machine)
    # sqrt(2 · 4000 · 0.4) = 56.57 mm/s at the end of the first, from a peak where braking begins.
    peak = math.sqrt((2 * 4000 * 5 + 56.5685**2) / 2)
    assert motion.blocks[0].speed_reached_mm_per_min == pytest.approx(60 * min(100, peak), rel=1e-4)
    assert motion.blocks[2].limited_by == "look-ahead"
