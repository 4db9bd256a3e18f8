"""The client against the committed contract: methods, keys and results, down to the last member.

Expected here is what ``openapi/openapi.json`` says, which is made of the service's own schemas; the
client is written by hand and shares no code with them.
"""

from __future__ import annotations

import inspect
import types
from collections.abc import Mapping, Sequence
from dataclasses import MISSING, fields
from typing import (
    Any,
    Literal,
    Required,
    Union,
    get_args,
    get_origin,
    get_type_hints,
    is_typeddict,
)

import pytest

from threadwright import Client
from threadwright.operations import OPERATIONS, Operation
from threadwright.paths import kind_in
from threadwright.quantities import Kind, unit_in_key
from threadwright.record import NOT_SENT, Record
from threadwright.results.answer import Answer, Assumption, Caution, Result, Step
from threadwright.shell.keys import keys_of

Schema = Mapping[str, Any]
OWN_KEYS = {"timeout"}
"""Keys of the client that are not sent."""

operations = pytest.mark.parametrize("operation", OPERATIONS.values(), ids=OPERATIONS.keys())


def paths_of_operations(openapi: Schema) -> dict[str, Schema]:
    return {
        path.removeprefix("/v1/"): entry
        for path, entry in openapi["paths"].items()
        if path.startswith("/v1/") and {"get", "post"} <= entry.keys()
    }


def schema_named(openapi: Schema, operation: Operation, kind: str) -> Schema:
    name = "".join(part.capitalize() for part in operation.name.split("-"))
    found: Schema = openapi["components"]["schemas"][f"{name}{kind}"]
    return found


def test_every_operation_is_known(openapi: Schema) -> None:
    assert list(OPERATIONS) == list(paths_of_operations(openapi))


def test_every_operation_id_is_a_method(openapi: Schema) -> None:
    for path, entry in openapi["paths"].items():
        get = entry.get("get", entry.get("post"))
        if path.startswith("/v1/") and path != "/v1/":
            method = getattr(Client, get["operationId"], None)
            assert inspect.isfunction(method), f"{path}: the client has no {get['operationId']}"
            assert inspect.getdoc(method)


@operations
def test_a_method_takes_the_operations_keys_and_gives_its_result(operation: Operation) -> None:
    method = inspect.signature(getattr(Client, operation.method))
    assert method.return_annotation == operation.result.rpartition(".")[2]
    assert method.parameters["keys"].annotation == f"Unpack[k.{operation.keys}]"


@operations
def test_keys_are_those_of_the_request(operation: Operation, openapi: Schema) -> None:
    schema = schema_named(openapi, operation, "Request")
    hints = get_type_hints(operation.keys_type(), include_extras=True)
    assert set(hints) - OWN_KEYS == set(schema["properties"])
    needed = {key for key, hint in hints.items() if get_origin(hint) is Required}
    assert needed == set(schema.get("required", ())) == operation.keys_type().__required_keys__  # type: ignore[attr-defined]
    for key in set(hints) - OWN_KEYS:
        assert_key(hints[key], schema["properties"][key], key)


@operations
def test_every_key_has_a_help(operation: Operation) -> None:
    for key in keys_of(operation).values():
        assert key.help.endswith("."), f"{key.name}: {key.help!r}"
        assert key.chapter


@operations
def test_results_hold_what_the_contract_describes(operation: Operation, openapi: Schema) -> None:
    assert_record(
        operation.result_type(), schema_named(openapi, operation, "Result"), operation.name, ""
    )


@operations
def test_what_stands_around_a_result(operation: Operation, openapi: Schema) -> None:
    schema = schema_named(openapi, operation, "Answer")
    names = {each.name for each in fields(Answer)} - NOT_SENT.keys()
    assert set(schema["properties"]) <= names | {"result"}
    # Told of the operations that take a thread.
    assert names - set(schema["properties"]) <= {"thread", "working"}


@pytest.mark.parametrize("record", [Assumption, Caution, Step])
def test_parts_around_a_result(record: type[Record], openapi: Schema) -> None:
    schema = openapi["components"]["schemas"][record.__name__]
    names = {each.name for each in fields(record)} - {"extra"}
    assert set(schema["properties"]) <= names
    assert names - set(schema["properties"]) <= {"value_in"}


def assert_key(hint: Any, schema: Schema, place: str) -> None:
    """The annotation of a key against the schema of the request's member."""
    if get_origin(hint) is Required:
        hint = get_args(hint)[0]
    if "anyOf" in schema:
        assert {json_type(part) for part in get_args(hint)} == {
            part["type"] for part in schema["anyOf"]
        }, place
    elif schema.get("type") == "array":
        assert get_origin(hint) is Sequence, place
        assert_key(get_args(hint)[0], schema["items"], f"{place}[]")
    elif "enum" in schema:
        assert get_origin(hint) is Literal, place
        assert set(get_args(hint)) == set(schema["enum"]), place
    elif schema.get("type") == "object":
        assert is_typeddict(hint), place
        inner = get_type_hints(hint, include_extras=True)
        assert set(inner) == set(schema["properties"]), place
        assert hint.__required_keys__ == set(schema.get("required", ())), place
        for key, member in inner.items():
            assert_key(member, schema["properties"][key], f"{place}.{key}")
    else:
        assert json_type(hint) == schema["type"], place


def assert_record(record: type[Record], schema: Schema, place: str, unit: str) -> None:
    """A record against the schema of an object; ``unit`` is that of what it stands in."""
    hints = get_type_hints(record, include_extras=True)
    own = {each.name: each for each in fields(record) if each.name not in NOT_SENT}
    assert set(own) == set(schema["properties"]), place
    for name, each in own.items():
        needed = each.default is MISSING and each.default_factory is MISSING
        assert needed == (name in schema.get("required", ())), f"{place}.{name}: needed"
        may_lack = each.default is None
        member = schema["properties"][name]
        assert_member(hints[name], member, f"{place}.{name}", unit, may_lack=may_lack)


def assert_member(
    hint: Any, schema: Schema, place: str, unit: str, *, may_lack: bool = False
) -> None:
    """The annotation of a result's member against its schema.

    A member that an answer may lack is ``None`` then, though the service never sends null.
    """
    schemas = [part for part in schema.get("anyOf", [schema]) if part.get("type") != "null"]
    kinds = schema.get("type")
    nullable = len(schemas) < len(schema.get("anyOf", [schema])) or (
        isinstance(kinds, list) and "null" in kinds
    )
    parts = get_args(hint) if get_origin(hint) in (Union, types.UnionType) else (hint,)
    inner = [part for part in parts if part is not type(None)]
    assert (len(inner) < len(parts)) == (nullable or may_lack), f"{place}: null"
    assert len(schemas) == 1, place
    told = schemas[0]
    name = place.rpartition(".")[2]
    own = _unit_of(inner[0], name) or unit
    if "x-unit" in told and told.get("type") not in ("array", "object"):
        # Of a key such as compliance_um_per_n the contract names the last unit only.
        assert own.rpartition("/")[2] == _told_unit(told["x-unit"]).rpartition("/")[2], (
            f"{place}: unit"
        )
    assert_inner(inner, told, place, own)


def assert_inner(inner: list[Any], told: Schema, place: str, unit: str) -> None:
    hint = inner[0]
    kind = told.get("type")
    wanted = [word for word in kind if word != "null"] if isinstance(kind, list) else [kind]
    if wanted == ["object"] and "properties" in told:
        assert isinstance(hint, type), place
        assert issubclass(hint, Record), place
        if issubclass(hint, Result):
            unit = ""
        assert_record(hint, told, place, unit)
    elif wanted == ["object"]:
        assert get_origin(hint) is Mapping, place
    elif wanted == ["array"]:
        assert get_origin(hint) is tuple, place
        assert_member(get_args(hint)[0], told["items"], f"{place}[]", unit)
    elif "enum" in told:
        assert get_origin(hint) is Literal, place
        assert set(get_args(hint)) == {word for word in told["enum"] if word is not None}, place
    elif wanted != [None]:
        assert {json_type(part) for part in inner} == set(wanted), place


def json_type(hint: Any) -> str:
    """The JSON type of a plain annotation."""
    hint = getattr(hint, "__origin__", hint) if hasattr(hint, "__metadata__") else hint
    return {float: "number", int: "integer", str: "string", bool: "boolean"}[hint]


def _unit_of(hint: Any, name: str) -> str:
    kind = kind_in(hint) if not _is_record(hint) else ""
    return kind or unit_in_key(name)


def _is_record(hint: Any) -> bool:
    return isinstance(hint, type) and issubclass(hint, Record)


def _told_unit(unit: Any) -> str:
    """The kind of a unit that follows the request's, or the unit itself."""
    if isinstance(unit, str):
        # The client names no unit where there is none, nor one that only this key has.
        none = dict.fromkeys(("1", "%", "1/in", "currency", "h"), "")
        return {"rev/min": "spindle_speed", **none}.get(unit, unit)
    return {
        "mm": "length",
        "mm²": "area",
        "mm/min": "feed_rate",
        "m/min": "surface_speed",
    }[unit["mm"]]


def test_this_comparison_sees_a_difference(openapi: Schema) -> None:
    """So that the tests above cannot pass by looking at nothing."""
    operation = OPERATIONS["thread-limits"]
    schema = schema_named(openapi, operation, "Result")
    more = {**schema, "properties": {**schema["properties"], "new_member": {"type": "number"}}}
    with pytest.raises(AssertionError, match="new_member"):
        assert_record(operation.result_type(), more, "", "")
    limits = schema["properties"]["limits"]
    less = {**limits, "properties": {k: v for k, v in limits["properties"].items() if "p" in k}}
    fewer = {**schema, "properties": {**schema["properties"], "limits": less}}
    with pytest.raises(AssertionError, match="major_diameter"):
        assert_record(operation.result_type(), fewer, "", "")
    with pytest.raises(AssertionError, match="unit"):
        assert_member(
            float, {"type": "number", "x-unit": {"mm": "mm", "in": "in"}}, "root_diameter", ""
        )
    assert Kind("length") in get_args(
        get_type_hints(operation.result_type(), include_extras=True)["pitch"]
    )
