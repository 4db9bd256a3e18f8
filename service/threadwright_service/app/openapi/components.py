"""What many entries of the contract share: parts of answers, parameters, headers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from apispec import APISpec

from threadwright_service.app.choice import LONGEST
from threadwright_service.app.openapi.problems import add_problems
from threadwright_service.app.pictures import NAMES, PICTURES
from threadwright_service.app.representations import REPRESENTATIONS


def add_components(spec: APISpec) -> None:
    """Everything that other parts refer to."""
    add_problems(spec)
    for name, schema in _PARTS_OF_ANSWERS.items():
        spec.components.schema(name, schema)
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
        "the bare value as text, or one CSV line. A list of single values is one text, its values "
        "separated by '; ', and none is #N/A.",
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


def object_with(
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


_PARTS_OF_ANSWERS: Final[dict[str, dict[str, Any]]] = {
    "Assumption": object_with(
        {
            "parameter": "The key that was not given.",
            "reason": "Why this value stands for it.",
            "unit": "Unit of the value; left out where it has none.",
        },
        optional=("unit",),
        value={"description": "What was taken for it."},
    ),
    "Caution": object_with(
        {
            "code": "A word that never changes, for programs.",
            "detail": "A sentence for people.",
        }
    ),
    "Step": object_with(
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
    "Meta": {
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
}
