"""Batches: any iterable in, results in order, bad items in their place, nothing lost."""

from __future__ import annotations

import itertools
import json
import sys
from collections.abc import Iterator
from typing import Any

import pytest
import requests
from flask import Flask

from support.answers import limits_answer, problem
from support.rough_server import Act, answer, rough_server
from threadwright import (
    Client,
    InvalidInputError,
    MissingExtraError,
    RefusedError,
    ServiceError,
    UnexpectedAnswerError,
)
from threadwright.chunks import MOST_BYTES, MOST_ITEMS, chunks
from threadwright.embedded import ADDRESS, EmbeddedAdapter
from threadwright.results.threads import ThreadLimits
from threadwright_service.app import create_app
from threadwright_service.settings import Settings


class Counting:
    """A WSGI application around the service that counts what comes."""

    def __init__(self, application: Flask) -> None:
        self._application = application
        self.seen: list[tuple[str, int]] = []

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Any:
        self.seen.append((environ["PATH_INFO"], int(environ["CONTENT_LENGTH"])))
        return self._application(environ, start_response)


def service(**settings: Any) -> tuple[Client, Counting]:
    """A client that writes real requests to a service in this process."""
    counting = Counting(create_app(Settings(**settings)))
    session = requests.Session()
    session.trust_env = False
    session.mount(ADDRESS, EmbeddedAdapter(counting))
    return Client(ADDRESS, session=session), counting


@pytest.fixture(params=["embedded", "http"])
def client(request: pytest.FixtureRequest) -> Client:
    """Batches must not differ in how they travel."""
    return Client() if request.param == "embedded" else service()[0]


def sizes() -> Iterator[dict[str, Any]]:
    """An endless row of threads: M10, M11, …"""
    return ({"designation": f"M{number}x1-6g"} for number in itertools.cycle(range(10, 40)))


def test_results_come_in_order(client: Client) -> None:
    rows = list(itertools.islice(sizes(), 2_500))
    results = client.batch(rows, operation="thread-limits")
    assert [result.input for result in results if isinstance(result, ThreadLimits)] == rows
    assert all(
        isinstance(result, ThreadLimits) and result.nominal_diameter == 10 + number % 30
        for number, result in enumerate(results)
    )


def test_a_batch_equals_single_calls(client: Client) -> None:
    rows: list[dict[str, Any]] = [{"designation": "M24x1.5-6g", "working": True}]
    (result,) = client.batch(rows, operation="thread_limits")
    single = client.thread_limits(designation="M24x1.5-6g", working=True)
    assert isinstance(result, ThreadLimits)
    assert result == single
    assert (result.unit, result.units, result.assumed) == (
        single.unit,
        single.units,
        single.assumed,
    )
    assert result.meta.service == single.meta.service


def test_bad_items_stand_in_their_place(client: Client) -> None:
    rows: list[dict[str, Any]] = [
        {"designation": "M24x1.5-6g"},
        {"designation": "no thread at all"},
        {"designation": "M10-6H", "colour": "red"},
        {"designation": "M10-6H", "length_of_engagement": float("nan"), "unit": "mm"},
        {"designation": "M10-6H", "unit": "x" * 2_000_000},
        {"designation": "M12-6H"},
    ]
    results = client.batch(rows, operation="thread-limits")
    assert [type(result) for result in results] == [
        ThreadLimits,
        RefusedError,
        InvalidInputError,
        InvalidInputError,
        InvalidInputError,
        ThreadLimits,
    ]
    refused, unknown = results[1], results[2]
    assert isinstance(refused, RefusedError)
    assert refused.faults
    assert isinstance(unknown, InvalidInputError)
    assert unknown.faults[0].parameter == "colour"


def test_items_of_several_operations(client: Client) -> None:
    items: list[Any] = [
        ("thread-limits", {"designation": "M10-6H"}),
        {"operation": "gauge_limits", "params": {"designation": "M10-6H"}},
        {"operation": "hardness", "params": {"value": 42, "scale": "HRC"}},
        ("thread-colour", {}),
        {"operation": "thread-limits"},
    ]
    results = client.batch(items)
    assert [type(result).__name__ for result in results[:3]] == [
        "ThreadLimits",
        "GaugeLimits",
        "HardnessConversion",
    ]
    assert isinstance(results[4], RefusedError)


def test_shared_keys_come_after_the_items_own(client: Client) -> None:
    rows = [{"designation": "M10-6H"}, {"designation": "M10-6H", "unit": "mm"}]
    first, second = client.batch(rows, operation="thread-limits", unit="in")
    assert isinstance(first, ThreadLimits)
    assert isinstance(second, ThreadLimits)
    assert (first.unit, second.unit) == ("in", "mm")


def test_the_first_error_may_be_raised(client: Client) -> None:
    taken = []

    def rows() -> Iterator[dict[str, Any]]:
        for row in itertools.islice(sizes(), 20_000):
            taken.append(row)
            yield row if len(taken) != 10 else {"designation": "nothing"}

    with pytest.raises(RefusedError):
        client.batch(rows(), operation="thread-limits", raise_first=True)
    assert len(taken) < 20_000, "the rest is not asked for"


def test_an_endless_iterable_can_be_read_piece_by_piece(client: Client) -> None:
    results = client.batch_iter(sizes(), operation="thread-limits")
    some = list(itertools.islice(results, 3))
    assert all(isinstance(result, ThreadLimits) for result in some)
    results.close()  # type: ignore[attr-defined]


def test_nothing_is_asked_of_an_empty_batch(client: Client) -> None:
    assert client.batch([], operation="thread-limits") == []


def test_what_cannot_be_sent_is_named(client: Client) -> None:
    with pytest.raises(TypeError, match="designation is object"):
        client.batch([{"designation": object()}], operation="thread-limits")


def test_requests_hold_as_many_items_as_they_may() -> None:
    client, counting = service()
    client.batch(itertools.islice(sizes(), 2_500), operation="thread-limits")
    assert [path for path, _ in counting.seen] == ["/v1/batch"] * 3


def test_requests_stay_below_the_limit_of_a_body() -> None:
    client, counting = service()
    rows = [{"designation": f"M10{' ' * 5_000}-6H"}] * 600
    results = client.batch(rows, operation="thread-limits")
    assert len(results) == 600
    assert len(counting.seen) == 4
    assert all(length <= MOST_BYTES + 20 for _, length in counting.seen)
    assert Settings().body_limit > MOST_BYTES
    assert Settings().batch_limit == MOST_ITEMS


def test_a_service_with_lower_limits_gets_smaller_requests() -> None:
    rows = list(itertools.islice(sizes(), 300))
    for limits in ({"batch_limit": 40}, {"body_limit": 4_000}):
        client, counting = service(**limits)
        results = client.batch(rows, operation="thread-limits")
        assert [result.input for result in results if isinstance(result, ThreadLimits)] == rows
        assert len(counting.seen) > 300 / 80


def test_an_item_that_no_parser_takes_is_an_error_in_its_place(client: Client) -> None:
    rows = [{"designation": "M10-6H"}, {"designation": "M10\ud800-6H"}, {"designation": "M12-6H"}]
    results = client.batch(rows, operation="thread-limits")
    assert [isinstance(result, ThreadLimits) for result in results] == [True, False, True]


def test_an_item_that_is_too_large_alone_is_an_error_in_its_place() -> None:
    client, _ = service(body_limit=400)
    rows = [
        {"designation": "M10-6H"},
        {"designation": f"M10{' ' * 500}-6H"},
        {"designation": "M12-6H"},
    ]
    results = client.batch(rows, operation="thread-limits")
    assert [type(result) for result in results] == [ThreadLimits, InvalidInputError, ThreadLimits]
    too_large = results[1]
    assert isinstance(too_large, InvalidInputError)
    assert too_large.status == 413


def test_chunks_keep_order_and_hold_everything() -> None:
    items: list[Any] = [("a", {"n": number}) for number in range(2_100)]
    items[1_005] = ("a", {"n": float("inf")})
    found: list[Any] = []
    for bodies, alone in chunks(items):
        assert len(bodies) <= 1_000
        found += [json.loads(body)["params"]["n"] for body in bodies]
        found += [] if alone is None else [alone[1]["n"]]
    assert found == [item[1]["n"] for item in items]


def batch_answer(count: int) -> Act:
    items = [{"index": n, "status": 200, **limits_answer()} for n in range(count)]
    return answer({"count": count, "items": items, "meta": {"service": "1", "tables": "2"}})


def test_an_answer_of_another_length_is_none() -> None:
    with (
        rough_server(batch_answer(2)) as server,
        Client(server.url) as client,
        pytest.raises(UnexpectedAnswerError, match="a batch of 3 items with 2"),
    ):
        client.batch(itertools.islice(sizes(), 3), operation="thread-limits")
    for items in ("none", [1, 2, 3]):
        with (
            rough_server(answer({"items": items})) as server,
            Client(server.url) as client,
            pytest.raises(UnexpectedAnswerError, match="a batch of 3 items"),
        ):
            client.batch(itertools.islice(sizes(), 3), operation="thread-limits")


def test_an_item_that_a_newer_service_takes_alone() -> None:
    """What this client holds for unsendable may be taken by the service: its word counts."""
    with rough_server(answer(limits_answer())) as server, Client(server.url) as client:
        rows = [{"designation": "M24x1.5-6g", "pitch": float("inf")}]
        (result,) = client.batch(rows, operation="thread-limits")
    assert isinstance(result, ThreadLimits)
    assert server.requests[0][1] == "/v1/thread-limits"


def test_a_service_that_fails_ends_the_batch_but_not_what_came() -> None:
    failed = answer(
        problem(500, "internal-error", "tell us"),
        "500 Internal Server Error",
        "application/problem+json",
    )
    with rough_server(batch_answer(1_000), failed) as server, Client(server.url) as client:
        results = client.batch_iter(itertools.islice(sizes(), 2_000), operation="thread-limits")
        came = list(itertools.islice(results, 1_000))
        with pytest.raises(ServiceError):
            next(results)
    assert len(came) == 1_000


def test_an_item_that_fails_within_the_service_is_raised() -> None:
    item = {"index": 0, "status": 500, "error": problem(500, "internal-error", "tell us")}
    with (
        rough_server(answer({"items": [item]})) as server,
        Client(server.url) as client,
        pytest.raises(ServiceError, match="tell us"),
    ):
        client.batch(itertools.islice(sizes(), 1), operation="thread-limits")


def test_a_progress_bar(client: Client, capsys: pytest.CaptureFixture[str]) -> None:
    rows = list(itertools.islice(sizes(), 50))
    client.batch(rows, operation="thread-limits", progress=True)
    told = capsys.readouterr()
    assert "50/50" in told.err
    assert not told.out
    list(client.batch_iter(iter(rows), operation="thread-limits", progress=True))
    assert "50 items" in capsys.readouterr().err


def test_without_tqdm_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "tqdm", None)
    with pytest.raises(MissingExtraError, match=r"pip install 'threadwright\[progress\]'"):
        Client().batch([], operation="thread-limits", progress=True)
