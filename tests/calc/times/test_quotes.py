"""Quotes of the scenario's jobs, worked by hand step by step and compared with the answer.

The arithmetic is written out here with the numbers themselves and calls nothing of ours: a move
from rest to rest takes s/v + v/a (longer than v²/a) or 2 sqrt(s/a); a lot is set-up, first
article, parts, measuring and worn cutters. The numbers of the jobs (feeds, radii, times, rates) are
invented.
"""

from __future__ import annotations

from math import ceil, pi, sqrt

import pytest

from threadwright_service.calc.times.cycle_time import CycleTime, cycle_time
from threadwright_service.calc.times.lot.terms import LotTerms, ToolTerms
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.operations.bench_operations import HandWork, Probing
from threadwright_service.calc.times.operations.hole_operations import Drilling
from threadwright_service.calc.times.operations.milling_operations import Chamfer, CircularMilling
from threadwright_service.calc.times.operations.thread_milling import ThreadMilling, ThreadPass
from threadwright_service.calc.trail import Trail

# The scenario's machine: 0.4 g; 15 m/min in rapid traverse.
A = 0.4 * 9806.65  # mm/s²
RAPID = 250.0  # mm/s
MACHINE = MachineMotion(rapid_rate_mm_per_min=15_000, acceleration_m_per_s2=3.92266)


def rapid_s(s: float) -> float:
    """250²/3922.66 = 15.93 mm: a shorter move never reaches the rapid rate."""
    return s / RAPID + RAPID / A if s > RAPID**2 / A else 2 * sqrt(s / A)


def near(hand: float) -> object:
    return pytest.approx(hand, rel=1e-9)


def breakdown(answer: CycleTime) -> dict[str, float]:
    return {line.name: line.time_min for line in answer.breakdown}


def test_levelling_screws() -> None:
    """M24x1.5-6g, nine right and nine left hand: step, chamfer, four passes, deburring."""
    # Step: 28 to 23.85 with a cutter of 16 and 0.6 mm a cut: 2.075/0.6 = 3.46, so four cuts of
    # 0.51875 mm; radii made 13.48125, 12.9625, 12.44375, 11.925; paths 8 mm more.
    paths = [21.48125, 20.9625, 20.44375, 19.925]
    # Each cut is a quarter arc of 4 mm, a turn, a quarter arc: one block after the other at
    # 700 mm/min = 11.667 mm/s without a stop, as 11.667 is under sqrt(A · 4) = 125 mm/s.
    v = 700 / 60
    step_cut = sum((2 * pi * e + 2 * (pi / 2 * 4)) / v + v / A for e in paths)
    # Down 28 + 5 mm, up again, and three links of 2 · 4 + 0.6 mm.
    step_rapid = 2 * rapid_s(33) + 3 * rapid_s(8.6)

    # Chamfer: 24 outside, cutter 6 at the contact, path 15 mm, 2 mm overlap, 400 mm/min.
    v = 400 / 60
    chamfer_cut = (2 * pi * 15 + 2) / v + v / A
    chamfer_rapid = 2 * rapid_s(5)

    # Thread: path radius 19.08, 19.67 turns, passes at 460, 430, 410 and a spring pass at 410.
    turn = sqrt((2 * pi * 19.08) ** 2 + 1.5**2)
    length = (28 / 1.5 + 1) * turn
    thread_cut = sum(length / (f / 60) + f / 60 / A for f in (460, 430, 410, 410))
    # Back along the axis by the pass's rise, 29.5 mm, and 5 mm; once more on the way in.
    thread_rapid = 5 * rapid_s(29.5 + 5)

    cutting = step_cut + chamfer_cut + thread_cut
    rapid = step_rapid + chamfer_rapid + thread_rapid
    # Three tools: three changes of 8 s a part. Spindle 2 + 2 s, loading 75 s, deburring 40 s.
    part = cutting + rapid + 3 * 8 + 2 + 2 + 75 + 40

    # The lot: 18 parts. Set-up 45 min and 12 min for the other hand.
    setup = 45 + 12
    # First article of each hand: two trial cuts of the thread, each with the spindle's 4 s,
    # 150 s over wires and 60 s for the correction.
    article = 2 * 2 * (thread_cut + thread_rapid + 4 + 150 + 60) / 60
    # Measured: parts 1, 4 and 7 of each hand: ceil(9/3) = 3, twice.
    measuring = 6 * 150 / 60
    # The thread mill cuts in 18 parts and 4 trial cuts and lasts 180 min; 240 s to replace one.
    tool_min = 22 * thread_cut / 60
    worn = ceil(tool_min / 180) - 1
    lot = setup + article + 18 * part / 60 + measuring + worn * 240 / 60

    # Money: 60 an hour for the machine, 42 for the operator, who stands by for 40 % of the cycle
    # (all that is not loading or by hand); the mill costs 95, its worn share is charged.
    cycle = 18 * (part - 75 - 40) / 60
    labour = lot - cycle + 0.4 * cycle
    cost = 60 * lot / 60 + 42 * labour / 60 + tool_min / 180 * 95 + 18 * 11.50 + 80

    trail = Trail()
    answer = cycle_time(
        operations=(
            CircularMilling(
                side="external",
                start_diameter_mm=28,
                diameter_mm=23.85,
                length_mm=28,
                cutter_diameter_mm=16,
                radial_depth_mm=0.6,
                axial_depth_mm=28,
                entry_arc_radius_mm=4,
                clearance_mm=5,
                feed_mm_per_min=700,
            ),
            Chamfer(
                side="external",
                diameter_mm=24,
                cutter_diameter_mm=6,
                feed_mm_per_min=400,
                overlap_mm=2,
                clearance_mm=5,
            ),
            ThreadMilling(
                passes=tuple(
                    ThreadPass(
                        path_length_mm=length,
                        cutter_centre_radius_mm=19.08,
                        feed_centre_mm_per_min=feed,
                    )
                    for feed in (460, 430, 410, 410)
                ),
                lead_mm=1.5,
                clearance_mm=5,
            ),
            HandWork(time_s=40, beside=False),
        ),
        machine=MACHINE,
        lot=LotTerms(
            quantity_right=9,
            quantity_left=9,
            setup_time_min=45,
            hand_change_time_min=12,
            first_article_trials=2,
            measure_time_s=150,
            correction_time_s=60,
            measure_every=3,
            load_time_s=75,
            tool_change_time_s=8,
            spindle_start_time_s=2,
            spindle_stop_time_s=2,
            tools=(ToolTerms(name="thread mill", life_min=180, cost=95, replacement_time_s=240),),
            tool_charge="used",
            scrap_share=0,
            machine_rate=60,
            labour_rate=42,
            attendance_share=0.4,
            material_cost=11.50,
            fixture_cost=80,
            currency="EUR",
            spread_cycle_share=0.1,
            spread_handling_share=0.25,
            spread_setup_share=0.3,
            spread_first_article_share=0.5,
            spread_tool_life_share=0.4,
            spread_seed=7,
            spread_samples=1000,
            price_break_quantities=(18, 36),
        ),
        trail=trail,
    )
    assert trail.assumptions == []
    # The long numbers once more, in round figures: the step 520.3 mm of turns and 50.3 mm of arcs
    # at 11.667 mm/s, the chamfer 96.25 mm at 6.667, the thread 2,358 mm a pass: 307.6 s, 329.0 s
    # and twice 345.1 s.
    assert (step_cut, chamfer_cut, thread_cut) == pytest.approx((48.91, 14.44, 1326.7), rel=1e-3)
    assert answer.part.cutting_time_s == near(cutting)
    assert answer.part.rapid_time_s == near(rapid)
    assert answer.part.time_s == near(part)
    assert breakdown(answer)["set-up"] == near(setup)
    assert breakdown(answer)["first article"] == near(article)
    assert breakdown(answer)["measuring"] == near(measuring)
    assert answer.lot.tools[0].replacements == worn == 2
    assert answer.lot.time_min == near(lot)
    assert answer.lot.labour_min == near(labour)
    assert answer.lot.cost == near(cost)
    assert answer.lot.cost_each == near(cost / 18)
    assert answer.price_breaks[0].cost == near(cost)
    assert answer.lot.spread.low < cost < answer.lot.spread.high


def test_die_clamp_studs() -> None:
    """3/4-16 UNF-2A in tool steel at 58 HRC, twelve pieces, one in twenty lost, with learning."""
    # Thread: path radius 12.98 mm, 22 mm long, pitch 1.5875, seven passes and a spring pass, all
    # at 310 mm/min; the path's length is (22/1.5875 + 1) turns.
    turn = sqrt((2 * pi * 12.98) ** 2 + 1.5875**2)
    length = (22 / 1.5875 + 1) * turn
    v = 310 / 60
    thread_cut = 8 * (length / v + v / A)
    thread_rapid = 9 * rapid_s(22 + 1.5875 + 5)
    # One tool: no change. Probing two points of 9 s with the probe: two changes of 10 s a part.
    other = 18
    part = thread_cut + thread_rapid + other + 2 * 10 + 3 + 3 + 90

    # Started: 12/0.95 = 12.632 on average, 13 blanks.
    started = 12 / 0.95
    # Loading at 90 % for each doubling, over the twelve parts: exponent log2 0.9 = -0.152003.
    mean = sum(i**-0.15200309344504995 for i in range(1, 13)) / 12
    loading = started * mean * 90 / 60
    article = 1 * (thread_cut + thread_rapid + 6 + 180 + 60) / 60
    # Every part is measured: 12.
    measuring = 12 * 180 / 60
    # The mill lasts 45 min; every mill begun is charged, 120 each.
    tool_min = (started + 1) * thread_cut / 60
    worn = ceil(tool_min / 45) - 1
    lot = 40 + article + started * (part - 90) / 60 + loading + measuring + worn * 300 / 60
    cost = 75 * lot / 60 + (worn + 1) * 120 + started * 6.20

    answer = cycle_time(
        operations=(
            ThreadMilling(
                passes=(
                    ThreadPass(
                        path_length_mm=length,
                        cutter_centre_radius_mm=12.98,
                        feed_centre_mm_per_min=310,
                        times=8,
                    ),
                ),
                lead_mm=1.5875,
                clearance_mm=5,
            ),
            Probing(points=2, time_per_point_s=9),
        ),
        machine=MACHINE,
        lot=LotTerms(
            quantity=12,
            setup_time_min=40,
            first_article_trials=1,
            measure_time_s=180,
            correction_time_s=60,
            measure_every=1,
            load_time_s=90,
            tool_change_time_s=10,
            spindle_start_time_s=3,
            spindle_stop_time_s=3,
            tools=(ToolTerms(name="thread mill", life_min=45, cost=120, replacement_time_s=300),),
            tool_charge="whole",
            scrap_share=0.05,
            learning_share=0.9,
            machine_rate=75,
            labour_rate=0,
            material_cost=6.20,
            fixture_cost=0,
        ),
    )
    # In round figures: 14.858 turns of 81.57 mm, 1,212 mm, 234.6 s a pass; the sum of twelve
    # factors at 90 % is 9.374 in the textbooks' tables (from memory).
    assert thread_cut == pytest.approx(8 * 234.6, rel=1e-3)
    assert mean == pytest.approx(9.374 / 12, abs=5e-5)
    assert answer.part.time_s == near(part)
    assert answer.lot.parts_started_ratio == near(started)
    assert answer.lot.parts_to_start == 13
    assert breakdown(answer)["loading"] == near(loading)
    assert answer.lot.measured == 12
    assert answer.lot.tools[0].replacements == worn == 9
    assert answer.lot.time_min == near(lot)
    assert answer.lot.cost == near(cost)
    assert answer.lot.cost_each == near(cost / 12)


def test_ring_nuts() -> None:
    """1 3/8-12 UN-2B in alloy steel at 38 HRC, forty pieces: drill, bore, chamfer, whole rows."""
    # Drill 30 mm, 26 deep, 140° point: 15/tan 70° = 5.4596 mm more; 5 mm above; 120 mm/min.
    point = 15 / 2.7474774194546225
    v = 120 / 60
    drill_cut = (5 + 26 + point) / v + v / A
    drill_rapid = rapid_s(5 + 26 + point)

    # Bore 30 to 32.9 with a cutter of 20 in 0.5 mm: 1.45/0.5 = 2.9, three cuts of 0.48333 mm.
    # Path radii: 15.48333 - 10, 15.96667 - 10, 16.45 - 10; each a turn and two half turns of half
    # its radius from the axis. At 500 mm/min = 8.333 mm/s all run on, also the smallest half turn
    # of 2.74 mm: sqrt(A · 2.74) = 103 mm/s.
    v = 500 / 60
    bore_cut = sum((2 * pi * e + 2 * pi * e / 2) / v + v / A for e in (329 / 60, 179 / 30, 6.45))
    bore_rapid = 2 * rapid_s(5 + 26)

    # Chamfer on 34 mm, cutter 12 at the contact, two turns of 11 mm radius and 2 mm at 350.
    v = 350 / 60
    chamfer_cut = (2 * 2 * pi * 11 + 2) / v + v / A
    chamfer_rapid = 2 * rapid_s(5)

    # Thread: rows over the whole length, diameter 22: path radius 6.5 mm, a turn and 30°, two
    # passes at 260 mm/min. Lead 25.4/12.
    lead = 25.4 / 12
    turn = sqrt((2 * pi * 6.5) ** 2 + lead**2)
    length = (1 + 30 / 360) * turn
    v = 260 / 60
    thread_cut = 2 * (length / v + v / A)
    thread_rapid = 3 * rapid_s(13 / 12 * lead + 5)

    cutting = drill_cut + bore_cut + chamfer_cut + thread_cut
    rapid = drill_rapid + bore_rapid + chamfer_rapid + thread_rapid
    # Four tools, four changes of 7 s; spindle 2 + 1 s; loading 35 s; deburring 25 s beside.
    part = cutting + rapid + 4 * 7 + 3 + 35
    article = (thread_cut + thread_rapid + 3 + 100 + 45) / 60
    # Measured: parts 1, 11, 21, 31.
    measuring = 4 * 100 / 60
    drill_min = 40 * drill_cut / 60
    mill_min = (40 * thread_cut + thread_cut) / 60
    assert ceil(drill_min / 8) - 1 == 1  # 12.2 min of drilling: one drill replaced
    assert ceil(mill_min / 60) - 1 == 0
    lot = 50 + article + 40 * part / 60 + measuring + 1 * 180 / 60
    # By hand beside the machine 25 s each and an inspection of 20 s each.
    labour = lot + 40 * 25 / 60 + 40 * 20 / 60
    cost = 55 * lot / 60 + 38 * labour / 60 + drill_min / 8 * 48 + mill_min / 60 * 210 + 40 * 4.80

    answer = cycle_time(
        operations=(
            Drilling(
                diameter_mm=30,
                depth_mm=26,
                feed_mm_per_min=120,
                point_angle_deg=140,
                clearance_mm=5,
            ),
            CircularMilling(
                side="internal",
                start_diameter_mm=30,
                diameter_mm=32.9,
                length_mm=26,
                cutter_diameter_mm=20,
                radial_depth_mm=0.5,
                axial_depth_mm=26,
                clearance_mm=5,
                feed_mm_per_min=500,
            ),
            Chamfer(
                side="internal",
                diameter_mm=34,
                cutter_diameter_mm=12,
                feed_mm_per_min=350,
                turns=2,
                overlap_mm=2,
                clearance_mm=5,
            ),
            ThreadMilling(
                passes=(
                    ThreadPass(
                        path_length_mm=length,
                        cutter_centre_radius_mm=6.5,
                        feed_centre_mm_per_min=260,
                        times=2,
                    ),
                ),
                lead_mm=lead,
                clearance_mm=5,
            ),
            HandWork(time_s=25, beside=True),
        ),
        machine=MACHINE,
        lot=LotTerms(
            quantity=40,
            setup_time_min=50,
            first_article_trials=1,
            measure_time_s=100,
            correction_time_s=45,
            measure_every=10,
            load_time_s=35,
            tool_change_time_s=7,
            spindle_start_time_s=2,
            spindle_stop_time_s=1,
            inspection_time_s=20,
            tools=(
                ToolTerms(name="drill", life_min=8, cost=48, replacement_time_s=180),
                ToolTerms(name="thread mill", life_min=60, cost=210, replacement_time_s=300),
            ),
            tool_charge="used",
            scrap_share=0,
            machine_rate=55,
            labour_rate=38,
            attendance_share=1,
            material_cost=4.80,
            fixture_cost=0,
        ),
    )
    assert answer.part.cutting_time_s == near(cutting)
    assert answer.part.rapid_time_s == near(rapid)
    assert answer.part.tool_changes == 4
    assert answer.part.time_s == near(part)
    assert answer.lot.time_min == near(lot)
    assert answer.lot.machine_hours == near(lot / 60)
    assert answer.lot.labour_min == near(labour)
    assert answer.lot.cost == near(cost)
    lines = answer.breakdown
    assert sum(line.time_min for line in lines) == near(lot)
    assert sum(line.cost or 0 for line in lines) == near(cost)
    assert sum(line.time_share for line in lines) == near(1)
    assert sum(line.cost_share or 0 for line in lines) == near(1)
