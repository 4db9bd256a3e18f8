"""The entries of the operations, each with an example of what is asked and answered."""

from __future__ import annotations

from typing import Any, Final

from apispec import APISpec

from threadwright_service.api.answer import answer
from threadwright_service.api.operation import Example, Operation
from threadwright_service.app.openapi.components import (
    from_the_outside,
    headers,
    parameters,
)
from threadwright_service.app.openapi.keys import JSON, parameter, request_schema
from threadwright_service.app.openapi.problems import problems
from threadwright_service.app.openapi.units import with_units
from threadwright_service.app.representations import REPRESENTATIONS
from threadwright_service.schemas.results import result_schema

_FORMS: Final = ("format", "field", "rows", "picture", "decimal", "v", "on_error")


def schema_name(operation: Operation) -> str:
    """What the names of an operation's schemas begin with."""
    return "".join(part.capitalize() for part in operation.name.split("-"))


def add_operation(spec: APISpec, operation: Operation) -> None:
    """Schemas, answer, GET and POST of one operation."""
    name = schema_name(operation)
    spec.components.schema(f"{name}Request", request_schema(operation.request))
    spec.components.schema(f"{name}Result", with_units(result_schema(operation.response)))
    spec.components.schema(f"{name}Answer", _answer_schema(operation, f"{name}Result"))
    spec.components.response(f"{name}Answered", _answer_forms(operation, name))
    spec.path(operation.path, operations={"get": _get(operation), "post": _post(operation)})


def _shared(operation: Operation) -> dict[str, Any]:
    """What GET and POST say alike."""
    return {
        "summary": operation.summary,
        "description": f"{operation.description}\n\nSources: {'; '.join(operation.sources)}.",
        "tags": [operation.tag],
        "x-refusals": ", ".join(refusal.code for refusal in operation.refusals),
    }


def _get(operation: Operation) -> dict[str, Any]:
    keys = operation.request.wire_fields().items()
    return {
        "operationId": operation.operation_id,
        **_shared(operation),
        "parameters": [*(parameter(key, field) for key, field in keys), *parameters(*_FORMS)],
        "responses": {
            **_answered(operation),
            **from_the_outside(),
            **problems("401", "422", "429", "500", "503"),
        },
    }


def _post(operation: Operation) -> dict[str, Any]:
    examples = {
        f"example_{number}": {"summary": example.title, "value": dict(example.request)}
        for number, example in enumerate(operation.examples, 1)
    }
    schema = {"$ref": f"#/components/schemas/{schema_name(operation)}Request"}
    return {
        "operationId": f"{operation.operation_id}_post",
        **_shared(operation),
        "parameters": parameters(*_FORMS),
        "requestBody": {
            "required": True,
            "content": {JSON: {"schema": schema, "examples": examples}},
        },
        "responses": {
            **_answered(operation),
            "414": from_the_outside()["414"],
            **problems("400", "401", "411", "413", "415", "422", "429", "500", "503"),
        },
    }


def _answered(operation: Operation) -> dict[str, Any]:
    return {"200": {"$ref": f"#/components/responses/{schema_name(operation)}Answered"}}


def _answer_forms(operation: Operation, name: str) -> dict[str, Any]:
    """The answer in all its forms; as JSON with the first example's, as it is computed now."""
    first = operation.examples[0]
    content: dict[str, Any] = {
        JSON: {
            "schema": {"$ref": f"#/components/schemas/{name}Answer"},
            "examples": {
                "example_1": {"summary": first.title, "value": example_answer(operation, first)}
            },
        }
    }
    content |= {
        each.content_type.split(";")[0]: {"schema": {"type": "string"}}
        for each in REPRESENTATIONS
        if each.name != "json"
    }
    return {
        "description": "The answer; other forms by format, suffix or Accept",
        "headers": headers("ETag", "Cache-Control", "X-Request-ID"),
        "content": content,
    }


def example_answer(operation: Operation, example: Example) -> dict[str, Any]:
    """What the service answers to an example."""
    return answer(operation, operation.request.load_json(dict(example.request)))


def _answer_schema(operation: Operation, result: str) -> dict[str, Any]:
    properties: dict[str, Any] = {
        "operation": {"type": "string", "description": "Name of the operation."},
        "input": {"type": "object", "description": "The keys as they were given."},
        "unit": {
            "type": "string",
            "enum": ["mm", "in"],
            "description": "Unit of every length in the answer.",
        },
        "units": {
            "type": "object",
            "description": "Units of what follows it: areas, feeds, surface speeds.",
            "additionalProperties": {"type": "string"},
        },
    }
    if "designation" in operation.request.wire_fields() and not operation.tells_thread:
        properties["thread"] = {
            "$ref": "#/components/schemas/ThreadLimitsResult",
            "description": "The thread that was understood, if a standard's was asked for.",
        }
    properties |= {
        "result": {
            "$ref": f"#/components/schemas/{result}",
            "description": "What was asked for; field and rows name its members by dotted paths.",
        },
        "assumed": _listed("Assumption", "What was not given, and what was taken for it."),
        "cautions": _listed("Caution", "What to be careful about."),
        "working": _listed("Step", "Every step, with working=true."),
        "meta": {"$ref": "#/components/schemas/Meta", "description": "What the answer rests on."},
    }
    return {
        "type": "object",
        "required": [name for name in properties if name not in ("thread", "working")],
        "properties": properties,
    }


def _listed(name: str, told: str) -> dict[str, Any]:
    items = {"$ref": f"#/components/schemas/{name}"}
    return {"type": "array", "description": told, "items": items}
