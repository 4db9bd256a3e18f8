"""Call-outs without end, each different from all before: nothing that is kept can answer them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import count, islice

from support.load import get, post

_COUNTS = (16, 12, 20, 18, 14, 11, 13, 10, 8, 9)
_PITCHES = (1, 1.5, 0.75, 1.25, 2, 3)
_CLASSES = ("6g", "6h", "6e", "4h")
_numbers = count(1)
_metric_numbers = count(0)


def unified() -> Iterator[str]:
    """Special diameters of the Unified form, as ``1.2345-16 UNS-2A``."""
    for number in _numbers:
        if number % 625:  # sixteenths of an inch belong to a series of their own
            size, pitch = number % 30_000, number // 30_000 % len(_COUNTS)
            yield f"{1 + size / 10_000:.4f}-{_COUNTS[pitch]} UNS-2A"


def metric() -> Iterator[str]:
    """Diameters outside the general plan, as ``M24.37x1.5-6g``."""
    for number in _metric_numbers:
        size, rest = number % 40_000, number // 40_000
        each = _CLASSES[rest // len(_PITCHES) % len(_CLASSES)]
        yield f"M{30 + size / 1000:.3f}x{_PITCHES[rest % len(_PITCHES)]}-{each}"


def gets(call_outs: Iterator[str], more: str = "") -> Iterator[bytes]:
    """A GET of the limits of each."""
    for call_out in call_outs:
        yield get(f"/v1/thread-limits?designation={call_out.replace(' ', '%20')}{more}")


def posts(call_outs: Iterator[str]) -> Iterator[bytes]:
    """A POST of each."""
    for call_out in call_outs:
        yield post("/v1/thread-limits", json.dumps({"designation": call_out}).encode())


def batches(call_outs: Iterator[str], size: int) -> Iterator[bytes]:
    """POSTs of batches of so many."""
    while True:
        items = [
            {"operation": "thread-limits", "params": {"designation": call_out}}
            for call_out in islice(call_outs, size)
        ]
        yield post("/v1/batch", json.dumps({"items": items}).encode())
