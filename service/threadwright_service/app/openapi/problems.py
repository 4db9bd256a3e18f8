"""What the contract says of problems: their members, and the answer of each status."""

from __future__ import annotations

from typing import Any, Final

from apispec import APISpec

from threadwright_service.api.problems import TITLES

_PROBLEM: Final = "application/problem+json"
ERRORS: Final = {
    "400": "The body cannot be read",
    "401": "A key is needed and was not sent",
    "404": "Nothing is at this address",
    "405": "The method is not served here",
    "411": "The body's length is not stated",
    "413": "The body is too large",
    "415": "The body is not sent as JSON",
    "422": "The request is not valid, or the calculation refuses it",
    "429": "Too many requests; a proxy's limit, never the service's own",
    "500": "The service has failed",
    "503": "The service is not ready; told by a proxy, never by the service itself",
}
_HEADER: Final = {"401": "WWW-Authenticate", "429": "Retry-After", "503": "Retry-After"}
_FAULT_EXAMPLE: Final = {
    "type": "/problems/invalid-request",
    "title": TITLES["invalid-request"],
    "status": 422,
    "detail": 'pitch: decimal comma in "1,5": write 1.5 (in a sheet SUBSTITUTE(A1,",","."))',
    "instance": "urn:request:9e6c489b5a744022",
    "request_id": "9e6c489b5a744022",
    "errors": [
        {
            "parameter": "pitch",
            "code": "decimal-comma",
            "detail": 'pitch: decimal comma in "1,5": write 1.5 '
            '(in a sheet SUBSTITUTE(A1,",","."))',
            "value": "1,5",
            "accepted": "a number with a decimal point, such as 10.5",
        }
    ],
}
_PROBLEM_SCHEMA: Final[dict[str, Any]] = {
    "type": "object",
    "description": "RFC 9457 problem details.",
    "required": ["type", "title", "status", "detail"],
    "properties": {
        "type": {
            "type": "string",
            "description": "Address of the kind of problem.",
            "examples": [f"/problems/{slug}" for slug in TITLES],
        },
        "title": {"type": "string", "description": "The kind of problem in words."},
        "status": {
            "type": "integer",
            "minimum": 400,
            "maximum": 599,
            "x-unit": "1",
            "description": "The HTTP status; of an item, that of its own problem.",
        },
        "detail": {"type": "string", "description": "What is wrong this time."},
        "instance": {"type": "string", "description": "This occurrence, as a URN."},
        "request_id": {
            "type": "string",
            "description": "The request's id, as in X-Request-ID and in the log.",
        },
        "errors": {
            "type": "array",
            "description": "One entry for each key that is wrong.",
            "items": {"$ref": "#/components/schemas/Fault"},
        },
    },
}
_FAULT_SCHEMA: Final[dict[str, Any]] = {
    "type": "object",
    "required": ["parameter", "code", "detail", "value", "accepted"],
    "properties": {
        "parameter": {"type": "string", "description": "The key to blame."},
        "code": {"type": "string", "description": "A word that never changes, for programs."},
        "detail": {"type": "string", "description": "A sentence for people."},
        "value": {"description": "What was given."},
        "accepted": {"type": "string", "description": "What would be accepted."},
    },
}


def add_problems(spec: APISpec) -> None:
    """The problem, its faults, and one answer for each status."""
    spec.components.schema("Problem", _PROBLEM_SCHEMA)
    spec.components.schema("Fault", _FAULT_SCHEMA)
    for status, description in ERRORS.items():
        spec.components.response(f"Problem{status}", _told(status, description))
    spec.components.response(
        "AddressTooLong",
        {
            "description": "The request's first line is longer than 8,190 bytes: POST the keys. "
            "Told before the form that is asked for is read.",
            "content": {_PROBLEM: {"schema": {"$ref": "#/components/schemas/Problem"}}},
        },
    )


def problems(*statuses: str) -> dict[str, Any]:
    """References to the problems of some statuses."""
    return {status: {"$ref": f"#/components/responses/Problem{status}"} for status in statuses}


def _told(status: str, description: str) -> dict[str, Any]:
    """The answer of a status: a problem, or a page or a line of text to those who ask for it."""
    problem: dict[str, Any] = {"schema": {"$ref": "#/components/schemas/Problem"}}
    if status == "422":
        problem["example"] = _FAULT_EXAMPLE
    told: dict[str, Any] = {
        "description": description,
        "content": {_PROBLEM: problem, "text/html": {"schema": {"type": "string"}}},
    }
    if status in _HEADER:
        told["headers"] = {_HEADER[status]: {"schema": {"type": "string"}}}
    return told
