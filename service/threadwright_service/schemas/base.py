"""What every request and answer schema is made of, and the loader of requests.

A plain request is checked key by key in one quick loop. Anything else goes through marshmallow,
which finds every fault at once; both use the same :meth:`WireField.accept`, so they cannot differ.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Final, NamedTuple, cast

from marshmallow import EXCLUDE, RAISE, Schema, ValidationError

from threadwright_service.calc.quick_record import maker_of
from threadwright_service.schemas.compound_fields import Items, Record
from threadwright_service.schemas.faults import Fault, FieldFaultError, InvalidRequestError
from threadwright_service.schemas.fields import Choice, Flag
from threadwright_service.schemas.near_keys import near_keys
from threadwright_service.schemas.quantities import Unit
from threadwright_service.schemas.query_text import shown
from threadwright_service.schemas.wire_field import REQUEST_UNIT, WireField

_LONGEST_NAME: Final = 60
_ONCE: Final = "each key once"
_ONCE_LISTED: Final = "each key once; several values are separated by semicolons"


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """A request that has passed its schema.

    ``given`` holds what the caller wrote, under the wire's keys. ``values`` holds the same under
    the calculation's names and in its units. ``unit`` is ``None`` if the caller named none.
    """

    given: Mapping[str, Any]
    values: dict[str, Any]
    unit: Unit | None


_make_loaded = maker_of(Loaded)


class RequestSchema(Schema):
    """The keys that one operation takes."""

    class Meta:
        """A key that is not known is a fault, never ignored."""

        unknown = RAISE

    unit = Choice(
        "Unit of every length in the request and the answer; lengths, feeds and surface speeds "
        "follow it. Needed as soon as the request holds a length besides the call-out.",
        ("mm", "in"),
        also={"inch": "in"},
    )
    working = Flag("Whether the answer shows each step with formula, numbers, unit and source.")

    _known: ClassVar[_Known | None] = None

    @classmethod
    def wire_fields(cls) -> Mapping[str, WireField]:
        """The fields by key, in the order in which they are declared."""
        return cls._table().fields

    @classmethod
    def _table(cls) -> _Known:
        # marshmallow sets the declared fields after the class is made, so this waits for first use.
        known = cls._known
        if known is None or known.schema is not cls:
            fields = cast(dict[str, WireField], dict(cls._declared_fields))
            known = cls._known = _Known(
                cls,
                fields,
                {
                    key: (field.accept, field.inner_name(key), _follows_unit(field), field)
                    for key, field in fields.items()
                },
                tuple(key for key, field in fields.items() if field.required),
            )
        return known

    @classmethod
    def load_text(cls, pairs: Iterable[tuple[str, str]]) -> Loaded:
        """Load a query: pairs of key and text.

        Raises
        ------
        InvalidRequestError
            With every fault found; a key given twice is one of them.
        """
        raw: dict[str, Any] = {}
        faults: list[Fault] = []
        for key, text in pairs:
            field = cls.wire_fields().get(key)
            if key in raw:
                faults.append(
                    Fault(
                        parameter=key,
                        code="repeated",
                        detail=f"{key} is given more than once",
                        value=text,
                        accepted=_ONCE_LISTED if isinstance(field, Items) else _ONCE,
                    )
                )
            elif field is None:
                raw[key] = text
            else:
                try:
                    raw[key] = field.from_text(text)
                except FieldFaultError as fault:
                    faults.append(_fault(key, fault, text))
                    raw[key] = None
        if faults:
            spoilt = {fault.parameter.split(".")[0] for fault in faults}
            more = cls._explain({k: v for k, v in raw.items() if k not in spoilt})
            faults += [fault for fault in more if fault.parameter not in spoilt]
            raise InvalidRequestError(_in_order(faults, raw))
        return cls.load_json(raw)

    @classmethod
    def load_json(cls, raw: Any) -> Loaded:
        """Load a JSON body.

        Raises
        ------
        InvalidRequestError
            With every fault found.
        """
        if type(raw) is not dict:
            raise InvalidRequestError(
                (
                    Fault(
                        parameter="",
                        code="not-an-object",
                        detail="the body is not a JSON object",
                        value=raw,
                        accepted=f"an object with keys of {', '.join(cls.wire_fields())}",
                    ),
                )
            )
        named = raw.get("unit")
        unit: Unit = "in" if named in ("in", "inch") else "mm"
        values: dict[str, Any] = {}
        table = cls._known
        if table is None or table.schema is not cls:
            table = cls._table()
        takers, follows = table.takers, False
        try:
            for key, value in raw.items():
                accept, name, may_follow, field = takers[key]
                values[name] = accept(value, unit)
                if may_follow and needs_unit(field, value):
                    follows = True
        except (KeyError, FieldFaultError):
            raise InvalidRequestError(_in_order(cls._explain(raw), raw)) from None
        for key in table.required:
            if key not in raw:
                raise InvalidRequestError(_in_order(cls._explain(raw), raw))
        if named is None:
            if follows:
                raise InvalidRequestError(_in_order(cls._explain(raw), raw))
            return _make_loaded(raw, values, None)
        del values["unit"]
        return _make_loaded(raw, values, unit)

    @classmethod
    def _explain(cls, raw: dict[str, Any]) -> list[Fault]:
        """Every fault of a request that the quick loop did not take."""
        unit: Unit = "in" if raw.get("unit") in ("in", "inch") else "mm"
        token = REQUEST_UNIT.set(unit)
        try:
            cls().load(raw)
            found: Mapping[str, Any] = {}
        except ValidationError as error:
            found = cast(Mapping[str, Any], error.messages)
        finally:
            REQUEST_UNIT.reset(token)
        faults = [cls._told(key, messages, raw, unit) for key, messages in found.items()]
        if "unit" not in raw:
            lengths = [
                key
                for key, value in raw.items()
                if key in cls.wire_fields() and needs_unit(cls.wire_fields()[key], value)
            ]
            if lengths:
                faults.append(
                    Fault(
                        parameter="unit",
                        code="missing",
                        detail=f"unit is missing, in which {', '.join(sorted(lengths))} is given",
                        accepted=cls.wire_fields()["unit"].accepted(unit),
                    )
                )
        return faults

    @classmethod
    def _told(cls, key: str, messages: Any, raw: Mapping[str, Any], unit: Unit) -> Fault:
        """One fault from marshmallow's messages for a key."""
        field = cls.wire_fields().get(key)
        if field is None:
            name = key if key.isidentifier() and len(key) <= _LONGEST_NAME else shown(key)
            near = near_keys(key[:_LONGEST_NAME], cls.wire_fields())
            hint = f" (did you mean {' or '.join(near)}?)" if near else ""
            return Fault(
                parameter=key,
                code="unknown",
                detail=f"{name} is not a key of this operation{hint}",
                value=raw.get(key),
                accepted=f"keys are {', '.join(cls.wire_fields())}",
            )
        if key not in raw:
            return Fault(
                parameter=key,
                code="missing",
                detail=f"{key} is missing",
                accepted=field.accepted(unit),
            )
        first = messages[0]
        if isinstance(first, dict):
            return _fault(key, first["fault"], raw[key])
        return Fault(
            parameter=key,
            code="null",
            detail=f"{key} is null; leave the key out or give a value",
            accepted=field.accepted(unit),
        )


class _Known(NamedTuple):
    """What the loader looks up.

    ``takers``: for each key how to check its value, the name inside the calculations, whether a
    value may hold a length, and the field itself.
    """

    schema: type[RequestSchema]
    fields: dict[str, WireField]
    takers: dict[str, tuple[Callable[[Any, Unit], Any], str, bool, WireField]]
    required: tuple[str, ...]


class ResponseSchema(Schema):
    """The members of one operation's ``result``; more may be added within a version."""

    class Meta:
        """A caller must expect members that it does not know."""

        unknown = EXCLUDE


def _follows_unit(field: WireField) -> bool:
    """Whether any value of the field may need the unit."""
    return field.kind.follows_unit or isinstance(field, (Items, Record))


def needs_unit(field: WireField, value: Any) -> bool:
    """Whether a value holds a length, feed or surface speed, at any depth."""
    if field.kind.follows_unit:
        return True
    if isinstance(field, Items):
        return isinstance(value, list) and any(needs_unit(field.item, item) for item in value)
    if isinstance(field, Record):
        return isinstance(value, dict) and any(
            needs_unit(field.members[key], member)
            for key, member in value.items()
            if key in field.members
        )
    return False


def _in_order(faults: Iterable[Fault], raw: Mapping[str, Any]) -> tuple[Fault, ...]:
    """Faults in the order of the request's keys; what is missing follows."""
    places = {key: place for place, key in enumerate(raw)}
    return tuple(
        sorted(faults, key=lambda fault: places.get(fault.parameter.split(".")[0], len(places)))
    )


def _fault(key: str, fault: FieldFaultError, value: Any) -> Fault:
    place = f"{key}{fault.path}"
    return Fault(
        parameter=place,
        code=fault.code,
        detail=f"{place}: {fault.detail}",
        value=fault.culprit if fault.path else value,
        accepted=fault.accepted,
    )
