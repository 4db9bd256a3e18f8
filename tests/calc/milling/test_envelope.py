"""The exact groove against dense sampling of its definition, and against limits by hand.

Expected values are **D** (derived independently): a sweep by sampling in ``support.dense_sweep``,
or geometry that can be done by hand.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from support import dense_sweep
from threadwright_service.calc.milling.geometry.envelope import (
    NOT_CUT_MM,
    Arc,
    HalfProfile,
    Line,
    flat_nosed,
    half_width_mm,
    involute_mm,
    round_nosed,
    zero_between,
)

TENTH_OF_A_MICROMETRE_MM = 1e-4

# (name, root or major radius, lead, pitch); the radii are those of the basic profiles.
THREADS = [
    ("M3x0.5", 1.5, 0.5, 0.5),
    ("M10x1.5", 5.0, 1.5, 1.5),
    ("M24x1.5", 12.0, 1.5, 1.5),
    ("3/4-16", 9.525, 1.5875, 1.5875),
    ("M36x4", 18.0, 4.0, 4.0),
    ("Tr32x6", 16.0, 6.0, 6.0),
    ("M20x2 two starts", 10.0, 4.0, 2.0),
    ("Tr40x21(P7) three starts", 20.0, 21.0, 7.0),
]
NOSES = ["sharp", "flat", "round"]


def half_profile(
    nose: str, cutter_radius: float, pitch: float, angle: float
) -> tuple[HalfProfile, dense_sweep.HalfWidth]:
    """The same half profile for the code under test and for the sampling."""
    if nose == "round":
        radius = pitch / 10
        return (
            round_nosed(radius_mm=cutter_radius, nose_radius_mm=radius, flank_angle_deg=angle),
            dense_sweep.round_nose(cutter_radius, radius, angle),
        )
    flat = pitch / 8 if nose == "flat" else 0.0
    return (
        flat_nosed(radius_mm=cutter_radius, nose_flat_mm=flat, flank_angle_deg=angle),
        dense_sweep.flat_nose(cutter_radius, flat, angle),
    )


@pytest.mark.parametrize("angle", [30.0, 29.0, 15.0, 45.0])
@pytest.mark.parametrize("nose", NOSES)
@pytest.mark.parametrize("thread", THREADS, ids=lambda thread: thread[0])
@pytest.mark.parametrize(("side", "share"), [(1, 0.3), (1, 1.5), (-1, 0.4), (-1, 0.65), (-1, 0.8)])
def test_same_as_dense_sampling(
    thread: tuple[str, float, float, float], nose: str, angle: float, side: int, share: float
) -> None:
    """Within 0.1 µm (in fact 1 nm) over the depth of the thread, outside and inside."""
    _, major, lead, pitch = thread
    cutter_radius = share * major
    root = major - 0.65 * pitch if side > 0 else major
    centre = root + side * cutter_radius
    ours, sampled = half_profile(nose, cutter_radius, pitch, angle)
    radii = root + side * np.linspace(1e-6, 0.6, 9) * pitch
    expected = dense_sweep.swept_half_width(sampled, radii, centre, lead, cutter_radius)
    reach = lead / (2 * math.pi)
    got = np.array(
        [
            half_width_mm(ours, radius_mm=r, centre_radius_mm=centre, reach_mm=reach)
            for r in radii.tolist()
        ]
    )
    assert np.abs(got - expected).max() < TENTH_OF_A_MICROMETRE_MM / 100


def test_closed_form_of_the_flank_is_an_involute() -> None:
    """The slope of a swept flank is tan(a) sqrt(1 - (K/r)²), whatever the cutter."""
    reach, tangent, radius, step = 0.25, math.tan(math.radians(30)), 9.0, 1e-4
    base = reach / tangent
    expected = tangent * math.sqrt(1 - (base / radius) ** 2)
    for cutter_radius, centre in ((3.0, 11.5), (8.0, 16.5), (2.0, 7.5)):
        profile = flat_nosed(radius_mm=cutter_radius, nose_flat_mm=0.1, flank_angle_deg=30)
        far, near = (
            half_width_mm(profile, radius_mm=r, centre_radius_mm=centre, reach_mm=reach)
            for r in (radius + step, radius - step)
        )
        assert abs(far - near) / (2 * step) == pytest.approx(expected, abs=1e-8)
    slope = (involute_mm(radius + step, base) - involute_mm(radius - step, base)) / (2 * step)
    assert slope * tangent == pytest.approx(expected, abs=1e-8)


def test_without_lead_the_groove_is_the_cutter() -> None:
    """A ring groove: the half width is the cutter's own at |r - e|."""
    profile = round_nosed(radius_mm=5.0, nose_radius_mm=0.2, flank_angle_deg=30)
    for radius in (8.0, 8.05, 8.2, 8.7, 9.5):
        rho = abs(radius - 13.0)
        rise = rho - 4.8
        expected = (
            math.sqrt(max(0.04 - rise**2, 0.0))
            if rho > 4.8 + 0.1
            else 0.2 * math.cos(math.pi / 6) + (4.9 - rho) * math.tan(math.pi / 6)
        )
        got = half_width_mm(profile, radius_mm=radius, centre_radius_mm=13.0, reach_mm=0.0)
        assert got == pytest.approx(expected, abs=1e-12)


def test_nothing_is_cut_beyond_the_tip() -> None:
    profile = flat_nosed(radius_mm=5.0, nose_flat_mm=0.1, flank_angle_deg=30)
    assert half_width_mm(profile, radius_mm=7.9, centre_radius_mm=13, reach_mm=0.2) == NOT_CUT_MM
    round_one = round_nosed(radius_mm=5.0, nose_radius_mm=0.1, flank_angle_deg=30)
    assert half_width_mm(round_one, radius_mm=7.9, centre_radius_mm=13, reach_mm=0.2) == NOT_CUT_MM


def test_a_wall_square_to_the_axis_is_swept_by_its_corner() -> None:
    """A disc of half width 1: g = p acos(...) + 1 where the tip circle passes (by hand)."""
    disc: HalfProfile = (
        Line(outer_radius_mm=4.0, inner_radius_mm=0.0, outer_half_width_mm=1.0, slope_ratio=0.0),
    )
    expected = 0.3 * math.acos((9.0**2 + 12.0**2 - 4.0**2) / (2 * 9.0 * 12.0)) + 1.0
    got = half_width_mm(disc, radius_mm=9.0, centre_radius_mm=12.0, reach_mm=0.3)
    assert got == pytest.approx(expected, abs=1e-12)


def test_a_flank_too_steep_for_the_helix_is_swept_by_its_corner() -> None:
    """3° flank on a 6 mm lead: K = p/tan 3° exceeds the radius, so no flank is left (**D**)."""
    profile = flat_nosed(radius_mm=6.0, nose_flat_mm=1.0, flank_angle_deg=3)
    sampled = dense_sweep.flat_nose(6.0, 1.0, 3)
    radii = np.linspace(12.0, 15.5, 8)
    expected = dense_sweep.swept_half_width(sampled, radii, 18.0 - 1e-6, 6.0, 6.0)
    for radius, want in zip(radii[1:].tolist(), expected[1:].tolist(), strict=True):
        got = half_width_mm(
            profile, radius_mm=radius, centre_radius_mm=18.0 - 1e-6, reach_mm=6 / (2 * math.pi)
        )
        assert got == pytest.approx(want, abs=1e-6)
        corner = 6 / (2 * math.pi) * math.acos((radius**2 + 18.0**2 - 36) / (36 * radius)) + 0.5
        assert got == pytest.approx(corner, abs=1e-6)


def test_profile_of_several_parts() -> None:
    """A flat nose with rounded corners and a second, flatter flank, against sampling."""
    radius, flat, corner, angle = 7.0, 1.2, 0.3, 15.0
    tilt = math.radians(angle)
    arc = Arc(
        centre_radius_mm=radius - corner,
        centre_half_width_mm=flat / 2,
        arc_radius_mm=corner,
        flank_angle_deg=angle,
    )
    steep = Line(
        outer_radius_mm=arc.inner_radius_mm,
        inner_radius_mm=5.0,
        outer_half_width_mm=flat / 2 + corner * math.cos(tilt),
        slope_ratio=math.tan(tilt),
    )
    flatter = Line(
        outer_radius_mm=5.0,
        inner_radius_mm=3.0,
        outer_half_width_mm=steep.half_width_mm(5.0),
        slope_ratio=1.0,
    )

    def sampled(rho: dense_sweep.Array) -> dense_sweep.Array:
        rise = np.clip(rho - (radius - corner), 0, corner)
        nose = flat / 2 + np.sqrt(corner**2 - rise**2)
        first = steep.outer_half_width_mm + (steep.outer_radius_mm - rho) * math.tan(tilt)
        second = flatter.outer_half_width_mm + (5.0 - rho)
        return np.where(rho > arc.inner_radius_mm, nose, np.where(rho > 5.0, first, second))

    centre, lead = 22.0, 7.0
    radii = np.linspace(15.0 + 1e-6, 18.5, 30)
    expected = dense_sweep.swept_half_width(sampled, radii, centre, lead, radius)
    for place, want in zip(radii.tolist(), expected.tolist(), strict=True):
        got = half_width_mm(
            (arc, steep, flatter),
            radius_mm=place,
            centre_radius_mm=centre,
            reach_mm=lead / (2 * math.pi),
        )
        assert got == pytest.approx(want, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(
    root=st.floats(2, 60),
    pitch_share=st.floats(0.02, 0.25),
    starts=st.integers(1, 4),
    cutter_share=st.floats(0.1, 2.0),
    depth_share=st.floats(0.001, 0.65),
    angle=st.floats(5, 50),
    nose=st.sampled_from(NOSES),
    inside=st.booleans(),
)
def test_any_case_same_as_sampling(
    root: float,
    pitch_share: float,
    starts: int,
    cutter_share: float,
    depth_share: float,
    angle: float,
    nose: str,
    inside: bool,
) -> None:
    """Also where the flank is gone or the cutter nearly fills the hole."""
    pitch = pitch_share * root
    cutter_radius = min(cutter_share, 0.98 if inside else 2.0) * root
    side = -1 if inside else 1
    centre = root + side * cutter_radius
    radius = root + side * depth_share * pitch
    ours, sampled = half_profile(nose, cutter_radius, pitch, angle)
    expected = dense_sweep.swept_half_width(
        sampled, np.array([radius]), centre, starts * pitch, cutter_radius
    )[0]
    got = half_width_mm(
        ours,
        radius_mm=radius,
        centre_radius_mm=centre,
        reach_mm=starts * pitch / (2 * math.pi),
    )
    assert got == pytest.approx(expected, abs=TENTH_OF_A_MICROMETRE_MM / 10)


@pytest.mark.parametrize(
    ("function", "low", "high", "zero"),
    [
        (lambda x: x**3 - 2, 0.0, 2.0, 2 ** (1 / 3)),
        (lambda x: math.exp(-30 * x) - 0.5, 0.0, 1.0, math.log(2) / 30),
        (lambda x: 1.0 if x > 0.3 else -1.0, 0.0, 1.0, 0.3),
    ],
    ids=["cube", "steep", "jump"],
)
def test_zero_between(function: object, low: float, high: float, zero: float) -> None:
    assert callable(function)
    assert zero_between(function, low, high) == pytest.approx(zero, abs=1e-11)
