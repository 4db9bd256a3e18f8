"""The committed contract is what the code makes, and is valid OpenAPI."""

from __future__ import annotations

from typing import Any

from openapi_spec_validator import validate

from threadwright_service.api import OPERATIONS
from threadwright_service.app.openapi import openapi_document


def test_committed_file_is_current(openapi: dict[str, Any]) -> None:
    assert openapi == openapi_document(), (
        "write it anew: python -m threadwright_service.contract > openapi/openapi.json"
    )


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
            assert {"200", "401", "422", "429", "500", "503"} <= set(entry[method]["responses"])


def test_refusals_are_told(openapi: dict[str, Any]) -> None:
    for operation in OPERATIONS:
        told = openapi["paths"][operation.path]["get"]["x-refusals"].split(", ")
        assert told == [refusal.code for refusal in operation.refusals]
