"""Bad requests by the thousand, and by the million: none is answered with a server's fault."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

import pytest

from support.bad_requests import bad_batches, bad_requests
from support.load import Load, Tally
from support.servers import Process, gunicorn

SEED = 20261129
ITEMS = 200
"""Bad items of one batch."""


@pytest.fixture
def service(tmp_path: Path) -> Iterator[Process]:
    """Two workers that keep no answers, so that each is worked through; none is ever renewed."""
    log = tmp_path / "log"
    with gunicorn(log, WORKERS="2", KEPT_ANSWERS="0", MAX_REQUESTS="0") as process:
        yield process


def told(_: bytes, status: int, body: bytes) -> bool:
    """Whether an answer is what a caller can work with.

    A refusal is a problem that says the same status (RFC 9457); gunicorn itself refuses what is no
    HTTP, before the service sees it, in HTML.
    """
    if status < 400:
        return True
    if status == 400 and body.startswith(b"<html>"):
        return True
    return status < 500 and b'"status":%d' % status in body and b'"detail":"' in body


def told_of_items(_: bytes, status: int, body: bytes) -> bool:
    """Whether each item of a batch has its own answer, and none a server's fault."""
    if status != 200:
        return False
    items = json.loads(body)["items"]
    return len(items) == ITEMS and all(
        item["status"] == 200
        or (400 <= item["status"] < 500 and item["error"]["status"] == item["status"])
        for item in items
    )


def run(service: Process, requests: int, batches: int) -> tuple[Tally, Tally]:
    """What became of so many bad requests, and of so many batches of bad items."""
    workers = service.workers()
    single = Load(service.address, islice(bad_requests(SEED), requests), check=told).run()
    sent = islice(bad_batches(SEED, ITEMS), batches)
    many = Load(service.address, sent, connections=2, check=told_of_items).run()
    for tally in (single, many):
        assert not tally.faults(), (tally.faults(), tally.first_wrong)
    assert single.answered == requests
    assert many.answered == batches
    refused = sum(count for status, count in single.statuses.items() if status >= 400)
    assert refused > 0.8 * requests, "most of them are bad"
    assert service.workers() == workers, "no worker ended"
    assert "Traceback" not in service.log.read_text(encoding="utf-8", errors="replace")
    return single, many


@pytest.mark.operations
def test_thousands_of_bad_requests(service: Process) -> None:
    run(service, requests=5_000, batches=10)


@pytest.mark.fuzz
def test_a_million_bad_requests(service: Process, capsys: pytest.CaptureFixture[str]) -> None:
    single, many = run(service, requests=1_000_000, batches=1_000)
    with capsys.disabled():
        sys.stdout.write(
            f"\n{single.answered:,} requests and {many.answered * ITEMS:,} items of batches in "
            f"{single.seconds + many.seconds:.0f} s, answered {dict(single.statuses)}\n"
        )
