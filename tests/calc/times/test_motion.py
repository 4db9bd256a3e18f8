"""Single moves by hand calculation, and what must hold for every move."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.errors import CalcError, InfeasibleError, OutOfRangeError
from threadwright_service.calc.times.motion.machine_motion import (
    MachineMotion,
    acceleration_m_per_s2,
    machine_motion,
)
from threadwright_service.calc.times.motion.motion import (
    feed_reached_mm_per_min,
    helix,
    helix_length_mm,
    helix_time_s,
    move,
    move_time_s,
)
from threadwright_service.calc.times.motion.ramps import cruise_speed_per_s
from threadwright_service.calc.trail import Trail

lengths = st.floats(0.01, 2000)
feeds = st.floats(1, 60_000)
accelerations = st.floats(0.05, 50)
radii = st.floats(0.05, 500)


def test_a_move_that_reaches_its_feed() -> None:
    """100 mm at 250 mm/s, 4 m/s²: 100/250 + 250/4000 = 0.4 + 0.0625 s."""
    motion = move(length_mm=100, feed_mm_per_min=15_000, acceleration_m_per_s2=4)
    assert motion.time_s == pytest.approx(0.4625, rel=1e-12)
    assert motion.limited_by == "feed"
    assert motion.speed_reached_mm_per_min == 15_000


def test_a_move_too_short_for_its_feed() -> None:
    """9 mm with 4 m/s²: 2 sqrt(9/4000) = 0.09487 s, peak sqrt(9 * 4000) = 189.7 mm/s."""
    motion = move(length_mm=9, feed_mm_per_min=15_000, acceleration_m_per_s2=4)
    assert motion.time_s == pytest.approx(2 * math.sqrt(9 / 4000), rel=1e-12)
    assert motion.limited_by == "acceleration"
    assert motion.speed_reached_mm_per_min == pytest.approx(60 * math.sqrt(36_000), rel=1e-12)


def test_unequal_ramps() -> None:
    """60 mm at 100 mm/s, up with 1, down with 0.5 m/s².

    Up 0.1 s over 5 mm, down 0.2 s over 10 mm, 45 mm at 100 mm/s: 0.1 + 0.2 + 0.45 = 0.75 s.
    """
    time_s = move_time_s(
        length_mm=60, feed_mm_per_min=6000, acceleration_m_per_s2=1, deceleration_m_per_s2=0.5
    )
    assert time_s == pytest.approx(0.75, rel=1e-12)


def test_ends_that_are_not_at_rest() -> None:
    """From 50 to 100 mm/s over 40 mm with 1 m/s²: 3.75 mm up in 0.05 s, 36.25 mm at 100 mm/s."""
    time_s = move_time_s(
        length_mm=40,
        feed_mm_per_min=6000,
        acceleration_m_per_s2=1,
        entry_feed_mm_per_min=3000,
        exit_feed_mm_per_min=6000,
    )
    assert time_s == pytest.approx(0.05 + 0.3625, rel=1e-12)


def test_the_pass_of_a_long_outside_thread() -> None:
    """3/4-16, path of 13.2 mm radius, 13.6 turns at 439 mm/min.

    A turn is sqrt((2 π 13.2)² + 1.5875²) = 82.953 mm, 13.6 of them 1128.2 mm, at 7.3167 mm/s
    154.2 s; the ramp adds 2.4 ms. The circle would allow 60 sqrt(3000 · 13.2) = 11,940 mm/min.
    """
    length_mm = helix_length_mm(turns_ratio=13.6, radius_mm=13.2, lead_mm=1.5875)
    assert length_mm == pytest.approx(1128.2, abs=0.05)
    motion = helix(
        length_mm=length_mm,
        radius_mm=13.2,
        lead_mm=1.5875,
        feed_mm_per_min=439,
        acceleration_m_per_s2=3,
    )
    assert motion.time_s == pytest.approx(length_mm / (439 / 60) + 439 / 60 / 3000, rel=1e-12)
    assert motion.limited_by == "feed"
    limit = feed_reached_mm_per_min(radius_mm=13.2, acceleration_m_per_s2=3)
    assert limit == pytest.approx(11_940, abs=1)


def test_a_small_circle_names_its_limit() -> None:
    """Inside, a path of 1 mm radius at 3 m/s²: 60 sqrt(3000) = 3286 mm/min, whatever is asked."""
    motion = helix(
        length_mm=60, radius_mm=1, feed_mm_per_min=6000, acceleration_m_per_s2=3, lead_mm=0
    )
    assert motion.limited_by == "centripetal"
    assert motion.speed_reached_mm_per_min == pytest.approx(60 * math.sqrt(3000), rel=1e-12)


def test_a_helix_bends_less_than_its_circle() -> None:
    """Radius 1 mm, lead 2π mm: the radius of curvature is 1(1 + 1²) = 2 mm."""
    flat = feed_reached_mm_per_min(radius_mm=2, acceleration_m_per_s2=3)
    steep = feed_reached_mm_per_min(radius_mm=1, lead_mm=2 * math.pi, acceleration_m_per_s2=3)
    assert steep == pytest.approx(flat, rel=1e-12)


@given(length=lengths, feed=feeds, more=st.floats(1.0, 5), acceleration=accelerations)
def test_time_falls_with_feed_until_a_limit_binds(
    length: float, feed: float, more: float, acceleration: float
) -> None:
    slow = move(length_mm=length, feed_mm_per_min=feed, acceleration_m_per_s2=acceleration)
    fast = move(length_mm=length, feed_mm_per_min=feed * more, acceleration_m_per_s2=acceleration)
    if slow.limited_by == "acceleration":
        assert fast.limited_by == "acceleration"
        assert fast.time_s == pytest.approx(slow.time_s, rel=1e-12)
    else:
        assert fast.time_s <= slow.time_s * (1 + 1e-12)
    assert slow.time_s >= length / (feed / 60) * (1 - 1e-12)


@given(
    length=lengths, feed=feeds, more=st.floats(1.01, 5), acceleration=accelerations, radius=radii
)
def test_a_helix_is_faster_with_feed_until_a_named_limit_binds(
    length: float, feed: float, more: float, acceleration: float, radius: float
) -> None:
    slow, fast = (
        helix(
            length_mm=length,
            radius_mm=radius,
            feed_mm_per_min=each,
            acceleration_m_per_s2=acceleration,
        )
        for each in (feed, feed * more)
    )
    limit = 60 * math.sqrt(acceleration * 1000 * radius)
    assert fast.speed_reached_mm_per_min <= limit * (1 + 1e-12)
    if slow.limited_by == "feed":
        assert fast.time_s < slow.time_s
        assert slow.speed_reached_mm_per_min == pytest.approx(feed)
    else:
        assert fast.limited_by == slow.limited_by
        assert fast.time_s == slow.time_s


@given(length=lengths, feed=feeds, up=accelerations, down=accelerations)
def test_a_move_takes_as_long_backwards(length: float, feed: float, up: float, down: float) -> None:
    there, back = (
        move_time_s(
            length_mm=length,
            feed_mm_per_min=feed,
            acceleration_m_per_s2=first,
            deceleration_m_per_s2=second,
        )
        for first, second in ((up, down), (down, up))
    )
    assert there == pytest.approx(back, rel=1e-9)


@given(
    speed=st.floats(0.1, 500),
    constant_s=st.floats(0.01, 100),
    up=st.floats(1, 5000),
    down=st.floats(1, 5000),
)
def test_the_speed_for_a_time_undoes_the_time_for_a_speed(
    speed: float, constant_s: float, up: float, down: float
) -> None:
    distance = speed**2 / 2 * (1 / up + 1 / down) + speed * constant_s
    found, up_s, flat_s, down_s = cruise_speed_per_s(
        distance=distance,
        time_s=speed / up + speed / down + constant_s,
        acceleration_per_s2=up,
        deceleration_per_s2=down,
    )
    assert found == pytest.approx(speed, rel=1e-6)
    assert (up_s, flat_s, down_s) == pytest.approx(
        (speed / up, constant_s, speed / down), rel=1e-4, abs=1e-6
    )


def test_twice_the_feed_halves_the_time() -> None:
    """Common practice; the ramps are what is not halved: t(2v) - t(v)/2 = 3v/2a, by hand."""
    slow = move_time_s(length_mm=500, feed_mm_per_min=300, acceleration_m_per_s2=4)
    fast = move_time_s(length_mm=500, feed_mm_per_min=600, acceleration_m_per_s2=4)
    assert fast == pytest.approx(slow / 2, rel=1e-4)
    assert fast - slow / 2 == pytest.approx(1.5 * 5 / 4000, rel=1e-6)


def test_acceleration_in_g_is_exact() -> None:
    """0.4 times 9.80665 m/s² (defined)."""
    assert acceleration_m_per_s2(acceleration_g=0.4) == pytest.approx(3.92266, rel=1e-15)


def test_a_machine_that_is_not_known_is_assumed_and_said() -> None:
    trail = Trail()
    machine = machine_motion(trail=trail)
    assert {each.parameter for each in trail.assumptions} == {"rapid_rate", "acceleration_g"}
    assert machine.braking_m_per_s2 == machine.acceleration_m_per_s2
    known = Trail()
    machine = machine_motion(
        rapid_rate_mm_per_min=20_000,
        acceleration_g=0.5,
        deceleration_g=0.6,
        centripetal_acceleration_g=0.2,
        trail=known,
    )
    assert known.assumptions == []
    assert machine.braking_m_per_s2 == pytest.approx(0.6 * 9.80665)
    assert machine.centripetal_m_per_s2 == pytest.approx(0.2 * 9.80665)


def test_the_working_shows_the_numbers() -> None:
    trail = Trail(steps=[])
    helix_time_s(
        length_mm=100, radius_mm=5, feed_mm_per_min=600, acceleration_m_per_s2=3, trail=trail
    )
    assert trail.steps is not None
    assert [step.symbol for step in trail.steps] == ["v_c", "v_p", "t"]
    assert "3000.0" in trail.steps[0].substituted


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
@pytest.mark.parametrize("name", ["feed_mm_per_min", "acceleration_m_per_s2", "radius_mm"])
def test_no_number_above_zero_is_refused_by_name(name: str, bad: float) -> None:
    given = {
        "length_mm": 10.0,
        "radius_mm": 5.0,
        "feed_mm_per_min": 600.0,
        "acceleration_m_per_s2": 3.0,
    }
    with pytest.raises(OutOfRangeError) as refusal:
        helix_time_s(**{**given, name: bad})  # type: ignore[arg-type]
    assert refusal.value.parameter == name
    assert refusal.value.accepted


def test_ends_that_cannot_be_met_are_refused() -> None:
    with pytest.raises(InfeasibleError, match="too short"):
        move(
            length_mm=0.1, feed_mm_per_min=6000, acceleration_m_per_s2=1, entry_feed_mm_per_min=6000
        )
    with pytest.raises(InfeasibleError, match="above the move's feed"):
        move(length_mm=10, feed_mm_per_min=600, acceleration_m_per_s2=1, exit_feed_mm_per_min=6000)
    with pytest.raises(InfeasibleError, match="shortest time"):
        cruise_speed_per_s(
            distance=1000, time_s=1, acceleration_per_s2=1000, deceleration_per_s2=500
        )


def test_nothing_moves_nowhere() -> None:
    assert move_time_s(length_mm=0, feed_mm_per_min=600, acceleration_m_per_s2=3) == 0


@pytest.mark.parametrize(
    "given",
    [
        {"rapid_rate_mm_per_min": 0.0},
        {"acceleration_m_per_s2": -1.0},
        {"block_rate_per_s": 0.0},
        {"look_ahead_blocks": -1},
        {"corner_tolerance_mm": -0.1},
        {"deceleration_m_per_s2": math.nan},
    ],
)
def test_a_machine_that_cannot_be_is_refused(given: dict[str, float]) -> None:
    good: dict[str, float] = {"rapid_rate_mm_per_min": 15_000.0, "acceleration_m_per_s2": 4.0}
    with pytest.raises(CalcError) as refusal:
        MachineMotion(**{**good, **given})  # type: ignore[arg-type]
    assert refusal.value.parameter in given


def test_a_feed_that_is_none_is_refused_on_a_circle() -> None:
    with pytest.raises(OutOfRangeError) as refusal:
        feed_reached_mm_per_min(radius_mm=5, acceleration_m_per_s2=3, feed_mm_per_min=-1)
    assert refusal.value.parameter == "feed_mm_per_min"


def test_a_helix_too_short_for_its_feed_names_the_ramps() -> None:
    motion = helix(length_mm=0.5, radius_mm=50, feed_mm_per_min=9000, acceleration_m_per_s2=3)
    assert motion.limited_by == "acceleration"
