"""GO and NOT GO gauges: formulas by hand, boundaries of the tables, refusals."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.sample_threads import ISO_FORM, m10_6g, m10_6h, stub_acme_3_2, thread, unc_3_4_2a
from threadwright_service.calc.errors import InfeasibleError, NotTabulatedError
from threadwright_service.calc.measurement.gauges.asme_b1_2 import asme_gauges, x_tolerances
from threadwright_service.calc.measurement.gauges.gauge_limits import gauge_limits
from threadwright_service.calc.measurement.gauges.iso_1502 import gauge_row, iso_1502_gauges
from threadwright_service.calc.tables import load
from threadwright_service.calc.threads.limits import thread_limits
from threadwright_service.calc.threads.thread import DiameterLimits, Side, Span, ThreadLimits
from threadwright_service.calc.trail import Trail

GAUGES = "threadwright_service.calc.measurement.gauges"


def m10(tolerance_um: int, side: Side, deviation_um: int = 0) -> ThreadLimits:
    low = 9.026 + deviation_um / 1000
    pair = (
        (low + tolerance_um / 1000, low) if side == "internal" else (low, low - tolerance_um / 1000)
    )
    return thread(
        designation="M10",
        form=ISO_FORM,
        major=10.0,
        pitch_diameter=9.026,
        minor=8.376,
        pitch=1.5,
        limits=((None, None), pair, (None, None)),
        side=side,
    )


class TestIso1502:
    def test_m10_plug(self) -> None:
        """T 180: GO 9.0377 +/- 0.0055, wear 9.0202; NOT GO 9.2112 +/- 0.0055, by hand."""
        got = iso_1502_gauges(thread=m10_6h())
        go, not_go = got.go.pitch_diameter, got.not_go.pitch_diameter
        assert go.nominal_mm == pytest.approx(9.0377, abs=5e-5)
        assert go.max_mm == pytest.approx(9.0377 + 0.0055, abs=5e-5)
        assert go.wear_mm == pytest.approx(9.0202, abs=5e-5)
        assert not_go.nominal_mm == pytest.approx(9.2112, abs=5e-5)
        # Z_PL + T_PL/2 = 17.5 µm above the smallest size, W_NG = 11.5 below the NOT GO middle.
        assert got.accepted_pitch_diameter.min_mm == pytest.approx(9.0257 + 0.0175, abs=5e-5)
        assert not_go.wear_mm == pytest.approx(9.2112 - 0.0115, abs=5e-5)
        assert got.go.major_diameter is not None
        assert got.go.major_diameter.nominal_mm == pytest.approx(10.012)
        assert got.go.major_diameter.max_mm == pytest.approx(10.023)

    def test_a_plug_goes_in_and_a_ring_on(self) -> None:
        assert iso_1502_gauges(thread=m10_6h()).go.rule.startswith("The GO plug must go in by hand")
        assert iso_1502_gauges(thread=m10_6g()).go.rule.startswith("The GO ring must go on by hand")

    def test_m10_ring(self) -> None:
        """es -32, T 132: by hand from d2 = 9.025721, Z 8, T_R 18, W 21 and 15, m 18, T_CP 9."""
        got = iso_1502_gauges(thread=m10_6g())
        go, not_go = got.go.pitch_diameter, got.not_go.pitch_diameter
        assert go.nominal_mm == pytest.approx(9.025721 - 0.032 - 0.008, abs=1e-6)
        assert go.max_mm == pytest.approx(8.994721, abs=1e-6)
        assert go.wear_mm == pytest.approx(9.006721, abs=1e-6)
        assert not_go.nominal_mm == pytest.approx(9.025721 - 0.032 - 0.132 - 0.009, abs=1e-6)
        assert not_go.wear_mm == pytest.approx(8.852721 + 0.015, abs=1e-6)
        assert got.check_plug is not None
        assert got.check_plug.nominal_mm == pytest.approx(8.985721 - 0.018, abs=1e-6)
        assert got.check_plug.max_mm == pytest.approx(8.967721 + 0.0045, abs=1e-6)
        assert "memory" in got.basis

    @pytest.mark.parametrize(
        ("tolerance", "step"),
        [(25, 6), (50, 6), (51, 7), (80, 7), (81, 9), (125, 9), (126, 11), (200, 11), (201, 14),
         (315, 14), (316, 18), (500, 18), (501, 22), (670, 22)],
    )  # fmt: skip
    def test_ranges_are_over_to_and_including(self, tolerance: int, step: int) -> None:
        got = iso_1502_gauges(thread=m10(tolerance, "internal"))
        go = got.go.pitch_diameter
        assert go.max_mm is not None
        assert go.min_mm is not None
        assert 1000 * (go.max_mm - go.min_mm) == pytest.approx(step, abs=1e-6)

    @pytest.mark.parametrize("tolerance", [24, 671])
    @pytest.mark.parametrize("side", ["internal", "external"])
    def test_outside_the_table(self, tolerance: int, side: Side) -> None:
        with pytest.raises(NotTabulatedError, match="24 to 670") as refused:
            iso_1502_gauges(thread=m10(tolerance, side))
        assert refused.value.value == tolerance

    @pytest.mark.parametrize(
        ("tolerance", "published"),
        [(40, False), (60, True), (125, True), (190, True), (210, False)],
    )
    def test_basis_of_the_plugs(self, tolerance: int, published: bool) -> None:
        trail = Trail()
        got = gauge_limits(thread=m10(tolerance, "internal"), trail=trail)
        assert got.basis.startswith("sizes: published" if published else "sizes: memory")
        warned = "from-memory" in {caution.code for caution in trail.cautions}
        assert warned is not published

    def test_rows_join_and_grow(self) -> None:
        for kind in ("plug", "ring"):
            rows = list(
                load("threadwright_service.calc.measurement.gauges", f"tables/iso_1502_{kind}")
            )
            for before, after in itertools.pairwise(rows):
                assert before["to_um"] == after["over_um"]
                for column in ("T_um", "Z_um", "W_GO_um", "W_NG_um"):
                    assert float(before[column]) < float(after[column])

    def test_ring_and_plug_tables_keep_their_distance(self) -> None:
        """Wherever a ring is listed its position is 4 µm nearer to the limit than the plug's."""
        for tolerance in (30.0, 60.0, 100.0, 150.0, 250.0, 400.0, 600.0):
            ring, plug = gauge_row(tolerance, "ring"), gauge_row(tolerance, "plug")
            assert float(plug["Z_um"]) - float(ring["Z_um"]) == 4

    @given(tolerance=st.integers(25, 670), deviation=st.integers(0, 300))
    def test_plug_zones_lie_between_the_limits_of_a_good_part(
        self, tolerance: int, deviation: int
    ) -> None:
        made = m10(tolerance, "internal", deviation)
        got = iso_1502_gauges(thread=made)
        accepted = got.accepted_pitch_diameter
        limits = made.limits.pitch_diameter
        assert accepted.min_mm is not None
        assert accepted.max_mm is not None
        assert limits.max is not None
        assert limits.min is not None
        # The gauges start from the unrounded size, half a micrometre off at most.
        assert limits.min - 0.0006 <= accepted.min_mm
        assert accepted.max_mm == pytest.approx(limits.max, abs=0.0006)
        go, not_go = got.go.pitch_diameter, got.not_go.pitch_diameter
        assert go.wear_mm is not None
        assert go.min_mm is not None
        assert go.wear_mm < go.min_mm
        assert not_go.nominal_mm > go.nominal_mm

    def test_without_limits(self) -> None:
        bare = replace(
            m10_6g(),
            limits=DiameterLimits(
                major_diameter=Span(max=None, min=None),
                pitch_diameter=Span(max=8.994, min=None),
                minor_diameter=Span(max=None, min=None),
            ),
        )
        with pytest.raises(InfeasibleError):
            iso_1502_gauges(thread=bare)
        with pytest.raises(InfeasibleError):
            asme_gauges(thread=bare, standard="ASME B1.16M")


class TestAsme:
    def test_3_4_10_unc_2a_ring(self) -> None:
        """X 0.0003: GO 0.6832 to 0.6829, NOT GO 0.6773 to 0.6776 in."""
        got = gauge_limits(thread=unc_3_4_2a())
        assert got.gauge == "ring"
        go, not_go = got.go.pitch_diameter, got.not_go.pitch_diameter
        assert go.max_mm == pytest.approx(25.4 * 0.6832, abs=1e-9)
        assert go.min_mm == pytest.approx(25.4 * 0.6829, abs=1e-9)
        assert go.wear_mm == go.max_mm
        assert not_go.min_mm == pytest.approx(25.4 * 0.6773, abs=1e-9)
        assert not_go.max_mm == pytest.approx(25.4 * 0.6776, abs=1e-9)
        assert not_go.wear_mm is None
        assert got.lead_tolerance_mm == pytest.approx(25.4 * 0.0003)
        assert got.half_angle_tolerance_arcmin == 10
        assert got.accepted_pitch_diameter.max_mm == pytest.approx(25.4 * 0.6829)
        assert got.accepted_pitch_diameter.min_mm == pytest.approx(25.4 * 0.6776)

    def test_plug_grows_from_the_smallest_size(self) -> None:
        nut = replace(
            unc_3_4_2a(),
            side="internal",
            limits=DiameterLimits(
                major_diameter=Span(max=None, min=0.75),
                pitch_diameter=Span(max=0.6927, min=0.6850),
                minor_diameter=Span(max=0.663, min=0.642),
            ),
        )
        got = gauge_limits(thread=nut)
        assert got.gauge == "plug"
        assert got.go.pitch_diameter.min_mm == pytest.approx(25.4 * 0.6850)
        assert got.go.pitch_diameter.max_mm == pytest.approx(25.4 * 0.6853)
        assert got.go.pitch_diameter.wear_mm == pytest.approx(25.4 * 0.6850)
        assert got.not_go.pitch_diameter.max_mm == pytest.approx(25.4 * 0.6927)
        assert got.not_go.pitch_diameter.min_mm == pytest.approx(25.4 * 0.6924)
        assert got.go.major_diameter is not None
        assert got.go.major_diameter.nominal_mm == pytest.approx(25.4 * 0.75)

    @pytest.mark.parametrize(
        ("size", "per_inch", "x", "angle"),
        [
            (0.06, 80, 0.0002, 30), (0.1, 48, 0.0002, 30), (0.112, 44, 0.0002, 20),
            (0.112, 36, 0.0002, 20), (0.25, 32, 0.0003, 15), (0.25, 20, 0.0003, 15),
            (0.5, 18, 0.0003, 10), (1.5, 9, 0.0003, 10), (1.5, 8, 0.0004, 5), (1.5, 4, 0.0004, 5),
            (1.501, 12, 0.0004, 10), (2.0, 8, 0.0005, 5), (4.0, 4, 0.0005, 5),
        ],
    )  # fmt: skip
    def test_groups(self, size: float, per_inch: float, x: float, angle: float) -> None:
        row = x_tolerances(nominal_diameter_in=size, threads_per_inch=per_inch)
        assert (row["pitch_diameter_in"], row["half_angle_arcmin"]) == (x, angle)

    @pytest.mark.parametrize(
        ("size", "per_inch", "x", "lead", "angle"),
        [
            (0.06, 80, 0.0002, 0.0002, 30), (0.073, 64, 0.0002, 0.0002, 30),
            (0.073, 72, 0.0002, 0.0002, 30), (0.086, 56, 0.0002, 0.0002, 30),
            (0.099, 48, 0.0002, 0.0002, 30), (0.112, 40, 0.0002, 0.0002, 20),
            (0.125, 44, 0.0002, 0.0002, 20), (0.138, 32, 0.0003, 0.0003, 15),
            (0.164, 36, 0.0002, 0.0002, 20), (0.19, 24, 0.0003, 0.0003, 15),
            (0.625, 11, 0.0003, 0.0003, 10), (0.625, 18, 0.0003, 0.0003, 10),
            (0.75, 10, 0.0003, 0.0003, 10), (0.75, 16, 0.0003, 0.0003, 10),
            (0.75, 20, 0.0003, 0.0003, 15), (0.875, 9, 0.0003, 0.0003, 10),
            (0.875, 14, 0.0003, 0.0003, 10), (1.0, 8, 0.0004, 0.0004, 5),
            (1.0, 12, 0.0003, 0.0003, 10),
        ],
    )  # fmt: skip
    def test_published_x_tolerances(
        self, size: float, per_inch: float, x: float, lead: float, angle: float
    ) -> None:
        """Rows of a public chart, 'PD Charts', Table I (scribd.com/document/548196218)."""
        row = x_tolerances(nominal_diameter_in=size, threads_per_inch=per_inch)
        assert (row["pitch_diameter_in"], row["lead_in"], row["half_angle_arcmin"]) == (
            x,
            lead,
            angle,
        )
        assert str(row["basis"]).startswith("published")

    @pytest.mark.parametrize(
        ("text", "warned"), [("3/4-10 UNC-2A", False), ("2-8 UN-2A", True), ("1-5 UNS-2B", True)]
    )
    def test_what_rests_on_memory_is_cautioned(self, text: str, warned: bool) -> None:
        trail = Trail()
        gauge_limits(thread=thread_limits(designation=text), trail=trail)
        assert ("from-memory" in {caution.code for caution in trail.cautions}) is warned

    @pytest.mark.parametrize(
        ("size", "per_inch", "parameter"),
        [
            (4.001, 8, "nominal_diameter"),
            (0.0, 8, "nominal_diameter"),
            (1.0, 34, "threads_per_inch"),
            (1.0, 3.5, "threads_per_inch"),
            (0.05, 90, "threads_per_inch"),
        ],
    )
    def test_outside_the_table(self, size: float, per_inch: float, parameter: str) -> None:
        with pytest.raises(NotTabulatedError) as refused:
            x_tolerances(nominal_diameter_in=size, threads_per_inch=per_inch)
        assert refused.value.parameter == parameter

    def test_metric_gauges_carry_no_x(self) -> None:
        trail = Trail()
        got = gauge_limits(thread=m10_6g(), standard="ASME B1.16M", trail=trail)
        assert trail.cautions == []
        assert got.go.pitch_diameter.nominal_mm == pytest.approx(8.994)
        assert got.go.pitch_diameter.min_mm is None
        assert got.accepted_pitch_diameter.max_mm is None
        assert any("X tolerances" in each for each in got.not_carried)


class TestDispatch:
    def test_the_standard_taken_is_told(self) -> None:
        trail = Trail()
        assert gauge_limits(thread=m10_6h(), trail=trail).standard == "ISO 1502"
        assert [each.parameter for each in trail.assumptions] == ["gauge_standard"]

    def test_working_names_the_table(self) -> None:
        trail = Trail(steps=[])
        gauge_limits(thread=unc_3_4_2a(), trail=trail)
        assert trail.steps is not None
        assert (trail.steps[0].symbol, trail.steps[0].value) == ("X", 0.0003)
        assert trail.steps[0].source == "asme-b1-2, published chart"

    def test_given_standard_is_not_an_assumption(self) -> None:
        trail = Trail()
        gauge_limits(thread=m10_6h(), standard="ISO 1502", trail=trail)
        assert trail.assumptions == []
        assert "gauge-zone" in {caution.code for caution in trail.cautions}

    def test_no_standard_for_the_family(self) -> None:
        with pytest.raises(NotTabulatedError, match="not guessed") as refused:
            gauge_limits(thread=stub_acme_3_2())
        assert refused.value.parameter == "designation"

    def test_j_forms(self) -> None:
        with pytest.raises(NotTabulatedError, match="root radius"):
            gauge_limits(thread=replace(unc_3_4_2a(), series="UNJC"))

    def test_standard_of_another_family(self) -> None:
        with pytest.raises(InfeasibleError) as refused:
            gauge_limits(thread=m10_6h(), standard="ASME B1.2")
        assert refused.value.accepted == "ISO 1502 or ASME B1.16M"

    def test_inch_and_metric_record_of_the_same_thread(self) -> None:
        one = gauge_limits(thread=unc_3_4_2a())
        other = gauge_limits(thread=unc_3_4_2a().in_millimetres())
        assert one.go.pitch_diameter.min_mm == pytest.approx(
            other.go.pitch_diameter.min_mm, abs=1e-12
        )
