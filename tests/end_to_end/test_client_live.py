"""The client and the shell against the service as it is shipped: gunicorn on a port of loopback."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from itertools import islice
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import pytest
import requests

from support.examples import EXAMPLE_IDS, EXAMPLES
from support.servers import ROOT, Process, free_port, gunicorn
from threadwright import (
    Client,
    ConnectionFailedError,
    InvalidInputError,
    RefusedError,
    UnauthorisedError,
)
from threadwright.results.threads import ThreadLimits
from threadwright_service.api.operation import Example, Operation

JOBS = ROOT / "client" / "examples"


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    """One worker of the service."""
    with gunicorn(tmp_path_factory.mktemp("service") / "log", WORKERS="1") as process:
        yield process


@pytest.fixture(scope="module")
def client(service: Process) -> Iterator[Client]:
    with Client(service.url) as made:
        yield made


@pytest.mark.parametrize(("operation", "example"), EXAMPLES, ids=EXAMPLE_IDS)
def test_every_operation_over_a_socket(
    operation: Operation, example: Example, client: Client
) -> None:
    keys = {**example.request, "working": True}
    result = client.call(operation.name, keys)
    assert result == Client().call(operation.name, keys)
    assert result.request_id


def test_bad_input_over_a_socket(client: Client) -> None:
    with pytest.raises(RefusedError) as refused:
        client.thread_limits(designation="M24x1.5-9z")
    assert refused.value.request_id
    with pytest.raises(InvalidInputError, match="NaN is not JSON"):
        client.thread_limits(designation="M24x1.5-6g", pitch=float("nan"))


def test_a_batch_with_bad_rows_over_a_socket(client: Client) -> None:
    _check_a_long_batch(client)


def test_a_batch_with_bad_rows_in_this_process() -> None:
    with Client() as client:
        _check_a_long_batch(client)


def _check_a_long_batch(client: Client) -> None:
    """10,000 rows by a generator, a hundred of them bad: each answer in its place."""
    rows = [{"designation": f"M{number % 60 + 10}x1-6g"} for number in range(10_000)]
    rows[::100] = [{"designation": "no thread"}] * 100
    results = client.batch((row for row in rows), operation="thread-limits")
    wrong = [
        number
        for number, (row, result) in enumerate(zip(rows, results, strict=True))
        if not (
            isinstance(result, RefusedError)
            if row["designation"] == "no thread"
            else isinstance(result, ThreadLimits) and result.input == row
        )
    ]
    assert not wrong


def test_other_forms_over_a_socket(client: Client) -> None:
    assert client.text("thread-limits", "limits.pitch_diameter.max", designation="M24x1.5-6g") == (
        "22.994"  # ISO 965-2 and handbook tables
    )
    assert client.document("thread-limits", "csv", designation="M10-6H").startswith(b"designation,")
    assert {family.family for family in client.threads()} >= {"unified", "iso-metric"}
    assert client.materials()


def test_a_key_is_asked_for(tmp_path: Path) -> None:
    with gunicorn(tmp_path / "log", WORKERS="1", API_KEYS="secret,other") as process:
        with Client(process.url) as client, pytest.raises(UnauthorisedError):
            client.thread_limits(designation="M10-6H")
        with Client(process.url, token="other") as client:
            assert client.thread_limits(designation="M10-6H").pitch == 1.5
            assert client.text("thread-limits", "pitch", designation="M10-6H") == "1.5"


def test_many_threads_at_once(client: Client) -> None:
    def ask(number: int) -> bool:
        designation = f"M{number % 50 + 10}x1-6g"
        return client.thread_limits(designation=designation).nominal_diameter == number % 50 + 10

    with ThreadPoolExecutor(8) as pool:
        assert all(pool.map(ask, range(400)))


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system has no fork")
@pytest.mark.filterwarnings("ignore:.*use of fork.*:DeprecationWarning")
def test_a_forked_process_keeps_off_the_connections_of_its_parent(client: Client) -> None:
    """On one connection the answers of both would reach whoever reads first."""

    def wrong(diameter: int) -> int:
        return sum(
            client.thread_limits(designation=f"M{diameter}x1-6g").nominal_diameter != diameter
            for _ in range(100)
        )

    assert wrong(10) == 0, "a connection is open"
    child = os.fork()
    if not child:
        code = 1
        try:
            code = int(wrong(12) > 0)
        finally:
            os._exit(code)
    assert wrong(10) == 0
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


def limits_in_another_process(url: str, designation: str) -> ThreadLimits:
    with Client(url) as client:
        return client.thread_limits(designation=designation)


def test_results_and_errors_cross_processes(service: Process) -> None:
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        limits = pool.submit(limits_in_another_process, service.url, "M24x1.5-6g").result()
        assert limits.limits.pitch_diameter.max == 22.994
        failing = pool.submit(limits_in_another_process, service.url, "no thread")
        with pytest.raises(RefusedError) as caught:
            failing.result()
        assert caught.value.request_id


def test_a_killed_worker_costs_no_answer(tmp_path: Path) -> None:
    with gunicorn(tmp_path / "log", WORKERS="1") as process, Client(process.url) as client:
        client.thread_limits(designation="M10-6H")
        (worker,) = process.workers()
        os.kill(worker, signal.SIGKILL)
        assert client.thread_limits(designation="M24x1.5-6g").pitch == 1.5


def test_a_restart_during_a_batch_costs_no_answer(tmp_path: Path) -> None:
    """The service goes away between two requests of a batch and comes back within the retries."""
    port = free_port()
    first = gunicorn(tmp_path / "first.log", port=port, WORKERS="1")
    rows = [{"designation": f"M{number % 60 + 10}x1-6g"} for number in range(6_000)]
    with first, Client(first.url, retries=6) as client:
        results = client.batch_iter(rows, operation="thread-limits")
        came = list(islice(results, 1_000))
        first.signal(signal.SIGTERM)
        first.wait(10)
        with gunicorn(tmp_path / "second.log", port=port, WORKERS="1", ready=None):
            came += results
    assert [result.input for result in came if isinstance(result, ThreadLimits)] == rows


def shell(*argv: str, **settings: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "threadwright", *argv],
        capture_output=True,
        text=True,
        check=False,
        env={
            **os.environ,
            "PYTHONPATH": os.pathsep.join((str(ROOT / "client"), str(ROOT / "service"))),
            **settings,
        },
    )


def test_the_shell_over_a_socket(service: Process) -> None:
    job = str(JOBS / "levelling_screws.json")
    told = shell("job-sheet", "--file", job, "--field", "thread.limits.pitch_diameter.max",
                 THREADWRIGHT_URL=service.url)  # fmt: skip
    assert (told.returncode, told.stdout) == (0, "22.994\n"), told.stderr
    listed = shell("thread-limits", "--designation", "nothing", "--url", service.url)
    assert listed.returncode == 3
    assert "Traceback" not in listed.stderr


def test_serve_starts_the_service_and_ends_when_told() -> None:
    port = free_port()
    process = subprocess.Popen(
        [sys.executable, "-m", "threadwright", "serve", "--bind", f"127.0.0.1:{port}",
         "--workers", "1", "--threads", "2"],
        stderr=subprocess.PIPE,
        env={**os.environ,
             "PYTHONPATH": os.pathsep.join((str(ROOT / "client"), str(ROOT / "service")))},
    )  # fmt: skip
    try:
        url = f"http://127.0.0.1:{port}"
        with Client(url, retries=0) as client:
            limits = _when_ready(client)
        assert limits.pitch == 1.5
        settings = requests.get(f"{url}/readyz", timeout=5)
        assert settings.status_code == 200
    finally:
        process.terminate()
        _, told = process.communicate(timeout=20)
    assert b"Traceback" not in told
    assert process.returncode == 0


def _when_ready(client: Client) -> ThreadLimits:
    ends = time.monotonic() + 20
    while True:
        try:
            return client.thread_limits(designation="M10-6H")
        except ConnectionFailedError:
            if time.monotonic() > ends:
                raise
            time.sleep(0.05)


@pytest.mark.parametrize("rows", [3])
def test_a_batch_by_the_shell_over_a_socket(service: Process, tmp_path: Path, rows: int) -> None:
    file = tmp_path / "rows.json"
    given: list[dict[str, Any]] = [{"designation": "M24x1.5-6g"}] * rows
    file.write_text(json.dumps(given), encoding="utf-8")
    told = shell("batch", "--operation", "thread-limits", "--file", str(file), "--url", service.url)
    assert told.returncode == 0, told.stderr
    assert [item["result"]["pitch"] for item in json.loads(told.stdout)] == [1.5] * rows
