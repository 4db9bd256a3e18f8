"""The fastest division against brute force over a grid of depths and feeds.

Passes inside are shorter the shallower they are, by the share of the depth in the radius. A search
over depths alone would use that: skims first, and the whole depth in the last pass. The plan does
not, because its rule is equal peak force. So two searches are run: one over all divisions with
passes of the length of the last, and one with true lengths over the divisions whose peak force is
no larger than the plan's.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from threadwright_service.calc.errors import InfeasibleError, MissingInputError
from threadwright_service.calc.milling.geometry.section import ToothProfile
from threadwright_service.calc.milling.infeed.division import Division, Given, divide
from threadwright_service.calc.milling.loads.force import DepthLoad
from threadwright_service.calc.milling.loads.load import mean_power_kw
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut
from threadwright_service.calc.milling.plan.limits import PassLimits, feed_limits_mm
from threadwright_service.calc.milling.plan.optimiser import fastest

TOOTH = ToothProfile(
    nose_flat_mm=0.127, nose_radius_mm=0, first_flank_angle_deg=30, second_flank_angle_deg=30
)
OUTSIDE = ThreadCut(
    outward=1,
    start_radius_mm=9.525,
    cutter_radius_mm=4.7625,
    teeth=4,
    rows_ratio=1.0,
    tooth=TOOTH,
    specific_force_mpa=2800.0,
    force_exponent_ratio=0.25,
    radial_to_tangential_ratio=0.5,
    edge_force_n_per_mm=40.0,
    runout_step_mm=0.0,
    milling="climb",
    lead_mm=1.5875,
)
INSIDE = replace(
    OUTSIDE,
    outward=-1,
    start_radius_mm=8.6,
    cutter_radius_mm=5.0,
    teeth=3,
    tooth=replace(TOOTH, nose_flat_mm=0.0, nose_radius_mm=0.1),
)
CLOSE = replace(OUTSIDE, outward=-1, start_radius_mm=4.2, cutter_radius_mm=3.0, teeth=5)
RUNOUT = replace(OUTSIDE, runout_step_mm=0.003)
SPEED = 1700.0
LIMITS = PassLimits(
    spindle_speed_rev_per_min=SPEED,
    feed_per_tooth_max_mm=0.03,
    chip_thickness_max_mm=0.03,
    chip_thickness_min_mm=0.001,
    wall_force_max_n=100.0,
    neck_force_max_n=600.0,
    feed_rate_max_mm_per_min=math.inf,
    centripetal_max_m_per_s2=math.inf,
    power_max_kw=math.inf,
    depth_of_a_pass_mm=5.0,
    last_depth_min_mm=0.02,
)


@dataclass(frozen=True)
class Job:
    cut: ThreadCut
    depth: float

    def pass_time_s(self, depth_mm: float, feed_mm: float) -> float:
        """Twenty turns at the feed of the centre."""
        way = 20 * 2 * math.pi * self.cut.centre_radius_mm(depth_mm)
        feed = feed_mm * self.cut.centre_feed_ratio(depth_mm) * self.cut.teeth * SPEED / 60
        return way / feed


def _time_s(job: Job, division: Division) -> float:
    return sum(job.pass_time_s(t, division.feed_per_tooth_mm) for t in division.depths_mm)


GRID = 36
FEEDS = 90


@lru_cache(maxsize=16)
def _tables(job: Job, limits: PassLimits) -> tuple[Any, Any, Any, Any]:
    """Largest and smallest feed of each pass of the grid, its time at feed 1, its peak force."""
    size = GRID + 1
    largest, smallest = np.zeros((size, size)), np.full((size, size), np.inf)
    times, peaks = np.zeros(size), np.full((size, size), np.inf)
    for end in range(1, size):
        load = DepthLoad(job.cut, job.depth * end / GRID)
        times[end] = job.pass_time_s(load.depth_mm, 1.0)
        ratio = job.cut.centre_feed_ratio(load.depth_mm)
        for start in range(end):
            begin = job.depth * start / GRID
            found = feed_limits_mm(load=load, limits=limits, from_depth_mm=begin)
            largest[start, end] = min(found.values())
            sine = math.sin(min(load.engagement_rad(begin), math.pi / 2))
            peaks[start, end] = _peak_n(load, begin, 0.01)
            smallest[start, end] = limits.chip_thickness_min_mm / (ratio * sine * 0.5)
            if end == GRID and load.depth_mm - begin < limits.last_depth_min_mm:
                smallest[start, end] = np.inf
    return largest, smallest, times, peaks


def _peak_n(load: DepthLoad, begin: float, feed: float) -> float:
    end = load.engagement_rad(begin)
    force = load.tangential_n(feed * load.cut.centre_feed_ratio(load.depth_mm))
    return max(force(end * k / 60) for k in range(1, 61))


def brute_force_s(
    job: Job, limits: PassLimits, least: int, most: int, peak: float | None = None
) -> float:
    """Shortest time over all divisions of the grid, all feeds, and the numbers of passes.

    With ``peak`` only those whose tangential force stays below it, in passes of their true
    length; without, in passes of the length of the last.
    """
    largest, smallest, times, peaks = _tables(job, replace(limits, depth_of_a_pass_mm=5.0))
    if peak is None:
        times = np.full(GRID + 1, times[GRID])
    best = math.inf
    cap = largest[:, GRID].max()
    for feed in np.geomspace(cap / 12, cap, FEEDS):
        allowed = (largest >= feed * (1 - 1e-9)) & (smallest <= feed)
        if peak is not None:
            allowed &= peaks * (feed / 0.01) ** 0.75 <= peak
        step = np.where(allowed, times[None, :] / feed, np.inf)
        cost = np.full(GRID + 1, np.inf)
        cost[0] = 0.0
        for passes in range(1, most + 1):
            cost = (cost[:, None] + step).min(axis=0)
            if passes >= least:
                best = min(best, float(cost[GRID]))
    return best


CASES: Mapping[str, tuple[Job, PassLimits, int]] = {
    "outside, only the feed binds": (Job(OUTSIDE, 1.09), LIMITS, 1),
    "outside, four passes by practice": (
        Job(OUTSIDE, 1.09),
        replace(LIMITS, depth_of_a_pass_mm=0.254),
        4,
    ),
    "outside, soft neck": (Job(OUTSIDE, 1.09), replace(LIMITS, wall_force_max_n=35.0), 1),
    "outside, soft neck, three passes": (
        Job(OUTSIDE, 1.09),
        replace(LIMITS, wall_force_max_n=35.0, depth_of_a_pass_mm=0.35),
        3,
    ),
    "outside, thin chips only, three passes": (
        Job(OUTSIDE, 1.09),
        replace(LIMITS, chip_thickness_max_mm=0.012, depth_of_a_pass_mm=0.35),
        3,
    ),
    "outside, thick smallest chip, three passes": (
        Job(OUTSIDE, 1.09),
        replace(LIMITS, chip_thickness_min_mm=0.004, depth_of_a_pass_mm=0.35),
        3,
    ),
    "outside, weak neck, two passes": (
        Job(OUTSIDE, 1.09),
        replace(LIMITS, neck_force_max_n=60.0, depth_of_a_pass_mm=0.5),
        2,
    ),
    "inside, soft neck, two passes": (
        Job(INSIDE, 0.9),
        replace(LIMITS, wall_force_max_n=50.0, depth_of_a_pass_mm=0.45),
        2,
    ),
    "inside, close cutter, teeth overlap": (
        Job(CLOSE, 0.8),
        replace(LIMITS, wall_force_max_n=60.0, depth_of_a_pass_mm=0.4),
        2,
    ),
    "inside, slow machine, three passes": (
        Job(INSIDE, 0.9),
        replace(LIMITS, feed_rate_max_mm_per_min=50.0, depth_of_a_pass_mm=0.3),
        3,
    ),
    "outside, run-out, three passes": (
        Job(RUNOUT, 1.09),
        replace(LIMITS, wall_force_max_n=60.0, depth_of_a_pass_mm=0.35),
        3,
    ),
    "conventional, soft neck, two passes": (
        Job(replace(OUTSIDE, milling="conventional"), 1.09),
        replace(LIMITS, wall_force_max_n=30.0, depth_of_a_pass_mm=0.5),
        2,
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_never_slower_than_brute_force_by_one_per_cent_and_inside_all_limits(name: str) -> None:
    job, limits, least = CASES[name]
    found = fastest(
        cut=job.cut,
        depth_mm=job.depth,
        limits=limits,
        given=Given(),
        pass_time_s=job.pass_time_s,
    )
    alike = found.passes * job.pass_time_s(job.depth, found.feed_per_tooth_mm)
    brute = brute_force_s(job, limits, least, 6)
    assert math.isfinite(brute)
    assert alike <= 1.01 * brute
    # The grid holds 36 depths and 90 feeds: it cannot be much slower either, or one of the two
    # would not search what it says.
    assert alike >= 0.85 * brute
    loads = [DepthLoad(job.cut, depth) for depth in found.depths_mm]
    peak = max(
        _peak_n(load, begin, found.feed_per_tooth_mm)
        for load, begin in zip(loads, (0.0, *found.depths_mm), strict=False)
    )
    if job.cut.runout_step_mm == 0:
        assert _time_s(job, found) <= 1.01 * brute_force_s(job, limits, least, 6, 1.001 * peak)
    assert found.keeps_limits
    assert found.passes == least
    assert_inside(job, limits, found)


def assert_inside(job: Job, limits: PassLimits, found: Division) -> None:
    """Every pass inside chip, force and feed limits, by sampling the forces."""
    for before, after in pairwise((0.0, *found.depths_mm)):
        load = DepthLoad(job.cut, after)
        end = load.engagement_rad(before)
        centre = found.feed_per_tooth_mm * job.cut.centre_feed_ratio(after)
        wall = max(load.wall_n(centre)(end * k / 200) for k in range(1, 201))
        force = max(load.tangential_n(centre)(end * k / 200) for k in range(1, 201))
        assert wall <= limits.wall_force_max_n * (1 + 1e-5)
        assert math.hypot(1, 0.5) * force <= limits.neck_force_max_n * (1 + 1e-5)
        assert load.chip_mm(end, centre) <= limits.chip_thickness_max_mm * (1 + 1e-5)
        assert found.feed_per_tooth_mm <= limits.feed_per_tooth_max_mm * (1 + 1e-9)
        assert centre * job.cut.teeth * found.spindle_speed_rev_per_min <= (
            limits.feed_rate_max_mm_per_min * (1 + 1e-6)
        )
        assert centre * math.sin(min(end, math.pi / 2)) * 0.5 >= (
            limits.chip_thickness_min_mm * (1 - 1e-5)
        )


@settings(max_examples=40, deadline=None)
@given(
    outward=st.sampled_from((1, -1)),
    share=st.floats(0.25, 0.7),
    depth=st.floats(0.3, 1.2),
    wall=st.floats(15, 200),
    chip=st.floats(0.008, 0.05),
    practice=st.floats(0.2, 1.5),
)
def test_plans_are_inside_limits_and_never_have_more_passes_than_asked_for(
    outward: int, share: float, depth: float, wall: float, chip: float, practice: float
) -> None:
    cut = replace(OUTSIDE, outward=outward, start_radius_mm=8.6, cutter_radius_mm=8.6 * share)
    limits = replace(
        LIMITS,
        wall_force_max_n=wall,
        chip_thickness_max_mm=chip,
        chip_thickness_min_mm=1e-6,
        last_depth_min_mm=1e-6,
        depth_of_a_pass_mm=practice,
    )
    job = Job(cut, depth)
    found = fastest(
        cut=cut, depth_mm=depth, limits=limits, given=Given(), pass_time_s=job.pass_time_s
    )
    assert found.passes == max(1, math.ceil(depth / (1.125 * practice)))
    assert found.depths_mm[-1] == depth
    assert list(found.depths_mm) == sorted(found.depths_mm)
    assert_inside(job, limits, found)


@settings(max_examples=25, deadline=None)
@given(wall=st.floats(20, 90), wider=st.floats(1.01, 2))
def test_a_wider_limit_never_costs_time(wall: float, wider: float) -> None:
    job = Job(OUTSIDE, 1.09)
    times = []
    for limit in (wall, wall * wider):
        found = fastest(
            cut=job.cut,
            depth_mm=job.depth,
            limits=replace(LIMITS, wall_force_max_n=limit, depth_of_a_pass_mm=0.35),
            given=Given(),
            pass_time_s=job.pass_time_s,
        )
        times.append(_time_s(job, found))
    assert times[1] <= times[0] * (1 + 1e-5)


def _fastest(limits: PassLimits = LIMITS, **given: Any) -> Division:
    job = Job(OUTSIDE, 1.09)
    return fastest(
        cut=job.cut,
        depth_mm=job.depth,
        limits=limits,
        given=Given(**given),
        pass_time_s=job.pass_time_s,
    )


def test_a_given_feed_gets_the_fewest_passes_that_keep_the_limits() -> None:
    # Lowest peaks of n passes at 0.03 mm off the wall, from the equal-force divisions: 5 is the
    # first that keeps 60 N; checked against all divisions of the grid.
    limits = replace(LIMITS, wall_force_max_n=60.0)
    found = _fastest(limits, feed_per_tooth_mm=0.03)
    largest, _, _, _ = _tables(Job(OUTSIDE, 1.09), limits)
    reach = {0}
    for passes in range(1, found.passes):
        reach = {e for s in reach for e in range(GRID + 1) if largest[s, e] >= 0.03 * 1.02}
        assert GRID not in reach, passes
    assert found.keeps_limits
    assert found.feed_per_tooth_mm == 0.03
    assert found.passes > 1


def test_a_given_feed_that_nothing_can_bear_is_kept_and_shown() -> None:
    found = _fastest(
        replace(LIMITS, wall_force_max_n=10.0, depth_of_a_pass_mm=0.35), feed_per_tooth_mm=0.03
    )
    assert found.feed_per_tooth_mm == 0.03
    assert found.passes == 3
    assert not found.keeps_limits
    assert found.limited_by(2)[0] == "deflection"
    assert found.limited_by(2)[1] > 1


def test_given_passes_are_kept() -> None:
    for passes in (1, 2, 6):
        assert _fastest(passes=passes).passes == passes
    # More than the limits ask for cost time.
    job = Job(OUTSIDE, 1.09)
    assert _time_s(job, _fastest(passes=4)) > _time_s(job, _fastest())


@pytest.mark.parametrize("infeed", ["equal-area", "equal-depth", "falling"])
def test_given_infeed_is_kept_with_its_largest_feed(infeed: str) -> None:
    limits = replace(LIMITS, wall_force_max_n=40.0, depth_of_a_pass_mm=0.35)
    found = _fastest(limits, infeed=infeed, infeed_ratio=0.7)
    assert found.keeps_limits
    assert found.feed_per_tooth_mm == pytest.approx(
        min(min(each.values()) for each in found.feed_limits)
    )
    shares = [found.limited_by(index)[1] for index in range(found.passes)]
    assert max(shares) == pytest.approx(1)


def test_equal_force_allows_more_feed_than_equal_area() -> None:
    limits = replace(LIMITS, wall_force_max_n=40.0, depth_of_a_pass_mm=0.35)
    by_force, by_area = _fastest(limits), _fastest(limits, infeed="equal-area")
    assert by_force.feed_per_tooth_mm > by_area.feed_per_tooth_mm


def test_a_list_is_kept_and_must_have_the_number_of_passes() -> None:
    depths = [0.4, 0.8, 1.0]
    found = _fastest(infeed="list", infeed_depths_mm=depths)
    assert found.depths_mm == tuple(depths)
    with pytest.raises(InfeasibleError) as caught:
        _fastest(infeed="list", infeed_depths_mm=depths, passes=2)
    assert caught.value.parameter == "passes"


def test_falling_infeed_needs_its_ratio() -> None:
    with pytest.raises(MissingInputError) as caught:
        _fastest(infeed="falling")
    assert caught.value.parameter == "infeed_ratio"
    with pytest.raises(MissingInputError):
        divide(
            cut=OUTSIDE,
            depth_mm=1.0,
            passes=None,
            limits=LIMITS,
            given=Given(infeed="equal-depth"),
        )


def test_a_skim_pass_asks_for_two_passes() -> None:
    found = _fastest(first_pass_share_ratio=0.5)
    assert found.passes == 2


def test_too_many_passes_for_the_smallest_chip_are_shown() -> None:
    # Practice wants four passes, the chip of the last would be too thin: kept, and told.
    limits = replace(LIMITS, chip_thickness_min_mm=0.008, depth_of_a_pass_mm=0.254)
    found = _fastest(limits)
    assert found.passes == 4
    assert not found.keeps_limits
    assert found.chip_reached_ratio < 1


def test_a_slow_machine_slows_the_spindle_rather_than_thin_the_chip() -> None:
    limits = replace(
        LIMITS,
        feed_rate_max_mm_per_min=60.0,
        depth_of_a_pass_mm=0.35,
        chip_thickness_min_mm=0.0024,
    )
    found = _fastest(limits)
    assert found.keeps_limits
    assert found.spindle_speed_rev_per_min < SPEED
    assert found.chip_reached_ratio == pytest.approx(1)
    # With the speed given it stays, and the chip is thin.
    kept = _fastest(limits, keeps_speed=True)
    assert kept.spindle_speed_rev_per_min == SPEED
    assert kept.chip_reached_ratio < 1


def test_a_given_feed_slows_the_spindle_where_the_machine_cannot_follow() -> None:
    limits = replace(LIMITS, feed_rate_max_mm_per_min=60.0)
    found = _fastest(limits, feed_per_tooth_mm=0.02)
    assert found.feed_per_tooth_mm == 0.02
    centre = 0.02 * OUTSIDE.centre_feed_ratio(1.09)
    assert found.spindle_speed_rev_per_min == pytest.approx(60 / (4 * centre))


def test_power_slows_the_spindle() -> None:
    found = _fastest(replace(LIMITS, power_max_kw=0.01))
    assert found.power_limited
    power = mean_power_kw(
        cut=OUTSIDE,
        from_depth_mm=0.0,
        to_depth_mm=1.09,
        feed_edge_mm=found.feed_per_tooth_mm,
        spindle_speed_rev_per_min=found.spindle_speed_rev_per_min,
    )
    assert power == pytest.approx(0.01)
    assert not _fastest(replace(LIMITS, power_max_kw=1.0)).power_limited
