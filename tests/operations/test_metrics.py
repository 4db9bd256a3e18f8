"""The counts of several workers are joined, and outlive a worker."""

from __future__ import annotations

import os
import re
import signal
import time
from pathlib import Path

import pytest

from support.load import exchange, get
from support.servers import gunicorn

pytestmark = pytest.mark.operations


def test_counts_of_all_workers(tmp_path: Path) -> None:
    with gunicorn(tmp_path / "service.log", WORKERS="2", METRICS="true") as service:
        for size in range(3, 60):
            exchange(service.address, get(f"/v1/thread-limits?designation=M{size}x0.5-6g"))
        first = _counted(service.address)
        assert first == 57
        victim = min(service.workers())
        os.kill(victim, signal.SIGTERM)
        for _ in range(100):
            if victim not in service.workers() and len(service.workers()) == 2:
                break
            time.sleep(0.1)
        assert _counted(service.address) == 57, "what the ended worker counted stays"


def _counted(address: tuple[str, int]) -> int:
    _, _, body = exchange(address, get("/metrics"))
    pattern = r'threadwright_requests_total\{[^}]*route="/v1/thread-limits"[^}]*\} ([0-9.]+)'
    return int(sum(float(value) for value in re.findall(pattern, body.decode())))
