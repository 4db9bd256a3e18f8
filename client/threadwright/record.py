"""What every result is made of: frozen dataclasses that keep what they do not know.

A newer service may send more members than this client knows; they are kept in ``extra``, so that
nothing is lost and nothing breaks. The way from JSON to a record is compiled once for each type,
because an answer may hold hundreds of records.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, dataclass, field, fields
from typing import Any, ClassVar, Final, TypeVar, Union, get_args, get_origin, get_type_hints

from threadwright.errors import UnexpectedAnswerError

RecordType = TypeVar("RecordType", bound="Record")
Builder = Callable[[Any], Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A part of a result."""

    extra: Mapping[str, Any] = field(default_factory=dict, repr=False, compare=False)
    """Members that this version of the client does not know."""

    apart: ClassVar[frozenset[str]] = frozenset()
    """Members that are read apart from the record."""

    often_the_same: ClassVar[bool] = False
    """Whether one mapping comes again and again, and the record made of it will do once more."""

    @classmethod
    def from_json(cls: type[RecordType], members: Mapping[str, Any]) -> RecordType:
        """Make the record from the service's JSON object.

        Raises
        ------
        UnexpectedAnswerError
            If a member is missing that this client needs, or is of another shape.
        """
        try:
            return builder(cls)(members)  # type: ignore[no-any-return]
        except KeyError as error:
            raise unlike(f"lacks {error}") from None
        except (TypeError, AttributeError) as error:
            raise unlike(f"is of another shape ({error})") from None

    def to_dict(self) -> dict[str, Any]:
        """Plain dictionaries and lists again, as the service sent them."""
        told = {
            each.name: plain(getattr(self, each.name))
            for each in fields(self)
            if each.name not in NOT_SENT
        }
        return {**told, **self.extra}


NOT_SENT: Final = {"extra": "", "answer": "None", "request_id": "''"}
"""Fields that are not members of the JSON object, and what stands in them until they are given:
what is unknown in it, what is around it, and what came beside it.
"""


def plain(value: Any) -> Any:
    """A value without records: dictionaries, lists and single values."""
    if isinstance(value, Record):
        return value.to_dict()
    if isinstance(value, (tuple, list)):
        return [plain(item) for item in value]
    if isinstance(value, Mapping):
        return {key: plain(member) for key, member in value.items()}
    return value


_BUILDERS: Final[dict[type[Record], Builder]] = {}


def builder(record: type[Record]) -> Builder:
    """The way from a JSON object to this record, compiled when it is first asked for."""
    made = _BUILDERS.get(record)
    if made is None:
        made = _BUILDERS[record] = _compiled(record)
    return made


def _compiled(record: type[Record]) -> Builder:
    """Compile it.

    The constructor of a frozen dataclass sets each member by a slow call. So the members are put
    into a twin of the same slots that is not frozen, which is then made a record.
    """
    hints = get_type_hints(record)
    own = [each for each in fields(record) if each.name not in NOT_SENT]
    given: dict[str, Any] = {
        "Twin": type(
            f"{record.__name__}Twin",
            record.__bases__,
            {
                "__slots__": record.__dict__["__slots__"],
                "__init__": object.__init__,
                # Both: with one of them alone, Python sets a member by a slow call after all.
                "__setattr__": object.__setattr__,
                "__delattr__": object.__delattr__,
            },
        ),
        "record": record,
        "known": frozenset(each.name for each in own) | record.apart,
    }
    lines = ["def build(members):", "    self = Twin()"]
    for each in own:
        make = _maker(hints[each.name])
        if make is not None:
            given[f"make_{each.name}"] = make
        lines += _statements(each, given, made=make is not None)
    lines += [f"    self.{name} = {value}" for name, value in _unsent(record)]
    optional = [each.name for each in own if not _is_needed(each)] + sorted(record.apart)
    needed = sum(map(_is_needed, own))
    count = " + ".join([str(needed), *(f"({name!r} in members)" for name in optional)])
    lines += [
        f"    if len(members) == {count}:",
        "        self.extra = {}",
        "    else:",
        "        self.extra = {k: v for k, v in members.items() if k not in known}",
        "    self.__class__ = record",
        "    return self",
    ]
    exec("\n".join(lines), given)  # noqa: S102 - made of field names alone, as dataclasses are
    return given["build"]  # type: ignore[no-any-return]


def _statements(each: Field[Any], given: dict[str, Any], *, made: bool) -> list[str]:
    """The lines that fill one slot."""
    name = each.name
    lines = []
    indent = "    "
    if not _is_needed(each):
        given[f"default_{name}"] = (
            each.default_factory if each.default is MISSING else _always(each.default)
        )
        lines = [
            f"    if {name!r} not in members:",
            f"        self.{name} = default_{name}()",
            "    else:",
        ]
        indent = "        "
    if not made:
        return [*lines, f"{indent}self.{name} = members[{name!r}]"]
    return [
        *lines,
        f"{indent}value = members[{name!r}]",
        f"{indent}self.{name} = None if value is None else make_{name}(value)",
    ]


def _unsent(record: type[Record]) -> list[tuple[str, str]]:
    """What stands in the fields that are no members, until they are given."""
    names = {each.name for each in fields(record)}
    return [(name, value) for name, value in NOT_SENT.items() if name in names and value]


def _is_needed(each: Field[Any]) -> bool:
    return each.default is MISSING and each.default_factory is MISSING


def _always(value: Any) -> Callable[[], Any]:
    return lambda: value


def _maker(hint: Any) -> Builder | None:
    """How a value of this type is made from JSON; ``None`` if it is taken as it is."""
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        inner = [part for part in get_args(hint) if part is not type(None)]
        return _maker(inner[0]) if len(inner) == 1 else None
    if origin is tuple:
        item = _maker(get_args(hint)[0])
        return tuple if item is None else _tuple_of(item)
    if isinstance(origin, type) and issubclass(origin, Mapping):
        item = _maker(get_args(hint)[1])
        # A copy: in this process the service's own mapping must not be handed out.
        return dict if item is None else _mapping_of(item)
    if isinstance(hint, type) and issubclass(hint, Record):
        return _same_again(builder(hint)) if hint.often_the_same else builder(hint)
    return None


def _same_again(build: Builder) -> Builder:
    """Build only if it is another mapping than the last time."""
    last: tuple[Any, Any] = (None, None)

    def build_or_last(members: Any) -> Any:
        nonlocal last
        seen, made = last
        if seen is not members:
            made = build(members)
            last = (members, made)
        return made

    return build_or_last


def _tuple_of(item: Builder) -> Builder:
    return lambda values: tuple([item(value) for value in values])


def _mapping_of(item: Builder) -> Builder:
    return lambda members: {key: item(value) for key, value in members.items()}


def unlike(how: str) -> UnexpectedAnswerError:
    """The error for an answer that is not as this client knows it."""
    return UnexpectedAnswerError(
        f"the service's answer {how}: is this a Threadwright service, and as new as this client?",
        status=200,
        content_type="application/json",
    )
