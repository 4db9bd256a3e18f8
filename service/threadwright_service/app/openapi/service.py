"""The entries of the addresses that operators and pages use."""

from __future__ import annotations

from typing import Any, Final

from apispec import APISpec

from threadwright_service.api.problems import TITLES
from threadwright_service.app.openapi.components import (
    from_the_outside,
    headers,
    parameters,
)
from threadwright_service.app.openapi.keys import JSON
from threadwright_service.app.openapi.problems import problems

_TEXT: Final = {"type": "string"}
_HEALTH: Final = {"status": _TEXT, "service": _TEXT}
_LISTED_OPERATION: Final = {
    "type": "object",
    "required": ["name", "path", "summary", "methods"],
    "properties": {
        "name": _TEXT,
        "path": _TEXT,
        "summary": _TEXT,
        "methods": {"type": "array", "items": _TEXT},
    },
}


def add_service_paths(spec: APISpec) -> None:
    """The list of operations, health, the contract itself, and the help of problems."""
    _get(
        spec,
        "/v1/",
        "operations",
        "The operations and lists",
        {
            "operations": {"type": "array", "items": _LISTED_OPERATION},
            "openapi": _TEXT,
            "docs": _TEXT,
            "meta": {"$ref": "#/components/schemas/Meta"},
        },
        told={
            "parameters": parameters("list_format", "rows", "decimal", "v", "on_error"),
            "responses": {**from_the_outside(), **problems("401", "422")},
        },
        more_content={"text/csv": {"schema": _TEXT}, "text/plain": {"schema": _TEXT}},
    )
    _get(spec, "/livez", "livez", "The process answers", _HEALTH)
    _get(spec, "/readyz", "readyz", "Every table has been read", {**_HEALTH, "tables": _TEXT})
    _get(
        spec,
        "/openapi.json",
        "openapi",
        "This description",
        {"openapi": _TEXT, "info": {"type": "object"}, "paths": {"type": "object"}},
    )
    spec.path("/problems/{slug}", operations={"get": _help_of_problems()})


def _help_of_problems() -> dict[str, Any]:
    return {
        "operationId": "problem",
        "summary": "What a type of problem means and what helps, as a page",
        "tags": ["service"],
        "parameters": [
            {
                "in": "path",
                "name": "slug",
                "required": True,
                "description": "Last part of a problem's type.",
                "schema": {"type": "string", "enum": list(TITLES)},
            }
        ],
        "responses": {
            "200": {
                "description": "The page",
                "headers": headers("X-Request-ID"),
                "content": {"text/html": {"schema": _TEXT}},
            },
            **problems("404", "500"),
        },
    }


def _get(
    spec: APISpec,
    path: str,
    name: str,
    summary: str,
    properties: dict[str, Any],
    *,
    told: dict[str, Any] | None = None,
    more_content: dict[str, Any] | None = None,
) -> None:
    extra = dict(told or {})
    responses = extra.pop("responses", {})
    schema = {"type": "object", "required": list(properties), "properties": properties}
    spec.path(
        path,
        operations={
            "get": {
                "operationId": name,
                "summary": summary,
                "tags": ["service"],
                **extra,
                "responses": {
                    "200": {
                        "description": summary,
                        "headers": headers("X-Request-ID"),
                        "content": {JSON: {"schema": schema}, **(more_content or {})},
                    },
                    **responses,
                    **problems("500"),
                },
            }
        },
    )
