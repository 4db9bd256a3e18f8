"""Room for the cutter, by hand arithmetic and by a sweep of the cutter's outline (**D**)."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest

from support import sample_threads
from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove, groove_of
from threadwright_service.calc.milling.path.clearance import (
    Clearances,
    blind_hole_depth,
    check_clearances,
)
from threadwright_service.calc.milling.path.direction import Milling
from threadwright_service.calc.milling.path.heights import (
    AXIAL_CLEARANCE_MM,
    depth_below_blank_mm,
    heights_of,
    run_out_allowance_mm,
    tooth_half_width_mm,
)
from threadwright_service.calc.milling.path.path import PathSetting, path_setting
from threadwright_service.calc.milling.path.path_elements import points_of
from threadwright_service.calc.threads.thread import Hand, Side
from threadwright_service.calc.trail import Trail

TAN_30 = math.tan(math.radians(30))


def cutter_of(diameter: float = 5.0, **more: float | str) -> Cutter:
    plain = Cutter(
        profile="single",
        diameter_mm=diameter,
        teeth=4,
        nose_flat_mm=0.1,
        nose_radius_mm=None,
        included_angle_deg=60.0,
        neck_diameter_mm=0.5 * diameter,
        neck_length_mm=30.0,
        shank_diameter_mm=diameter,
        stick_out_mm=40.0,
    )
    return replace(plain, **more)  # type: ignore[arg-type]


def groove_m10(side: Side, pitch_diameter: float = 9.0) -> ThreadGroove:
    thread = sample_threads.m10_6g() if side == "external" else sample_threads.m10_6h()
    return groove_of(thread=thread, pitch_diameter_mm=pitch_diameter)


ROOT = {"external": 7.9, "internal": 10.1}
BLANK = {"external": 9.95, "internal": 8.5}


def setting_of(
    side: Side,
    *,
    shoulder: float | None = None,
    cutter: Cutter | None = None,
    length: float = 15.0,
    hand: Hand = "right",
    milling: Milling = "climb",
    lead_in: float | None = None,
    land: float | None = None,
    trail: Trail | None = None,
) -> PathSetting:
    return path_setting(
        groove=groove_m10(side),
        hand=hand,
        milling=milling,
        cutter=replace(cutter or cutter_of(), land_mm=land),
        root_diameter_mm=ROOT[side],
        blank_diameter_mm=BLANK[side],
        thread_length_mm=length,
        shoulder_distance_mm=shoulder,
        lead_in_mm=lead_in,
        trail=trail,
    )


def checked(side: Side, cutter: Cutter | None = None, trail: Trail | None = None) -> Clearances:
    setting = setting_of(side, cutter=cutter or cutter_of())
    return check_clearances(
        groove=setting.groove,
        cutter=setting.cutter,
        root_diameter_mm=ROOT[side],
        blank_diameter_mm=BLANK[side],
        heights=setting.heights,
        trail=trail,
    )


def test_half_width_of_the_tooth() -> None:
    """w/2 + depth tan 30°; of two flanks the wider."""
    groove = groove_m10("external")
    assert tooth_half_width_mm(groove=groove, cutter=cutter_of(), depth_mm=1.0) == pytest.approx(
        0.05 + TAN_30
    )
    saw = replace(groove, pressure_flank_angle_deg=7.0, clearance_flank_angle_deg=45.0)
    assert tooth_half_width_mm(
        groove=saw, cutter=cutter_of(included_angle_deg=52.0), depth_mm=1.0
    ) == pytest.approx(0.05 + 1.0)


@pytest.mark.parametrize(
    ("side", "hand", "milling", "land"),
    list(
        itertools.product(
            ("external", "internal"), ("right", "left"), ("climb", "conventional"), (0.0, 0.4)
        )
    ),
)
@pytest.mark.parametrize("shoulder", [4.0, 1.2, 0.6])
def test_nothing_touches_the_shoulder(
    side: Side, hand: Hand, milling: Milling, land: float, shoulder: float
) -> None:
    """Walk the whole path with the tooth's lower corner at the blank's diameter."""
    setting = setting_of(side, shoulder=shoulder, hand=hand, milling=milling, land=land)
    path = setting.path(root_diameter_mm=ROOT[side])
    depth = abs(BLANK[side] - ROOT[side]) / 2
    below = 0.05 + depth * TAN_30 + land
    lowest = min(z for _, (_, _, z) in points_of(elements=path.elements, chord_error_mm=1e-3))
    gap = lowest - below - (-15.0 - shoulder)
    assert gap >= AXIAL_CLEARANCE_MM - 1e-9
    assert setting.heights.shoulder_gap_mm == pytest.approx(gap, abs=1e-9)
    # Full thread ends where the last groove's cell of one pitch does, all round.
    helix = [e for e in path.elements if e.kind == "helix"]
    bottom = min(min(e.start_z_mm, e.end_z_mm) for e in helix)
    assert setting.heights.usable_length_mm == pytest.approx(-bottom - 0.75)
    if shoulder == 4.0:
        assert setting.heights.usable_length_mm == pytest.approx(15.0)
        assert setting.heights.shoulder_distance_min_mm < 4.0
    else:
        assert setting.heights.usable_length_mm < 15.0
        assert gap == pytest.approx(AXIAL_CLEARANCE_MM, abs=1e-9)


def test_least_shoulder_distance_is_just_enough() -> None:
    needed = setting_of("external").heights.shoulder_distance_min_mm
    trail = Trail()
    enough = setting_of("external", shoulder=needed, trail=trail)
    assert enough.heights.usable_length_mm == pytest.approx(15.0)
    assert "shoulder-close" not in {each.code for each in trail.cautions}
    short = setting_of("external", shoulder=needed - 0.1, trail=trail)
    assert short.heights.usable_length_mm == pytest.approx(14.9)
    said = next(each for each in trail.cautions if each.code == "shoulder-close")
    assert "14.900 mm" in said.detail
    assert [each.parameter for each in trail.assumptions] == [
        "entry_arc_radius",
        "cutter_land",
        "lead_in",
    ]


def test_a_shoulder_that_leaves_no_thread_is_refused() -> None:
    with pytest.raises(InfeasibleError) as refused:
        setting_of("external", length=0.5, shoulder=0.0)
    assert refused.value.parameter == "shoulder_distance"


def test_start_above_the_face() -> None:
    """Half a pitch: the tooth, 0.05 + 1.025 tan 30° = 0.642 wide at the blank, is clear of it."""
    assert setting_of("external").heights.top_mm == pytest.approx(0.75)
    trail = Trail()
    assert setting_of("external", lead_in=2.0, trail=trail).heights.top_mm == 2.0
    assert "start-in-the-work" not in {each.code for each in trail.cautions}
    assert setting_of("external", lead_in=0.3, trail=trail).heights.top_mm == 0.3
    assert "start-in-the-work" in {each.code for each in trail.cautions}
    wide = heights_of(
        groove=replace(
            groove_m10("external"), pressure_flank_angle_deg=45.0, clearance_flank_angle_deg=7.0
        ),
        cutter=cutter_of(included_angle_deg=52.0),
        depth_mm=1.0,
        thread_length_mm=10.0,
        rise_mm=0.1,
    )
    assert wide.top_mm == pytest.approx(1.05)


def test_run_out_allowance() -> None:
    """Single row half a pitch, full-length cutter the lead less half a pitch."""
    groove = replace(groove_m10("external"), lead_mm=4.5)
    assert run_out_allowance_mm(groove=groove, cutter=cutter_of()) == 0.75
    assert run_out_allowance_mm(groove=groove, cutter=cutter_of(profile="full")) == 3.75


def test_neck_clearance_and_its_limit() -> None:
    """rc - depth - neck/2: 2.5 - 1.025 - 1.25 = 0.225; the limit leaves 0.1."""
    assert checked("external").neck_clearance_mm == pytest.approx(0.225)
    checked("external", cutter_of(neck_diameter_mm=2.749))
    with pytest.raises(InfeasibleError) as refused:
        checked("external", cutter_of(neck_diameter_mm=2.76))
    assert refused.value.parameter == "cutter_neck_diameter"
    assert refused.value.accepted == "at most 2.75 mm"


@pytest.mark.parametrize("side", ["external", "internal"])
def test_neck_never_touches_the_crest(side: Side) -> None:
    """At the last pass the neck's circle about the centre stays clear of the crest's circle."""
    setting = setting_of(side)
    centre = setting.path(root_diameter_mm=ROOT[side]).cutter_centre_radius_mm
    neck = setting.cutter.neck_diameter_mm / 2
    crest = BLANK[side] / 2
    gap = centre - neck - crest if side == "external" else crest - centre - neck
    assert checked(side).neck_clearance_mm == pytest.approx(gap)


def test_a_cutter_too_small_for_any_neck_is_refused() -> None:
    with pytest.raises(InfeasibleError) as refused:
        checked("external", cutter_of(2.1, neck_diameter_mm=0.1))
    assert refused.value.parameter == "cutter_diameter"
    assert refused.value.accepted == "more than 2.25 mm"


def test_a_thick_shank_needs_a_long_neck() -> None:
    """Lowest centre -15 - 0.75 - rise; the neck must keep the shank above the face there."""
    found = checked("external")
    assert found.neck_length_min_mm is not None
    rise = setting_of("external").heights.rise_mm
    assert found.neck_length_min_mm == pytest.approx(15.75 + rise + 0.1)
    with pytest.raises(InfeasibleError) as refused:
        checked("external", cutter_of(neck_length_mm=15.0))
    assert refused.value.parameter == "cutter_neck_length"
    accepted = float(refused.value.accepted.split()[2])
    checked("external", cutter_of(neck_length_mm=accepted))
    # A shank as thin as the neck may go down with it.
    thin = checked("external", cutter_of(neck_length_mm=1.0, shank_diameter_mm=2.5))
    assert thin.neck_length_min_mm is None
    full = checked("external", cutter_of(profile="full", neck_length_mm=1.0))
    assert full.neck_length_min_mm is None


def test_a_short_stick_out_is_refused() -> None:
    with pytest.raises(InfeasibleError) as refused:
        checked("internal", cutter_of(stick_out_mm=15.0))
    assert refused.value.parameter == "cutter_stick_out"


def test_largest_cutter_for_the_hole() -> None:
    """Hole 8.5: 0.1 mm all round leaves 8.3; two thirds of 10 mm is wise."""
    found = checked("internal")
    assert found.largest_cutter_diameter_mm == pytest.approx(8.3)
    assert found.recommended_cutter_diameter_mm == pytest.approx(6.5)
    assert found.entry_clearance_mm == pytest.approx(1.75)
    trail = Trail()
    checked("internal", cutter_of(7.0), trail)
    assert {each.code for each in trail.cautions} == {"cutter-large-for-the-hole"}
    with pytest.raises(InfeasibleError) as refused:
        checked("internal", cutter_of(8.4, neck_diameter_mm=3.0))
    assert refused.value.parameter == "cutter_diameter"
    assert refused.value.accepted == "at most 8.3 mm"
    outside = checked("external")
    assert (outside.largest_cutter_diameter_mm, outside.entry_clearance_mm) == (None, None)


@pytest.mark.parametrize(("side", "parameter"), [("external", "blank"), ("internal", "hole")])
def test_a_pass_that_does_not_reach_the_blank_is_refused(side: Side, parameter: str) -> None:
    with pytest.raises(InfeasibleError) as refused:
        depth_below_blank_mm(
            groove=groove_m10(side),
            root_diameter_mm=9.0,
            blank_diameter_mm=8.9 if side == "external" else 9.1,
        )
    assert refused.value.parameter == f"{parameter}_diameter"


def test_blind_hole() -> None:
    """Drill 8.5, 118°: the point is 8.5/2 / tan 59° = 2.554 mm long (hand arithmetic)."""
    hole = blind_hole_depth(
        thread_length_mm=15.0,
        shoulder_distance_min_mm=2.0,
        drill_diameter_mm=8.5,
        point_angle_deg=118.0,
    )
    assert hole.full_depth_mm == 17.0
    assert hole.point_depth_mm == pytest.approx(17.0 + 2.554, abs=5e-4)
