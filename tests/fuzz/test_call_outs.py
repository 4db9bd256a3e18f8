"""The reader of call-outs meets anything: a thread or a refusal, at once."""

from __future__ import annotations

import time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from support.mutations import CALL_OUTS
from threadwright_service.calc.errors import CalcError
from threadwright_service.calc.threads.limits import thread_limits
from threadwright_service.calc.trail import Trail

WORDS = (
    "M MJ UN UNC UNF UNEF UNS UNJ UNJF UNR UNRC Tr TR ACME STUB G R Rp Rc Rs NPT W BSW BSF S "
    "LH RH -LH left right 2A 2B 3A 1B 6g 6H 4h6h 5g6g 7e 7H 2G 3G 5C A B medium free close "
    "1/4 3/4 1 1/2 #10 #0 10 24 0.25 .5 1.5 20 16 8 64 1000 1e9 0 -1 007 10-32 "
    "x X × - -- . , ; : ( ) P7 (P7) L14 / \\ \" ' # ° Ø ø mm in TPI tpi DS SE"
)
STRANGE = [
    "",
    "\t",
    "\n",
    "\xa0",
    "−",
    "１",
    "٣",
    "\x00",
    "�",
    "½",
    "e",
    "nan",
    "inf",
]  # a blank too
PIECES = (*WORDS.split(), *STRANGE)
pieces = st.lists(st.sampled_from(PIECES), min_size=1, max_size=9).map("".join)
spaced = st.lists(st.sampled_from(PIECES), min_size=1, max_size=7).map(" ".join)


@st.composite
def changed(draw: st.DrawFn) -> str:
    """A right call-out with a piece put in, taken out or put in place of another."""
    text = draw(st.sampled_from(CALL_OUTS))
    at = draw(st.integers(0, len(text)))
    gone = draw(st.integers(0, 3))
    return text[:at] + draw(st.sampled_from(("", *PIECES))) + text[at + gone :]


call_outs = st.one_of(changed(), changed(), pieces, spaced, st.text(max_size=60))
many = st.lists(call_outs, min_size=50, max_size=50)
unhurried = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example]


def read(text: str) -> bool:
    """Read a call-out, or be refused with a reason; whether it was a thread."""
    try:
        thread = thread_limits(designation=text, trail=Trail())
    except CalcError as refusal:
        if not (refusal.detail and refusal.code):
            raise
        return False
    assert thread.pitch > 0
    again = thread_limits(designation=thread.designation, side=thread.side, trail=Trail())
    assert again.designation == thread.designation, "the normalised call-out is a fixed point"
    return True


@settings(max_examples=100, deadline=None, derandomize=True, suppress_health_check=unhurried)
@given(many)
def test_thousands(texts: list[str]) -> None:
    for text in texts:
        read(text)


@pytest.mark.fuzz
@settings(max_examples=20_000, deadline=None, suppress_health_check=unhurried, database=None)
@given(many)
def test_a_million(texts: list[str]) -> None:
    for text in texts:
        read(text)


@pytest.mark.parametrize(
    "text",
    [
        "M" * 100_000,
        "1/" * 50_000,
        "(" * 50_000,
        " " * 100_000 + "M10",
        "M10" + "x1" * 50_000,
        "9" * 5_000 + "-20 UNC-2A",
        "M10x1.5-6g" + " LH" * 20_000,
        "Tr 40x14(P7" + "(" * 10_000,
    ],
    ids=lambda text: f"{text[:12]}... of {len(text)}",
)
def test_a_long_one_takes_no_time(text: str) -> None:
    began = time.perf_counter()
    assert not read(text)
    assert time.perf_counter() - began < 0.5


def test_the_right_ones_are_read() -> None:
    """So that the fuzzing does not only meet refusals."""
    assert sum(read(text) for text in CALL_OUTS) >= 20
