"""The centre path: swept against its own groove for gouges, and checked as geometry (**D**)."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from support import dense_sweep
from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter, Profile
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.milling.path.direction import Milling
from threadwright_service.calc.milling.path.entry_arc import outside_arc_radius_mm
from threadwright_service.calc.milling.path.path import PathSetting, path_setting
from threadwright_service.calc.milling.path.path_elements import CentrePath, PathElement, points_of
from threadwright_service.calc.threads.thread import Hand, Side
from threadwright_service.calc.trail import Trail


def groove_60(side: Side, major: float, pitch: float, starts: int = 1) -> ThreadGroove:
    """The basic 60° profile (ISO 68-1)."""
    height = math.sqrt(3) / 2 * pitch
    minor = major - 1.25 * height
    outside = side == "external"
    return ThreadGroove(
        side=side,
        pitch_mm=pitch,
        lead_mm=starts * pitch,
        pitch_diameter_mm=major - 0.75 * height,
        pressure_flank_angle_deg=30.0,
        clearance_flank_angle_deg=30.0,
        crest_diameter_mm=major if outside else minor,
        contact_diameter_mm=minor if outside else major,
    )


def cutter_of(diameter: float, flat: float, profile: Profile = "single") -> Cutter:
    return Cutter(
        profile=profile,
        diameter_mm=diameter,
        teeth=4,
        nose_flat_mm=flat,
        nose_radius_mm=None,
        included_angle_deg=60.0,
        neck_diameter_mm=0.6 * diameter,
        neck_length_mm=60.0,
        shank_diameter_mm=diameter,
        stick_out_mm=80.0,
    )


def setting_of(
    side: Side = "external",
    *,
    major: float = 19.05,
    pitch: float = 1.5875,
    starts: int = 1,
    diameter: float = 9.525,
    hand: Hand = "right",
    milling: Milling = "climb",
    profile: Profile = "single",
    length: float = 20.0,
    shoulder: float | None = None,
    arc: float | None = None,
    trail: Trail | None = None,
) -> PathSetting:
    groove = groove_60(side, major, pitch, starts)
    return path_setting(
        groove=groove,
        hand=hand,
        milling=milling,
        cutter=cutter_of(diameter, pitch / 8, profile),
        root_diameter_mm=root_of(groove),
        blank_diameter_mm=groove.crest_diameter_mm,
        thread_length_mm=length,
        shoulder_distance_mm=shoulder,
        entry_arc_radius_mm=arc,
        trail=trail,
    )


def root_of(groove: ThreadGroove) -> float:
    """The root of the P/8 flat: d2 ∓ 0.6495 P."""
    return groove.pitch_diameter_mm - groove.outward * 0.6495190528 * groove.pitch_mm


def path_of(setting: PathSetting) -> CentrePath:
    return setting.path(root_diameter_mm=root_of(setting.groove))


def moves(path: CentrePath, kind: str, start: int = 1) -> PathElement:
    return next(e for e in path.elements if e.kind == kind and e.start_number == start)


ALL = list(
    itertools.product(("external", "internal"), ("right", "left"), ("climb", "conventional"))
)


@pytest.mark.parametrize(("side", "hand", "milling"), ALL)
def test_arcs_join_the_helix_smoothly(side: Side, hand: Hand, milling: Milling) -> None:
    """Position, heading and slope are the same on both sides of both joints."""
    path = path_of(setting_of(side, hand=hand, milling=milling))
    step = 1e-5

    def heading(element: PathElement, *, at_end: bool) -> dense_sweep.Array:
        centre = np.array([element.centre_x_mm, element.centre_y_mm])
        start = np.array([element.start_x_mm, element.start_y_mm]) - centre
        sense = 1 if element.travel == "counter-clockwise" else -1
        angle = sense * math.radians(element.arc_angle_deg)
        ends = (angle - sense * step, angle) if at_end else (0.0, sense * step)
        turned = [
            np.array(
                [
                    [math.cos(a), -math.sin(a)],
                    [math.sin(a), math.cos(a)],
                ]
            )
            @ start
            for a in ends
        ]
        rise = (element.end_z_mm - element.start_z_mm) * step / abs(angle)
        flat = turned[1] - turned[0]
        whole: dense_sweep.Array = np.array([*flat, rise])
        return whole / float(np.linalg.norm(whole))

    entry, helix, leave = (moves(path, kind) for kind in ("entry-arc", "helix", "exit-arc"))
    for before, after in ((entry, helix), (helix, leave)):
        assert before.end_x_mm == pytest.approx(after.start_x_mm, abs=1e-9)
        assert before.end_y_mm == pytest.approx(after.start_y_mm, abs=1e-9)
        assert before.end_z_mm == pytest.approx(after.start_z_mm, abs=1e-12)
        assert heading(before, at_end=True) == pytest.approx(heading(after, at_end=False), abs=3e-5)


@pytest.mark.parametrize(("side", "hand", "milling"), ALL)
def test_the_helix_has_the_hand_of_the_thread(side: Side, hand: Hand, milling: Milling) -> None:
    """Points of the path, turned one by one: angle over height gives lead and hand."""
    path = path_of(setting_of(side, hand=hand, milling=milling))
    points = np.array(
        [p for kind, p in points_of(elements=path.elements, chord_error_mm=1e-3) if kind == "helix"]
    )
    angle = np.unwrap(np.arctan2(points[:, 1], points[:, 0]))
    slope = np.polyfit(angle, points[:, 2], 1)[0] * 2 * math.pi
    assert slope == pytest.approx(1.5875 if hand == "right" else -1.5875, rel=1e-9)
    assert (points[-1, 2] > points[0, 2]) == (path.axial == "up")
    assert (angle[-1] > angle[0]) == (path.travel == "counter-clockwise")
    assert np.hypot(points[:, 0], points[:, 1]) == pytest.approx(path.cutter_centre_radius_mm)


def gouge_um(path: CentrePath, setting: PathSetting, rise_mm: float | None = None) -> float:
    """How far any position on the entry arc cuts beyond the groove of the endless helix [µm]."""
    groove, cutter = setting.groove, setting.cutter
    side = groove.outward
    lead = groove.lead_mm
    entry = moves(path, "entry-arc")
    if rise_mm is not None:
        sign = 1 if entry.end_z_mm > entry.start_z_mm else -1
        entry = replace(entry, start_z_mm=entry.end_z_mm - sign * rise_mm)
    root = root_of(groove) / 2
    profile = dense_sweep.flat_nose(cutter.radius_mm, cutter.nose_flat_mm or 0.0, 30.0)
    radii = np.linspace(root + side * 1e-6, groove.crest_diameter_mm / 2, 25)
    width = dense_sweep.swept_half_width(
        profile, radii, path.cutter_centre_radius_mm, lead, cutter.radius_mm
    )
    share = np.linspace(0, 1, 240)[:, None, None] ** 2
    sense = 1 if entry.travel == "counter-clockwise" else -1
    x0, y0 = entry.end_x_mm - entry.centre_x_mm, entry.end_y_mm - entry.centre_y_mm
    back = math.atan2(y0, x0) - sense * math.radians(entry.arc_angle_deg) * share
    arc = math.hypot(x0, y0)
    x, y = entry.centre_x_mm + arc * np.cos(back), entry.centre_y_mm + arc * np.sin(back)
    z = entry.end_z_mm - share * (entry.end_z_mm - entry.start_z_mm)
    around = np.linspace(-1.2, 1.2, 161)[None, :, None]
    rho = np.sqrt((x - radii * np.cos(around)) ** 2 + (y - radii * np.sin(around)) ** 2)
    cut = profile(rho)
    turn = 1 if (path.axial == "up") == (path.travel == "counter-clockwise") else -1
    helix = entry.end_z_mm + turn * lead * around / (2 * math.pi)
    over = np.maximum(z + cut - (helix + width), (helix - width) - (z - cut))
    return float(1e3 * over.max())


@pytest.mark.parametrize(("side", "hand", "milling"), ALL)
@pytest.mark.parametrize(
    "case", [(10.0, 1.5, 1), (19.05, 1.5875, 1), (36.0, 4.0, 1), (24.0, 1.5, 2)]
)
def test_entry_arc_leaves_no_gouge(
    side: Side, hand: Hand, milling: Milling, case: tuple[float, float, int]
) -> None:
    major, pitch, starts = case
    setting = setting_of(
        side,
        hand=hand,
        milling=milling,
        major=major,
        pitch=pitch,
        starts=starts,
        diameter=0.6 * major,
    )
    assert gouge_um(path_of(setting), setting) < 0.01


def test_general_arcs_leave_no_gouge_either() -> None:
    for side, arc in (("external", 3.0), ("external", 8.0), ("internal", 1.0), ("internal", 0.8)):
        setting = setting_of(
            "external" if side == "external" else "internal",
            major=10.0,
            pitch=1.5,
            diameter=5.0 if side == "internal" else 9.0,
            arc=arc,
        )
        assert gouge_um(path_of(setting), setting) < 0.01


@pytest.mark.parametrize(("arc", "printed_um"), [(1.0, 25), (0.8, 38)])
def test_pitch_times_the_swept_share_would_gouge(arc: float, printed_um: int) -> None:
    """The sweep tells a right rise from a wrong one: P·b/360 gouges the flank.

    The printed figures (M10 inside, cutter 6 mm) are those of an independent sweep, as is that a
    flat arc leaves 16 to 25 µm.
    """
    setting = setting_of("internal", major=10.0, pitch=1.5, diameter=6.0, arc=arc)
    path = path_of(setting)
    wrong = 1.5 * path.entry_arc_angle_deg / 360
    assert f"{gouge_um(path, setting, wrong):.0f}" == f"{printed_um}"
    assert 16 <= round(gouge_um(path, setting, 0.0)) <= 25
    assert gouge_um(path, setting) < 0.01


def test_semicircle_from_the_axis_rises_a_quarter_of_the_lead() -> None:
    """Re = e/2: half the polar angle is the arc's, so half a turn of arc is a quarter of helix."""
    setting = setting_of("internal", major=10.0, pitch=1.5, diameter=6.0)
    path = path_of(setting)
    assert path.entry_arc_radius_mm == pytest.approx(path.cutter_centre_radius_mm / 2)
    assert path.entry_rise_mm == pytest.approx(1.5 / 4)
    entry, leave = moves(path, "entry-arc"), moves(path, "exit-arc")
    assert (entry.start_x_mm, entry.start_y_mm) == pytest.approx((0, 0), abs=1e-9)
    assert (leave.end_x_mm, leave.end_y_mm) == pytest.approx((0, 0), abs=1e-9)


@pytest.mark.parametrize(("radius", "lift"), [(3.0, 3.3), (5.0, 5.7), (8.0, 9.5)])
def test_quarter_turn_outside_lifts_as_computed_by_hand(radius: float, lift: float) -> None:
    """sqrt((e + Re)² + Re²) - e at e = 13.256 mm."""
    setting = setting_of(arc=radius)
    path = path_of(setting)
    assert path.cutter_centre_radius_mm == pytest.approx(13.256, abs=5e-4)
    leave = moves(path, "exit-arc")
    got = math.hypot(leave.end_x_mm, leave.end_y_mm) - path.cutter_centre_radius_mm
    assert f"{got:.1f}" == f"{lift:.1f}"
    assert outside_arc_radius_mm(
        centre_radius_mm=path.cutter_centre_radius_mm, lift_mm=got
    ) == pytest.approx(radius)


def test_worked_example_of_a_pass() -> None:
    """3/4-16, cutter 9.525, 20 mm: turn 82.94 mm, 13.6 turns, 1128 mm.

    Figures of an independent calculation; its root is that of a 0.127 mm nose.
    """
    groove = groove_60("external", 19.05, 1.5875)
    root = groove.pitch_diameter_mm - 2 * (1.5875 / 4 - 0.127 / 2) / math.tan(math.pi / 6)
    setting = path_setting(
        groove=groove,
        hand="right",
        milling="climb",
        cutter=cutter_of(9.525, 0.127),
        root_diameter_mm=root,
        blank_diameter_mm=19.05,
        thread_length_mm=20.0,
    )
    path = setting.path(root_diameter_mm=root)
    assert f"{path.turns_ratio:.1f}" == "13.6"
    assert f"{path.helix_length_mm / path.turns_ratio:.1f}" == "82.9"
    assert path.helix_length_mm == pytest.approx(1128, abs=2)
    assert path.path_length_mm > path.helix_length_mm


@pytest.mark.parametrize(("side", "hand", "milling"), ALL)
@pytest.mark.parametrize("starts", [1, 2, 3])
@pytest.mark.parametrize("profile", ["single", "full"])
def test_full_thread_all_round_over_the_length(
    side: Side, hand: Hand, milling: Milling, starts: int, profile: Profile
) -> None:
    """In every axial section the grooves, one pitch apart, cover 0 to -length without a gap."""
    length, pitch = 12.0, 1.5
    setting = setting_of(
        side,
        hand=hand,
        milling=milling,
        starts=starts,
        profile=profile,
        major=24.0,
        pitch=pitch,
        diameter=10.0,
        length=length,
    )
    path = path_of(setting)
    rows = 1 if profile == "single" else math.ceil((length + setting.groove.lead_mm) / pitch) + 1
    for section in np.linspace(0, 2 * math.pi, 25):
        middles = []
        for element in (e for e in path.elements if e.kind == "helix"):
            sense = 1 if element.travel == "counter-clockwise" else -1
            first = math.atan2(element.start_y_mm, element.start_x_mm)
            whole = math.radians(element.arc_angle_deg)
            way = (sense * (section - first)) % (2 * math.pi)
            while way <= whole + 1e-9:
                z = element.start_z_mm + way / whole * (element.end_z_mm - element.start_z_mm)
                middles += [z + row * pitch for row in range(rows)]
                way += 2 * math.pi
        heights = np.unique(np.round(sorted(middles), 6))
        assert np.diff(heights) == pytest.approx(pitch, abs=1e-5)
        assert heights[0] - pitch / 2 <= -length + 1e-6
        assert heights[-1] + pitch / 2 >= -1e-6


def test_passes_of_one_plan_follow_the_same_helix() -> None:
    for side in ("external", "internal"):
        setting = setting_of(
            "external" if side == "external" else "internal", hand="left", diameter=8.0
        )
        root = root_of(setting.groove)
        for shallow in (0.2, 0.5, 0.9):
            other = setting.path(root_diameter_mm=root + setting.groove.outward * shallow)
            last = path_of(setting)
            ours, theirs = moves(last, "helix"), moves(other, "helix")
            assert ours.start_z_mm == theirs.start_z_mm
            assert ours.arc_angle_deg == theirs.arc_angle_deg
            assert math.atan2(ours.start_y_mm, ours.start_x_mm) == pytest.approx(
                math.atan2(theirs.start_y_mm, theirs.start_x_mm)
            )


def test_mirror_of_the_hands() -> None:
    """Right and left hand: the same travel and lengths, heights end for end."""
    right, left = (path_of(setting_of(hand=hand)) for hand in ("right", "left"))
    assert right.travel == left.travel
    assert (right.start_height_mm, right.end_height_mm) == pytest.approx(
        (left.end_height_mm, left.start_height_mm)
    )
    assert right.path_length_mm == pytest.approx(left.path_length_mm)
    assert (right.starts_at, left.starts_at) == ("face", "bottom")


def test_elements_hang_together_and_begin_in_the_air() -> None:
    path = path_of(setting_of("external", starts=2, major=24.0, pitch=1.5, diameter=10.0))
    assert path.starts == 2
    for before, after in itertools.pairwise(path.elements):
        assert (before.end_x_mm, before.end_y_mm, before.end_z_mm) == pytest.approx(
            (after.start_x_mm, after.start_y_mm, after.start_z_mm), abs=1e-9
        )
    for element in path.elements:
        if element.kind == "rapid":
            for x, y in (
                (element.start_x_mm, element.start_y_mm),
                (element.end_x_mm, element.end_y_mm),
            ):
                assert math.hypot(x, y) - 5.0 >= 12.0 + 1.0 - 1e-9
    feeds = [e.length_mm for e in path.elements if e.kind != "rapid"]
    assert sum(feeds) == pytest.approx(path.path_length_mm)


def test_points_stand_off_by_no_more_than_asked() -> None:
    path = path_of(setting_of())
    points = list(points_of(elements=path.elements, chord_error_mm=0.01))
    helix = [p for kind, p in points if kind == "helix"]
    for one, two in itertools.pairwise(helix):
        middle = math.hypot((one[0] + two[0]) / 2, (one[1] + two[1]) / 2)
        assert path.cutter_centre_radius_mm - middle <= 0.01 + 1e-9
    assert points[-1][1] == pytest.approx(
        (
            path.elements[-1].end_x_mm,
            path.elements[-1].end_y_mm,
            path.elements[-1].end_z_mm,
        )
    )
    length = sum(math.dist(a[1], b[1]) for a, b in itertools.pairwise(points) if b[0] != "rapid")
    assert length == pytest.approx(path.path_length_mm, rel=1e-3)
    with pytest.raises(OutOfRangeError):
        list(points_of(elements=path.elements, chord_error_mm=0.0))
    assert list(points_of(elements=(), chord_error_mm=0.1)) == []


def test_a_shoulder_as_far_as_the_thread_is_long_is_asked_about() -> None:
    """Common practice: a relief is a few pitches; who measures from the face tells the whole."""
    for shoulder, asked in ((19.9, False), (20.0, True), (24.0, True)):
        trail = Trail()
        setting_of(length=20.0, shoulder=shoulder, trail=trail)
        told = [each.detail for each in trail.cautions if each.code == "shoulder-far"]
        assert bool(told) is asked
        assert all(f"{20 + shoulder:g} mm below the face" in each for each in told)


def test_defaults_are_told() -> None:
    trail = Trail(steps=[])
    setting = setting_of(trail=trail)
    assumed = {each.parameter: each.value for each in trail.assumptions}
    assert assumed["entry_arc_radius"] == setting.entry_arc_radius_mm
    assert "partial-first-turn" in {each.code for each in trail.cautions}
    trail = Trail()
    setting_of("internal", profile="full", diameter=8.0, trail=trail)
    assert {each.parameter for each in trail.assumptions} == {"entry_arc_radius", "overlap_deg"}
    assert {each.code for each in trail.cautions} == {"cutter-length"}


def test_full_length_cutter_makes_one_turn_and_an_overlap() -> None:
    path = path_of(setting_of("internal", profile="full", diameter=8.0))
    assert path.turns_ratio == pytest.approx(1 + 20 / 360)
    assert abs(path.end_height_mm - path.start_height_mm) == pytest.approx(
        1.5875 * path.turns_ratio
    )


@pytest.mark.parametrize(
    ("change", "parameter"),
    [
        ({"arc": 0.5}, "entry_arc_radius"),
        ({"side": "internal", "diameter": 8.0, "arc": 4.0}, "entry_arc_radius"),
        ({"side": "internal", "diameter": 8.0, "arc": 0.1}, "entry_arc_radius"),
        ({"side": "internal", "diameter": 20.0}, "cutter_diameter"),
    ],
)
def test_refusals(change: dict[str, object], parameter: str) -> None:
    with pytest.raises(InfeasibleError) as refused:
        path_of(setting_of(**change))  # type: ignore[arg-type]
    assert refused.value.parameter == parameter
    assert refused.value.accepted


def test_an_arc_that_begins_in_the_wall_is_refused() -> None:
    """A given arc that suits the last pass may cross the axis on the first."""
    setting = setting_of("internal", major=10.0, pitch=1.5, diameter=7.6, arc=0.59)
    with pytest.raises(InfeasibleError) as refused:
        setting.path(root_diameter_mm=8.4)
    assert refused.value.parameter == "entry_arc_radius"


def test_an_arc_with_little_clearance_is_noted() -> None:
    trail = Trail()
    setting_of(arc=1.5, trail=trail)
    assert "entry-close" in {each.code for each in trail.cautions}


def test_no_length_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        setting_of(length=0.0)
    assert refused.value.parameter == "thread_length"


def test_overlap_that_is_given() -> None:
    setting = setting_of("internal", profile="full", diameter=8.0)
    trail = Trail()
    given = path_setting(
        groove=setting.groove,
        hand="right",
        milling="climb",
        cutter=setting.cutter,
        root_diameter_mm=root_of(setting.groove),
        blank_diameter_mm=setting.blank_diameter_mm,
        thread_length_mm=20.0,
        overlap_deg=30.0,
        trail=trail,
    )
    assert given.turns_ratio == pytest.approx(1 + 30 / 360)
    assert "overlap_deg" not in {each.parameter for each in trail.assumptions}
