"""Limits of a pass: by hand, and each one alone."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.cutting.starting_values import starting_condition
from threadwright_service.calc.cutting.tool_life import life_exponents
from threadwright_service.calc.errors import MissingInputError, OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter, Machine
from threadwright_service.calc.milling.geometry.section import ToothProfile
from threadwright_service.calc.milling.loads.deflection import stiffness
from threadwright_service.calc.milling.loads.force import DepthLoad
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut
from threadwright_service.calc.milling.plan.cutting_limits import (
    CuttingLimits,
    limits_for_life,
    limits_of_condition,
)
from threadwright_service.calc.milling.plan.limits import (
    PassLimits,
    engagement_within_rad,
    feed_limits_mm,
    least_engagement_rad,
    pass_limits,
    practice_depth_mm,
    practice_passes,
)
from threadwright_service.calc.trail import Trail

CUT = ThreadCut(
    outward=1,
    start_radius_mm=9.525,
    cutter_radius_mm=4.7625,
    teeth=4,
    rows_ratio=1.0,
    tooth=ToothProfile(
        nose_flat_mm=0.127, nose_radius_mm=0, first_flank_angle_deg=30, second_flank_angle_deg=30
    ),
    specific_force_mpa=2800.0,
    force_exponent_ratio=0.25,
    radial_to_tangential_ratio=0.5,
    edge_force_n_per_mm=40.0,
    runout_step_mm=0.0,
    milling="climb",
    lead_mm=1.5875,
)
OPEN = PassLimits(
    spindle_speed_rev_per_min=1700,
    feed_per_tooth_max_mm=0.03,
    chip_thickness_max_mm=0.03,
    chip_thickness_min_mm=0.0024,
    wall_force_max_n=100,
    neck_force_max_n=600,
    feed_rate_max_mm_per_min=5000,
    centripetal_max_m_per_s2=4,
    power_max_kw=5,
    depth_of_a_pass_mm=0.254,
    last_depth_min_mm=0.02,
)
MATERIAL = WorkMaterial(
    name="hard",
    group="hard",
    iso_513="H",
    hardness_hb=481,
    specific_force_mpa=2800,
    force_exponent_ratio=0.25,
    radial_to_tangential_ratio=0.6,
    edge_force_n_per_mm=40,
    basis="test",
)
CUTTER = Cutter(
    profile="single",
    diameter_mm=9.525,
    teeth=4,
    nose_flat_mm=0.127,
    nose_radius_mm=None,
    included_angle_deg=60,
    neck_diameter_mm=6,
    neck_length_mm=20,
    shank_diameter_mm=10,
    stick_out_mm=35,
)
CUTTING = CuttingLimits(
    surface_speed_m_per_min=50,
    feed_per_tooth_max_mm=0.025,
    chip_thickness_allowed_mm=0.03,
    chip_thickness_min_mm=0.003,
)


def _pass_limits(machine: Machine, trail: Trail | None = None, **given: float) -> PassLimits:
    return pass_limits(
        cutting=CUTTING,
        cutter=CUTTER,
        machine=machine,
        material=MATERIAL,
        stiffness=stiffness(cutter=CUTTER, machine=machine),
        pitch_diameter_tolerance_mm=0.137,
        trail=trail,
        **given,
    )


def test_limits_of_a_job_by_hand() -> None:
    trail = Trail()
    machine = Machine(
        spindle_speed_max_rev_per_min=8000,
        feed_rate_max_mm_per_min=6000,
        acceleration_g=0.4,
        spindle_power_kw=5.5,
        holder_compliance_um_per_n=0.02,
    )
    found = _pass_limits(machine, trail, deflection_share_ratio=0.2)
    # n = 1000·50/(π·9.525); C = 0.1293 µm/N; F = 1000·0.2·0.137/(2·C); a = 0.4·9.80665.
    assert found.spindle_speed_rev_per_min == pytest.approx(50_000 / math.pi / 9.525)
    assert found.wall_force_max_n == pytest.approx(1000 * 0.2 * 0.137 / 2 / 0.1293, rel=1e-3)
    assert found.centripetal_max_m_per_s2 == pytest.approx(3.922660)
    assert found.power_max_kw == 5.5
    assert found.depth_of_a_pass_mm == 0.254
    assert found.last_depth_min_mm == 0.02
    assert [item.parameter for item in trail.assumptions] == [
        "depth_of_a_pass",
        "last_pass_depth_min",
    ]


def test_what_is_not_given_does_not_limit() -> None:
    found = _pass_limits(Machine(), depth_of_a_pass_mm=0.4)
    assert math.isinf(found.feed_rate_max_mm_per_min)
    assert math.isinf(found.centripetal_max_m_per_s2)
    assert math.isinf(found.power_max_kw)
    assert found.depth_of_a_pass_mm == 0.4


def test_the_spindle_limits_the_speed_and_says_so() -> None:
    trail = Trail()
    found = _pass_limits(Machine(spindle_speed_max_rev_per_min=1000), trail)
    assert found.spindle_speed_rev_per_min == 1000
    assert [item.code for item in trail.cautions] == ["spindle-speed-limited"]
    # A given speed wins over the recommended one, within the spindle's range.
    given = _pass_limits(Machine(spindle_speed_max_rev_per_min=8000), surface_speed_m_per_min=90)
    assert given.spindle_speed_rev_per_min == pytest.approx(90_000 / math.pi / 9.525)


def test_number_of_passes_by_practice() -> None:
    # Common practice (no published source): about 0.010 in a pass at about 50 HRC.
    assert practice_depth_mm(material=MATERIAL) == pytest.approx(0.010 * 25.4)
    for depth_in, passes in ((0.03025, 3), (0.0385, 4), (0.011, 1), (0.0115, 2)):
        assert practice_passes(depth_mm=depth_in * 25.4, depth_of_a_pass_mm=0.254) == passes


def test_practice_is_bolder_in_softer_work() -> None:
    depths = [
        practice_depth_mm(material=replace(MATERIAL, hardness_hb=hardness))
        for hardness in (150, 300, 400, 500, 700)
    ]
    assert depths == sorted(depths, reverse=True)
    assert len(set(depths)) == 5
    titanium = replace(MATERIAL, iso_513="S", hardness_hb=330)
    assert practice_depth_mm(material=titanium) == 0.3
    with pytest.raises(OutOfRangeError) as caught:
        practice_depth_mm(material=replace(MATERIAL, hardness_hb=3000))
    assert caught.value.parameter == "hardness"


def test_each_feed_limit_puts_the_pass_on_its_limit() -> None:
    load = DepthLoad(CUT, 1.0)
    end = load.engagement_rad(0.6)
    ratio = CUT.centre_feed_ratio(1.0)
    found = feed_limits_mm(load=load, limits=OPEN, from_depth_mm=0.6)
    assert found["feed-per-tooth"] == 0.03
    assert found["chip-thickness"] * ratio * math.sin(end) == pytest.approx(0.03)
    wall = load.wall_n(found["deflection"] * ratio)
    assert max(wall(end * k / 500) for k in range(1, 501)) == pytest.approx(100, rel=1e-4)
    force = load.tangential_n(found["neck-strength"] * ratio)
    peak = max(force(end * k / 500) for k in range(1, 501))
    assert math.hypot(peak, 0.5 * peak) == pytest.approx(600, rel=1e-4)
    assert found["feed-rate"] * ratio * 4 * 1700 == pytest.approx(5000)
    # v² = a·e, in mm and s.
    speed = found["centripetal-acceleration"] * ratio * 4 * 1700 / 60
    assert speed**2 / load.centre_radius_mm == pytest.approx(4000)


def test_runout_leaves_less_feed() -> None:
    cut = replace(CUT, runout_step_mm=0.004)
    load = DepthLoad(cut, 1.0)
    limits = replace(OPEN, wall_force_max_n=60.0)
    found = feed_limits_mm(load=load, limits=limits, from_depth_mm=0.8)
    end, ratio = load.engagement_rad(0.8), cut.centre_feed_ratio(1.0)
    wall = load.wall_n(found["deflection"] * ratio)
    assert max(wall(end * k / 1000) for k in range(1, 1001)) == pytest.approx(60, rel=2e-3)
    assert load.chip_mm(end, found["chip-thickness"] * ratio) == pytest.approx(0.03)
    plain = feed_limits_mm(load=DepthLoad(CUT, 1.0), limits=limits, from_depth_mm=0.8)
    assert found["deflection"] < plain["deflection"]


def test_engagement_within_the_limits_breaks_none() -> None:
    load = DepthLoad(CUT, 1.0)
    feed = 0.03
    centre = feed * CUT.centre_feed_ratio(1.0)
    for limits in (
        replace(OPEN, wall_force_max_n=40.0),
        replace(OPEN, chip_thickness_max_mm=0.01),
        replace(OPEN, neck_force_max_n=70.0),
        replace(OPEN, wall_force_max_n=500.0),
    ):
        end = engagement_within_rad(load=load, limits=limits, feed_edge_mm=feed)
        shares = (
            max(load.wall_n(centre)(end * k / 300) for k in range(1, 301))
            / limits.wall_force_max_n,
            max(load.tangential_n(centre)(end * k / 300) for k in range(1, 301))
            * math.hypot(1, 0.5)
            / limits.neck_force_max_n,
            centre * math.sin(end) / limits.chip_thickness_max_mm,
        )
        assert max(shares) <= 1 + 1e-6
        assert max(shares) == pytest.approx(1, abs=1e-4) or end == load.exit_angle_rad


def test_least_engagement_cuts_the_smallest_chip_and_the_least_last_depth() -> None:
    load = DepthLoad(CUT, 1.0)
    end = least_engagement_rad(load=load, limits=OPEN, feed_edge_mm=0.03, last=False)
    assert 0.03 * CUT.centre_feed_ratio(1.0) * math.sin(end) * 0.5 == pytest.approx(0.0024)
    deep = replace(OPEN, last_depth_min_mm=0.2)
    last = least_engagement_rad(load=load, limits=deep, feed_edge_mm=0.03, last=True)
    assert load.start_of_engagement_mm(last) == pytest.approx(0.8)
    # A feed too small for any chip takes the whole arc.
    thin = least_engagement_rad(load=load, limits=OPEN, feed_edge_mm=0.001, last=False)
    assert thin == load.exit_angle_rad


def test_a_starting_condition_becomes_limits() -> None:
    condition = starting_condition(
        material=replace(MATERIAL, group="hardened-steel-45-to-50"),
        cutter_material="carbide",
        operation="thread-milling",
        cutter_diameter_mm=9.525,
    )
    limits = limits_of_condition(condition)
    assert limits.surface_speed_m_per_min == condition.surface_speed.aim_m_per_min
    assert limits.feed_per_tooth_max_mm == condition.feed_per_tooth.aim_mm
    assert limits.chip_thickness_allowed_mm == condition.chip_thickness_allowed_mm
    assert limits.chip_thickness_min_mm == condition.chip_thickness_min_mm


def test_a_speed_for_no_known_life_is_not_carried_to_one() -> None:
    limits = CuttingLimits(
        surface_speed_m_per_min=60,
        feed_per_tooth_max_mm=0.05,
        chip_thickness_allowed_mm=0.05,
        chip_thickness_min_mm=0.003,
    )
    with pytest.raises(MissingInputError) as refusal:
        limits_for_life(
            limits=limits,
            tool_life_wanted_min=60,
            exponents=life_exponents(cutter_material="carbide", iso_513="P"),
        )
    assert refusal.value.parameter == "tool_life_wanted_min"
