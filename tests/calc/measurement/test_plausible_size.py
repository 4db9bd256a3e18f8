"""Sizes that a thread cannot have are refused, not judged."""

from __future__ import annotations

import pytest

from support.sample_threads import m10_6g, m10_6h
from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.measurement.plausible_size import check_plausible
from threadwright_service.calc.measurement.treatments.functional_size import functional_size
from threadwright_service.calc.measurement.wires.wire_measurement import wire_measurement


@pytest.mark.parametrize("measured_mm", [102.285, 1.02285, 8.928, 0.40270, 0.001])
def test_a_reading_with_a_misplaced_point_or_in_another_unit(measured_mm: float) -> None:
    """M10x1.5-6g over the best wire reads 10.229 mm in its middle (derivation: E + 1.5 W)."""
    with pytest.raises(OutOfRangeError, match="not a reading of this thread") as refused:
        wire_measurement(thread=m10_6g(), measured_mm=measured_mm)
    assert refused.value.parameter == "measured"
    assert ("inches given as mm" in refused.value.detail) is (measured_mm == 0.40270)


@pytest.mark.parametrize("measured_mm", [10.0, 10.229, 10.6])
def test_a_bad_part_is_still_judged(measured_mm: float) -> None:
    verdict = wire_measurement(thread=m10_6g(), measured_mm=measured_mm).verdict
    assert verdict == ("accept" if measured_mm == 10.229 else "reject")


def test_a_reading_between_balls() -> None:
    with pytest.raises(OutOfRangeError, match="of ball"):
        wire_measurement(thread=m10_6h(), measured_mm=86.81)


def test_a_functional_size_starts_from_a_pitch_diameter_of_the_thread() -> None:
    with pytest.raises(OutOfRangeError, match="not a pitch diameter of M10") as refused:
        functional_size(thread=m10_6g(), pitch_diameter_mm=89.3)
    assert refused.value.parameter == "measured_pitch_diameter"


@pytest.mark.parametrize(("size_mm", "refused"), [(8.127, False), (8.125, True), (9.927, True)])
def test_the_bound_is_a_share_of_the_pitch(size_mm: float, refused: bool) -> None:
    def check() -> None:
        check_plausible(
            size_mm=size_mm, expected_mm=9.026, pitch_mm=1.5, parameter="measured", what="a size"
        )

    if refused:
        with pytest.raises(OutOfRangeError) as error:
            check()
        assert error.value.accepted == "8.126 mm to 9.926 mm"
    else:
        check()
