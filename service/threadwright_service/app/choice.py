"""The form that a request asks for: ``format``, suffix, ``Accept``, ``field`` or ``rows``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from werkzeug.datastructures import MIMEAccept

from threadwright_service.app import flat
from threadwright_service.app.representations import (
    BY_FORMAT,
    REPRESENTATIONS,
    Representation,
    rows,
)
from threadwright_service.app.representations.options import PLAIN, Options
from threadwright_service.schemas.faults import Fault, InvalidRequestError
from threadwright_service.schemas.query_text import shown

CONTROL_KEYS: Final = frozenset(("format", "field", "rows", "on_error", "picture", "decimal", "v"))
"""``v`` means nothing: a spreadsheet keeps answers by address and changes it to ask again."""
LONGEST: Final[Mapping[str, int]] = {"field": 1000, "rows": 200, "v": 40}
"""Most characters of each, as the contract says."""
_MOST_FIELDS: Final = 100
_BY_MEDIA_TYPE: Final = {
    media_type: each for each in REPRESENTATIONS for media_type in each.media_types
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """The form that was chosen.

    ``fields`` are the dotted paths of ``field=``, if any; ``rows`` is the path of the list that is
    wanted as a table; ``by_accept`` says that the ``Accept`` header decided, so that caches must
    look at it.
    """

    representation: Representation
    fields: tuple[str, ...] = ()
    rows: str | None = None
    errors_as_text: bool = False
    by_accept: bool = False
    options: Options = PLAIN


def wants_text_errors(pairs: Iterable[tuple[str, str]]) -> bool:
    """Whether ``on_error=text`` stands in a query, even in a faulty one."""
    return ("on_error", "text") in pairs


def choose(
    pairs: Iterable[tuple[str, str]], suffixed: Representation | None, accept: MIMEAccept
) -> Choice:
    """Choose the form: ``format`` beats the suffix, which beats ``Accept``.

    ``field``, ``rows`` and ``picture`` stand for text, CSV and SVG where nothing else is named.

    Raises
    ------
    InvalidRequestError
        If a key of these is unknown, repeated or contradicts another.
    """
    given: dict[str, str] = {}
    faults: list[Fault] = []
    for key, value in pairs:
        if key in given:
            faults.append(_fault(key, "repeated", value, "each key once"))
        given[key] = value
        faults += _own_fault(key, value)
    if faults:
        raise InvalidRequestError(tuple(faults))
    named = BY_FORMAT[given["format"]] if "format" in given else suffixed
    implied = next((BY_FORMAT[form] for key, form in _IMPLIED.items() if key in given), None)
    form = named or implied or by_accept(accept)
    faults = [
        _fault(key, "wrong-form", given[key], f"together with format={' or format='.join(forms)}")
        for key, forms in _GOES_WITH.items()
        if key in given and form.name not in forms
    ]
    if "field" in given and "rows" in given:
        faults.append(_fault("rows", "wrong-form", given["rows"], "rows or field, not both"))
    if faults:
        raise InvalidRequestError(tuple(faults))
    return Choice(
        representation=form,
        fields=tuple(part.strip() for part in given["field"].split(","))
        if "field" in given
        else (),
        rows=given.get("rows"),
        errors_as_text=given.get("on_error") == "text",
        by_accept=named is None and implied is None,
        options=Options(
            picture=given.get("picture"), decimal_comma=given.get("decimal") == "comma"
        ),
    )


_IMPLIED: Final = {"rows": "csv", "field": "text", "picture": "svg"}
_GOES_WITH: Final = {
    "field": ("text", "csv"),
    "rows": ("csv",),
    "picture": ("svg",),
    "decimal": ("csv",),
}
_CHOICES: Final[Mapping[str, tuple[str, ...]]] = {
    "format": tuple(BY_FORMAT),
    "on_error": ("status", "text"),
    "decimal": ("point", "comma"),
}


def _pictures() -> tuple[str, ...]:
    """The names of all pictures, whose drawing is imported when one is first asked for."""
    from threadwright_service.app.pictures import NAMES

    return NAMES


def _own_fault(key: str, value: str) -> list[Fault]:
    """What is wrong with one of these keys by itself."""
    words = _pictures() if key == "picture" else _CHOICES.get(key)
    if words is not None and value not in words:
        return [_fault(key, "not-a-choice", value, f"one of {', '.join(words)}")]
    if key in LONGEST and len(value) > LONGEST[key]:
        return [_fault(key, "too-long", value, f"up to {LONGEST[key]} characters")]
    if key == "field":
        paths = value.split(",")
        if len(paths) > _MOST_FIELDS:
            return [_fault(key, "too-many", value, f"up to {_MOST_FIELDS} dotted paths")]
        if not all(path.strip() for path in paths):
            return [_fault(key, "empty", value, "dotted paths, separated by commas")]
    if key == "rows" and not value:
        return [_fault(key, "empty", value, "the dotted path of a list")]
    return []


def wants_page(
    pairs: Iterable[tuple[str, str]], suffixed: Representation | None, accept: MIMEAccept
) -> bool:
    """Whether a page was asked for, even in a faulty request."""
    form = dict(pairs).get("format")
    if form is not None:
        return form == "html"
    return (suffixed or by_accept(accept)).name == "html"


def by_accept(accept: MIMEAccept) -> Representation:
    """What an ``Accept`` header prefers, whatever its parameters; JSON if it names none of ours."""
    for media_range, quality in accept or ():
        media_type = media_range.partition(";")[0].strip().lower()
        if quality > 0 and media_type in _BY_MEDIA_TYPE:
            return _BY_MEDIA_TYPE[media_type]
    return BY_FORMAT["json"]


def selected(answer: Mapping[str, Any], paths: tuple[str, ...], options: Options = PLAIN) -> str:
    """The values at dotted paths: one bare value, or several on one CSV line.

    Paths lead into ``result``; those that begin with another member of the answer lead there. A
    list of single values is one text, its values separated by ``; ``.

    Raises
    ------
    InvalidRequestError
        If there is nothing, or more than a single value, at a path.
    """
    values = []
    faults = []
    for path in paths:
        try:
            value = _at(answer, path)
        except LookupError:
            known = [name for name, _ in flat.leaves(answer["result"])]
            faults.append(_fault("field", "unknown", path, f"one of {', '.join(known[:200])}"))
            continue
        if isinstance(value, (Mapping, list, tuple)) and not _is_list_of_values(value):
            below = [f"{path}.{name}" for name, _ in flat.leaves(value)]
            faults.append(_fault("field", "not-a-value", path, f"one of {', '.join(below[:200])}"))
            continue
        values.append(value)
    if faults:
        raise InvalidRequestError(tuple(faults))
    # An empty text or list is told as none, because some sheets read an empty answer as 0.
    values = [flat.plain(None) if value in (None, "", [], ()) else value for value in values]
    if len(values) > 1:
        return rows.line(values, options)
    return _told(values[0], options)


def _is_list_of_values(value: Any) -> bool:
    return isinstance(value, (list, tuple)) and not any(
        isinstance(each, (Mapping, list, tuple)) for each in value
    )


def _told(value: Any, options: Options) -> str:
    if isinstance(value, (list, tuple)):
        return "; ".join(_told(each, options) for each in value)
    bare = flat.plain(value)
    number = type(value) is float
    return bare.replace(".", ",") if number and options.decimal_comma else bare


def selected_rows(answer: Mapping[str, Any], path: str, options: Options = PLAIN) -> bytes:
    """The list at a dotted path as a table with a header; its members are records.

    Raises
    ------
    InvalidRequestError
        If there is no list of records at the path.
    """
    try:
        value = _at(answer, path)
    except LookupError:
        value = None
    if not isinstance(value, (list, tuple)) or not all(isinstance(row, Mapping) for row in value):
        accepted = ", ".join((*_lists_of_records(answer["result"]), "assumed", "cautions"))
        raise InvalidRequestError((_fault("rows", "not-a-table", path, f"one of {accepted}"),))
    return rows.table_of(value, options)


def _lists_of_records(value: Any, path: str = "") -> list[str]:
    """Paths of the lists of records, outside other lists."""
    if not isinstance(value, Mapping):
        return []
    found = []
    for key, member in value.items():
        below = f"{path}.{key}" if path else str(key)
        if isinstance(member, (list, tuple)) and member and isinstance(member[0], Mapping):
            found.append(below)
        found += _lists_of_records(member, below)
    return found


def _at(answer: Mapping[str, Any], path: str) -> Any:
    try:
        return flat.found(answer["result"], path)
    except LookupError:
        return flat.found(answer, path)


def _fault(key: str, code: str, value: str, accepted: str) -> Fault:
    what = {
        "repeated": "is given more than once",
        "not-a-choice": f"{shown(value)} is not {accepted}",
        "wrong-form": "does not go with the form that is asked for",
        "too-long": f"has {len(value)} characters",
        "empty": "is empty, or a path between two commas is",
        "too-many": f"names {value.count(',') + 1} values",
        "unknown": f"{shown(value)} is not in this answer",
        "not-a-value": f"{shown(value)} is not a single value",
        "not-a-table": f"{shown(value)} is not a list of records in this answer",
    }[code]
    return Fault(parameter=key, code=code, detail=f"{key}: {what}", value=value, accepted=accepted)
