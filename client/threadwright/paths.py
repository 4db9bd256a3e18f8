"""Results as flat values under dotted paths, with the unit of each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from difflib import get_close_matches
from typing import Any, Final, get_args, get_origin, get_type_hints

from threadwright.quantities import Kind, unit_in_key
from threadwright.record import NOT_SENT, Record


@dataclass(frozen=True, slots=True)
class Value:
    """One single value of a result."""

    path: str
    value: Any
    unit: str


def leaves(record: Record) -> Iterator[tuple[str, Any]]:
    """Every single value under its dotted path, as ``field=`` names it.

    Values that this client does not know come last in their record.
    """
    for value in values(record, {}):
        yield value.path, value.value


def value_at(record: Record, path: str) -> Any:
    """The single value at a dotted path; ``None`` where this result has nothing there.

    A list of single values is one text, as the service's ``field=`` tells it.

    Raises
    ------
    LookupError
        If no result of this type can have a single value there; names what is near.
    """
    at: Any = record
    for step in path.split("."):
        if isinstance(at, Record):
            if step not in names_of(type(at)) and step not in at.extra:
                raise LookupError(_no_value(record, path))
            at = at.extra[step] if step in at.extra else getattr(at, step)
        elif isinstance(at, Mapping):
            at = at.get(step)
        elif isinstance(at, (tuple, list)) and step.isdecimal():
            at = at[int(step)] if int(step) < len(at) else None
        elif at is not None:
            raise LookupError(_no_value(record, path))
    if isinstance(at, (tuple, list)) and not any(isinstance(each, _PARTED) for each in at):
        return "; ".join(str(each) for each in at) or None
    if isinstance(at, _PARTED):
        raise LookupError(_no_value(record, path))
    return at


_PARTED: Final = (Record, Mapping, tuple, list)
"""What has values of its own, each under its own path."""


def names_of(record: type[Record]) -> frozenset[str]:
    """Names of the members of a record."""
    known = _NAMES.get(record)
    if known is None:
        known = _NAMES[record] = frozenset(name for name, _ in members_of(record))
    return known


_NAMES: Final[dict[type[Record], frozenset[str]]] = {}


def _no_value(record: Record, path: str) -> str:
    known = [name for name, _ in leaves(record)]
    near = get_close_matches(path, known, n=3) or known[:20]
    return f"no result has a single value at {path}; near are {', '.join(near)}"


def values(
    item: Any, units: Mapping[str, str], path: str = "", inherited: str = ""
) -> Iterator[Value]:
    """Every single value with its path and unit.

    Parameters
    ----------
    item : object
        A record, mapping, sequence or single value.
    units : mapping
        Unit of each kind of quantity whose key carries none, from the answer.
    path, inherited : str
        Where the item stands, and the unit of what it stands in.
    """
    if isinstance(item, Record):
        for name, kind in members_of(type(item)):
            unit = unit_of(name, kind, units) or inherited
            yield from values(getattr(item, name), units, _below(path, name), unit)
        yield from values(item.extra, units, path, inherited)
    elif isinstance(item, Mapping):
        for name, member in item.items():
            # Names of a mapping are the service's words, not keys: ``_max`` and ``_min`` in them.
            unit = inherited or unit_in_key(str(name))
            yield from values(member, units, _below(path, str(name)), unit)
    elif isinstance(item, (tuple, list)):
        for index, member in enumerate(item):
            yield from values(member, units, _below(path, str(index)), inherited)
    else:
        is_number = isinstance(item, (int, float)) and not isinstance(item, bool)
        yield Value(path, item, inherited if is_number else "")


def unit_of(name: str, kind: str, units: Mapping[str, str]) -> str:
    """The unit of a member: that of its kind, or the one in its key."""
    return units.get(kind, "") if kind else unit_in_key(name)


_MEMBERS: Final[dict[type[Record], tuple[tuple[str, str], ...]]] = {}


def members_of(record: type[Record]) -> tuple[tuple[str, str], ...]:
    """Name and kind of quantity of each member of a record."""
    found = _MEMBERS.get(record)
    if found is None:
        hints = get_type_hints(record, include_extras=True)
        found = _MEMBERS[record] = tuple(
            (each.name, kind_in(hints[each.name]))
            for each in fields(record)
            if each.name not in NOT_SENT
        )
    return found


def kind_in(hint: Any) -> str:
    """The kind of quantity that an annotation names, at any depth; empty if none."""
    for part in getattr(hint, "__metadata__", ()):
        if isinstance(part, Kind):
            return part.name
    if get_origin(hint) is None:
        return ""
    return next((kind for part in get_args(hint) if (kind := kind_in(part))), "")


def _below(path: str, name: str) -> str:
    return f"{path}.{name}" if path else name
