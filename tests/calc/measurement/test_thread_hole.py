"""The hole for an internal thread: limits, percentage, drills, refusals."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.sixty_degree_thread import SIXTY_DEGREES, sixty_degree_thread
from threadwright_service.calc.errors import (
    CalcError,
    InfeasibleError,
    MissingInputError,
    NotTabulatedError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.measurement.holes.drill_series import (
    ALL_SERIES,
    DrillSeries,
    drill_sizes,
    nearest_drills,
    series_named,
)
from threadwright_service.calc.measurement.holes.thread_hole import thread_hole
from threadwright_service.calc.measurement.holes.thread_hole_result import Process
from threadwright_service.calc.measurement.holes.thread_percentage import (
    Convention,
    depth_ratio,
    hole_for_percentage_mm,
    thread_percentage_of_hole,
)
from threadwright_service.calc.threads.thread import Span, ThreadForm
from threadwright_service.calc.trail import Trail
from threadwright_service.calc.units import MM_PER_IN

# Limits: ASME B1.1, 1/4-20 UNC-2B (minor 0.196 to 0.207, pitch 0.2175 to 0.2224) and ISO 965-2,
# M10-6H (minor 8.376 to 8.676, pitch 9.026 to 9.206), as every handbook prints them.
QUARTER_INCH = sixty_degree_thread(
    designation="1/4-20 UNC-2B",
    side="internal",
    diameter=0.25,
    pitch=0.05,
    pitch_limits=(0.2175, 0.2224),
    minor_limits=(0.196, 0.207),
    unit="in",
)
M10 = sixty_degree_thread(
    designation="M10-6H",
    side="internal",
    diameter=10.0,
    pitch=1.5,
    pitch_limits=(9.026, 9.206),
    minor_limits=(8.376, 8.676),
)
TRAPEZOIDAL = ThreadForm(
    name="trapezoidal, 30 degree",
    pressure_flank_angle_deg=15.0,
    clearance_flank_angle_deg=15.0,
    addendum_ratio=0.25,
    dedendum_ratio=0.25,
    external_root_ratio=0.25,
    internal_root_ratio=0.25,
    external_root_flat_ratio=0.366,
    internal_root_flat_ratio=0.366,
)
TR32 = sixty_degree_thread(
    designation="Tr 32x6-7H",
    side="internal",
    diameter=32.0,
    pitch=6.0,
    pitch_limits=(29.0, 29.45),
    minor_limits=(26.0, 26.5),
    form=TRAPEZOIDAL,
)


def test_the_limits_are_those_of_the_minor_diameter_and_the_aim_their_middle() -> None:
    trail = Trail()
    hole = thread_hole(thread=QUARTER_INCH, trail=trail)
    assert hole.hole_diameter.min_mm == pytest.approx(0.196 * MM_PER_IN)
    assert hole.hole_diameter.max_mm == pytest.approx(0.207 * MM_PER_IN)
    assert hole.hole_diameter.aim_mm == pytest.approx(0.2015 * MM_PER_IN)
    # Number 7 (0.2010 in) is the drill of every tap drill table for 1/4-20 UNC.
    assert hole.nearest[0].name == "#7"
    assert {each.parameter for each in trail.assumptions} == {"convention", "thread_percentage"}


@pytest.mark.parametrize(
    ("diameter", "pitch", "minor", "drill"),
    [
        # Tap drills of ISO 2306 (D - P, memory); minor limits 6H of ISO 965-2.
        (3, 0.5, (2.459, 2.599), 2.5),
        (5, 0.8, (4.134, 4.334), 4.2),
        (6, 1.0, (4.917, 5.153), 5.0),
        (8, 1.25, (6.647, 6.912), 6.8),
        (10, 1.5, (8.376, 8.676), 8.5),
        (12, 1.75, (10.106, 10.441), 10.2),
        (16, 2.0, (13.835, 14.210), 14.0),
        # Machine-drawing handbook (public page copy), table of tap drills, metric coarse.
        (20, 2.5, (17.294, 17.744), 17.5),
        (24, 3.0, (20.752, 21.252), 21.0),
        (27, 3.0, (23.752, 24.252), 24.0),
        (30, 3.5, (26.211, 26.771), 26.5),
        (36, 4.0, (31.670, 32.270), 32.0),
    ],
)
def test_the_usual_metric_tap_drill_is_found(
    diameter: float, pitch: float, minor: tuple[float, float], drill: float
) -> None:
    thread = sixty_degree_thread(
        designation=f"M{diameter}-6H",
        side="internal",
        diameter=diameter,
        pitch=pitch,
        pitch_limits=(diameter - 0.65 * pitch, diameter - 0.55 * pitch),
        minor_limits=minor,
    )
    hole = thread_hole(thread=thread, drill_series=["metric"], nearest_count=3)
    found = {near.diameter_mm: near for near in hole.nearest}
    assert found[drill].inside_limits


def test_a_given_hole_by_both_conventions() -> None:
    # Derivation: 0.2010 in leaves (0.25 - 0.2010)/(1.299038 x 0.05) = 75.4 % and
    # (0.25 - 0.2010)/(1.082532 x 0.05) = 90.5 %.
    hole = thread_hole(thread=QUARTER_INCH, hole_diameter_mm=0.2010 * MM_PER_IN)
    assert hole.thread_percentage == pytest.approx(75.44, abs=0.005)
    assert hole.thread_percentage_3h4 == pytest.approx(75.44, abs=0.005)
    assert hole.thread_percentage_5h8 == pytest.approx(90.53, abs=0.005)
    assert hole.given is not None
    assert hole.given.inside_limits
    assert hole.given.drills == ("#7",)
    by_basic = thread_hole(
        thread=QUARTER_INCH, hole_diameter_mm=0.2010 * MM_PER_IN, convention="5H/8"
    )
    assert by_basic.thread_percentage == hole.thread_percentage_5h8
    assert by_basic.hole_diameter == hole.hole_diameter


def test_a_percentage_outside_the_limits_is_answered_and_told() -> None:
    trail = Trail(steps=[])
    hole = thread_hole(thread=QUARTER_INCH, thread_percentage=100, convention="3H/4", trail=trail)
    assert hole.hole_diameter.aim_mm / MM_PER_IN == pytest.approx(0.25 - 1.29904 / 20, abs=1e-6)
    assert "hole-outside-limits" in {each.code for each in trail.cautions}
    assert trail.steps
    assert "thread_percentage" not in {each.parameter for each in trail.assumptions}


def test_the_limits_themselves_are_inside() -> None:
    for hole_mm, inside in ((8.376, True), (8.676, True), (8.375, False), (8.677, False)):
        hole = thread_hole(thread=M10, hole_diameter_mm=hole_mm)
        assert hole.given is not None
        assert hole.given.inside_limits is inside


def test_forming() -> None:
    trail = Trail()
    hole = thread_hole(thread=M10, process="form-tap", trail=trail)
    # The rule 65 % is D - 0.442 P and 75 % is D - 0.51 P (memory), middle D - 0.476 P.
    assert hole.hole_diameter.max_mm == pytest.approx(10 - 0.442 * 1.5)
    assert hole.hole_diameter.min_mm == pytest.approx(10 - 0.510 * 1.5)
    assert hole.hole_diameter.aim_mm == pytest.approx(10 - 0.476 * 1.5)
    assert hole.thread_percentage == pytest.approx(70)
    assert hole.thread_percentage_3h4 is None
    assert "forming-rule" in {each.code for each in trail.cautions}
    too_small = Trail()
    thread_hole(thread=M10, process="form-tap", hole_diameter_mm=9.0, trail=too_small)
    assert "over-fill" in {each.code for each in too_small.cautions}


def test_over_filling_by_a_numeric_balance_of_areas() -> None:
    # Independent: cut the basic profile into thin layers and find the wall at which the metal that
    # the tap's ridges push away fills the grooves between them exactly.
    hole = thread_hole(thread=M10, process="form-tap")
    pitch, height = 1.5, 5 / 8 * math.sqrt(3) / 2 * 1.5
    layers = 20_000
    step = height / layers
    ridge = [pitch / 4 + 2 * (i + 0.5) * step * math.tan(math.pi / 6) for i in range(layers)]
    filled, pushed = 0.0, sum((pitch - width) * step for width in ridge)
    for i, width in enumerate(ridge):
        filled += width * step
        pushed -= (pitch - width) * step
        if filled >= pushed:
            wall = 10 - 2 * height + 2 * (i + 0.5) * step
            break
    assert hole.over_fill_below_mm == pytest.approx(wall, abs=1e-4)
    assert hole.over_fill_below_mm == pytest.approx(10 - 0.609 * 1.5, abs=1e-3)


def test_other_forms_count_their_own_depth() -> None:
    # Trapezoidal: full depth P/2, so the basic minor diameter D - P is 100 %.
    hole = thread_hole(thread=TR32, hole_diameter_mm=26.0)
    assert hole.convention == "basic"
    assert hole.thread_percentage == pytest.approx(100)
    assert hole.thread_percentage_3h4 is None
    assert hole.thread_percentage_5h8 is None


@pytest.mark.parametrize(
    ("process", "convention"), [("cut-tap", "3H/4"), ("thread-mill", "5H/8"), ("form-tap", None)]
)
def test_inch_and_millimetre_paths_agree(process: Process, convention: Convention | None) -> None:
    one = thread_hole(thread=QUARTER_INCH, process=process, convention=convention)
    other = thread_hole(
        thread=QUARTER_INCH.in_millimetres(), process=process, convention=convention
    )
    assert one == other


def test_refusals() -> None:
    external = sixty_degree_thread(
        designation="M10-6g", side="external", diameter=10, pitch=1.5, pitch_limits=(8.862, 8.994)
    )
    tapered = replace(M10, form=replace(SIXTY_DEGREES, taper_ratio=1 / 16))
    open_ended = replace(M10, limits=replace(M10.limits, minor_diameter=Span(max=None, min=8.376)))
    with pytest.raises(InfeasibleError) as refusal:
        thread_hole(thread=external)
    assert refusal.value.parameter == "tolerance_class"
    with pytest.raises(NotTabulatedError):
        thread_hole(thread=tapered)
    with pytest.raises(MissingInputError) as missing:
        thread_hole(thread=open_ended)
    assert missing.value.parameter == "thread_percentage"
    assert thread_hole(thread=open_ended, thread_percentage=70).hole_diameter.max_mm is None
    with pytest.raises(InfeasibleError):
        thread_hole(thread=TR32, process="form-tap")
    with pytest.raises(InfeasibleError):
        thread_hole(thread=TR32, convention="5H/8")
    with pytest.raises(InfeasibleError):
        thread_hole(thread=M10, process="form-tap", convention="5H/8")
    with pytest.raises(UnknownDesignationError):
        thread_hole(thread=M10, process="punch")  # type: ignore[arg-type]
    with pytest.raises(UnknownDesignationError):
        thread_hole(thread=M10, convention="7H/8")  # type: ignore[arg-type]
    with pytest.raises(UnknownDesignationError):
        depth_ratio("basic")
    with pytest.raises(UnknownDesignationError):
        series_named("barrel")


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf, 0.0, -1.0, 1e9])
def test_numbers_that_are_no_sizes(number: float) -> None:
    with pytest.raises(OutOfRangeError):
        thread_hole(thread=M10, hole_diameter_mm=number)
    with pytest.raises(OutOfRangeError):
        thread_hole(thread=M10, thread_percentage=number)
    with pytest.raises(OutOfRangeError):
        thread_hole(thread=M10, process="form-tap", thread_percentage=number)
    with pytest.raises(OutOfRangeError):
        nearest_drills(diameter_mm=number)
    with pytest.raises(CalcError):
        hole_for_percentage_mm(
            nominal_diameter_mm=10, pitch_mm=number, thread_percentage=75, convention="3H/4"
        )


def test_a_pitch_too_coarse_for_the_diameter() -> None:
    with pytest.raises(OutOfRangeError, match="too coarse"):
        hole_for_percentage_mm(
            nominal_diameter_mm=1, pitch_mm=1, thread_percentage=100, convention="3H/4"
        )


@given(
    st.floats(1, 300),
    st.floats(0.05, 0.4),
    st.floats(1, 100),
    st.sampled_from(["3H/4", "5H/8"]),
)
def test_percentage_there_and_back(
    diameter: float, share: float, percentage: float, convention: Convention
) -> None:
    pitch = share * diameter
    hole = hole_for_percentage_mm(
        nominal_diameter_mm=diameter,
        pitch_mm=pitch,
        thread_percentage=percentage,
        convention=convention,
    )
    back = thread_percentage_of_hole(
        nominal_diameter_mm=diameter, pitch_mm=pitch, hole_diameter_mm=hole, convention=convention
    )
    assert back == pytest.approx(percentage, rel=1e-9)


@given(st.floats(0.2, 100), st.sampled_from(ALL_SERIES))
def test_no_drill_of_a_series_is_nearer_than_the_nearest(
    diameter: float, series: DrillSeries
) -> None:
    nearest = nearest_drills(diameter_mm=diameter, series=[series], count=1)[0]
    assert all(
        abs(nearest.diameter_mm - diameter) <= abs(size.diameter_mm - diameter)
        for size in drill_sizes(series)
    )


def test_nearest_sizes_come_in_order_and_once() -> None:
    found = nearest_drills(diameter_mm=6.35, series=["letter", "fractional", "letter"], count=9)
    assert len({(size.series, size.name) for size in found}) == 9
    away = [abs(size.diameter_mm - 6.35) for size in found]
    assert away == sorted(away)
    assert {found[0].name, found[1].name} == {"E", "1/4"}
    with pytest.raises(OutOfRangeError):
        nearest_drills(diameter_mm=6.35, count=0)


@pytest.mark.parametrize("series", ALL_SERIES)
def test_every_series_rises(series: DrillSeries) -> None:
    for smaller, larger in pairwise(drill_sizes(series)):
        assert smaller.diameter_mm < larger.diameter_mm


def test_a_hole_beyond_the_drills_lists_none() -> None:
    trail = Trail()
    wide = sixty_degree_thread(
        designation="M300x6-6H",
        side="internal",
        diameter=300,
        pitch=6,
        pitch_limits=(296.1, 296.5),
        minor_limits=(293.5, 294.3),
    )
    assert thread_hole(thread=wide, trail=trail).nearest == ()
    assert "no-standard-drill" in {each.code for each in trail.cautions}


def test_fractions_are_written_as_drills_are_marked() -> None:
    names = [size.name for size in drill_sizes("fractional")]
    assert {"1/64", "13/64", "1", "1 1/64", "1 3/4", "3 1/2"} <= set(names)
