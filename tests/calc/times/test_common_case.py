"""The operations of a threaded part from single numbers are those of the longer way."""

from __future__ import annotations

import math
from typing import Any

import pytest

from threadwright_service.calc.errors import InfeasibleError, MissingInputError
from threadwright_service.calc.times.comparing.common_case import (
    PartKeys,
    milled_thread,
    thread_operations,
)
from threadwright_service.calc.times.operations.bench_operations import FixedTime, HandWork, Probing
from threadwright_service.calc.times.operations.hole_operations import Drilling
from threadwright_service.calc.times.operations.milling_operations import Chamfer, CircularMilling
from threadwright_service.calc.trail import Trail

THREAD = milled_thread(
    passes=4,
    lead_mm=1.5,
    feed_centre_mm_per_min=400,
    cutter_centre_radius_mm=19,
    path_length_mm=1200,
)


def test_a_pass_from_the_threads_length() -> None:
    """28/1.5 + 1 turns of the unrolled helix; the run in is assumed and said."""
    trail = Trail()
    thread = milled_thread(
        passes=4,
        lead_mm=1.5,
        feed_centre_mm_per_min=400,
        cutter_centre_radius_mm=19,
        thread_length_mm=28,
        trail=trail,
    )
    turn = math.sqrt((2 * math.pi * 19) ** 2 + 1.5**2)
    assert thread.passes[0].path_length_mm == pytest.approx((28 / 1.5 + 1) * turn, rel=1e-12)
    assert thread.passes[0].times == 4
    assert [each.parameter for each in trail.assumptions] == ["run_in_turns_ratio"]


def test_a_single_row_cuts_each_start_by_itself() -> None:
    """28/3 + 1 turns of each of two starts; rows over the whole length: 13/12 turn for both."""
    turn = math.sqrt((2 * math.pi * 19) ** 2 + 3**2)
    for profile, starts, length in (
        ("single", 2, 2 * (28 / 3 + 1) * turn),
        ("full", 1, 13 / 12 * turn),
    ):
        thread = milled_thread(
            passes=3,
            lead_mm=3,
            feed_centre_mm_per_min=400,
            cutter_centre_radius_mm=19,
            thread_length_mm=28,
            cutter_profile=profile,  # type: ignore[arg-type]
            starts=2,
        )
        assert (thread.passes[0].times, thread.passes[0].starts) == (3, starts)
        assert thread.passes[0].path_length_mm == pytest.approx(length, rel=1e-12)


def test_a_length_is_needed() -> None:
    with pytest.raises(MissingInputError) as refusal:
        milled_thread(passes=3, lead_mm=3, feed_centre_mm_per_min=400, cutter_centre_radius_mm=19)
    assert refusal.value.parameter == "thread_length"


def test_outside() -> None:
    operations = thread_operations(
        thread=THREAD,
        keys=PartKeys(
            side="external",
            step_start_diameter_mm=28,
            step_diameter_mm=24,
            step_length_mm=28,
            step_cutter_diameter_mm=16,
            step_radial_depth_mm=0.5,
            step_feed_mm_per_min=600,
            chamfer_diameter_mm=24,
            chamfer_cutter_diameter_mm=6,
            chamfer_feed_mm_per_min=300,
            probing_points=2,
            probing_time_per_point_s=8,
            other_time_s=15,
            deburr_time_s=30,
            deburr_beside=True,
        ),
    )
    assert operations == (
        CircularMilling(
            side="external",
            start_diameter_mm=28,
            diameter_mm=24,
            length_mm=28,
            cutter_diameter_mm=16,
            radial_depth_mm=0.5,
            feed_mm_per_min=600,
        ),
        Chamfer(side="external", diameter_mm=24, cutter_diameter_mm=6, feed_mm_per_min=300),
        THREAD,
        Probing(points=2, time_per_point_s=8),
        FixedTime(time_s=15, cutting=False, name="other work"),
        HandWork(time_s=30, beside=True),
    )


def test_inside_the_bore_starts_from_the_drilled_hole() -> None:
    operations = thread_operations(
        thread=THREAD,
        keys=PartKeys(
            side="internal",
            drill_diameter_mm=30,
            drill_depth_mm=26,
            drill_feed_mm_per_min=120,
            drill_peck_depth_mm=10,
            step_diameter_mm=32.9,
            step_length_mm=26,
            step_cutter_diameter_mm=20,
            step_radial_depth_mm=0.5,
            step_axial_depth_mm=13,
            step_feed_mm_per_min=500,
        ),
    )
    assert operations[0] == Drilling(
        diameter_mm=30, depth_mm=26, feed_mm_per_min=120, peck_depth_mm=10
    )
    bore = operations[1]
    assert isinstance(bore, CircularMilling)
    assert (bore.start_diameter_mm, bore.axial_depth_mm, bore.name) == (30, 13, "bore")


def test_the_thread_alone() -> None:
    assert thread_operations(thread=THREAD, keys=PartKeys(side="external")) == (THREAD,)


@pytest.mark.parametrize(
    ("given", "missing"),
    [
        ({"step_diameter_mm": 24.0}, "step_start_diameter_mm"),
        ({"step_axial_depth_mm": 10.0}, "step_start_diameter_mm"),
        ({"chamfer_feed_mm_per_min": 300.0}, "chamfer_diameter_mm"),
        ({"drill_peck_depth_mm": 5.0}, "drill_diameter_mm"),
        ({"probing_points": 3}, "probing_time_per_point_s"),
    ],
)
def test_a_group_in_part_is_refused(given: dict[str, Any], missing: str) -> None:
    with pytest.raises(MissingInputError) as refusal:
        thread_operations(thread=THREAD, keys=PartKeys(side="external", **given))
    assert refusal.value.parameter == missing
    assert next(iter(given)) in refusal.value.detail


def test_no_hole_for_an_outside_thread() -> None:
    with pytest.raises(InfeasibleError):
        thread_operations(
            thread=THREAD,
            keys=PartKeys(
                side="external",
                drill_diameter_mm=30,
                drill_depth_mm=26,
                drill_feed_mm_per_min=120,
            ),
        )
