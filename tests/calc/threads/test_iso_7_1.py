"""Taper and parallel pipe threads R, Rc, Rp: gauge plane, taper, lengths."""

from __future__ import annotations

import pytest

from threadwright_service.calc.errors import (
    AmbiguousError,
    CalcError,
    NotTabulatedError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.pipe import iso_7_1
from threadwright_service.calc.threads.registry import Fields
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail


def of(text: str, distance: float | None = None) -> ThreadLimits:
    call_out = iso_7_1.parse(text)
    assert call_out is not None
    return iso_7_1.limits(call_out, distance_from_gauge_plane=distance)


def test_recalled_lengths() -> None:
    """ISO 7-1 Table 1, the row of 1/2, recalled: 8.2 (10.0, 6.4) and 13.2 (15.0, 11.4)."""
    reference = of("R 1/2").reference
    assert reference["gauge_length"] == 8.2
    assert (reference["gauge_length_max"], reference["gauge_length_min"]) == (10.0, 6.4)
    assert reference["useful_thread_length"] == 13.2
    assert reference["useful_thread_length_max"] == 15.0
    assert reference["useful_thread_length_min"] == 11.4


@pytest.mark.parametrize(
    ("text", "normal"),
    [
        ("R 1/2", "R 1/2"),
        ("R1/2 LH", "R 1/2 LH"),
        ("Rp1/2", "Rp 1/2"),
        ("RC 1-1/4", "Rc 1 1/4"),
        ("3/4 BSPT male", "R 3/4"),
        ("3/4 BSPT female", "Rc 3/4"),
        ("3/4-14 BSPT male", "R 3/4"),
    ],
)
def test_spellings_and_their_normal_form(text: str, normal: str) -> None:
    thread = of(text)
    assert thread.designation == normal
    assert of(normal) == thread


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ("R 5/8", NotTabulatedError),
        ("R 1/2 A", UnknownDesignationError),
        ("R 1/2 internal", AmbiguousError),
        ("Rc 1/2 external", AmbiguousError),
    ],
)
def test_refusals(text: str, error: type[CalcError]) -> None:
    with pytest.raises(error) as raised:
        of(text)
    assert raised.value.accepted


def test_side_beside_the_call_out() -> None:
    call_out = iso_7_1.parse("R 1/2")
    assert call_out is not None
    assert iso_7_1.limits(call_out, side="external") == of("R 1/2")
    with pytest.raises(AmbiguousError):
        iso_7_1.limits(call_out, side="internal")


def test_diameters_along_the_taper() -> None:
    """Taper 1:16 on the diameter: 8 mm along is 0.5 mm across."""
    here, there = of("R 1/2"), of("R 1/2", -8.0)
    for name in ("major_diameter", "pitch_diameter", "minor_diameter"):
        assert getattr(here.basic, name) - getattr(there.basic, name) == pytest.approx(0.5)
    assert there.reference["distance_from_gauge_plane"] == -8.0


def test_tolerance_over_the_taper() -> None:
    """One turn on R (1.8 mm at 14 to the inch), a sixteenth of it across, either way."""
    span = of("R 1/2").limits.pitch_diameter
    assert span.tolerance == pytest.approx(2 * 1.8 / 16, abs=0.0011)
    parallel = of("Rp 1/2").limits.pitch_diameter
    assert parallel.tolerance == pytest.approx(2 * 0.142, abs=0.0011)


def test_parallel_and_taper_forms() -> None:
    assert of("Rp 1/2").form.taper_ratio == 0
    assert of("Rc 1/2").form.taper_ratio == 1 / 16
    assert of("Rc 1/2").reference["taper_half_angle_deg"] == pytest.approx(1.7899, abs=1e-4)
    assert of("Rp 1/2").basic == of("R 1/2").basic


@pytest.mark.parametrize(
    ("text", "distance"), [("R 1/2", -8.3), ("R 1/2", 5.1), ("Rc 1/2", 2.4), ("Rp 1/2", 0.0)]
)
def test_distances_off_the_thread(text: str, distance: float) -> None:
    with pytest.raises(OutOfRangeError) as raised:
        of(text, distance)
    assert raised.value.parameter == "distance_from_gauge_plane"


@pytest.mark.parametrize(("text", "distance"), [("R 1/2", -8.2), ("R 1/2", 5.0), ("Rc 1/2", 2.3)])
def test_distances_at_the_ends_of_the_thread(text: str, distance: float) -> None:
    of(text, distance)


def test_taper_is_cautioned() -> None:
    for text, expected in (("R 1/2", True), ("Rc 1/2", True), ("Rp 1/2", False)):
        trail = Trail()
        call_out = iso_7_1.parse(text)
        assert call_out is not None
        iso_7_1.limits(call_out, trail=trail)
        assert ("taper-thread" in {each.code for each in trail.cautions}) is expected


@pytest.mark.parametrize("series", ["R", "Rp", "Rc", "rc"])
def test_fields(series: str) -> None:
    call_out = iso_7_1.read(Fields(series=series, nominal_diameter="1/2"))
    assert iso_7_1.limits(call_out) == of(f"{series.capitalize()} 1/2")
    with pytest.raises(UnknownDesignationError):
        iso_7_1.read(Fields(series=series, nominal_diameter="1/2", tolerance_class="A"))


def test_sizes() -> None:
    assert len(iso_7_1.sizes()) == 45
    for size in iso_7_1.sizes():
        of(f"{size.series} {size.size}")
