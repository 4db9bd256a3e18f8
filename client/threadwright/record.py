"""What every result is made of: frozen dataclasses that keep what they do not know.

A newer service may send more members than this client knows; they are kept in ``extra``, so that
nothing is lost and nothing breaks.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Mapping
from dataclasses import MISSING, dataclass, field, fields
from functools import cache
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from threadwright.errors import UnexpectedAnswerError

RecordType = TypeVar("RecordType", bound="Record")


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A part of a result."""

    extra: Mapping[str, Any] = field(default_factory=dict, repr=False, compare=False)
    """Members that this version of the client does not know."""

    @classmethod
    def from_json(cls: type[RecordType], members: Mapping[str, Any]) -> RecordType:
        """Make the record from the service's JSON object.

        Raises
        ------
        UnexpectedAnswerError
            If a member is missing that this client needs.
        """
        return build(cls, members)  # type: ignore[no-any-return]

    def to_dict(self) -> dict[str, Any]:
        """Plain dictionaries and lists again, what was not known included."""
        told = {
            each.name: plain(getattr(self, each.name))
            for each in fields(self)
            if each.name != "extra"
        }
        return {**told, **self.extra}


def plain(value: Any) -> Any:
    """A value without records: dictionaries, lists and single values."""
    if isinstance(value, Record):
        return value.to_dict()
    if isinstance(value, tuple):
        return [plain(item) for item in value]
    if isinstance(value, Mapping):
        return {key: plain(member) for key, member in value.items()}
    return value


Builder = Callable[[Any], Any]


def build(record: type[Record], members: Mapping[str, Any]) -> Any:
    """Make a record; the way is found once for each type."""
    plan, names, needed = _plan(record)  # type: ignore[arg-type]
    taken = {}
    for name, builder in plan:
        if name in members:
            value = members[name]
            taken[name] = value if builder is None or value is None else builder(value)
    if len(taken) < len(members):
        taken["extra"] = {key: value for key, value in members.items() if key not in names}
    if not needed <= taken.keys():
        missing = ", ".join(sorted(needed - taken.keys()))
        raise UnexpectedAnswerError(
            f"the service's answer lacks {missing}: is the service older than this client?",
            status=200,
            content_type="application/json",
        )
    return record(**taken)


@cache
def _plan(
    record: type[Record],
) -> tuple[tuple[tuple[str, Builder | None], ...], frozenset[str], frozenset[str]]:
    hints = get_type_hints(record)
    steps = []
    needed = set()
    for each in fields(record):
        if each.name == "extra":
            continue
        steps.append((each.name, _builder(hints[each.name])))
        if each.default is MISSING and each.default_factory is MISSING:
            needed.add(each.name)
    return tuple(steps), frozenset(name for name, _ in steps), frozenset(needed)


def _builder(hint: Any) -> Builder | None:
    """How a value of this type is made from JSON; ``None`` if it is taken as it is."""
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        inner = [part for part in get_args(hint) if part is not type(None)]
        return _builder(inner[0]) if len(inner) == 1 else None
    if origin is tuple:
        item = _builder(get_args(hint)[0])
        return tuple if item is None else _tuple_of(item)
    if isinstance(hint, type) and issubclass(hint, Record):
        return hint.from_json
    return None


def _tuple_of(item: Builder) -> Builder:
    return lambda values: tuple(item(value) for value in values)
