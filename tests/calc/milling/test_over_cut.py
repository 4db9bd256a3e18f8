"""Over-cut and its correction against dense sampling and simulated measurement (**D**).

``data/over_cut.csv`` was computed apart from this project's code, by a brute-force sweep of the
cutter (nose P/8 on the basic profile), and is compared to its printed digits. Everything else is
checked against ``support.dense_sweep``, which knows no closed form.
"""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from support import dense_sweep, sample_threads
from threadwright_service.calc.errors import InfeasibleError, MissingInputError, OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.depth import nominal_root_diameter_mm
from threadwright_service.calc.milling.geometry.groove import (
    ThreadGroove,
    cutter_flank_angles_deg,
    groove_of,
)
from threadwright_service.calc.milling.geometry.largest_cutter import (
    check_form,
    largest_cutter_for_form,
    largest_uncorrected_cutter_mm,
)
from threadwright_service.calc.milling.geometry.over_cut import (
    SECOND_ORDER,
    compensated_root_diameter_mm,
    made_pitch_diameter_mm,
    over_cut,
)
from threadwright_service.calc.milling.geometry.swept_groove import swept_groove_of
from threadwright_service.calc.threads.thread import NO_LIMIT, Side
from threadwright_service.calc.trail import Trail

ROWS = list(
    csv.DictReader(
        (Path(__file__).parent / "data" / "over_cut.csv").read_text(encoding="utf-8").splitlines()
    )
)
SIZES_MM = {"M10x1.5": (10.0, 1.5), "3/4-16": (19.05, 25.4 / 16), "M36x4": (36.0, 4.0)}
TENTH_OF_A_MICROMETRE_MM = 1e-4
A_MICROMETRE_MM = 1e-3


def groove_60(side: Side, major: float, pitch: float, starts: int = 1) -> ThreadGroove:
    """The basic 60° profile: d2 = d - 3/4 H, d1 = d - 5/4 H (ISO 68-1, ISO 724)."""
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


def cutter_of(
    diameter: float, *, flat: float | None = None, radius: float | None = None, angle: float = 60.0
) -> Cutter:
    return Cutter(
        profile="single",
        diameter_mm=diameter,
        teeth=4,
        nose_flat_mm=flat,
        nose_radius_mm=radius,
        included_angle_deg=angle,
        neck_diameter_mm=0.6 * diameter,
        neck_length_mm=30.0,
        shank_diameter_mm=diameter,
        stick_out_mm=50.0,
    )


def section(
    groove: ThreadGroove, cutter: Cutter, root_diameter: float, count: int = 61, reach: float = 0.0
) -> tuple[dense_sweep.Array, dense_sweep.Array, dense_sweep.Array]:
    """Radii and both half widths by dense sampling, from the root to a little past the crest."""
    side = 1 if groove.side == "external" else -1
    centre = root_diameter / 2 + side * cutter.radius_mm
    radii = np.linspace(
        root_diameter / 2 + side * 1e-7, groove.crest_diameter_mm / 2 + side * reach, count
    )
    halves = []
    for angle in cutter_flank_angles_deg(groove=groove, cutter=cutter):
        profile = (
            dense_sweep.round_nose(cutter.radius_mm, cutter.nose_radius_mm, angle)
            if cutter.nose_radius_mm
            else dense_sweep.flat_nose(cutter.radius_mm, cutter.nose_flat_mm or 0.0, angle)
        )
        halves.append(
            dense_sweep.swept_half_width(profile, radii, centre, groove.lead_mm, cutter.radius_mm)
        )
    return radii, halves[0], halves[1]


def pitch_diameter_of(
    groove: ThreadGroove, radii: dense_sweep.Array, width: dense_sweep.Array
) -> float:
    """Where the sampled groove is half a pitch wide, by a parabola through three samples."""
    order = np.argsort(width)
    width, radii = width[order], radii[order]
    at = int(np.searchsorted(width, groove.pitch_mm / 2))
    three = slice(max(at - 2, 0), max(at - 2, 0) + 4)
    return 2 * float(np.polyval(np.polyfit(width[three], radii[three], 3), groove.pitch_mm / 2))


def over_ball(groove: ThreadGroove, root_diameter: float, cutter: Cutter, diameter: float) -> float:
    """Pitch diameter that a ball of the best size reads on the simulated section."""
    side = 1 if groove.side == "external" else -1
    radii, first, second = section(
        groove, cutter, root_diameter, count=181, reach=0.05 * groove.pitch_mm
    )
    centre = dense_sweep.width_by_ball(radii, first, second, diameter, side)
    half = math.radians(groove.pressure_flank_angle_deg)
    # On the perfect profile the ball's centre stands this far from the pitch line.
    above = diameter / 2 / math.sin(half) - groove.pitch_mm / 4 / math.tan(half)
    return 2 * (centre - side * above)


@pytest.mark.parametrize(
    "row", ROWS, ids=lambda row: f"{row['thread']} {row['side']} {row['cutter_share']}"
)
def test_table_of_the_brute_force_sweep(row: dict[str, str]) -> None:
    """All columns, to the digits printed."""
    major, pitch = SIZES_MM[row["thread"]]
    side: Side = "external" if row["side"] == "external" else "internal"
    groove = groove_60(side, major, pitch)
    cutter = cutter_of(float(row["cutter_share"]) * major, flat=pitch / 8)
    root = nominal_root_diameter_mm(groove=groove, cutter=cutter)
    got = over_cut(groove=groove, cutter=cutter, root_diameter_mm=root)
    centre = root / 2 + groove.outward * cutter.radius_mm
    second = -groove.outward * SECOND_ORDER(
        None, groove.lead_mm, groove.pitch_diameter_mm / 2, centre, 30.0, 30.0
    )
    compensated = compensated_root_diameter_mm(groove=groove, cutter=cutter)
    assert f"{root:.4f}" == row["root_naive_mm"]
    assert f"{centre:.3f}" == row["path_radius_mm"]
    assert f"{1e3 * got.pitch_diameter_mm:+.1f}" == row["pitch_diameter_um"]
    assert f"{1e3 * second:+.1f}" == row["second_order_um"]
    assert f"{1e3 * got.functional_diameter_mm:+.1f}" == row["functional_um"]
    assert f"{60 * got.pressure_flank_angle_error_deg:+.1f}" == row["half_angle_arcmin"]
    assert f"{1e3 * got.flank_straightness_mm:.2f}" == row["bend_um"]
    assert f"{compensated:.4f}" == row["root_compensated_mm"]


@dataclass(frozen=True)
class Case:
    """One thread and one cutter of the grid."""

    name: str
    groove: ThreadGroove
    cutter: Cutter


def grid() -> list[Case]:
    """Threads, sides, cutters and noses; inside up to 0.66 of the major diameter."""
    cases = []
    for name, major, pitch, starts in (
        ("M4x0.7", 4.0, 0.7, 1),
        ("M10x1.5", 10.0, 1.5, 1),
        ("M24x1.5", 24.0, 1.5, 1),
        ("1 3/8-12", 34.925, 25.4 / 12, 1),
        ("M36x4", 36.0, 4.0, 1),
        ("M64x6", 64.0, 6.0, 1),
        ("M24x1.5 two starts", 24.0, 1.5, 2),
    ):
        for side, shares in (("external", (0.4, 1.5)), ("internal", (0.4, 0.66))):
            groove = groove_60(
                "external" if side == "external" else "internal", major, pitch, starts
            )
            for share in shares:
                for nose, size in (("flat", pitch / 16), ("radius", pitch / 20)):
                    cutter = cutter_of(
                        share * major,
                        flat=size if nose == "flat" else None,
                        radius=size if nose == "radius" else None,
                    )
                    cases.append(Case(f"{name} {side} {share} {nose}", groove, cutter))
    return cases


GRID = grid()


@pytest.mark.parametrize("case", GRID, ids=lambda case: case.name)
def test_pitch_diameter_same_as_dense_envelope(case: Case) -> None:
    """Within 0.1 µm, at the nominal root."""
    root = nominal_root_diameter_mm(groove=case.groove, cutter=case.cutter)
    radii, first, second = section(case.groove, case.cutter, root)
    expected = pitch_diameter_of(case.groove, radii, first + second)
    got = made_pitch_diameter_mm(groove=case.groove, cutter=case.cutter, root_diameter_mm=root)
    assert got == pytest.approx(expected, abs=TENTH_OF_A_MICROMETRE_MM)
    error = over_cut(groove=case.groove, cutter=case.cutter, root_diameter_mm=root)
    assert case.groove.pitch_diameter_mm + error.pitch_diameter_mm == pytest.approx(got, abs=1e-9)


@pytest.mark.parametrize("case", GRID, ids=lambda case: case.name)
def test_corrected_cut_measures_to_size(case: Case) -> None:
    """A ball of the best size in the simulated groove reads the aimed pitch diameter to 1 µm."""
    root = compensated_root_diameter_mm(groove=case.groove, cutter=case.cutter)
    best = case.groove.pitch_mm / (2 * math.cos(math.radians(30)))
    reading = over_ball(case.groove, root, case.cutter, best)
    assert reading == pytest.approx(case.groove.pitch_diameter_mm, abs=A_MICROMETRE_MM)


@pytest.mark.parametrize(
    "case", [case for case in GRID if "flat" in case.name], ids=lambda case: case.name
)
def test_table_root_with_a_narrow_nose_is_over_by_the_predicted_amount(case: Case) -> None:
    """The root of the P/8 flat, cut with half of it: off by (w_t - w)/tan 30° and the over-cut."""
    pitch = case.groove.pitch_mm
    standard = replace(case.cutter, nose_flat_mm=pitch / 8)
    root = nominal_root_diameter_mm(groove=case.groove, cutter=standard)
    predicted = made_pitch_diameter_mm(
        groove=case.groove, cutter=case.cutter, root_diameter_mm=root
    )
    best = pitch / (2 * math.cos(math.radians(30)))
    reading = over_ball(case.groove, root, case.cutter, best)
    assert reading == pytest.approx(predicted, abs=A_MICROMETRE_MM)
    nose_alone = case.groove.outward * (pitch / 16) / math.tan(math.radians(30))
    helix = over_cut(groove=case.groove, cutter=case.cutter, root_diameter_mm=root)
    assert predicted - case.groove.pitch_diameter_mm == pytest.approx(
        nose_alone + helix.pitch_diameter_mm, abs=1e-9
    )


def test_sixteenth_pitch_with_a_nose_of_four_thousandths() -> None:
    """.0078 in of flat against .0040 in at 16 per inch: +0.0066 in (hand arithmetic)."""
    groove = groove_60("external", 19.05, 25.4 / 16)
    ring = replace(groove, lead_mm=1e-6)
    root = nominal_root_diameter_mm(groove=ring, cutter=cutter_of(9.525, flat=0.0078 * 25.4))
    got = made_pitch_diameter_mm(
        groove=ring, cutter=cutter_of(9.525, flat=0.0040 * 25.4), root_diameter_mm=root
    )
    assert f"{(got - groove.pitch_diameter_mm) / 25.4:.4f}" == "0.0066"


@pytest.mark.parametrize(
    "angles", [(30.0, 30.0), (45.0, 7.0), (14.5, 14.5), (7.0, 45.0), (30.0, 20.0)]
)
@pytest.mark.parametrize("off_deg", [0.0, 0.5, -0.5])
@pytest.mark.parametrize(("side", "share"), [("external", 0.8), ("internal", 0.5)])
def test_unsymmetric_and_off_nominal_flanks(
    angles: tuple[float, float], off_deg: float, side: Side, share: float
) -> None:
    """Simple and functional pitch diameter against the sampled section."""
    pitch, major = 3.0, 50.0
    tangents = [math.tan(math.radians(angle)) for angle in angles]
    height = pitch / sum(tangents)
    middle = major - 0.6 * height
    groove = ThreadGroove(
        side=side,
        pitch_mm=pitch,
        lead_mm=pitch,
        pitch_diameter_mm=middle,
        pressure_flank_angle_deg=angles[0],
        clearance_flank_angle_deg=angles[1],
        crest_diameter_mm=major if side == "external" else middle - 0.5 * height,
        contact_diameter_mm=middle - 0.5 * height if side == "external" else major,
    )
    cutter = cutter_of(share * major, flat=pitch / 10, angle=sum(angles) + off_deg)
    root = nominal_root_diameter_mm(groove=groove, cutter=cutter)
    got = over_cut(groove=groove, cutter=cutter, root_diameter_mm=root)
    radii, first, second = section(groove, cutter, root, count=601)
    simple = pitch_diameter_of(groove, radii, first + second)
    assert got.pitch_diameter_mm == pytest.approx(
        simple - groove.pitch_diameter_mm, abs=TENTH_OF_A_MICROMETRE_MM
    )
    # The perfect profile, let in until it touches, free along the axis.
    low, high = sorted((groove.crest_diameter_mm / 2, groove.contact_diameter_mm / 2))
    margin = 0.02 * (high - low)
    usable = (radii > low + margin) & (radii < high - margin)
    outward = 1.0 if side == "external" else -1.0
    gaps = [
        np.max(outward * radii[usable] * tangent - half[usable])
        for tangent, half in zip(tangents, (first, second), strict=True)
    ]
    functional = 2 * outward * (pitch / 2 + sum(gaps)) / sum(tangents)
    assert got.functional_diameter_mm == pytest.approx(
        functional - groove.pitch_diameter_mm, abs=A_MICROMETRE_MM
    )
    assert got.form_diameter_mm == pytest.approx(
        got.functional_diameter_mm - got.pitch_diameter_mm, abs=1e-12
    )
    # The mating thread never finds more room than the simple pitch diameter says.
    assert outward * got.form_diameter_mm > -1e-9
    for index, half in enumerate((first, second)):
        slope = np.polyfit(radii[usable], half[usable], 1)[0]
        error = math.degrees(math.atan(outward * slope)) - angles[index]
        reported = (got.pressure_flank_angle_error_deg, got.clearance_flank_angle_error_deg)
        assert reported[index] == pytest.approx(error, abs=0.003)


def test_compensated_root_of_unsymmetric_flanks() -> None:
    groove = replace(
        groove_60("external", 50.0, 3.0),
        pressure_flank_angle_deg=45.0,
        clearance_flank_angle_deg=7.0,
        contact_diameter_mm=47.5,
    )
    cutter = cutter_of(30.0, flat=0.4, angle=52.0)
    root = compensated_root_diameter_mm(groove=groove, cutter=cutter)
    radii, first, second = section(groove, cutter, root)
    assert pitch_diameter_of(groove, radii, first + second) == pytest.approx(
        groove.pitch_diameter_mm, abs=TENTH_OF_A_MICROMETRE_MM
    )


def test_flank_too_steep_for_the_helix_is_still_exact_and_says_so() -> None:
    """A 3° flank on a 6 mm lead is cut by the nose's corner; the form error shows it."""
    groove = replace(
        groove_60("external", 32.0, 6.0),
        pitch_diameter_mm=27.5,
        pressure_flank_angle_deg=30.0,
        clearance_flank_angle_deg=3.0,
        contact_diameter_mm=23.0,
    )
    cutter = cutter_of(16.0, flat=0.8, angle=33.0)
    root = compensated_root_diameter_mm(groove=groove, cutter=cutter)
    radii, first, second = section(groove, cutter, root, count=121)
    assert pitch_diameter_of(groove, radii, first + second) == pytest.approx(
        groove.pitch_diameter_mm, abs=TENTH_OF_A_MICROMETRE_MM
    )
    got = over_cut(groove=groove, cutter=cutter, root_diameter_mm=root)
    assert got.method.startswith("largest over all points")
    assert got.form_diameter_mm > 0.1


def test_no_straight_flank_at_all() -> None:
    """Three starts of Tr 40x7 inside: K = p/tan 15° exceeds the path's radius (**D**).

    The whole flank is made by the nose's corner and the fillet is the whole depth.
    """
    groove = ThreadGroove(
        side="internal",
        pitch_mm=7.0,
        lead_mm=21.0,
        pitch_diameter_mm=36.5,
        pressure_flank_angle_deg=15.0,
        clearance_flank_angle_deg=15.0,
        crest_diameter_mm=33.0,
        contact_diameter_mm=40.0,
    )
    cutter = cutter_of(18.0, flat=1.0, angle=30.0)
    root = compensated_root_diameter_mm(groove=groove, cutter=cutter)
    assert root / 2 - 9.0 < 21.0 / (2 * math.pi) / math.tan(math.radians(15))
    radii, first, second = section(groove, cutter, root, count=241)
    assert pitch_diameter_of(groove, radii, first + second) == pytest.approx(
        36.5, abs=TENTH_OF_A_MICROMETRE_MM
    )
    got = over_cut(groove=groove, cutter=cutter, root_diameter_mm=root)
    assert got.root_fillet_height_mm == pytest.approx((root - 33.0) / 2)
    made = made_pitch_diameter_mm(groove=groove, cutter=cutter, root_diameter_mm=root)
    assert made == pytest.approx(36.5, abs=1e-9)


@pytest.mark.parametrize(
    ("thread", "printed"),
    [
        ("M10x1.5", (2.8, 4.1, 6.1)),
        ("3/4-16", (6.8, 9.8, 13.7)),
        ("M36x4", (6.6, 9.8, 16.2)),
    ],
)
def test_largest_cutter_for_a_budget_uncorrected(
    thread: str, printed: tuple[float, float, float]
) -> None:
    """10, 20 and 50 µm; figures of the brute-force sweep's report, and the sweep itself."""
    groove = groove_60("internal", *SIZES_MM[thread])
    nose = cutter_of(1.0, flat=groove.pitch_mm / 8)
    for budget_um, expected in zip((10, 20, 50), printed, strict=True):
        diameter = largest_uncorrected_cutter_mm(
            groove=groove, cutter=nose, budget_mm=budget_um / 1e3
        )
        assert f"{diameter:.1f}" == f"{expected:.1f}"
        cutter = replace(nose, diameter_mm=diameter)
        root = nominal_root_diameter_mm(groove=groove, cutter=cutter)
        radii, first, second = section(groove, cutter, root)
        made = pitch_diameter_of(groove, radii, first + second)
        assert 1e3 * (made - groove.pitch_diameter_mm) == pytest.approx(budget_um, abs=0.1)


def sampled_form_error(groove: ThreadGroove, cutter: Cutter) -> float:
    root = compensated_root_diameter_mm(groove=groove, cutter=cutter)
    radii, first, _ = section(groove, cutter, root, count=401)
    low, high = sorted((groove.crest_diameter_mm / 2, groove.contact_diameter_mm / 2))
    margin = 0.02 * (high - low)
    usable = (radii > low + margin) & (radii < high - margin)
    tangent = math.tan(math.radians(30))
    outward = 1.0 if groove.side == "external" else -1.0
    gap = np.max(outward * radii[usable] * tangent - first[usable])
    functional = 2 * outward * (groove.pitch_mm / 4 + float(gap)) / tangent
    return abs(functional - groove.pitch_diameter_mm)


@pytest.mark.parametrize("thread", list(SIZES_MM))
def test_largest_cutter_for_form(thread: str) -> None:
    """A cutter 1 % smaller keeps the limit on the sampled section, one 2 % larger does not."""
    groove = groove_60("internal", *SIZES_MM[thread])
    pitch = groove.pitch_mm
    cutter = cutter_of(0.5 * SIZES_MM[thread][0], flat=pitch / 12)
    limit = 0.012
    found = largest_cutter_for_form(groove=groove, cutter=cutter, form_limit_mm=limit)
    assert found.limited_by == "form"
    assert found.cutter_diameter_mm is not None
    smaller = replace(cutter, diameter_mm=0.99 * found.cutter_diameter_mm)
    larger = replace(cutter, diameter_mm=1.02 * found.cutter_diameter_mm)
    assert sampled_form_error(groove, smaller) <= limit < sampled_form_error(groove, larger)


def test_largest_cutter_for_a_budget_at_its_ends() -> None:
    groove = groove_60("internal", 36.0, 4.0)
    nose = cutter_of(1.0, flat=0.3)
    assert largest_uncorrected_cutter_mm(groove=groove, cutter=nose, budget_mm=1e-4) == 0.0
    assert (
        largest_uncorrected_cutter_mm(groove=groove, cutter=nose, budget_mm=9.0)
        == groove.crest_diameter_mm
    )


def test_largest_cutter_for_form_at_its_ends() -> None:
    inside = groove_60("internal", 36.0, 4.0)
    outside = groove_60("external", 36.0, 4.0)
    cutter = cutter_of(18.0, flat=0.3)
    # The angle error alone takes some micrometres (3.2 arcmin on M36x4): 1 µm cannot be kept.
    for groove in (inside, outside):
        tight = largest_cutter_for_form(groove=groove, cutter=cutter, form_limit_mm=0.001)
        assert (tight.cutter_diameter_mm, tight.limited_by) == (None, "flank-angle")
    wide = largest_cutter_for_form(groove=inside, cutter=cutter, form_limit_mm=1.0)
    # A tenth of clearance all round in the smallest bore that the thread allows.
    assert wide.cutter_diameter_mm == pytest.approx(inside.crest_diameter_mm - 0.2)
    assert wide.limited_by == "hole"
    bored = largest_cutter_for_form(
        groove=inside, cutter=cutter, form_limit_mm=1.0, hole_diameter_mm=32.0
    )
    assert bored.cutter_diameter_mm == pytest.approx(31.8)
    free = largest_cutter_for_form(groove=outside, cutter=cutter, form_limit_mm=0.02)
    assert (free.cutter_diameter_mm, free.limited_by) == (None, "nothing")
    with pytest.raises(OutOfRangeError, match="positive"):
        largest_cutter_for_form(groove=inside, cutter=cutter, form_limit_mm=0.0)


@settings(max_examples=50, deadline=None)
@given(
    major=st.floats(3, 100),
    pitch_share=st.floats(0.02, 0.16),
    cutter_share=st.floats(0.2, 0.6),
    nose_share=st.floats(0.0, 0.12),
    inside=st.booleans(),
)
def test_properties(
    major: float, pitch_share: float, cutter_share: float, nose_share: float, inside: bool
) -> None:
    """Sign of the error, exactness of the correction, growth with the cutter, slope by theory."""
    groove = groove_60("internal" if inside else "external", major, pitch_share * major)
    cutter = cutter_of(cutter_share * major, flat=nose_share * groove.pitch_mm)
    assume(cutter.radius_mm > groove.pitch_mm)  # deeper than its own radius no cutter cuts
    root = compensated_root_diameter_mm(groove=groove, cutter=cutter)
    assert made_pitch_diameter_mm(
        groove=groove, cutter=cutter, root_diameter_mm=root
    ) == pytest.approx(groove.pitch_diameter_mm, abs=1e-9)
    got = over_cut(groove=groove, cutter=cutter, root_diameter_mm=root, corrected=True)
    assert got.corrected
    assert groove.outward * got.pitch_diameter_mm < 0
    assert groove.outward * (root - nominal_root_diameter_mm(groove=groove, cutter=cutter)) > 0
    larger = replace(cutter, diameter_mm=1.1 * cutter.diameter_mm)
    assert abs(
        over_cut(groove=groove, cutter=larger, root_diameter_mm=root).pitch_diameter_mm
    ) > abs(got.pitch_diameter_mm)
    # A helix of no lead cuts nothing besides the profile.
    ring = replace(groove, lead_mm=1e-9)
    flat = over_cut(groove=ring, cutter=cutter, root_diameter_mm=root)
    assert flat.pitch_diameter_mm == pytest.approx(0.0, abs=1e-9)
    assert flat.form_diameter_mm == pytest.approx(0.0, abs=1e-9)


def test_profile_points_and_working() -> None:
    groove = groove_60("external", 24.0, 1.5)
    cutter = cutter_of(16.0, flat=0.1)
    trail = Trail(steps=[])
    root = compensated_root_diameter_mm(groove=groove, cutter=cutter, trail=trail)
    got = over_cut(
        groove=groove, cutter=cutter, root_diameter_mm=root, profile_points=9, trail=trail
    )
    radii, first, second = section(groove, cutter, root, count=9)
    assert [point.radius_mm for point in got.profile] == pytest.approx(radii[::-1], abs=1e-6)
    assert [point.pressure_half_width_mm for point in got.profile] == pytest.approx(
        first[::-1], abs=2e-4
    )
    assert [p.clearance_half_width_mm for p in got.profile[:8]] == pytest.approx(
        second[:0:-1], abs=1e-6
    )
    assert trail.steps is not None
    assert "over-cut of the pitch diameter, exact" in [step.quantity for step in trail.steps]


def test_a_cutter_larger_than_the_hole_is_refused() -> None:
    groove = groove_60("internal", 10.0, 1.5)
    with pytest.raises(InfeasibleError) as refused:
        compensated_root_diameter_mm(groove=groove, cutter=cutter_of(10.2, flat=0.1))
    assert refused.value.parameter == "cutter_diameter"
    with pytest.raises(InfeasibleError):
        made_pitch_diameter_mm(
            groove=groove, cutter=cutter_of(10.2, flat=0.1), root_diameter_mm=10.0
        )


def test_a_nose_wider_than_the_groove_is_refused() -> None:
    """0.8 mm of flat in a groove of 1.5 mm pitch: wider than half a pitch at any depth."""
    groove = groove_60("external", 10.0, 1.5)
    with pytest.raises(InfeasibleError):
        compensated_root_diameter_mm(groove=groove, cutter=cutter_of(8.0, flat=0.8))
    with pytest.raises(InfeasibleError):
        made_pitch_diameter_mm(groove=groove, cutter=cutter_of(8.0, flat=0.8), root_diameter_mm=8.1)


def test_form_against_the_tolerance() -> None:
    """M10-6H, tolerance 180 µm: shares by plain division, cautions on both kinds of cause."""
    thread = sample_threads.m10_6h()
    groove = groove_of(thread=thread, pitch_diameter_mm=9.116)

    def judged(diameter: float, angle: float, share: float | None, trail: Trail) -> float:
        cutter = cutter_of(diameter, flat=1.5 / 10, angle=angle)
        root = compensated_root_diameter_mm(groove=groove, cutter=cutter)
        made = over_cut(groove=groove, cutter=cutter, root_diameter_mm=root, corrected=True)
        check = check_form(
            thread=thread,
            groove=groove,
            cutter=cutter,
            over_cut=made,
            share_ratio=share,
            trail=trail,
        )
        assert check.form_share_ratio == pytest.approx(abs(made.form_diameter_mm) / 0.180)
        assert check.form_limit_mm == pytest.approx(check.share_limit_ratio * 0.180)
        if check.largest_cutter.cutter_diameter_mm is not None:
            fits = diameter <= check.largest_cutter.cutter_diameter_mm
            assert fits == (check.form_share_ratio <= check.share_limit_ratio)
        return check.form_share_ratio

    trail = Trail()
    assert judged(5.0, 60.0, None, trail) < 0.25
    assert [each.parameter for each in trail.assumptions] == ["form_share"]
    assert trail.cautions == []
    assert judged(7.9, 60.0, 0.04, trail) > 0.04
    assert "at most" in trail.cautions[-1].detail
    assert judged(5.0, 64.0, 0.1, trail) > 0.1
    assert "flank angle" in trail.cautions[-1].detail
    open_ended = replace(thread, limits=replace(thread.limits, pitch_diameter=NO_LIMIT))
    cutter = cutter_of(5.0, flat=0.15)
    made = over_cut(groove=groove, cutter=cutter, root_diameter_mm=10.2)
    with pytest.raises(MissingInputError):
        check_form(thread=open_ended, groove=groove, cutter=cutter, over_cut=made)
    assert (
        check_form(thread=thread, groove=groove, cutter=cutter, over_cut=made).share_limit_ratio
        == 0.25
    )


@pytest.mark.parametrize("side", ["external", "internal"])
@pytest.mark.parametrize("starts", [1, 2, 3])
def test_full_length_cutter_leaves_the_same_groove_in_one_turn(side: Side, starts: int) -> None:
    """A comb of rows, swept once round: the section of points that it takes off, row by row.

    The comb is sampled as a body in space: each row a cutter of its own, at each of the angles of
    one turn; a point of a section half way round is gone if any row at any angle covers it.
    """
    groove = groove_60(side, 20.0, 2.0, starts)
    cutter = cutter_of(8.0 if side == "internal" else 12.0, flat=0.2)
    root = compensated_root_diameter_mm(groove=groove, cutter=cutter)
    centre = root / 2 + groove.outward * cutter.radius_mm
    turn = np.linspace(0, 2 * math.pi, 200_001)
    half = dense_sweep.flat_nose(cutter.radius_mm, 0.2, 30)
    angle, lead = 2.0, groove.lead_mm
    for share in (0.02, 0.2, 0.5, 0.8):
        radius = root / 2 + share * (groove.crest_diameter_mm - root) / 2
        away = np.sqrt(radius**2 + centre**2 - 2 * radius * centre * np.cos(turn - angle))
        reach = half(away)
        width = 0.0
        for row in range(2 * starts + 1):
            height = row * 2.0 + lead * turn / (2 * math.pi)
            covered = reach > 0
            middle = (starts * 2.0) + lead * angle / (2 * math.pi)
            near = covered & (np.abs(height - middle) < 1.0)
            if near.any():
                width = max(width, float(np.max((height + reach - middle)[near])))
        ours, _ = swept_groove_of(groove=groove, cutter=cutter).half_widths_mm(radius, centre)
        assert width == pytest.approx(ours, abs=6e-5)
