"""The committed contract is what the code makes, is valid, and says what callers need."""

from __future__ import annotations

import copy
import json
import math
import re
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator
from openapi_spec_validator import validate

from threadwright_service.api import OPERATIONS
from threadwright_service.api.problems import TITLES
from threadwright_service.app.openapi import openapi_document

WRITE_ANEW = "write it anew: python -m threadwright_service.contract > openapi/openapi.json"
STATUSES = {"400", "401", "404", "405", "411", "413", "415", "422", "429", "500", "503"}


def differences(one: Any, other: Any, place: str = "") -> Iterator[str]:
    """Where two JSON values differ; a number by more than what a processor may round otherwise."""
    if isinstance(one, dict) and isinstance(other, dict):
        for key in {**one, **other}:
            if key not in one or key not in other:
                yield f"{place}.{key} is in one alone"
            else:
                yield from differences(one[key], other[key], f"{place}.{key}")
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for index, (first, second) in enumerate(zip(one, other, strict=True)):
            yield from differences(first, second, f"{place}[{index}]")
    elif isinstance(one, float) and isinstance(other, (int, float)):
        if not math.isclose(one, other, rel_tol=1e-6, abs_tol=2e-5):
            yield f"{place}: {one} and {other}"
    elif one != other:
        yield f"{place}: {one!r} and {other!r}"


def test_committed_file_is_current(openapi: dict[str, Any]) -> None:
    """Examples of answers included: a number that has changed is seen here."""
    found = list(differences(openapi, openapi_document()))
    assert not found, f"{WRITE_ANEW}\n{found[:10]}"


def test_file_is_valid(openapi: dict[str, Any]) -> None:
    validate(openapi)


def test_every_operation_has_an_entry(openapi: dict[str, Any]) -> None:
    for operation in OPERATIONS:
        entry = openapi["paths"][operation.path]
        assert entry["get"]["operationId"] == operation.operation_id
        content = entry["post"]["requestBody"]["content"]["application/json"]
        assert [each["value"] for each in content["examples"].values()] == [
            dict(example.request) for example in operation.examples
        ]
        for method in ("get", "post"):
            told = set(entry[method]["responses"])
            assert {"200", "401", "422", "429", "500", "503"} <= told
        assert {"400", "411", "413", "415"} <= told, "what a body can do wrong"


def test_refusals_are_told(openapi: dict[str, Any]) -> None:
    for operation in OPERATIONS:
        told = openapi["paths"][operation.path]["get"]["x-refusals"].split(", ")
        assert told == [refusal.code for refusal in operation.refusals]


def test_every_error_is_told(openapi: dict[str, Any]) -> None:
    responses = openapi["components"]["responses"]
    assert {name.removeprefix("Problem") for name in responses if "Problem" in name} == STATUSES
    examples = openapi["components"]["schemas"]["Problem"]["properties"]["type"]["examples"]
    assert examples == [f"/problems/{slug}" for slug in TITLES]


def test_each_operation_shows_an_answer_that_is_answered(
    openapi: dict[str, Any], http: FlaskClient
) -> None:
    for operation in OPERATIONS:
        name = "".join(part.capitalize() for part in operation.name.split("-"))
        content = openapi["components"]["responses"][f"{name}Answered"]["content"]
        shown = content["application/json"]["examples"]["example_1"]["value"]
        answered = http.post(operation.path, json=dict(operation.examples[0].request)).json
        assert not list(differences(shown, answered))
        schema = {
            "$ref": f"#/components/schemas/{name}Answer",
            "components": openapi["components"],
        }
        assert not list(Draft202012Validator(schema).iter_errors(shown))


@pytest.mark.parametrize("name", ["threads", "materials"])
def test_lists_match_the_contract(name: str, openapi: dict[str, Any], http: FlaskClient) -> None:
    schema = {
        "$ref": f"#/components/schemas/{name.capitalize()}List",
        "components": openapi["components"],
    }
    found = http.get(f"/v1/{name}").json
    assert not [error.message for error in Draft202012Validator(schema).iter_errors(found)]


def numbers(schema: Any, place: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every number of a schema with its place."""
    kinds = schema.get("type", ())
    kinds = {kinds} if isinstance(kinds, str) else set(kinds)
    if kinds & {"number", "integer"}:
        yield place, schema
    for key, member in schema.get("properties", {}).items():
        yield from numbers(member, f"{place}.{key}")
    for key in ("items", "additionalProperties"):
        if isinstance(schema.get(key), dict):
            yield from numbers(schema[key], f"{place}[]")
    for member in schema.get("anyOf", ()):
        yield from numbers({"x-unit": schema.get("x-unit"), **member}, place)


def test_every_number_has_a_unit(openapi: dict[str, Any]) -> None:
    found = [
        place
        for name, schema in openapi["components"]["schemas"].items()
        for place, number in numbers(schema, name)
        if not number.get("x-unit")
    ]
    assert not found
    for path, methods in openapi["paths"].items():
        for parameter in methods.get("get", {}).get("parameters", ()):
            for place, number in numbers(parameter.get("schema", {}), parameter.get("name", "")):
                assert number.get("x-unit"), f"{path} {place}"


def test_every_number_that_is_asked_for_has_bounds(openapi: dict[str, Any]) -> None:
    for name, schema in openapi["components"]["schemas"].items():
        if not name.endswith("Request"):
            continue
        for place, number in numbers(schema, name):
            assert {"minimum", "exclusiveMinimum"} & set(number), place
            assert {"maximum", "exclusiveMaximum"} & set(number), place


SMALL_WORDS = {"a", "an", "in", "is", "it", "its", "of", "that", "the", "this"}


def members(schema: Any, place: str) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Every member of a schema at any depth: its place, its key and its own schema."""
    for key, member in schema.get("properties", {}).items():
        yield f"{place}.{key}", key, member
        yield from members(member, f"{place}.{key}")
    for key in ("items", "additionalProperties"):
        if isinstance(schema.get(key), dict):
            yield from members(schema[key], f"{place}[]")
    for key in ("anyOf", "oneOf", "allOf"):
        for member in schema.get(key, ()):
            yield from members(member, place)


def words_of(text: str) -> set[str]:
    return set(re.findall(r"[a-z0-9]+", text.lower().replace("_", " ")))


def says_nothing(key: str, description: str) -> bool:
    """Whether a description is empty, or holds no word that its key does not hold."""
    return words_of(description) - SMALL_WORDS <= words_of(key)


def undescribed(schemas: dict[str, Any]) -> list[str]:
    """Places of the members whose description is missing or repeats their name."""
    return [
        place
        for name, schema in schemas.items()
        for place, key, member in members(schema, name)
        if says_nothing(key, member.get("description", ""))
    ]


def test_every_member_is_described_by_more_than_its_name(openapi: dict[str, Any]) -> None:
    assert not undescribed(openapi["components"]["schemas"])
    for operation in OPERATIONS:
        for parameter in openapi["paths"][operation.path]["get"]["parameters"]:
            if "$ref" not in parameter:
                assert not says_nothing(parameter["name"], parameter["description"])


@pytest.mark.parametrize(
    ("key", "description"),
    [
        ("max", ""),
        ("max", "Max."),
        ("name", "Its name."),
        ("lead_angle_deg", "The lead angle."),
        ("arcs_length", "Length of its arcs."),
    ],
)
def test_a_description_that_says_nothing_is_found_at_any_depth(
    key: str, description: str, openapi: dict[str, Any]
) -> None:
    told = {"type": "number", "description": description} if description else {"type": "number"}
    record = {"type": "object", "properties": {key: told}}
    schemas = {
        "Plain": record,
        "Listed": {"properties": {"rows": {"description": "One a pass.", "items": record}}},
        "Nullable": {"properties": {"plan": {"description": "If any.", "anyOf": [record]}}},
        "Named": {"properties": {"by_name": {"description": "x", "additionalProperties": record}}},
    }
    places = [f"Plain.{key}", f"Listed.rows[].{key}", f"Nullable.plan.{key}"]
    assert undescribed(schemas) == [*places, f"Named.by_name[].{key}"]
    assert not says_nothing(key, "Largest permitted, at the aim.")
    # The contract itself, with one of its own descriptions taken away.
    damaged = copy.deepcopy(openapi["components"]["schemas"])
    passes = damaged["JobSheetResult"]["properties"]["plan"]["properties"]["passes"]
    del passes["items"]["properties"]["depth"]["description"]
    assert undescribed(damaged) == ["JobSheetResult.plan.passes[].depth"]


def test_a_member_that_is_a_record_is_told_by_what_the_record_says(openapi: dict[str, Any]) -> None:
    plan = openapi["components"]["schemas"]["PassPlanResult"]["properties"]
    assert plan["over_cut"]["description"].startswith("What the helix adds")
    assert "tenth" in plan["limits"]["items"]["properties"]["saving_s"]["description"]


def test_descriptions_speak_of_the_wire_and_not_of_python(openapi: dict[str, Any]) -> None:
    found = re.findall(r'"description": "[^"]*(?:`|\bNone\b(?!-)|\[mm)[^"]*"', json.dumps(openapi))
    assert not found


def test_every_operation_says_more_than_its_summary(openapi: dict[str, Any]) -> None:
    for name in (*(operation.name for operation in OPERATIONS), "batch", "threads", "materials"):
        for method in openapi["paths"][f"/v1/{name}"].values():
            assert len(method["description"]) > len(method["summary"])
