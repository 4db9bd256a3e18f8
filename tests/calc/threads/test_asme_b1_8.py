"""Stub Acme threads: call-outs, the one class, modified forms. The form table: tests/published."""

from __future__ import annotations

import pytest

from threadwright_service.calc.errors import CalcError, NotTabulatedError, UnknownDesignationError
from threadwright_service.calc.threads.acme import asme_b1_8
from threadwright_service.calc.threads.registry import Fields
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail


def of(text: str, *, trail: Trail | None = None) -> ThreadLimits:
    call_out = asme_b1_8.parse(text)
    assert call_out is not None
    return asme_b1_8.limits(call_out, trail=trail)


@pytest.mark.parametrize(
    ("text", "normal"),
    [
        ("1-5 STUB ACME-2G", "1-5 STUB ACME-2G"),
        ("0.500-20 Stub Acme", "1/2-20 STUB ACME-2G"),
        ("0.500-20 STUB ACME LH", "1/2-20 STUB ACME-2G-LH"),
        ("1-5 ACME STUB 3G", "1-5 STUB ACME-3G"),
        ("STUB ACME 1-5-2G", "1-5 STUB ACME-2G"),
    ],
)
def test_spellings_and_their_normal_form(text: str, normal: str) -> None:
    thread = of(text)
    assert thread.designation == normal
    assert of(normal) == thread


def test_the_class_of_the_standard_is_assumed_aloud() -> None:
    trail = Trail()
    of("1-5 STUB ACME nut", trail=trail)
    (assumption,) = trail.assumptions
    assert (assumption.parameter, assumption.value) == ("tolerance_class", "2G")


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ("1-5 STUB ACME M1", NotTabulatedError),
        ("1-5 STUB ACME FORM 2", NotTabulatedError),
        ("1-5 STUB ACME-2C", UnknownDesignationError),
    ],
)
def test_refusals(text: str, error: type[CalcError]) -> None:
    with pytest.raises(error):
        of(text)


def test_basis_says_that_the_limits_are_recalled() -> None:
    assert "memory" in of("1-5 STUB ACME").basis


def test_geometry_of_1_5() -> None:
    """ASME B1.8: E = D - 0.3 P, K = D - 0.6 P; the 2G allowance of B1.5 at 1 in is 0.0080."""
    thread = of("1-5 STUB ACME")
    assert (thread.basic.pitch_diameter, thread.basic.minor_diameter) == (0.94, 0.88)
    assert thread.limits.pitch_diameter.max == 0.932
    assert thread.limits.minor_diameter.max == 0.86


def test_fields() -> None:
    fields = Fields(series="Stub Acme", nominal_diameter=1.0, pitch=0.2, tolerance_class="2G")
    assert asme_b1_8.limits(asme_b1_8.read(fields)) == of("1-5 STUB ACME-2G")
