"""What a network does to a client, by a real socket: slow, closed, reset, garbage, not ours."""

from __future__ import annotations

import json
import socket
import threading
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime

import pytest
import requests

from support.answers import limits_answer, problem
from support.rough_server import Act, answer, closed, dribble, raw, reset, rough_server, silence
from threadwright import (
    Client,
    ConnectionFailedError,
    InvalidInputError,
    NoAnswerError,
    ServiceError,
    TimedOutError,
    TooManyRequestsError,
    UnexpectedAnswerError,
    http_transport,
)

CALL_OUT = "M24x1.5-6g"
BUSY = answer(
    problem(503, "unavailable", "starting"), "503 Service Unavailable", "application/problem+json"
)


@pytest.fixture
def over() -> Iterator[threading.Event]:
    """Set when the test is over, so that a silent server ends with it."""
    event = threading.Event()
    yield event
    event.set()


def good() -> Act:
    return answer(limits_answer(), X_Request_ID="abc123")


def test_a_good_answer() -> None:
    with rough_server(good()) as server, Client(server.url) as client:
        limits = client.thread_limits(designation=CALL_OUT)
    assert (
        limits.limits.pitch_diameter.max
        == limits_answer()["result"]["limits"]["pitch_diameter"]["max"]
    )
    assert limits.request_id == "abc123"
    method, path, headers, body = server.requests[0]
    assert (method, path) == ("POST", "/v1/thread-limits")
    assert body == b'{"designation":"M24x1.5-6g"}'
    assert headers["content-type"] == headers["accept"] == "application/json"
    assert headers["user-agent"].startswith("threadwright/")


def test_a_connection_is_kept() -> None:
    with rough_server(good()) as server, Client(server.url) as client:
        for designation in (CALL_OUT, "M10-6H", "3/4-16 UNF-2A"):
            client.thread_limits(designation=designation)
    assert server.connections == 1
    assert [body for *_, body in server.requests][1] == b'{"designation":"M10-6H"}'


def test_a_silent_service_times_out_once(over: threading.Event) -> None:
    began = time.monotonic()
    with (
        rough_server(silence(over)) as server,
        Client(server.url, timeout=0.2) as client,
        pytest.raises(TimedOutError, match=r"did not answer in time"),
    ):
        client.thread_limits(designation=CALL_OUT)
    assert time.monotonic() - began < 1, "a long wait must not be repeated"
    assert len(server.requests) == 1


def test_a_body_that_stops_arriving_times_out(over: threading.Event) -> None:
    head = b'HTTP/1.1 200 OK\r\nContent-Type: application/json\r\nContent-Length: 900\r\n\r\n{"op'
    with (
        rough_server(dribble(over, head)) as server,
        Client(server.url, timeout=(1, 0.2)) as client,
        pytest.raises(TimedOutError),
    ):
        client.thread_limits(designation=CALL_OUT)


def test_a_call_has_its_own_timeout(over: threading.Event) -> None:
    with (
        rough_server(silence(over)) as server,
        Client(server.url) as client,
        pytest.raises(TimedOutError),
    ):
        client.thread_limits(designation=CALL_OUT, timeout=0.2)
    assert b"timeout" not in server.requests[0][3]


def test_nothing_listens() -> None:
    with socket.create_server(("127.0.0.1", 0)) as listener:
        port = listener.getsockname()[1]
    with (
        Client(f"http://127.0.0.1:{port}", retries=1) as client,
        pytest.raises(ConnectionFailedError, match="Connection refused") as caught,
    ):
        client.thread_limits(designation=CALL_OUT)
    assert isinstance(caught.value.__cause__, requests.exceptions.ConnectionError)


@pytest.mark.parametrize("end", [closed, reset], ids=["closed", "reset"])
def test_a_broken_connection_is_repeated(end: Act) -> None:
    with rough_server(end, good()) as server, Client(server.url) as client:
        assert client.thread_limits(designation=CALL_OUT).pitch == 1.5
    assert len(server.requests) == 2


@pytest.mark.parametrize(
    ("end", "told"),
    [
        (closed, r"\(Remote end closed connection without response\)"),
        (reset, r"\(Connection reset by peer\)"),
    ],
    ids=["closed", "reset"],
)
def test_a_connection_that_always_breaks(end: Act, told: str) -> None:
    with (
        rough_server(end) as server,
        Client(server.url, retries=1) as client,
        pytest.raises(ConnectionFailedError, match=told),
    ):
        client.thread_limits(designation=CALL_OUT)
    assert len(server.requests) == 2


CUT_JSON = b'HTTP/1.1 200 OK\r\nContent-Type: application/json\r\nContent-Length: 900\r\n\r\n{"op'
CUT_TEXT = b"HTTP/1.1 200 OK\r\nX-Request-ID: r\r\nContent-Length: 6\r\n\r\n22.9"
CUT_CHUNK = b"HTTP/1.1 200 OK\r\nX-Request-ID: r\r\nTransfer-Encoding: chunked\r\n\r\n6\r\n22.9"


@pytest.mark.parametrize("cut", [CUT_JSON, CUT_TEXT, CUT_CHUNK], ids=["JSON", "text", "chunk"])
def test_an_answer_that_breaks_off_is_never_taken_for_whole(cut: bytes) -> None:
    with (
        rough_server(raw(cut)) as server,
        Client(server.url, retries=1) as client,
        pytest.raises(ConnectionFailedError, match="broke off before its end"),
    ):
        client.text("thread-limits", "limits.pitch_diameter.max", designation=CALL_OUT)
    assert len(server.requests) == 2
    with (
        rough_server(raw(cut)) as server,
        requests.Session() as session,
        Client(server.url, session=session) as client,
        pytest.raises(ConnectionFailedError),
    ):
        client.text("thread-limits", "limits.pitch_diameter.max", designation=CALL_OUT)
    assert len(server.requests) == 1


@pytest.mark.parametrize("cut", [CUT_JSON, CUT_CHUNK], ids=["JSON", "chunk"])
def test_an_answer_that_breaks_off_is_asked_for_again(cut: bytes) -> None:
    with rough_server(raw(cut), good()) as server, Client(server.url) as client:
        assert client.thread_limits(designation=CALL_OUT).pitch == 1.5
    assert len(server.requests) == 2


def test_garbage_is_no_answer() -> None:
    with (
        rough_server(raw(b"\x00\xff\x13 not HTTP at all\r\n\r\n")) as server,
        Client(server.url, retries=0) as client,
        pytest.raises(NoAnswerError),
    ):
        client.thread_limits(designation=CALL_OUT)


@pytest.mark.parametrize(
    ("act", "told"),
    [
        pytest.param(
            answer(b"<html>Please sign in</html>", content_type="text/html; charset=utf-8"),
            "text/html",
            id="captive portal",
        ),
        pytest.param(
            answer(b"<html>Bad Gateway</html>", "502 Bad Gateway", "text/html"),
            "502",
            id="proxy's page",
        ),
        pytest.param(answer(b"{broken", content_type="application/json"), "200", id="broken JSON"),
        pytest.param(
            answer(b"[" * 100_000, content_type="application/json"), "200", id="deep JSON"
        ),
        pytest.param(answer(b"[1, 2]", content_type="application/json"), "200", id="a list"),
        pytest.param(answer({"hello": "world"}), "lacks 'result'", id="another service"),
        pytest.param(answer({"result": 3}), "another shape", id="another result"),
        pytest.param(answer({"result": {"designation": "x"}}), "lacks", id="an older result"),
        pytest.param(answer({"error": "no"}, "404 Not Found"), "404", id="another's 404"),
        pytest.param(answer(b"", "204 No Content", ""), "no type", id="empty"),
        pytest.param(
            answer(b"", "302 Found", "text/html", Location="https://login.example/"),
            "sent on to https://login.example/",
            id="redirect",
        ),
    ],
)
def test_an_answer_that_is_not_the_services(act: Act, told: str) -> None:
    with (
        rough_server(act) as server,
        Client(server.url, retries=0) as client,
        pytest.raises(UnexpectedAnswerError, match=told),
    ):
        client.thread_limits(designation=CALL_OUT)
    assert len(server.requests) == 1, "no redirect is followed"


def test_a_sign_in_page_is_no_document() -> None:
    page = answer(b"<html>Please sign in</html>", content_type="text/html; charset=utf-8")
    with rough_server(page) as server, Client(server.url) as client:
        with pytest.raises(UnexpectedAnswerError):
            client.document("thread-limits", "html", designation=CALL_OUT)
        with pytest.raises(UnexpectedAnswerError):
            client.text("thread-limits", "pitch", designation=CALL_OUT)
        with pytest.raises(UnexpectedAnswerError):
            client.threads()


def test_a_busy_service_is_asked_again() -> None:
    with rough_server(BUSY, good()) as server, Client(server.url) as client:
        assert client.thread_limits(designation=CALL_OUT).pitch == 1.5
    assert len(server.requests) == 2
    assert server.requests[0][3] == server.requests[1][3], "a POST is repeated with its body"


def test_a_service_that_stays_busy_tells_why() -> None:
    with (
        rough_server(BUSY) as server,
        Client(server.url, retries=1) as client,
        pytest.raises(ServiceError, match="starting") as caught,
    ):
        client.thread_limits(designation=CALL_OUT)
    assert caught.value.status == 503
    assert len(server.requests) == 2


def test_a_failure_is_not_repeated() -> None:
    failed = answer(
        problem(500, "internal-error", "tell us request 7"),
        "500 Internal Server Error",
        "application/problem+json",
    )
    with (
        rough_server(failed) as server,
        Client(server.url) as client,
        pytest.raises(ServiceError, match="tell us request 7"),
    ):
        client.thread_limits(designation=CALL_OUT)
    assert len(server.requests) == 1


def test_retry_after_is_kept_to() -> None:
    wait = answer(
        problem(429, "too-many-requests", "slowly"),
        "429 Too Many Requests",
        "application/problem+json",
        Retry_After="1",
    )
    began = time.monotonic()
    with rough_server(wait, good()) as server, Client(server.url) as client:
        client.thread_limits(designation=CALL_OUT)
    assert 1 <= time.monotonic() - began < 3
    assert len(server.requests) == 2


def test_retry_after_may_be_a_date() -> None:
    """RFC 9110, 10.2.3: a number of seconds or a date, which is whole seconds too."""
    until = datetime.now(UTC) + timedelta(seconds=2)
    wait = answer(
        problem(503, "unavailable", "starting"),
        "503 Service Unavailable",
        "application/problem+json",
        Retry_After=format_datetime(until, usegmt=True),
    )
    with rough_server(wait, good()) as server, Client(server.url) as client:
        client.thread_limits(designation=CALL_OUT)
    assert datetime.now(UTC) >= until.replace(microsecond=0)
    assert len(server.requests) == 2


def test_a_retry_after_that_means_nothing_is_overlooked() -> None:
    wait = answer(
        problem(503, "unavailable", "starting"),
        "503 Service Unavailable",
        "application/problem+json",
        Retry_After="soon",
    )
    with rough_server(wait, good()) as server, Client(server.url) as client:
        assert client.thread_limits(designation=CALL_OUT).pitch == 1.5
    assert len(server.requests) == 2


def test_a_hostile_retry_after_is_not(monkeypatch: pytest.MonkeyPatch) -> None:
    assert http_transport._LONGEST_WAIT_S == 30
    monkeypatch.setattr(http_transport, "_LONGEST_WAIT_S", 0.1)
    wait = answer(
        problem(429, "too-many-requests", "slowly"),
        "429 Too Many Requests",
        "application/problem+json",
        Retry_After="86400",
    )
    began = time.monotonic()
    with (
        rough_server(wait) as server,
        Client(server.url, retries=1) as client,
        pytest.raises(TooManyRequestsError, match="slowly"),
    ):
        client.thread_limits(designation=CALL_OUT)
    assert time.monotonic() - began < 2


def test_a_given_session_is_used_as_it_is() -> None:
    session = requests.Session()
    session.headers["X-Shop"] = "lift tables"
    adapters = dict(session.adapters)
    with rough_server(BUSY) as server, Client(server.url, session=session) as client:
        with pytest.raises(ServiceError):
            client.thread_limits(designation=CALL_OUT)
        client.close()
        with pytest.raises(ServiceError):
            client.thread_limits(designation=CALL_OUT)
    assert len(server.requests) == 2, "its own retries hold: none"
    assert server.requests[0][2]["x-shop"] == "lift tables"
    assert dict(session.adapters) == adapters
    assert "authorization" not in {name.lower() for name in session.headers}
    session.close()


def test_key_and_headers_are_sent() -> None:
    with (
        rough_server(good()) as server,
        Client(server.url, token="secret-key", headers={"X-Shop": "7"}) as client,
    ):
        client.thread_limits(designation=CALL_OUT)
    headers = server.requests[0][2]
    assert headers["authorization"] == "Bearer secret-key"
    assert headers["x-shop"] == "7"


def test_an_address_may_have_a_path() -> None:
    with rough_server(good()) as server, Client(f"{server.url}/shop/") as client:
        client.thread_limits(designation=CALL_OUT)
    assert server.requests[0][1] == "/shop/v1/thread-limits"


def test_many_threads_share_a_client() -> None:
    def echo(connection: socket.socket, body: bytes) -> None:
        given = json.loads(body)
        answer({**limits_answer(), "input": given})(connection, body)

    wrong: list[str] = []

    def ask(number: int) -> None:
        designation = f"M{number}-6g"
        for _ in range(20):
            if client.thread_limits(designation=designation).input["designation"] != designation:
                wrong.append(designation)

    with rough_server(echo) as server, Client(server.url) as client:
        threads = [threading.Thread(target=ask, args=(number,)) for number in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert len(server.requests) == 80
    assert not wrong


def test_an_invalid_input_has_its_faults() -> None:
    refused = answer(
        problem(
            422,
            "invalid-request",
            "pitch: -1 is outside",
            errors=[
                {
                    "parameter": "pitch",
                    "code": "out-of-range",
                    "detail": "pitch: -1 is outside",
                    "value": -1,
                    "accepted": "a number above 0",
                },
                "something else",
            ],
        ),
        "422 Unprocessable Content",
        "application/problem+json",
        X_Request_ID="r1",
    )
    with (
        rough_server(refused) as server,
        Client(server.url) as client,
        pytest.raises(InvalidInputError) as caught,
    ):
        client.thread_limits(pitch=-1)
    (fault,) = caught.value.faults
    assert (fault.parameter, fault.value, fault.accepted) == ("pitch", -1, "a number above 0")
    assert caught.value.request_id == "r1"
    assert "accepted for pitch: a number above 0" in str(caught.value)
