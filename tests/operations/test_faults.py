"""Load and what goes wrong under it: every lost, refused and wrong answer is counted."""

from __future__ import annotations

import json
import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from itertools import islice
from pathlib import Path

import pytest

from support.examples import EXAMPLES
from support.load import Load, Tally, exchange, get, post
from support.right_answers import RightAnswers
from support.servers import Process, gunicorn, nginx, upstream

pytestmark = pytest.mark.operations


PATIENCE_S = 60.0
"""How long anything may take on a machine that has other work, before it counts as failed."""


def under_load(load: Load, disturb: Callable[[], None]) -> Tally:
    """Run a load for as long as something disturbs it, and a second more."""
    with ThreadPoolExecutor(1) as pool:
        running = pool.submit(load.run, 4 * PATIENCE_S)
        try:
            disturb()
            time.sleep(1)
        finally:
            load.stop()
        return running.result(PATIENCE_S)


def wait_for(happened: Callable[[], bool], what: str) -> None:
    """Look again and again whether something has happened."""
    ends = time.monotonic() + PATIENCE_S
    while not happened():
        assert time.monotonic() < ends, what
        time.sleep(0.02)


def test_sustained_load_loses_nothing_and_holds_its_memory(
    service: Process, right: RightAnswers
) -> None:
    # So often that both workers have met every request on every thread.
    warm = Load(service.address, _rounds(right, 30), connections=8, check=right.holds).run()
    before = [_resident_kib(pid) for pid in sorted(service.workers())]
    tally = Load(service.address, _rounds(right, 50), connections=8, check=right.holds).run()
    after = [_resident_kib(pid) for pid in sorted(service.workers())]
    assert not warm.faults(), warm.first_wrong
    assert not tally.faults(), tally.first_wrong
    assert tally.answered == 50 * len(right)
    grown = [now / then for now, then in zip(after, before, strict=True)]
    assert max(grown) < 1.1, "the kept answers are bounded, and nothing else is kept"


def _rounds(right: RightAnswers, rounds: int) -> Iterator[bytes]:
    """Every request so many times."""
    return islice(right, rounds * len(right))


def _resident_kib(pid: int) -> int:
    status = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    return int(status.split("VmRSS:")[1].split()[0])


def test_without_the_keys_that_are_required_it_does_not_start(tmp_path: Path) -> None:
    log = tmp_path / "service.log"
    with gunicorn(log, ready=None, KEY_REQUIRED="true", API_KEYS=" , ") as service:
        assert service.wait(PATIENCE_S) != 0
        with pytest.raises(ConnectionRefusedError):
            exchange(service.address, get("/livez"))
    assert "THREADWRIGHT_API_KEYS holds no key" in log.read_text(encoding="utf-8")
    with gunicorn(log, KEY_REQUIRED="true", API_KEYS="one") as service:
        assert exchange(service.address, get("/v1/threads"))[0] == 401


def test_reload_under_load(service: Process, right: RightAnswers) -> None:
    def disturb() -> None:
        for _ in range(5):
            before = set(service.workers())
            service.signal(signal.SIGHUP)
            wait_for(lambda: not before & set(service.workers()), "new workers take over")  # noqa: B023
            time.sleep(0.2)

    load = Load(service.address, right.light(), connections=8, check=right.holds)
    tally = under_load(load, disturb)
    assert not tally.faults(), (tally.faults(), tally.first_wrong)
    assert tally.repeated == 0


def test_reload_takes_new_code(tmp_path: Path) -> None:
    code = tmp_path / "changing.py"
    text = (
        "from threadwright_service.wsgi import app\n"
        "@app.get('/which')\n"
        "def which():\n"
        "    return '{}'\n"
    )
    code.write_text(text.format("old"), encoding="utf-8")
    with gunicorn(
        tmp_path / "service.log", application="changing:app", folders=[tmp_path], WORKERS="2"
    ) as service:
        assert exchange(service.address, get("/which"))[2] == b"old"
        old = set(service.workers())
        code.write_text(text.format("newer"), encoding="utf-8")
        service.signal(signal.SIGHUP)
        wait_for(lambda: not old & set(service.workers()), "new workers take over")
        answers = {exchange(service.address, get("/which"))[2] for _ in range(10)}
    assert answers == {b"newer"}


def test_killed_workers_cost_a_client_one_repeat(service: Process, right: RightAnswers) -> None:
    killed: list[int] = []

    def disturb() -> None:
        for _ in range(4):
            time.sleep(1.3)
            wait_for(lambda: len(service.workers()) == 2, "both are there again")
            killed.append(service.workers()[0])
            os.kill(killed[-1], signal.SIGKILL)
        wait_for(lambda: killed[-1] not in service.workers(), "the killed one is gone")
        wait_for(lambda: len(service.workers()) == 2, "both are there again")

    load = Load(service.address, right.light(), connections=8, check=right.holds, repeats=1)
    tally = under_load(load, disturb)
    assert not tally.faults(), (tally.faults(), tally.first_wrong)
    assert tally.repeated >= 1, "a kill that nobody noticed tests nothing"
    assert len(set(killed)) == 4


BATCH = 300


def slow_batch() -> bytes:
    """A batch that takes a second: many pass plans."""
    example = next(example for operation, example in EXAMPLES if operation.name == "pass-plan")
    items = [
        {"operation": "pass-plan", "params": {**example.request, "thread_length": 20 + i / 50}}
        for i in range(BATCH)
    ]
    return post("/v1/batch", json.dumps({"items": items}).encode())


def test_sigterm_waits_for_a_request_under_way(tmp_path: Path) -> None:
    with gunicorn(tmp_path / "service.log", WORKERS="1") as service:
        with ThreadPoolExecutor(1) as pool:
            before = service.cpu_seconds()
            under_way = pool.submit(exchange, service.address, slow_batch(), seconds=60)
            wait_for(lambda: service.cpu_seconds() > before + 0.1, "the worker is at work")
            assert not under_way.done(), "the batch must still be under way"
            service.signal(signal.SIGTERM)
            status, _, body = under_way.result(60)
        assert status == 200
        assert json.loads(body)["ok"] == BATCH
        assert service.wait(40) == 0
        with pytest.raises(ConnectionRefusedError):
            exchange(service.address, get("/livez"))


@pytest.mark.usefixtures("has_nginx")
def test_one_of_two_replicas_killed_behind_the_proxy(
    tmp_path: Path, replicas: list[Process], right: RightAnswers
) -> None:
    def disturb() -> None:
        time.sleep(1.5)
        replicas[0].kill()
        time.sleep(2)
        replicas[0] = gunicorn(
            tmp_path / "again.log", port=replicas[0].address[1], WORKERS="1", ready=None
        )

    addresses = [replica.address for replica in replicas]
    with nginx(tmp_path / "proxy", addresses) as proxy:
        load = Load(proxy.address, right.light(), connections=8, check=right.holds)
        tally = under_load(load, disturb)
        assert not tally.faults(), (tally.faults(), tally.first_wrong)
        assert tally.repeated == 0, "the proxy repeats, not the client"
        replicas[0].wait_until_ready()


@pytest.mark.usefixtures("has_nginx")
@pytest.mark.parametrize("drained", [True, False], ids=["drained first", "told to stop"])
def test_rolling_restart_behind_the_proxy(
    tmp_path: Path, replicas: list[Process], right: RightAnswers, drained: bool
) -> None:
    addresses = [replica.address for replica in replicas]
    folder = tmp_path / "proxy"
    with nginx(folder, addresses) as proxy:

        def route(*down: tuple[str, int]) -> None:
            (folder / "upstream.conf").write_text(upstream(addresses, down), encoding="utf-8")
            proxy.signal(signal.SIGHUP)

        def disturb() -> None:
            for number, replica in enumerate(list(replicas)):
                if drained:
                    route(replica.address)
                # A replica that was down is taken again by the proxy after fail_timeout, 2 s; who
                # restarts them one after the other leaves each that long.
                time.sleep(1 if drained else 3)
                replica.signal(signal.SIGTERM)
                assert replica.wait(40) == 0
                replicas[number] = gunicorn(
                    tmp_path / f"next-{number}.log", port=replica.address[1], WORKERS="1"
                )
                if drained:
                    route()

        # A reload of the proxy ends its idle connections, which a client may be about to use.
        load = Load(proxy.address, right.light(), connections=8, check=right.holds, repeats=1)
        tally = under_load(load, disturb)
    assert not tally.faults(), (tally.faults(), tally.first_wrong)
    if not drained:
        assert tally.repeated == 0


@pytest.mark.usefixtures("has_nginx")
def test_no_replica_at_all_is_a_problem_that_says_so(tmp_path: Path) -> None:
    with nginx(tmp_path / "proxy", [("127.0.0.1", 9), ("127.0.0.1", 10)], ready=False) as proxy:
        ends = time.monotonic() + PATIENCE_S
        while time.monotonic() < ends:
            try:
                status, head, body = exchange(proxy.address, get("/v1/threads"))
                break
            except ConnectionRefusedError:
                time.sleep(0.05)
    assert status == 503
    assert b"retry-after:" in head.lower()
    assert b"application/problem+json" in head
    assert json.loads(body)["type"] == "/problems/unavailable"


def test_a_restart_during_a_clients_batch(tmp_path: Path) -> None:
    from threadwright import Client

    service = gunicorn(tmp_path / "service.log", WORKERS="1")
    port = service.address[1]
    try:
        with Client(service.url, retries=9) as client:
            calls = [{"designation": f"{1 + i / 10_000:.4f}-16 UNS-2A"} for i in range(1, 12_001)]
            calls = [call for number, call in enumerate(calls, 1) if number % 625]
            restarted = threading.Event()
            results = []
            for result in client.batch_iter(calls, operation="thread-limits"):
                results.append(result)
                if len(results) == 3_000:
                    service.kill()
                    service = gunicorn(tmp_path / "again.log", port=port, WORKERS="1", ready=None)
                    restarted.set()
        assert restarted.is_set()
        assert len(results) == len(calls), "none is lost, none is there twice"
        told = [result.input["designation"] for result in results]  # type: ignore[union-attr]
        assert told == [call["designation"] for call in calls], "in order"
    finally:
        service.kill()
