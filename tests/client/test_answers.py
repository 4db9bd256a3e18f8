"""What comes back over HTTP and what is made of it, with ``responses`` in place of a socket.

It follows the retries of the mounted adapter but never waits, and knows no timeouts; those are
tested with a real socket in ``test_rough_server.py``.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
import requests
import responses
from responses.registries import OrderedRegistry

from support.answers import limits_answer, problem
from threadwright import (
    Client,
    ConnectionFailedError,
    InvalidInputError,
    NoAnswerError,
    NotFoundError,
    ServiceError,
    TimedOutError,
    TooManyRequestsError,
    UnauthorisedError,
    UnexpectedAnswerError,
)
from threadwright.transport import DEFAULT_TIMEOUT

URL = "http://shop.example:8000"
LIMITS = f"{URL}/v1/thread-limits"


@pytest.fixture
def network() -> Iterator[responses.RequestsMock]:
    with responses.RequestsMock(registry=OrderedRegistry) as mock:
        yield mock


def failing(network: responses.RequestsMock, status: int, slug: str, times: int = 1) -> None:
    for _ in range(times):
        network.post(
            LIMITS,
            body=json.dumps(problem(status, slug, f"because of {slug}")),
            status=status,
            content_type="application/problem+json",
            headers={"X-Request-ID": f"id-{status}"},
        )


@pytest.mark.parametrize(
    ("status", "slug", "kind", "asked"),
    [
        (400, "unreadable-body", InvalidInputError, 1),
        (401, "unauthorised", UnauthorisedError, 1),
        (404, "not-found", NotFoundError, 1),
        (413, "too-large", InvalidInputError, 1),
        (429, "too-many-requests", TooManyRequestsError, 3),
        (500, "internal-error", ServiceError, 1),
        (502, "unavailable", ServiceError, 3),
        (503, "unavailable", ServiceError, 3),
        (504, "unavailable", ServiceError, 3),
    ],
)
def test_a_problem_is_raised_with_its_body(
    network: responses.RequestsMock, status: int, slug: str, kind: type[Exception], asked: int
) -> None:
    failing(network, status, slug, asked)
    with Client(URL) as client, pytest.raises(kind, match=f"because of {slug}") as caught:
        client.thread_limits(designation="M10")
    assert caught.value.request_id == f"id-{status}"  # type: ignore[attr-defined]
    assert len(network.calls) == asked


def test_no_retries_if_none_are_wanted(network: responses.RequestsMock) -> None:
    failing(network, 503, "unavailable")
    with Client(URL, retries=0) as client, pytest.raises(ServiceError):
        client.thread_limits(designation="M10")


def test_busy_then_good(network: responses.RequestsMock) -> None:
    failing(network, 503, "unavailable", 2)
    network.post(LIMITS, json=limits_answer(), headers={"X-Request-ID": "third"})
    with Client(URL) as client:
        assert client.thread_limits(designation="M24x1.5-6g").request_id == "third"


@pytest.mark.parametrize(
    ("raised", "kind"),
    [
        (requests.exceptions.ConnectTimeout("slow"), TimedOutError),
        (requests.exceptions.ReadTimeout("slow"), TimedOutError),
        (requests.exceptions.ConnectionError("refused"), ConnectionFailedError),
        (requests.exceptions.SSLError("certificate verify failed"), ConnectionFailedError),
        (requests.exceptions.ProxyError("no proxy"), ConnectionFailedError),
        (requests.exceptions.ContentDecodingError("gzip"), NoAnswerError),
        (requests.exceptions.InvalidURL("what"), NoAnswerError),
    ],
)
def test_every_failure_of_requests_has_its_class(
    network: responses.RequestsMock, raised: Exception, kind: type[Exception]
) -> None:
    network.post(LIMITS, body=raised)
    with Client(URL) as client, pytest.raises(kind, match=str(raised)) as caught:
        client.thread_limits(designation="M10")
    assert type(caught.value) is kind
    assert caught.value.__cause__ is raised


def test_timeouts_are_passed_on(network: responses.RequestsMock) -> None:
    for _ in range(4):
        network.post(LIMITS, json=limits_answer())
    with Client(URL) as client:
        client.thread_limits(designation="M10")
        client.thread_limits(designation="M10", timeout=7)
        client.thread_limits(designation="M10", timeout=None)
    with Client(URL, timeout=(1, 2)) as client:
        client.thread_limits(designation="M10")
        network.post(f"{URL}/v1/batch", json={"items": []})
        network.post(f"{URL}/v1/batch", json={"items": []})
        with pytest.raises(UnexpectedAnswerError):
            client.batch([{}], operation="thread-limits")
        with pytest.raises(UnexpectedAnswerError):
            client.batch([{}], operation="thread-limits", timeout=None)
    told = [call.request.req_kwargs["timeout"] for call in network.calls]  # type: ignore[attr-defined]
    assert told == [DEFAULT_TIMEOUT, 7, None, (1, 2), (1, 2), None]
    assert DEFAULT_TIMEOUT == (3.05, 30.0)


def test_forms_and_fields_stand_in_the_address(network: responses.RequestsMock) -> None:
    named = {"X-Request-ID": "r"}
    network.post(f"{LIMITS}?format=csv", body=b"a,b\r\n", headers=named)
    network.post(f"{LIMITS}?field=a.b%2Cc", body=b"1,2", headers=named)
    network.get(
        f"{URL}/v1/threads?family=unified", json={"result": {"families": []}}, headers=named
    )
    with Client(URL) as client:
        assert client.document("thread-limits", "csv", designation="M10") == b"a,b\r\n"
        assert client.text("thread-limits", ["a.b", "c"], designation="M10") == "1,2"
        assert client.threads(family="unified") == ()
    assert [call.request.body for call in network.calls] == [
        b'{"designation":"M10"}',
        b'{"designation":"M10"}',
        None,
    ]


@pytest.mark.parametrize(
    ("body", "headers"),
    [
        ({"result": {"families": []}}, {}),
        ({"result": []}, {"X-Request-ID": "r"}),
        ({"families": []}, {"X-Request-ID": "r"}),
    ],
    ids=["unnamed", "another result", "no result"],
)
def test_a_list_that_is_not_the_services(
    network: responses.RequestsMock, body: dict[str, Any], headers: dict[str, str]
) -> None:
    network.get(f"{URL}/v1/threads", json=body, headers=headers)
    with Client(URL) as client, pytest.raises(UnexpectedAnswerError):
        client.threads()


def test_an_operation_of_a_newer_service(network: responses.RequestsMock) -> None:
    answer: dict[str, Any] = {**limits_answer(), "operation": "thread-colour"}
    answer["result"] = {"colour": "blue"}
    network.post(f"{URL}/v1/thread-colour", json=answer)
    with Client(URL) as client:
        assert client.call("thread-colour", {"pitch": 1}).extra == {"colour": "blue"}


@pytest.mark.parametrize(
    "address", ["localhost:8000", "shop", "", "ftp://shop", "http://", "http:///v1", "//shop"]
)
def test_what_is_no_address_is_said_at_once(address: str) -> None:
    with pytest.raises(ValueError, match=r"write http://127\.0\.0\.1:8000"):
        Client(address)


def test_settings_of_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("THREADWRIGHT_URL", URL)
    monkeypatch.setenv("THREADWRIGHT_TOKEN", "key")
    with responses.RequestsMock() as network:
        network.post(LIMITS, json=limits_answer())
        with Client.from_env() as client:
            client.thread_limits(designation="M10")
        assert network.calls[0].request.headers["Authorization"] == "Bearer key"
    monkeypatch.setenv("THREADWRIGHT_URL", "")
    assert Client.from_env().base_url is None
    monkeypatch.delenv("THREADWRIGHT_URL")
    assert Client.from_env().base_url is None
    assert Client(URL).base_url == URL, "the environment is read by from_env alone"


def test_proxies_are_looked_up_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HTTP_PROXY", "http://127.0.0.1:9")
    monkeypatch.delenv("NO_PROXY", raising=False)
    monkeypatch.delenv("no_proxy", raising=False)
    with Client(URL, retries=0) as client, pytest.raises(ConnectionFailedError, match="proxy"):
        client.thread_limits(designation="M10")
    with Client(URL) as client, responses.RequestsMock() as network:
        monkeypatch.delenv("HTTP_PROXY")
        network.post(LIMITS, json=limits_answer())
        client.thread_limits(designation="M10")
        told = network.calls[0].request.req_kwargs["proxies"]  # type: ignore[attr-defined]
    assert told["http"] == "http://127.0.0.1:9"


def test_many_addresses_do_not_pile_up() -> None:
    with responses.RequestsMock() as network, Client(URL) as client:
        for number in range(100):
            network.post(f"{LIMITS}?field=f{number}", body=b"1", headers={"X-Request-ID": "r"})
            assert client.text("thread-limits", f"f{number}", designation="M10") == "1"
        assert len(client._transport._models) <= 64  # type: ignore[attr-defined]
