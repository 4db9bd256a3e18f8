"""What a newer contract breaks for callers of an older one.

Within ``/v1`` members are only added. Breaking is what makes a request fail that was right, or
takes something out of an answer that a caller may rely on: a path, operation, parameter, key, form
or member that is gone; a key newly required; a narrower type, choice or bound of what is asked; a
wider type of what is answered; another unit.

``python tests/conventions/breaking.py OLD NEW`` lists them and ends with 1 if there are any.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

Schema = Mapping[str, Any]
_METHODS: Final = ("get", "put", "post", "delete", "options", "head", "patch", "trace")
_LOWER: Final = ("minimum", "exclusiveMinimum", "minLength", "minItems")
_UPPER: Final = ("maximum", "exclusiveMaximum", "maxLength", "maxItems")
_EXACT: Final = ("const", "format", "multipleOf", "pattern", "uniqueItems")
RELEASED: Final = "released.json"
CURRENT: Final = "openapi.json"


def broken_since_release(folder: Path) -> list[str]:
    """What the contract of a folder breaks of the released one beside it.

    Nothing can be broken before a first release; then there is no released one.
    """
    released = folder / RELEASED
    if not released.exists():
        return []
    old, new = (
        json.loads(file.read_text(encoding="utf-8")) for file in (released, folder / CURRENT)
    )
    return breaking_changes(old, new)


def breaking_changes(old: Mapping[str, Any], new: Mapping[str, Any]) -> list[str]:
    """Every breaking change from the old contract to the new one, a sentence each."""
    return list(_paths(old, new))


def _paths(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[str]:
    for path, methods in old["paths"].items():
        there = new["paths"].get(path)
        if there is None:
            yield f"{path} is gone"
            continue
        for method in _METHODS:
            if method not in methods:
                continue
            where = f"{method.upper()} {path}"
            if method not in there:
                yield f"{where} is gone"
                continue
            yield from _operation(_Documents(old, new), methods[method], there[method], where)


class _Documents:
    """The two contracts, for their references."""

    def __init__(self, old: Mapping[str, Any], new: Mapping[str, Any]) -> None:
        self._old, self._new = old, new

    def old(self, node: Any) -> Any:
        return _resolved(node, self._old)

    def new(self, node: Any) -> Any:
        return _resolved(node, self._new)


def _resolved(node: Any, document: Mapping[str, Any]) -> Any:
    while isinstance(node, Mapping) and "$ref" in node:
        found: Any = document
        for step in node["$ref"].removeprefix("#/").split("/"):
            found = found[step.replace("~1", "/").replace("~0", "~")]
        node = found
    return node


def _operation(
    documents: _Documents, old: Mapping[str, Any], new: Mapping[str, Any], where: str
) -> Iterator[str]:
    if old.get("operationId") != new.get("operationId"):
        yield f"{where}: operationId {old.get('operationId')} is {new.get('operationId')} now"
    yield from _parameters(documents, old, new, where)
    if "requestBody" in old:
        yield from _body(documents, old["requestBody"], new.get("requestBody"), where)
    elif documents.new(new.get("requestBody", {})).get("required"):
        yield f"{where} needs a body now"
    for status, response in old.get("responses", {}).items():
        if status not in new.get("responses", {}):
            yield f"{where}: status {status} is gone"
            continue
        before = documents.old(response).get("content", {})
        after = documents.new(new["responses"][status]).get("content", {})
        for form, content in before.items():
            if form not in after:
                yield f"{where}: {status} as {form} is gone"
            else:
                yield from _answered(
                    documents,
                    content.get("schema", {}),
                    after[form].get("schema", {}),
                    f"{where}: {status}",
                )


def _parameters(
    documents: _Documents, old: Mapping[str, Any], new: Mapping[str, Any], where: str
) -> Iterator[str]:
    before = _by_name([documents.old(each) for each in old.get("parameters", ())])
    after = _by_name([documents.new(each) for each in new.get("parameters", ())])
    for key, parameter in before.items():
        name = f"{where}: parameter {key[1]}"
        if key not in after:
            yield f"{name} is gone"
            continue
        now = after[key]
        if now.get("required") and not parameter.get("required"):
            yield f"{name} is required now"
        if ("content" in parameter) != ("content" in now):
            yield f"{name} is written otherwise"
        yield from _asked(documents, _schema_of(parameter), _schema_of(now), name)
    for key, parameter in after.items():
        if key not in before and parameter.get("required"):
            yield f"{where}: parameter {key[1]} is new and required"


def _by_name(parameters: list[Any]) -> dict[tuple[str, str], Any]:
    return {(each["in"], each["name"]): each for each in parameters}


def _schema_of(parameter: Mapping[str, Any]) -> Schema:
    if "content" in parameter:
        schema: Schema = next(iter(parameter["content"].values()))["schema"]
        return schema
    found: Schema = parameter.get("schema", {})
    return found


def _body(documents: _Documents, old: Any, new: Any, where: str) -> Iterator[str]:
    before, after = documents.old(old), documents.new(new or {})
    if after.get("required") and not before.get("required"):
        yield f"{where}: the body is required now"
    for form, content in before.get("content", {}).items():
        if form not in after.get("content", {}):
            yield f"{where}: a body as {form} is not taken any more"
        else:
            yield from _asked(
                documents, content["schema"], after["content"][form]["schema"], f"{where}: body"
            )


def _asked(documents: _Documents, old: Schema, new: Schema, where: str) -> Iterator[str]:
    """What a request may hold must not become narrower."""
    old, new = documents.old(old), documents.new(new)
    lost = _types(old) - _types(new) if _types(new) else set()
    if lost and not ("integer" in lost and "number" in _types(new)):
        yield f"{where} does not take {', '.join(sorted(lost))} any more"
    if "enum" in new:
        gone = [word for word in old.get("enum", ()) if word not in new["enum"]]
        if gone or "enum" not in old:
            yield f"{where} takes only {new['enum']} now"
    yield from _narrower(old, new, where)
    if old.get("x-unit") != new.get("x-unit"):
        yield f"{where} has another unit: {new.get('x-unit')} for {old.get('x-unit')}"
    before, after = old.get("properties", {}), new.get("properties", {})
    for key, schema in before.items():
        if key in after:
            yield from _asked(documents, schema, after[key], f"{where}.{key}")
        elif new.get("additionalProperties") is False:
            yield f"{where}.{key} is not taken any more"
    for key in set(new.get("required", ())) - set(old.get("required", ())):
        yield f"{where}.{key} is required now"
    if "items" in old and "items" in new:
        yield from _asked(documents, old["items"], new["items"], f"{where}[]")
    if (
        "anyOf" in new
        and "anyOf" not in old
        and all(list(_asked(documents, old, other, where)) for other in new["anyOf"])
    ):
        yield f"{where} takes none of what it took any more"
    for one in old.get("anyOf", ()):
        faults = [
            list(_asked(documents, one, other, where))
            for other in new.get("anyOf", [new] if "anyOf" not in new else ())
        ]
        if all(faults):
            yield f"{where} does not take one of its alternatives any more"


def _answered(documents: _Documents, old: Schema, new: Schema, where: str) -> Iterator[str]:
    """What an answer holds must not be taken away, nor become of another kind."""
    old, new = documents.old(old), documents.new(new)
    more = _types(new) - _types(old) if _types(old) else set()
    if more - ({"integer"} if "number" in _types(old) else set()) or (
        _types(old) and not _types(new) and "anyOf" not in new
    ):
        yield f"{where} may be {', '.join(sorted(more)) or 'anything'} now"
    if old.get("x-unit") != new.get("x-unit"):
        yield f"{where} has another unit: {new.get('x-unit')} for {old.get('x-unit')}"
    after = new.get("properties", {})
    for key, schema in old.get("properties", {}).items():
        if key not in after:
            yield f"{where}.{key} is gone"
            continue
        yield from _answered(documents, schema, after[key], f"{where}.{key}")
        if key in old.get("required", ()) and key not in new.get("required", ()):
            yield f"{where}.{key} may be left out now"
    for place in ("items", "additionalProperties"):
        if isinstance(old.get(place), Mapping) and isinstance(new.get(place), Mapping):
            yield from _answered(documents, old[place], new[place], f"{where}[]")
    for one, other in zip(old.get("anyOf", ()), new.get("anyOf", ()), strict=False):
        yield from _answered(documents, one, other, where)
    if len(new.get("anyOf", ())) > len(old.get("anyOf", ())):
        yield f"{where} may be of a further kind now"


def _types(schema: Schema) -> set[str]:
    kinds = schema.get("type", ())
    return {kinds} if isinstance(kinds, str) else set(kinds)


def _narrower(old: Schema, new: Schema, where: str) -> Iterator[str]:
    for bounds, sign in ((_LOWER, 1), (_UPPER, -1)):
        for word in bounds:
            if word in new and (word not in old or sign * (new[word] - old[word]) > 0):
                # An inclusive bound may take the place of an exclusive one at the same number.
                twin = f"exclusive{word[0].upper()}{word[1:]}"
                if word not in old and old.get(twin) == new[word]:
                    continue
                yield f"{where}: {word} is {new[word]} now"
    for word in _EXACT:
        if word in new and new[word] != old.get(word):
            yield f"{where}: {word} is {new[word]} now"


def main() -> int:
    """Compare two files."""
    old, new = (json.loads(Path(name).read_text(encoding="utf-8")) for name in sys.argv[1:3])
    found = breaking_changes(old, new)
    sys.stdout.write("".join(f"{line}\n" for line in found))
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
