"""The shape of a result, read off the record that the calculation gives back.

A record's field name decides its wire key and kind of quantity (``schemas/quantities.py``), its
type annotation the JSON type, and the docstring below the field its description. So a result is
described once, where it is computed. This is used for the OpenAPI file and the pages, never for an
answer.
"""

from __future__ import annotations

import ast
import inspect
import re
import textwrap
import types
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from functools import cache
from itertools import pairwise
from typing import Any, Final, Literal, Union, cast, get_args, get_origin, get_type_hints

from marshmallow import Schema

from threadwright_service.schemas.quantities import PLAIN, Kind, kind_of, wire_name
from threadwright_service.schemas.wire_field import WireField

_FOLLOWING_UNIT: Final = re.compile(r" \[mm[^\]]*\]")
_QUOTED_NAME: Final = re.compile(r"``([^`]*)``")


def result_schema(response: type) -> dict[str, Any]:
    """The JSON Schema of a result.

    Parameters
    ----------
    response : type
        A marshmallow schema of ours, or a frozen dataclass of the calculations.
    """
    if issubclass(response, Schema):
        declared = cast(dict[str, WireField], dict(response._declared_fields))
        return {
            "type": "object",
            "description": first_line(response),
            "properties": {
                key: {**_answered(field), "description": field.description}
                for key, field in declared.items()
            },
            "required": [key for key, field in declared.items() if field.required],
        }
    return record_schema(response, PLAIN)


def _answered(field: WireField) -> dict[str, Any]:
    """The shape of a member; a text may be empty in an answer, as it may not be in a request."""
    schema = field.json_schema()
    schema.pop("minLength", None)
    return schema


class ResultOf(WireField):
    """A member that holds the whole result of another operation, or null."""

    def __init__(
        self,
        description: str,
        response: type,
        *,
        nullable: bool = False,
        optional: bool = False,
    ) -> None:
        super().__init__(description, required=not optional, nullable=nullable)
        self.response = response

    def json_schema(self) -> dict[str, Any]:
        """The shape of that result."""
        schema = result_schema(self.response)
        return {"anyOf": [schema, {"type": "null"}]} if self.nullable else schema


def record_schema(record: type, inherited: Kind) -> dict[str, Any]:
    """The JSON Schema of a dataclass as the presenter writes it."""
    hints = get_type_hints(record)
    told = _descriptions(record)
    properties: dict[str, Any] = {}
    for field in fields(record):
        kind = kind_of(field.name)
        schema = _typed(hints[field.name], inherited if kind is PLAIN else kind)
        schema["description"] = (
            told.get(field.name) or _of_its_record(schema) or _in_words(field.name, kind)
        )
        properties[wire_name(field.name)] = schema
    return {
        "type": "object",
        "description": first_line(record),
        "properties": properties,
        "required": list(properties),
    }


def _of_its_record(schema: Mapping[str, Any]) -> str:
    """What the record says of itself that a member is, or is a list of; else nothing."""
    return str(schema.get("description") or schema.get("items", {}).get("description", ""))


def _in_words(name: str, kind: Kind) -> str:
    words = name.removesuffix(kind.suffix).replace("_", " ")
    return f"{words[:1].upper()}{words[1:]}."


def first_line(documented: type) -> str:
    """The first line of a docstring, for the wire."""
    return _for_the_wire(inspect.cleandoc(documented.__doc__ or "").splitlines()[0])


def _for_the_wire(text: str) -> str:
    """A docstring in the words of the wire: no unit that follows the request, no Python."""
    plain = _FOLLOWING_UNIT.sub("", text).replace("``None``", "null")
    return _QUOTED_NAME.sub(lambda found: wire_name(found[1]), plain)


def _typed(hint: Any, kind: Kind) -> dict[str, Any]:
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        return _union(list(get_args(hint)), kind)
    if origin is Literal:
        words = list(get_args(hint))
        return {"type": _name_of(type(words[0])), "enum": words}
    if origin is tuple or (inspect.isclass(origin) and issubclass(origin, Sequence)):
        return {"type": "array", "items": _typed(get_args(hint)[0], kind)}
    if inspect.isclass(origin) and issubclass(origin, Mapping):
        return {"type": "object", "additionalProperties": _typed(get_args(hint)[1], kind)}
    if is_dataclass(hint):
        return record_schema(cast(type, hint), kind)
    if hint is float:
        return {"type": "number", **_unit(kind)}
    if hint in (int, str, bool):
        return {"type": _name_of(hint), **(_unit(kind) if hint is int else {})}
    return {}


def _union(parts: list[Any], kind: Kind) -> dict[str, Any]:
    inner = [part for part in parts if part is not type(None)]
    nullable = len(inner) < len(parts)
    schemas = [_typed(part, kind) for part in inner]
    if len(schemas) > 1:
        if all(set(schema) <= {"type", "x-unit"} for schema in schemas):
            names = [schema["type"] for schema in schemas] + (["null"] if nullable else [])
            return {**schemas[0], "type": names}
        return {"anyOf": schemas + ([{"type": "null"}] if nullable else [])}
    schema = schemas[0]
    if nullable:
        if "enum" in schema:
            schema["enum"] = [*schema["enum"], None]
        if isinstance(schema.get("type"), str):
            schema["type"] = [schema["type"], "null"]
    return schema


def _unit(kind: Kind) -> dict[str, Any]:
    if kind.follows_unit:
        return {"x-unit": {"mm": kind.metric, "in": kind.inch}}
    return {} if kind.metric == "1" else {"x-unit": kind.metric}


def _name_of(kind: type) -> str:
    return {float: "number", int: "integer", str: "string", bool: "boolean"}[kind]


@cache
def _descriptions(record: type) -> Mapping[str, str]:
    """The docstrings that stand below the fields of a dataclass, its bases' included."""
    told: dict[str, str] = {}
    for base in reversed(record.__mro__[:-1]):
        try:
            source = textwrap.dedent(inspect.getsource(base))
        except (OSError, TypeError):  # no source at hand: the names must do
            continue
        body = cast(ast.ClassDef, ast.parse(source).body[0]).body
        for statement, below in pairwise(body):
            if (
                isinstance(statement, ast.AnnAssign)
                and isinstance(statement.target, ast.Name)
                and isinstance(below, ast.Expr)
                and isinstance(below.value, ast.Constant)
                and isinstance(below.value.value, str)
            ):
                text = inspect.cleandoc(below.value.value)
                told[statement.target.id] = _for_the_wire(" ".join(text.split()))
    return told
