"""Clients that are slow, send too much, or send rubbish: refused, and nobody else notices."""

from __future__ import annotations

import json
import random
import socket
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from support.load import Address, Load, exchange, get, post
from support.right_answers import RightAnswers
from support.servers import Process, gunicorn, nginx
from support.slow_clients import slow_clients
from threadwright_service import gunicorn_conf
from threadwright_service.settings import Settings

pytestmark = pytest.mark.operations

BODY_LIMIT = Settings().body_limit
LINE_LIMIT = gunicorn_conf.limit_request_line


@pytest.mark.usefixtures("has_nginx")
@pytest.mark.parametrize("kind", ["slow header", "slow body", "silent"])
def test_slow_clients_take_nothing_from_the_others(
    tmp_path: Path, service: Process, right: RightAnswers, kind: str
) -> None:
    with nginx(tmp_path / "proxy", [service.address]) as proxy:

        def rate() -> float:
            load = Load(proxy.address, right.light(), connections=4, check=right.holds)
            tally = load.run(1)
            assert not tally.faults(), (tally.faults(), tally.first_wrong)
            return tally.per_second

        rate()
        shares = []
        for _ in range(5):
            alone = rate()
            with slow_clients(proxy.address, kind):
                shares.append(rate() / alone)
    # Without the proxy nothing is left. How much exactly is left is for the benchmarks to tell.
    assert max(shares) > 0.5, shares


def long_line(length: int) -> bytes:
    """A request whose first line, without its end, has this length."""
    line = b"GET /v1/thread-limits?designation= HTTP/1.1"
    padding = b"9" * (length - len(line))
    return line.replace(b"designation=", b"designation=" + padding) + b"\r\nHost: a\r\n\r\n"


def chunked(body: bytes) -> bytes:
    """A POST without a stated length."""
    head = (
        b"POST /v1/batch HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\n"
        b"Transfer-Encoding: chunked\r\n\r\n"
    )
    size = 65_536
    parts = [body[at : at + size] for at in range(0, len(body), size)]
    return head + b"".join(b"%x\r\n%s\r\n" % (len(part), part) for part in parts) + b"0\r\n\r\n"


ITEM = b'{"operation":"thread-limits","params":{"designation":"M24x1.5-6g"}}'
BIG = b'{"items":[' + b",".join([ITEM] * (BODY_LIMIT // len(ITEM) + 1)) + b"]}"
MANY = b'{"items":[' + b",".join([ITEM] * 1001) + b"]}"

# What is sent; the statuses with which the service itself and the proxy may refuse it. The numbers
# are those of RFC 9110 (400, 411, 413, 414), RFC 6585 (431).
TOO_MUCH: dict[str, tuple[bytes, tuple[int, ...], tuple[int, ...]]] = {
    "a body over the limit": (post("/v1/batch", BIG), (413,), (413,)),
    "a chunked body over the limit": (chunked(BIG), (413,), (413,)),
    "more items than a batch may hold": (post("/v1/batch", MANY), (413,), (413,)),
    "a body announced without end": (
        post("/v1/batch", b"{", Content_Length="99999999999999"),
        (413,),
        (413,),
    ),
    "a line over the limit": (long_line(LINE_LIMIT + 200), (414,), (414,)),
    "a header over the limit": (get("/livez", X_Long="x" * 9_000), (431,), (400,)),
    "too many headers": (
        get("/livez", **{f"X_{number}": "x" for number in range(200)}),
        (431,),
        (431, 400),
    ),
    "two lengths": (
        post("/v1/batch", b"{}", Content_Length="2").replace(
            b"\r\n\r\n", b"\r\nContent-Length: 3\r\n\r\n"
        ),
        (400,),
        (400,),
    ),
    "a length and chunks": (
        post("/v1/batch", b"2\r\n{}\r\n0\r\n\r\n", Transfer_Encoding="chunked"),
        (400,),
        (400,),
    ),
    "no HTTP": (b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n", (400,), (400,)),
}


@pytest.mark.parametrize("case", TOO_MUCH)
def test_too_much_is_refused_at_once(service: Process, case: str) -> None:
    sent, statuses, _ = TOO_MUCH[case]
    _refused(service.address, sent, statuses)


@pytest.mark.usefixtures("has_nginx")
def test_too_much_is_refused_by_the_proxy_as_a_problem(tmp_path: Path, service: Process) -> None:
    with nginx(tmp_path / "proxy", [service.address]) as proxy:
        for case, (sent, _, statuses) in TOO_MUCH.items():
            head, body = _refused(proxy.address, sent, statuses)
            # gunicorn's own refusal of too many headers is HTML; all others are problems.
            if case != "too many headers":
                assert b"application/problem+json" in head, case
                assert json.loads(body)["status"] in statuses, case


def _refused(address: Address, sent: bytes, statuses: tuple[int, ...]) -> tuple[bytes, bytes]:
    began = time.monotonic()
    status, head, body = exchange(address, sent)
    assert status in statuses, (status, body[:300])
    assert time.monotonic() - began < gunicorn_conf.timeout / 3, "not after waiting for more"
    assert exchange(address, get("/livez"))[0] == 200
    return head, body


def test_the_longest_permitted_line_is_served(service: Process) -> None:
    status, _, body = exchange(service.address, long_line(LINE_LIMIT))
    assert status == 422, "it is read, and its call-out refused"
    assert json.loads(body)["errors"][0]["parameter"] == "designation"


def test_a_chunked_body_is_read_to_its_end(service: Process) -> None:
    """The spreadsheet macros that POST send no length, and can state none."""
    body = b'{"items":[' + b",".join([ITEM] * 1000) + b"]}"
    status, _, answer = exchange(service.address, chunked(body))
    assert (status, json.loads(answer)["ok"]) == (200, 1000)


def test_chunks_that_are_none_are_refused(service: Process) -> None:
    whole = chunked(b'{"items":[]}')
    for sent in (
        whole.replace(b"c\r\n{", b"zz\r\n{"),
        whole.replace(b"c\r\n{", b"-c\r\n{"),
        whole.replace(b"c\r\n{", b"2\r\n{"),
    ):
        assert sent != whole
        _refused(service.address, sent, (400,))


@pytest.mark.usefixtures("has_nginx")
def test_a_chunked_body_within_the_limit_is_served_through_the_proxy(
    tmp_path: Path, service: Process
) -> None:
    body = b'{"items":[' + b",".join([ITEM] * 1000) + b"]}"
    with nginx(tmp_path / "proxy", [service.address]) as proxy:
        status, _, answer = exchange(proxy.address, chunked(body))
    assert status == 200
    assert json.loads(answer)["ok"] == 1000


def bad_requests(count: int) -> Iterator[bytes]:
    """Requests with something wrong in each, of many kinds."""
    chance = random.Random(8)  # the same rubbish every time
    words = ["", "M", "x", "-", "6g", "NaN", "1e999", "1,5", "%00", "%FF", "\u00d8".encode().hex()]
    operations = ["thread-limits", "pass-plan", "job-sheet", "hardness", "wire-measurement"]
    for _ in range(count):
        operation = chance.choice(operations)
        kind = chance.randrange(6)
        text = "".join(chance.choices(words, k=chance.randrange(1, 6))).replace("&", "")
        if kind == 0:
            yield get(f"/v1/{operation}?designation=Q{text}")
        elif kind == 1:
            yield get(f"/v1/{operation}?{text}=1&nonsense={text}")
        elif kind == 2:
            yield post(f"/v1/{operation}", chance.randbytes(chance.randrange(1, 80)))
        elif kind == 3:
            yield post(f"/v1/{operation}", json.dumps({"designation": [text]}).encode())
        elif kind == 4:
            yield post("/v1/batch", json.dumps({"items": text}).encode())
        else:
            yield get(f"/v1/none-{chance.randrange(10**6)}")


def test_ten_thousand_bad_requests_among_good_ones(service: Process, right: RightAnswers) -> None:
    bad = list(bad_requests(10_000))
    mixed: list[bytes] = []
    good = right.light()
    for request in bad:
        mixed += [request] if len(mixed) % 3 else [next(good), request]
    refused = set(bad)

    def holds(request: bytes, status: int, body: bytes) -> bool:
        if request not in refused:
            return right.holds(request, status, body)
        problem = json.loads(body)
        return 400 <= status < 500 and bool(problem["status"] == status and problem["detail"])

    tally = Load(service.address, mixed, connections=8, check=holds).run()
    assert not tally.faults(), (tally.faults(), tally.first_wrong)
    assert tally.answered == len(mixed)
    assert tally.statuses[200] == len(mixed) - len(bad)


def test_few_file_descriptors(tmp_path: Path, right: RightAnswers) -> None:
    log = tmp_path / "service.log"
    with gunicorn(log, before=["prlimit", "--nofile=96:96"], WORKERS="1", KEEPALIVE="2") as service:
        [worker] = service.workers()
        crowd = []
        try:
            for _ in range(300):  # three times what the worker has files for
                crowd.append(socket.create_connection(service.address, timeout=5))
            time.sleep(1)
        finally:
            for line in crowd:
                line.close()
        tally = Load(service.address, right.light(), connections=8, check=right.holds).run(2)
        assert not tally.faults(), (tally.faults(), tally.first_wrong)
        assert tally.answered > 100
        assert service.workers() == [worker], "the crowd did not end it"
        assert "Too many open files" not in log.read_text(encoding="utf-8")
