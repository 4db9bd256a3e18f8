"""Effects of lead and angle errors against a brute-force fit of two profiles, and of growth."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.sample_threads import (
    ISO_FORM,
    WHITWORTH_FORM,
    m10_6g,
    m10_6h,
    thread,
    trapezoid,
    unc_3_4_2a,
)
from threadwright_service.calc.errors import CalcError, InfeasibleError, MissingInputError
from threadwright_service.calc.errors import OutOfRangeError as OutOfRange
from threadwright_service.calc.measurement.treatments.functional_size import (
    AngleRule,
    accumulated_pitch_error_mm,
    angle_effect_mm,
    functional_size,
    pitch_effect_mm,
)
from threadwright_service.calc.measurement.treatments.heat_treatment import (
    before_heat_treatment,
    heat_treatment_change,
)
from threadwright_service.calc.measurement.wires.groove import BareThread, groove_of
from threadwright_service.calc.threads.thread import Side, ThreadForm, ThreadLimits
from threadwright_service.calc.trail import Trail

BUTTRESS = ThreadForm(
    name="buttress 7/45",
    pressure_flank_angle_deg=7.0,
    clearance_flank_angle_deg=45.0,
    addendum_ratio=0.3,
    dedendum_ratio=0.3,
    external_root_ratio=0.36271,
    internal_root_ratio=0.36271,
    external_root_flat_ratio=0.05,
    internal_root_flat_ratio=0.05,
)


def of_form(form: ThreadForm, *, side: Side = "external", pitch: float = 2.0) -> ThreadLimits:
    return thread(
        designation="",
        form=form,
        major=40.0,
        pitch_diameter=40.0 - 2 * form.addendum_ratio * pitch,
        minor=36.0,
        pitch=pitch,
        limits=((None, None), (None, None), (None, None)),
        side=side,
    )


def fitted(
    form: ThreadForm,
    *,
    side: Side,
    pitch: float,
    pitch_error: float = 0.0,
    errors_deg: tuple[float, float] = (0.0, 0.0),
) -> float:
    """How much larger a perfect mating thread must be cut so that the faulty one goes in.

    Both axial profiles are drawn as points along the contact. The faulty flank turns about its
    pitch-line point; the perfect thread may slide along the axis, so the overlaps of both flanks
    add. Each mm of pitch diameter opens half its tangent on each flank.
    """
    straight_out = straight_in = 0.0
    rounded = form is WHITWORTH_FORM
    # Whitworth: straight to 0.246246 pitches (tangent to radius 0.137329), else to the crests.
    straight_out = (0.246246 if rounded else form.addendum_ratio) * pitch
    straight_in = (0.246246 if rounded else form.dedendum_ratio) * pitch
    heights = np.linspace(-straight_in, straight_out, 4001)
    overlaps, opens = abs(pitch_error), 0.0
    metal = 1.0 if side == "external" else -1.0
    for angle, error in zip(
        (form.pressure_flank_angle_deg, form.clearance_flank_angle_deg), errors_deg, strict=True
    ):
        right, wrong = math.radians(angle), math.radians(angle + error)
        # Metal of a screw lies towards smaller z above, of a nut towards larger: what the turned
        # flank has too much of, along the axis.
        surplus = metal * heights * (math.tan(right) - math.tan(wrong))
        overlaps += float(np.max(surplus))
        opens += math.tan(right) / 2
    return overlaps / opens


class TestPitch:
    @pytest.mark.parametrize(
        "form", [ISO_FORM, WHITWORTH_FORM, trapezoid(14.5, 0.5, "Acme"), BUTTRESS],
        ids=lambda form: form.name,
    )  # fmt: skip
    @pytest.mark.parametrize("error", [-0.012, 0.03])
    def test_against_the_fit(self, form: ThreadForm, error: float) -> None:
        got = pitch_effect_mm(groove=groove_of(of_form(form)), pitch_error_mm=error)
        model = fitted(form, side="external", pitch=2.0, pitch_error=error)
        assert got == pytest.approx(model, rel=1e-12)

    def test_sixty_degrees(self) -> None:
        got = pitch_effect_mm(groove=groove_of(m10_6g()), pitch_error_mm=0.01)
        assert got == pytest.approx(0.017321, abs=1e-6)


class TestAngle:
    @pytest.mark.parametrize("side", ["external", "internal"])
    @pytest.mark.parametrize(
        "form",
        [ISO_FORM, WHITWORTH_FORM, trapezoid(14.5, 0.5, "Acme"), trapezoid(15.0, 0.5, "Tr"),
         trapezoid(14.5, 0.3, "stub Acme"), BUTTRESS],
        ids=lambda form: form.name,
    )  # fmt: skip
    @pytest.mark.parametrize(
        "errors_deg", [(0.1, 0.1), (-0.1, -0.1), (0.1, -0.1), (-0.05, 0.1), (0.2, 0.0)]
    )
    def test_against_the_fit(
        self, form: ThreadForm, side: Side, errors_deg: tuple[float, float]
    ) -> None:
        """Small angles: the formula is the first order of the fit."""
        got = angle_effect_mm(
            groove=groove_of(of_form(form, side=side)),
            pressure_error_deg=errors_deg[0],
            clearance_error_deg=errors_deg[1],
        )
        model = fitted(form, side=side, pitch=2.0, errors_deg=errors_deg)
        assert got == pytest.approx(model, rel=0.006)

    @pytest.mark.parametrize(
        ("form", "per_degree"),
        # Millimetres for each degree of one flank at a pitch of 1 mm, worse sign (memory; 60
        # degrees: 3H/8).
        [(WHITWORTH_FORM, 0.0105), (ISO_FORM, 0.0131)],
        ids=["Whitworth", "60"],
    )
    def test_known_constants(self, form: ThreadForm, per_degree: float) -> None:
        got = angle_effect_mm(
            groove=groove_of(of_form(form, pitch=1.0)),
            pressure_error_deg=-1.0,
            clearance_error_deg=0.0,
        )
        assert got == pytest.approx(per_degree, abs=6e-5)

    def test_ba_constant(self) -> None:
        ba = BareThread(
            pitch_diameter_mm=20.0,
            pitch_mm=1.0,
            pressure_flank_angle_deg=23.75,
            clearance_flank_angle_deg=23.75,
        )
        got = angle_effect_mm(groove=groove_of(ba), pressure_error_deg=1.0, clearance_error_deg=0.0)
        assert got == pytest.approx(0.0091, abs=6e-5)

    @pytest.mark.parametrize("side", ["external", "internal"])
    @given(first=st.floats(-1.0, 1.0), second=st.floats(-1.0, 1.0))
    def test_number_form_is_the_rounded_formula(
        self, side: Side, first: float, second: float
    ) -> None:
        """0.073, 2 and 3 are roundings of 0.0727, 2 and 3: within half a per cent."""
        errors: dict[str, Any] = {
            "groove": groove_of(of_form(ISO_FORM, side=side)),
            "pressure_error_deg": first,
            "clearance_error_deg": second,
        }
        exact = angle_effect_mm(**errors)
        assert angle_effect_mm(**errors, rule="iso") == pytest.approx(exact, rel=0.005, abs=1e-12)

    def test_mean_rule_lies_between_the_signs(self) -> None:
        """0.36 P = (2 + 3) / 2 x 2 x 0.073 P for both flanks alike."""
        groove = groove_of(of_form(ISO_FORM))
        both = [
            angle_effect_mm(groove=groove, pressure_error_deg=e, clearance_error_deg=e)
            for e in (0.2, -0.2)
        ]
        mean = angle_effect_mm(
            groove=groove, pressure_error_deg=0.2, clearance_error_deg=0.2, rule="mean"
        )
        assert mean == pytest.approx(sum(both) / 2, rel=0.011)
        assert both[0] < mean < both[1]

    @pytest.mark.parametrize("rule", ["iso", "mean"])
    def test_sixty_degree_numbers_are_not_used_elsewhere(self, rule: AngleRule) -> None:
        with pytest.raises(InfeasibleError, match="60 degree"):
            angle_effect_mm(
                groove=groove_of(of_form(WHITWORTH_FORM)),
                pressure_error_deg=0.1,
                clearance_error_deg=0.1,
                rule=rule,
            )

    def test_unknown_heights(self) -> None:
        odd = BareThread(
            pitch_diameter_mm=20.0,
            pitch_mm=1.0,
            pressure_flank_angle_deg=20.0,
            clearance_flank_angle_deg=20.0,
        )
        with pytest.raises(InfeasibleError, match="heights"):
            angle_effect_mm(groove=groove_of(odd), pressure_error_deg=0.1, clearance_error_deg=0.1)

    @pytest.mark.parametrize(("error", "fine"), [(5.0, True), (-5.0, True), (5.01, False)])
    def test_range(self, error: float, fine: bool) -> None:
        groove = groove_of(m10_6g())
        if fine:
            assert angle_effect_mm(groove=groove, pressure_error_deg=error, clearance_error_deg=0.0)
        else:
            with pytest.raises(OutOfRange):
                angle_effect_mm(groove=groove, pressure_error_deg=error, clearance_error_deg=0.0)


class TestFunctionalSize:
    def test_example(self) -> None:
        """f_P 13.9 and f_A 0.073 x 1.5 x (3 x 20 + 3 x 20) = 13.1 µm; 8.957, under 8.994."""
        got = functional_size(
            thread=m10_6g(),
            pitch_diameter_mm=8.930,
            pitch_error_mm=0.008,
            pressure_error_deg=-20 / 60,
            clearance_error_deg=-20 / 60,
            angle_rule="iso",
        )
        assert 1000 * got.pitch_effect_mm == pytest.approx(13.86, abs=0.01)
        assert 1000 * got.angle_effect_mm == pytest.approx(13.14, abs=0.01)
        assert got.functional_pitch_diameter_mm == pytest.approx(8.957, abs=1e-4)
        assert got.passes_go is True
        assert got.left_to_go_limit_mm == pytest.approx(8.994 - 8.957, abs=1e-4)

    def test_internal_acts_smaller(self) -> None:
        trail = Trail()
        got = functional_size(
            thread=m10_6h(), pitch_diameter_mm=9.036, pitch_error_mm=0.01, trail=trail
        )
        assert got.functional_pitch_diameter_mm == pytest.approx(9.036 - 0.017321, abs=1e-6)
        assert got.passes_go is False
        assert got.pitch_diameter_for_go_mm == pytest.approx(9.026 + 0.017321, abs=1e-6)
        assert "go-gauge-refuses" in {caution.code for caution in trail.cautions}

    def test_no_errors_no_difference(self) -> None:
        got = functional_size(thread=m10_6g(), pitch_diameter_mm=8.994)
        assert got.functional_pitch_diameter_mm == 8.994
        assert got.passes_go is True

    def test_bare_thread_has_no_go_limit(self) -> None:
        got = functional_size(
            thread=BareThread(
                pitch_diameter_mm=9.0,
                pitch_mm=1.5,
                pressure_flank_angle_deg=30.0,
                clearance_flank_angle_deg=30.0,
            ),
            pitch_diameter_mm=9.0,
            pitch_error_mm=0.01,
        )
        assert got.passes_go is None
        assert got.left_to_go_limit_mm is None

    def test_inch_record(self) -> None:
        one = functional_size(
            thread=unc_3_4_2a(), pitch_diameter_mm=25.4 * 0.68, pitch_error_mm=0.01
        )
        other = functional_size(
            thread=unc_3_4_2a().in_millimetres(), pitch_diameter_mm=25.4 * 0.68, pitch_error_mm=0.01
        )
        assert one == other
        assert one.go_limit_mm == pytest.approx(25.4 * 0.6832)

    def test_pitch_diameter_must_be_above_zero(self) -> None:
        with pytest.raises(OutOfRange):
            functional_size(thread=m10_6g(), pitch_diameter_mm=0.0)

    @given(
        lead=st.floats(-0.05, 0.05),
        first=st.floats(-1.0, 1.0),
        second=st.floats(-1.0, 1.0),
        size=st.floats(8.8, 9.0),
    )
    def test_errors_never_help(self, lead: float, first: float, second: float, size: float) -> None:
        errors: dict[str, Any] = {
            "pitch_diameter_mm": size,
            "pitch_error_mm": lead,
            "pressure_error_deg": first,
            "clearance_error_deg": second,
        }
        screw = functional_size(thread=m10_6g(), **errors)
        nut = functional_size(thread=m10_6h(), **errors)
        assert screw.functional_pitch_diameter_mm >= size >= nut.functional_pitch_diameter_mm

    @pytest.mark.parametrize(
        ("relative", "length"), [(0.11, 10.0), (-0.11, 10.0), (0.001, 0.0), (0.001, -3.0)]
    )
    def test_accumulation_range(self, relative: float, length: float) -> None:
        with pytest.raises(OutOfRange):
            accumulated_pitch_error_mm(
                relative_error_ratio=relative, length_of_engagement_mm=length
            )


class TestHeatTreatment:
    M20 = thread(
        designation="M20-6g",
        form=ISO_FORM,
        major=20.0,
        pitch_diameter=18.376,
        minor=17.294,
        pitch=2.5,
        limits=((19.958, 19.623), (18.334, 18.164), (None, None)),
        allowance=0.042,
    )

    def test_example(self) -> None:
        """e -0.05 %, Le 20: E -9 µm, f_P +17 µm, acts 8 µm larger though it shrank."""
        got = heat_treatment_change(
            thread=self.M20,
            pitch_diameter_mm=18.334,
            growth_ratio=-0.0005,
            length_of_engagement_mm=20.0,
        )
        assert 1000 * got.pitch_diameter_change_mm == pytest.approx(-9.2, abs=0.05)
        assert 1000 * got.pitch_effect_mm == pytest.approx(17.3, abs=0.05)
        assert 1000 * got.functional_change_mm == pytest.approx(8.2, abs=0.06)

    def test_internal_acts_smaller(self) -> None:
        got = heat_treatment_change(
            thread=m10_6h(),
            pitch_diameter_mm=9.1,
            growth_ratio=0.0005,
            length_of_engagement_mm=10.0,
        )
        assert got.functional_change_mm == pytest.approx(9.1 * 0.0005 - 1.7320508 * 0.005)

    @given(
        side=st.sampled_from([m10_6g, m10_6h]),
        low=st.floats(-0.001, 0.001),
        spread=st.floats(0.0, 0.0005),
        length=st.floats(3.0, 30.0),
        at=st.floats(0.0, 1.0),
        within=st.floats(0.0, 1.0),
    )
    def test_every_part_cut_inside_ends_inside(
        self, side: Any, low: float, spread: float, length: float, at: float, within: float
    ) -> None:
        """Any size between the two limits, grown by anything between the two growths."""
        made: ThreadLimits = side()
        try:
            got = before_heat_treatment(
                thread=made,
                growth_min_ratio=low,
                growth_max_ratio=low + spread,
                length_of_engagement_mm=length,
            )
        except InfeasibleError:
            return
        high_mm, low_mm = got.pitch_diameter.max_mm, got.pitch_diameter.min_mm
        assert high_mm is not None
        assert low_mm is not None
        size = low_mm + at * (high_mm - low_mm)
        grown = size * (1 + low + within * spread)
        lost = 3**0.5 * abs((low + within * spread) * length)
        limits = made.limits.pitch_diameter
        assert limits.max is not None
        assert limits.min is not None
        if made.side == "external":
            assert grown + lost <= limits.max + 1e-9
            assert grown >= limits.min - 1e-9
        else:
            assert grown - lost >= limits.min - 1e-9
            assert grown <= limits.max + 1e-9

    def test_the_limits_are_not_tighter_than_needed(self) -> None:
        """One growth: a part at the limit ends exactly on it."""
        got = before_heat_treatment(
            thread=self.M20,
            growth_min_ratio=0.0005,
            growth_max_ratio=0.0005,
            length_of_engagement_mm=20.0,
        )
        high, low = got.pitch_diameter.max_mm, got.pitch_diameter.min_mm
        assert high is not None
        assert low is not None
        assert high * 1.0005 + 3**0.5 * 0.01 == pytest.approx(18.334, abs=1e-9)
        assert low * 1.0005 == pytest.approx(18.164, abs=1e-9)
        assert got.major_diameter.max_mm == pytest.approx(19.958 / 1.0005)

    def test_internal_growth_and_its_working(self) -> None:
        """M10-6H, 0 to 0.05 %, Le 8: min (9.026 + sqrt 3 x 0.004) / 1.0005, max 9.206 / 1.0005."""
        trail = Trail(steps=[])
        got = before_heat_treatment(
            thread=m10_6h(),
            growth_min_ratio=0.0,
            growth_max_ratio=0.0005,
            length_of_engagement_mm=8.0,
            trail=trail,
        )
        assert got.pitch_diameter.min_mm == pytest.approx((9.026 + 3**0.5 * 0.004) / 1.0005)
        assert got.pitch_diameter.max_mm == pytest.approx(9.206 / 1.0005)
        assert got.pitch_effect_mm == pytest.approx(3**0.5 * 0.004)
        assert trail.steps is not None
        assert [step.symbol for step in trail.steps] == ["E_max_pre", "E_min_pre"]
        assert "growth-measured" in {caution.code for caution in trail.cautions}

    def test_size_must_be_above_zero(self) -> None:
        with pytest.raises(OutOfRange):
            heat_treatment_change(
                thread=self.M20,
                pitch_diameter_mm=0.0,
                growth_ratio=0.0005,
                length_of_engagement_mm=20.0,
            )

    def test_length_of_the_thread_is_used(self) -> None:
        made = replace(self.M20, length_of_engagement=20.0)
        named = before_heat_treatment(
            thread=self.M20,
            growth_min_ratio=0.0,
            growth_max_ratio=0.0005,
            length_of_engagement_mm=20.0,
        )
        own = before_heat_treatment(thread=made, growth_min_ratio=0.0, growth_max_ratio=0.0005)
        assert own.pitch_diameter == named.pitch_diameter

    @pytest.mark.parametrize(
        ("change", "error", "parameter"),
        [
            ({"growth_max_ratio": 0.05}, OutOfRange, "growth"),
            ({"growth_min_ratio": 0.0008}, OutOfRange, "growth_min"),
            ({"length_of_engagement_mm": None}, MissingInputError, "length_of_engagement"),
            ({"length_of_engagement_mm": 0.0}, OutOfRange, "length_of_engagement"),
            ({"growth_max_ratio": 0.01}, InfeasibleError, "growth_max"),
        ],
    )
    def test_bad_input(
        self, change: dict[str, Any], error: type[CalcError], parameter: str
    ) -> None:
        arguments: dict[str, Any] = {
            "thread": self.M20,
            "growth_min_ratio": 0.0,
            "growth_max_ratio": 0.0005,
            "length_of_engagement_mm": 20.0,
        }
        with pytest.raises(error) as refused:
            before_heat_treatment(**{**arguments, **change})
        assert refused.value.parameter == parameter
