"""What the tests of operation share: right answers, and servers that end with the test."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from support.load import get
from support.right_answers import RightAnswers
from support.servers import Process, gunicorn, nginx_program


@pytest.fixture(scope="session")
def right() -> RightAnswers:
    """Requests and their right answers, anchored in published limits."""
    answers = RightAnswers()
    # ISO 965-2, M24-6g: pitch diameter 22.003 to 21.803 mm.
    body = json.loads(answers.body(get("/v1/thread-limits?designation=M24-6g")))
    assert body["result"]["limits"]["pitch_diameter"] == {"max": 22.003, "min": 21.803}
    return answers


@pytest.fixture
def service(tmp_path: Path) -> Iterator[Process]:
    """The service with two workers."""
    with gunicorn(tmp_path / "service.log", WORKERS="2") as process:
        yield process


@pytest.fixture
def replicas(tmp_path: Path) -> Iterator[list[Process]]:
    """Two replicas; a test may put others in their places."""
    running: list[Process] = []
    try:
        for number in (1, 2):
            running.append(gunicorn(tmp_path / f"replica-{number}.log", WORKERS="1"))
        yield running
    finally:
        for process in running:
            process.kill()


@pytest.fixture
def has_nginx() -> None:
    """Skips where nginx is not installed."""
    if nginx_program() is None:
        pytest.skip("nginx is not installed")
