"""Pass plans: the size of the first part, what the passes add up to, what is kept and judged."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from support.dense_sweep import flat_nose, swept_half_width
from support.sample_threads import m10_6g, m10_6h
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.errors import CalcError, InfeasibleError, OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter, Machine
from threadwright_service.calc.milling.plan.cutting_limits import CuttingLimits
from threadwright_service.calc.milling.plan.plan import pass_plan
from threadwright_service.calc.milling.plan.plan_input import PlanInput
from threadwright_service.calc.milling.plan.plan_record import PassPlan
from threadwright_service.calc.threads.limits import thread_limits
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail

TAN30 = math.tan(math.pi / 6)
MACHINE = Machine(
    spindle_speed_max_rev_per_min=8000,
    feed_rate_max_mm_per_min=10_000,
    acceleration_g=0.4,
    spindle_power_kw=5.5,
    holder_compliance_um_per_n=0.02,
)
HARD = WorkMaterial(
    name="about 50 HRC",
    group="hardened",
    iso_513="H",
    hardness_hb=481,
    specific_force_mpa=2800,
    force_exponent_ratio=0.25,
    radial_to_tangential_ratio=0.6,
    edge_force_n_per_mm=35,
    basis="memory band 2800 to 3300",
)
SOFT = replace(HARD, iso_513="P", hardness_hb=200, specific_force_mpa=2100, edge_force_n_per_mm=15)
CUTTING = CuttingLimits(
    surface_speed_m_per_min=50,
    feed_per_tooth_max_mm=0.025,
    chip_thickness_allowed_mm=0.03,
    chip_thickness_min_mm=0.002,
)
STUD = Cutter(
    profile="single",
    diameter_mm=9.525,
    teeth=4,
    nose_flat_mm=0.127,
    nose_radius_mm=None,
    included_angle_deg=60,
    neck_diameter_mm=6,
    neck_length_mm=25,
    shank_diameter_mm=10,
    stick_out_mm=35,
)
BORE = replace(
    STUD,
    diameter_mm=6.0,
    nose_flat_mm=0.1,
    neck_diameter_mm=3.6,
    neck_length_mm=22,
    shank_diameter_mm=8,
    stick_out_mm=30,
)


def unf_3_4(call_out: str = "3/4-16 UNF-2A") -> ThreadLimits:
    return thread_limits(designation=call_out)


def plan(
    thread: ThreadLimits | None = None,
    *,
    cutter: Cutter = STUD,
    material: WorkMaterial = HARD,
    machine: Machine = MACHINE,
    cutting: CuttingLimits = CUTTING,
    thread_length_mm: float = 20.0,
    trail: Trail | None = None,
    **given_: Any,
) -> PassPlan:
    asked = PlanInput(
        thread=thread or unf_3_4(),
        cutter=cutter,
        material=material,
        machine=machine,
        cutting=cutting,
        thread_length_mm=thread_length_mm,
        **given_,
    )
    return pass_plan(asked, trail=trail)


def codes(trail: Trail) -> set[str]:
    return {item.code for item in trail.cautions}


def swept_pitch_diameter(found: PassPlan, thread: ThreadLimits, cutter: Cutter) -> float:
    """Pitch diameter of a dense sweep of the last path, the cutter bent and standing out."""
    metric = thread.in_millimetres()
    outward = 1 if found.side == "external" else -1
    last = found.passes[-1]
    # The bend moves the centre off the wall; run-out makes the tip larger.
    stands_out = outward * found.runout_correction_mm / 2
    centre = last.cutter_centre_radius_mm + outward * last.deflection_mm
    tip = cutter.radius_mm + stands_out
    profile = flat_nose(tip, cutter.nose_flat_mm or 0.0, cutter.included_angle_deg / 2)
    middle = found.pitch_diameter_aim_mm / 2
    radii = middle + np.linspace(-0.05, 0.05, 21) * metric.pitch
    widths = 2 * swept_half_width(profile, radii, centre, metric.lead, tip)
    order = np.argsort(widths)
    return 2 * float(np.interp(metric.pitch / 2, widths[order], radii[order]))


CASES: dict[str, tuple[ThreadLimits, Cutter, dict[str, Any]]] = {
    "3/4-16 outside": (unf_3_4(), STUD, {}),
    "3/4-16 outside, left hand": (unf_3_4("3/4-16 UNF-2A LH"), STUD, {}),
    "3/4-16 outside, run-out": (unf_3_4(), replace(STUD, runout_mm=0.012), {}),
    "3/4-16 outside, conventional": (unf_3_4(), STUD, {"milling": "conventional"}),
    "3/4-16 outside, no spring pass": (unf_3_4(), STUD, {"spring_passes": 0}),
    "3/4-16 outside, three of 0.03": (
        unf_3_4(),
        STUD,
        {"passes": 3, "feed_per_tooth_mm": 0.03, "infeed": "equal-area"},
    ),
    "M10 outside, near the top": (m10_6g(), BORE, {"pitch_diameter_aim_ratio": 0.9}),
    "M10 inside": (m10_6h(), BORE, {}),
    "M10 inside, run-out, near the bottom": (
        m10_6h(),
        replace(BORE, runout_mm=0.008),
        {"pitch_diameter_aim_ratio": 0.1},
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_simulated_cut_gives_the_pitch_diameter_aimed_at(name: str) -> None:
    # Independent: the cutter's envelope by dense sampling, its centre off by the bend.
    thread, cutter, more = CASES[name]
    found = plan(thread, cutter=cutter, thread_length_mm=15, **more)
    span = thread.in_millimetres().limits.pitch_diameter
    assert span.max is not None
    assert span.min is not None
    aim = span.min + more.get("pitch_diameter_aim_ratio", 0.5) * (span.max - span.min)
    assert found.pitch_diameter_aim_mm == pytest.approx(aim)
    assert swept_pitch_diameter(found, thread, cutter) == pytest.approx(aim, abs=1e-3)
    assert found.expected_pitch_diameter_mm == pytest.approx(aim, abs=5e-4)
    assert found.passes[-1].pitch_diameter_mm == found.expected_pitch_diameter_mm


@st.composite
def jobs(draw: st.DrawFn) -> tuple[ThreadLimits, Cutter, dict[str, Any]]:
    """A job that a shop might ask for, from stiff to hopeless."""
    thread = thread_limits(
        designation=draw(
            st.sampled_from(
                (
                    "M10x1.5-6g",
                    "M10x1.5-6H",
                    "M24x1.5-6g LH",
                    "M36x4-6H",
                    "3/4-16 UNF-2A",
                    "1 3/8-12 UN-2B",
                    "Tr32x6-7e",
                    "Tr40x14P7-7H",
                )
            )
        )
    )
    metric = thread.in_millimetres()
    outside = metric.side == "external"
    largest = 2 * metric.basic.minor_diameter if outside else metric.basic.minor_diameter - 0.5
    diameter = draw(st.floats(0.3, 1.0)) * largest
    deep = 1.3 * metric.pitch
    neck = max(0.3, draw(st.floats(0.3, 1.0)) * (diameter - 2 * deep))
    length = draw(st.floats(0.5, 2.0)) * metric.basic.pitch_diameter
    stick_out = length + 3 * metric.lead + draw(st.floats(0.0, 30.0))
    nose = draw(st.floats(0.0, 0.9)) * metric.pitch / 8
    is_round = draw(st.booleans())
    cutter = Cutter(
        profile=draw(st.sampled_from(("single", "single", "full"))),
        diameter_mm=diameter,
        teeth=draw(st.integers(1, 8)),
        nose_flat_mm=None if is_round else nose,
        nose_radius_mm=nose if is_round else None,
        included_angle_deg=metric.form.included_angle_deg + draw(st.sampled_from((0.0, 0.3))),
        neck_diameter_mm=neck,
        neck_length_mm=stick_out,
        shank_diameter_mm=max(neck, diameter),
        stick_out_mm=stick_out,
        runout_mm=draw(st.sampled_from((0.0, 0.006, 0.02))),
    )
    given_: dict[str, Any] = {
        "thread_length_mm": length,
        "material": draw(st.sampled_from((HARD, SOFT))),
        "pitch_diameter_aim_ratio": draw(st.floats(0.0, 1.0)),
        "milling": draw(st.sampled_from(("climb", "conventional"))),
        "infeed": draw(st.sampled_from(("equal-force", "equal-area", "equal-depth"))),
    }
    for key, values in (
        ("passes", st.integers(1, 9)),
        ("spring_passes", st.integers(0, 4)),
        ("feed_per_tooth_mm", st.floats(0.002, 0.2)),
        ("surface_speed_m_per_min", st.floats(10, 300)),
    ):
        if draw(st.booleans()):
            given_[key] = draw(values)
    return thread, cutter, given_


def plan_or_refusal(
    thread: ThreadLimits, cutter: Cutter, given_: dict[str, Any]
) -> tuple[PassPlan | None, CalcError | None]:
    try:
        return plan(thread, cutter=cutter, **given_), None
    except CalcError as refusal:
        return None, refusal


@settings(max_examples=150, deadline=None)
@given(jobs())
def test_any_job_gets_a_plan_to_size_or_a_refusal(
    job: tuple[ThreadLimits, Cutter, dict[str, Any]],
) -> None:
    # D: what the passes leave is what the depth allows for, so the size expected is the one aimed
    # at, however far the cutter bends.
    thread, cutter, given_ = job
    found, refusal = plan_or_refusal(thread, cutter, given_)
    if found is None:
        assert refusal is not None
        assert refusal.parameter
        assert refusal.accepted
        return
    assert found.expected_pitch_diameter_mm == pytest.approx(
        found.pitch_diameter_aim_mm, rel=0, abs=2e-4
    )
    assert found.passes[-1].pitch_diameter_mm == found.expected_pitch_diameter_mm
    assert found.cutting_time_s > 0
    assert all(math.isfinite(each.tangential_force_n) for each in found.passes)
    depths = [each.depth_mm for each in found.passes if each.kind == "cut"]
    assert all(before < after for before, after in pairwise([0.0, *depths]))


def test_a_least_pass_that_takes_the_whole_depth_leaves_nothing_to_divide() -> None:
    # D: with a feed so small no engagement makes the smallest chip, so each pass would have to take
    # all that there is; what rounding leaves of the blank is no pass to divide.
    wide = replace(
        STUD,
        profile="full",
        diameter_mm=30.208047001300216,
        teeth=7,
        nose_flat_mm=None,
        nose_radius_mm=0.15502098540743484,
        neck_diameter_mm=26.0,
        neck_length_mm=56.7,
        shank_diameter_mm=30.2,
        stick_out_mm=56.7,
        runout_mm=0.006,
    )
    found = plan(
        cutter=wide,
        thread_length_mm=22.1031309206904,
        pitch_diameter_aim_ratio=0.01989200582972628,
        feed_per_tooth_mm=0.002,
    )
    assert found.cutting_passes == 4
    assert found.expected_pitch_diameter_mm == pytest.approx(found.pitch_diameter_aim_mm, abs=2e-4)


def test_root_diameter_by_hand() -> None:
    # d2 − 2(P/4 − w/2)/tan α, plus the over-cut 3p²|1/r2 − 1/e| (second order, within 0.1 µm),
    # less twice the bend that is left.
    found = plan()
    middle, pitch = found.pitch_diameter_aim_mm, 25.4 / 16
    plain = middle - 2 * (pitch / 4 - 0.127 / 2) / TAN30
    centre = plain / 2 + STUD.radius_mm
    over = 3 * (pitch / 2 / math.pi) ** 2 * abs(2 / middle - 1 / centre)
    bend = found.passes[-1].deflection_mm
    assert found.root_diameter_mm == pytest.approx(plain + over - 2 * bend, abs=2e-4)
    assert found.deflection_correction_mm == pytest.approx(-2 * bend, rel=2e-2)
    assert found.over_cut.pitch_diameter_mm == pytest.approx(-over, abs=1e-4)
    assert found.over_cut.corrected


def test_standard_root_with_a_narrow_nose_would_be_over_by_what_the_plan_says() -> None:
    # The root for a nose of P/8 leaves the pitch diameter (w_t − w)/tan α large: here by list.
    thread, pitch = unf_3_4(), 25.4 / 16
    root = plan().pitch_diameter_aim_mm - 2 * (pitch / 4 - pitch / 16) / TAN30
    blank = plan().blank_diameter_mm
    trail = Trail()
    found = plan(
        thread,
        infeed="list",
        infeed_depths_mm=[0.4, 0.7, (blank - root) / 2],
        spring_passes=2,
        trail=trail,
    )
    bend = found.passes[-1].deflection_mm
    over = (pitch / 8 - 0.127) / TAN30 + 2 * bend + found.over_cut.pitch_diameter_mm
    off = found.expected_pitch_diameter_mm - found.pitch_diameter_aim_mm
    assert off == pytest.approx(over, abs=1e-4)
    assert swept_pitch_diameter(found, thread, STUD) == pytest.approx(
        found.expected_pitch_diameter_mm, abs=1e-3
    )
    assert "listed-depth-misses-size" in codes(trail)
    assert found.root_diameter_mm == pytest.approx(root)
    assert not found.over_cut.corrected
    assert found.deflection_correction_mm == 0


def test_passes_add_up() -> None:
    found = plan(trail=Trail(steps=[]))
    cuts = [each for each in found.passes if each.kind == "cut"]
    assert len(cuts) == found.cutting_passes
    assert len(found.passes) == found.cutting_passes + found.spring_passes
    assert [each.number for each in found.passes] == list(range(1, len(found.passes) + 1))
    assert sum(each.radial_depth_mm for each in cuts) == pytest.approx(found.depth_mm)
    assert found.depth_mm == pytest.approx((found.blank_diameter_mm - found.root_diameter_mm) / 2)
    assert found.cutting_time_s == pytest.approx(sum(each.cutting_time_s for each in found.passes))
    for each in found.passes:
        assert each.cutter_centre_radius_mm == pytest.approx(
            each.root_diameter_mm / 2 + STUD.radius_mm
        )
        assert each.feed_edge_mm_per_min == pytest.approx(
            each.feed_per_tooth_mm * 4 * each.spindle_speed_rev_per_min
        )
        # Common practice: F·(D + d)/D with the diameter made.
        made = each.root_diameter_mm
        assert each.feed_centre_mm_per_min == pytest.approx(
            each.feed_edge_mm_per_min * (made + STUD.diameter_mm) / made
        )
        assert each.limit_shares or each.kind == "spring"


def test_time_of_a_pass_by_hand() -> None:
    # Turns of the helix and two quarter arcs at the feed, and one ramp up and down at 0.4 g.
    found = plan()
    last = found.passes[-1]
    turn = math.hypot(2 * math.pi * last.cutter_centre_radius_mm, 25.4 / 16)
    arc = found.path.entry_arc_radius_mm * math.pi / 2
    length = found.path.turns_ratio * turn + 2 * arc
    assert last.path_length_mm == pytest.approx(length, rel=1e-4)
    speed = last.feed_centre_mm_per_min / 60
    assert last.cutting_time_s == pytest.approx(
        last.path_length_mm / speed + speed / (0.4 * 9806.65), rel=1e-6
    )
    without = plan(machine=replace(MACHINE, acceleration_g=None))
    assert without.passes[-1].cutting_time_s == pytest.approx(last.path_length_mm / speed)


def test_small_arcs_and_ramps_cost_time_on_a_sluggish_machine() -> None:
    quick, slow = (
        plan(
            m10_6h(),
            cutter=BORE,
            material=SOFT,
            machine=replace(MACHINE, acceleration_g=acceleration),
            feed_per_tooth_mm=0.02,
            surface_speed_m_per_min=100,
            passes=1,
            spring_passes=0,
        ).passes[0]
        for acceleration in (5.0, 0.0005)
    )
    # By hand: a ramp of v/a = 0.6 s, and arcs of half the radius at 0.7 of the feed.
    assert 1.01 * quick.cutting_time_s < slow.cutting_time_s < 1.05 * quick.cutting_time_s


def test_doubling_the_feed_halves_the_time() -> None:
    # Common practice (no published source).
    once = plan(feed_per_tooth_mm=0.01, passes=3, spring_passes=1)
    twice = plan(feed_per_tooth_mm=0.02, passes=3, spring_passes=1)
    assert twice.cutting_time_s / once.cutting_time_s == pytest.approx(0.5, rel=0.02)


def test_full_form_root_of_twenty_to_the_inch() -> None:
    # Common practice (no published source): about 0.0605 in off the major diameter, on the
    # diameter. A rounded nose of H/6 at the basic pitch diameter: 1.2269 P = 0.0613 in.
    thread = thread_limits(designation="9/16-20 UN-3A")
    cutter = replace(STUD, nose_flat_mm=None, nose_radius_mm=1.27 * math.sqrt(3) / 2 / 6)
    found = plan(thread, cutter=cutter, pitch_diameter_aim_ratio=1.0)
    off = (0.5625 * 25.4 - found.root_diameter_mm) / 25.4
    assert off == pytest.approx(0.0605, rel=0.03)
    assert found.cutting_passes == 3


def test_fifty_rockwell_takes_three_or_four_passes_of_about_ten_thousandths() -> None:
    # Common practice (no published source).
    for call_out, nose in (("3/4-16 UNF-2A", 0.127), ("9/16-20 UN-2A", 0.1), ("M24x1.5-6g", 0.15)):
        found = plan(thread_limits(designation=call_out), cutter=replace(STUD, nose_flat_mm=nose))
        assert found.cutting_passes in (3, 4)
        mean = found.depth_mm / found.cutting_passes / 25.4
        assert mean == pytest.approx(0.010, abs=0.0015)
    assert plan(material=SOFT).cutting_passes == 1


def test_peak_forces_are_equal_by_default() -> None:
    found = plan(cutting=replace(CUTTING, chip_thickness_min_mm=1e-6))
    forces = [each.tangential_force_n for each in found.passes if each.kind == "cut"]
    assert max(forces) / min(forces) == pytest.approx(1, abs=1e-3)
    assert found.infeed == "equal-force"


def test_left_hand_is_the_mirror_of_right_hand() -> None:
    right, left = plan(), plan(unf_3_4("3/4-16 UNF-2A LH"))
    assert right.passes == left.passes
    assert (right.path.travel, left.path.travel) == ("clockwise", "clockwise")
    assert {right.path.axial, left.path.axial} == {"up", "down"}
    assert right.path.start_height_mm == pytest.approx(left.path.end_height_mm)


def test_inch_and_metric_records_give_the_same_plan() -> None:
    inch = unf_3_4()
    here, there = plan(inch), plan(inch.in_millimetres())
    assert here.root_diameter_mm == pytest.approx(there.root_diameter_mm, abs=1e-9)
    assert here.cutting_time_s == pytest.approx(there.cutting_time_s)


def test_bend_moves_the_pitch_diameter_the_right_way() -> None:
    # D: a cutter off the wall leaves an outside thread large and an inside thread small.
    outside = plan(spring_passes=2)
    readings = [each.pitch_diameter_mm for each in outside.passes if each.pitch_diameter_mm]
    assert readings == sorted(readings, reverse=True)
    inside = plan(m10_6h(), cutter=BORE, spring_passes=2)
    assert outside.deflection_correction_mm < 0 < inside.deflection_correction_mm
    readings = [each.pitch_diameter_mm for each in inside.passes if each.pitch_diameter_mm]
    assert readings == sorted(readings)
    for found in (outside, inside):
        for each in found.passes:
            assert each.deflection_low_mm <= each.deflection_mm <= each.deflection_high_mm


def test_each_spring_pass_leaves_less_and_the_advice_says_when_to_stop() -> None:
    found = plan(spring_passes=3)
    bends = [each.deflection_mm for each in found.passes[-4:]]
    assert all(after < before for before, after in pairwise(bends))
    assert [each.is_planned for each in found.spring_advice] == [True, True, True, False]
    for number, advice in enumerate(found.spring_advice[:3]):
        assert advice.taken_mm == pytest.approx(2 * (bends[number] - bends[number + 1]), rel=1e-9)
    trail = Trail()
    stiff = replace(
        STUD, neck_diameter_mm=7, neck_length_mm=22, shank_diameter_mm=20, stick_out_mm=22
    )
    plan(spring_passes=3, cutter=stiff, trail=trail)
    assert "spring-pass-not-worth-it" in codes(trail)


def test_spring_passes_are_chosen_where_they_are_worth_their_time() -> None:
    trail = Trail()
    soft_neck = plan(trail=trail)
    assert soft_neck.spring_passes >= 1
    assert all(each.is_worth_it for each in soft_neck.spring_advice if each.is_planned)
    assert "spring_passes" in {item.parameter for item in trail.assumptions}
    assert "spring-pass-rubs" in codes(trail)
    easy = plan(
        material=replace(SOFT, specific_force_mpa=600, edge_force_n_per_mm=2),
        machine=replace(MACHINE, holder_compliance_um_per_n=0.0),
    )
    assert easy.spring_passes == 0


def test_runout_makes_the_thread_small_and_is_allowed_for() -> None:
    # D: the tooth that stands out makes the wall; half the reading, times the mean of 1 and
    # cos(π/z), on both sides of the part.
    found = plan(cutter=replace(STUD, runout_mm=0.012))
    assert found.runout_correction_mm == pytest.approx(2 * 0.006 * (1 + math.cos(math.pi / 4)) / 2)
    spread = found.expected_pitch_diameter_range.max_mm - found.expected_pitch_diameter_mm
    assert spread >= 2 * 0.006 * (1 - math.cos(math.pi / 4)) / 2
    inside = plan(m10_6h(), cutter=replace(BORE, runout_mm=0.012))
    assert inside.runout_correction_mm < 0


def test_full_length_cutter_takes_one_turn_and_the_force_of_all_rows() -> None:
    full = replace(
        BORE,
        profile="full",
        nose_flat_mm=0.18,
        diameter_mm=7.0,
        neck_diameter_mm=4.9,
        neck_length_mm=18,
        stick_out_mm=20,
    )
    single = replace(full, profile="single")
    limits: dict[str, Any] = {"feed_per_tooth_mm": 0.01, "passes": 1, "spring_passes": 0}
    many = plan(m10_6h(), cutter=full, material=SOFT, thread_length_mm=12, **limits)
    one = plan(m10_6h(), cutter=single, material=SOFT, thread_length_mm=12, **limits)
    assert many.path.turns_ratio == pytest.approx(1 + 20 / 360)
    assert many.passes[0].tangential_force_n / one.passes[0].tangential_force_n == pytest.approx(
        12 / 1.5, rel=0.01
    )
    assert many.cutting_time_s < 0.2 * one.cutting_time_s
    # Bending is what is likely to bind; its load stands in the middle of the teeth.
    assert many.passes[0].limit_shares["deflection"] > 3 * one.passes[0].limit_shares["deflection"]


def test_every_limit_is_reported_and_the_saving_is_what_a_wider_one_saves() -> None:
    soft_neck = replace(STUD, neck_length_mm=33, neck_diameter_mm=4.4)
    given_: dict[str, Any] = {"spring_passes": 1, "deflection_share_ratio": 0.3}
    found = plan(cutter=soft_neck, **given_)
    by_name = {report.name: report for report in found.limits}
    assert set(by_name) == {
        "feed-per-tooth",
        "chip-thickness",
        "deflection",
        "neck-strength",
        "feed-rate",
        "centripetal-acceleration",
        "depth-of-a-pass",
        "surface-speed",
        "smallest-chip",
        "power",
    }
    deflection = by_name["deflection"]
    assert deflection.binds
    assert deflection.share_ratio == pytest.approx(1, abs=1e-4)
    wider = plan(cutter=soft_neck, spring_passes=1, deflection_share_ratio=0.33)
    saved = found.cutting_time_s - wider.cutting_time_s
    assert deflection.saving_s == pytest.approx(saved, rel=0.05)
    faster = plan(cutter=soft_neck, cutting=replace(CUTTING, surface_speed_m_per_min=55), **given_)
    assert by_name["surface-speed"].saving_s == pytest.approx(
        found.cutting_time_s - faster.cutting_time_s, rel=0.01
    )
    assert by_name["feed-per-tooth"].saving_s == 0


def test_one_pass_fewer_saves_what_is_reported() -> None:
    found = plan(spring_passes=0)
    report = next(each for each in found.limits if each.name == "depth-of-a-pass")
    assert report.binds
    fewer = plan(spring_passes=0, passes=found.cutting_passes - 1)
    assert report.saving_s == pytest.approx(found.cutting_time_s - fewer.cutting_time_s, rel=0.05)
    allowed = plan(spring_passes=0, depth_of_a_pass_mm=2.0)
    assert allowed.cutting_passes == 1
    assert allowed.cutting_time_s < found.cutting_time_s


def test_given_values_are_kept_and_judged() -> None:
    trail = Trail()
    found = plan(
        passes=2,
        spring_passes=0,
        feed_per_tooth_mm=0.2,
        surface_speed_m_per_min=300,
        machine=replace(
            MACHINE, feed_rate_max_mm_per_min=2000, spindle_speed_max_rev_per_min=20_000
        ),
        trail=trail,
    )
    assert found.cutting_passes == 2
    assert {each.feed_per_tooth_mm for each in found.passes} == {0.2}
    assert found.surface_speed_m_per_min == pytest.approx(300)
    assert codes(trail) >= {
        "prove-out",
        "feed-per-tooth-exceeded",
        "chip-thickness-exceeded",
        "deflection-exceeded",
        "feed-rate-exceeded",
        "surface-speed-exceeded",
        "fewer-passes-than-practice",
    }
    # The machine goes no faster than it can.
    assert found.passes[0].cutting_time_s >= 60 * found.passes[0].path_length_mm / 2000


def test_neck_that_may_break_is_told() -> None:
    trail = Trail()
    thin = replace(STUD, neck_diameter_mm=3.15, neck_length_mm=26)
    plan(cutter=thin, feed_per_tooth_mm=0.06, passes=3, spring_passes=3, trail=trail)
    assert codes(trail) >= {"neck-slender", "neck-strength-exceeded"}


def test_a_neck_that_bends_by_much_of_the_depth_is_refused() -> None:
    thin = replace(STUD, neck_diameter_mm=2.0, neck_length_mm=32)
    with pytest.raises(InfeasibleError) as caught:
        plan(cutter=thin, feed_per_tooth_mm=0.1, passes=1)
    assert caught.value.parameter == "feed_per_tooth"


def test_more_passes_than_the_limits_ask_for_are_told() -> None:
    trail = Trail()
    plan(passes=8, material=SOFT, trail=trail)
    assert "more-passes-than-asked-for" in codes(trail)


def test_thin_chips_are_told() -> None:
    trail = Trail()
    plan(cutting=replace(CUTTING, chip_thickness_min_mm=0.02), trail=trail)
    assert "chip-too-thin" in codes(trail)
    assert "force-extrapolated" in codes(trail)


def test_the_spindle_slowed_for_its_power_is_told() -> None:
    trail = Trail()
    found = plan(machine=replace(MACHINE, spindle_power_kw=0.004), trail=trail)
    assert max(each.power_kw for each in found.passes) == pytest.approx(0.004, rel=0.01)
    assert "spindle-slowed" in codes(trail)
    report = next(each for each in found.limits if each.name == "power")
    assert report.binds
    assert report.saving_s > 0


def test_spindle_limit_is_named() -> None:
    trail = Trail()
    found = plan(machine=replace(MACHINE, spindle_speed_max_rev_per_min=500), trail=trail)
    assert found.spindle_speed_rev_per_min == 500
    assert "spindle-speed" in {each.name for each in found.limits if each.binds}
    assert "spindle-speed-limited" in codes(trail)


def test_blank_is_assumed_in_the_middle_of_its_limits_and_judged_if_given() -> None:
    trail = Trail()
    cutter = replace(BORE, neck_diameter_mm=3.4)
    found = plan(m10_6g(), cutter=cutter, trail=trail)
    major = m10_6g().limits.major_diameter
    assert major.max is not None
    assert major.min is not None
    assert found.blank_diameter_mm == pytest.approx((major.max + major.min) / 2)
    assert "blank_diameter" in {item.parameter for item in trail.assumptions}
    trail = Trail()
    plan(m10_6g(), cutter=cutter, blank_diameter_mm=10.01, trail=trail)
    assert "crest-outside-limits" in codes(trail)
    assert "blank_diameter" not in {item.parameter for item in trail.assumptions}


def test_hole_without_both_limits_takes_the_one_there_is() -> None:
    inside = m10_6h()
    minor = inside.limits.minor_diameter
    one = replace(inside, limits=replace(inside.limits, minor_diameter=replace(minor, max=None)))
    trail = Trail()
    assert plan(one, cutter=BORE, trail=trail).blank_diameter_mm == minor.min
    reason = next(item.reason for item in trail.assumptions if item.parameter == "hole_diameter")
    assert "only" in reason


def test_a_hole_for_an_outside_thread_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as caught:
        plan(hole_diameter_mm=17)
    assert caught.value.parameter == "hole_diameter"
    with pytest.raises(OutOfRangeError) as caught:
        plan(m10_6h(), cutter=BORE, blank_diameter_mm=10)
    assert caught.value.parameter == "blank_diameter"


def test_blank_smaller_than_the_root_is_refused() -> None:
    with pytest.raises(InfeasibleError) as caught:
        plan(blank_diameter_mm=16.0)
    assert caught.value.parameter == "blank_diameter"


def test_every_assumption_has_a_reason_and_the_contract_its_keys() -> None:
    trail = Trail()
    found = plan(trail=trail)
    assert all(item.reason for item in trail.assumptions)
    names = {field.name for field in fields(found)}
    assert names >= {
        "root_diameter_mm",
        "expected_pitch_diameter_mm",
        "over_cut",
        "cutter_centre_radius_mm",
        "path",
        "passes",
        "cutting_time_s",
    }
    of_a_pass = {field.name for field in fields(found.passes[0])}
    assert of_a_pass >= {
        "number",
        "kind",
        "root_diameter_mm",
        "radial_depth_mm",
        "cutter_centre_radius_mm",
        "chip_thickness_max_mm",
        "feed_per_tooth_mm",
        "feed_edge_mm_per_min",
        "feed_centre_mm_per_min",
        "spindle_speed_rev_per_min",
        "tangential_force_n",
        "radial_force_n",
        "deflection_mm",
        "pitch_diameter_mm",
        "limited_by",
        "path_length_mm",
        "cutting_time_s",
    }
