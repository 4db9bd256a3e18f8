"""Forces of a pass against a tooth cut into small pieces, and against the reference example."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from support.numeric_tooth import NumericTooth, rounded, vee
from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.geometry.section import ToothProfile
from threadwright_service.calc.milling.loads.force import DepthLoad
from threadwright_service.calc.milling.loads.load import mean_power_kw, pass_load
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut
from threadwright_service.calc.trail import Trail

FEED = 0.045
K, M = 2800.0, 0.25


def tooth(flat: float, radius: float = 0.0, angle: float = 30.0) -> ToothProfile:
    return ToothProfile(
        nose_flat_mm=flat,
        nose_radius_mm=radius,
        first_flank_angle_deg=angle,
        second_flank_angle_deg=angle,
    )


CUT = ThreadCut(
    outward=1,
    start_radius_mm=9.525,
    cutter_radius_mm=4.7625,
    teeth=4,
    rows_ratio=1.0,
    tooth=tooth(0.127),
    specific_force_mpa=K,
    force_exponent_ratio=M,
    radial_to_tangential_ratio=0.5,
    edge_force_n_per_mm=40.0,
    runout_step_mm=0.0,
    milling="climb",
    lead_mm=1.5875,
)
"""The reference example: 3/4-16 outside, cutter 9.525 mm, nose flat 0.127 mm, 50 HRC."""

CASES = {
    "outside, flat nose": (CUT, vee(0.127)),
    "inside, flat nose": (
        replace(CUT, outward=-1, start_radius_mm=8.6, tooth=tooth(0.1)),
        vee(0.1),
    ),
    "inside, large cutter, rounded": (
        replace(CUT, outward=-1, start_radius_mm=4.2, cutter_radius_mm=3.3, tooth=tooth(0, 0.12)),
        rounded(0.12),
    ),
    "outside, rounded": (replace(CUT, cutter_radius_mm=8.0, tooth=tooth(0, 0.2)), rounded(0.2)),
    "trapezoidal": (
        replace(CUT, start_radius_mm=16.0, tooth=tooth(0.9, 0, 15)),
        vee(0.9, 15),
    ),
}


def numeric(cut: ThreadCut, half: object) -> NumericTooth:
    return NumericTooth(
        outward=cut.outward,
        start_radius=cut.start_radius_mm,
        cutter_radius=cut.cutter_radius_mm,
        half_width=half,  # type: ignore[arg-type]
        nose_half=cut.tooth.nose_flat_mm / 2,
        pieces=1500,
    )


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize(("before", "after"), [(0, 0.4), (0.4, 0.8), (0.76, 0.8)])
def test_largest_force_is_that_of_the_edge_piece_by_piece(
    name: str, before: float, after: float
) -> None:
    # Independent: the edge in pieces, each in or out of the cut by its own place, beyond the
    # engagement angle as well; so it also shows that the largest force lies within the angle.
    cut, half = CASES[name]
    load, model = DepthLoad(cut, after), numeric(cut, half)
    end = load.engagement_rad(before)
    angles = [*np.linspace(0.3, 0.98, 20) * end, end * (1 - 1e-9), *np.linspace(1.01, 1.3, 8) * end]
    whole = [
        model.force(before=before, after=after, angle=angle, feed=FEED, k=K, m=M, radial=0.5)
        for angle in angles
        if angle < math.pi / 2
    ]
    tangential, at = load.largest(load.tangential_n(FEED), end)
    assert tangential == pytest.approx(max(force for force, _ in whole), rel=4e-3)
    found, radial = model.force(
        before=before, after=after, angle=at * (1 - 1e-9), feed=FEED, k=K, m=M, radial=0.5
    )
    assert load.tangential_n(FEED)(at) == pytest.approx(found, rel=1e-3)
    assert load.radial_n(FEED)(at) == pytest.approx(radial, rel=1e-3)


def test_reference_example_with_the_radial_depth() -> None:
    # The reference example takes the radial depth below the blank for the reach of the edge and a
    # centre feed of 0.045 mm (0.03 mm at the nominal diameter) in all passes: equal depth
    # 35/78/129 N, equal area 61/98/125 N, equal force 100 N at 0.816, 0.921 and 1 of 1.090 mm.
    for shares, forces in (
        ((1 / 3, 2 / 3, 1), (35, 78, 129)),
        ((0.54001, 0.79987, 1), (61, 98, 125)),
        ((0.816, 0.921, 1), (100, 100, 100)),
    ):
        for (before, after), force in zip(
            pairwise((0.0, *(share * 1.090 for share in shares))), forces, strict=True
        ):
            load = DepthLoad(CUT, after)
            end = load.engagement_rad(before)
            radial = max(_with_radial_depth(load, end * k / 400) for k in range(1, 401))
            assert radial == pytest.approx(force, abs=0.6)
            # The edge reaches further than the radial depth: the true force is above, up to 11 %.
            true, _ = load.largest(load.tangential_n(FEED), end)
            assert 1.0 < true / radial < 1.11


def _with_radial_depth(load: DepthLoad, angle: float) -> float:
    centre, tip = load.centre_radius_mm, load.cut.cutter_radius_mm
    distance = math.sqrt(centre**2 + tip**2 - 2 * centre * tip * math.cos(angle))
    depth = load.depth_mm - (distance - load.made_radius_mm)
    width = 0.127 + 2 * depth / math.cos(math.pi / 6) * math.pow(0.5, 1 - M)
    return K * math.pow(FEED * math.sin(angle), 1 - M) * width


def test_reach_along_the_tooth_is_where_it_leaves_the_blank() -> None:
    # Independent: step along the tooth until the distance from the axis is the blank's radius.
    for cut, sign in ((CUT, 1), (CASES["inside, flat nose"][0], -1)):
        load = DepthLoad(cut, 0.8)
        for angle in (0.0, 0.15, 0.3):
            reach = load.edge_reach_mm(angle)
            rho, centre = cut.cutter_radius_mm - reach, load.centre_radius_mm
            distance = math.sqrt(centre**2 + rho**2 - sign * 2 * centre * rho * math.cos(angle))
            assert distance == pytest.approx(cut.start_radius_mm, rel=1e-12)


def test_start_of_engagement_undoes_the_engagement() -> None:
    for cut, _ in CASES.values():
        load = DepthLoad(cut, 0.8)
        for start in (0.0, 0.31, 0.79):
            back = load.start_of_engagement_mm(load.engagement_rad(start))
            assert back == pytest.approx(start, abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(
    outward=st.sampled_from((1, -1)),
    share=st.floats(0.2, 0.75),
    depth=st.floats(0.2, 1.2),
    level=st.floats(0.05, 1.2),
    teeth=st.integers(1, 9),
)
def test_engagement_within_a_limit_keeps_it_and_wastes_nothing(
    outward: int, share: float, depth: float, level: float, teeth: int
) -> None:
    cut = replace(
        CUT, outward=outward, start_radius_mm=8.6, cutter_radius_mm=8.6 * share, teeth=teeth
    )
    load = DepthLoad(cut, depth)
    curve = load.tangential_n(FEED)
    highest = max(curve(load.exit_angle_rad * k / 300) for k in range(1, 301))
    within = load.engagement_within_rad(curve, level * highest)
    up_to = max(curve(within * k / 300) for k in range(1, 301))
    assert up_to <= level * highest * (1 + 2e-4)
    if within < load.exit_angle_rad:
        assert curve(within) == pytest.approx(level * highest, rel=1e-5)


@settings(max_examples=60, deadline=None)
@given(
    outward=st.sampled_from((1, -1)),
    share=st.floats(0.2, 0.75),
    depth=st.floats(0.2, 1.2),
    start=st.floats(0, 0.99),
    teeth=st.integers(1, 9),
    milling=st.sampled_from(("climb", "conventional")),
)
def test_largest_is_the_largest_of_many_samples(
    outward: int, share: float, depth: float, start: float, teeth: int, milling: str
) -> None:
    cut = replace(
        CUT,
        outward=outward,
        start_radius_mm=8.6,
        cutter_radius_mm=8.6 * share,
        teeth=teeth,
        milling=milling,  # type: ignore[arg-type]
    )
    load = DepthLoad(cut, depth)
    end = load.engagement_rad(start * depth)
    for curve in (load.tangential_n(FEED), load.wall_n(FEED)):
        sampled = max(curve(end * k / 500) for k in range(1, 501))
        # Where teeth join the cut the sum has corners, which sampling may pass by a little.
        assert load.largest(curve, end)[0] == pytest.approx(sampled, rel=2e-3)


def test_force_goes_with_the_power_of_the_feed() -> None:
    # D: every chip goes with the feed, so the force with feed^(1 − m).
    load = DepthLoad(CUT, 1.0)
    end = load.engagement_rad(0.9)
    once, _ = load.largest(load.tangential_n(0.02), end)
    twice, _ = load.largest(load.tangential_n(0.04), end)
    assert twice / once == pytest.approx(2**0.75)


def test_halving_the_feed_helps_more_than_halving_the_infeed() -> None:
    # D: F ∝ f^(1 − m)·Δ^((1 − m)/2) for a thin pass with a sharp nose: 41 % against 23 %.
    cut = replace(CUT, tooth=tooth(0.0))
    load = DepthLoad(cut, 1.0)

    def peak(step: float, feed: float) -> float:
        return load.largest(load.tangential_n(feed), load.engagement_rad(1.0 - step))[0]

    assert 1 - peak(0.01, 0.02) / peak(0.01, 0.04) == pytest.approx(0.41, abs=0.005)
    assert 1 - peak(0.005, 0.04) / peak(0.01, 0.04) == pytest.approx(0.23, abs=0.005)


def test_teeth_that_follow_add_their_force() -> None:
    # D: with a tooth every 20 degrees the second and third one stand 20 and 40 degrees behind.
    cut = replace(CUT, outward=-1, start_radius_mm=4.2, cutter_radius_mm=3.3, teeth=18)
    load = DepthLoad(cut, 0.8)
    one = load.tangential_of_one_n(FEED)
    step = math.radians(20)
    assert load.tangential_n(FEED)(1.0) == pytest.approx(
        one(1.0) + one(1.0 - step) + one(1 - 2 * step)
    )


def test_rows_of_a_full_length_cutter_add_up() -> None:
    alone = DepthLoad(CUT, 0.8)
    all_rows = DepthLoad(replace(CUT, rows_ratio=12.0), 0.8)
    assert all_rows.tangential_n(FEED)(0.2) == pytest.approx(12 * alone.tangential_n(FEED)(0.2))
    assert all_rows.edge_wall_n() == pytest.approx(12 * alone.edge_wall_n())


def test_wall_force_in_climb_and_in_conventional_milling() -> None:
    # D: resolve both forces along the wall's normal; in climb milling the tooth runs towards the
    # wall, so its reaction pushes the cutter off.
    climb = DepthLoad(CUT, 0.8)
    other = DepthLoad(replace(CUT, milling="conventional"), 0.8)
    angle = 0.25
    tangential, radial = climb.tangential_n(FEED)(angle), climb.radial_n(FEED)(angle)
    assert climb.wall_n(FEED)(angle) == pytest.approx(
        radial * math.cos(angle) + tangential * math.sin(angle)
    )
    assert other.wall_n(FEED)(angle) == pytest.approx(radial)


def test_axial_force_is_what_the_rise_leaves_between_the_flanks() -> None:
    # Independent: feed direction dotted with each flank's normal, Kienzle on each.
    load = DepthLoad(CUT, 0.8)
    angle, alpha = 0.25, math.pi / 6
    rise = CUT.lead_mm / (2 * math.pi * load.centre_radius_mm)
    sides = []
    for sign in (1, -1):
        chip = FEED * (math.sin(angle) * math.sin(alpha) + sign * rise * math.cos(alpha))
        length = load.edge_reach_mm(angle) / math.cos(alpha)
        normal = 0.5 * K * chip ** (1 - M) * length
        sides.append(normal * math.cos(alpha))
    assert load.axial_n(angle, FEED) == pytest.approx(sides[0] - sides[1])
    # Without a rise the flanks cancel.
    assert DepthLoad(replace(CUT, lead_mm=0.0), 0.8).axial_n(angle, FEED) == pytest.approx(0)


def test_runout_thickens_the_chip_of_one_tooth() -> None:
    load = DepthLoad(replace(CUT, runout_step_mm=0.006), 0.8)
    plain = DepthLoad(CUT, 0.8)
    assert load.chip_mm(0.2, FEED) == pytest.approx(FEED * math.sin(0.2) + 0.006)
    ratio = load.tangential_n(FEED)(0.2) / plain.tangential_n(FEED)(0.2)
    assert ratio == pytest.approx(((FEED * math.sin(0.2) + 0.006) / (FEED * math.sin(0.2))) ** 0.75)


def test_mean_power_is_the_work_of_all_teeth() -> None:
    # Independent: 20,000 steps of the force over the arc.
    load = DepthLoad(CUT, 0.8)
    end = load.engagement_rad(0.5)
    feed = 0.03 * CUT.centre_feed_ratio(0.8)
    force = load.tangential_n(feed)
    work = sum(force(end * (k + 0.5) / 20_000) for k in range(20_000)) * end / 20_000 * 4.7625e-3
    power = mean_power_kw(
        cut=CUT,
        from_depth_mm=0.5,
        to_depth_mm=0.8,
        feed_edge_mm=0.03,
        spindle_speed_rev_per_min=2000,
    )
    assert power == pytest.approx(work * 4 * 2000 / 60 / 1000, rel=2e-4)


def test_power_is_that_of_the_chips_by_volume() -> None:
    # D: with m = 0 the work for each volume is the specific force on the nose alone; flanks of a
    # narrow groove add as their edge stands. A square tooth (flanks at 0.01°) has no flank chip.
    cut = replace(
        CUT, tooth=tooth(1.0, 0, 0.01), force_exponent_ratio=0.0, specific_force_mpa=2000.0
    )
    feed_edge, speed = 0.03, 2000.0
    power = mean_power_kw(
        cut=cut,
        from_depth_mm=0.5,
        to_depth_mm=0.6,
        feed_edge_mm=feed_edge,
        spindle_speed_rev_per_min=speed,
    )
    made, centre = 9.525 - 0.6, 9.525 - 0.6 + 4.7625
    chip = feed_edge * centre / made * ((9.025**2 - made**2) / (2 * centre)) * 1.0
    flanks = 1 + 2 * 0.55 * math.tan(math.radians(0.01))
    assert power == pytest.approx(2000e-6 * chip * flanks * 4 * speed / 60, rel=3e-3)


def test_pass_load_puts_it_together() -> None:
    trail = Trail(steps=[])
    load = pass_load(
        cut=CUT,
        from_depth_mm=0.6,
        to_depth_mm=0.8,
        feed_edge_mm=0.03,
        spindle_speed_rev_per_min=1700,
        compliance_um_per_n=0.13,
        trail=trail,
    )
    deep = DepthLoad(CUT, 0.8)
    feed = 0.03 * CUT.centre_feed_ratio(0.8)
    assert load.chip_thickness_max_mm == pytest.approx(
        feed * math.sin(math.radians(load.engagement_deg))
    )
    assert load.chip_thickness_flank_mm == pytest.approx(load.chip_thickness_max_mm / 2)
    assert load.chip_thickness_thin_flank_mm < load.chip_thickness_flank_mm
    assert load.torque_nm == pytest.approx(load.tangential_force_n * 4.7625e-3)
    assert load.deflection_high_mm == pytest.approx(0.13e-3 * load.wall_force_n)
    assert load.deflection_low_mm == pytest.approx(
        0.13e-3 * min(deep.edge_wall_n(), load.wall_force_n)
    )
    assert load.resultant_force_n == pytest.approx(
        math.hypot(load.tangential_force_n, load.radial_force_n)
    )
    assert trail.steps
    assert any(
        step.symbol == "F_t" and step.value == pytest.approx(load.tangential_force_n)
        for step in trail.steps
    )


def test_edge_force_on_the_wall_by_hand() -> None:
    # 40 N for each millimetre of the groove's width at the blank: 0.127 + 2·0.8·tan 30°.
    assert DepthLoad(CUT, 0.8).edge_wall_n() == pytest.approx(
        40 * (0.127 + 1.6 * math.tan(math.pi / 6))
    )


def test_a_cutter_without_a_path_is_refused() -> None:
    with pytest.raises(InfeasibleError) as caught:
        DepthLoad(replace(CUT, outward=-1, start_radius_mm=3.0), 0.5)
    assert caught.value.parameter == "cutter_diameter"
