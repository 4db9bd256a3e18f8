"""Results: frozen, slotted, typed, and nothing lost that the client does not know."""

from __future__ import annotations

import copy
import pickle
from collections.abc import Iterator, Mapping
from dataclasses import FrozenInstanceError, dataclass, fields, is_dataclass, replace
from typing import Any

import pytest

from support.answers import limits_answer
from support.examples import EXAMPLE_IDS, EXAMPLES
from threadwright import Client, UnexpectedAnswerError
from threadwright.record import Record
from threadwright.results.answer import Range, Result, Span
from threadwright.results.jobs import JobSheet
from threadwright.results.threads import ThreadLimits
from threadwright_service.api.entry import call
from threadwright_service.api.operation import Example, Operation

examples = pytest.mark.parametrize(("operation", "example"), EXAMPLES, ids=EXAMPLE_IDS)


def unknown(value: Any, path: str = "") -> Iterator[str]:
    """Every member, at any depth, that no field has taken."""
    if isinstance(value, Record):
        yield from (f"{path}.{name}" for name in value.extra)
        for each in fields(value):
            if each.name != "extra":
                yield from unknown(getattr(value, each.name), f"{path}.{each.name}")
    elif isinstance(value, (tuple, list)):
        for index, item in enumerate(value):
            yield from unknown(item, f"{path}.{index}")
    elif isinstance(value, Mapping):
        for name, member in value.items():
            yield from unknown(member, f"{path}.{name}")


def plain_json(value: Any) -> Any:
    """What a value is after JSON: tuples are lists."""
    if isinstance(value, Mapping):
        return {key: plain_json(member) for key, member in value.items()}
    return [plain_json(item) for item in value] if isinstance(value, (list, tuple)) else value


@examples
def test_every_member_of_every_example_is_known(operation: Operation, example: Example) -> None:
    result = Client().call(operation.name, {**example.request, "working": True})
    assert sorted(set(unknown(result))) == []
    assert result.working


@examples
def test_a_result_becomes_what_was_sent(operation: Operation, example: Example) -> None:
    status, members = call(operation.name, dict(example.request))
    assert status == 200
    result = Client().call(operation.name, example.request)
    assert without_absent(result.to_dict(), members["result"]) == plain_json(members["result"])
    around = result.answer.to_dict()
    for name in ("operation", "input", "unit", "units", "assumed", "cautions"):
        told = without_absent(around[name], members[name])
        assert told == plain_json(members[name]), name


def without_absent(told: Any, sent: Any) -> Any:
    """Without the members that stand at their default because they were not sent."""
    if isinstance(told, dict):
        return {key: without_absent(value, sent[key]) for key, value in told.items() if key in sent}
    if isinstance(told, list):
        return [without_absent(item, other) for item, other in zip(told, sent, strict=True)]
    return told


@examples
def test_results_can_be_pickled_and_copied(operation: Operation, example: Example) -> None:
    result = Client().call(operation.name, example.request)
    for again in (pickle.loads(pickle.dumps(result)), copy.deepcopy(result)):
        assert again == result
        assert again.answer == result.answer
        assert type(again) is type(result)
    assert replace(result) == result


def test_results_are_frozen_and_slotted() -> None:
    limits = ThreadLimits.from_answer(limits_answer())
    assert is_dataclass(limits)
    with pytest.raises(FrozenInstanceError):
        limits.pitch = 2.0  # type: ignore[misc]
    assert not hasattr(limits, "__dict__")
    assert not hasattr(limits.limits.pitch_diameter, "__dict__")


def test_a_built_record_equals_a_constructed_one() -> None:
    built = Span.from_json({"max": 2.0, "min": None})
    assert built == Span(max=2.0, min=None)
    assert repr(built) == "Span(max=2.0, min=None)"
    other: Record = Range.from_json({"max": 2.0, "min": 1.0})
    assert other != Span(max=2.0, min=1.0)
    assert type(built) is Span
    assert built.extra == {}


def test_unknown_members_are_kept() -> None:
    answer = limits_answer()
    newer = {
        **answer,
        "carbon": 3,
        "result": {
            **answer["result"],
            "new": [1, {"a": 2}],
            "root_radius": {"max": 1.0, "min": None, "aim": 0.5},
        },
    }
    limits = ThreadLimits.from_answer(newer, "id7")
    assert limits.extra == {"new": [1, {"a": 2}]}
    assert limits.root_radius.extra == {"aim": 0.5}
    assert limits.answer.extra == {"carbon": 3}
    assert limits.request_id == "id7"
    assert limits.to_dict()["new"] == [1, {"a": 2}]
    assert limits.to_dict()["root_radius"] == {"max": 1.0, "min": None, "aim": 0.5}
    assert pickle.loads(pickle.dumps(limits)).extra == limits.extra


def test_optional_members_take_their_default() -> None:
    answer = limits_answer()
    lean = {name: value for name, value in answer["result"].items() if name != "allowances"}
    first = ThreadLimits.from_answer({**answer, "result": lean})
    assert first.allowances == {}
    assert first.before_coating is None
    assert first.extra == {}
    assert first.allowances is not ThreadLimits.from_answer({**answer, "result": lean}).allowances


@pytest.mark.parametrize(
    "result",
    [None, [], "text", {}, {"designation": "x"}],
    ids=["null", "list", "text", "empty", "too little"],
)
def test_another_shape_is_said(result: Any) -> None:
    with pytest.raises(UnexpectedAnswerError, match="Threadwright service"):
        ThreadLimits.from_answer({**limits_answer(), "result": result})


def test_another_shape_within_is_said() -> None:
    answer = limits_answer()
    for wrong in ("text", 7, [1]):
        broken = {**answer, "result": {**answer["result"], "limits": wrong}}
        with pytest.raises(UnexpectedAnswerError, match="another shape"):
            ThreadLimits.from_answer(broken)
    with pytest.raises(UnexpectedAnswerError, match="lacks 'min'"):
        Span.from_json({"max": 1})
    with pytest.raises(UnexpectedAnswerError, match="another shape"):
        Span.from_json(3)  # type: ignore[arg-type]


def test_the_service_is_not_reached_through_a_result() -> None:
    """In this process a caller's change must not reach what the service tells the next one."""
    client = Client()
    first = client.thread_limits(designation="M24x1.5-6g")
    first.units["length"] = "furlong"  # type: ignore[index]
    first.reference["minor_diameter_flat_max"] = 0.0  # type: ignore[index]
    again = client.thread_limits(designation="M24x1.5-6g")
    assert again.units["length"] == "mm"
    assert again.reference["minor_diameter_flat_max"] > 22


def test_results_within_share_what_stands_around() -> None:
    operation, example = next(pair for pair in EXAMPLES if pair[0].name == "job-sheet")
    sheet = Client().call(operation.name, example.request)
    assert isinstance(sheet, JobSheet)
    assert sheet.wires is not None
    assert sheet.thread.unit == sheet.plan.unit == sheet.unit
    assert sheet.wires.cautions is sheet.cautions
    assert sheet.plan.answer is sheet.answer


def test_the_thread_around_a_result_is_one_too() -> None:
    client = Client()
    gauges = client.gauge_limits(designation="M24x1.5-6g")
    thread = gauges.answer.thread
    assert thread is not None
    assert thread == client.thread_limits(designation="M24x1.5-6g")
    assert thread.unit == gauges.unit
    assert thread.answer.thread is None, "a ring of references would live too long"


def test_an_operations_own_member_comes_before_the_answers() -> None:
    conversion = Client().hardness(value=1000, scale="Rm", to="HRC")
    assert isinstance(conversion, Result)
    assert conversion.unit != conversion.answer.unit
    assert conversion.answer.unit in ("mm", "in")


def test_records_by_name() -> None:
    @dataclass(frozen=True, slots=True, kw_only=True)
    class Spans(Record):
        by_name: Mapping[str, Span]

    # The annotations of a class within a function are looked up where it can see them.
    Spans.__annotations__ = {"by_name": Mapping[str, Span]}
    made = Spans.from_json({"by_name": {"a": {"max": 1.0, "min": 0.0}}})
    assert made.by_name["a"] == Span(max=1.0, min=0.0)
