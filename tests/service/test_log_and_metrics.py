"""What log and metrics tell of a request, and what they must never tell."""

from __future__ import annotations

import io
import json
import logging
import sys
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from prometheus_client.parser import text_string_to_metric_families

from threadwright_service.app import create_app
from threadwright_service.app.log import LOGGER, JsonLines
from threadwright_service.settings import Settings

M24 = "/v1/thread-limits?designation=M24x1.5-6g"


class _Stream:
    """Standard output with the bytes below it."""

    def __init__(self) -> None:
        self.buffer = io.BytesIO()


@pytest.fixture
def logged(monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[FlaskClient, _Stream]]:
    stream = _Stream()
    monkeypatch.setattr(sys, "stdout", stream)
    handlers, propagate = list(LOGGER.handlers), LOGGER.propagate
    settings = Settings(access_log=True, api_keys=("secret-key",), key_in_query=True)
    with create_app(settings).test_client() as client:
        yield client, stream
    LOGGER.handlers[:], LOGGER.propagate = handlers, propagate


def lines(stream: _Stream) -> list[dict[str, Any]]:
    return [json.loads(line) for line in stream.buffer.getvalue().splitlines()]


def test_one_line_a_request(logged: tuple[FlaskClient, _Stream]) -> None:
    client, stream = logged
    key = {"X-API-Key": "secret-key", "traceparent": "00-1-2-01", "X-Request-ID": "job-7"}
    client.get(M24, headers=key)
    client.get(M24, headers=key)  # kept
    client.head(f"{M24}&format=csv", headers=key)
    client.get("/v1/thread-limits?designation=nothing", headers=key)
    client.get("/problems/not-found")
    client.get("/v1/nothing/at/all", headers=key)
    items = [{"operation": "hardness", "params": {"value": 58, "scale": "HRC"}}, {}]
    client.post("/v1/batch", json={"items": items}, headers=key)
    told = lines(stream)
    assert [(each["route"], each["status"]) for each in told] == [
        ("/v1/thread-limits", 200),
        ("/v1/thread-limits", 200),
        ("/v1/thread-limits", 200),
        ("/v1/thread-limits", 422),
        ("/problems/<slug>", 200),
        ("none", 404),
        ("/v1/batch", 200),
    ]
    assert told[0]["request_id"] == "job-7"
    assert told[0]["traceparent"] == "00-1-2-01"
    assert told[0]["bytes"] > 1000
    assert told[2]["bytes"] == 0, "HEAD sends no body"
    assert told[3]["problem"] == "unknown-designation"
    assert (told[6]["items_ok"], told[6]["items_failed"]) == (1, 1)
    assert all(each["milliseconds"] >= 0 for each in told)


def test_no_key_and_no_query_value_is_logged(logged: tuple[FlaskClient, _Stream]) -> None:
    client, stream = logged
    assert client.get(f"{M24}&key=secret-key").status_code == 200
    assert client.get(f"{M24}&key=wrong-secret-key").status_code == 401
    assert client.get(M24, headers={"Authorization": "Bearer secret-key"}).status_code == 200
    text = stream.buffer.getvalue()
    assert b"secret-key" not in text
    assert b"designation" not in text
    assert lines(stream)[1]["problem"] == "unauthorised"


def test_a_wrong_key_is_not_told_back(logged: tuple[FlaskClient, _Stream]) -> None:
    client, _ = logged
    for form in ("", "&on_error=text"):
        answer = client.get(f"{M24}&key=wrong-secret-key{form}")
        assert "wrong-secret-key" not in answer.text
    assert answer.text.startswith("#ERR 401 "), "a cell reads that it lacks a key"


def test_health_is_not_logged(logged: tuple[FlaskClient, _Stream]) -> None:
    client, stream = logged
    client.get("/livez")
    client.get("/readyz")
    assert lines(stream) == []


def test_our_faults_are_json_too() -> None:
    record = logging.LogRecord("x", logging.ERROR, "x", 1, "request %s failed", ("a",), None)
    record.request_id = "a"
    try:
        raise ZeroDivisionError("by hand")
    except ZeroDivisionError:
        record.exc_info = sys.exc_info()
    told = json.loads(JsonLines().format(record))
    assert told["message"] == "request a failed"
    assert told["request_id"] == "a"
    assert "ZeroDivisionError: by hand" in told["traceback"]


@pytest.fixture
def counted() -> Iterator[FlaskClient]:
    with create_app(Settings(metrics=True)).test_client() as client:
        yield client


def samples(client: FlaskClient) -> dict[tuple[str, tuple[tuple[str, str], ...]], float]:
    answer = client.get("/metrics")
    assert answer.status_code == 200
    assert answer.headers["Cache-Control"] == "no-store"
    return {
        (sample.name, tuple(sorted(sample.labels.items()))): sample.value
        for family in text_string_to_metric_families(answer.text)
        for sample in family.samples
    }


def test_requests_are_counted_by_route_method_and_status(counted: FlaskClient) -> None:
    for _ in range(3):
        counted.get(M24)
    counted.get("/v1/thread-limits?designation=nothing")
    counted.post("/v1/batch", json={"items": [{"operation": "nothing"}]})
    found = samples(counted)
    route = ("route", "/v1/thread-limits")
    requests = "threadwright_requests_total"
    assert found[requests, (("method", "GET"), route, ("status", "200"))] == 3
    assert found[requests, (("method", "GET"), route, ("status", "422"))] == 1
    assert found["threadwright_request_seconds_count", (route,)] == 4
    assert found["threadwright_problems_total", (("slug", "unknown-designation"),)] == 1
    assert found["threadwright_batch_items_total", (("outcome", "failed"),)] == 1


def test_no_label_comes_from_a_caller(counted: FlaskClient) -> None:
    counted.get("/v1/evil-path-1?evil=2")
    counted.get("/problems/evil-slug")
    counted.get("/docs/evil-name")
    counted.open("/v1/threads", method="EVIL")
    counted.get(f"{M24}&evil-key=3", headers={"X-Request-ID": "evil-id"})
    labels = {value for _, pairs in samples(counted) for _, value in pairs}
    assert not [value for value in labels if "evil" in value.lower()]
    assert {"none", "other", "/problems/<slug>"} <= labels


def test_metrics_are_off_by_default(http: FlaskClient) -> None:
    assert http.get("/metrics").status_code == 404


def test_metrics_without_the_extra_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "prometheus_client", None)
    with pytest.raises(RuntimeError, match=r"threadwright\[metrics\]"):
        create_app(Settings(metrics=True))
