"""Size correction: worked examples, signs, targets, decisions, refusals."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.sixty_degree_thread import sixty_degree_thread
from threadwright_service.calc.errors import (
    AmbiguousError,
    CalcError,
    InfeasibleError,
    MissingInputError,
    OutOfRangeError,
)
from threadwright_service.calc.measurement.correction.correction_result import SizeCorrection
from threadwright_service.calc.measurement.correction.size_correction import size_correction
from threadwright_service.calc.measurement.gauges.gauge_steps import (
    GaugeResult,
    correction_by_gauge,
)
from threadwright_service.calc.threads.thread import Span, ThreadLimits
from threadwright_service.calc.trail import Trail

# Pitch diameter limits: M10x1.5-6g 8.862 to 8.994 and 6H 9.026 to 9.206 (ISO 965-2).
SCREW = sixty_degree_thread(
    designation="M10-6g", side="external", diameter=10, pitch=1.5, pitch_limits=(8.862, 8.994)
)
NUT = sixty_degree_thread(
    designation="M10-6H", side="internal", diameter=10, pitch=1.5, pitch_limits=(9.026, 9.206)
)


def corrected(thread: ThreadLimits, *sizes_mm: float, **more: Any) -> SizeCorrection:
    return size_correction(thread=thread, pitch_diameters_mm=sizes_mm, **more)


def codes(trail: Trail) -> set[str]:
    return {caution.code for caution in trail.cautions}


def test_worked_example_outside() -> None:
    # Derived by hand: aimed at 8.9277 (0.49773 of the tolerance), 33.5 µm too much over wires.
    aim = (8.9277 - 8.862) / 0.132
    found = corrected(SCREW, 8.9277 + 0.0335, aim_ratio=aim, uncertainty_mm=0.005)
    assert found.excess_mm == pytest.approx(0.0335)
    assert found.radius_correction_mm == pytest.approx(-0.01675)
    assert found.diameter_correction_mm == pytest.approx(-0.0335)
    assert found.expected_pitch_diameter_mm == pytest.approx(8.9277)
    assert found.action == "correct"
    assert found.radius_correction_now_mm == found.radius_correction_mm


def test_worked_example_inside() -> None:
    # Derived by hand: ball centres 8.6812 wanted, 8.655 read, so the pitch diameter is 26.2 µm
    # too small and 26.2 µm of metal are left on.
    found = corrected(NUT, 9.116 - 0.0262, uncertainty_mm=0.005)
    assert found.excess_mm == pytest.approx(0.0262)
    assert found.radius_correction_mm == pytest.approx(-0.0131)
    assert found.expected_pitch_diameter_mm == pytest.approx(9.116)
    assert found.verdict == "accept"


def test_worked_example_of_wear() -> None:
    # Derived by hand: T 132 µm, U = g 5 µm, s 4 µm, drift 0.4 µm a part. Usable band
    # 132 - 10 - 24 = 98 µm, so 245 parts, measured every 40, starting 17 µm above the minimum.
    found = corrected(
        SCREW,
        8.93,
        uncertainty_mm=0.005,
        standard_deviation_mm=0.004,
        known_drift_per_part_mm=0.0004,
        wear_start=True,
    )
    assert found.target.pitch_diameter_mm == pytest.approx(8.862 + 0.017)
    assert found.target.usable_max_mm == pytest.approx(8.994 - 0.017)
    assert found.next_correction_after_parts == 245
    assert found.measure_every_parts == 40
    # The correction when the band is used up goes back over it: 98 µm, 49 on the radius.
    at_the_end = corrected(
        SCREW,
        8.977 - 0.0004,
        uncertainty_mm=0.005,
        standard_deviation_mm=0.004,
        known_drift_per_part_mm=0.0004,
        wear_start=True,
    )
    assert at_the_end.radius_correction_mm == pytest.approx(-0.049)


def test_a_wearing_cutter_starts_at_the_metal_poor_side() -> None:
    # Outside wear makes the pitch diameter grow: start small. Inside it shrinks: start large.
    outside = corrected(SCREW, 8.928, wear_start=True, standard_deviation_mm=0.004)
    inside = corrected(NUT, 9.116, wear_start=True, standard_deviation_mm=0.004)
    assert outside.target.pitch_diameter_mm == pytest.approx(8.862 + 0.012)
    assert inside.target.pitch_diameter_mm == pytest.approx(9.206 - 0.012)
    assert outside.target.aim_ratio < 0.5 < inside.target.aim_ratio
    assert "metal-poor" in outside.target.rule


def test_drift_the_other_way_starts_at_the_other_side() -> None:
    trail = Trail()
    found = corrected(
        SCREW,
        8.93,
        wear_start=True,
        standard_deviation_mm=0.004,
        known_drift_per_part_mm=-0.0004,
        trail=trail,
    )
    assert found.target.pitch_diameter_mm == pytest.approx(8.994 - 0.012)
    assert "drift-against-wear" in codes(trail)


def test_without_a_spread_a_quarter_of_the_tolerance_is_kept() -> None:
    found = corrected(SCREW, 8.93, wear_start=True)
    assert found.target.pitch_diameter_mm == pytest.approx(8.862 + 0.033)
    assert "not known" in found.target.rule


def test_the_middle_is_assumed_and_told() -> None:
    trail = Trail(steps=[])
    found = corrected(SCREW, 8.95, trail=trail)
    assert found.target.pitch_diameter_mm == pytest.approx(8.928)
    assert {"pitch_diameter_aim", "cutter_edge_radius"} <= {
        each.parameter for each in trail.assumptions
    }
    assert {"one-offset", "uncertainty-unknown", "new-cutter"} <= codes(trail)
    assert trail.steps is not None
    assert {"dR", "x", "E_t"} <= {step.symbol for step in trail.steps}
    assert "into the metal" in found.sign


def test_one_part_gives_no_drift_and_says_so() -> None:
    found = corrected(SCREW, 8.95)
    assert found.drift_per_part_mm is None
    assert found.drift_per_part_uncertainty_mm is None
    assert found.next_correction_after_parts is None
    assert "too few parts" in found.next_correction_reason
    assert found.measure_every_parts is None


def test_a_first_part_within_its_uncertainty_is_left_alone() -> None:
    found = corrected(SCREW, 8.928 + 0.004, uncertainty_mm=0.005)
    assert found.action == "leave"
    assert found.radius_correction_now_mm == 0
    assert found.radius_correction_mm == pytest.approx(-0.002)


def test_single_readings_in_the_green_are_not_followed() -> None:
    found = corrected(SCREW, 8.928, 8.934, 8.921, 8.930, 8.948, uncertainty_mm=0.005)
    assert [part.zone for part in found.parts] == ["green"] * 5
    assert found.is_qualified
    assert found.action == "leave"
    assert found.radius_correction_now_mm == 0


def test_two_yellows_on_one_side_are_corrected_and_on_both_sides_stopped() -> None:
    same = corrected(SCREW, 8.93, 8.97, 8.972)
    assert same.action == "correct"
    opposite = corrected(SCREW, 8.93, 8.97, 8.88)
    assert opposite.action == "stop"
    assert opposite.radius_correction_now_mm == 0


def test_zones_count_from_the_last_correction() -> None:
    # The yellow part before the correction does not count with the yellow one after it.
    found = corrected(SCREW, 8.97, 8.97, 8.90, corrections_mm=[0, 0, -0.02])
    assert found.parts[1].zone == "yellow-high"
    assert found.action == "leave"
    # High before and low after a correction that was too large is no sign of spread.
    too_far = corrected(SCREW, 8.97, 8.89, corrections_mm=[0, -0.045])
    assert [part.zone for part in too_far.parts] == ["yellow-high", "yellow-low"]
    assert too_far.action == "correct"


def test_the_spread_of_few_parts_is_widened() -> None:
    # Student's t for three degrees of freedom, 3.182, in place of the normal 1.96.
    found = corrected(SCREW, 8.930, 8.926, 8.931, 8.925, 8.929)
    assert found.drift is not None
    assert found.drift.standard_deviation_mm is not None
    assert found.target.standard_deviation_mm == pytest.approx(
        found.drift.standard_deviation_mm * 3.182 / 1.96
    )


def test_the_mean_is_corrected_with_earlier_corrections_taken_out() -> None:
    # Derived by hand: without corrections the parts have 30, 30 + 8 = 38 and 34 µm left on; the
    # mean of 34 less the 40 taken off is -6 µm.
    found = corrected(SCREW, 8.958, 8.926, 8.922, corrections_mm=[0, -0.020, 0], aim_ratio=0.5)
    assert found.excess_mm == pytest.approx((30 + 38 + 34) / 3e3 - 0.040)


def test_harmonic_rule_for_setting_up() -> None:
    # Grubbs' rule: after part n move the offset by -(deviation of part n)/n. Followed from the
    # first part it equals the correction of the mean (derivation), so each is 1/n of the last.
    sizes, corrections = [8.958], [0.0]
    for deviation in (0.004, -0.006, 0.009):
        found = corrected(SCREW, *sizes, corrections_mm=corrections)
        assert found.radius_correction_mm is not None
        last = sizes[-1] - 8.928
        assert 2 * found.radius_correction_mm == pytest.approx(-last / len(sizes), abs=1e-12)
        corrections.append(found.radius_correction_mm)
        sizes.append(8.928 + deviation)


def test_drift_is_stated_from_five_parts_on() -> None:
    sizes = [8.900 + 0.002 * number for number in range(8)]
    found = corrected(SCREW, *sizes, uncertainty_mm=0.002)
    assert found.drift_per_part_mm == pytest.approx(0.002)
    assert found.drift is not None
    assert found.drift.is_significant
    inside = corrected(NUT, *[9.116 - 0.002 * number for number in range(8)])
    assert inside.drift_per_part_mm == pytest.approx(-0.002)
    # The next part would have one step more; 20 more until 8.994 - 0.002 is reached exactly.
    assert found.excess_mm == pytest.approx(8.916 - 8.928)
    assert found.next_correction_after_parts == 38


def test_gaps_between_measured_parts_count() -> None:
    sizes = [8.900 + 0.0004 * number for number in (1, 6, 11, 16, 21, 26)]
    found = corrected(SCREW, *sizes, part_numbers=[1, 6, 11, 16, 21, 26])
    assert found.drift_per_part_mm == pytest.approx(0.0004)
    assert found.excess_mm == pytest.approx(8.900 + 0.0004 * 27 - 8.928)


def test_corrected_before_the_band_is_left_between_two_checks() -> None:
    # Drift 0.4 µm a part, checked every 50 parts: 20 µm more by the next check.
    numbers = [1, 51, 101, 151, 201, 251]
    sizes = [8.874 + 0.0004 * number for number in numbers]
    seldom = corrected(SCREW, *sizes, part_numbers=numbers, uncertainty_mm=0.002)
    assert seldom.action == "correct"
    # The last part is still good; one check earlier there was nothing to do.
    assert sizes[-1] < 8.994 - 0.002
    earlier = corrected(SCREW, *sizes[:-1], part_numbers=numbers[:-1], uncertainty_mm=0.002)
    assert earlier.action == "leave"


def test_the_gain_follows_a_step_that_falls_short() -> None:
    # Commanded 80 µm, only 60 came off: the next step is 80/60 as large.
    found = corrected(SCREW, 9.008, 8.948, corrections_mm=[0, -0.040], uncertainty_mm=0.004)
    assert found.gain_ratio == pytest.approx(80 / 60)
    assert found.radius_correction_mm == pytest.approx(-(80 / 60) * 0.020 / 2)
    assert found.expected_pitch_diameter_mm == pytest.approx(8.928)


def test_an_offset_entered_in_the_wrong_sense_is_told() -> None:
    trail = Trail()
    found = corrected(
        SCREW, 8.968, 9.030, corrections_mm=[0, -0.030], uncertainty_mm=0.004, trail=trail
    )
    assert "correction-without-effect" in codes(trail)
    assert found.gain_ratio == 1


def test_a_radius_taken_for_a_diameter_is_told_and_limited() -> None:
    trail = Trail()
    found = corrected(
        SCREW, 9.028, 8.978, corrections_mm=[0, -0.050], uncertainty_mm=0.004, trail=trail
    )
    assert "correction-acts-wrongly" in codes(trail)
    assert found.gain_ratio == pytest.approx(2)
    assert found.radius_correction_mm == pytest.approx(-1.5 * 0.050 / 2)
    # The rest that the limited step leaves on is told: 50 x (1 - 1.5/2).
    assert found.expected_pitch_diameter_mm == pytest.approx(8.928 + 0.0125)


def test_a_gain_that_cannot_be_told_from_one_is_one() -> None:
    for second, correction, uncertainty in (
        (8.929, -0.040, 0.004),  # within what can be measured
        (8.93, -0.040, None),  # nothing known of the measurement
        (8.978, -0.030, 0.010),  # half came off, but 14 x 5 µm would be needed to trust it
    ):
        found = corrected(
            SCREW, 9.008, second, corrections_mm=[0, correction], uncertainty_mm=uncertainty
        )
        assert found.gain_ratio == 1


@pytest.mark.parametrize(
    ("size", "advice"),
    [
        (8.960, "not-needed"),
        (8.9935, "wise"),  # undecided: within U of the limit
        (9.010, "wise"),
        (8.850, "impossible"),
    ],
)
def test_whether_to_cut_again(size: float, advice: str) -> None:
    trail = Trail()
    found = corrected(SCREW, size, uncertainty_mm=0.005, trail=trail)
    assert found.recut is not None
    assert found.recut.advice == advice
    assert ("recut-in-register" in codes(trail)) == (advice == "wise")


def test_a_recut_below_the_smallest_chip_is_unwise() -> None:
    # Smallest chip on the flank: 0.3 x 0.015 / sin 30° = 9 µm on the radius. Aimed at 0.95 of the
    # tolerance a part at the limit has 3.3 µm too much on the radius.
    found = corrected(SCREW, 8.9945, aim_ratio=0.95)
    assert found.recut is not None
    assert found.recut.smallest_mm == pytest.approx(0.009)
    assert found.recut.advice == "unwise"
    sharp = corrected(SCREW, 8.9945, aim_ratio=0.95, cutter_edge_radius_mm=0.004)
    assert sharp.recut is not None
    assert sharp.recut.advice == "wise"


def test_verdicts_with_and_without_uncertainty() -> None:
    for size, uncertainty, verdict in (
        (8.990, 0.003, "accept"),
        (8.992, 0.003, "undecided"),
        (8.996, 0.003, "undecided"),
        (8.998, 0.003, "reject"),
        (8.994, None, "accept"),
        (8.9941, None, "reject"),
    ):
        assert corrected(SCREW, size, uncertainty_mm=uncertainty).verdict == verdict, size


def test_a_new_cutter_starts_a_new_series() -> None:
    sizes = [8.92, 8.925, 8.93, 8.935, 8.94, 8.96]
    found = corrected(SCREW, *sizes, cutter_changed_at=6, aim_ratio=0.5)
    assert found.excess_mm == pytest.approx(0.032)
    assert found.drift is not None
    assert found.drift.parts == 1
    assert len(found.parts) == 6
    assert found.action == "correct"


def test_a_step_in_the_series_is_told() -> None:
    trail = Trail()
    sizes = [8.928, 8.930, 8.926, 8.929, 8.927, 8.928, 8.930, 8.960]
    corrected(SCREW, *sizes, trail=trail)
    assert "step" in codes(trail)


def test_a_spread_that_fills_the_tolerance_is_told() -> None:
    trail = Trail()
    found = corrected(SCREW, 8.928, standard_deviation_mm=0.03, wear_start=True, trail=trail)
    assert "spread-too-large" in codes(trail)
    assert found.target.usable_max_mm is None
    assert found.target.pitch_diameter_mm == pytest.approx(8.928)


def test_drift_faster_than_the_band() -> None:
    trail = Trail()
    found = corrected(
        SCREW, 8.93, known_drift_per_part_mm=0.06, standard_deviation_mm=0.004, trail=trail
    )
    assert found.next_correction_after_parts == 0
    assert found.measure_every_parts == 1
    assert "drift-too-fast" in codes(trail)


def test_wires_good_and_go_refusing_is_no_matter_of_size() -> None:
    trail = Trail()
    corrected(SCREW, 8.928, go="refuses", trail=trail)
    assert "lead-or-form" in codes(trail)


def test_inch_and_millimetre_paths_agree() -> None:
    # 3/4-16 UNF-2A: pitch diameter 0.7029 to 0.7079 in (ASME B1.1).
    inch = sixty_degree_thread(
        designation="3/4-16 UNF-2A",
        side="external",
        diameter=0.75,
        pitch=1 / 16,
        pitch_limits=(0.7029, 0.7079),
        unit="in",
    )
    sizes = [0.7065 * 25.4, 0.7055 * 25.4]
    assert corrected(inch, *sizes) == corrected(inch.in_millimetres(), *sizes)


@pytest.mark.parametrize(
    ("arguments", "error", "parameter"),
    [
        ({"pitch_diameters_mm": []}, MissingInputError, "measured"),
        ({"pitch_diameters_mm": [8.93] * 1001}, OutOfRangeError, "measured"),
        ({"pitch_diameters_mm": [math.nan]}, OutOfRangeError, "measured"),
        ({"pitch_diameters_mm": [math.inf]}, OutOfRangeError, "measured"),
        ({"pitch_diameters_mm": [10.2285]}, OutOfRangeError, "measured"),  # over wires
        ({"pitch_diameters_mm": [0.3516]}, OutOfRangeError, "measured"),  # in inches
        ({"uncertainty_mm": -0.001}, OutOfRangeError, "uncertainty"),
        ({"uncertainty_mm": math.nan}, OutOfRangeError, "uncertainty"),
        ({"uncertainty_mm": 0.066}, InfeasibleError, "uncertainty"),
        ({"aim_ratio": 1.2}, OutOfRangeError, "pitch_diameter_aim"),
        ({"aim_ratio": -0.1}, OutOfRangeError, "pitch_diameter_aim"),
        ({"aim_ratio": math.nan}, OutOfRangeError, "pitch_diameter_aim"),
        (
            {"aim_ratio": 0.99, "uncertainty_mm": 0.005},
            OutOfRangeError,
            "pitch_diameter_aim",
        ),
        ({"aim_ratio": 0.5, "wear_start": True}, AmbiguousError, "pitch_diameter_aim"),
        ({"standard_deviation_mm": 0.0}, OutOfRangeError, "standard_deviation"),
        ({"standard_deviation_mm": math.nan}, OutOfRangeError, "standard_deviation"),
        ({"known_drift_per_part_mm": 1.0}, OutOfRangeError, "known_drift_per_part"),
        ({"known_drift_per_part_mm": math.nan}, OutOfRangeError, "known_drift_per_part"),
        ({"cutter_changed_at": 3}, OutOfRangeError, "cutter_changed_at"),
        ({"cutter_edge_radius_mm": 0.0}, OutOfRangeError, "cutter_edge_radius"),
        ({"cutter_edge_radius_mm": 5.0}, OutOfRangeError, "cutter_edge_radius"),
        ({"part_numbers": [1]}, InfeasibleError, "part_numbers"),
        ({"part_numbers": [2, 2]}, OutOfRangeError, "part_numbers"),
        ({"part_numbers": [0, 1]}, OutOfRangeError, "part_numbers"),
        ({"corrections_mm": [0.0]}, InfeasibleError, "corrections"),
        ({"corrections_mm": [0.0, 2.0]}, OutOfRangeError, "corrections"),
        ({"corrections_mm": [0.0, math.nan]}, OutOfRangeError, "corrections"),
    ],
)
def test_refusals(arguments: dict[str, Any], error: type[CalcError], parameter: str) -> None:
    with pytest.raises(error) as refusal:
        size_correction(**{"thread": SCREW, "pitch_diameters_mm": [8.93, 8.94], **arguments})
    assert refusal.value.parameter == parameter
    assert refusal.value.accepted


def test_threads_without_two_limits_are_refused() -> None:
    open_ended = replace(SCREW, limits=replace(SCREW.limits, pitch_diameter=Span(max=9, min=None)))
    nothing = replace(SCREW, limits=replace(SCREW.limits, pitch_diameter=Span(max=9, min=9)))
    for thread, error in (
        (open_ended, MissingInputError),
        (nothing, InfeasibleError),
    ):
        with pytest.raises(error):
            corrected(thread, 8.93)


@given(
    st.lists(st.floats(8.80, 9.06), min_size=1, max_size=12),
    st.floats(0.0, 0.02),
    st.booleans(),
)
def test_outside_and_inside_mirror(
    sizes: list[float], uncertainty: float, wear_start: bool
) -> None:
    """The same metal left on gives the same correction, whichever side it is on."""
    inside = sixty_degree_thread(
        designation="mirror", side="internal", diameter=10, pitch=1.5, pitch_limits=(8.862, 8.994)
    )
    mirrored = [2 * 8.928 - size for size in sizes]
    more: dict[str, Any] = {"uncertainty_mm": uncertainty, "wear_start": wear_start}
    one, other = corrected(SCREW, *sizes, **more), corrected(inside, *mirrored, **more)
    assert one.radius_correction_mm == pytest.approx(other.radius_correction_mm, abs=1e-9)
    assert one.excess_mm == pytest.approx(other.excess_mm, abs=1e-9)
    assert one.recut is not None
    assert other.recut is not None


@given(st.floats(8.80, 9.06), st.floats(0.1, 0.9))
def test_a_first_part_is_corrected_onto_the_target(size: float, aim: float) -> None:
    found = corrected(SCREW, size, aim_ratio=aim)
    assert found.radius_correction_mm is not None
    assert size + 2 * found.radius_correction_mm == pytest.approx(
        found.target.pitch_diameter_mm, abs=1e-9
    )
    assert 2 * found.radius_correction_mm == found.diameter_correction_mm


@given(st.lists(st.floats(8.2, 9.7), min_size=1, max_size=40), st.booleans())
def test_any_series_is_answered_or_refused(sizes: list[float], wear_start: bool) -> None:
    refusal = None
    try:
        found = corrected(SCREW, *sizes, wear_start=wear_start, trail=Trail(steps=[]))
    except CalcError as raised:
        refusal = raised
    if refusal is None:
        assert found.radius_correction_mm is not None
        assert math.isfinite(found.radius_correction_mm)
    else:
        assert refusal.parameter == "measured"


@given(st.floats(-0.05, 0.3))
def test_a_search_by_gauges_ends_inside(start: float) -> None:
    """From any start with metal left on, stepping until GO passes ends in the tolerance."""
    size = 8.994 + start
    just_passed = False
    for _ in range(40):
        go: GaugeResult = "passes" if size <= 8.994 else "refuses"
        not_go: GaugeResult = "passes" if size < 8.862 else "refuses"
        step = correction_by_gauge(thread=SCREW, go=go, not_go=not_go, go_just_passed=just_passed)
        if step.action == "leave":
            break
        size += 2 * step.radius_correction_now_mm
        just_passed = go == "refuses"
    assert 8.862 <= size <= 8.994
    assert step.verdict == "accept"


def test_gauge_steps() -> None:
    first = correction_by_gauge(thread=SCREW, go="refuses")
    assert first.radius_correction_now_mm == pytest.approx(-0.132 / 8)
    assert first.verdict == "reject"
    assert first.pitch_diameter_mm == ()
    assert first.excess_mm is None
    assert len(first.procedure) == 6
    lost = correction_by_gauge(thread=NUT, go="passes", not_go="passes")
    assert lost.radius_correction_now_mm == pytest.approx(0.180 / 8)
    trail = Trail()
    contradiction = correction_by_gauge(thread=SCREW, go="refuses", not_go="passes", trail=trail)
    assert contradiction.action == "stop"
    assert contradiction.radius_correction_now_mm == 0
    assert "lead-or-form" in codes(trail)
    good = correction_by_gauge(thread=SCREW, go="passes", not_go="refuses")
    assert (good.action, good.verdict) == ("leave", "accept")
    with pytest.raises(InfeasibleError) as refusal:
        correction_by_gauge(thread=SCREW, go="passes")
    assert refusal.value.parameter == "gauge_not_go"
