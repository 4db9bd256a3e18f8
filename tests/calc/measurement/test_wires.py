"""Wires for a groove, methods of measuring, choice from sizes on hand, and the operation."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from support.groove_model import Screw, ball_centre
from support.sample_threads import (
    ISO_FORM,
    WHITWORTH_FORM,
    m10_6g,
    m10_6h,
    stub_acme_3_2,
    thread,
    trapezoid,
    unc_3_4_2a,
)
from threadwright_service.calc.errors import (
    AmbiguousError,
    CalcError,
    InfeasibleError,
    MissingInputError,
    OutOfRangeError,
)
from threadwright_service.calc.measurement.wires.groove import BareThread, Groove, groove_of
from threadwright_service.calc.measurement.wires.measuring_force import (
    crossed_cylinders_approach_mm,
    flattening_mm,
    measuring_force,
)
from threadwright_service.calc.measurement.wires.pins import choose_pins
from threadwright_service.calc.measurement.wires.wire_measurement import wire_measurement
from threadwright_service.calc.measurement.wires.wire_range import WireRange, wire_range
from threadwright_service.calc.measurement.wires.wire_result import WireMeasurement
from threadwright_service.calc.measurement.wires.wires import lead_correction_quadratic_mm
from threadwright_service.calc.threads.thread import Span, ThreadForm
from threadwright_service.calc.trail import Trail


def bare(
    half_deg: float = 30.0,
    *,
    diameter: float = 40.0,
    pitch: float = 1.0,
    starts: int = 1,
    **more: object,
) -> BareThread:
    return BareThread(
        pitch_diameter_mm=diameter,
        pitch_mm=pitch,
        pressure_flank_angle_deg=half_deg,
        clearance_flank_angle_deg=half_deg,
        starts=starts,
        **more,  # type: ignore[arg-type]
    )


def ranged(thread_of_form: ThreadForm) -> WireRange:
    """The wires for a pitch of 1 and a large diameter in this form."""
    made = thread(
        designation="",
        form=thread_of_form,
        major=40.0,
        pitch_diameter=40.0 - 2 * thread_of_form.addendum_ratio,
        minor=39.0,
        pitch=1.0,
        limits=((None, None), (None, None), (None, None)),
    )
    return wire_range(groove=groove_of(made))


class TestWireRange:
    @pytest.mark.parametrize(
        ("form", "smallest", "best", "largest"),
        [
            # By hand from the form's angles: (2 a + cot(A)/2) / (1 + csc A), 1/(2 cos A),
            # 2 (1/4 + y tan A) / cos A with y the end of the straight flank.
            (ISO_FORM, 0.505181, 0.577350, 1.010363),
            (WHITWORTH_FORM, 0.505679, 0.563691, 0.85272),
            (trapezoid(15.0, 0.5, "Tr"), 0.486466, 0.517638, 0.656339),
            (trapezoid(14.5, 0.5, "Acme"), 0.487263, 0.516450, 0.650013),
        ],
        ids=["60", "Whitworth", "Tr", "Acme"],
    )
    def test_shares_of_the_pitch(
        self, form: ThreadForm, smallest: float, best: float, largest: float
    ) -> None:
        wires = ranged(form)
        assert wires.min_mm == pytest.approx(smallest, abs=1.5e-6)
        assert wires.best_mm == pytest.approx(best, abs=1e-6)
        assert wires.max_mm == pytest.approx(largest, abs=2e-5)
        assert "crest" in wires.min_reason

    def test_ba_by_its_known_form(self) -> None:
        """0.6 pitch deep, rounded tangent to the flanks: r = 0.18083 (2/11 in the older text).

        Straight flank to 0.3 - 0.18083 (1 - sin 23.75) above the pitch line.
        """
        wires = wire_range(groove=groove_of(bare(23.75)))
        assert wires.best_mm == pytest.approx(0.546262, abs=1e-6)
        assert wires.max_mm == pytest.approx(0.73086, abs=1e-5)
        assert wires.max_mm == pytest.approx(0.73029, abs=1e-3)  # with 2/11
        assert wires.min_mm == pytest.approx(0.498525, abs=1e-6)

    def test_stub_acme_wires_must_clear_the_root(self) -> None:
        """A wire laid into the bare V by brute force just touches the root line at the smallest."""
        wires = ranged(trapezoid(14.5, 0.3, "stub Acme"))
        assert wires.min_mm is not None
        assert wires.max_mm == pytest.approx(0.596588, abs=1e-6)
        assert "root" in wires.min_reason
        assert wires.min_mm > wires.best_mm
        flat = Screw(4000.0, 1.0, 0.0, (14.5, 14.5))
        for size, clears in ((0.999, False), (1.001, True)):
            wire = size * wires.min_mm
            lowest = ball_centre(flat, wire) - wire / 2
            assert (lowest > 2000.0 - 0.15) is clears

    def test_balls_inside_touch_between_root_and_minor_diameter(self) -> None:
        """60 degrees: contact at most H/4 towards the crest, and clear of the root at 3H/8."""
        wires = wire_range(groove=groove_of(m10_6h()))
        height = math.sqrt(3) / 2 * 1.5
        assert wires.max_mm == pytest.approx(
            2 * (1.5 / 4 + height / 4 * math.tan(math.pi / 6)) / math.cos(math.pi / 6), rel=1e-9
        )
        assert wires.min_mm is not None
        bottom = height / 2 - wires.min_mm + wires.min_mm / 2
        # limits: (major min 10 - pitch min 9.026) / 2
        assert bottom == pytest.approx((10.0 - 9.026) / 2, rel=1e-9)

    def test_unsymmetrical_best_wire_cancels_equal_angle_errors(self) -> None:
        """Both flanks turned alike about their pitch-line points leave the brute-force seat."""
        of = groove_of(BareThread(
            pitch_diameter_mm=4000.0, pitch_mm=1.0,
            pressure_flank_angle_deg=7.0, clearance_flank_angle_deg=45.0,
        ))  # fmt: skip
        wire = wire_range(groove=of).best_mm
        seats = [
            ball_centre(Screw(4000.0, 1.0, 0.0, (7.0 + turn, 45.0 + turn)), wire, slide=True)
            for turn in (-0.05, 0.05)
        ]
        other = [
            ball_centre(Screw(4000.0, 1.0, 0.0, (7.0 + turn, 45.0 + turn)), 1.1 * wire, slide=True)
            for turn in (-0.05, 0.05)
        ]
        assert abs(seats[1] - seats[0]) < 2e-6
        assert abs(other[1] - other[0]) > 1e-4

    def test_unknown_form_has_no_range_but_a_best_wire(self) -> None:
        wires = wire_range(groove=groove_of(bare(20.0)))
        assert (wires.max_mm, wires.min_mm) == (None, None)
        assert wires.best_mm == pytest.approx(0.53208, abs=1e-5)  # chart, included angle 40

    def test_unknown_form_takes_any_wire_and_says_which_is_best(self) -> None:
        found = choose_pins(on_hand_mm=[0.5, 0.7], wires=wire_range(groove=groove_of(bare(20.0))))
        assert found.wire_diameter_mm == 0.5
        with pytest.raises(OutOfRangeError) as refused:
            wire_measurement(thread=bare(20.0), wire_diameter_mm=-1.0)
        assert "0.5321" in refused.value.accepted

    def test_unknown_form_with_its_heights_given(self) -> None:
        wires = wire_range(groove=groove_of(bare(30.0, addendum_ratio=0.2, dedendum_ratio=0.2)))
        assert wires.max_mm == pytest.approx(
            2 * (0.25 + 0.2 * math.tan(math.pi / 6)) / math.cos(math.pi / 6), rel=1e-12
        )


class TestLeadCorrection:
    @pytest.mark.parametrize(
        ("half", "coefficient"),
        # cos A cot A / (2 pi²); the one at 60 degrees is published as 0.075991.
        [(30.0, 0.075991), (27.5, 0.086322), (23.75, 0.105384), (15.0, 0.182626), (14.5, 0.189650)],
    )
    def test_quadratic_coefficient(self, half: float, coefficient: float) -> None:
        measured = wire_measurement(
            thread=bare(half, diameter=1.0, pitch=0.1), wire_diameter_mm=None
        )
        per = measured.wire_diameter_mm * 0.1**2
        assert measured.lead_correction_quadratic_mm == pytest.approx(coefficient * per, rel=2e-5)

    @pytest.mark.parametrize(
        ("size", "quadratic", "exact"),
        # Inches, best wire: tan² of the lead angle times 0.433 P (60) or 0.967 P (29 degrees),
        # and a separate program's exact value.
        [
            ((0.2175, 1 / 20, 1, 30.0), 0.000116, 0.000108),
            ((0.9188, 1 / 8, 1, 30.0), 0.000102, 0.000098),
            ((0.9, 0.2, 1, 14.5), 0.000967, 0.000937),
            ((0.9, 0.2, 3, 14.5), 0.008706, 0.008227),
        ],
        ids=["1/4-20", "1-8", "Acme 1-5", "Acme 1-5 3 starts"],
    )
    def test_inch_threads(
        self, size: tuple[float, float, int, float], quadratic: float, exact: float
    ) -> None:
        diameter, pitch, starts, half = size
        got = wire_measurement(
            thread=bare(half, diameter=25.4 * diameter, pitch=25.4 * pitch, starts=starts)
        )
        assert got.lead_correction_quadratic_mm is not None
        assert got.lead_correction_quadratic_mm / 25.4 == pytest.approx(quadratic, abs=6e-7)
        assert got.lead_correction_mm / 25.4 == pytest.approx(exact, abs=6e-7)
        assert got.lead_correction_method == "exact"

    def test_none_for_unsymmetrical_flanks(self) -> None:
        got = wire_measurement(thread=BareThread(
            pitch_diameter_mm=28.0, pitch_mm=3.0,
            pressure_flank_angle_deg=7.0, clearance_flank_angle_deg=45.0,
        ))  # fmt: skip
        assert got.lead_correction_quadratic_mm is None
        assert got.lead_correction_mm > 0

    def test_same_sign_inside_and_outside(self) -> None:
        outside = wire_measurement(thread=bare(30.0, diameter=9.0, pitch=1.5))
        inside = wire_measurement(thread=bare(30.0, diameter=9.0, pitch=1.5, side="internal"))
        assert outside.lead_correction_quadratic_mm == inside.lead_correction_quadratic_mm
        # A little less than the quadratic form outside, a little more inside.
        quadratic = outside.lead_correction_quadratic_mm
        assert quadratic is not None
        assert 0 < outside.lead_correction_mm < quadratic < inside.lead_correction_mm

    def test_quadratic_alone(self) -> None:
        from threadwright_service.calc.measurement.wires.wires import Setup

        setup = Setup(method="three-wire", wire_diameter_mm=1.0, opposite_wire_diameter_mm=1.0)
        of = Groove(
            side="external",
            pitch_mm=2.0,
            lead_mm=2.0,
            pressure_flank_angle_deg=30.0,
            clearance_flank_angle_deg=30.0,
        )
        got = lead_correction_quadratic_mm(groove=of, pitch_diameter_mm=18.701, setup=setup)
        assert got == pytest.approx(0.075991 * (2 / 18.701) ** 2, rel=1e-5)


class TestMethods:
    def test_m10_window(self) -> None:
        """M10x1.5-6g, wire 0.866: E + 3 W - 0.866025 P, and 1.8 µm for the lead."""
        got = wire_measurement(
            thread=bare(diameter=8.9277, pitch=1.5, pitch_diameter=Span(max=8.9937, min=8.8617)),
            wire_diameter_mm=0.866,
        )
        assert got.reading.min_mm == pytest.approx(10.1607 + 0.0018, abs=1e-4)
        assert got.reading.max_mm == pytest.approx(10.2927 + 0.0018, abs=1e-4)
        assert got.reading.aim_mm == pytest.approx(10.2267 + 0.0018, abs=1e-4)

    def test_two_wires_on_the_scale_of_the_cylinder(self) -> None:
        """Reading difference = size under the wires less the cylinder; by hand from three wires."""
        screw = bare(diameter=30.397, pitch=3.5)
        three = wire_measurement(thread=screw, wire_diameter_mm=2.0)
        two = wire_measurement(
            thread=screw,
            wire_diameter_mm=2.0,
            method="two-wire",
            standard_cylinder_mm=30.5,
            standard_reading_mm=16.532,
        )
        under = three.reading.aim_mm - 2 * 2.0
        assert two.reading.aim_mm == pytest.approx(16.532 + under - 30.5, abs=1e-12)

    def test_one_wire(self) -> None:
        """E = 2 M1 - D - W (1 + csc A) + (P/2) cot A - c, in the other direction."""
        screw = bare(diameter=33.0, pitch=6.0, half_deg=15.0)
        got = wire_measurement(
            thread=screw, wire_diameter_mm=3.1, method="one-wire", major_diameter_measured_mm=35.9
        )
        csc = 1 / math.sin(math.radians(15))
        cot = 1 / math.tan(math.radians(15))
        by_hand = (33.0 + 35.9 + 3.1 * (1 + csc) - 3.0 * cot + got.lead_correction_mm) / 2
        assert got.reading.aim_mm == pytest.approx(by_hand, abs=1e-9)

    def test_balls_between_and_over_and_slanted(self) -> None:
        nut = m10_6h()
        between = wire_measurement(thread=nut, wire_diameter_mm=0.866)
        over = wire_measurement(thread=nut, wire_diameter_mm=0.866, ball_reading="over-balls")
        slanted = wire_measurement(thread=nut, wire_diameter_mm=0.866, ball_line="slanted")
        # 9.116 is the middle of 9.206 and 9.026; 8.68117 by a separate program.
        assert between.reading.aim_mm == pytest.approx(8.68117, abs=6e-6)
        assert over.reading.aim_mm == pytest.approx(8.68117 + 0.866, abs=6e-6)
        assert slanted.reading.aim_mm == pytest.approx(math.hypot(8.68117, 0.75), abs=6e-6)

    def test_no_slant_with_even_starts(self) -> None:
        nut = bare(diameter=18.0, pitch=2.0, starts=2, side="internal")
        square = wire_measurement(thread=nut)
        slanted = wire_measurement(thread=nut, ball_line="slanted")
        assert slanted.reading.aim_mm == square.reading.aim_mm

    def test_unequal_wires_count_by_halves(self) -> None:
        screw = bare(diameter=33.0, pitch=6.0, half_deg=15.0)
        mixed = wire_measurement(thread=screw, wire_diameter_mm=3.2, opposite_wire_diameter_mm=3.0)
        alike = [wire_measurement(thread=screw, wire_diameter_mm=wire) for wire in (3.2, 3.0)]
        mean = sum(each.reading.aim_mm for each in alike) / 2
        assert mixed.reading.aim_mm == pytest.approx(mean, abs=1e-12)
        back = wire_measurement(
            thread=screw,
            wire_diameter_mm=3.2,
            opposite_wire_diameter_mm=3.0,
            measured_mm=mixed.reading.aim_mm,
        )
        assert back.pitch_diameter_mm == pytest.approx(33.0, abs=1e-9)

    def test_tapered_thread_by_the_chart(self) -> None:
        """3/4 in per foot: E = 1.00049 M - (3.00049 W - 0.86603 P), without lead."""
        form = ThreadForm(
            name="NPT", pressure_flank_angle_deg=30.0, clearance_flank_angle_deg=30.0,
            addendum_ratio=0.4, dedendum_ratio=0.4, external_root_ratio=0.4,
            internal_root_ratio=0.4, external_root_flat_ratio=0.03812,
            internal_root_flat_ratio=0.03812, taper_ratio=1 / 16,
        )  # fmt: skip
        pipe = thread(
            designation="1/2-14 NPT", form=form, major=0.84, pitch_diameter=0.77843, minor=0.72,
            pitch=1 / 14, limits=((None, None), (None, None), (None, None)), unit="in",
        )  # fmt: skip
        trail = Trail()
        got = wire_measurement(thread=pipe, wire_diameter_mm=25.4 * 0.041, trail=trail)
        reading = (got.reading.aim_mm - got.lead_correction_mm * math.cos(math.atan(1 / 32))) / 25.4
        chart = 1.00049 * reading - (3.00049 * 0.041 - 0.86603 / 14)
        assert chart == pytest.approx(0.77843, abs=2e-6)
        assert got.lead_correction_method == "quadratic"
        assert "taper-plane" in [caution.code for caution in trail.cautions]
        back = wire_measurement(
            thread=pipe, wire_diameter_mm=25.4 * 0.041, measured_mm=got.reading.aim_mm
        )
        assert back.pitch_diameter_mm == pytest.approx(25.4 * 0.77843, abs=1e-9)
        with pytest.raises(InfeasibleError, match="tapered"):
            wire_measurement(thread=pipe, method="two-wire")

    @settings(max_examples=120, deadline=None)
    @given(
        diameter=st.floats(8.0, 120.0),
        share=st.floats(0.01, 0.15),
        half=st.sampled_from([30.0, 27.5, 15.0, 14.5]),
        how=st.sampled_from(
            ["three-wire", "two-wire", "cylinder", "one-wire", "balls", "over", "slanted"]
        ),
        miss=st.floats(-0.02, 0.02),
    )
    def test_round_trip(
        self, diameter: float, share: float, half: float, how: str, miss: float
    ) -> None:
        """The reading at a size, read back, is that size."""
        inside = how in ("over", "slanted")
        size = diameter * (1 + miss * share)
        more: dict[str, object] = {}
        if how == "cylinder":
            more = {"standard_cylinder_mm": diameter, "standard_reading_mm": 12.345}
        elif how == "one-wire":
            more = {"major_diameter_measured_mm": 1.1 * diameter}
        elif how == "over":
            more = {"ball_reading": "over-balls"}
        elif how == "slanted":
            more = {"ball_line": "slanted"}
        method: Any = {"cylinder": "two-wire", "over": "balls", "slanted": "balls"}.get(how, how)
        screw = bare(
            half, diameter=size, pitch=diameter * share, side="internal" if inside else "external"
        )
        wire = wire_measurement(thread=screw).best_wire_diameter_mm
        read = wire_measurement(
            thread=screw,
            method=method,
            wire_diameter_mm=wire,
            **more,  # type: ignore[arg-type]
        ).reading.aim_mm
        back = wire_measurement(
            thread=bare(half, diameter=diameter, pitch=diameter * share, side=screw.side),
            method=method,
            wire_diameter_mm=wire,
            measured_mm=read,
            **more,  # type: ignore[arg-type]
        )
        assert back.pitch_diameter_mm == pytest.approx(size, abs=1e-9)

    def test_inch_and_metric_path_agree(self) -> None:
        inch = unc_3_4_2a()
        one = wire_measurement(thread=inch, measured_mm=25.4 * 0.7700)
        other = wire_measurement(thread=inch.in_millimetres(), measured_mm=25.4 * 0.7700)
        assert one == other

    @given(step=st.floats(1e-4, 0.05))
    def test_reading_rises_with_the_pitch_diameter(self, step: float) -> None:
        low = wire_measurement(thread=bare(diameter=20.0, pitch=2.0))
        high = wire_measurement(thread=bare(diameter=20.0 + step, pitch=2.0))
        assert high.reading.aim_mm - low.reading.aim_mm == pytest.approx(step, rel=2e-3)


class TestChoice:
    WIRES = WireRange(best_mm=0.8660, max_mm=1.5155, min_mm=0.7578, min_reason="crest")

    def test_nearest_size_of_a_set(self) -> None:
        found = choose_pins(on_hand_mm=[0.7, 0.8, 0.895, 1.35, 2.0], wires=self.WIRES)
        assert (found.wire_diameter_mm, found.opposite_wire_diameter_mm) == (0.895, 0.895)
        assert found.off_best_mm == pytest.approx(0.029)
        assert found.usable_mm == (0.8, 0.895, 1.35)
        assert found.unusable_mm == (0.7, 2.0)

    def test_single_pins_on_both_sides(self) -> None:
        """0.80 and 0.93 straddle the best wire: their mean is nearer than any one size."""
        sizes = [0.78, 0.80, 0.93, 1.0]
        two = choose_pins(
            on_hand_mm=sizes, wires=self.WIRES, method="two-wire", on_hand="single-pins"
        )
        assert {two.wire_diameter_mm, two.opposite_wire_diameter_mm} == {0.80, 0.93}

    def test_three_wires_need_two_alike(self) -> None:
        with pytest.raises(InfeasibleError, match="too few"):
            choose_pins(on_hand_mm=[0.8, 0.9, 1.0], wires=self.WIRES, on_hand="single-pins")
        found = choose_pins(on_hand_mm=[0.8, 0.93, 0.8], wires=self.WIRES, on_hand="single-pins")
        assert (found.wire_diameter_mm, found.opposite_wire_diameter_mm) == (0.8, 0.93)

    def test_one_wire_takes_one_pin(self) -> None:
        found = choose_pins(
            on_hand_mm=[0.8, 0.87], wires=self.WIRES, method="one-wire", on_hand="single-pins"
        )
        assert found.wire_diameter_mm == found.opposite_wire_diameter_mm == 0.87

    def test_none_fits(self) -> None:
        with pytest.raises(OutOfRangeError, match="none of the sizes") as refused:
            choose_pins(on_hand_mm=[0.5, 2.0], wires=self.WIRES)
        assert refused.value.parameter == "wires_on_hand"
        assert "0.7578 mm to 1.5155 mm" in refused.value.accepted

    @pytest.mark.parametrize("sizes", [[], [0.9, 0.0], [0.9] * 1001])
    def test_no_sizes(self, sizes: list[float]) -> None:
        with pytest.raises(OutOfRangeError):
            choose_pins(on_hand_mm=sizes, wires=self.WIRES)

    def test_from_the_operation(self) -> None:
        got = wire_measurement(thread=m10_6g(), wires_on_hand_mm=[0.8, 0.9, 1.0])
        assert got.wires_on_hand is not None
        assert got.wire_diameter_mm == got.opposite_wire_diameter_mm == 0.9


class TestRefusals:
    @pytest.mark.parametrize(
        ("wire", "inside"), [(0.7577, False), (0.7579, True), (1.5154, True), (1.5157, False)]
    )
    def test_wire_on_both_sides_of_its_range(self, wire: float, inside: bool) -> None:
        """0.505181 and 1.010363 pitches of 1.5 mm."""
        if inside:
            assert wire_measurement(thread=m10_6g(), wire_diameter_mm=wire).wire_diameter_mm == wire
            return
        with pytest.raises(OutOfRangeError) as refused:
            wire_measurement(thread=m10_6g(), wire_diameter_mm=wire)
        assert refused.value.parameter == "wire_diameter"
        assert refused.value.value == wire
        assert "best 0.8660 mm" in refused.value.accepted

    @pytest.mark.parametrize(
        ("change", "error", "parameter"),
        [
            ({"wire_diameter_mm": 0.0}, OutOfRangeError, "wire_diameter"),
            ({"wire_diameter_mm": 0.9, "opposite_wire_diameter_mm": 0.1}, OutOfRangeError,
             "opposite_wire_diameter"),
            ({"opposite_wire_diameter_mm": 0.9}, InfeasibleError, "opposite_wire_diameter"),
            ({"wire_diameter_mm": 0.9, "wires_on_hand_mm": [0.9]}, AmbiguousError, "wires_on_hand"),
            ({"method": "balls", "standard_cylinder_mm": 9.0}, InfeasibleError,
             "standard_cylinder"),
            ({"method": "two-wire", "standard_cylinder_mm": -9.0}, OutOfRangeError,
             "standard_cylinder"),
            ({"method": "two-wire", "standard_cylinder_mm": 9.0}, MissingInputError,
             "standard_reading"),
            ({"method": "two-wire", "standard_cylinder_mm": 9.0, "measured_mm": 3.0},
             MissingInputError, "standard_reading"),
            ({"method": "one-wire"}, MissingInputError, "major_diameter"),
            ({"method": "one-wire", "major_diameter_measured_mm": 0.0}, OutOfRangeError,
             "major_diameter"),
            ({"aim_ratio": 1.2}, OutOfRangeError, "pitch_diameter_aim"),
            ({"measured_mm": 0.5}, OutOfRangeError, "measured"),
            ({"measured_mm": 1.3}, CalcError, None),
        ],
    )  # fmt: skip
    def test_bad_input(
        self, change: dict[str, object], error: type[CalcError], parameter: str | None
    ) -> None:
        with pytest.raises(error) as refused:
            wire_measurement(thread=m10_6g(), **change)  # type: ignore[arg-type]
        if parameter is not None:
            assert refused.value.parameter == parameter
        assert refused.value.detail

    @pytest.mark.parametrize(
        ("change", "parameter"),
        [
            ({"diameter": 0.0}, "pitch_diameter"),
            ({"pitch": -1.0}, "pitch"),
            ({"starts": 0}, "starts"),
            ({"half_deg": 60.0}, "flank_angle_deg"),
            ({"half_deg": 0.5}, "flank_angle_deg"),
            ({"half_deg": 46.0}, "flank_angle_deg"),
            ({"diameter": 1.0, "pitch": 2.0}, "pitch_diameter"),
        ],
    )
    def test_bare_thread_that_is_none(self, change: dict[str, float], parameter: str) -> None:
        with pytest.raises(OutOfRangeError) as refused:
            wire_measurement(thread=bare(**change))  # type: ignore[arg-type]
        assert refused.value.parameter == parameter

    def test_wires_inside(self) -> None:
        with pytest.raises(InfeasibleError, match="balls"):
            wire_measurement(thread=m10_6h(), method="three-wire")

    @pytest.mark.parametrize(("starts", "refused"), [(6, False), (7, True)])
    def test_steep_unsymmetrical_threads(self, starts: int, refused: bool) -> None:
        """19.1 and 22.1 degrees."""
        screw = BareThread(
            pitch_diameter_mm=33.0, pitch_mm=6.0, starts=starts,
            pressure_flank_angle_deg=7.0, clearance_flank_angle_deg=45.0,
        )  # fmt: skip
        if refused:
            with pytest.raises(OutOfRangeError, match="lead angle"):
                wire_measurement(thread=screw)
        else:
            assert wire_measurement(thread=screw).reading.aim_mm > 33.0

    @pytest.mark.parametrize(
        ("side", "starts", "pitch", "refused"),
        [
            ("external", 4, 4.5, False),  # 29.8 degrees
            ("external", 4, 4.6, True),  # 30.4
            ("internal", 4, 2.8, False),  # 19.6
            ("internal", 4, 2.9, True),  # 20.3
            ("internal", 1, 4.5, False),  # 0.45 of the pitch diameter
            ("internal", 1, 4.51, True),
        ],
    )
    def test_steep_and_coarse_threads(
        self, side: str, starts: int, pitch: float, refused: bool
    ) -> None:
        made = bare(diameter=10.0, pitch=pitch, starts=starts, side=side)
        if refused:
            with pytest.raises(OutOfRangeError):
                wire_measurement(thread=made)
        else:
            assert wire_measurement(thread=made).lead_correction_mm > 0

    def test_limits_the_wrong_way_round(self) -> None:
        with pytest.raises(OutOfRangeError) as refused:
            wire_measurement(thread=bare(pitch_diameter=Span(max=39.9, min=40.1)))
        assert refused.value.parameter == "pitch_diameter_max"

    def test_groove_that_no_wire_fits(self) -> None:
        """Crest and root both a tenth of a pitch off: what clears the root meets the corner."""
        made = bare(14.5, addendum_ratio=0.05, dedendum_ratio=0.05)
        with pytest.raises(InfeasibleError, match="no wire fits"):
            wire_measurement(thread=made)

    @pytest.mark.parametrize("measured", [1e-6, 0.9, 1.3, 2.0])
    def test_reading_far_below_the_thread(self, measured: float) -> None:
        for more in ({}, {"wire_diameter_mm": 0.9, "opposite_wire_diameter_mm": 0.88}):
            with pytest.raises(CalcError):
                wire_measurement(thread=m10_6g(), measured_mm=measured, **more)  # type: ignore[arg-type]

    @pytest.mark.parametrize(
        "more",
        [{}, {"ball_line": "slanted"}, {"ball_reading": "over-balls"}],
    )
    def test_balls_on_top_of_each_other(self, more: dict[str, object]) -> None:
        with pytest.raises((OutOfRangeError, InfeasibleError)):
            wire_measurement(
                thread=m10_6h(),
                wire_diameter_mm=0.9,
                measured_mm=0.5,
                **more,  # type: ignore[arg-type]
            )

    def test_aim_without_limits(self) -> None:
        with pytest.raises(OutOfRangeError, match="both limits"):
            wire_measurement(thread=bare(), aim_ratio=0.3)


class TestOperation:
    @staticmethod
    def run(**more: object) -> tuple[WireMeasurement, Trail]:
        trail = Trail(steps=[])
        arguments: dict[str, object] = {"thread": m10_6g(), **more}
        return wire_measurement(trail=trail, **arguments), trail  # type: ignore[arg-type]

    def test_what_was_not_given_is_told(self) -> None:
        _, trail = self.run(measured_mm=10.2)
        told = {assumption.parameter for assumption in trail.assumptions}
        assert told == {"method", "wire_diameter", "pitch_diameter_aim", "uncertainty"}

    def test_nothing_is_told_when_all_is_given(self) -> None:
        _, trail = self.run(
            method="three-wire",
            wire_diameter_mm=0.866,
            aim_ratio=0.25,
            uncertainty_mm=0.003,
            guard_band_ratio=1.0,
        )
        assert trail.assumptions == []

    @pytest.mark.parametrize(("aim", "size"), [(0.0, 8.862), (0.5, 8.928), (1.0, 8.994)])
    def test_aim(self, aim: float, size: float) -> None:
        got, _ = self.run(aim_ratio=aim)
        assert got.aim_pitch_diameter_mm == pytest.approx(size, abs=1e-12)

    def test_working_shows_the_handbook_formula_with_its_numbers(self) -> None:
        got, trail = self.run(wire_diameter_mm=0.866)
        assert trail.steps is not None
        by_name = {step.quantity: step for step in trail.steps}
        plain = by_name["reading over three wires without lead"]
        # 8.928 + 3 x 0.866 - 0.866025 x 1.5
        assert plain.value == pytest.approx(8.928 + 3 * 0.866 - 0.8660254 * 1.5, abs=1e-6)
        assert float(plain.value) + got.lead_correction_mm == pytest.approx(
            got.reading.aim_mm, abs=1e-12
        )
        assert "0.866" in plain.substituted

    def test_caution_when_the_wire_is_far_from_the_best(self) -> None:
        _, near = self.run(wire_diameter_mm=0.88)
        _, far = self.run(wire_diameter_mm=1.4)
        assert "wire-off-best" not in {caution.code for caution in near.cautions}
        assert "wire-off-best" in {caution.code for caution in far.cautions}

    def test_caution_when_the_anvil_would_rest_on_the_crest(self) -> None:
        """0.76 mm: 8.862 + 3 x 0.76 - 1.299 = 9.843, below the largest crest of 9.968."""
        _, trail = self.run(wire_diameter_mm=0.76)
        assert "reading-on-crest" in {caution.code for caution in trail.cautions}

    def test_stub_acme_gets_a_wire_that_clears_the_root(self) -> None:
        trail = Trail()
        got = wire_measurement(thread=stub_acme_3_2(), trail=trail)
        assert got.wire_diameter_min_mm is not None
        assert got.wire_diameter_max_mm is not None
        assert got.best_wire_diameter_mm < got.wire_diameter_min_mm
        assert got.wire_diameter_min_mm < got.wire_diameter_mm < got.wire_diameter_max_mm
        told = {each.parameter: each for each in trail.assumptions}["wire_diameter"]
        assert "root" in told.reason

    @pytest.mark.parametrize(
        ("make", "code"),
        [
            ({"pitch": 6.0, "half_deg": 15.0}, "wide-pitch"),
            ({"pitch": 2.0, "starts": 2}, "even-starts"),
        ],
    )
    def test_cautions_of_the_method(self, make: dict[str, float], code: str) -> None:
        trail = Trail()
        wire_measurement(thread=bare(**make), trail=trail)  # type: ignore[arg-type]
        assert code in {caution.code for caution in trail.cautions}

    @pytest.mark.parametrize(
        ("more", "code"),
        [
            ({"method": "two-wire"}, "two-wire-square"),
            ({"method": "one-wire", "major_diameter_measured_mm": 9.9}, "one-wire-runout"),
            ({"thread": m10_6h()}, "opposite-grooves"),
            ({"measured_mm": 10.2285, "uncertainty_mm": 0.002}, "go-gauge-too"),
            ({"measured_mm": 10.2285, "uncertainty_mm": 0.02}, "uncertainty-large"),
            ({"measured_mm": 10.2285}, "uncertainty-unknown"),
        ],
    )
    def test_cautions(self, more: dict[str, object], code: str) -> None:
        _, trail = self.run(**more)
        assert code in {caution.code for caution in trail.cautions}

    def test_contact_off_the_flank(self) -> None:
        """A wire that just touches the flank's end without lead touches beyond it with lead."""
        trail = Trail()
        screw = bare(15.0, diameter=33.0, pitch=6.0, starts=3)
        largest = wire_measurement(thread=screw).wire_diameter_max_mm
        assert largest is not None
        got = wire_measurement(thread=screw, wire_diameter_mm=largest, trail=trail)
        assert got.contact.pressure_flank_mm > 1.5
        assert "contact-off-flank" in {caution.code for caution in trail.cautions}

    def test_whitworth_flank_ends_below_the_rounded_crest(self) -> None:
        """Straight flank to 0.246246 pitches by hand: 0.320164 - 0.137329 (1 - sin 27.5)."""
        pipe = thread(
            designation="G 1/2", form=WHITWORTH_FORM, major=20.955, pitch_diameter=19.793,
            minor=18.631, pitch=1.814, limits=((None, None), (19.793, 19.651), (None, None)),
        )  # fmt: skip
        assert groove_of(pipe).flank_end_mm == pytest.approx(0.246246 * 1.814, abs=2e-6)

    def test_depth_of_the_root_from_the_limits(self) -> None:
        """Stub Acme 3-2: (2.836 - 2.680) / 2 in below the pitch line at the largest sizes."""
        assert groove_of(stub_acme_3_2()).root_mm == pytest.approx(25.4 * 0.078, abs=1e-9)


class TestMeasuringForce:
    @pytest.mark.parametrize(
        ("pitch", "force"),
        # 2.5, 1 and 0.5 lbf (memory of the convention) on both sides of its steps.
        [(6.0, 11.12), (1.25, 11.12), (1.24, 4.448), (0.635, 4.448), (0.63, 2.224), (0.2, 2.224)],
    )
    def test_steps(self, pitch: float, force: float) -> None:
        assert measuring_force(pitch_mm=pitch).force_n == pytest.approx(force, abs=0.001)

    def test_pitch_must_be_above_zero(self) -> None:
        with pytest.raises(OutOfRangeError):
            measuring_force(pitch_mm=0.0)

    def test_basis_is_told(self) -> None:
        assert measuring_force(pitch_mm=1.5).basis == "memory"
        assert "published" in measuring_force(pitch_mm=0.3).basis

    @given(radius=st.floats(0.1, 100.0), load=st.floats(0.1, 100.0))
    def test_equal_cylinders_are_a_ball_on_a_plane(self, radius: float, load: float) -> None:
        """Hertz's closed form: (9 F² / 16 E*² R)^(1/3)."""
        modulus = 1.1e5
        closed = (9 * load**2 / (16 * modulus**2 * radius)) ** (1 / 3)
        got = crossed_cylinders_approach_mm(load, (radius, radius), modulus)
        assert got == pytest.approx(closed, rel=1e-6)

    @pytest.mark.parametrize(
        ("radii", "load"), [((8.928, 0.433), 11.1), ((50.0, 0.3), 4.0), ((3.0, 1.0), 2.0)]
    )
    def test_against_the_integrals(self, radii: tuple[float, float], load: float) -> None:
        """Pressure (1 - x²/a² - y²/b²)^½ over an ellipse, the half space's integrals summed.

        With p0 = 3F/(2 pi a b): approach = p0 a b / E* times the integral over u of
        1 / sqrt((a² + u²)(b² + u²)); curvature along a, across b: the same with another
        1/(a² + u²) or 1/(b² + u²).
        """
        modulus = 1.12e5
        got = crossed_cylinders_approach_mm(load, radii, modulus)
        large, small = max(radii), min(radii)

        def integral(a: float, b: float, power_a: float, power_b: float) -> float:
            steps, total = 4000, 0.0
            for step in range(steps):  # u = tan of an angle carries 0..infinity to 0..pi/2
                angle = (step + 0.5) * math.pi / 2 / steps
                u = b * math.tan(angle)
                weight = b / math.cos(angle) ** 2
                total += weight / ((a * a + u * u) ** power_a * (b * b + u * u) ** power_b)
            return total * math.pi / 2 / steps

        # Find the half axes from the two curvatures by plain bisection on their ratio.
        low, high = 1.0, 1000.0
        for _ in range(60):
            ratio = math.sqrt(low * high)
            along = integral(ratio, 1.0, 1.5, 0.5)
            across = integral(ratio, 1.0, 0.5, 1.5)
            low, high = (ratio, high) if across / along < large / small else (low, ratio)
        force = 3 * load / (2 * math.pi * modulus)
        scale = (force * along * 2 * large) ** (1 / 3)
        assert got == pytest.approx(force / scale * integral(ratio, 1.0, 0.5, 0.5), rel=1e-4)

    @pytest.mark.parametrize(
        ("diameter", "wire", "fall"),
        # µm at 11.1, 4.45 and 1 N, steel on steel, by a separate program.
        [
            (5.350, 0.57735, (4.8, 2.6, 1.0)),
            (9.026, 0.866, (4.1, 2.2, 0.8)),
            (18.376, 1.4434, (3.3, 1.8, 0.7)),
        ],
    )
    def test_fall_of_the_reading(
        self, diameter: float, wire: float, fall: tuple[float, float, float]
    ) -> None:
        for force, expected in zip((11.1, 4.45, 1.0), fall, strict=True):
            got = flattening_mm(
                force_n=force,
                pitch_diameter_mm=diameter,
                wire_diameter_mm=wire,
                flank_angle_deg=30.0,
            )
            assert 1000 * got == pytest.approx(expected, abs=0.06)

    def test_no_force_no_fall_and_no_negative_force(self) -> None:
        sizes = {"pitch_diameter_mm": 9.0, "wire_diameter_mm": 0.9, "flank_angle_deg": 30.0}
        assert flattening_mm(force_n=0.0, **sizes) == 0.0
        with pytest.raises(OutOfRangeError):
            flattening_mm(force_n=-1.0, **sizes)
