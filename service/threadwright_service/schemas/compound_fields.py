"""Keys that hold a list or an object, and where in them a fault lies."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from threadwright_service.schemas.faults import FieldFaultError
from threadwright_service.schemas.quantities import Unit
from threadwright_service.schemas.query_text import json_from_text, shown
from threadwright_service.schemas.wire_field import WireField


class Items(WireField):
    """A list; in query text the values are separated by semicolons."""

    def __init__(
        self,
        description: str,
        item: WireField,
        *,
        fewest: int = 1,
        most: int = 1000,
        required: bool = False,
        nullable: bool = False,
    ) -> None:
        super().__init__(description, kind=item.kind, required=required, nullable=nullable)
        self.item = item
        self.fewest = fewest
        self.most_items = most

    def from_text(self, text: str) -> list[Any]:
        """Split at semicolons; a list of objects is written as JSON."""
        if isinstance(self.item, Record):
            return json_from_text(text, self.accepted("mm"))  # type: ignore[no-any-return]
        try:
            return [self.item.from_text(part.strip()) for part in text.split(";")]
        except FieldFaultError as fault:
            accepted = f"{fault.accepted}; several values are separated by semicolons"
            raise FieldFaultError(fault.code, fault.detail, accepted) from None

    def accept(self, value: Any, unit: Unit) -> tuple[Any, ...]:
        """Check the list and each of its items."""
        if type(value) is not list:
            raise FieldFaultError(
                "not-a-list", f"{shown(value)} is not a list", self.accepted(unit)
            )
        if not self.fewest <= len(value) <= self.most_items:
            raise FieldFaultError("wrong-length", f"holds {len(value)} values", self.accepted(unit))
        taken = []
        for number, item in enumerate(value):
            try:
                taken.append(self.item.accept(item, unit))
            except FieldFaultError as fault:
                raise at(fault, f".{number}", item) from None
        return tuple(taken)

    def accepted(self, unit: Unit) -> str:
        """Length and items in words."""
        return (
            f"a list of {self.fewest} to {self.most_items} values, each {self.item.accepted(unit)}"
            " (in a query separated by semicolons)"
        )

    def json_schema(self) -> dict[str, Any]:
        """An array of the item's schema."""
        return {
            "type": ["array", "null"] if self.nullable else "array",
            "items": self.item.json_schema(),
            "minItems": self.fewest,
            "maxItems": self.most_items,
        }


class Record(WireField):
    """An object with keys of its own; in query text it is written as JSON."""

    def __init__(
        self,
        description: str,
        members: Mapping[str, WireField],
        *,
        required: bool = False,
        nullable: bool = False,
    ) -> None:
        super().__init__(description, required=required, nullable=nullable)
        self.members = dict(members)

    def from_text(self, text: str) -> Any:
        """Read JSON."""
        return json_from_text(text, self.accepted("mm"))

    def accept(self, value: Any, unit: Unit) -> dict[str, Any]:
        """Check the object, and give its values under the calculation's names."""
        if type(value) is not dict:
            raise FieldFaultError(
                "not-an-object", f"{shown(value)} is not an object", self.accepted(unit)
            )
        taken: dict[str, Any] = {}
        for key, member in value.items():
            field = self.members.get(key)
            if field is None:
                raise at(
                    FieldFaultError(
                        "unknown", "is not a known key", f"one of {', '.join(self.members)}"
                    ),
                    f".{key}",
                    member,
                )
            try:
                taken[field.inner_name(key)] = field.accept(member, unit)
            except FieldFaultError as fault:
                raise at(fault, f".{key}", member) from None
        for key, field in self.members.items():
            if field.required and key not in value:
                raise at(FieldFaultError("missing", "is missing", field.accepted(unit)), f".{key}")
        return taken

    def accepted(self, unit: Unit) -> str:  # noqa: ARG002
        """The keys."""
        return f"an object with the keys {', '.join(self.members)}"

    def json_schema(self) -> dict[str, Any]:
        """An object of the members' schemas."""
        return {
            "type": ["object", "null"] if self.nullable else "object",
            "properties": {
                key: {"description": field.description, **field.json_schema()}
                for key, field in self.members.items()
            },
            "required": [key for key, field in self.members.items() if field.required],
            "additionalProperties": False,
        }


def at(fault: FieldFaultError, step: str, culprit: Any = None) -> FieldFaultError:
    """The same fault, one step further from its place inside a value."""
    return FieldFaultError(
        fault.code,
        fault.detail,
        fault.accepted,
        path=f"{step}{fault.path}",
        culprit=fault.culprit if fault.path else culprit,
    )
