"""What many entries of the contract share: problems, parts of answers, parameters, headers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from apispec import APISpec

from threadwright_service.api.problems import TITLES
from threadwright_service.app.choice import LONGEST
from threadwright_service.app.pictures import NAMES, PICTURES
from threadwright_service.app.representations import REPRESENTATIONS

_SENTENCE: Final = "A sentence for people."
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


def add_components(spec: APISpec) -> None:
    """Everything that other parts refer to."""
    _add_problem(spec)
    spec.components.schema(
        "Assumption",
        _members(
            {
                "parameter": "The key that was not given.",
                "reason": "Why this value stands for it.",
                "unit": "Unit of the value; left out where it has none.",
            },
            optional=("unit",),
            value={"description": "What was taken for it."},
        ),
    )
    spec.components.schema(
        "Caution",
        _members({"code": "A word that never changes, for programs.", "detail": _SENTENCE}),
    )
    spec.components.schema(
        "Step",
        _members(
            {
                "quantity": "What is computed, in words.",
                "symbol": "Its symbol in the formula.",
                "formula": "The formula as text.",
                "substituted": "The formula with the numbers put in.",
                "unit": "Unit of the value; empty where it has none.",
                "source": "Publication, derivation, common practice or memory.",
                "rounding": "The rule by which the value was rounded, where one was.",
            },
            optional=("rounding", "value_in"),
            value={"description": "In the unit in which it was computed."},
            inputs={"type": "object", "description": "The numbers put in, by symbol."},
            value_in={
                "type": "number",
                "description": "A length again in inches, where the request's unit is in.",
                "x-unit": "in",
            },
        ),
    )
    spec.components.schema(
        "Meta",
        {
            "type": "object",
            "description": "What the answer rests on.",
            "required": ["service", "tables"],
            "properties": {
                "service": {"type": "string", "description": "Version of the service."},
                "tables": {"type": "string", "description": "Version of its tables."},
                "sources": {
                    "type": "array",
                    "description": "Standards and publications that the answer rests on.",
                    "items": {"type": "string"},
                },
            },
        },
    )
    for status, description in ERRORS.items():
        content: dict[str, Any] = {"schema": {"$ref": "#/components/schemas/Problem"}}
        if status == "422":
            content["example"] = _FAULT_EXAMPLE
        response: dict[str, Any] = {
            "description": description,
            "content": {
                _PROBLEM: content,
                # Told so to those who ask for a page, or for an error as text.
                "text/html": {"schema": {"type": "string"}},
            },
        }
        if status == "401":
            response["headers"] = {"WWW-Authenticate": {"schema": {"type": "string"}}}
        if status in ("429", "503"):
            response["headers"] = {"Retry-After": {"schema": {"type": "string"}}}
        spec.components.response(f"Problem{status}", response)
    spec.components.response(
        "AddressTooLong",
        {
            "description": "The request's first line is longer than 8,190 bytes: POST the keys. "
            "Told before the form that is asked for is read.",
            "content": {_PROBLEM: {"schema": {"$ref": "#/components/schemas/Problem"}}},
        },
    )
    spec.components.response(
        "NotModified", {"description": "The answer whose entity tag was sent is still right."}
    )
    spec.components.security_scheme("bearer", {"type": "http", "scheme": "bearer"})
    spec.components.security_scheme("key", {"type": "apiKey", "in": "header", "name": "X-API-Key"})
    for name, told in _PARAMETERS.items():
        spec.components.parameter(name, "query", {"name": name, **told})
    for name, description in _HEADERS.items():
        spec.components.header(name, {"description": description, "schema": {"type": "string"}})


def parameters(*names: str) -> list[str]:
    """Parameters that choose the form of an answer, by their names among the components."""
    return list(names)


def problems(*statuses: str) -> dict[str, Any]:
    """References to the problems of some statuses."""
    return {status: {"$ref": f"#/components/responses/Problem{status}"} for status in statuses}


def from_the_outside() -> dict[str, Any]:
    """References to what is answered without computing: the caller has it, or asks too much."""
    return {
        "304": {"$ref": "#/components/responses/NotModified"},
        "414": {"$ref": "#/components/responses/AddressTooLong"},
    }


def headers(*names: str) -> dict[str, Any]:
    """References to headers of answers."""
    return {name: {"$ref": f"#/components/headers/{name}"} for name in names}


def pictures_told() -> str:
    """The pictures of each operation in words."""
    return "; ".join(
        f"{name}: {', '.join(picture.name for picture in pictures)}"
        for name, pictures in PICTURES.items()
    )


_HEADERS: Final = {
    "ETag": "Strong entity tag of this form of the answer; If-None-Match with it gives 304.",
    "Cache-Control": "How long the answer may be kept.",
    "X-Request-ID": "The request's id: the caller's, if it sent one, else made here.",
}
_PARAMETERS: Final[dict[str, dict[str, Any]]] = {
    "format": {
        "description": "Form of the answer; beats the suffix and Accept.",
        "schema": {"type": "string", "enum": [each.name for each in REPRESENTATIONS]},
    },
    "list_format": {
        "name": "format",
        "description": "Form of the answer; beats the suffix and Accept.",
        "schema": {"type": "string", "enum": ["json", "csv"]},
    },
    "field": {
        "description": "One or several dotted paths into the result, separated by commas: "
        "the bare value as text, or one CSV line.",
        "schema": {"type": "string", "minLength": 1, "maxLength": LONGEST["field"]},
    },
    "rows": {
        "description": "Dotted path of a list of records (also assumed or cautions): that list "
        "as CSV with a header.",
        "schema": {"type": "string", "minLength": 1, "maxLength": LONGEST["rows"]},
    },
    "picture": {
        "description": f"Which picture, as SVG. {pictures_told()}.",
        "schema": {"type": "string", "enum": list(NAMES)},
    },
    "decimal": {
        "description": "Decimal sign of CSV; a comma comes with semicolons between the cells.",
        "schema": {"type": "string", "enum": ["point", "comma"]},
    },
    "v": {
        "description": "Means nothing. A spreadsheet keeps answers by their address and "
        "changes this to ask again.",
        "schema": {"type": "string", "maxLength": LONGEST["v"]},
    },
    "on_error": {
        "description": "text: answer an error with 200 and one line that begins with #ERR.",
        "schema": {"type": "string", "enum": ["status", "text"]},
    },
}


def _add_problem(spec: APISpec) -> None:
    spec.components.schema(
        "Problem",
        {
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
        },
    )
    spec.components.schema(
        "Fault",
        {
            "type": "object",
            "required": ["parameter", "code", "detail", "value", "accepted"],
            "properties": {
                "parameter": {"type": "string", "description": "The key to blame."},
                "code": {
                    "type": "string",
                    "description": "A word that never changes, for programs.",
                },
                "detail": {"type": "string", "description": _SENTENCE},
                "value": {"description": "What was given."},
                "accepted": {"type": "string", "description": "What would be accepted."},
            },
        },
    )


def _members(
    texts: Mapping[str, str], *, optional: Sequence[str] = (), **others: Any
) -> dict[str, Any]:
    """An object: members that are text, told in words, and others by their schema.

    Some may be left out.
    """
    properties: dict[str, Any] = {
        name: {"type": "string", "description": told} for name, told in texts.items()
    } | others
    return {
        "type": "object",
        "properties": properties,
        "required": [name for name in properties if name not in optional],
    }
