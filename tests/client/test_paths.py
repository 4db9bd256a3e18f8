"""Dotted paths into results: the same values that ``field=`` gives, and what has none."""

from __future__ import annotations

from typing import Any

import pytest

from support.examples import EXAMPLE_IDS, EXAMPLES
from threadwright import Client
from threadwright.paths import leaves, value_at, values
from threadwright_service.api.operation import Example, Operation
from threadwright_service.app import flat


@pytest.mark.parametrize(("operation", "example"), EXAMPLES, ids=EXAMPLE_IDS)
def test_paths_are_the_services(operation: Operation, example: Example) -> None:
    result = Client().call(operation.name, example.request)
    sent = dict(flat.leaves(Client()._transport.call(operation.name, example.request, None)
                            .members["result"]))  # fmt: skip
    told = dict(leaves(result))
    assert {path: told[path] for path in sent} == sent
    for path, value in list(sent.items())[::7]:
        assert value_at(result, path) == value


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("limits.pitch_diameter.max", 22.994),
        ("limits.minor_diameter.max", None),
        ("reference.nothing_of_this_thread", None),
        ("before_coating.thickness_max", None),
        ("later.0.deep", 7),
        ("later.9.deep", None),
        ("later.0.other", None),
    ],
)
def test_values_and_absent_ones(path: str, value: Any) -> None:
    client = Client()
    answer = dict(client._transport.call("thread-limits", {"designation": "M24x1.5-6g"}, None)
                  .members)  # fmt: skip
    answer["result"] = {**answer["result"], "later": [{"deep": 7}]}
    result = type(client.thread_limits(designation="M10-6H")).from_answer(answer)
    assert value_at(result, path) == value


@pytest.mark.parametrize(
    "path", ["pitsch", "limits", "limits.pitch", "pitch.max", "limits.pitch_diameter.max.x", ""]
)
def test_what_no_result_has_is_named(path: str) -> None:
    result = Client().thread_limits(designation="M24x1.5-6g")
    with pytest.raises(LookupError, match="single value at"):
        value_at(result, path)


def test_units_of_values() -> None:
    plan = Client().call("pass-plan", next(
        example.request for operation, example in EXAMPLES if operation.name == "pass-plan"
    ))  # fmt: skip
    units = {value.path: value.unit for value in values(plan, plan.units)}
    assert units["passes.0.feed_centre"] == "mm/min"
    assert units["passes.0.chip_area"] == "mm²"
    assert units["passes.0.tangential_force_n"] == "N"
    assert units["expected_pitch_diameter_range.max"] == "mm"
    assert units["surface_speed"] == "m/min"
    assert units["spindle_speed"] == "rev/min"
    assert units["passes.0.number"] == ""
    assert units["passes.0.kind"] == ""


def test_a_list_of_values_is_one_text_as_the_service_tells_it() -> None:
    keys: dict[str, Any] = {
        "unit": "mm", "designation": "M24x1.5-6g", "thread_length": 20, "material": "42CrMo4",
        "hardness": 300, "hardness_scale": "HB", "cutter_diameter": 10, "cutter_teeth": 4,
        "cutter_nose_flat": 0.1,
    }  # fmt: skip
    good = Client().pass_plan(**keys)
    assert value_at(good, "failings") is None
    keys |= {"blank_diameter": 24.2, "infeed": "list", "infeed_depths": [0.3, 0.5]}
    spoilt = Client().pass_plan(**keys)
    assert value_at(spoilt, "failings") == "; ".join(spoilt.failings)
    assert {"crest-outside-limits", "size-uncertain"} <= set(spoilt.failings)
    with pytest.raises(LookupError, match="single value at passes"):
        value_at(spoilt, "passes")
