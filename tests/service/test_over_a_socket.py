"""What only shows on a connection: whole answers one after the other, keys, what is no request.

The traps are numbered as in ``test_traps.py``.
"""

from __future__ import annotations

import json
import socket
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from support.load import exchange, get, post
from support.servers import Process, gunicorn

KEY, OTHER = "k1-of-the-shop", "k2-of-the-office"
ASKED = "/v1/hardness?value=58&scale=HRC&to=HV&field=value"
ANSWER = b"653.0"
"""58 HRC is 653 HV by ASTM E140, table 1."""
SPELLINGS = ("/v1/hardness", "//v1/hardness", "///v1//hardness", "/%761/hardness", "/v1", "/v1/")


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    log = tmp_path_factory.mktemp("service") / "log"
    with gunicorn(log, WORKERS="1") as process:
        yield process


@pytest.fixture(scope="module")
def keyed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    log = tmp_path_factory.mktemp("keyed") / "log"
    with gunicorn(
        log, WORKERS="1", API_KEYS=f"{KEY},{OTHER}", KEY_IN_QUERY="true", ACCESS_LOG="true"
    ) as process:
        yield process


def sent(method: str, path: str, *headers: str) -> bytes:
    lines = [f"{method} {path} HTTP/1.1", "Host: 127.0.0.1", *headers]
    return "\r\n".join([*lines, "", ""]).encode()


class Connection:
    """One connection that is kept, read answer by answer."""

    def __init__(self, service: Process) -> None:
        self._socket = socket.create_connection(service.address, timeout=5)
        self._file = self._socket.makefile("rb")

    def ask(self, request: bytes, *, body: bool = True) -> tuple[int, dict[str, str], bytes]:
        """Status, headers, and as much body as the answer to this method has."""
        self._socket.sendall(request)
        status = int(self._file.readline().split()[1])
        headers = {}
        while line := self._file.readline().strip():
            name, _, text = line.decode("latin-1").partition(": ")
            headers[name.lower()] = text
        length = int(headers.get("content-length", 0)) if body else 0
        return status, headers, self._file.read(length)

    def __enter__(self) -> Connection:
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()
        self._socket.close()


def test_trap_5_a_cell_asks_three_times_on_one_connection(service: Process) -> None:
    """OPTIONS, HEAD, GET, as Calc sends them; a body after HEAD would spoil what follows."""
    with Connection(service) as line:
        for path in (ASKED, f"{ASKED}&on_error=text", "/v1/hardness.csv?value=58&scale=HRC"):
            assert line.ask(sent("OPTIONS", path))[0] == 200
            status, head, _ = line.ask(sent("HEAD", path), body=False)
            assert status == 200
            status, headers, body = line.ask(sent("GET", path))
            assert status == 200
            assert head["content-length"] == headers["content-length"] == str(len(body))
        status, head, _ = line.ask(sent("HEAD", "/v1/hardness?value=58,5&scale=HRC"), body=False)
        assert status == 422
        status, _, body = line.ask(sent("GET", ASKED))
        assert (status, body) == (200, ANSWER), "nothing of the refusal is left on the line"


def test_trap_6_the_bytes_of_one_value(service: Process) -> None:
    """Neither redirect, byte order mark nor a newline at the end; never an empty body."""
    for path in (
        ASKED,
        ASKED.replace("?", "/?"),
        f"{ASKED}&format=text",
        ASKED.replace("?", ".txt?"),
    ):
        status, head, body = exchange(service.address, get(path))
        assert (status, body) == (200, ANSWER)
        assert b"\r\nLocation:" not in head
    status, _, body = exchange(service.address, get(ASKED.replace("=value", "=low")))
    assert (status, body) == (200, b"#N/A")


def test_trap_7_a_cell_sees_every_error(service: Process) -> None:
    for path, status in (
        ("/v1/hardness?value=58,5&scale=HRC&on_error=text", 422),
        ("/v1/nothing?on_error=text", 404),
        ("/v1/batch?on_error=text", 405),
    ):
        got, head, body = exchange(service.address, get(path))
        assert got == 200
        assert body.startswith(f"#ERR {status} ".encode())
        assert b"Content-Type: text/plain" in head


def test_trap_8_a_long_line_is_read_and_a_longer_one_refused_as_a_problem(
    service: Process,
) -> None:
    """gunicorn's default of 4,094 bytes would be met before any limit of a spreadsheet."""
    path = f"{ASKED}&v="
    room = 8_190 - len("GET  HTTP/1.1\r\n") - len(path) - 200
    status, _, body = exchange(service.address, get(path + "x" * room))
    assert status == 422, "read, and its v refused"
    assert json.loads(body)["errors"][0]["parameter"] == "v"
    status, head, body = exchange(service.address, get(path + "x" * 9_000))
    assert status == 414
    assert b"Content-Type: application/problem+json" in head
    assert json.loads(body)["type"] == "/problems/address-too-long"


NO_REQUESTS = {
    "an unknown protocol": (b"GET / HTTQ/9.9\r\nHost: a\r\n\r\n", 400),
    "no line at all": (b"\x16\x03\x01\x02\x00\r\n\r\n", 400),
    "a blank in the address": (b"GET /v1/hardness?value=5 8 HTTP/1.1\r\nHost: a\r\n\r\n", 400),
    "two lengths": (
        post("/v1/batch", b"{}").replace(b"\r\n\r\n", b"\r\nContent-Length: 3\r\n\r\n"),
        400,
    ),
    "a header over the limit": (get("/livez", X_Long="x" * 9_000), 431),
    "headers without end": (get("/livez", **{f"X_{n}": "x" for n in range(200)}), 431),
}


@pytest.mark.parametrize("case", NO_REQUESTS)
def test_trap_14_what_is_no_request_is_a_problem_too(case: str, service: Process) -> None:
    """The server's own refusals, which come before the application, are no HTML pages."""
    request, wanted = NO_REQUESTS[case]
    status, head, body = exchange(service.address, request)
    assert status == wanted
    assert b"Content-Type: application/problem+json" in head
    problem = json.loads(body)
    assert problem["status"] == wanted
    assert problem["request_id"].encode() in head
    page, _, _ = exchange(service.address, get(problem["type"]))
    assert page == 200, "its type is a page of help"


def test_304_has_no_body_and_leaves_the_connection_clean(service: Process) -> None:
    with Connection(service) as line:
        for path in (ASKED, "/openapi.json", "/docs/swagger-ui.css", "/docs/guide", "/v1/threads"):
            _, headers, _ = line.ask(sent("GET", path))
            tag = headers["etag"]
            for wanted in (tag, f"W/{tag}", f'"other", {tag}', "*"):
                status, _, body = line.ask(sent("GET", path, f"If-None-Match: {wanted}"))
                assert (status, body) == (304, b""), path
            for unlike in ('"other"', tag.strip('"'), f'"a, {tag[1:]}', "W/"):
                status, _, body = line.ask(sent("GET", path, f"If-None-Match: {unlike}"))
                assert status == 200, (path, unlike)
                assert body


@pytest.mark.parametrize(
    "given",
    [
        (f"Authorization: Bearer {KEY}",),
        (f"authorization: bearer   {OTHER}  ",),
        (f"X-API-Key: {OTHER}",),
    ],
)
def test_a_key_by_header(given: tuple[str, ...], keyed: Process) -> None:
    status, _, body = exchange(keyed.address, sent("GET", ASKED, *given))
    assert (status, body) == (200, ANSWER)


def test_a_key_in_the_address(keyed: Process) -> None:
    status, _, body = exchange(keyed.address, get(f"{ASKED}&key={KEY}"))
    assert (status, body) == (200, ANSWER)
    for wrong in ("", "x", f"{KEY}&key=x", f"x&key={KEY}", f"{KEY},{OTHER}"):
        assert exchange(keyed.address, get(f"{ASKED}&key={wrong}"))[0] == 401, wrong


@pytest.mark.parametrize("path", SPELLINGS)
@pytest.mark.parametrize("method", ["GET", "HEAD", "POST", "PUT"])
def test_no_way_of_writing_the_path_goes_round_the_key(
    method: str, path: str, keyed: Process
) -> None:
    """The framework takes several strokes for one, so the gate must too."""
    asked = f"{path}?value=58&scale=HRC"
    assert exchange(keyed.address, sent(method, asked))[0] == 401
    allowed, _, _ = exchange(keyed.address, sent(method, asked, f"X-API-Key: {KEY}"))
    assert allowed != 401


def test_pages_and_contract_need_no_key(keyed: Process) -> None:
    for path in ("/", "/docs", "/docs/guide", "/openapi.json", "/livez", "/problems/ambiguous"):
        assert exchange(keyed.address, get(path))[0] == 200, path
    assert exchange(keyed.address, sent("OPTIONS", ASKED))[0] == 200


def test_no_key_is_logged_however_it_was_sent(keyed: Process) -> None:
    mark = "/v1/last-of-the-log"
    for request in (
        sent("GET", ASKED, f"Authorization: Bearer {KEY}"),
        sent("GET", ASKED, f"X-API-Key: {KEY}"),
        get(f"{ASKED}&key={KEY}"),
        get(f"{ASKED}&nonsense={KEY}&key={OTHER}"),
        f"GET {ASKED}&key={KEY} HTTP/1.1 and more\r\nHost: a\r\n\r\n".encode(),
        f"get {ASKED}&key={KEY} HTTP/1.1\r\nHost: a\r\n\r\n".encode(),
        f"GET {ASKED}&key={KEY} HTTP/7.7\r\nHost: a\r\n\r\n".encode(),
        f"GET {ASKED} HTTP/1.1\r\nHost: a\r\nX-API-Key {KEY}\r\n\r\n".encode(),
        sent("GET", f"{mark}?key={KEY}", f"X-API-Key: {KEY}"),
    ):
        exchange(keyed.address, request)
    ends = time.monotonic() + 5
    while mark not in (log := Path(keyed.log).read_text(encoding="utf-8")):
        assert time.monotonic() < ends, "the log is written"
        time.sleep(0.02)
    assert "/v1/hardness" in log
    assert KEY not in log
    assert OTHER not in log
