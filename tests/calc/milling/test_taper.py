"""Taper threads: the path follows the cone, and the swept groove has its size on all of it.

Pitch diameters along the thread: ASME B1.20.1, Table 2 (E0 at the small end, E1 in the gauge plane
at L1, E2 at L2). ISO 7-1: taper 1:16 from the gauge plane. The sweep is ``support.dense_sweep``.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from support import dense_sweep
from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.geometry.cone import CYLINDER, cone_of
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import groove_of
from threadwright_service.calc.milling.geometry.over_cut import compensated_root_diameter_mm
from threadwright_service.calc.milling.path.direction import Milling
from threadwright_service.calc.milling.path.path import PathSetting, path_setting
from threadwright_service.calc.milling.path.path_elements import points_of
from threadwright_service.calc.threads.limits import thread_limits
from threadwright_service.calc.threads.thread import Hand, Side, ThreadLimits

# Size, side, E0, E1, E2 and L1, L2 of ASME B1.20.1, Table 2 [in].
NPT = [
    ("1/2-14 NPT", 0.75843, 0.77843, 0.79178, 0.320, 0.5337),
    ("1-11.5 NPT", 1.21363, 1.23863, 1.25630, 0.400, 0.6828),
    ("2-11.5 NPT", 2.26902, 2.29627, 2.31630, 0.436, 0.7565),
]
HALF_TAPER = 1 / 32


def cutter_of(thread: ThreadLimits, diameter: float) -> Cutter:
    return Cutter(
        profile="single",
        diameter_mm=diameter,
        teeth=4,
        nose_flat_mm=0.08,
        nose_radius_mm=None,
        included_angle_deg=thread.form.included_angle_deg,
        neck_diameter_mm=0.5 * diameter,
        neck_length_mm=60.0,
        shank_diameter_mm=diameter,
        stick_out_mm=80.0,
    )


def setting_of(
    thread: ThreadLimits,
    diameter: float,
    *,
    hand: Hand = "right",
    milling: Milling = "climb",
    length: float = 14.0,
) -> tuple[PathSetting, float]:
    """How the path lies, and the root that it is laid for, at the basic pitch diameter."""
    metric = thread.in_millimetres()
    groove = groove_of(thread=thread, pitch_diameter_mm=metric.basic.pitch_diameter)
    cutter = cutter_of(thread, diameter)
    root = compensated_root_diameter_mm(groove=groove, cutter=cutter)
    outside = thread.side == "external"
    setting = path_setting(
        groove=groove,
        hand=hand,
        milling=milling,
        cutter=cutter,
        root_diameter_mm=root,
        blank_diameter_mm=metric.basic.major_diameter if outside else metric.basic.minor_diameter,
        thread_length_mm=length,
        cone=cone_of(thread),
    )
    return setting, root


@pytest.mark.parametrize(("text", "e0", "e1", "e2", "l1", "l2"), NPT)
def test_path_outside_makes_the_published_pitch_diameters(
    text: str, e0: float, e1: float, e2: float, l1: float, l2: float
) -> None:
    """E1 in the gauge plane, so E0 at the face and E2 at the end of the effective thread."""
    setting, root = setting_of(thread_limits(designation=text, side="external"), 9.0)
    path = setting.path(root_diameter_mm=root)
    assert setting.cone.plane_height_mm == pytest.approx(-25.4 * l1)
    assert setting.groove.pitch_diameter_mm == pytest.approx(25.4 * e1)

    def made_in(height_in: float) -> float:
        share = (25.4 * height_in - path.start_height_mm) / (
            path.end_height_mm - path.start_height_mm
        )
        radius = path.start_radius_mm + share * (path.end_radius_mm - path.start_radius_mm)
        return e1 + 2 * (radius - path.cutter_centre_radius_mm) / 25.4

    assert made_in(0.0) == pytest.approx(e0, abs=6e-6)
    assert made_in(-l1) == pytest.approx(e1, abs=1e-9)
    assert made_in(-l2) == pytest.approx(e2, abs=1.1e-5)


def test_inside_the_gauge_plane_is_at_the_face_and_the_thread_narrows_from_there() -> None:
    for text in ("1/2-14 NPT", "Rc 1"):
        thread = thread_limits(designation=text, side="internal")
        cone = cone_of(thread)
        assert (cone.plane_height_mm, cone.radius_gain_ratio) == (0.0, HALF_TAPER)
        setting, root = setting_of(thread, 9.0)
        path = setting.path(root_diameter_mm=root)
        drop = path.start_radius_mm - path.end_radius_mm
        assert drop == pytest.approx(HALF_TAPER * (path.start_height_mm - path.end_height_mm))


def test_a_plane_off_the_gauge_plane_moves_the_height_not_the_path() -> None:
    """The same thread, its limits told 3 mm nearer to the large end, and 3 mm further in."""
    for side in ("external", "internal"):
        text = "R 1" if side == "external" else "Rc 1"
        here = thread_limits(designation=text)
        there = thread_limits(designation=text, distance_from_gauge_plane=-3.0, length_unit="mm")
        own, other = (setting_of(each, 9.0) for each in (here, there))
        moved = own[0].cone.plane_height_mm - other[0].cone.plane_height_mm
        assert moved == pytest.approx(-3.0 if side == "external" else 3.0)
        one, two = (setting.path(root_diameter_mm=root) for setting, root in (own, other))
        # The standard's diameters off the gauge plane stand to 0.001 mm.
        assert one.start_radius_mm == pytest.approx(two.start_radius_mm, abs=1.5e-3)


def test_parallel_threads_lie_on_a_cylinder() -> None:
    assert cone_of(thread_limits(designation="M24x1.5-6g")) is CYLINDER
    assert cone_of(thread_limits(designation="Rp 1")) is CYLINDER


WAYS = list(
    itertools.product(("external", "internal"), ("right", "left"), ("climb", "conventional"))
)


@pytest.mark.parametrize(("side", "hand", "milling"), WAYS)
def test_every_point_of_the_helix_is_on_the_cone(side: Side, hand: Hand, milling: Milling) -> None:
    thread = thread_limits(designation="1-11.5 NPT", side=side)
    setting, root = setting_of(thread, 11.0, hand=hand, milling=milling)
    path = setting.path(root_diameter_mm=root)
    points = np.array(
        [p for kind, p in points_of(elements=path.elements, chord_error_mm=1e-3) if kind == "helix"]
    )
    radius, height = np.hypot(points[:, 0], points[:, 1]), points[:, 2]
    gain, at_face = np.polyfit(height, radius, 1)
    assert gain == pytest.approx(-HALF_TAPER if side == "external" else HALF_TAPER, rel=1e-9)
    away = gain * setting.cone.plane_height_mm
    assert at_face + away == pytest.approx(path.cutter_centre_radius_mm, abs=1e-9)
    # One lead of rise for each turn, whatever the radius.
    angle = np.unwrap(np.arctan2(points[:, 1], points[:, 0]))
    lead = 2 * math.pi * np.polyfit(angle, height, 1)[0]
    assert abs(lead) == pytest.approx(25.4 / 11.5, rel=1e-6)


@pytest.mark.parametrize(("side", "hand", "milling"), WAYS)
def test_arcs_join_the_helix_at_both_ends(side: Side, hand: Hand, milling: Milling) -> None:
    """Same place, and as steep: the rise over the way is the helix's at that end."""
    thread = thread_limits(designation="1-11.5 NPT", side=side)
    setting, root = setting_of(thread, 11.0, hand=hand, milling=milling)
    path = setting.path(root_diameter_mm=root)
    entry, helix, leave = (
        next(each for each in path.elements if each.kind == kind)
        for kind in ("entry-arc", "helix", "exit-arc")
    )
    lead = thread.in_millimetres().lead
    for arc, x, y, z in (
        (entry, entry.end_x_mm, entry.end_y_mm, entry.end_z_mm),
        (leave, leave.start_x_mm, leave.start_y_mm, leave.start_z_mm),
    ):
        joint = (
            (helix.start_x_mm, helix.start_y_mm, helix.start_z_mm)
            if arc is entry
            else (helix.end_x_mm, helix.end_y_mm, helix.end_z_mm)
        )
        assert (x, y, z) == pytest.approx(joint, abs=1e-12)
        radius = math.hypot(x - arc.centre_x_mm, y - arc.centre_y_mm)
        assert radius == pytest.approx(path.entry_arc_radius_mm)
        way = radius * math.radians(arc.arc_angle_deg)
        slope = abs(arc.end_z_mm - arc.start_z_mm) / way
        assert slope == pytest.approx(lead / (2 * math.pi * math.hypot(x, y)), rel=1e-9)


SWEPT: list[tuple[str, Side]] = [
    ("1/2-14 NPT", "external"),
    ("1/2-14 NPT", "internal"),
    ("2-11.5 NPT", "internal"),
    ("R 1", "external"),
    ("Rc 1", "internal"),
]


@pytest.mark.parametrize(("text", "side"), SWEPT)
def test_swept_groove_on_the_cone_has_its_size(text: str, side: Side) -> None:
    """Dense sweep of the tapering helix: half a pitch wide where the diameters are stated.

    Its two flanks are made a little before and a little after the section, at other radii of the
    path; the cone shifts both along the axis by the same, so the width is that of a parallel
    thread. Along the thread the over-cut changes with the radius: by less than 2 µm, where the
    tolerance is 0.2 mm.
    """
    thread = thread_limits(designation=text, side=side)
    setting, root = setting_of(thread, 8.0)
    groove, cutter, cone = setting.groove, setting.cutter, setting.cone
    stated = setting.path(root_diameter_mm=root).cutter_centre_radius_mm
    profile = dense_sweep.flat_nose(
        cutter.radius_mm, cutter.nose_flat_mm or 0.0, cutter.included_angle_deg / 2
    )
    for height, within in ((cone.plane_height_mm, 1e-4), (0.0, 2e-3), (-12.0, 2e-3)):
        aim = cone.radius_mm(groove.pitch_diameter_mm / 2, height)
        radii = aim + np.linspace(-0.05, 0.05, 21)
        above, below = (
            dense_sweep.swept_half_width(
                profile,
                radii,
                cone.radius_mm(stated, height),
                groove.lead_mm,
                cutter.radius_mm,
                sign * cone.radius_gain_ratio,
            )
            for sign in (1, -1)
        )
        order = np.argsort(above + below)
        made = float(np.interp(groove.pitch_mm / 2, (above + below)[order], radii[order]))
        assert 2 * made == pytest.approx(2 * aim, abs=within)


def test_hole_that_narrows_must_let_the_cutter_down_to_the_end() -> None:
    """3 mm smaller 48 mm further in: fits at the face, not at the bottom."""
    thread = thread_limits(designation="Rc 1")
    short, root = setting_of(thread, 27.2, length=10.0)
    assert short.path(root_diameter_mm=root)
    long, root = setting_of(thread, 27.2, length=48.0)
    with pytest.raises(InfeasibleError):
        replace(long, entry_arc_radius_mm=None).path(root_diameter_mm=root)
