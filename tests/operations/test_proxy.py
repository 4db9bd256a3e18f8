"""What the proxy keeps from a client, and from the others: rate, connections, counts, its log."""

from __future__ import annotations

import json
import re
import socket
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from itertools import islice
from pathlib import Path

import pytest

from support.load import Address, Load, exchange, get, post
from support.programs import ROOT
from support.right_answers import RightAnswers
from support.servers import Process, gunicorn, nginx
from threadwright import Client

pytestmark = [pytest.mark.operations, pytest.mark.usefixtures("has_nginx")]

SITE = (ROOT / "docker" / "nginx" / "site.conf").read_text(encoding="utf-8")
CLIENTS = (ROOT / "docker" / "nginx" / "clients.conf").read_text(encoding="utf-8")


def shipped(pattern: str, text: str) -> int:
    """A number that the proxy is shipped with."""
    found = re.search(pattern, text)
    assert found, pattern
    return int(found[1])


BURST = shipped(r"limit_req zone=\S+ burst=(\d+) nodelay;", SITE)
CONNECTIONS = shipped(r"limit_conn \S+ (\d+);", SITE)
PER_SECOND = shipped(r"limit_req_zone .+ rate=(\d+)r/s;", CLIENTS)


def test_a_sheet_that_recalculates_at_once_is_served(
    tmp_path: Path, service: Process, right: RightAnswers
) -> None:
    requests = list(islice(right.light(), 900))
    with nginx(tmp_path / "proxy", [service.address], rate=PER_SECOND) as proxy:
        tally = Load(proxy.address, requests, connections=300, check=right.holds).run()
    assert not tally.faults(), (tally.faults(), tally.first_wrong)
    assert tally.statuses == {200: 900}


def test_nobody_is_held_back_as_shipped(
    tmp_path: Path, service: Process, right: RightAnswers
) -> None:
    """All that one address asks, which may be a whole ERP, is answered."""
    requests = list(islice(right.light(), BURST + 4 * PER_SECOND))
    with nginx(tmp_path / "proxy", [service.address]) as proxy:
        tally = Load(proxy.address, requests, connections=CONNECTIONS + 50, check=right.holds).run()
    assert not tally.faults(), (tally.faults(), tally.first_wrong)
    assert tally.statuses == {200: len(requests)}


def test_more_than_the_rate_is_refused_as_a_problem(
    tmp_path: Path, service: Process, right: RightAnswers
) -> None:
    def holds(request: bytes, status: int, body: bytes) -> bool:
        if status != 429:
            return right.holds(request, status, body)
        problem = json.loads(body)
        return bool(problem["status"] == 429 and problem["type"] == "/problems/too-many-requests")

    with nginx(tmp_path / "proxy", [service.address], rate=PER_SECOND) as proxy:
        load = Load(proxy.address, right.light(), connections=50, check=holds)
        tally = load.run(4)
        assert not tally.faults(), (tally.faults(), tally.first_wrong)
        served = tally.statuses[200]
        assert tally.statuses[429] > 0
        # A bucket that leaks: never more than it holds and what has run out since.
        assert BURST <= served <= BURST + 1 + PER_SECOND * (tally.seconds + 0.1)

        head, body = _refused(proxy.address, "/v1/thread-limits?designation=M24-6g")
        # RFC 6585, section 4: 429 may say by Retry-After how long to wait.
        assert b"\r\nretry-after: 1" in head.lower()
        assert head.lower().count(b"x-request-id:") == 1
        head, body = _refused(proxy.address, "/v1/thread-limits?designation=M24-6g&on_error=text")
        assert head.startswith(b"HTTP/1.1 200"), "a cell shows the body of no other status"
        assert b"X-Problem: 429 too-many-requests" in head
        assert body.startswith(b"#ERR 429 too-many-requests")


def _refused(address: Address, path: str) -> tuple[bytes, bytes]:
    """Ask at once as often as it takes to be refused."""
    wanted = [get(path)] * (BURST + 4 * PER_SECOND)
    seen: list[bytes] = []

    def note(request: bytes, status: int, body: bytes) -> bool:  # noqa: ARG001
        seen.append(body)
        return True

    Load(address, wanted, connections=50, check=note).run()
    for _ in range(20):
        _, head, body = exchange(address, get(path))
        if b"too-many-requests" in body:
            return head, body
    raise AssertionError("never refused")


def test_a_client_that_calls_on_and_on_loses_nothing(tmp_path: Path, service: Process) -> None:
    """Loops over single calls, with the client's own retries: slower, and all answered."""
    each, rate = 40, 20  # less than is shipped, so that a slow machine reaches it too

    def loop(first: int) -> list[float]:
        sizes = [f"{1 + number / 10_000:.4f}" for number in range(first, first + each)]
        with Client(proxy.url) as client:
            return [client.thread_limits(designation=f"{size}-16 UNS-2A").lead for size in sizes]

    with nginx(tmp_path / "proxy", [service.address], rate=rate) as proxy:
        _refused(proxy.address, "/livez")
        with ThreadPoolExecutor(3) as pool:
            leads = [lead for leads in pool.map(loop, (1, 101, 201)) for lead in leads]
        lines = _lines(tmp_path / "proxy")
    assert leads == [1 / 16] * (3 * each), "the lead of a thread of one start is its pitch"
    ours = [line for line in lines if str(line["user_agent"]).startswith("threadwright")]
    statuses = [line["status"] for line in ours]
    assert statuses.count("200") == 3 * each
    assert statuses.count("429") > 0, "else the limit was not met, and this says nothing"


def test_one_address_holds_so_many_connections(tmp_path: Path, service: Process) -> None:
    begun = post("/v1/batch", b"{", Content_Length="1000")
    with nginx(tmp_path / "proxy", [service.address], rate=PER_SECOND) as proxy:
        with _open(proxy.address, CONNECTIONS, begun):
            status, _, body = exchange(proxy.address, get("/livez"))
            assert status == 429
            assert json.loads(body)["type"] == "/problems/too-many-requests"
            # Others are served: all of 127.0.0.0/8 is this machine (RFC 1122, 3.2.1.3).
            assert _from(proxy.address, "127.0.0.2", get("/livez")) == 200
        ends = time.monotonic() + 30
        while exchange(proxy.address, get("/livez"))[0] != 200:
            assert time.monotonic() < ends, "what is let go may be held again"
            time.sleep(0.1)


@contextmanager
def _open(address: Address, count: int, sent: bytes) -> Iterator[None]:
    lines = [socket.create_connection(address, timeout=5) for _ in range(count)]
    try:
        for line in lines:
            line.sendall(sent)
        time.sleep(0.5)
        yield
    finally:
        for line in lines:
            line.close()


def _from(address: Address, source: str, sent: bytes) -> int:
    with closing(socket.create_connection(address, timeout=5, source_address=(source, 0))) as line:
        line.sendall(sent)
        return int(line.recv(65_536)[9:12])


def test_counts_are_told_of_each_replica_and_to_nobody_outside(tmp_path: Path) -> None:
    with (
        gunicorn(tmp_path / "1.log", WORKERS="2", METRICS="true") as first,
        gunicorn(tmp_path / "2.log", WORKERS="2", METRICS="true") as second,
        nginx(tmp_path / "proxy", [first.address, second.address]) as proxy,
    ):
        for replica, asked in ((first, 3), (second, 5)):
            for _ in range(asked):
                exchange(replica.address, get("/v1/thread-limits?designation=M24-6g"))
        for path in ("/metrics", "/metrics/", "//metrics", "/%6Detrics", "/v1/../metrics?x=1"):
            status, head, body = exchange(proxy.address, get(path))
            assert status == 404, path
            assert b"application/problem+json" in head, path
            assert json.loads(body)["type"] == "/problems/not-found", path
        counted = [_counted(proxy.inside, f"/service-{number}/metrics") for number in (1, 2)]
        assert counted == [3, 5]


def _counted(address: Address, path: str) -> int:
    status, _, body = exchange(address, get(path))
    assert status == 200, path
    pattern = r'threadwright_requests_total\{[^}]*route="/v1/thread-limits"[^}]*\} ([0-9.]+)'
    return int(sum(float(value) for value in re.findall(pattern, body.decode())))


def test_the_log_names_the_client_and_the_request_and_no_key(tmp_path: Path) -> None:
    key = "k" * 20
    with (
        gunicorn(
            tmp_path / "log", WORKERS="1", API_KEYS=key, KEY_IN_QUERY="true", ACCESS_LOG="true"
        ) as service,
        nginx(tmp_path / "proxy", [service.address]) as proxy,
    ):
        path = f"/v1/thread-limits?designation=M24-6g&key={key}"
        _, head, _ = exchange(proxy.address, get(path, User_Agent='a "quoted" name'))
        exchange(proxy.address, get("/metrics"))
        time.sleep(0.5)
        served, refused = _lines(tmp_path / "proxy")
        assert (served["client"], served["status"]) == ("127.0.0.1", "200")
        assert (served["path"], served["user_agent"]) == ("/v1/thread-limits", 'a "quoted" name')
        assert f"X-Request-ID: {served['request_id']}".encode() in head
        assert refused["status"] == "404"
        told = (tmp_path / "log").read_text(encoding="utf-8")
        assert str(served["request_id"]) in told, "the service logs it by the same id"
        assert key not in (tmp_path / "proxy" / "access.log").read_text(encoding="utf-8")


def _lines(folder: Path) -> list[dict[str, object]]:
    """The access log; each line must be JSON."""
    text = (folder / "access.log").read_text(encoding="utf-8")
    return [json.loads(line) for line in text.splitlines()]
