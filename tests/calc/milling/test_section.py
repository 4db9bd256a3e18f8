"""Sections, moments, volumes and edge lengths of teeth against numeric integration."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from support.numeric_tooth import NumericTooth, rounded, vee
from threadwright_service.calc.errors import MissingInputError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.milling.geometry.section import (
    ToothProfile,
    removed_area_mm2,
    removed_volume_mm3,
    tooth_profile,
)


def _tooth(flat: float, radius: float, first: float = 30, second: float = 30) -> ToothProfile:
    return ToothProfile(
        nose_flat_mm=flat,
        nose_radius_mm=radius,
        first_flank_angle_deg=first,
        second_flank_angle_deg=second,
    )


TEETH = {
    "sharp V": (_tooth(0, 0), vee(0)),
    "flat-nosed V": (_tooth(0.127, 0), vee(0.127)),
    "trapezoidal": (_tooth(0.9, 0, 15, 15), vee(0.9, 15)),
    "rounded": (_tooth(0, 0.2), rounded(0.2)),
    "rounded trapezoidal": (_tooth(0, 0.5, 15, 15), rounded(0.5, 15)),
}


@pytest.mark.parametrize("name", TEETH)
@pytest.mark.parametrize("depth", [0.03, 0.11, 0.4, 1.3])
def test_area_moment_and_edge_are_the_integrals_of_the_profile(name: str, depth: float) -> None:
    tooth, half = TEETH[name]
    # Midpoints of strips that crowd towards the tip, where a rounded nose is steep.
    marks = depth * np.linspace(0, 1, 100_001) ** 2
    middle, step = (marks[1:] + marks[:-1]) / 2, np.diff(marks)
    width = 2 * half(middle)
    assert tooth.area_mm2(depth) == pytest.approx(float((width * step).sum()), rel=1e-7)
    assert tooth.moment_mm3(depth) == pytest.approx(float((width * middle * step).sum()), rel=1e-7)
    length = 2 * np.hypot(step, np.diff(half(marks))).sum() + 2 * half(marks[:1])[0]
    assert tooth.edge_length_mm(depth) == pytest.approx(float(length), rel=1e-6)
    assert tooth.width_mm(depth) == pytest.approx(2 * float(half(marks[-1:])[0]), rel=1e-9)


def test_area_of_a_sharp_vee_by_hand() -> None:
    # t² tan 30° and w t + t² tan 30°.
    assert _tooth(0, 0).area_mm2(1.09) == pytest.approx(1.09**2 / math.sqrt(3))
    assert _tooth(0.127, 0).area_mm2(1.09) == pytest.approx(0.127 * 1.09 + 1.09**2 / math.sqrt(3))


def test_buttress_tooth_has_a_flank_of_each_angle() -> None:
    # By hand: w t + t²/2 (tan 3° + tan 30°).
    expected = 0.2 * 2 + 2 * (math.tan(math.radians(3)) + math.tan(math.radians(30)))
    assert _tooth(0.2, 0, 3, 30).area_mm2(2) == pytest.approx(expected)


def test_passes_add_up_to_the_groove() -> None:
    tooth, marks = _tooth(0, 0.2), [0, 0.05, 0.3, 0.7, 1.1]
    parts = [
        removed_area_mm2(tooth=tooth, from_depth_mm=a, to_depth_mm=b) for a, b in pairwise(marks)
    ]
    assert sum(parts) == pytest.approx(tooth.area_mm2(1.1))
    assert all(part > 0 for part in parts)


@pytest.mark.parametrize("outward", [1, -1])
@pytest.mark.parametrize("name", ["flat-nosed V", "rounded"])
def test_volume_is_that_of_the_turned_section(outward: int, name: str) -> None:
    # Independent: thin rings, the groove's width at each radius.
    tooth, half = TEETH[name]
    total = 0.0
    tip = 9.0 - outward * 1.1
    for k in range(20_000):
        s = 1.1 * (k + 0.5) / 20_000
        total += 2 * math.pi * (tip + outward * s) * 2 * float(half(np.array([s]))[0])
    assert removed_volume_mm3(
        tooth=tooth, start_radius_mm=9, outward=outward, from_depth_mm=0, to_depth_mm=1.1
    ) == pytest.approx(total * 1.1 / 20_000, rel=1e-5)


@pytest.mark.parametrize("outward", [1, -1])
@pytest.mark.parametrize("name", ["flat-nosed V", "rounded", "trapezoidal"])
@pytest.mark.parametrize(("before", "after"), [(0, 0.4), (0.4, 0.8), (0.7, 0.8)])
def test_chips_of_all_teeth_are_the_volume_removed(
    outward: int, name: str, before: float, after: float
) -> None:
    # Independent: the edge in small pieces, each cutting where it lies in the blank and outside
    # the old groove; 2πe/f teeth a turn take the volume of the pass.
    tooth, half = TEETH[name]
    feed, cutter = 0.045, 4.0
    centre = 9.0 - outward * after + outward * cutter
    numeric = NumericTooth(
        outward=outward,
        start_radius=9.0,
        cutter_radius=cutter,
        half_width=half,
        nose_half=tooth.nose_flat_mm / 2,
        pieces=1500,
    )
    chip = numeric.chip_volume(before=before, after=after, feed=feed, steps=500)
    volume = removed_volume_mm3(
        tooth=tooth,
        start_radius_mm=9.0,
        outward=outward,
        from_depth_mm=before,
        to_depth_mm=after,
    )
    assert chip * 2 * math.pi * centre / feed == pytest.approx(volume, rel=3e-3)


def _cutter(flat: float | None, radius: float | None, angle: float = 60) -> Cutter:
    return Cutter(
        profile="single",
        diameter_mm=10,
        teeth=4,
        nose_flat_mm=flat,
        nose_radius_mm=radius,
        included_angle_deg=angle,
        neck_diameter_mm=6,
        neck_length_mm=20,
        shank_diameter_mm=10,
        stick_out_mm=35,
    )


GROOVE = ThreadGroove(
    side="external",
    pitch_mm=1.5,
    lead_mm=1.5,
    pitch_diameter_mm=18,
    pressure_flank_angle_deg=30,
    clearance_flank_angle_deg=30,
    crest_diameter_mm=19,
    contact_diameter_mm=17,
)


def test_profile_of_the_cutter_in_hand() -> None:
    assert tooth_profile(groove=GROOVE, cutter=_cutter(0.1, None)) == _tooth(0.1, 0)
    assert tooth_profile(groove=GROOVE, cutter=_cutter(None, 0.2)) == _tooth(0, 0.2)
    # A cutter of 59° has flanks of 29.5°.
    assert tooth_profile(groove=GROOVE, cutter=_cutter(0.1, None, 59)) == _tooth(0.1, 0, 29.5, 29.5)


def test_a_cutter_without_a_nose_is_refused() -> None:
    with pytest.raises(MissingInputError) as caught:
        tooth_profile(groove=GROOVE, cutter=_cutter(None, None))
    assert caught.value.parameter == "cutter_nose_flat"
