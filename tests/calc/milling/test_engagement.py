"""Engagement and chip thickness against hand calculation and intersections of circles."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.milling.loads import engagement
from threadwright_service.calc.trail import Trail


def _angle(outward: int, made: float, width: float, cutter: float) -> float:
    return engagement.engagement_angle_deg(
        before_radius_mm=made + outward * width,
        made_radius_mm=made,
        centre_radius_mm=made + outward * cutter,
        cutter_radius_mm=cutter,
    )


def test_angles_of_the_same_width_outside_straight_and_inside() -> None:
    # By hand from the law of cosines: wall radius 9, width 0.3, cutter radius 3.
    # Outside acos(1 - 5.49/72), straight acos(1 - 0.3/3), inside acos(1 - 5.31/36).
    assert round(_angle(1, 9, 0.3, 3), 2) == 22.52
    assert round(_angle(1, 9e6, 0.3, 3), 2) == 25.84
    assert round(_angle(-1, 9, 0.3, 3), 2) == 31.52


@given(
    outward=st.sampled_from((1, -1)),
    made=st.floats(4, 60),
    width=st.floats(0.005, 1.5),
    share=st.floats(0.1, 0.8),
)
def test_angle_is_where_the_tip_circle_meets_the_old_surface(
    outward: int, made: float, width: float, share: float
) -> None:
    # Independent: walk along the tip circle until its distance from the axis is the old radius.
    cutter = made * share
    centre = made + outward * cutter
    before = made + outward * width
    if before <= 0 or _versine(before, made, centre, cutter) > 1.9:
        return
    angle = math.radians(_angle(outward, made, width, cutter))
    # The tip at this angle from the wall's normal, the cutter's centre on the x axis.
    x = centre - outward * cutter * math.cos(angle)
    y = cutter * math.sin(angle)
    assert math.hypot(x, y) == pytest.approx(before, rel=1e-9)


def _versine(before: float, made: float, centre: float, cutter: float) -> float:
    return abs(before**2 - made**2) / (2 * centre * cutter)


@pytest.mark.parametrize(("outward", "angle_deg"), [(1, 12), (1, 35), (-1, 12), (-1, 50)])
def test_chip_is_the_centre_feed_times_the_sine(outward: int, angle_deg: float) -> None:
    # Independent: two tip circles one tooth's feed apart on the centre's circle; the chip is the
    # way from the new circle to the old one along the tooth. Small feed: second order vanishes.
    made, cutter, feed = 9.0, 3.0, 1e-4
    centre = made + outward * cutter
    angle = math.radians(angle_deg)
    # Centre on the x axis; the wall lies at -x of the centre outside, at +x inside; the cutter
    # moves towards +y, so the fresh side of the tooth is at +y.
    direction = (-outward * math.cos(angle), math.sin(angle))
    turned = feed / centre
    old_centre = (centre * math.cos(turned), -centre * math.sin(turned))
    # Distance along the tooth to the old tip circle.
    offset = (centre - old_centre[0], -old_centre[1])
    along = offset[0] * direction[0] + offset[1] * direction[1]
    across_square = offset[0] ** 2 + offset[1] ** 2 - along**2
    chip = cutter - (-along + math.sqrt(cutter**2 - across_square))
    assert chip == pytest.approx(feed * math.sin(angle), rel=2e-4)
    assert engagement.chip_thickness_max_mm(
        feed_centre_per_tooth_mm=feed, engagement_deg=angle_deg
    ) == pytest.approx(chip, rel=2e-4)


def test_mean_chip_is_the_mean_of_the_arc() -> None:
    # Independent: sum over 100,000 strips of the arc.
    arc, feed, strips = math.radians(31.52), 0.03, 100_000
    mean = sum(feed * math.sin(arc * (k + 0.5) / strips) for k in range(strips)) / strips
    assert engagement.chip_thickness_mean_mm(
        feed_centre_per_tooth_mm=feed, engagement_deg=31.52
    ) == pytest.approx(mean, rel=1e-9)
    assert engagement.chip_thickness_mean_mm(feed_centre_per_tooth_mm=feed, engagement_deg=0) == 0


def test_largest_chip_beyond_a_quarter_turn_is_the_feed() -> None:
    # D: the sine has its largest value at 90 degrees, which lies inside the arc.
    assert engagement.chip_thickness_max_mm(
        feed_centre_per_tooth_mm=0.04, engagement_deg=130
    ) == pytest.approx(0.04)


def test_straight_thinning_factor_by_the_usual_formula() -> None:
    # Common practice: sin(phi) = 2·sqrt(ae/D·(1 − ae/D)) for a straight cut.
    angle = _angle(1, 1e9, 0.3, 3)
    usual = 2 * math.sqrt(0.3 / 6 * (1 - 0.3 / 6))
    assert math.sin(math.radians(angle)) == pytest.approx(usual, rel=1e-5)


def test_flank_chip_is_half_at_thirty_degrees() -> None:
    # D: the normal of an edge at 30 degrees to the radius has half its length along the radius.
    assert engagement.chip_thickness_flank_mm(
        chip_thickness_max_mm=0.02, flank_angle_deg=30
    ) == pytest.approx(0.01)


def test_equivalent_width_gives_the_same_angle_on_a_straight_cut() -> None:
    width = engagement.equivalent_width_mm(
        before_radius_mm=9.3, made_radius_mm=9, centre_radius_mm=12
    )
    # By hand: (9.3² − 9²)/24 = 0.22875.
    assert width == pytest.approx(0.22875)
    assert math.degrees(math.acos(1 - width / 3)) == pytest.approx(_angle(1, 9, 0.3, 3))


def test_flank_away_from_the_rise_cuts_thinner() -> None:
    # D: the feed's direction is (sin φ, axial p/e); the flanks' normals (sin α, ± cos α).
    share = engagement.helix_chip_share_ratio(lead_mm=1.5, centre_radius_mm=2, flank_angle_deg=30)
    assert share == pytest.approx(1.5 / (4 * math.pi) * math.cos(math.pi / 6))
    thin = engagement.chip_thickness_thin_flank_mm(
        feed_centre_per_tooth_mm=0.02,
        engagement_deg=45,
        flank_angle_deg=30,
        lead_mm=1.5,
        centre_radius_mm=2,
    )
    assert thin == pytest.approx(0.02 * (math.sin(math.pi / 4) / 2 - share))
    # Near the wall that flank does not cut at all.
    assert (
        engagement.chip_thickness_thin_flank_mm(
            feed_centre_per_tooth_mm=0.02,
            engagement_deg=5,
            flank_angle_deg=30,
            lead_mm=1.5,
            centre_radius_mm=2,
        )
        == 0
    )


@pytest.mark.parametrize("teeth", [2, 3, 5, 8])
def test_runout_step_is_the_largest_of_all_ways_to_clamp(teeth: int) -> None:
    # Independent: tip radii of all teeth for many directions of the eccentricity.
    steps, tips = [], []
    for direction in range(2000):
        radii = [
            0.005 * math.cos(2 * math.pi * (k / teeth + direction / 2000)) for k in range(teeth)
        ]
        steps.append(max(radii[k] - radii[k - 1] for k in range(teeth)))
        tips.append(max(radii))
    assert engagement.runout_step_mm(runout_mm=0.01, teeth=teeth) == pytest.approx(
        max(steps), rel=1e-4
    )
    least, most = engagement.highest_tooth_mm(runout_mm=0.01, teeth=teeth)
    assert least == pytest.approx(min(tips), rel=1e-3)
    assert most == pytest.approx(max(tips), rel=1e-3)


def test_runout_never_makes_one_tooth_cut_more_than_all() -> None:
    # D: a tooth that does all the work takes the feed of a whole turn.
    assert engagement.chip_with_runout_mm(
        chip_thickness_mm=0.002, step_mm=0.01, teeth=4
    ) == pytest.approx(0.008)
    assert engagement.chip_with_runout_mm(
        chip_thickness_mm=0.02, step_mm=0.01, teeth=4
    ) == pytest.approx(0.03)
    assert engagement.runout_step_mm(runout_mm=0.01, teeth=1) == 0


def test_centre_feed_of_a_surface_feed() -> None:
    # Common practice: F·(D + d)/D outside, F·(D − d)/D inside, D the diameter that is made.
    for outward, expected in ((1, 0.03 * (18 + 6) / 18), (-1, 0.03 * (18 - 6) / 18)):
        assert engagement.centre_feed_per_tooth_mm(
            feed_edge_per_tooth_mm=0.03, made_radius_mm=9, centre_radius_mm=9 + outward * 3
        ) == pytest.approx(expected)


def test_smallest_chip_is_a_share_of_the_edge_radius() -> None:
    assert engagement.smallest_chip_mm(edge_radius_mm=0.008) == pytest.approx(0.0024)


def test_cutter_as_large_as_the_bore_is_refused() -> None:
    assert engagement.centre_radius_mm(
        side="internal", made_radius_mm=5, cutter_radius_mm=4
    ) == pytest.approx(1)
    with pytest.raises(InfeasibleError) as caught:
        engagement.centre_radius_mm(side="internal", made_radius_mm=5, cutter_radius_mm=5)
    assert caught.value.parameter == "cutter_diameter"


def test_too_deep_for_the_cutter_is_refused() -> None:
    with pytest.raises(OutOfRangeError):
        _angle(1, 9, 7, 3)


def test_working_shows_the_numbers() -> None:
    trail = Trail(steps=[])
    engagement.engagement_angle_deg(
        before_radius_mm=9.3,
        made_radius_mm=9,
        centre_radius_mm=12,
        cutter_radius_mm=3,
        trail=trail,
    )
    assert trail.steps is not None
    assert "9.3**2 - 9" in trail.steps[0].substituted
