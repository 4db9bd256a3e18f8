"""The path of the other hand against the plan of a thread that is of that hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from support.sample_threads import m10_6g, m10_6h
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.geometry.cutter import Cutter, Machine
from threadwright_service.calc.milling.plan.cutting_limits import CuttingLimits
from threadwright_service.calc.milling.plan.other_hand import path_of_hand
from threadwright_service.calc.milling.plan.plan import pass_plan
from threadwright_service.calc.milling.plan.plan_input import PlanInput
from threadwright_service.calc.threads.thread import Hand, ThreadLimits

MACHINE = Machine(
    spindle_speed_max_rev_per_min=8000,
    feed_rate_max_mm_per_min=10_000,
    acceleration_g=0.4,
    spindle_power_kw=5.5,
    holder_compliance_um_per_n=0.02,
)
STEEL = WorkMaterial(
    name="steel",
    group="alloy",
    iso_513="P",
    hardness_hb=200,
    specific_force_mpa=2100,
    force_exponent_ratio=0.25,
    radial_to_tangential_ratio=0.6,
    edge_force_n_per_mm=15,
    basis="memory",
)
CUTTING = CuttingLimits(
    surface_speed_m_per_min=80,
    feed_per_tooth_max_mm=0.025,
    chip_thickness_allowed_mm=0.03,
    chip_thickness_min_mm=0.002,
)
OUTSIDE = Cutter(
    profile="single",
    diameter_mm=9.525,
    teeth=4,
    nose_flat_mm=0.1,
    nose_radius_mm=None,
    included_angle_deg=60,
    neck_diameter_mm=6,
    neck_length_mm=25,
    shank_diameter_mm=10,
    stick_out_mm=35,
)
INSIDE = replace(
    OUTSIDE,
    diameter_mm=6.0,
    neck_diameter_mm=3.6,
    neck_length_mm=22,
    shank_diameter_mm=8,
    stick_out_mm=30,
)


@pytest.mark.parametrize(
    ("thread", "cutter"), [(m10_6g(), OUTSIDE), (m10_6h(), INSIDE)], ids=["outside", "inside"]
)
@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("cutter_hand", ["right", "left"])
def test_it_is_the_path_of_a_plan_for_that_hand(
    thread: ThreadLimits, cutter: Cutter, hand: Hand, cutter_hand: Hand
) -> None:
    asked = PlanInput(
        thread=thread,
        cutter=cutter,
        material=STEEL,
        machine=MACHINE,
        cutting=CUTTING,
        thread_length_mm=12,
        shoulder_distance_mm=6,
        cutter_hand=cutter_hand,
    )
    plans = {
        each: pass_plan(replace(asked, thread=replace(thread, hand=each)))
        for each in ("right", "left")
    }
    other: Hand = "left" if hand == "right" else "right"
    found = path_of_hand(asked, plan=plans[hand], hand=other)
    assert found == plans[other].path
    assert found.axial != plans[hand].path.axial
    assert plans[hand].passes == plans[other].passes


def test_a_cutter_without_room_is_refused_as_in_a_plan() -> None:
    asked = PlanInput(
        thread=m10_6h(),
        cutter=INSIDE,
        material=STEEL,
        machine=MACHINE,
        cutting=CUTTING,
        thread_length_mm=12,
    )
    plan = pass_plan(asked)
    wide = replace(asked, cutter=replace(INSIDE, diameter_mm=10.5))
    with pytest.raises(InfeasibleError):
        path_of_hand(wide, plan=plan, hand="left")
