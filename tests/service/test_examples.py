"""Every example of every operation, in every way it can be asked for."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator

from support.examples import EXAMPLE_IDS, EXAMPLES, query
from threadwright_service.api.operation import Example, Operation

examples = pytest.mark.parametrize(("operation", "example"), EXAMPLES, ids=EXAMPLE_IDS)


@examples
def test_get_and_post_answer_the_same(
    operation: Operation, example: Example, http: FlaskClient
) -> None:
    got = http.get(f"{operation.path}?{query(example.request)}")
    posted = http.post(operation.path, json=dict(example.request))
    assert got.status_code == posted.status_code == 200, got.text
    assert got.json["result"] == posted.json["result"]
    assert got.json["assumed"] == posted.json["assumed"]


@examples
def test_answer_matches_the_contract(
    operation: Operation, example: Example, http: FlaskClient, openapi: dict[str, Any]
) -> None:
    answer = http.post(operation.path, json={**example.request, "working": True}).json
    schema = {
        "$ref": f"#/components/schemas/{_camel(operation.name)}Answer",
        "components": openapi["components"],
    }
    errors = [
        f"{'.'.join(map(str, error.absolute_path))}: {error.message}"
        for error in Draft202012Validator(schema).iter_errors(answer)
    ]
    assert not errors
    described = openapi["components"]["schemas"][f"{_camel(operation.name)}Result"]["properties"]
    assert set(answer["result"]) <= set(described), "a member that the contract does not describe"


@examples
def test_batch_answers_the_same(operation: Operation, example: Example, http: FlaskClient) -> None:
    single = http.post(operation.path, json=dict(example.request)).json
    item = {"id": "a", "operation": operation.name, "params": dict(example.request)}
    answered = http.post("/v1/batch", json={"items": [item, item]}).json
    assert answered["ok"] == 2
    for each in answered["items"]:
        assert each["status"] == 200
        assert each["result"] == single["result"]


@examples
def test_flat_query_is_short_enough_for_a_cell(operation: Operation, example: Example) -> None:
    assert len(f"http://127.0.0.1:8000{operation.path}?{query(example.request)}") < 2000


@examples
def test_working_shows_steps_with_sources(
    operation: Operation, example: Example, http: FlaskClient
) -> None:
    plain = http.post(operation.path, json=dict(example.request)).json
    shown = http.post(operation.path, json={**example.request, "working": True}).json
    assert "working" not in plain
    assert shown["result"] == plain["result"], "asking for the working must not change a number"
    assert shown["working"]
    for step in shown["working"]:
        assert step["quantity"]
        assert step["formula"]
        assert step["source"]


def _camel(name: str) -> str:
    return "".join(part.capitalize() for part in name.split("-"))
