"""The contract breaks nothing that was released; and what would break it is found."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from conventions.breaking import breaking_changes, broken_since_release

FOLDER = Path(__file__).resolve().parents[2] / "openapi"

Document = dict[str, Any]


def test_nothing_released_is_broken() -> None:
    assert broken_since_release(FOLDER) == []


def test_a_release_is_compared_with(tmp_path: Path, openapi: Document) -> None:
    """A folder as it is after a release, with a contract that has lost a key since."""
    (tmp_path / "openapi.json").write_text(json.dumps(openapi), encoding="utf-8")
    assert broken_since_release(tmp_path) == [], "nothing is released"
    (tmp_path / "released.json").write_text(json.dumps(openapi), encoding="utf-8")
    assert broken_since_release(tmp_path) == [], "nothing has changed"
    lost = copy.deepcopy(openapi)
    _request(lost)["properties"].pop("passes")
    (tmp_path / "openapi.json").write_text(json.dumps(lost), encoding="utf-8")
    assert any("body.passes" in line for line in broken_since_release(tmp_path))


def test_the_contract_does_not_break_itself(openapi: Document) -> None:
    assert breaking_changes(openapi, copy.deepcopy(openapi)) == []


def _request(document: Document) -> Document:
    found: Document = document["components"]["schemas"]["PassPlanRequest"]
    return found


def _result(document: Document) -> Document:
    found: Document = document["components"]["schemas"]["PassPlanResult"]
    return found


def _query(document: Document, name: str) -> Document:
    found: Document = next(
        each
        for each in document["paths"]["/v1/pass-plan"]["get"]["parameters"]
        if each.get("name") == name
    )
    return found


def _drop_parameter(document: Document) -> None:
    get = document["paths"]["/v1/pass-plan"]["get"]
    get["parameters"] = [each for each in get["parameters"] if each.get("name") != "passes"]


def _write_otherwise(document: Document) -> None:
    parameter = _query(document, "passes")
    parameter["content"] = {"application/json": {"schema": parameter.pop("schema")}}


def _instead(schema: Document, other: Document) -> None:
    schema.clear()
    schema.update(other)


def _size(document: Document) -> Document:
    """A key of a request that takes a number or text."""
    found: Document = document["components"]["schemas"]["ThreadLimitsRequest"]["properties"][
        "nominal_diameter"
    ]
    return found


def _other_hand(document: Document) -> Document:
    """A member of an answer that is an object or null."""
    found: Document = document["components"]["schemas"]["JobSheetResult"]["properties"][
        "other_hand"
    ]
    return found


BREAKS: list[tuple[str, Callable[[Document], Any], str]] = [
    ("a path", lambda d: d["paths"].pop("/v1/hardness"), "/v1/hardness is gone"),
    ("a method", lambda d: d["paths"]["/v1/hardness"].pop("get"), "GET /v1/hardness is gone"),
    ("a parameter", _drop_parameter, "GET /v1/pass-plan: parameter passes is gone"),
    (
        "a name in generated clients",
        lambda d: d["paths"]["/v1/hardness"]["get"].update(operationId="harder"),
        "operationId hardness is harder now",
    ),
    (
        "a key of a body",
        lambda d: _request(d)["properties"].pop("passes"),
        "body.passes is not taken any more",
    ),
    (
        "a key newly required",
        lambda d: _request(d)["required"].append("passes"),
        "body.passes is required now",
    ),
    (
        "a parameter newly required",
        lambda d: _query(d, "passes").update(required=True),
        "parameter passes is required now",
    ),
    (
        "a word of a choice",
        lambda d: _request(d)["properties"]["milling"]["enum"].remove("climb"),
        "body.milling takes only",
    ),
    (
        "a narrower bound",
        lambda d: _request(d)["properties"]["passes"].update(maximum=9),
        "body.passes: maximum is 9 now",
    ),
    (
        "a new bound",
        lambda d: _request(d)["properties"]["material"].update(pattern="x", minLength=5),
        "body.material: minLength is 5 now",
    ),
    (
        "a type of what is asked",
        lambda d: _request(d)["properties"]["passes"].update(type="string"),
        "body.passes does not take integer any more",
    ),
    (
        "another unit of what is asked",
        lambda d: _request(d)["properties"]["spindle_power_kw"].update({"x-unit": "W"}),
        "body.spindle_power_kw has another unit",
    ),
    (
        "a member of an answer",
        lambda d: _result(d)["properties"].pop("root_diameter"),
        "200.result.root_diameter is gone",
    ),
    (
        "a member deep in an answer",
        lambda d: _result(d)["properties"]["passes"]["items"]["properties"].pop("deflection"),
        "200.result.passes[].deflection is gone",
    ),
    (
        "a member that may be left out",
        lambda d: _result(d)["required"].remove("root_diameter"),
        "200.result.root_diameter may be left out now",
    ),
    (
        "null where there was none",
        lambda d: _result(d)["properties"]["root_diameter"].update(type=["number", "null"]),
        "200.result.root_diameter may be null now",
    ),
    (
        "another unit of what is answered",
        lambda d: _result(d)["properties"]["cutting_time_s"].update({"x-unit": "min"}),
        "200.result.cutting_time_s has another unit",
    ),
    (
        "a form of the answer",
        lambda d: d["components"]["responses"]["PassPlanAnswered"]["content"].pop("text/csv"),
        "200 as text/csv is gone",
    ),
    (
        "a status",
        lambda d: d["paths"]["/v1/pass-plan"]["get"]["responses"].pop("422"),
        "status 422 is gone",
    ),
    (
        "a body where none was needed",
        lambda d: d["paths"]["/v1/threads"]["get"].update(requestBody={"required": True}),
        "GET /v1/threads needs a body now",
    ),
    (
        "a new parameter that must be given",
        lambda d: d["paths"]["/v1/pass-plan"]["get"]["parameters"].append(
            {"name": "new", "in": "query", "required": True, "schema": {}}
        ),
        "parameter new is new and required",
    ),
    ("a parameter written otherwise", _write_otherwise, "parameter passes is written otherwise"),
    (
        "a form of the body",
        lambda d: d["paths"]["/v1/pass-plan"]["post"]["requestBody"]["content"].pop(
            "application/json"
        ),
        "a body as application/json is not taken any more",
    ),
    (
        "a pattern",
        lambda d: _request(d)["properties"]["material"].update(pattern="^x"),
        "body.material: pattern is ^x now",
    ),
    (
        "an alternative of what is asked",
        lambda d: _size(d)["anyOf"].pop(),
        "does not take one of its alternatives any more",
    ),
    (
        "alternatives in place of what was asked",
        lambda d: _instead(_request(d)["properties"]["passes"], {"anyOf": [{"type": "string"}]}),
        "body.passes takes none of what it took any more",
    ),
    (
        "a further kind of what is answered",
        lambda d: _other_hand(d)["anyOf"].append({"type": "string"}),
        "may be of a further kind now",
    ),
    (
        "anything in place of what is answered",
        lambda d: _instead(_result(d)["properties"]["root_diameter"], {}),
        "200.result.root_diameter may be anything now",
    ),
]


@pytest.mark.parametrize(
    ("change", "told"), [each[1:] for each in BREAKS], ids=[each[0] for each in BREAKS]
)
def test_a_break_is_found(change: Callable[[Document], Any], told: str, openapi: Document) -> None:
    changed = copy.deepcopy(openapi)
    change(changed)
    found = breaking_changes(openapi, changed)
    assert any(told in line for line in found), found


ADDITIONS: list[tuple[str, Callable[[Document], Any]]] = [
    ("a path", lambda d: d["paths"].update({"/v1/new": {"get": {"responses": {}}}})),
    (
        "an optional key",
        lambda d: _request(d)["properties"].update(new={"type": "number", "x-unit": "1"}),
    ),
    ("a wider bound", lambda d: _request(d)["properties"]["passes"].update(maximum=10_000)),
    ("a word of a choice", lambda d: _request(d)["properties"]["milling"]["enum"].append("both")),
    ("a key no longer required", lambda d: _request(d)["required"].remove("material")),
    (
        "a member of an answer",
        lambda d: _result(d)["properties"].update(new={"type": "string"}),
    ),
    ("an error", lambda d: d["paths"]["/v1/pass-plan"]["get"]["responses"].update({"418": {}})),
    ("a description", lambda d: _request(d)["properties"]["passes"].update(description="x")),
]


@pytest.mark.parametrize(
    "change", [each[1] for each in ADDITIONS], ids=[each[0] for each in ADDITIONS]
)
def test_an_addition_breaks_nothing(change: Callable[[Document], Any], openapi: Document) -> None:
    changed = copy.deepcopy(openapi)
    change(changed)
    assert changed != openapi
    assert breaking_changes(openapi, changed) == []
