"""The keys of requests: as members of a JSON body, and as parameters of a query."""

from __future__ import annotations

from typing import Any, Final

from threadwright_service.app.openapi.units import OF_THE_CALL_OUT, with_units
from threadwright_service.schemas.base import RequestSchema
from threadwright_service.schemas.compound_fields import Items, Record
from threadwright_service.schemas.results import first_line
from threadwright_service.schemas.wire_field import WireField

JSON: Final = "application/json"


def parameter(key: str, field: WireField) -> dict[str, Any]:
    """A query parameter for one key."""
    schema = value_schema(key, field)
    told: dict[str, Any] = {
        "in": "query",
        "name": key,
        "description": described(field),
        "required": field.required,
    }
    if isinstance(field, Record) or (isinstance(field, Items) and isinstance(field.item, Record)):
        return {**told, "content": {JSON: {"schema": schema}}}
    if isinstance(field, Items):
        # The values of a list are separated by semicolons, which no style of OpenAPI describes.
        return {**told, "schema": {"type": "string", "minLength": 1, "maxLength": 2000}}
    return {**told, "schema": schema}


def request_schema(schema: type[RequestSchema]) -> dict[str, Any]:
    """The JSON Schema of a request."""
    fields = schema.wire_fields()
    told: dict[str, Any] = {
        "type": "object",
        "description": first_line(schema),
        "properties": {
            key: {**value_schema(key, field), "description": described(field)}
            for key, field in fields.items()
        },
        "additionalProperties": False,
    }
    required = [key for key, field in fields.items() if field.required]
    if required:
        told["required"] = required
    return told


def value_schema(key: str, field: WireField) -> dict[str, Any]:
    """The JSON Schema of a key's value, with the unit of every number."""
    schema = field.json_schema()
    if key in OF_THE_CALL_OUT:
        schema["x-unit"] = {"mm": "mm", "in": "in"}
    return with_units(schema, key)


def described(field: WireField) -> str:
    """What a key is, and what is assumed in its place."""
    if field.assume is None:
        return field.description
    unit = f" {field.kind.metric}" if field.kind.metric != "1" else ""
    return f"{field.description} Assumed if not given: {field.assume}{unit}; {field.reason}."
