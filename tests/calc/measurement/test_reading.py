"""From a reading to a pitch diameter, an uncertainty and a verdict."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.groove_model import Screw, ball_centre
from support.sample_threads import m10_6g, m10_6h, unc_3_4_2a
from threadwright_service.calc.errors import AmbiguousError, InfeasibleError, OutOfRangeError
from threadwright_service.calc.measurement.acceptance import acceptance, verdict
from threadwright_service.calc.measurement.temperature import (
    reading_at_reference_mm,
    temperature_correction_mm,
)
from threadwright_service.calc.measurement.uncertainty import (
    MeasuringErrors,
    sensitivities,
    uncertainty_budget,
)
from threadwright_service.calc.measurement.wires.groove import BareThread, Groove
from threadwright_service.calc.measurement.wires.reading import pitch_diameter_from_reading
from threadwright_service.calc.measurement.wires.wire_measurement import wire_measurement
from threadwright_service.calc.measurement.wires.wires import Setup
from threadwright_service.calc.threads.thread import Span
from threadwright_service.calc.trail import Trail

LIMITS = Span(max=8.9937, min=8.8617)
M10 = Groove(
    side="external",
    pitch_mm=1.5,
    lead_mm=1.5,
    pressure_flank_angle_deg=30.0,
    clearance_flank_angle_deg=30.0,
)


def setup(wire: float = 0.866, **more: Any) -> Setup:
    made = {"method": "three-wire", "wire_diameter_mm": wire, "opposite_wire_diameter_mm": wire}
    return Setup(**{**made, **more})


class TestReading:
    def test_correction_example(self) -> None:
        """M10x1.5, wire 0.866: 10.262 is 0.0335 mm above the middle, read as 10.2285."""
        screw = BareThread(
            pitch_diameter_mm=8.9277,
            pitch_mm=1.5,
            pressure_flank_angle_deg=30.0,
            clearance_flank_angle_deg=30.0,
        )
        at = [
            pitch_diameter_from_reading(thread=screw, measured_mm=measured, wire_diameter_mm=0.866)
            for measured in (10.2285, 10.262)
        ]
        assert at[1] - at[0] == pytest.approx(0.0335, rel=1e-3)
        assert at[0] == pytest.approx(8.9277, abs=1e-4)

    def test_internal_example(self) -> None:
        """M10x1.5-6H, ball 0.866: 8.655 is 0.0262 below the middle, whose reading is 8.6812."""
        got = pitch_diameter_from_reading(
            thread=m10_6h(), measured_mm=8.655, wire_diameter_mm=0.866
        )
        assert got - 9.116 == pytest.approx(-0.0262, abs=1e-4)

    def test_three_wires_are_the_default_outside_and_balls_inside(self) -> None:
        outside = pitch_diameter_from_reading(
            thread=m10_6g(), measured_mm=10.23, wire_diameter_mm=0.866
        )
        named = pitch_diameter_from_reading(
            thread=m10_6g(), measured_mm=10.23, wire_diameter_mm=0.866, method="three-wire"
        )
        assert outside == named
        with pytest.raises(InfeasibleError):
            pitch_diameter_from_reading(
                thread=m10_6h(), measured_mm=8.68, wire_diameter_mm=0.866, method="two-wire"
            )

    @given(st.floats(8.862, 8.994))
    def test_agrees_with_the_operation(self, size: float) -> None:
        read = wire_measurement(
            thread=BareThread(
                pitch_diameter_mm=size,
                pitch_mm=1.5,
                pressure_flank_angle_deg=30.0,
                clearance_flank_angle_deg=30.0,
            ),
            wire_diameter_mm=0.9,
        ).reading.aim_mm
        back = pitch_diameter_from_reading(thread=m10_6g(), measured_mm=read, wire_diameter_mm=0.9)
        assert back == pytest.approx(size, abs=1e-9)


class TestAcceptance:
    @pytest.mark.parametrize(
        ("limits", "uncertainty", "ratio"),
        # 132, 75 and 48 µm against U = 5 µm.
        [
            (LIMITS, 0.005, 13.2),
            (Span(max=2.655, min=2.580), 0.005, 7.5),
            (Span(max=2.675, min=2.627), 0.005, 4.8),
        ],
        ids=["M10-6g", "M3-6g", "M3-4h"],
    )
    def test_ratio(self, limits: Span, uncertainty: float, ratio: float) -> None:
        judged = acceptance(limits=limits, uncertainty_mm=uncertainty)
        assert judged.tolerance_to_uncertainty_ratio == pytest.approx(ratio, abs=0.05)

    def test_guard_banded_zone(self) -> None:
        """8.8667 to 8.9887: 7.6 % of the tolerance given away."""
        judged = acceptance(limits=LIMITS, uncertainty_mm=0.005)
        zone = judged.pitch_diameter
        assert zone.min_mm == pytest.approx(8.8667)
        assert zone.max_mm == pytest.approx(8.9887)
        assert zone.min_mm is not None
        assert zone.max_mm is not None
        assert 1 - (zone.max_mm - zone.min_mm) / 0.132 == pytest.approx(0.076, abs=5e-4)

    @pytest.mark.parametrize(
        ("size", "expected"),
        [
            (8.8566, "reject"),
            (8.8568, "undecided"),
            (8.8617, "undecided"),
            (8.8666, "undecided"),
            (8.8667, "accept"),
            (8.9277, "accept"),
            (8.9887, "accept"),
            (8.9888, "undecided"),
            (8.9986, "undecided"),
            (8.9988, "reject"),
        ],
    )
    def test_verdict_on_both_sides_of_every_boundary(self, size: float, expected: str) -> None:
        judged = acceptance(limits=LIMITS, uncertainty_mm=0.005)
        assert verdict(pitch_diameter_mm=size, limits=LIMITS, judged=judged) == expected

    @pytest.mark.parametrize(
        ("size", "expected"),
        [(8.8616, "reject"), (8.8617, "accept"), (8.9937, "accept"), (8.9938, "reject")],
    )
    def test_simple_acceptance(self, size: float, expected: str) -> None:
        judged = acceptance(limits=LIMITS, uncertainty_mm=0.005, rule="simple")
        assert verdict(pitch_diameter_mm=size, limits=LIMITS, judged=judged) == expected

    @pytest.mark.parametrize(("uncertainty", "allowed"), [(0.0164, True), (0.0166, False)])
    def test_simple_acceptance_needs_four_to_one(self, uncertainty: float, allowed: bool) -> None:
        """132 / (2 x 16.5) = 4."""
        if allowed:
            assert (
                acceptance(limits=LIMITS, uncertainty_mm=uncertainty, rule="simple").guard_band_mm
                == 0.0
            )
        else:
            with pytest.raises(InfeasibleError, match="4 to 1"):
                acceptance(limits=LIMITS, uncertainty_mm=uncertainty, rule="simple")

    def test_no_zone_left(self) -> None:
        judged = acceptance(limits=LIMITS, uncertainty_mm=0.07)
        assert judged.zone_is_empty
        assert judged.pitch_diameter.max_mm is None
        assert verdict(pitch_diameter_mm=8.9277, limits=LIMITS, judged=judged) == "undecided"

    def test_one_sided_limit(self) -> None:
        limits = Span(max=None, min=8.0)
        judged = acceptance(limits=limits, uncertainty_mm=0.01)
        assert judged.tolerance_to_uncertainty_ratio is None
        assert verdict(pitch_diameter_mm=20.0, limits=limits, judged=judged) == "accept"
        assert verdict(pitch_diameter_mm=7.9, limits=limits, judged=judged) == "reject"

    @pytest.mark.parametrize(
        ("change", "parameter"),
        [
            ({"uncertainty_mm": -0.001}, "uncertainty"),
            ({"uncertainty_mm": 0.001, "guard_band_ratio": 1.6}, "guard_band_share"),
            ({"uncertainty_mm": 0.001, "guard_band_ratio": -0.1}, "guard_band_share"),
        ],
    )
    def test_bad_input(self, change: dict[str, Any], parameter: str) -> None:
        with pytest.raises(OutOfRangeError) as refused:
            acceptance(limits=LIMITS, **change)
        assert refused.value.parameter == parameter

    @given(
        uncertainty=st.floats(0.0, 0.05),
        wider=st.floats(0.0, 0.05),
        size=st.floats(8.8, 9.1),
    )
    def test_more_uncertainty_never_accepts_more(
        self, uncertainty: float, wider: float, size: float
    ) -> None:
        less = acceptance(limits=LIMITS, uncertainty_mm=uncertainty)
        more = acceptance(limits=LIMITS, uncertainty_mm=uncertainty + wider)
        with_more = verdict(pitch_diameter_mm=size, limits=LIMITS, judged=more)
        with_less = verdict(pitch_diameter_mm=size, limits=LIMITS, judged=less)
        assert with_more in ("undecided", with_less)


class TestOperation:
    @pytest.mark.parametrize(
        ("measured", "expected"), [(10.25, "accept"), (10.295, "undecided"), (10.31, "reject")]
    )
    def test_verdict_of_a_reading(self, measured: float, expected: str) -> None:
        """8.994 reads 10.2948 over 0.866; U = 5 µm."""
        got = wire_measurement(
            thread=m10_6g(), wire_diameter_mm=0.866, measured_mm=measured, uncertainty_mm=0.005
        )
        assert got.verdict == expected

    def test_accepted_readings_are_readings_of_the_zone(self) -> None:
        got = wire_measurement(thread=m10_6g(), wire_diameter_mm=0.866, uncertainty_mm=0.005)
        for reading, size in (
            (got.reading_accepted.max_mm, 8.989),
            (got.reading_accepted.min_mm, 8.867),
        ):
            assert reading is not None
            back = pitch_diameter_from_reading(
                thread=m10_6g(), measured_mm=reading, wire_diameter_mm=0.866
            )
            assert back == pytest.approx(size, abs=1e-9)

    def test_reading_at_a_limit_is_accepted_whatever_the_unit(self) -> None:
        """The limit itself is inside, also after the way through inches."""
        thread = unc_3_4_2a()
        plain = wire_measurement(thread=thread)
        for reading in (plain.reading.max_mm, plain.reading.min_mm):
            got = wire_measurement(thread=thread, measured_mm=reading, uncertainty_mm=0.0)
            assert got.verdict == "accept"

    def test_what_is_left_to_the_go_limit(self) -> None:
        outside = wire_measurement(thread=m10_6g(), measured_mm=10.2285, wire_diameter_mm=0.866)
        assert outside.pitch_diameter_mm is not None
        assert outside.left_to_go_limit_mm == pytest.approx(8.994 - outside.pitch_diameter_mm)
        inside = wire_measurement(thread=m10_6h(), measured_mm=8.655, wire_diameter_mm=0.866)
        assert inside.pitch_diameter_mm is not None
        assert inside.left_to_go_limit_mm == pytest.approx(inside.pitch_diameter_mm - 9.026)
        assert outside.deviation_from_aim_mm == pytest.approx(outside.pitch_diameter_mm - 8.928)

    def test_no_limits_no_verdict(self) -> None:
        got = wire_measurement(
            thread=BareThread(
                pitch_diameter_mm=20.0,
                pitch_mm=2.0,
                pressure_flank_angle_deg=30.0,
                clearance_flank_angle_deg=30.0,
            ),
            measured_mm=21.9,
        )
        assert got.verdict is None
        assert got.acceptance is None
        assert got.pitch_diameter_mm is not None

    def test_uncertainty_from_errors(self) -> None:
        errors = MeasuringErrors(instrument_half_width_mm=0.003, repeatability_mm=0.0015)
        got = wire_measurement(thread=m10_6g(), measured_mm=10.25, errors=errors)
        assert got.uncertainty is not None
        assert got.acceptance is not None
        # 2 sqrt((0.003 / sqrt 3)² + 0.0015²)
        by_hand = 2 * math.sqrt(0.003**2 / 3 + 0.0015**2)
        assert got.uncertainty.uncertainty_mm == pytest.approx(by_hand, rel=1e-12)
        assert got.acceptance.guard_band_mm == pytest.approx(by_hand, rel=1e-12)
        with pytest.raises(AmbiguousError):
            wire_measurement(thread=m10_6g(), errors=errors, uncertainty_mm=0.005)

    def test_temperature(self) -> None:
        """Aluminium at 30 degrees: 10 K x (23 - 11.5) 1e-6 x 10.25 = 1.18 µm less."""
        trail = Trail(steps=[])
        cold = wire_measurement(thread=m10_6g(), measured_mm=10.25)
        warm = wire_measurement(
            thread=m10_6g(),
            measured_mm=10.25,
            temperature_c=30.0,
            part_expansion_per_k=23e-6,
            trail=trail,
        )
        assert cold.pitch_diameter_mm is not None
        assert warm.pitch_diameter_mm is not None
        off = 1000 * (cold.pitch_diameter_mm - warm.pitch_diameter_mm)
        assert off == pytest.approx(1.18, abs=0.005)


class TestUncertainty:
    def test_workshop_example(self) -> None:
        """0.003 rectangular, wires 0.0005, pitch 0.002, angle 0.25 deg at 0.03 off the best,
        repeat 0.0015, 0.2 µm of temperature: u about 0.0026, U about 0.005 mm.
        """
        budget = uncertainty_budget(
            groove=M10,
            setup=setup(0.896),
            best_wire_diameter_mm=0.8660254,
            pitch_diameter_mm=8.928,
            errors=MeasuringErrors(
                instrument_half_width_mm=0.003,
                wire_uncertainty_mm=0.0005,
                pitch_half_width_mm=0.002,
                flank_angle_half_width_deg=0.25,
                repeatability_mm=0.0015,
                temperature_half_width_k=2.0,
                expansion_difference_per_k=11.5e-6,
            ),
        )
        assert budget.standard_uncertainty_mm == pytest.approx(0.0026, abs=6e-5)
        assert budget.uncertainty_mm == pytest.approx(0.005, abs=3e-4)
        by_name = {part.name: part.contribution_mm for part in budget.components}
        assert by_name["wires"] == pytest.approx(3 * 0.00025)
        assert by_name["instrument"] == pytest.approx(0.003 / math.sqrt(3))
        assert by_name["pitch"] == pytest.approx(0.8660254 * 0.002 / math.sqrt(3))
        assert by_name["temperature"] < 0.2e-3

    def test_lines_without_an_error_are_left_out(self) -> None:
        budget = uncertainty_budget(
            groove=M10,
            setup=setup(),
            best_wire_diameter_mm=0.866,
            pitch_diameter_mm=8.928,
            errors=MeasuringErrors(instrument_half_width_mm=0.003),
        )
        assert [part.name for part in budget.components] == ["instrument"]

    @pytest.mark.parametrize("half", [30.0, 27.5, 15.0, 14.5])
    @pytest.mark.parametrize("internal", [False, True], ids=["external", "internal"])
    def test_angle_sensitivity_against_dense_sampling(self, half: float, internal: bool) -> None:
        """The ball's seat in a thread whose half angles are off, read with the nominal angles."""
        pitch, diameter, turn = 2.0, 400.0, 0.02
        best = pitch / 2 / math.cos(math.radians(half))
        wire = 1.1 * best
        seats = [
            ball_centre(Screw(diameter, pitch, pitch, (angle, angle), internal), wire)
            for angle in (half - turn, half + turn)
        ]
        # dE of a fixed reading is minus the seat's move at a fixed E.
        by_model = -2 * (seats[1] - seats[0]) / (2 * turn) * 1000
        got = sensitivities(
            groove=Groove(
                side="internal" if internal else "external",
                pitch_mm=pitch,
                lead_mm=pitch,
                pressure_flank_angle_deg=half,
                clearance_flank_angle_deg=half,
            ),
            setup=setup(wire, method="balls"),
            best_wire_diameter_mm=best,
        )
        assert got.flank_angle_um_per_deg == pytest.approx(by_model, rel=2e-3)

    @pytest.mark.parametrize(
        ("method", "internal", "more", "on_wire"),
        [
            # From E = M - W (1 + csc A) + ..., T + ... - W (csc A - 1), 2 M1 - D - W (1 + csc A),
            # m + W csc A, m_o + W (csc A - 1), at 60 degrees.
            ("three-wire", False, {}, -3.0),
            ("two-wire", False, {}, -3.0),
            (
                "two-wire",
                False,
                {"standard_cylinder_mm": 9.0, "standard_reading_mm": 1.0},
                -1.0,
            ),
            ("one-wire", False, {"major_diameter_measured_mm": 9.9}, -3.0),
            ("balls", True, {}, 2.0),
            ("balls", True, {"ball_reading": "over-balls"}, 1.0),
        ],
    )
    def test_wire_and_reading_by_finite_difference(
        self, method: Any, internal: bool, more: dict[str, Any], on_wire: float
    ) -> None:
        """The stated sensitivities, the formulas and the inverse agree."""
        of = Groove(
            side="internal" if internal else "external",
            pitch_mm=1.5,
            lead_mm=1.5,
            pressure_flank_angle_deg=30.0,
            clearance_flank_angle_deg=30.0,
        )
        got = sensitivities(
            groove=of, setup=setup(method=method, **more), best_wire_diameter_mm=0.866
        )
        assert got.wire_diameter_ratio == pytest.approx(on_wire, abs=1e-9)
        thread = BareThread(
            pitch_diameter_mm=300.0,
            pitch_mm=1.5,
            pressure_flank_angle_deg=30.0,
            clearance_flank_angle_deg=30.0,
            side=of.side,
        )
        if "major_diameter_measured_mm" in more:
            more = {"major_diameter_measured_mm": 301.0}

        def size(measured: float, wire: float) -> float:
            return pitch_diameter_from_reading(
                thread=thread, measured_mm=measured, wire_diameter_mm=wire, method=method, **more
            )

        step = 1e-4
        by_wire = (size(300.0, 0.866 + step) - size(300.0, 0.866 - step)) / (2 * step)
        by_reading = (size(300.0 + step, 0.866) - size(300.0 - step, 0.866)) / (2 * step)
        assert by_wire == pytest.approx(on_wire, abs=1e-4)
        assert by_reading == pytest.approx(got.reading_ratio, abs=1e-4)

    @pytest.mark.parametrize(
        ("change", "parameter"),
        [
            ({"instrument_half_width_mm": -0.001}, "instrument_error"),
            ({"coverage_factor_ratio": 3.5}, "coverage_factor"),
            ({"repeatability_mm": math.nan}, "repeatability"),
        ],
    )
    def test_bad_errors(self, change: dict[str, float], parameter: str) -> None:
        errors = MeasuringErrors(**{"instrument_half_width_mm": 0.003, **change})
        with pytest.raises(OutOfRangeError) as refused:
            uncertainty_budget(
                groove=M10,
                setup=setup(),
                best_wire_diameter_mm=0.866,
                pitch_diameter_mm=8.928,
                errors=errors,
            )
        assert refused.value.parameter == parameter

    @pytest.mark.parametrize("temperature", [-21.0, 81.0])
    def test_temperature_range(self, temperature: float) -> None:
        with pytest.raises(OutOfRangeError):
            temperature_correction_mm(diameter_mm=10.0, temperature_c=temperature)

    def test_steel_is_assumed_and_said(self) -> None:
        trail = Trail(steps=[])
        got = reading_at_reference_mm(measured_mm=10.0, temperature_c=30.0, trail=trail)
        assert got == 10.0
        assert trail.assumptions[0].parameter == "part_expansion"
        assert reading_at_reference_mm(measured_mm=10.0, temperature_c=None) == 10.0
        assert reading_at_reference_mm(measured_mm=10.0, temperature_c=30.0) == 10.0
