"""The seat of a wire against a brute-force model, the involute form and computed values."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from support.groove_model import Screw, ball_centre, wire_centre
from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.measurement.wires.groove import (
    BareThread,
    Groove,
    check_lead_angle,
    groove_of,
)
from threadwright_service.calc.measurement.wires.wire_range import wire_range
from threadwright_service.calc.measurement.wires.wires_exact import (
    pitch_diameter_of_centre,
    seat,
    simple_centre_height_mm,
)

TENTH_MICROMETRE = 1e-4

# Pitch diameter, pitch, starts, flank angle: the grid of the comparison [mm].
THREADS = {
    "M1.6": (1.373, 0.35, 1, 30.0),
    "M3": (2.675, 0.5, 1, 30.0),
    "M6": (5.350, 1.0, 1, 30.0),
    "M10": (9.026, 1.5, 1, 30.0),
    "M24x1.5": (23.026, 1.5, 1, 30.0),
    "M64": (60.103, 6.0, 1, 30.0),
    "#10-24": (4.138, 25.4 / 24, 1, 30.0),
    "1/4-20": (5.524, 1.27, 1, 30.0),
    "1 3/8-12": (33.551, 25.4 / 12, 1, 30.0),
    "G 1/2": (19.793, 1.814, 1, 27.5),
    "BSW 1/4": (5.537, 1.27, 1, 27.5),
    "BA 0": (5.4, 1.0, 1, 23.75),
    "Tr8x1.5": (7.25, 1.5, 1, 15.0),
    "Tr20x4": (18.0, 4.0, 1, 15.0),
    "Tr20x8(P4)": (18.0, 4.0, 2, 15.0),
    "Tr32x6": (29.0, 6.0, 1, 15.0),
    "Tr36x18(P6)": (33.0, 6.0, 3, 15.0),
    "Tr40x7": (36.5, 7.0, 1, 15.0),
    "Acme 1-5": (22.86, 5.08, 1, 14.5),
    "Acme 1-5, 3 starts": (22.86, 5.08, 3, 14.5),
    "Acme 1 1/2-4, 4 starts": (34.925, 6.35, 4, 14.5),
    "Stub Acme 1-5, 2 starts": (23.876, 5.08, 2, 14.5),
    "steep 60 degree, 6 starts": (10.0, 3.0, 6, 30.0),
}
UNSYMMETRICAL = {
    "7/45": (28.0, 3.0, 1, (7.0, 45.0)),
    "45/7": (28.0, 3.0, 1, (45.0, 7.0)),
    "7/45, 5 starts": (33.0, 6.0, 5, (7.0, 45.0)),
    "3/30": (28.0, 3.0, 1, (3.0, 30.0)),
    "3/30, 3 starts": (28.0, 3.0, 3, (3.0, 30.0)),
}


def groove(
    pitch: float, starts: int, angles: tuple[float, float], *, internal: bool = False
) -> Groove:
    return Groove(
        side="internal" if internal else "external",
        pitch_mm=pitch,
        lead_mm=pitch * starts,
        pressure_flank_angle_deg=angles[0],
        clearance_flank_angle_deg=angles[1],
    )


def best(pitch: float, angle: float) -> float:
    return pitch / 2 / math.cos(math.radians(angle))


@pytest.mark.parametrize("name", THREADS)
@pytest.mark.parametrize("internal", [False, True], ids=["external", "internal"])
@pytest.mark.parametrize("left", [False, True], ids=["RH", "LH"])
@pytest.mark.parametrize("size", [0.95, 1.0, 1.15], ids=["0.95 best", "best", "1.15 best"])
def test_ball_against_dense_sampling(name: str, internal: bool, left: bool, size: float) -> None:
    diameter, pitch, starts, angle = THREADS[name]
    wire = size * best(pitch, angle)
    model = ball_centre(
        Screw(diameter, pitch, pitch * starts, (angle, angle), internal, left), wire
    )
    got = seat(
        groove=groove(pitch, starts, (angle, angle), internal=internal),
        pitch_diameter_mm=diameter,
        wire_diameter_mm=wire,
    )
    assert 2 * got.centre_radius_mm == pytest.approx(2 * model, abs=TENTH_MICROMETRE / 10)


@pytest.mark.parametrize(
    "name", ["M6", "Acme 1-5, 3 starts", "Tr20x4", "steep 60 degree, 6 starts"]
)
@pytest.mark.parametrize("left", [False, True], ids=["RH", "LH"])
def test_free_wire_lies_where_the_ball_lies(name: str, left: bool) -> None:
    diameter, pitch, starts, angle = THREADS[name]
    wire = best(pitch, angle)
    model = wire_centre(Screw(diameter, pitch, pitch * starts, (angle, angle), False, left), wire)
    got = seat(
        groove=groove(pitch, starts, (angle, angle)),
        pitch_diameter_mm=diameter,
        wire_diameter_mm=wire,
    )
    assert 2 * got.centre_radius_mm == pytest.approx(2 * model, abs=TENTH_MICROMETRE / 10)


@pytest.mark.parametrize("internal", [False, True], ids=["external", "internal"])
@pytest.mark.parametrize("name", UNSYMMETRICAL)
def test_ball_on_unsymmetrical_flanks(name: str, internal: bool) -> None:
    diameter, pitch, starts, angles = UNSYMMETRICAL[name]
    wire = 0.54 * pitch
    model = ball_centre(Screw(diameter, pitch, pitch * starts, angles, internal), wire, slide=True)
    got = seat(
        groove=groove(pitch, starts, angles, internal=internal),
        pitch_diameter_mm=diameter,
        wire_diameter_mm=wire,
    )
    assert 2 * got.centre_radius_mm == pytest.approx(2 * model, abs=TENTH_MICROMETRE / 10)


@pytest.mark.parametrize("name", ["7/45", "7/45, 5 starts", "3/30, 3 starts"])
def test_free_wire_on_unsymmetrical_flanks(name: str) -> None:
    diameter, pitch, starts, angles = UNSYMMETRICAL[name]
    wire = 0.54 * pitch
    model = wire_centre(Screw(diameter, pitch, pitch * starts, angles), wire, slide=True)
    got = seat(
        groove=groove(pitch, starts, angles), pitch_diameter_mm=diameter, wire_diameter_mm=wire
    )
    assert 2 * got.centre_radius_mm == pytest.approx(2 * model, abs=TENTH_MICROMETRE)


def involute_over_wires(
    diameter: float, pitch: float, lead: float, half_deg: float, wire: float
) -> float:
    """Buckingham's form: the same screw as an involute helical gear, measured over pins."""
    lead_angle = math.atan(lead / (math.pi * diameter))
    starts = math.floor(lead / pitch + 0.5)
    transverse = math.atan(math.tan(math.radians(half_deg)) / math.tan(lead_angle))
    base = diameter / 2 * math.cos(transverse)
    base_helix = math.atan(math.cos(transverse) / math.tan(lead_angle))

    def involute(angle: float) -> float:
        return math.tan(angle) - angle

    wanted = (
        (pitch / 2) / (diameter * math.tan(lead_angle))
        + involute(transverse)
        + wire / (2 * base * math.cos(base_helix))
        - math.pi / starts
    )
    low, high = 0.01, math.pi / 2 - 1e-6
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if involute(middle) < wanted else (low, middle)
    return 2 * base / math.cos(low) + wire


@pytest.mark.parametrize(
    ("name", "apart_um"),
    [("M6", 0.1), ("M10", 0.1), ("Tr40x7", 0.1), ("Acme 1-5", 0.1), ("Tr36x18(P6)", 0.3)],
)
def test_close_to_the_involute_screw(name: str, apart_um: float) -> None:
    """Another surface with the same axial tooth: no more than a few tenths of a micrometre off."""
    diameter, pitch, starts, angle = THREADS[name]
    wire = best(pitch, angle)
    got = seat(
        groove=groove(pitch, starts, (angle, angle)),
        pitch_diameter_mm=diameter,
        wire_diameter_mm=wire,
    )
    other = involute_over_wires(diameter, pitch, pitch * starts, angle, wire)
    assert 2 * got.centre_radius_mm + wire == pytest.approx(other, abs=apart_um / 1000)


@pytest.mark.parametrize(
    ("diameter", "pitch", "starts", "angle", "wire", "reading", "places"),
    [
        # A separate program, written before this one. The first two are in inches.
        (0.9, 0.2, 1, 14.5, 0.10329, 1.030089, 6),
        (1.375, 0.25, 4, 14.5, best(0.25, 14.5), 1.54872, 5),
        (36.5, 7.0, 1, 15.0, 3.623, 41.08270, 5),
    ],
)
def test_readings_of_an_independent_program(
    diameter: float,
    pitch: float,
    starts: int,
    angle: float,
    wire: float,
    reading: float,
    places: int,
) -> None:
    got = seat(
        groove=groove(pitch, starts, (angle, angle)),
        pitch_diameter_mm=diameter,
        wire_diameter_mm=wire,
    )
    assert 2 * got.centre_radius_mm + wire == pytest.approx(reading, abs=0.6 * 10**-places)


@pytest.mark.parametrize(
    ("name", "exact_um"),
    [
        # The same program's table of lead corrections with the best wire, printed to its digits.
        ("M3", 0.73),
        ("M6", 1.45),
        ("M10", 1.73),
        ("M64", 2.55),
        ("Tr20x4", 18.1),
        ("Tr20x8(P4)", 71.6),
        ("Tr36x18(P6)", 162.0),
    ],
)
def test_lead_corrections_of_an_independent_program(name: str, exact_um: float) -> None:
    diameter, pitch, starts, angle = THREADS[name]
    wire = best(pitch, angle)
    of = groove(pitch, starts, (angle, angle))
    got = seat(groove=of, pitch_diameter_mm=diameter, wire_diameter_mm=wire)
    correction = 2 * got.centre_radius_mm - diameter - 2 * simple_centre_height_mm(of, wire)
    digits = 2 if exact_um < 10 else 1
    assert 1000 * correction == pytest.approx(exact_um, abs=0.6 * 10**-digits)


@settings(max_examples=120, deadline=None)
@given(
    steep_deg=st.floats(0.3, 30.0),
    starts=st.integers(1, 8),
    half=st.sampled_from([30.0, 27.5, 23.75, 15.0, 14.5]),
    place=st.floats(0.0, 1.0),
    internal=st.booleans(),
)
def test_any_usable_ball_in_any_accepted_thread(
    steep_deg: float, starts: int, half: float, place: float, internal: bool
) -> None:
    """From the smallest to the largest ball, as steep and coarse as threads are let through."""
    pitch = math.tan(math.radians(steep_deg)) * math.pi * 10.0 / starts
    of = groove_of(
        BareThread(
            pitch_diameter_mm=10.0,
            pitch_mm=pitch,
            starts=starts,
            pressure_flank_angle_deg=half,
            clearance_flank_angle_deg=half,
            side="internal" if internal else "external",
        )
    )
    try:
        check_lead_angle(of, 10.0)
    except OutOfRangeError:
        return
    if pitch > 7.0:  # a groove deeper than the screw
        return
    wires = wire_range(groove=of)
    assert wires.min_mm is not None
    assert wires.max_mm is not None
    wire = wires.min_mm + place * (wires.max_mm - wires.min_mm)
    got = seat(groove=of, pitch_diameter_mm=10.0, wire_diameter_mm=wire)
    model = ball_centre(Screw(10.0, pitch, pitch * starts, (half, half), internal), wire)
    assert 2 * got.centre_radius_mm == pytest.approx(2 * model, abs=TENTH_MICROMETRE)


@settings(max_examples=150, deadline=None)
@given(
    diameter=st.floats(5.0, 200.0),
    pitch_share=st.floats(0.01, 0.2),
    starts=st.integers(1, 4),
    angles=st.sampled_from([(30.0, 30.0), (27.5, 27.5), (15.0, 15.0), (14.5, 14.5), (7.0, 45.0)]),
    size=st.floats(0.98, 1.2),
    internal=st.booleans(),
)
def test_round_trip(
    diameter: float,
    pitch_share: float,
    starts: int,
    angles: tuple[float, float],
    size: float,
    internal: bool,
) -> None:
    pitch = diameter * pitch_share
    if pitch * starts / (math.pi * diameter) > math.tan(math.radians(20)):
        return
    of = groove(pitch, starts, angles, internal=internal)
    wire = size * best(pitch, sum(angles) / 2)
    got = seat(groove=of, pitch_diameter_mm=diameter, wire_diameter_mm=wire)
    back = pitch_diameter_of_centre(
        groove=of, centre_radius_mm=got.centre_radius_mm, wire_diameter_mm=wire
    )
    assert back == pytest.approx(diameter, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(diameter=st.floats(4.0, 100.0), share=st.floats(0.02, 0.15), scale=st.floats(0.03, 30.0))
def test_the_unit_of_length_does_not_matter(diameter: float, share: float, scale: float) -> None:
    pitch = diameter * share
    wire = best(pitch, 30.0)
    one = seat(
        groove=groove(pitch, 1, (30.0, 30.0)), pitch_diameter_mm=diameter, wire_diameter_mm=wire
    )
    other = seat(
        groove=groove(pitch * scale, 1, (30.0, 30.0)),
        pitch_diameter_mm=diameter * scale,
        wire_diameter_mm=wire * scale,
    )
    assert other.centre_radius_mm == pytest.approx(one.centre_radius_mm * scale, rel=1e-12)


def test_wire_too_small_for_its_inverse() -> None:
    """Centres nearer to the axis than the groove's own shift: no thread is left."""
    with pytest.raises(InfeasibleError):
        pitch_diameter_of_centre(
            groove=groove(3.0, 1, (30.0, 30.0)), centre_radius_mm=0.1, wire_diameter_mm=2.0
        )


@pytest.mark.parametrize(
    ("pitch", "starts", "half", "wire"),
    # Steeper than is let through: the equations have a solution two pitches off the flank.
    [(3.276, 5, 14.5, 0.637), (4.718, 3, 14.5, 0.625), (4.916, 3, 27.5, 0.84)],
)
def test_solutions_off_the_flank_are_refused(
    pitch: float, starts: int, half: float, wire: float
) -> None:
    with pytest.raises(InfeasibleError):
        seat(
            groove=groove(pitch, starts, (half, half), internal=True),
            pitch_diameter_mm=10.0,
            wire_diameter_mm=wire * pitch,
        )


def test_no_seat_is_refused() -> None:
    """A ball far wider than the thread inside which it should lie."""
    with pytest.raises(InfeasibleError, match="no wire or ball"):
        seat(
            groove=groove(3.0, 6, (30.0, 30.0), internal=True),
            pitch_diameter_mm=10.0,
            wire_diameter_mm=2.9,
        )
