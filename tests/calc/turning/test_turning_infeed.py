"""Single-point infeed: hand calculation, geometry of the chips, what must always hold."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.errors import AmbiguousError, OutOfRangeError
from threadwright_service.calc.milling.geometry.section import ToothProfile
from threadwright_service.calc.trail import Trail
from threadwright_service.calc.turning.turning_infeed import (
    TurningDivision,
    TurningInfeed,
    turning_passes,
    turning_plan,
)

VEE = ToothProfile(
    nose_flat_mm=0.1, nose_radius_mm=0, first_flank_angle_deg=30, second_flank_angle_deg=30
)
STEEL = WorkMaterial(
    name="steel",
    group="alloy-steel",
    iso_513="P",
    hardness_hb=250,
    specific_force_mpa=2000,
    force_exponent_ratio=0.25,
    radial_to_tangential_ratio=0.5,
    edge_force_n_per_mm=20,
    basis="test",
)


def test_numbers_of_passes_are_the_practice() -> None:
    # Memory of trade tables: 0.5/1/1.5/2/3/4 mm: 4/6/7/9/12/15, give or take two.
    for pitch, passes in ((0.5, 4), (1, 6), (1.5, 7), (2, 9), (3, 12), (4, 15)):
        assert turning_passes(pitch_mm=pitch) == passes
    assert turning_passes(pitch_mm=2.5) == 11
    trail = Trail()
    assert turning_passes(pitch_mm=6, trail=trail) == 21
    assert [item.code for item in trail.cautions] == ["turning-passes-extrapolated"]
    assert turning_passes(pitch_mm=0.2) >= 2


def test_compound_at_29_and_a_half_degrees() -> None:
    # Common practice, by hand: the tool walks towards the middle by Δ·tan 29.5°.
    plan = turning_plan(tool=VEE, pitch_mm=1.5, depth_mm=0.92, division="equal-depth", passes=4)
    assert plan.infeed_angle_deg == 29.5
    steps = [a.axial_offset_mm - b.axial_offset_mm for a, b in pairwise(plan.passes[:4])]
    assert steps == pytest.approx([0.23 * math.tan(math.radians(29.5))] * 3)
    assert plan.passes[3].axial_offset_mm == pytest.approx(0)


def test_chips_of_each_direction() -> None:
    # By hand at 30°: radial, both flanks Δ/2; along the flank, Δ on one and nothing on the other.
    radial = turning_plan(
        tool=VEE, pitch_mm=1.5, depth_mm=1.0, infeed="radial", division="equal-depth", passes=5
    ).passes[1]
    assert radial.chip_thickness_leading_mm == pytest.approx(0.1)
    assert radial.chip_thickness_trailing_mm == pytest.approx(0.1)
    flank = turning_plan(
        tool=VEE, pitch_mm=1.5, depth_mm=1.0, infeed="flank", division="equal-depth", passes=5
    ).passes[1]
    assert flank.chip_thickness_leading_mm == pytest.approx(0.2)
    assert flank.chip_thickness_trailing_mm == pytest.approx(0, abs=1e-12)
    modified = turning_plan(
        tool=VEE, pitch_mm=1.5, depth_mm=1.0, division="equal-depth", passes=5
    ).passes[1]
    assert 0 < modified.chip_thickness_trailing_mm < 0.01


@settings(max_examples=30, deadline=None)
@given(
    infeed=st.sampled_from(("radial", "flank", "modified-flank", "alternating")),
    division=st.sampled_from(("equal-area", "equal-depth", "falling")),
    passes=st.integers(1, 20),
    depth=st.floats(0.2, 4),
)
def test_chips_add_up_to_the_groove(
    infeed: TurningInfeed, division: str, passes: int, depth: float
) -> None:
    plan = turning_plan(
        tool=VEE,
        pitch_mm=2,
        depth_mm=depth,
        infeed=infeed,
        division=division,  # type: ignore[arg-type]
        passes=passes,
    )
    cuts = [each for each in plan.passes if each.kind == "cut"]
    assert len(cuts) == passes
    assert sum(each.chip_area_mm2 for each in cuts) == pytest.approx(VEE.area_mm2(depth), rel=2e-3)
    assert sum(each.infeed_mm for each in cuts) == pytest.approx(depth)
    assert cuts[-1].axial_offset_mm == pytest.approx(0)
    # The tool never leaves the finished groove.
    for each in cuts:
        room = (depth - each.depth_mm) * math.tan(math.pi / 6)
        assert abs(each.axial_offset_mm) <= room + 1e-9


def test_alternating_infeed_goes_along_one_flank_and_the_other() -> None:
    # Common practice: each step is that of the compound, to one side and to the other in turn.
    plan = turning_plan(tool=VEE, pitch_mm=3, depth_mm=1.8, infeed="alternating", passes=6)
    for number, (before, after) in enumerate(pairwise(plan.passes[:6])):
        step = after.infeed_mm * math.tan(math.radians(29.5)) * (-1) ** number
        assert after.axial_offset_mm - before.axial_offset_mm == pytest.approx(step)


@pytest.mark.parametrize("infeed", ["radial", "flank", "modified-flank", "alternating"])
@pytest.mark.parametrize("division", ["equal-area", "equal-depth", "falling"])
def test_section_of_each_pass_by_counting_points(
    infeed: TurningInfeed, division: TurningDivision
) -> None:
    # Independent: points of a grid that the tool covers for the first time in each pass.
    depth = 1.2
    found = turning_plan(
        tool=VEE, pitch_mm=2, depth_mm=depth, infeed=infeed, division=division, passes=7
    )
    below, across = np.meshgrid(
        (np.arange(1200) + 0.5) * depth / 1200, (np.arange(2000) + 0.5) * 2 / 2000 - 1
    )
    cell = depth / 1200 * 2 / 2000
    free = np.zeros_like(below, dtype=bool)
    for each in found.passes[:7]:
        half = 0.05 + (each.depth_mm - below) * math.tan(math.pi / 6)
        covered = (below < each.depth_mm) & (np.abs(across - each.axial_offset_mm) < half)
        assert float(np.sum(covered & ~free)) * cell == pytest.approx(each.chip_area_mm2, abs=5e-4)
        free |= covered


def test_equal_area_keeps_the_force_nearer_than_equal_depth() -> None:
    # Why the trade divides by area in turning: the force goes with the section.
    by_area, by_depth = (
        turning_plan(
            tool=VEE,
            pitch_mm=2,
            depth_mm=1.2,
            division=division,
            passes=8,
            material=STEEL,
        ).force_ratio
        for division in ("equal-area", "equal-depth")
    )
    assert by_area is not None
    assert by_depth is not None
    assert by_area < 2 < by_depth


def test_spring_passes_follow_and_cut_nothing() -> None:
    plan = turning_plan(tool=VEE, pitch_mm=1.5, depth_mm=0.92, spring_passes=2)
    assert [each.kind for each in plan.passes[-3:]] == ["cut", "spring", "spring"]
    assert plan.passes[-1].number == len(plan.passes)
    assert plan.passes[-1].infeed_mm == 0


def test_usual_first_and_last_infeeds_are_told() -> None:
    trail = Trail()
    turning_plan(tool=VEE, pitch_mm=1.5, depth_mm=1.5, passes=3, trail=trail)
    assert [item.code for item in trail.cautions] == ["first-infeed-deep"]
    trail = Trail()
    turning_plan(
        tool=VEE,
        pitch_mm=1.5,
        depth_mm=0.5,
        division="falling",
        infeed_ratio=0.6,
        passes=8,
        trail=trail,
    )
    assert [item.code for item in trail.cautions] == ["last-infeed-thin"]


def test_assumed_passes_are_noted() -> None:
    trail = Trail()
    turning_plan(tool=VEE, pitch_mm=1.5, depth_mm=0.92, trail=trail)
    assert [item.parameter for item in trail.assumptions] == ["flank_clearance_deg", "passes"]


@pytest.mark.parametrize(
    ("key", "given_"),
    [
        ("infeed_ratio", {"infeed_ratio": 0.7}),
        ("flank_clearance_deg", {"infeed": "radial", "flank_clearance_deg": 1.0}),
    ],
)
def test_a_value_that_does_not_belong_to_the_infeed_is_refused(
    key: str, given_: dict[str, Any]
) -> None:
    with pytest.raises(AmbiguousError) as caught:
        turning_plan(tool=VEE, pitch_mm=1.5, depth_mm=0.92, **given_)
    assert caught.value.parameter == key


def test_first_infeed_asks_for_up_to_two_passes_more() -> None:
    # Memory of trade tables: seven passes for 1.5 mm; from 1.1 mm of depth by equal areas the first
    # would be deeper than the usual 0.30 mm.
    assert len(turning_plan(tool=VEE, pitch_mm=1.5, depth_mm=0.7).passes) == 7 + 1
    assert len(turning_plan(tool=VEE, pitch_mm=1.5, depth_mm=1.5).passes) == 9 + 1


def test_clearance_outside_the_flank_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as caught:
        turning_plan(tool=VEE, pitch_mm=1.5, depth_mm=0.92, flank_clearance_deg=31)
    assert caught.value.parameter == "flank_clearance_deg"
