"""What is left on the part, against sampling (**D**)."""

from __future__ import annotations

import math

import numpy as np
import pytest

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.milling.path.leftovers import (
    Leftovers,
    leftovers_of,
    run_out_angles,
    scallop_mm,
)
from threadwright_service.calc.milling.path.path import PathSetting, path_setting
from threadwright_service.calc.milling.path.path_elements import points_of
from threadwright_service.calc.threads.thread import Side
from threadwright_service.calc.trail import Trail


def sampled_scallop(outward: int, centre: float, cutter: float, feed: float) -> float:
    """Ridge of the surface that a row of circles leaves, over two feeds, by sampling."""
    around = np.linspace(-feed / centre, feed / centre, 4001)
    stands = np.arange(-4, 5) * feed / centre
    angle = around[:, None] - stands[None, :]
    across = centre * np.sin(angle)
    reach = np.sqrt(np.maximum(cutter**2 - across**2, 0))
    surface = centre * np.cos(angle) - outward * reach
    left = surface.min(axis=1) if outward > 0 else surface.max(axis=1)
    return float(left.max() - left.min())


@pytest.mark.parametrize(
    ("outward", "centre", "cutter"),
    [(1, 13.2, 4.8), (1, 19.5, 8.0), (-1, 13.2, 4.8), (-1, 2.5, 2.5), (-1, 6.0, 11.0)],
)
@pytest.mark.parametrize("feed", [0.03, 0.15, 0.6])
def test_scallop_same_as_sampled_row_of_circles(
    outward: int, centre: float, cutter: float, feed: float
) -> None:
    got = scallop_mm(
        outward=outward,
        centre_radius_mm=centre,
        cutter_radius_mm=cutter,
        feed_per_tooth_centre_mm=feed,
    )
    assert got == pytest.approx(sampled_scallop(outward, centre, cutter, feed), abs=1e-7)
    parabola = feed**2 / 8 * (1 / cutter - outward / centre)
    assert got == pytest.approx(parabola, rel=0.03)


def test_cuts_that_do_not_meet_are_refused() -> None:
    for feed in (20.0, 9.9, 8.0):
        with pytest.raises(OutOfRangeError) as refused:
            scallop_mm(
                outward=-1,
                centre_radius_mm=2.0,
                cutter_radius_mm=1.5,
                feed_per_tooth_centre_mm=feed,
            )
        assert refused.value.parameter == "feed_per_tooth"


def made(side: Side, trail: Trail | None = None) -> tuple[PathSetting, Leftovers, float]:
    height = math.sqrt(3) / 2 * 1.5
    outside = side == "external"
    groove = ThreadGroove(
        side=side,
        pitch_mm=1.5,
        lead_mm=1.5,
        pitch_diameter_mm=24 - 0.75 * height,
        pressure_flank_angle_deg=30.0,
        clearance_flank_angle_deg=30.0,
        crest_diameter_mm=24.0 if outside else 24 - 1.25 * height,
        contact_diameter_mm=24 - 1.25 * height if outside else 24.0,
    )
    root = groove.pitch_diameter_mm - groove.outward * 0.6495190528 * 1.5
    cutter = Cutter(
        profile="single",
        diameter_mm=12.0,
        teeth=5,
        nose_flat_mm=1.5 / 8,
        nose_radius_mm=None,
        included_angle_deg=60.0,
        neck_diameter_mm=8.0,
        neck_length_mm=40.0,
        shank_diameter_mm=12.0,
        stick_out_mm=50.0,
    )
    setting = path_setting(
        groove=groove,
        hand="right",
        milling="climb",
        cutter=cutter,
        root_diameter_mm=root,
        blank_diameter_mm=groove.crest_diameter_mm,
        thread_length_mm=15.0,
        shoulder_distance_mm=4.0,
    )
    path = setting.path(root_diameter_mm=root)
    left = leftovers_of(
        setting=setting,
        path=path,
        root_diameter_mm=root,
        feed_per_tooth_centre_mm=0.05,
        trail=trail,
    )
    return setting, left, root


@pytest.mark.parametrize("side", ["external", "internal"])
def test_run_out_and_incomplete_thread_from_points_of_the_path(side: Side) -> None:
    """Where the cutter's circle leaves the blank, and its lowest mark, by walking the path."""
    setting, left, root = made(side)
    path = setting.path(root_diameter_mm=root)
    outward = 1 if side == "external" else -1
    crest = setting.groove.crest_diameter_mm / 2
    kind = "exit-arc" if path.axial == "down" else "entry-arc"
    arc = next(e for e in path.elements if e.kind == kind)
    points = np.array([p for _, p in points_of(elements=(arc,), chord_error_mm=1e-7)])
    if kind == "entry-arc":
        points = points[::-1]
    reach = np.hypot(points[:, 0], points[:, 1]) - outward * 6.0
    inside = outward * (crest - reach) > 0
    last = points[inside][-1]
    angle = math.degrees(abs(math.atan2(last[1], last[0]) - math.atan2(points[0][1], points[0][0])))
    assert left.run_out_angle_deg == pytest.approx(min(angle, 360 - angle), abs=0.05)
    assert left.run_out_length_mm == pytest.approx(abs(last[2] - points[0][2]), abs=1e-3)
    # The tooth's half width where it passes the crest: half the pitch less half the crest's flat.
    half_width = 0.75 - (1.5 / 16 if side == "external" else 1.5 / 8)
    lowest = points[:, 2][inside].min() - half_width
    assert -15.0 - left.incomplete_length_mm == pytest.approx(lowest, abs=1e-3)
    assert left.usable_length_mm == pytest.approx(15.0)
    assert left.shoulder_gap_mm is not None
    assert left.shoulder_gap_mm > 0


def test_scallops_of_all_teeth_and_of_one() -> None:
    """Five teeth: one alone leaves 25 times as much; the flank's share is sin 30°."""
    trail = Trail(steps=[])
    setting, left, _ = made("external", trail)
    assert left.root_scallop_one_tooth_mm == pytest.approx(25 * left.root_scallop_mm, rel=2e-3)
    assert left.flank_scallop_one_tooth_mm == pytest.approx(25 * left.flank_scallop_mm, rel=2e-3)
    centre = setting.path(root_diameter_mm=made("external")[2]).cutter_centre_radius_mm
    at_pitch_line = centre - setting.groove.pitch_diameter_mm / 2
    assert left.flank_scallop_mm == pytest.approx(
        0.5 * sampled_scallop(1, centre, at_pitch_line, 0.05), abs=1e-7
    )
    assert trail.steps


def test_an_arc_of_no_radius_runs_out_at_once() -> None:
    assert run_out_angles(outward=1, centre_radius_mm=10, arc_radius_mm=0, depth_mm=1) == (0, 0)
