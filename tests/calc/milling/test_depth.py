"""Depth from the nose, and which noses can, by hand geometry and sampling (**D**), and **P**.

Published: ISO 965 / B1.13M rows for M10x1.5-6g (flat minor max 8.344 mm) and the sharp V, P/8
and H/6 roots of ISO 68-1 and ISO 724.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from support import dense_sweep, sample_threads
from threadwright_service.calc.errors import InfeasibleError, MissingInputError, OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.depth import (
    equivalent_nose_flat_mm,
    groove_depth_mm,
    nominal_root_diameter_mm,
    pitch_diameter_of_root_mm,
)
from threadwright_service.calc.milling.geometry.groove import (
    ThreadGroove,
    cutter_flank_angles_deg,
    groove_of,
    pitch_diameter_aim_mm,
)
from threadwright_service.calc.milling.geometry.nose import NoseCheck, check_nose
from threadwright_service.calc.milling.geometry.nose_fit import root_limits
from threadwright_service.calc.milling.geometry.over_cut import compensated_root_diameter_mm
from threadwright_service.calc.threads.limits import thread_limits
from threadwright_service.calc.threads.thread import NO_LIMIT, Side, Span, ThreadLimits
from threadwright_service.calc.trail import Trail

H = math.sqrt(3) / 2


def cutter_of(
    diameter: float = 8.0,
    *,
    flat: float | None = None,
    radius: float | None = None,
    angle: float = 60.0,
) -> Cutter:
    return Cutter(
        profile="single",
        diameter_mm=diameter,
        teeth=4,
        nose_flat_mm=flat,
        nose_radius_mm=radius,
        included_angle_deg=angle,
        neck_diameter_mm=0.5 * diameter,
        neck_length_mm=30.0,
        shank_diameter_mm=diameter,
        stick_out_mm=40.0,
    )


def groove_of_m10(side: str = "external") -> ThreadGroove:
    thread = sample_threads.m10_6g() if side == "external" else sample_threads.m10_6h()
    return groove_of(thread=thread, pitch_diameter_mm=9.026)


@pytest.mark.parametrize(
    ("nose", "in_heights"),
    [
        ({"flat": 0.0}, 1.0),  # sharp V: d2 - H
        ({"flat": 1.5 / 8}, 0.75),  # d2 - 0.6495 P
        ({"flat": 1.5 / 4}, 0.5),  # d2 - H/2 = d1 of ISO 724
        ({"radius": 1.5 * H / 6}, 2 / 3),  # ISO 724: d3 = d2 - 2/3 H, root radius H/6
        ({"radius": 1.5 * H / 12}, 5 / 6),
    ],
)
def test_roots_of_iso_68(nose: dict[str, float], in_heights: float) -> None:
    """Named roots of the metric profile, outside, and their mirror inside."""
    outside, inside = groove_of_m10(), groove_of_m10("internal")
    cutter = cutter_of(flat=nose.get("flat"), radius=nose.get("radius"))
    assert nominal_root_diameter_mm(groove=outside, cutter=cutter) == pytest.approx(
        9.026 - in_heights * 1.5 * H, abs=1e-12
    )
    assert nominal_root_diameter_mm(groove=inside, cutter=cutter) == pytest.approx(
        9.026 + in_heights * 1.5 * H, abs=1e-12
    )


def test_handbook_form_of_the_root() -> None:
    """60°: d2 - 0.8660 P + 1.7321 w, and + 2 r for a radius (the usual constants)."""
    outside = groove_of_m10()
    flat = nominal_root_diameter_mm(groove=outside, cutter=cutter_of(flat=0.1))
    assert flat == pytest.approx(9.026 - 0.8660254 * 1.5 + 1.7320508 * 0.1, abs=1e-7)
    rounded = nominal_root_diameter_mm(groove=outside, cutter=cutter_of(radius=0.1))
    assert rounded == pytest.approx(9.026 - 0.8660254 * 1.5 + 2 * 0.1, abs=1e-7)
    assert equivalent_nose_flat_mm(groove=outside, cutter=cutter_of(radius=0.1)) == pytest.approx(
        0.11547, abs=1e-6
    )


def test_depth_of_twenty_per_inch_on_nine_sixteenths() -> None:
    """Common practice: about 0.0605 in off the major diameter for a full-form root (no source)."""
    pitch = 1 / 20
    groove = replace(
        groove_of_m10(),
        pitch_mm=pitch * 25.4,
        lead_mm=pitch * 25.4,
        pitch_diameter_mm=(0.5625 - 0.75 * H * pitch) * 25.4,
        crest_diameter_mm=0.5625 * 25.4,
    )
    # Full form: the rounded root that the standard's reference profile ends in, 17/24 H deep.
    cutter = cutter_of(radius=pitch * H / 6 * 25.4)
    root = nominal_root_diameter_mm(groove=groove, cutter=cutter)
    off = 2 * groove_depth_mm(groove=groove, root_diameter_mm=root) / 25.4
    assert off == pytest.approx(0.0605, abs=0.0015)


@given(
    angles=st.tuples(st.floats(3, 50), st.floats(3, 50)),
    pitch=st.floats(0.3, 12),
    flat_share=st.floats(0, 0.4),
    outside=st.booleans(),
)
def test_width_on_the_pitch_line_is_half_the_pitch(
    angles: tuple[float, float], pitch: float, flat_share: float, outside: bool
) -> None:
    """From the root outwards the groove grows by both tangents: half a pitch at d2."""
    groove = replace(
        groove_of_m10("external" if outside else "internal"),
        pitch_mm=pitch,
        pitch_diameter_mm=50.0,
        pressure_flank_angle_deg=angles[0],
        clearance_flank_angle_deg=angles[1],
    )
    cutter = cutter_of(30.0, flat=flat_share * pitch, angle=sum(angles))
    root = nominal_root_diameter_mm(groove=groove, cutter=cutter)
    depth = abs(root - 50.0) / 2
    width = flat_share * pitch + depth * sum(math.tan(math.radians(a)) for a in angles)
    assert width == pytest.approx(pitch / 2)
    assert (root < 50.0) == outside
    assert pitch_diameter_of_root_mm(
        groove=groove, cutter=cutter, root_diameter_mm=root + 0.2
    ) == pytest.approx(50.2)


@given(angles=st.tuples(st.floats(3, 50), st.floats(3, 50)), radius=st.floats(0.01, 1))
def test_equivalent_flat_of_a_radius_from_tangent_lines(
    angles: tuple[float, float], radius: float
) -> None:
    """Lines tangent to the nose's circle cut the tip's height at the equivalent flat's ends."""
    groove = replace(
        groove_of_m10(), pressure_flank_angle_deg=angles[0], clearance_flank_angle_deg=angles[1]
    )
    cutter = cutter_of(30.0, radius=radius, angle=sum(angles))
    width = 0.0
    for angle in angles:
        # Tangent point seen from the circle's centre, then along the flank up to the tip's height.
        x, y = radius * math.cos(math.radians(angle)), radius * math.sin(math.radians(angle))
        width += x - (radius - y) * math.tan(math.radians(angle))
    assert equivalent_nose_flat_mm(groove=groove, cutter=cutter) == pytest.approx(width)


def test_largest_minor_diameter_as_printed() -> None:
    """**P** M10x1.5-6g: minor diameter of a flat root at most 8.344 (B1.13M table)."""
    assert root_limits(thread=sample_threads.m10_6g()).max == pytest.approx(8.344)
    inside = root_limits(thread=sample_threads.m10_6h())
    assert (inside.max, inside.min) == (None, 10.0)
    bare = replace(
        sample_threads.m10_6h(),
        limits=replace(sample_threads.m10_6h().limits, major_diameter=NO_LIMIT),
    )
    assert root_limits(thread=bare).min == 10.0


def judged(
    thread: ThreadLimits, cutter: Cutter, aim: float = 0.5, **more: float | Trail
) -> NoseCheck:
    groove = groove_of(
        thread=thread, pitch_diameter_mm=pitch_diameter_aim_mm(thread=thread, aim_ratio=aim)
    )
    root = compensated_root_diameter_mm(groove=groove, cutter=cutter)
    return check_nose(
        thread=thread,
        groove=groove,
        cutter=cutter,
        root_diameter_mm=root,
        **more,  # type: ignore[arg-type]
    )


def codes(check: NoseCheck) -> set[str]:
    return {finding.code for finding in check.findings}


@pytest.mark.parametrize("side", ["external", "internal"])
@pytest.mark.parametrize("aim", [0.1, 0.5, 0.9])
def test_widest_flat_stands_just_on_the_limit(side: str, aim: float) -> None:
    """At the reported limit the corrected root is the limit itself; beyond it a finding."""
    thread = sample_threads.m10_6g() if side == "external" else sample_threads.m10_6h()
    narrow = cutter_of(6.0, flat=0.05)
    check = judged(thread, narrow, aim)
    assert codes(check) == set()
    assert check.nose_flat_min_mm == 0
    widest = replace(narrow, nose_flat_mm=check.nose_flat_max_mm)
    groove = groove_of(
        thread=thread, pitch_diameter_mm=pitch_diameter_aim_mm(thread=thread, aim_ratio=aim)
    )
    limit = check.root_diameter_max_mm if side == "external" else check.root_diameter_min_mm
    root = compensated_root_diameter_mm(groove=groove, cutter=widest)
    assert root == pytest.approx(limit, abs=1e-9)
    wider = replace(narrow, nose_flat_mm=check.nose_flat_max_mm + 0.002)
    if (side, aim) not in (("external", 0.1), ("internal", 0.9)):
        assert "root-outside-limits" in codes(judged(thread, wider, aim))


def test_a_nose_too_wide_for_any_aim_is_refused() -> None:
    """At the lowest pitch diameter 8.862 the root must be 8.344 at most: by hand, without helix.

    Width at 8.344: P/2 - (8.862 - 8.344) tan 30° = 0.4509; the helix takes a few micrometres.
    """
    with pytest.raises(InfeasibleError) as refused:
        judged(sample_threads.m10_6g(), cutter_of(6.0, flat=0.452))
    assert refused.value.parameter == "cutter_nose_flat"
    assert float(refused.value.accepted.split()[2]) == pytest.approx(0.4509, abs=0.01)
    judged(sample_threads.m10_6g(), cutter_of(6.0, flat=0.43))
    with pytest.raises(InfeasibleError) as refused:
        judged(sample_threads.m10_6g(), cutter_of(6.0, radius=0.45))
    assert refused.value.parameter == "cutter_nose_radius"


def test_a_limit_on_the_deep_side_asks_for_a_least_flat() -> None:
    """A smallest minor diameter: a sharper nose goes too deep."""
    thread = sample_threads.m10_6g()
    thread = replace(
        thread, limits=replace(thread.limits, minor_diameter=Span(max=8.344, min=7.938))
    )
    check = judged(thread, cutter_of(6.0, flat=0.2))
    # By hand, without helix: P/2 - (8.928 - 7.938) tan 30°.
    assert check.nose_flat_min_mm == pytest.approx(0.75 - 0.990 * math.tan(math.pi / 6), abs=0.01)
    assert "root-outside-limits" in codes(judged(thread, cutter_of(6.0, flat=0.1)))
    assert codes(check) == set()


def test_largest_radius_leaves_the_flank_straight_to_the_mating_crest() -> None:
    """ISO 68-1: the root radius H/6 = 0.1443 P just touches the flank at the basic minor diameter.

    On the basic profile; inside half of it, H/12, at the basic major diameter.
    """
    for side, share in (("external", 6), ("internal", 12)):
        thread = sample_threads.m10_6g() if side == "external" else sample_threads.m10_6h()
        groove = replace(
            groove_of(thread=thread, pitch_diameter_mm=10 - 0.75 * H * 1.5),
            contact_diameter_mm=10 - 1.25 * H * 1.5 if side == "external" else 10.0,
        )
        check = check_nose(
            thread=thread,
            groove=groove,
            cutter=cutter_of(5.0, radius=0.05),
            root_diameter_mm=compensated_root_diameter_mm(
                groove=groove, cutter=cutter_of(5.0, radius=0.05)
            ),
        )
        assert check.nose_radius_max_mm == pytest.approx(1.5 * H / share, rel=1e-6)


@given(angles=st.tuples(st.floats(5, 50), st.floats(5, 50)))
def test_largest_radius_of_unsymmetric_flanks(angles: tuple[float, float]) -> None:
    """A circle of that radius, put tangent to both flanks, touches one at the mating crest."""
    tangents = [math.tan(math.radians(a)) for a in angles]
    pitch, d2 = 2.0, 40.0
    sharp = pitch / 2 / sum(tangents)  # the V's root below the pitch line
    form = replace(
        sample_threads.ISO_FORM,
        pressure_flank_angle_deg=angles[0],
        clearance_flank_angle_deg=angles[1],
    )
    thread = sample_threads.thread(
        designation="test",
        form=form,
        major=d2 + sharp,
        pitch_diameter=d2,
        minor=d2 - sharp,
        pitch=pitch,
        limits=((None, None), (d2, d2 - 0.1), (d2 - 0.2 * sharp, None)),
    )
    groove = replace(groove_of(thread=thread, pitch_diameter_mm=d2), lead_mm=1e-9)
    cutter = cutter_of(30.0, flat=0.05, angle=sum(angles))
    check = check_nose(
        thread=thread,
        groove=groove,
        cutter=cutter,
        root_diameter_mm=compensated_root_diameter_mm(groove=groove, cutter=cutter),
    )
    radius = check.nose_radius_max_mm
    assert radius is not None
    # Centre where both distances are the radius, by solving the two lines.
    first, second = (math.radians(a) for a in angles)
    matrix = np.array([[-math.cos(first), math.sin(first)], [math.cos(second), math.sin(second)]])
    centre = np.linalg.solve(matrix, np.array([radius, radius]))
    heights = [centre[1] - radius * math.sin(first), centre[1] - radius * math.sin(second)]
    mating_crest = sharp - sharp / 2
    assert max(heights) == pytest.approx(mating_crest, rel=1e-6)


def test_flank_that_is_not_straight_is_told() -> None:
    """A large cutter inside leaves the flank unmade near the root (0.8 D, P/8)."""
    assert "flank-not-straight" in codes(
        judged(sample_threads.m10_6h(), cutter_of(8.0, flat=1.5 / 8), 0.9)
    )
    assert "flank-not-straight" not in codes(
        judged(sample_threads.m10_6h(), cutter_of(4.0, flat=0.05), 0.9)
    )


def test_root_radius_of_the_standard() -> None:
    """ISO 965-1: at least 0.125 P; a flat nose or a smaller radius is told, as is a larger one."""
    thread = replace(sample_threads.m10_6g(), root_radius=Span(max=None, min=0.188))
    assert codes(judged(thread, cutter_of(6.0, flat=0.1))) == {"root-radius"}
    assert codes(judged(thread, cutter_of(6.0, radius=0.1))) == {"root-radius"}
    good = judged(thread, cutter_of(6.0, radius=0.19))
    assert codes(good) == set()
    assert good.nose_radius_min_mm == 0.188
    capped = replace(sample_threads.m10_6g(), root_radius=Span(max=0.15, min=None))
    assert judged(capped, cutter_of(6.0, radius=0.1)).nose_radius_max_mm == 0.15
    assert codes(judged(capped, cutter_of(6.0, radius=0.16))) == {"root-radius"}


@pytest.mark.parametrize(
    ("side", "blank", "found"),
    [
        ("external", 9.968, False),
        ("external", 9.97, True),
        ("external", 9.7, True),
        ("internal", 8.376, False),
        ("internal", 8.7, True),
        ("internal", 8.3, True),
    ],
)
def test_crest_against_its_limits(side: str, blank: float, found: bool) -> None:
    thread = sample_threads.m10_6g() if side == "external" else sample_threads.m10_6h()
    trail = Trail()
    check = judged(thread, cutter_of(5.0, flat=0.05), blank_diameter_mm=blank, trail=trail)
    assert ("crest-outside-limits" in codes(check)) == found
    assert {each.code for each in trail.cautions} == codes(check)


def test_crest_that_is_left() -> None:
    """Basic profile, ring groove: the crest is P/8 wide at the major diameter."""
    thread = sample_threads.m10_6g()
    groove = replace(
        groove_of(thread=thread, pitch_diameter_mm=10 - 0.75 * H * 1.5),
        crest_diameter_mm=10.0,
        lead_mm=1e-9,
    )
    cutter = cutter_of(6.0, flat=0.1)
    root = nominal_root_diameter_mm(groove=groove, cutter=cutter)
    check = check_nose(thread=thread, groove=groove, cutter=cutter, root_diameter_mm=root)
    assert check.crest_width_mm == pytest.approx(1.5 / 8, abs=1e-9)
    deep = check_nose(thread=thread, groove=groove, cutter=cutter, root_diameter_mm=root - 0.4)
    assert "crest-cut-away" in codes(deep)
    # By hand: 0.4 deeper is 0.2309 wider; that meets below 10 mm and above the least 9.732 mm.
    assert "crest-outside-limits" not in codes(deep)
    lost = check_nose(thread=thread, groove=groove, cutter=cutter, root_diameter_mm=root - 0.8)
    assert {"crest-cut-away", "crest-outside-limits"} <= codes(lost)
    # A blank of 9.85 mm leaves 0.0433 mm more of the crest than is missing at 10 mm.
    turned = check_nose(
        thread=thread,
        groove=groove,
        cutter=cutter,
        root_diameter_mm=root - 0.4,
        blank_diameter_mm=9.85,
    )
    assert "crest-cut-away" not in codes(turned)


@pytest.mark.parametrize("side", ["external", "internal"])
@pytest.mark.parametrize("off_deg", [1.0, -1.0, 0.2])
def test_a_cutter_off_the_form_angle(side: str, off_deg: float) -> None:
    """Functional less simple: the wedge opens or closes by the two tangents, worked out by hand."""
    thread = sample_threads.m10_6g() if side == "external" else sample_threads.m10_6h()
    groove = groove_of(thread=thread, pitch_diameter_mm=9.0)
    cutter = cutter_of(5.0, flat=0.05, angle=60 + off_deg)
    assert cutter_flank_angles_deg(groove=groove, cutter=cutter) == (
        30 + off_deg / 2,
        30 + off_deg / 2,
    )
    root = compensated_root_diameter_mm(groove=groove, cutter=cutter)
    check = check_nose(thread=thread, groove=groove, cutter=cutter, root_diameter_mm=root)
    assert "cutter-angle" in codes(check)
    made, form = math.tan(math.radians(30 + off_deg / 2)), math.tan(math.radians(30))
    low, high = sorted((groove.crest_diameter_mm / 2, groove.contact_diameter_mm / 2))
    margin = 0.02 * (high - low)
    outward = groove.outward
    # A narrower wedge holds off where the groove is wide, a wider one where it is narrow.
    lift = max(outward * (r - 4.5) * (form - made) / form for r in (low + margin, high - margin))
    assert check.functional_diameter_mm == pytest.approx(outward * 2 * lift, abs=1e-9)
    assert outward * check.functional_diameter_mm > 0
    # With the root of the right angle the simple pitch diameter would be off by this.
    right = nominal_root_diameter_mm(groove=groove, cutter=cutter_of(5.0, flat=0.05))
    assert check.angle_pitch_diameter_mm == pytest.approx(
        pitch_diameter_of_root_mm(groove=groove, cutter=cutter, root_diameter_mm=right) - 9.0
    )


def test_functional_effect_of_the_angle_by_sampling() -> None:
    """The same from a sampled ring groove."""
    groove = groove_of(thread=sample_threads.m10_6g(), pitch_diameter_mm=9.0)
    cutter = cutter_of(5.0, flat=0.05, angle=61.0)
    root = nominal_root_diameter_mm(groove=groove, cutter=cutter)
    check = check_nose(
        thread=sample_threads.m10_6g(), groove=groove, cutter=cutter, root_diameter_mm=root
    )
    low, high = sorted((groove.crest_diameter_mm / 2, groove.contact_diameter_mm / 2))
    margin = 0.02 * (high - low)
    radii = np.linspace(low + margin, high - margin, 50)
    width = dense_sweep.swept_half_width(
        dense_sweep.flat_nose(2.5, 0.05, 30.5), radii, root / 2 + 2.5, 1e-9, 2.5
    )
    tangent = math.tan(math.radians(30))
    functional = 2 * (0.375 + float(np.max(radii * tangent - width))) / tangent
    assert check.functional_diameter_mm == pytest.approx(functional - 9.0, abs=1e-6)


def test_a_flank_too_steep_for_the_helix_still_gets_limits() -> None:
    form = replace(
        sample_threads.ISO_FORM, pressure_flank_angle_deg=30.0, clearance_flank_angle_deg=3.0
    )
    thread = sample_threads.thread(
        designation="saw-tooth",
        form=form,
        major=32.0,
        pitch_diameter=27.5,
        minor=23.0,
        pitch=6.0,
        limits=((32.0, 31.6), (27.4, 27.0), (22.0, None)),
    )
    check = judged(thread, cutter_of(16.0, flat=0.8, angle=33.0))
    assert check.nose_flat_max_mm > 0.8


def test_aim_in_the_tolerance() -> None:
    thread = sample_threads.m10_6g()
    for aim, expected in ((0.0, 8.862), (0.5, 8.928), (1.0, 8.994)):
        assert pitch_diameter_aim_mm(thread=thread, aim_ratio=aim) == pytest.approx(expected)
    inch = sample_threads.unc_3_4_2a()
    assert pitch_diameter_aim_mm(thread=inch, aim_ratio=0.0) == pytest.approx(0.6773 * 25.4)
    with pytest.raises(OutOfRangeError):
        pitch_diameter_aim_mm(thread=thread, aim_ratio=1.1)
    open_ended = replace(
        thread, limits=replace(thread.limits, pitch_diameter=Span(max=8.994, min=None))
    )
    with pytest.raises(MissingInputError):
        pitch_diameter_aim_mm(thread=open_ended)


@pytest.mark.parametrize("text", ["G 1 A", "G 1/8 A", "R 1", "1-8 BSW medium"])
@pytest.mark.parametrize("side", ["external", "internal"])
def test_rounded_threads_take_a_nose_of_their_own_root_radius(text: str, side: Side) -> None:
    """Whitworth form: crests and roots are rounded alike, r = 0.137329 P (ISO 228-1, BS 84).

    So the flank has to be straight no further than the mating crest's own rounding begins. At the
    basic pitch diameter that is the largest nose; in the middle of the tolerance there is room.
    """
    if side == "internal":
        text = {"R 1": "Rc 1"}.get(text, text.removesuffix(" A"))
    thread = thread_limits(designation=text, side=side)
    own = 0.137329 * thread.in_millimetres().pitch
    basic, middle = (
        # Without the helix, whose over-cut asks for a nose that is a little narrower.
        replace(groove_of(thread=thread, pitch_diameter_mm=aim), lead_mm=0.0)
        for aim in (
            thread.in_millimetres().basic.pitch_diameter,
            pitch_diameter_aim_mm(thread=thread),
        )
    )
    cutter = replace(cutter_of(4.0, radius=own), included_angle_deg=55.0)

    def judged_at(groove: ThreadGroove) -> NoseCheck:
        root = compensated_root_diameter_mm(groove=groove, cutter=cutter)
        return check_nose(thread=thread, groove=groove, cutter=cutter, root_diameter_mm=root)

    assert judged_at(basic).nose_radius_max_mm == pytest.approx(own, rel=1e-3)
    assert not {"flank-not-straight", "root-radius"} & codes(judged_at(middle))


def test_no_rounded_nose_for_a_groove_that_wants_a_wide_flat() -> None:
    """Tr 32x6: a circle that touches both 15° flanks above the root is deeper than its limit."""
    thread = thread_limits(designation="Tr32x6-7e")
    groove = groove_of(thread=thread, pitch_diameter_mm=pitch_diameter_aim_mm(thread=thread))
    cutter = replace(cutter_of(20.0, flat=1.9), included_angle_deg=30.0)
    root = compensated_root_diameter_mm(groove=groove, cutter=cutter)
    check = check_nose(thread=thread, groove=groove, cutter=cutter, root_diameter_mm=root)
    assert (check.nose_radius_min_mm, check.nose_radius_max_mm) == (None, None)
    assert check.nose_flat_min_mm < 1.9 < check.nose_flat_max_mm


def test_groove_of_a_thread() -> None:
    outside = groove_of(thread=sample_threads.m10_6g(), pitch_diameter_mm=8.9)
    assert (outside.crest_diameter_mm, outside.contact_diameter_mm) == (9.968, 8.376)
    inside = groove_of(thread=sample_threads.m10_6h(), pitch_diameter_mm=9.1)
    assert (inside.crest_diameter_mm, inside.contact_diameter_mm) == (8.376, 10.0)
    assert (outside.outward, inside.outward) == (1, -1)
    bare = replace(
        sample_threads.m10_6g(),
        limits=replace(sample_threads.m10_6g().limits, major_diameter=NO_LIMIT),
    )
    assert groove_of(thread=bare, pitch_diameter_mm=8.9).crest_diameter_mm == 10.0
