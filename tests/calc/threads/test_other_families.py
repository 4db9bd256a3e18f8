"""What must hold for every thread of these families, whatever its size and class."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from threadwright_service.calc.errors import CalcError
from threadwright_service.calc.threads.acme import asme_b1_5, asme_b1_8
from threadwright_service.calc.threads.buttress import asme_b1_9, din_513
from threadwright_service.calc.threads.designation import tidied
from threadwright_service.calc.threads.metric import iso_5855
from threadwright_service.calc.threads.pipe import asme_b1_20_1, iso_7_1, iso_228_1
from threadwright_service.calc.threads.registry import Family
from threadwright_service.calc.threads.thread import Span, ThreadLimits
from threadwright_service.calc.threads.trapezoidal import iso_2904
from threadwright_service.calc.threads.unified import asme_b1_15
from threadwright_service.calc.threads.whitworth import bs_84

FAMILIES: tuple[Family, ...] = tuple(
    module.FAMILY
    for module in (
        asme_b1_15,
        iso_5855,
        iso_2904,
        asme_b1_5,
        asme_b1_8,
        iso_228_1,
        iso_7_1,
        asme_b1_20_1,
        bs_84,
        asme_b1_9,
        din_513,
    )
)

CLASSES: dict[str, tuple[tuple[str, ...], ...]] = {
    # Per side, finest to coarsest; the text that follows size and pitch.
    "iso-trapezoidal": (("7e", "8e", "9e"), ("7H", "8H", "9H")),
    "acme": (("4G", "3G", "2G"), ("4G nut", "3G nut", "2G nut")),
    "stub-acme": (("4G", "3G", "2G"), ("4G nut", "3G nut", "2G nut")),
    "iso-228-1": (("A", "B"), ("",)),
    "iso-7-1": (("",),),
    "npt": (("",), ("nut",)),
    "whitworth": (("close bolt", "medium bolt", "free bolt"), ("medium nut", "normal nut")),
    "buttress-inch": (("3A", "2A"), ("3B", "2B")),
    "buttress-metric": (("",), ("nut",)),
    "unified-j": (("3A", "2A"), ("3B",)),
    "iso-metric-j": (("4h6h",), ("4H5H",)),
}


def text_of(family: Family, index: int, tolerance_class: str) -> str:
    """A call-out of the size with this index, counted round."""
    sizes = family.sizes()
    size = sizes[index % len(sizes)]
    count = "" if size.threads_per_inch is None else f"{size.threads_per_inch:g}"
    written: dict[str, Callable[[], str]] = {
        "iso-trapezoidal": lambda: f"Tr{size.size}x{size.pitch:g}-{tolerance_class}",
        "buttress-metric": lambda: f"S{size.size}x{size.pitch:g} {tolerance_class}",
        "iso-228-1": lambda: f"G{size.size} {tolerance_class}",
        "iso-7-1": lambda: f"{size.series} {size.size}",
        "npt": lambda: f"{size.size} NPT {tolerance_class}",
        "stub-acme": lambda: f"{size.size}-{count} STUB ACME-{tolerance_class}",
        "acme": lambda: f"{size.size}-{count} ACME-{tolerance_class}",
        "buttress-inch": lambda: f"{size.size}-{count} BUTT-{tolerance_class}",
        "whitworth": lambda: f"{size.size}-{count} {size.series} {tolerance_class}",
        "iso-metric-j": lambda: f"MJ{size.size}x{size.pitch:g}-{tolerance_class}".replace(
            "4H5H", "4H5H" if size.nominal_diameter > 5 else "4H6H"
        ),
        "unified-j": lambda: f"{size.size}-{count} {size.series}-{tolerance_class}",
    }
    return written[family.key]().strip()


def of(family: Family, text: str) -> ThreadLimits:
    call_out = family.parse(tidied(text))
    assert call_out is not None, text
    return family.limits(call_out)


def spans(thread: ThreadLimits) -> tuple[Span, Span, Span]:
    return (
        thread.limits.major_diameter,
        thread.limits.pitch_diameter,
        thread.limits.minor_diameter,
    )


indexes = st.integers(min_value=0, max_value=400)


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.key)
@settings(max_examples=40, deadline=None)
@given(index=indexes, data=st.data())
def test_limits_are_in_order(family: Family, index: int, data: st.DataObject) -> None:
    side = data.draw(st.sampled_from(CLASSES[family.key]))
    text = text_of(family, index, data.draw(st.sampled_from(side)))
    if family is asme_b1_15.FAMILY:  # its finest nuts are refused, by their own test
        assume(refusal(family, text) is None)
    thread = of(family, text)
    for span in spans(thread):
        if span.max is not None and span.min is not None:
            assert span.max > span.min
    major, pitch, minor = spans(thread)
    for outer, inner in ((major, pitch), (pitch, minor), (major, minor)):
        if outer.min is not None and inner.max is not None:
            assert outer.min > inner.max
    basic = thread.basic
    assert basic.major_diameter > basic.pitch_diameter > basic.minor_diameter > 0
    assert thread.allowance >= 0
    assert all(value >= 0 for value in thread.allowances.values())
    assert 0 < thread.lead_angle_deg < 45
    assert thread.basis
    assert thread.rounding_rule
    assert len(thread.basis) <= 1000
    assert len(thread.rounding_rule) <= 400


@pytest.mark.parametrize(
    "family", [each for each in FAMILIES if len(CLASSES[each.key][0]) > 1], ids=lambda f: f.key
)
@settings(max_examples=25, deadline=None)
@given(index=indexes)
def test_a_wider_class_has_wider_limits(family: Family, index: int) -> None:
    for side in (each for each in CLASSES[family.key] if len(each) > 1):
        tolerances = [
            of(family, text_of(family, index, name)).limits.pitch_diameter.tolerance or 0
            for name in side
        ]
        assert tolerances == sorted(tolerances)
        assert len(set(tolerances)) == len(tolerances)


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.key)
@settings(max_examples=15, deadline=None)
@given(index=indexes)
def test_left_hand_differs_in_hand_alone(family: Family, index: int) -> None:
    text = text_of(family, index, CLASSES[family.key][0][0])
    right, left = of(family, text), of(family, f"{text} LH")
    assert (right.hand, left.hand) == ("right", "left")
    assert left.limits == right.limits
    assert left.reference == right.reference
    assert "LH" in left.designation
    assert of(family, left.designation).hand == "left"


@pytest.mark.parametrize(
    "family",
    [each for each in FAMILIES if each.key not in {"iso-7-1", "npt", "buttress-metric"}],
    ids=lambda family: family.key,
)
@settings(max_examples=25, deadline=None)
@given(index=indexes)
def test_members_never_interfere(family: Family, index: int) -> None:
    """The largest screw enters the smallest nut: on flanks, and where crest meets root."""
    outside, inside = CLASSES[family.key][0], CLASSES[family.key][1]
    assume(refusal(family, text_of(family, index, inside[0])) is None)
    screw = of(family, text_of(family, index, outside[0]))
    nut = of(family, text_of(family, index, inside[0]))
    for outer, inner in zip(spans(nut), spans(screw), strict=True):
        if outer.min is not None and inner.max is not None:
            assert outer.min >= inner.max


@pytest.mark.parametrize(
    "family",
    [each for each in FAMILIES if each.key not in {"iso-228-1", "iso-7-1", "npt"}],
    ids=lambda family: family.key,
)
def test_lead_is_starts_times_pitch(family: Family) -> None:
    one = of(family, text_of(family, 30, CLASSES[family.key][0][0]))
    if family.unit == "mm":
        text = one.designation.replace(f"x{one.pitch:g}", f"x{2 * one.pitch:g}(P{one.pitch:g})", 1)
    else:
        text = f"{text_of(family, 30, CLASSES[family.key][0][0])} (2 STARTS)"
    two = of(family, text)
    assert (two.starts, two.pitch) == (2, one.pitch)
    assert two.lead == pytest.approx(2 * one.lead)
    assert math.tan(math.radians(two.lead_angle_deg)) == pytest.approx(
        2 * math.tan(math.radians(one.lead_angle_deg))
    )


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.key)
def test_the_form_closes_on_the_pitch_line(family: Family) -> None:
    """Flats fit between the flanks: P/2 on the pitch line, less what the flanks take."""
    form = of(family, text_of(family, 10, CLASSES[family.key][0][0])).form
    slope = math.tan(math.radians(form.pressure_flank_angle_deg)) + math.tan(
        math.radians(form.clearance_flank_angle_deg)
    )
    for depth, flat in (
        (form.external_root_ratio, form.external_root_flat_ratio),
        (form.internal_root_ratio, form.internal_root_flat_ratio),
    ):
        room = 0.5 - depth * slope
        assert room >= -1e-9
        assert flat == pytest.approx(room, abs=1e-6) or flat == 0
    assert 0.5 - form.addendum_ratio * slope > 0


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.key)
def test_units_are_exact(family: Family) -> None:
    """There and back by 25.4 changes nothing that counts."""
    thread = of(family, text_of(family, 5, CLASSES[family.key][0][0]))
    back = (
        thread.in_inches().in_millimetres()
        if thread.unit == "mm"
        else thread.in_millimetres().in_inches()
    )
    assert back.basic.pitch_diameter == pytest.approx(thread.basic.pitch_diameter, rel=1e-12)
    assert dict(back.reference) == pytest.approx(dict(thread.reference), rel=1e-12)


TOKENS = st.sampled_from(
    (
        *("1", "5", "40", "1/2", "1-1/2", ".5", "0", "9999", "1/0", "x", "-", "(", ")", "/", "."),
        *("P4", "(P4)", "0.2P", "0.4L", "0.0P", "in", '"', "LH", "RH", "(2 starts)", "nut", "bolt"),
        *("ACME", "STUB", "BSW", "BSF", "WHIT", "NPT", "NPTF", "G", "R", "Rp", "Rc", "BSPT"),
        *("BUTT", "PUSH", "Tr", "S", "UNJ", "UNJF"),
        *("7e", "7H", "8c", "2G", "3C", "2A", "3B", "A", "B", "medium", "close", "M1"),
    )
)


def refusal(family: Family, text: str) -> str | None:
    """What a text is refused with; any other exception than a refusal goes through."""
    try:
        call_out = family.parse(tidied(text))
        if call_out is not None:
            family.limits(call_out)
    except CalcError as error:
        return error.detail
    return None


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.key)
@settings(max_examples=250, deadline=None)
@given(tokens=st.lists(TOKENS, max_size=7), glue=st.sampled_from(["", " ", "-"]))
def test_no_text_breaks_a_parser(family: Family, tokens: list[str], glue: str) -> None:
    """Any text is read, refused with a sentence, or not ours; nothing else."""
    detail = refusal(family, glue.join(tokens))
    assert detail is None or detail


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.key)
@settings(max_examples=100, deadline=None)
@given(text=st.text(max_size=40))
def test_no_noise_breaks_a_parser(family: Family, text: str) -> None:
    for prefix in ("", "Tr", "S", "G", "R ", "1-5 ACME-", "1/2 NPT ", "1/2 BSW ", "1-8 BUTT"):
        detail = refusal(family, prefix + text)
        assert detail is None or detail


def test_each_text_belongs_to_one_family() -> None:
    """Of all these families, exactly one reads each call-out."""
    for family in FAMILIES:
        for side in CLASSES[family.key]:
            text = tidied(text_of(family, 20, side[0]))
            readers = [each.key for each in FAMILIES if each.parse(text) is not None]
            assert readers == [family.key]
