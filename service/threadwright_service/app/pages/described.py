"""What the members of a result mean and in which unit they are, read off its schema once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from html import escape
from typing import Any

from threadwright_service.api.operation import Operation
from threadwright_service.schemas.results import result_schema


@dataclass(frozen=True, slots=True, kw_only=True)
class Described:
    """One member: its units by the answer's unit, its meaning as markup, and what it holds."""

    units: Mapping[str, str] = field(default_factory=dict)
    words: str = ""
    members: Mapping[str, Described] = field(default_factory=dict)
    other: Described | None = None
    """What any member holds whose name the schema does not know, or an item of a list."""

    def member(self, name: str) -> Described:
        """The description of a member; an empty one if there is none."""
        return self.members.get(name) or self.other or NOTHING


NOTHING = Described()


@cache
def described(operation: Operation) -> Described:
    """The description of an operation's result."""
    return _read(result_schema(operation.response))


def _read(schema: Mapping[str, Any]) -> Described:
    if "anyOf" in schema:
        inner = [each for each in schema["anyOf"] if each.get("type") != "null"]
        found = _read(inner[0]) if inner else NOTHING
        words = escape(schema.get("description", ""))
        return Described(
            units=found.units,
            words=words or found.words,
            members=found.members,
            other=found.other,
        )
    unit = schema.get("x-unit", "")
    units = dict.fromkeys(("mm", "in"), unit) if isinstance(unit, str) else dict(unit)
    words = escape(schema.get("description", ""))
    inside = schema.get("items") or schema.get("additionalProperties")
    other = _read(inside) if isinstance(inside, Mapping) else None
    return Described(
        units={name: escape(value) for name, value in units.items() if value not in ("", "1")},
        words=words,
        members={key: _read(each) for key, each in schema.get("properties", {}).items()},
        # A plain number or word of a list, or under a name of its own, means what the whole does.
        other=replace(other, words=words) if other is not None and not other.words else other,
    )
