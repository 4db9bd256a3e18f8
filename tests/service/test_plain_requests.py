"""Plain requests are answered without the framework, and exactly as it would have answered them."""

from __future__ import annotations

import json
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from support.examples import EXAMPLE_IDS, EXAMPLES, query
from threadwright_service.api import OPERATIONS
from threadwright_service.api.operation import Example, Operation
from threadwright_service.app import create_app
from threadwright_service.app.choice import CONTROL_KEYS
from threadwright_service.app.plain import PlainRequests
from threadwright_service.settings import Settings

_PATH = "/v1/thread-limits"
_HEADERS = {"X-Request-ID": "the-same"}
_SETTINGS = Settings(kept_answers=0)
_PLAIN = create_app(_SETTINGS)
_FRAMED = create_app(_SETTINGS)


@pytest.fixture(scope="module", autouse=True)
def only_the_framework() -> None:
    """One of the two applications finds no request plain."""
    inner: Any = _FRAMED.wsgi_app

    def none_is(*_: Any) -> Any:
        raise LookupError

    inner._plain.reply = none_is


def both(method: str, path: str, **sent: Any) -> tuple[Any, Any]:
    """The answers of both ways; whatever the framework adds on its own is left out."""
    sent.setdefault("headers", {}).update(_HEADERS)
    return tuple(_told(app, method, path, sent) for app in (_PLAIN, _FRAMED))


def _told(app: Flask, method: str, path: str, sent: dict[str, Any]) -> Any:
    client: FlaskClient = app.test_client()
    answer = client.open(path, method=method, **sent)
    return answer.status, sorted(answer.headers.items()), answer.data


@pytest.mark.parametrize(("operation", "example"), EXAMPLES, ids=EXAMPLE_IDS)
def test_examples(operation: Operation, example: Example) -> None:
    path = f"{operation.path}?{query(example.request)}"
    for method, sent in (
        ("GET", {}),
        ("HEAD", {}),
        ("GET", {"headers": {"Accept": "*/*"}}),
        ("GET", {"headers": {"Accept": "text/csv"}}),
        ("GET", {"headers": {"If-None-Match": "*"}}),
    ):
        plain, framed = both(method, path, **sent)
        assert plain == framed
    plain, framed = both("POST", operation.path, json=dict(example.request))
    assert plain == framed


ODD_QUERIES = (
    "",
    "designation",
    "designation=",
    "designation=M0",
    "designation=M24x1.5-6g&",
    "&designation=M24x1.5-6g",
    "designation=M24x1.5-6g&designation=M24x1.5-6g",
    "designation=M24x1%2C5-6g",
    "designation=M24x1.5-6g+LH",
    "designation=M24x1.5-6g%20LH",
    "designation=%FF",
    "designation=%",
    "designation=%zz",
    "designation=\u00d8",
    "designation=%C3%97",
    "desi%67nation=M24x1.5-6g",
    "designation=M24x1.5-6g;unit=in",
    "designation=M24x1.5-6g&unit=in&working=true",
    "designation=M24x1.5-6g&length_of_engagement=20",
    "designation=M24x1.5-6g&length_of_engagement=1,5&unit=mm",
    "designation=M24x1.5-6g&nonsense=1",
    "designation=M24x1.5-6g&format=csv",
    "designation=M0&on_error=text",
    "designation=M24x1.5-6g&key=x",
    "designation=M24x1.5-6g&__proto__=1",
    *(f"designation=M24x1.5-6g&format={form}" for form in ("json", "text", "xml", "html", "svg")),
    "designation=M24x1.5-6g&format=pdf",
    "designation=M24x1.5-6g&field=limits.pitch_diameter.max",
    "designation=M24x1.5-6g&field=limits.pitch_diameter.max%2Cunit&v=3",
    "designation=M24x1.5-6g&field=no.path",
    "designation=M24x1.5-6g&field=no.path&on_error=text",
    "designation=M24x1.5-6g&field=limits&format=html",
    "designation=M24x1.5-6g&rows=assumed",
    "designation=M24x1.5-6g&rows=assumed&decimal=comma",
    "designation=M24x1.5-6g&rows=limits",
    "designation=M24x1.5-6g&picture=zones",
    "designation=M24x1.5-6g&picture=break-even",
    "designation=M24x1.5-6g&decimal=comma",
    "designation=M24x1.5-6g&format=csv&format=csv",
    "designation=M0&format=html",
    "designation=M0&format=xml",
    "designation=M0&format=html&on_error=text",
    "format=csv",
    "on_error=text",
)


@pytest.mark.parametrize("odd", ODD_QUERIES)
def test_odd_queries(odd: str) -> None:
    for method in ("GET", "HEAD", "POST"):
        plain, framed = both(method, f"{_PATH}?{odd}")
        assert plain == framed


@pytest.mark.parametrize("suffix", [".json", ".csv", ".txt", ".xml", ".html", ".svg", ".pdf", "/"])
def test_suffixes(suffix: str) -> None:
    for asked in ("designation=M24x1.5-6g", "designation=M0", "designation=M24-6g&format=text"):
        for accept in ("*/*", "text/html", "image/svg+xml"):
            path = f"{_PATH}{suffix}?{asked}"
            plain, framed = both("GET", path, headers={"Accept": accept})
            assert plain == framed
    plain, framed = both("POST", f"{_PATH}{suffix}", json={"designation": "M24x1.5-6g"})
    assert plain == framed


ODD_BODIES: tuple[tuple[bytes, dict[str, str]], ...] = (
    (b"", {}),
    (b"{", {}),
    (b"[]", {}),
    (b"null", {}),
    (b'{"designation":"M24x1.5-6g","designation":"M24x1.5-6h"}', {}),
    (b'{"designation":NaN}', {}),
    (b'{"designation":"\xff"}', {}),
    (b'{"designation":"M24x1.5-6g"}', {"Content-Type": "text/plain"}),
    (b'{"designation":"M24x1.5-6g"}', {"Content-Type": "application/json; charset=utf-8"}),
    (b'{"designation":"M24x1.5-6g"}', {"Content-Type": "Application/JSON"}),
    (b'{"designation":"M24x1.5-6g"}', {"Accept": "text/csv"}),
    (b'{"designation":"M24x1.5-6g"}', {"Content-Length": "7"}),
    (b'{"designation":"M24x1.5-6g"}', {"Content-Length": "29"}),
    (b'{"designation":"M24x1.5-6g"}', {"Content-Length": "\u0661"}),
    (b'{"designation":"' + b"x" * 2_000_000 + b'"}', {}),
)


@pytest.mark.parametrize(("body", "headers"), ODD_BODIES)
def test_odd_bodies(body: bytes, headers: dict[str, str]) -> None:
    headers = {"Content-Type": "application/json", **headers}
    plain, framed = both("POST", _PATH, data=body, headers=headers)
    assert plain == framed


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["designation", "unit", "hand", "starts", "working", "format", "x"]),
            st.sampled_from(["M24x1.5-6g", "3/4-16 UNF-2A", "mm", "in", "left", "2", "true", ""])
            | st.text(max_size=8),
        ),
        max_size=4,
    )
)
def test_any_query(pairs: list[tuple[str, str]]) -> None:
    plain, framed = both("GET", _PATH, query_string=pairs)
    assert plain == framed


def test_no_operation_takes_a_key_that_chooses_the_form() -> None:
    for operation in OPERATIONS:
        assert not CONTROL_KEYS & operation.request.wire_fields().keys()


def test_a_fault_of_ours_is_told_by_the_framework(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def broken(*_: Any) -> Any:
        raise RuntimeError("broken")

    monkeypatch.setattr(PlainRequests, "reply", broken)
    for sent in ({"query_string": "designation=M24x1.5-6g"}, {}):
        answer = _PLAIN.test_client().get(_PATH, **sent)
        assert answer.status_code in (200, 422), "the framework's way is not broken"
    assert not caplog.records


def test_a_body_that_was_read_is_read_again_by_the_framework(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    original = PlainRequests.reply

    def broken_late(self: PlainRequests, *asked: Any) -> Any:
        original(self, *asked)
        raise RuntimeError("broken after the body was read")

    monkeypatch.setattr(PlainRequests, "reply", broken_late)
    answer = _PLAIN.test_client().post(_PATH, json={"designation": "M24x1.5-6g"})
    assert answer.status_code == 200
    assert json.loads(answer.data)["result"]["designation"] == "M24x1.5-6g"
