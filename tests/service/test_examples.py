"""Every example of every operation, in every way it can be asked for."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator

from support.examples import EXAMPLE_IDS, EXAMPLES, query
from threadwright_service.api import BY_NAME
from threadwright_service.api.operation import Example, Operation
from threadwright_service.app.flat import leaves

ROOT = Path(__file__).resolve().parents[2]
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


def test_the_guides_lot_is_the_one_of_the_tutorial(http: FlaskClient) -> None:
    # Two prices of the same eighteen screws would make a reader doubt both.
    file = ROOT / "client" / "examples" / "levelling_screws.json"
    job = json.loads(file.read_text(encoding="utf-8"))
    example = BY_NAME["job-sheet"].examples[0].request
    costs = [
        http.post("/v1/job-sheet", json=dict(keys)).json["result"]["time"]["lot"]["cost"]
        for keys in (job, example)
    ]
    assert costs[0] == costs[1]


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


@examples
def test_every_member_of_a_step_is_described(
    operation: Operation, example: Example, http: FlaskClient, openapi: dict[str, Any]
) -> None:
    described = set(openapi["components"]["schemas"]["Step"]["properties"])
    shown = http.post(operation.path, json={**example.request, "working": True}).json
    assert set().union(*shown["working"]) <= described


@pytest.mark.parametrize("name", ["cycle-time", "job-sheet"])
def test_money_is_told_to_a_hundredth_of_a_cent(
    name: str, http: FlaskClient, openapi: dict[str, Any]
) -> None:
    """Four decimals, so that a thousand parts still add up to the cent."""
    for example in BY_NAME[name].examples:
        answer = http.post(f"/v1/{name}", json=dict(example.request)).json
        money = [
            (path, value)
            for path, value in leaves(answer["result"])
            if value is not None and path.rsplit(".", 1)[-1].endswith(("cost", "cost_each"))
        ]
        for path, value in money:
            assert value == float(f"{value:.4f}"), path
        lots = answer["result"].get("time", answer["result"])["price_breaks"]
        for each in lots:
            if each["cost"] is not None:
                slack = 0.5e-4 * (each["quantity"] + 1)
                assert each["cost_each"] * each["quantity"] == pytest.approx(
                    each["cost"], abs=slack
                )
    assert '"x-unit": "currency"' in json.dumps(openapi["components"]["schemas"])


def test_the_width_of_the_guard_band_is_assumed_aloud_and_bounded_once(http: FlaskClient) -> None:
    """ISO 14253-1 takes the whole expanded uncertainty; more than half as much again is refused."""
    asked = "/v1/wire-measurement?designation=3/4-16+UNF-2A&unit=in&uncertainty=0.0002"
    answer = http.get(asked).json
    assumed = {each["parameter"]: each for each in answer["assumed"]}
    assert assumed["guard_band_share"]["value"] == 1.0
    assert answer["result"]["acceptance"]["guard_band"] == 0.0002
    given = http.get(f"{asked}&guard_band_share=1.5").json
    assert given["result"]["acceptance"]["guard_band"] == 0.0003
    assert "guard_band_share" not in {each["parameter"] for each in given["assumed"]}
    for wrong in (1.51, 5):
        refused = http.get(f"{asked}&guard_band_share={wrong}").json
        assert refused["type"] == "/problems/invalid-request", "known before it is computed"
        assert "at most 1.5" in refused["errors"][0]["accepted"]


def _camel(name: str) -> str:
    return "".join(part.capitalize() for part in name.split("-"))
