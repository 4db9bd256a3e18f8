"""The operations of a part by hand calculation.

``FAST`` ramps so hard that a move takes its length over its rate, which leaves the path lengths to
check; ``MACHINE`` is the scenario's, and its ramps are worked by hand where they are checked.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.errors import (
    CalcError,
    InfeasibleError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.operations.bench_operations import FixedTime, HandWork, Probing
from threadwright_service.calc.times.operations.hole_operations import Drilling, StraightCutting
from threadwright_service.calc.times.operations.milling_operations import Chamfer, CircularMilling
from threadwright_service.calc.times.operations.operations import KINDS, operation_of
from threadwright_service.calc.times.operations.thread_milling import (
    ThreadMilling,
    ThreadPass,
    thread_turns,
)
from threadwright_service.calc.times.operations.thread_operations import (
    SinglePointThreading,
    Tapping,
)
from threadwright_service.calc.trail import Trail

FAST = MachineMotion(
    rapid_rate_mm_per_min=15_000,
    acceleration_m_per_s2=1e9,
    centripetal_acceleration_m_per_s2=1e9,
)
MACHINE = MachineMotion(rapid_rate_mm_per_min=15_000, acceleration_m_per_s2=4.0)


def test_a_step_roughed_down() -> None:
    """Blank 28, step 24, cutter 16, 0.5 mm a cut: four cuts, radii made 13.5, 13, 12.5, 12.

    Path radii 21.5, 21, 20.5, 20; turns 2π(21.5 + 21 + 20.5 + 20) = 166 π mm; eight quarter arcs of
    4 mm, 16 π mm: 182 π mm at 600 mm/min. Rapid: in and out 28 + 5 mm each, three links of
    2 · 4 + 0.5 mm.
    """
    trail = Trail()
    time = CircularMilling(
        side="external",
        start_diameter_mm=28,
        diameter_mm=24,
        length_mm=28,
        cutter_diameter_mm=16,
        radial_depth_mm=0.5,
        feed_mm_per_min=600,
    ).time(FAST, trail)
    assert time.path_length_mm == pytest.approx(182 * math.pi, rel=1e-12)
    assert time.cutting_time_s == pytest.approx(182 * math.pi / 10, rel=1e-6)
    assert time.rapid_time_s == pytest.approx((2 * 33 + 3 * 8.5) / 250, rel=1e-5)
    assert time.limited_by == "feed"
    assert {each.parameter for each in trail.assumptions} == {
        "step_axial_depth",
        "step_entry_arc_radius",
        "clearance",
    }


def test_a_step_in_levels_with_a_finishing_cut() -> None:
    """28 mm in levels of 10: three; two cuts of 1 mm and one finishing turn on each.

    Radii 21, 20, 20 and six arcs of 2 mm: 2π · 61 + 6 · π = 128 π mm a level.
    """
    time = CircularMilling(
        side="external",
        start_diameter_mm=28,
        diameter_mm=24,
        length_mm=28,
        cutter_diameter_mm=16,
        radial_depth_mm=1,
        axial_depth_mm=10,
        finishing_cuts=1,
        entry_arc_radius_mm=2,
        clearance_mm=5,
        feed_mm_per_min=600,
    ).time(FAST)
    assert time.path_length_mm == pytest.approx(3 * 128 * math.pi, rel=1e-12)
    # To 10, 20 and 28 mm from 5 mm above and back; two links of 2 · 2 + 1 mm a level.
    rapid_mm = 2 * (15 + 25 + 33) + 3 * 2 * 5
    assert time.rapid_time_s == pytest.approx(rapid_mm / 250, rel=1e-5)


def test_a_bore_opened_to_size() -> None:
    """From 30 to 32 with a cutter of 16 in two cuts: path radii 7.5 and 8 mm.

    Each with two half turns of half its radius: 2πe + 2 · π e/2 = 3πe: 46.5 π mm.
    """
    time = CircularMilling(
        side="internal",
        start_diameter_mm=30,
        diameter_mm=32,
        length_mm=20,
        cutter_diameter_mm=16,
        radial_depth_mm=0.5,
        feed_mm_per_min=500,
        clearance_mm=5,
    ).time(FAST)
    assert time.path_length_mm == pytest.approx(46.5 * math.pi, rel=1e-12)
    assert time.rapid_time_s == pytest.approx(2 * 25 / 250, rel=1e-5)


def test_nothing_to_cut_takes_no_time() -> None:
    time = CircularMilling(
        side="external",
        start_diameter_mm=24,
        diameter_mm=24,
        length_mm=28,
        cutter_diameter_mm=16,
        radial_depth_mm=0.5,
        feed_mm_per_min=600,
    ).time(MACHINE)
    assert time.time_s == 0
    assert time.limited_by is None


def test_the_passes_of_a_thread() -> None:
    """Two passes of 1,200 mm and one of 1,000 mm at 400 and 500 mm/min: 180, 180 and 120 s.

    A turn of 20 mm radius is 125.67 mm long, so 1,200 mm rise 1200/125.67 · 1.5 = 14.32 mm.
    """
    thread = ThreadMilling(
        passes=(
            ThreadPass(
                path_length_mm=1200,
                cutter_centre_radius_mm=20,
                feed_centre_mm_per_min=400,
                times=2,
            ),
            ThreadPass(path_length_mm=1000, cutter_centre_radius_mm=20, feed_centre_mm_per_min=500),
        ),
        lead_mm=1.5,
        clearance_mm=5,
    )
    time = thread.time(FAST)
    assert time.cutting_time_s == pytest.approx(480, rel=1e-6)
    turn_mm = math.sqrt((40 * math.pi) ** 2 + 1.5**2)
    rapid_mm = 3 * (1200 / turn_mm * 1.5 + 5) + 1000 / turn_mm * 1.5 + 5
    assert time.rapid_time_s == pytest.approx(rapid_mm / 250, rel=1e-5)
    assert time.sized
    # With the machine's ramps: each pass is from rest to rest, v/a more.
    ramped = thread.time(MACHINE)
    extra_s = 2 * (400 / 60 / 4000) + 500 / 60 / 4000
    assert ramped.cutting_time_s == pytest.approx(480 + extra_s, rel=1e-9)


def test_a_pass_with_its_arcs_and_starts() -> None:
    """Inside, helix of 1 mm radius with arcs of 0.5 mm, two starts of 50 mm and 3 mm of arcs each.

    At 3 m/s² the arcs allow sqrt(3000 · 0.5) = 38.73 mm/s, the helix (flat) sqrt(3000) = 54.77. Up
    to 38.73: 0.25 mm in 0.01291 s, 1.25 mm at speed; in the helix up to 54.77 over 0.25 mm, down
    again, 49.5 mm at speed. At 3,600 mm/min = 60 mm/s none of it is the feed.
    """
    machine = MachineMotion(rapid_rate_mm_per_min=15_000, acceleration_m_per_s2=3.0)
    arc_v, helix_v = math.sqrt(1500), math.sqrt(3000)
    arc_s = arc_v / 3000 + 1.25 / arc_v
    helix_s = 2 * (helix_v - arc_v) / 3000 + 49.5 / helix_v
    time = ThreadMilling(
        passes=(
            ThreadPass(
                path_length_mm=106,
                cutter_centre_radius_mm=1,
                feed_centre_mm_per_min=3600,
                starts=2,
                arcs_length_mm=6,
                entry_arc_radius_mm=0.5,
            ),
        ),
        lead_mm=1e-6,
        return_mm=10,
    ).time(machine)
    assert time.cutting_time_s == pytest.approx(2 * (2 * arc_s + helix_s), rel=1e-9)
    assert time.limited_by == "centripetal"
    # In and twice back, 10 mm each, never at the rapid rate.
    assert time.rapid_time_s == pytest.approx(3 * 2 * math.sqrt(10 / 3000), rel=1e-9)


def test_turns_of_a_pass() -> None:
    """28 mm of 1.5 mm lead and a turn of run in; whole rows: a turn and 30°. Common practice."""
    trail = Trail()
    single = thread_turns(profile="single", thread_length_mm=28, lead_mm=1.5, trail=trail)
    full = thread_turns(profile="full", thread_length_mm=28, lead_mm=1.5, trail=trail)
    assert single == pytest.approx(28 / 1.5 + 1)
    assert full == pytest.approx(1 + 30 / 360)
    assert [each.parameter for each in trail.assumptions] == ["run_in_turns_ratio", "overlap_deg"]


def test_a_chamfer() -> None:
    """Outside 24, cutter 6 at the contact: 2π · 15 mm and 2 mm more, at 300 mm/min."""
    time = Chamfer(
        side="external",
        diameter_mm=24,
        cutter_diameter_mm=6,
        feed_mm_per_min=300,
        overlap_mm=2,
        clearance_mm=5,
    ).time(FAST)
    assert time.cutting_time_s == pytest.approx((30 * math.pi + 2) / 5, rel=1e-6)
    assert time.rapid_time_s == pytest.approx(10 / 250, rel=1e-5)


def test_a_drilled_hole() -> None:
    """20 mm, 30 deep, 90° point: 10 mm more; from 5 mm above 45 mm at 150 mm/min: 18 s."""
    hole = Drilling(
        diameter_mm=20, depth_mm=30, feed_mm_per_min=150, point_angle_deg=90, clearance_mm=5
    )
    time = hole.time(FAST)
    assert time.cutting_time_s == pytest.approx(18, rel=1e-6)
    assert time.rapid_time_s == pytest.approx(45 / 250, rel=1e-5)


def test_a_hole_in_pecks() -> None:
    """The same in pecks of 15 mm: bottoms at 15, 30, 40; each stroke begins 5 mm above.

    At the feed 20 + 20 + 15 = 55 mm: 22 s. Rapid: out 20, in 15, out 35, in 30, out 45: 145 mm.
    """
    time = Drilling(
        diameter_mm=20,
        depth_mm=30,
        feed_mm_per_min=150,
        point_angle_deg=90,
        peck_depth_mm=15,
        clearance_mm=5,
        dwell_s=0.5,
        holes=2,
    ).time(FAST)
    assert time.cutting_time_s == pytest.approx(44, rel=1e-6)
    assert time.rapid_time_s == pytest.approx(2 * 145 / 250, rel=1e-5)
    assert time.other_time_s == 1.0


def test_a_turned_diameter() -> None:
    """36 to 32 in cuts of 1 mm: two of 50 + 2 + 1 mm at 160 mm/min, and back."""
    time = StraightCutting(
        side="external",
        start_diameter_mm=36,
        diameter_mm=32,
        length_mm=50,
        radial_depth_mm=1,
        feed_mm_per_min=160,
        approach_mm=2,
        overrun_mm=1,
    ).time(FAST)
    assert time.cutting_time_s == pytest.approx(2 * 53 / 160 * 60, rel=1e-6)
    assert time.rapid_time_s == pytest.approx(2 * 53 / 250, rel=1e-5)


def test_a_thread_turned_with_one_edge() -> None:
    """Tr 32x6, 60 mm, 14 cuts at 120 rev/min: (18 + 60 + 4) mm / 720 mm/min = 6.8333 s a cut.

    Each with the way back of 82 mm and 5 mm out and in.
    """
    trail = Trail()
    time = SinglePointThreading(
        thread_length_mm=60,
        lead_mm=6,
        cuts=14,
        spindle_speed_rev_per_min=120,
        overrun_mm=4,
        retract_mm=5,
    ).time(FAST, trail)
    assert time.cutting_time_s == pytest.approx(14 * 82 / 720 * 60, rel=1e-9)
    assert time.rapid_time_s == pytest.approx(14 * (82 + 10) / 250, rel=1e-5)
    assert [each.parameter for each in trail.assumptions] == ["thread_approach"]
    assert time.limited_by == "spindle"


def test_an_approach_too_short_for_the_slide_is_cautioned() -> None:
    """3,000 rev/min of 6 mm lead: 300 mm/s need 300²/8000 = 11.25 mm at 4 m/s²."""
    trail = Trail()
    machine = MachineMotion(rapid_rate_mm_per_min=24_000, acceleration_m_per_s2=4.0)
    thread = SinglePointThreading(
        thread_length_mm=60, lead_mm=6, cuts=14, spindle_speed_rev_per_min=3000, approach_mm=11
    )
    thread.time(machine, trail)
    codes = [each.code for each in trail.cautions]
    assert codes == ["thread-approach-short", "runs-along-fast"]
    assert "11.25" in trail.cautions[0].detail


def test_a_thread_faster_than_the_slide_is_refused() -> None:
    thread = SinglePointThreading(
        thread_length_mm=60, lead_mm=6, cuts=14, spindle_speed_rev_per_min=3000
    )
    with pytest.raises(InfeasibleError, match="18000") as refusal:
        thread.time(MACHINE)
    assert refusal.value.accepted == "at most 2500 rev/min"


def test_a_tapped_thread() -> None:
    """M10x1.5, 20 mm and 5 mm above at 300 rev/min: 25/450 min in, half of it out, twice 0.5 s."""
    time = Tapping(
        depth_mm=20,
        lead_mm=1.5,
        spindle_speed_rev_per_min=300,
        return_speed_ratio=2,
        approach_mm=5,
        reversal_time_s=0.5,
    ).time(MACHINE)
    assert time.cutting_time_s == pytest.approx(25 / 450 * 60 * 1.5, rel=1e-12)
    assert time.other_time_s == 1.0


def test_work_without_a_path() -> None:
    trail = Trail()
    deburr = HandWork(time_s=30).time(MACHINE, trail)
    assert (deburr.time_s, deburr.beside_time_s, deburr.hand) == (30, 0, True)
    assert [each.parameter for each in trail.assumptions] == ["deburr_beside"]
    beside = HandWork(time_s=30, beside=True).time(MACHINE)
    assert (beside.time_s, beside.beside_time_s) == (0, 30)
    assert Probing(points=3, time_per_point_s=8).time(MACHINE).other_time_s == 24
    assert FixedTime(time_s=50).time(MACHINE).cutting_time_s == 50
    assert FixedTime(time_s=50, cutting=False).time(MACHINE).other_time_s == 50


@given(
    feed=st.floats(10, 20_000),
    more=st.floats(1, 4),
    radius=st.floats(0.2, 60),
    length=st.floats(5, 3000),
)
def test_a_thread_is_never_slower_at_a_higher_feed(
    feed: float, more: float, radius: float, length: float
) -> None:
    slow, fast = (
        ThreadMilling(
            passes=(
                ThreadPass(
                    path_length_mm=length,
                    cutter_centre_radius_mm=radius,
                    feed_centre_mm_per_min=each,
                ),
            ),
            lead_mm=1.5,
        ).time(MACHINE)
        for each in (feed, feed * more)
    )
    assert fast.cutting_time_s <= slow.cutting_time_s * (1 + 1e-12)
    if slow.limited_by != "feed":
        assert fast.cutting_time_s == pytest.approx(slow.cutting_time_s, rel=1e-12)
    assert slow.limited_by in ("feed", "centripetal", "acceleration", "feed-rate-max")


STEP = {
    "side": "external",
    "start_diameter_mm": 28.0,
    "diameter_mm": 24.0,
    "length_mm": 28.0,
    "cutter_diameter_mm": 16.0,
    "radial_depth_mm": 0.5,
    "feed_mm_per_min": 600.0,
}
STRAIGHT = {
    "side": "external",
    "start_diameter_mm": 36.0,
    "diameter_mm": 32.0,
    "length_mm": 50.0,
    "radial_depth_mm": 1.0,
    "feed_mm_per_min": 160.0,
}
CHAMFER = {
    "side": "internal",
    "diameter_mm": 24.0,
    "cutter_diameter_mm": 6.0,
    "feed_mm_per_min": 300.0,
}
DRILL = {"diameter_mm": 20.0, "depth_mm": 30.0, "feed_mm_per_min": 150.0}
PASS = {
    "path_length_mm": 1000.0,
    "cutter_centre_radius_mm": 20.0,
    "feed_centre_mm_per_min": 500.0,
}
TURNED = {
    "thread_length_mm": 60.0,
    "lead_mm": 6.0,
    "cuts": 14,
    "spindle_speed_rev_per_min": 120.0,
}
TAPPED = {"depth_mm": 20.0, "lead_mm": 1.5, "spindle_speed_rev_per_min": 300.0}


@pytest.mark.parametrize(
    ("kind", "values", "error", "parameter"),
    [
        ("circular-milling", {**STEP, "start_diameter_mm": 20.0}, InfeasibleError, "start_diam"),
        ("circular-milling", {**STEP, "side": "internal"}, InfeasibleError, "start_diam"),
        (
            "circular-milling",
            {**STEP, "side": "internal", "start_diameter_mm": 15.0},
            InfeasibleError,
            "cutter_diameter",
        ),
        ("circular-milling", {**STEP, "radial_depth_mm": 0.0}, OutOfRangeError, "radial_depth"),
        ("circular-milling", {**STEP, "axial_depth_mm": 0.0}, OutOfRangeError, "axial_depth"),
        ("circular-milling", {**STEP, "finishing_cuts": -1}, OutOfRangeError, "finishing_cuts"),
        ("chamfer", {**CHAMFER, "cutter_diameter_mm": 24.0}, InfeasibleError, "cutter_diameter"),
        ("chamfer", {**CHAMFER, "turns": 0}, OutOfRangeError, "turns"),
        ("drilling", {**DRILL, "point_angle_deg": 190.0}, OutOfRangeError, "point_angle"),
        ("drilling", {**DRILL, "peck_depth_mm": 0.0}, OutOfRangeError, "peck_depth"),
        ("drilling", {**DRILL, "holes": 0}, OutOfRangeError, "holes"),
        ("drilling", {**DRILL, "dwell_s": -1.0}, OutOfRangeError, "dwell"),
        ("straight-cutting", {**STRAIGHT, "diameter_mm": 40.0}, InfeasibleError, "start_diam"),
        ("straight-cutting", {**STRAIGHT, "approach_mm": -1.0}, OutOfRangeError, "approach"),
        ("thread-milling", {"passes": [], "lead_mm": 1.5}, MissingInputError, "passes"),
        ("thread-milling", {"passes": [PASS], "lead_mm": 0.0}, OutOfRangeError, "lead"),
        ("thread-milling", {"lead_mm": 1.5}, MissingInputError, "passes"),
        (
            "thread-milling",
            {"passes": [{**PASS, "path_length_mm": 0.0}], "lead_mm": 1.5},
            OutOfRangeError,
            "path_length",
        ),
        (
            "thread-milling",
            {"passes": [{**PASS, "times": 0}], "lead_mm": 1.5},
            OutOfRangeError,
            "passes",
        ),
        (
            "thread-milling",
            {"passes": [PASS], "lead_mm": 1.5, "return_mm": -1.0},
            OutOfRangeError,
            "return",
        ),
        (
            "thread-milling",
            {"passes": [{**PASS, "arcs_length_mm": 20.0}], "lead_mm": 1.5},
            MissingInputError,
            "entry_arc_radius",
        ),
        (
            "thread-milling",
            {"passes": [{**PASS, "arcs_length_mm": 1000.0}], "lead_mm": 1.5},
            InfeasibleError,
            "arcs_length",
        ),
        ("single-point-threading", {**TURNED, "cuts": 0}, OutOfRangeError, "cuts"),
        ("single-point-threading", {**TURNED, "retract_mm": -1.0}, OutOfRangeError, "retract"),
        ("tapping", {**TAPPED, "lead_mm": -1.0}, OutOfRangeError, "lead"),
        ("tapping", {**TAPPED, "reversal_time_s": -1.0}, OutOfRangeError, "reversal"),
        ("hand-work", {"time_s": -1.0}, OutOfRangeError, "time_s"),
        ("probing", {"points": 0, "time_per_point_s": 1.0}, OutOfRangeError, "points"),
        ("fixed-time", {"time_s": math.nan}, OutOfRangeError, "time_s"),
        ("fixed-time", {}, MissingInputError, "time_s"),
        ("fixed-time", {"time_s": 1.0, "colour": 1}, UnknownDesignationError, "colour"),
        ("broaching", {}, UnknownDesignationError, "kind"),
    ],
)
def test_bad_operations_are_refused_by_name(
    kind: str, values: dict[str, Any], error: type[CalcError], parameter: str
) -> None:
    with pytest.raises(error) as refusal:
        operation_of(kind, values)
    assert refusal.value.parameter.startswith(parameter)


@pytest.mark.parametrize(
    ("kind", "values"),
    [
        ("circular-milling", STEP),
        ("chamfer", CHAMFER),
        ("drilling", DRILL),
        ("straight-cutting", STRAIGHT),
        ("thread-milling", {"passes": [PASS], "lead_mm": 1.5}),
        ("single-point-threading", TURNED),
        ("tapping", TAPPED),
        ("hand-work", {"time_s": 10.0}),
        ("probing", {"points": 2, "time_per_point_s": 5.0}),
        ("fixed-time", {"time_s": 10.0}),
    ],
)
def test_every_kind_can_be_asked_for(kind: str, values: dict[str, Any]) -> None:
    time = operation_of(kind, values).time(MACHINE, Trail(steps=[]))
    assert time.kind == kind
    assert time.time_s + time.beside_time_s > 0
    assert kind in KINDS
