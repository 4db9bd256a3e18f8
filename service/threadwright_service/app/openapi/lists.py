"""The entries of the batch and of the lists."""

from __future__ import annotations

from typing import Any, Final

from apispec import APISpec

from threadwright_service.api import OPERATIONS
from threadwright_service.api.batch import run_batch
from threadwright_service.api.listings import LISTINGS
from threadwright_service.app.openapi.components import (
    from_the_outside,
    headers,
    object_with,
    parameters,
)
from threadwright_service.app.openapi.keys import JSON, parameter
from threadwright_service.app.openapi.problems import problems
from threadwright_service.app.openapi.units import with_units
from threadwright_service.calc.cutting.materials import MaterialGroup
from threadwright_service.schemas.quantities import PLAIN
from threadwright_service.schemas.results import record_schema

_CSV: Final = {
    "text/csv": {"schema": {"type": "string"}},
    # An error as text, if that was asked for.
    "text/plain": {"schema": {"type": "string"}},
}
_MOST_ITEMS: Final = 1000
_COUNT: Final = {"type": "integer", "minimum": 0, "maximum": _MOST_ITEMS, "x-unit": "1"}


def add_batch(spec: APISpec) -> None:
    """The batch."""
    spec.components.schema("BatchRequest", _batch_request())
    spec.components.schema("BatchAnswer", _batch_answer())
    spec.path("/v1/batch", operations={"post": _batch()})


def _batch() -> dict[str, Any]:
    example = _batch_example()
    return {
        "operationId": "batch",
        "summary": "Many items of any operation, answered in order, each with its status",
        "description": "An item names its operation and holds its keys in params. One "
        "that fails has its error in its place and stops no other, so the status of the "
        "whole is 200; failed counts them.",
        "tags": ["service"],
        "parameters": parameters("list_format", "decimal", "v", "on_error"),
        "requestBody": {"required": True, "content": {JSON: _shown("BatchRequest", example)}},
        "responses": {
            "200": {
                "description": "Every item's answer or error; as CSV one row for each row "
                "of each item's own table, after index, id, operation, status and error",
                "headers": headers("X-Request-ID"),
                "content": {
                    JSON: _shown("BatchAnswer", run_batch(example, _MOST_ITEMS)),
                    **_CSV,
                },
            },
            "414": from_the_outside()["414"],
            **problems("400", "401", "411", "413", "415", "422", "429", "500", "503"),
        },
    }


def _batch_example() -> dict[str, Any]:
    """Two operations, each with its first example."""
    return {
        "items": [
            {
                "id": operation.name,
                "operation": operation.name,
                "params": dict(operation.examples[0].request),
            }
            for operation in OPERATIONS
            if operation.name in ("thread-limits", "hardness")
        ]
    }


def _shown(schema: str, example: Any) -> dict[str, Any]:
    """A schema by its name, with one example."""
    return {
        "schema": {"$ref": f"#/components/schemas/{schema}"},
        "examples": {"example_1": {"value": example}},
    }


def add_lists(spec: APISpec) -> None:
    """The lists of threads and materials."""
    for listing in LISTINGS:
        name = listing.name.capitalize()
        spec.components.schema(f"{name}List", _LISTS[listing.name]())
        spec.path(
            listing.path,
            operations={
                "get": {
                    "operationId": listing.name,
                    "summary": listing.summary,
                    "description": listing.description,
                    "tags": ["lists"],
                    "parameters": [
                        *(
                            parameter(key, field)
                            for key, field in listing.request.wire_fields().items()
                            if key not in ("unit", "working")
                        ),
                        *parameters("list_format", "rows", "decimal", "v", "on_error"),
                    ],
                    "responses": {
                        "200": {
                            "description": "The list",
                            "headers": headers("ETag", "Cache-Control", "X-Request-ID"),
                            "content": {
                                JSON: {"schema": {"$ref": f"#/components/schemas/{name}List"}},
                                **_CSV,
                            },
                        },
                        **from_the_outside(),
                        **problems("401", "422", "429", "500", "503"),
                    },
                }
            },
        )


def _batch_request() -> dict[str, Any]:
    return {
        "type": "object",
        "required": ["items"],
        "additionalProperties": False,
        "properties": {
            "items": {
                "type": "array",
                "description": "What to compute, in the order of the answers.",
                "minItems": 1,
                "maxItems": _MOST_ITEMS,
                "items": {
                    "type": "object",
                    "required": ["operation"],
                    "additionalProperties": False,
                    "properties": {
                        "id": {
                            "type": ["string", "integer"],
                            "maxLength": 1000,
                            "minimum": -(2**53),
                            "maximum": 2**53,
                            "x-unit": "1",
                            "description": "Told back with the item's answer.",
                        },
                        "operation": {
                            "type": "string",
                            "enum": [operation.name for operation in OPERATIONS],
                            "description": "Which operation computes this item.",
                        },
                        "params": {
                            "type": "object",
                            "description": "The keys of that operation.",
                        },
                    },
                },
            }
        },
    }


def _batch_answer() -> dict[str, Any]:
    return object_with(
        {},
        count={**_COUNT, "description": "Items that were sent."},
        ok={**_COUNT, "description": "Items with a result."},
        failed={**_COUNT, "description": "Items with an error."},
        items={
            "type": "array",
            "description": "One for each item that was sent, in the same order.",
            "items": _answered_item(),
        },
        meta={"$ref": "#/components/schemas/Meta", "description": "What every answer rests on."},
    )


def _answered_item() -> dict[str, Any]:
    return {
        "type": "object",
        "description": "Members of the operation's answer, or error.",
        "required": ["index", "status"],
        "properties": {
            "index": {**_COUNT, "description": "Place among the items, from 0."},
            "id": {
                "type": ["string", "integer", "null"],
                "x-unit": "1",
                "description": "As it was sent; null if it was neither text nor a whole number, "
                "left out if there was none.",
            },
            "status": {
                "type": "integer",
                "x-unit": "1",
                "description": "The HTTP status that the item alone would have had.",
            },
            "operation": {
                "type": "string",
                "description": "Which operation answered; left out beside an error.",
            },
            "result": {
                "type": "object",
                "description": "As in the operation's own answer; left out beside an error.",
            },
            "error": {
                "$ref": "#/components/schemas/Problem",
                "description": "What is wrong with the item; left out beside a result.",
            },
        },
    }


def _list(told: str, key: str, told_of_key: str, record: dict[str, Any]) -> dict[str, Any]:
    records: Any = {"type": "array", "description": told_of_key, "items": record}
    return with_units(
        object_with(
            {"operation": "Name of the list."},
            result={**object_with({}, **{key: records}), "description": told},
            meta={
                "$ref": "#/components/schemas/Meta",
                "description": "What the list rests on.",
            },
        )
    )


def _threads() -> dict[str, Any]:
    def number(told: str) -> dict[str, Any]:
        return {"type": ["number", "null"], "description": told}

    def texts(told: str) -> dict[str, Any]:
        return {"type": "array", "description": told, "items": {"type": "string"}}

    size = object_with(
        {
            "series": "Symbol of the series that it stands in.",
            "size": "The size as a call-out writes it.",
        },
        nominal_diameter=number("Diameter that the size stands for, in the family's unit."),
        pitch=number("From one thread to the next, in the family's unit."),
        threads_per_inch=number(
            "Number of threads in an inch of length; null for a thread named by its pitch."
        ),
    )
    family = object_with(
        {
            "family": "Its key, as answers name it.",
            "title": "The family in words.",
            "standard": "The standards that it follows.",
        },
        unit={
            "type": "string",
            "enum": ["in", "mm"],
            "description": "The unit in which the standard counts: that of its sizes.",
        },
        series=texts("Symbols of its series, as the standard writes them."),
        tolerance_classes=texts("Classes that it knows; of very many those in common use."),
        sizes={
            "type": "array",
            "description": "Standard sizes, series by series, rising.",
            "items": size,
        },
    )
    return _list("What is known of threads.", "families", "One for each family.", family)


def _materials() -> dict[str, Any]:
    return _list(
        "What is known of materials.",
        "materials",
        "One for each group.",
        record_schema(MaterialGroup, PLAIN),
    )


_LISTS: Final = {"threads": _threads, "materials": _materials}
