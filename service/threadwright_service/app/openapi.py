"""The OpenAPI 3.1 description, made from the operation records and nothing else.

``python -m threadwright_service.contract`` prints it; the printed file is committed as
``openapi/openapi.json`` and compared in the tests.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, Final, cast

from apispec import APISpec

from threadwright_service.api import OPERATIONS
from threadwright_service.api.listings import LISTINGS
from threadwright_service.api.operation import Operation
from threadwright_service.app.representations import REPRESENTATIONS
from threadwright_service.schemas.base import RequestSchema
from threadwright_service.schemas.compound_fields import Items, Record
from threadwright_service.schemas.fields import WireField
from threadwright_service.schemas.results import first_line, result_schema

INTERFACE_VERSION: Final = "1.0.0"
"""Version of the contract; it changes with the interface alone."""

_DESCRIPTION: Final = (
    "Limits, pass plans, cutting data and cycle times for threading jobs. Every operation is a "
    "pure function: GET with flat keys, POST with the same keys as JSON, or an item of a batch. "
    "The numbers are aids to planning: prove out above the part, keep guards closed, and let the "
    "limits of the machine and of the cutter's maker come first."
)
_JSON: Final = "application/json"
_PROBLEM: Final = "application/problem+json"
_ERRORS: Final = {
    "400": "The body cannot be read",
    "401": "A key is needed and was not sent",
    "404": "Nothing is at this address",
    "405": "The method is not served here",
    "411": "The body's length is not stated",
    "413": "The body is too large",
    "415": "The body is not sent as JSON",
    "422": "The request is not valid, or the calculation refuses it",
    "429": "Too many requests; a proxy's limit",
    "500": "The service has failed",
    "503": "The service is not ready",
}


def openapi_document() -> dict[str, Any]:
    """The whole description as JSON-ready data."""
    spec = APISpec(
        title="Threadwright",
        version=INTERFACE_VERSION,
        openapi_version="3.1.1",
        info={"description": _DESCRIPTION, "license": {"name": "MIT", "identifier": "MIT"}},
        tags=[{"name": tag} for tag in dict.fromkeys(op.tag for op in OPERATIONS)]
        + [{"name": "lists"}, {"name": "service"}],
    )
    _components(spec)
    for operation in OPERATIONS:
        _add_operation(spec, operation)
    _add_batch(spec)
    for listing in LISTINGS:
        spec.path(
            listing.path,
            operations={
                "get": {
                    "operationId": listing.name,
                    "summary": listing.summary,
                    "tags": ["lists"],
                    "parameters": [
                        parameter(key, field)
                        for key, field in listing.request.wire_fields().items()
                        if key not in ("unit", "working")
                    ],
                    "responses": {
                        "200": _json_body("The list", {"type": "object"}),
                        **_problems("422", "500"),
                    },
                }
            },
        )
    _add_service_paths(spec)
    return cast(dict[str, Any], json.loads(json.dumps(spec.to_dict())))


def parameter(key: str, field: WireField) -> dict[str, Any]:
    """A query parameter for one key."""
    schema = field.json_schema()
    told: dict[str, Any] = {
        "in": "query",
        "name": key,
        "description": _described(field),
        "required": field.required,
    }
    if isinstance(field, Record) or (isinstance(field, Items) and isinstance(field.item, Record)):
        return {**told, "content": {_JSON: {"schema": schema}}}
    if isinstance(field, Items):
        # The values of a list are separated by semicolons, which no style of OpenAPI describes.
        return {**told, "schema": {"type": "string", "minLength": 1, "maxLength": 2000}}
    return {**told, "schema": schema}


def request_schema(schema: type[RequestSchema]) -> dict[str, Any]:
    """The JSON Schema of a request."""
    fields = schema.wire_fields()
    described: dict[str, Any] = {
        "type": "object",
        "description": first_line(schema),
        "properties": {
            key: {**field.json_schema(), "description": _described(field)}
            for key, field in fields.items()
        },
        "additionalProperties": False,
    }
    required = [key for key, field in fields.items() if field.required]
    if required:
        described["required"] = required
    return described


def _described(field: WireField) -> str:
    if field.assume is None:
        return field.description
    unit = f" {field.kind.metric}" if field.kind.metric != "1" else ""
    return f"{field.description} Assumed if not given: {field.assume}{unit}; {field.reason}."


def _components(spec: APISpec) -> None:
    spec.components.schema(
        "Problem",
        {
            "type": "object",
            "description": "RFC 9457 problem details.",
            "required": ["type", "title", "status", "detail"],
            "properties": {
                "type": {"type": "string", "description": "Address of the kind of problem."},
                "title": {"type": "string"},
                "status": {"type": "integer", "minimum": 400, "maximum": 599},
                "detail": {"type": "string"},
                "instance": {"type": "string"},
                "request_id": {"type": "string"},
                "errors": {"type": "array", "items": {"$ref": "#/components/schemas/Fault"}},
            },
        },
    )
    spec.components.schema(
        "Fault",
        {
            "type": "object",
            "required": ["parameter", "code", "detail", "value", "accepted"],
            "properties": {
                "parameter": {"type": "string", "description": "The key to blame."},
                "code": {"type": "string"},
                "detail": {"type": "string"},
                "value": {"description": "What was given."},
                "accepted": {"type": "string", "description": "What would be accepted."},
            },
        },
    )
    spec.components.schema("Assumption", _members("parameter", "reason", value={}, unit=None))
    spec.components.schema("Caution", _members("code", "detail"))
    spec.components.schema(
        "Step",
        _members(
            "quantity",
            "symbol",
            "formula",
            "substituted",
            "unit",
            "source",
            value={},
            inputs={"type": "object"},
            rounding=None,
        ),
    )
    for status, description in _ERRORS.items():
        spec.components.response(
            f"Problem{status}",
            {
                "description": description,
                "content": {_PROBLEM: {"schema": {"$ref": "#/components/schemas/Problem"}}},
            },
        )
    spec.components.security_scheme("bearer", {"type": "http", "scheme": "bearer"})
    spec.components.security_scheme("key", {"type": "apiKey", "in": "header", "name": "X-API-Key"})


def _members(*texts: str, **others: Any) -> dict[str, Any]:
    properties: dict[str, Any] = {name: {"type": "string"} for name in texts}
    optional = [name for name, schema in others.items() if schema is None]
    properties |= {
        name: {"type": "string"} if schema is None else schema for name, schema in others.items()
    }
    return {
        "type": "object",
        "properties": properties,
        "required": [name for name in properties if name not in optional],
    }


def _add_operation(spec: APISpec, operation: Operation) -> None:
    name = "".join(part.capitalize() for part in operation.name.split("-"))
    spec.components.schema(f"{name}Request", request_schema(operation.request))
    spec.components.schema(f"{name}Result", result_schema(operation.response))
    spec.components.schema(f"{name}Answer", _answer_schema(f"{name}Result"))
    shared: dict[str, Any] = {
        "summary": operation.summary,
        "description": f"{operation.description}\n\nSources: {'; '.join(operation.sources)}.",
        "tags": [operation.tag],
        "responses": {
            "200": _json_body(
                "The answer; other forms by format, suffix or Accept",
                {"$ref": f"#/components/schemas/{name}Answer"},
                forms=True,
            ),
        },
    }
    refusals = ", ".join(refusal.code for refusal in operation.refusals)
    get = {
        "operationId": operation.operation_id,
        **shared,
        "parameters": [
            *(parameter(key, field) for key, field in operation.request.wire_fields().items()),
            *_control_parameters(),
        ],
        "responses": {**shared["responses"], **_problems("401", "422", "429", "500", "503")},
        "x-refusals": refusals,
    }
    post = {
        "operationId": f"{operation.operation_id}_post",
        **shared,
        "parameters": _control_parameters(),
        "requestBody": {
            "required": True,
            "content": {
                _JSON: {
                    "schema": {"$ref": f"#/components/schemas/{name}Request"},
                    "examples": {
                        f"example_{number}": {
                            "summary": example.title,
                            "value": dict(example.request),
                        }
                        for number, example in enumerate(operation.examples, 1)
                    },
                }
            },
        },
        "responses": {
            **shared["responses"],
            **_problems("400", "401", "411", "413", "415", "422", "429", "500", "503"),
        },
        "x-refusals": refusals,
    }
    spec.path(operation.path, operations={"get": get, "post": post})


def _answer_schema(result: str) -> dict[str, Any]:
    def listed(name: str) -> dict[str, Any]:
        return {"type": "array", "items": {"$ref": f"#/components/schemas/{name}"}}

    return {
        "type": "object",
        "required": [
            "operation",
            "input",
            "unit",
            "units",
            "result",
            "assumed",
            "cautions",
            "meta",
        ],
        "properties": {
            "operation": {"type": "string"},
            "input": {"type": "object", "description": "The keys as they were given."},
            "unit": {"type": "string", "enum": ["mm", "in"]},
            "units": {"type": "object", "additionalProperties": {"type": "string"}},
            "result": {"$ref": f"#/components/schemas/{result}"},
            "assumed": listed("Assumption"),
            "cautions": listed("Caution"),
            "working": listed("Step"),
            "thread": {
                "$ref": "#/components/schemas/ThreadLimitsResult",
                "description": "The thread that the request names, with its limits.",
            },
            "meta": {"type": "object"},
        },
    }


def _control_parameters() -> list[dict[str, Any]]:
    return [
        {
            "in": "query",
            "name": "format",
            "description": "Form of the answer; beats the suffix and Accept.",
            "schema": {"type": "string", "enum": [each.name for each in REPRESENTATIONS]},
        },
        {
            "in": "query",
            "name": "field",
            "description": "One or several dotted paths into the result, separated by commas: "
            "the bare value as text, or one CSV line.",
            "schema": {"type": "string", "minLength": 1, "maxLength": 1000},
        },
        {
            "in": "query",
            "name": "rows",
            "description": "Dotted path of a list of records (also assumed or cautions): that list "
            "as CSV with a header.",
            "schema": {"type": "string", "minLength": 1, "maxLength": 200},
        },
        {
            "in": "query",
            "name": "v",
            "description": "Means nothing. A spreadsheet keeps answers by their address and "
            "changes this to ask again.",
            "schema": {"type": "string", "maxLength": 40},
        },
        {
            "in": "query",
            "name": "on_error",
            "description": "text: answer an error with 200 and one line that begins with #ERR.",
            "schema": {"type": "string", "enum": ["status", "text"]},
        },
    ]


def _json_body(
    description: str, schema: Mapping[str, Any], *, forms: bool = False
) -> dict[str, Any]:
    content: dict[str, Any] = {_JSON: {"schema": schema}}
    if forms:
        content |= {
            each.content_type.split(";")[0]: {"schema": {"type": "string"}}
            for each in REPRESENTATIONS
            if each.name != "json"
        }
    return {"description": description, "content": content}


def _problems(*statuses: str) -> dict[str, Any]:
    return {status: {"$ref": f"#/components/responses/Problem{status}"} for status in statuses}


def _add_batch(spec: APISpec) -> None:
    spec.components.schema(
        "BatchRequest",
        {
            "type": "object",
            "required": ["items"],
            "additionalProperties": False,
            "properties": {
                "items": {
                    "type": "array",
                    "minItems": 1,
                    "maxItems": 1000,
                    "items": {
                        "type": "object",
                        "required": ["operation"],
                        "additionalProperties": False,
                        "properties": {
                            "id": {"type": ["string", "integer"]},
                            "operation": {
                                "type": "string",
                                "enum": [operation.name for operation in OPERATIONS],
                            },
                            "params": {"type": "object"},
                        },
                    },
                }
            },
        },
    )
    example = {
        "items": [
            {
                "id": operation.name,
                "operation": operation.name,
                "params": dict(operation.examples[0].request),
            }
            for operation in OPERATIONS[:3]
        ]
    }
    spec.path(
        "/v1/batch",
        operations={
            "post": {
                "operationId": "batch",
                "summary": "Many items of any operation, answered in order, each with its status",
                "tags": ["service"],
                "requestBody": {
                    "required": True,
                    "content": {
                        _JSON: {
                            "schema": {"$ref": "#/components/schemas/BatchRequest"},
                            "examples": {"example_1": {"value": example}},
                        }
                    },
                },
                "responses": {
                    "200": _json_body(
                        "Every item's answer or error",
                        {
                            "type": "object",
                            "required": ["count", "ok", "failed", "items"],
                            "properties": {
                                "count": {"type": "integer"},
                                "ok": {"type": "integer"},
                                "failed": {"type": "integer"},
                                "items": {"type": "array", "items": {"type": "object"}},
                            },
                        },
                    ),
                    **_problems("400", "401", "411", "413", "415", "422", "500", "503"),
                },
            }
        },
    )


def _add_service_paths(spec: APISpec) -> None:
    for path, name, summary in (
        ("/v1/", "operations", "The operations and lists"),
        ("/livez", "livez", "The process answers"),
        ("/readyz", "readyz", "Every table has been read"),
        ("/openapi.json", "openapi", "This description"),
    ):
        spec.path(
            path,
            operations={
                "get": {
                    "operationId": name,
                    "summary": summary,
                    "tags": ["service"],
                    "responses": {
                        "200": _json_body(summary, {"type": "object"}),
                        **_problems("500"),
                    },
                }
            },
        )
