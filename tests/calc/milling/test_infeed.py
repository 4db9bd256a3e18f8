"""Division of the depth: hand calculation, the reference example, and what must always hold."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from threadwright_service.calc.errors import InfeasibleError, MissingInputError, OutOfRangeError
from threadwright_service.calc.milling.geometry.section import ToothProfile
from threadwright_service.calc.milling.infeed.axial_shift import axial_shifts_mm
from threadwright_service.calc.milling.infeed.infeed import (
    equal_area_mm,
    equal_depth_mm,
    equal_force_mm,
    falling_mm,
    listed_mm,
    with_skim_mm,
)
from threadwright_service.calc.milling.loads.force import DepthLoad
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut

SHARP = ToothProfile(
    nose_flat_mm=0, nose_radius_mm=0, first_flank_angle_deg=30, second_flank_angle_deg=30
)
FLAT = replace(SHARP, nose_flat_mm=0.127)
ROUND = replace(SHARP, nose_radius_mm=0.2)
CUT = ThreadCut(
    outward=1,
    start_radius_mm=9.525,
    cutter_radius_mm=4.7625,
    teeth=4,
    rows_ratio=1.0,
    tooth=FLAT,
    specific_force_mpa=2800.0,
    force_exponent_ratio=0.25,
    radial_to_tangential_ratio=0.5,
    edge_force_n_per_mm=40.0,
    runout_step_mm=0.0,
    milling="climb",
    lead_mm=1.5875,
)
DEPTH = 1.090


def _peaks(cut: ThreadCut, depths: tuple[float, ...]) -> list[float]:
    """Largest force of each pass by sampling."""
    found = []
    for before, after in pairwise((0.0, *depths)):
        load = DepthLoad(cut, after)
        end = load.engagement_rad(before)
        feed = 0.03 * cut.centre_feed_ratio(after)
        force = load.tangential_n(feed)
        angles = [end * k / 300 for k in range(1, 301)]
        # With run-out the force has a corner where one tooth begins to do the work of all.
        corner = cut.runout_step_mm / ((cut.teeth - 1) * feed)
        if 0 < corner < math.sin(min(end, math.pi / 2)):
            angles.append(math.asin(corner))
        found.append(max(force(angle) for angle in angles))
    return found


def test_equal_area_of_a_sharp_nose_goes_with_the_root() -> None:
    # Common practice, by hand: h·√(i/n).
    assert equal_area_mm(depth_mm=0.9, passes=5, tooth=SHARP) == pytest.approx(
        tuple(0.9 * math.sqrt(i / 5) for i in range(1, 6))
    )


@pytest.mark.parametrize("tooth", [SHARP, FLAT, ROUND], ids=["sharp", "flat", "rounded"])
@pytest.mark.parametrize("passes", [1, 2, 3, 7])
def test_equal_area_takes_equal_areas(tooth: ToothProfile, passes: int) -> None:
    depths = equal_area_mm(depth_mm=DEPTH, passes=passes, tooth=tooth)
    parts = [tooth.area_mm2(b) - tooth.area_mm2(a) for a, b in pairwise((0.0, *depths))]
    assert parts == pytest.approx([tooth.area_mm2(DEPTH) / passes] * passes)
    assert depths[-1] == DEPTH


def test_equal_depth_and_falling_by_hand() -> None:
    assert equal_depth_mm(depth_mm=0.9, passes=3) == pytest.approx((0.3, 0.6, 0.9))
    # 0.4 + 0.2 + 0.1.
    assert falling_mm(depth_mm=0.7, passes=3, ratio=0.5) == pytest.approx((0.4, 0.6, 0.7))
    assert falling_mm(depth_mm=0.9, passes=3, ratio=1) == pytest.approx((0.3, 0.6, 0.9))


def test_equal_force_is_near_the_reference_example() -> None:
    # The reference solves the same with the radial depth for the edge's reach: 3/4-16 outside,
    # n = 2 … 5. The true reach moves the first passes a little up; 2 % of the depth at most.
    for shares in (
        (0.886, 1),
        (0.816, 0.921, 1),
        (0.765, 0.865, 0.939, 1),
        (0.726, 0.821, 0.892, 0.950, 1),
    ):
        found = equal_force_mm(cut=CUT, depth_mm=DEPTH, passes=len(shares))
        assert [depth / DEPTH for depth in found] == pytest.approx(list(shares), abs=0.0185)


@settings(max_examples=40, deadline=None)
@given(
    outward=st.sampled_from((1, -1)),
    share=st.floats(0.2, 0.7),
    depth=st.floats(0.25, 1.3),
    passes=st.integers(2, 6),
    tooth=st.sampled_from((SHARP, FLAT, ROUND)),
    step=st.sampled_from((0.0, 0.004)),
)
def test_equal_force_is_equal(
    outward: int, share: float, depth: float, passes: int, tooth: ToothProfile, step: float
) -> None:
    cut = replace(
        CUT,
        outward=outward,
        start_radius_mm=8.6,
        cutter_radius_mm=8.6 * share,
        teeth=2,
        tooth=tooth,
        runout_step_mm=step,
    )
    depths = equal_force_mm(cut=cut, depth_mm=depth, passes=passes, feed_edge_mm=0.03)
    assert list(depths) == sorted(depths)
    assert depths[-1] == depth
    assert depths[0] > 0
    peaks = _peaks(cut, depths)
    assert max(peaks) / min(peaks) == pytest.approx(1, abs=3e-4)


def test_equal_force_has_the_lowest_peak_of_all_divisions() -> None:
    # Independent: all divisions in three passes on a grid of a fortieth of the depth.
    best = min(
        max(_peaks(CUT, (DEPTH * i / 40, DEPTH * j / 40, DEPTH)))
        for i in range(26, 36)
        for j in range(i + 1, 40)
    )
    ours = max(_peaks(CUT, equal_force_mm(cut=CUT, depth_mm=DEPTH, passes=3)))
    assert ours <= best * (1 + 1e-6)
    assert ours > 0.96 * best


def test_equal_force_against_equal_area_in_milling() -> None:
    # Reference: equal area leaves the last pass with twice the force of the first.
    peaks = _peaks(CUT, equal_area_mm(depth_mm=DEPTH, passes=3, tooth=FLAT))
    assert peaks[2] / peaks[0] == pytest.approx(125 / 61, rel=0.05)


def test_lists_are_kept_and_checked() -> None:
    assert listed_mm(depths_mm=[0.3, 0.6, 1.0]) == (0.3, 0.6, 1.0)
    with pytest.raises(MissingInputError):
        listed_mm(depths_mm=[])
    for wrong in ([0.3, 0.3], [0.3, 0.2], [0.0, 0.2], [-0.1]):
        with pytest.raises(OutOfRangeError) as caught:
            listed_mm(depths_mm=wrong)
        assert caught.value.parameter == "infeed_depths"


def test_skim_pass_lightens_the_first_only() -> None:
    assert with_skim_mm(depths_mm=(0.4, 0.7, 0.9), first_pass_share_ratio=0.5) == (0.2, 0.7, 0.9)
    assert with_skim_mm(depths_mm=(0.9,), first_pass_share_ratio=1) == (0.9,)
    with pytest.raises(InfeasibleError):
        with_skim_mm(depths_mm=(0.9,), first_pass_share_ratio=0.5)
    with pytest.raises(OutOfRangeError):
        with_skim_mm(depths_mm=(0.4, 0.9), first_pass_share_ratio=0)


@pytest.mark.parametrize(("depth", "passes"), [(0.0, 3), (-0.1, 3), (math.nan, 3), (0.5, 0)])
def test_nothing_to_divide_is_refused(depth: float, passes: int) -> None:
    with pytest.raises(OutOfRangeError):
        equal_depth_mm(depth_mm=depth, passes=passes)


def test_falling_ratio_outside_its_range_is_refused() -> None:
    for ratio in (0.0, 1.01, math.nan):
        with pytest.raises(OutOfRangeError) as caught:
            falling_mm(depth_mm=1, passes=3, ratio=ratio)
        assert caught.value.parameter == "infeed_ratio"


def test_axial_shifts_clear_the_whole_root() -> None:
    # Independent: on a fine grid every place of the root is under some cut, and none leaves it.
    for groove, nose in ((1.9, 0.8), (1.0, 0.95), (4.0, 0.5), (0.8, 0.8)):
        shifts = axial_shifts_mm(groove_flat_mm=groove, nose_flat_mm=nose)
        assert max(shifts) + nose / 2 == pytest.approx(groove / 2)
        assert min(shifts) - nose / 2 == pytest.approx(-groove / 2)
        for k in range(1001):
            place = groove * (k / 1000 - 0.5)
            assert any(abs(place - shift) <= nose / 2 + 1e-9 for shift in shifts)
        # One cut fewer would not do, overlap of a tenth included.
        assert len(shifts) == 1 or (len(shifts) - 2) * 0.9 * nose + nose < groove + 1e-9


def test_axial_shifts_refuse_what_cannot_be() -> None:
    with pytest.raises(InfeasibleError):
        axial_shifts_mm(groove_flat_mm=0.5, nose_flat_mm=0.6)
    with pytest.raises(OutOfRangeError):
        axial_shifts_mm(groove_flat_mm=0.5, nose_flat_mm=0.0)
