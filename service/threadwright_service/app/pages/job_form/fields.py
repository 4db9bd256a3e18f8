"""One key as a field of the form: label, input, unit, meaning, and what is wrong with its value."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from threadwright_service.app.openapi.keys import described, value_schema
from threadwright_service.app.pages.markup import text
from threadwright_service.schemas.compound_fields import Items, Record
from threadwright_service.schemas.faults import Fault
from threadwright_service.schemas.fields import Choice, Count, Flag, Number
from threadwright_service.schemas.wire_field import WireField

_FLAGS: Final = {"true": "yes", "false": "no"}
_UNIT_ENDS: Final = ("_g", "_um_per_n", "_per_s")
"""Ends of keys that the unit beside the field says better, where no kind of quantity has them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """A key with what stands in its field and what is wrong with it."""

    key: str
    field: WireField
    value: str = ""
    faults: Sequence[Fault] = ()


def field_markup(filled: Filled) -> str:
    """The whole of one field."""
    key, field = filled.key, filled.field
    needed = ' <span class="needed">needed</span>' if field.required else ""
    return (
        f'<div class="field{" bad" if filled.faults else ""}">'
        f'<label for="{key}">{text(label_of(key, field))}{needed}</label>'
        f'<span class="entry">{_control(filled)}{_unit(key, field)}</span>'
        f"{_wrong(filled)}"
        f'<p class="hint" id="{key}-hint">{text(_hint(field))} <code>{key}</code></p></div>'
    )


def unit_markup(filled: Filled) -> str:
    """The unit of the request, as buttons of which one is pressed: all other units follow it."""
    key, field = filled.key, filled.field
    words = _words(field, filled.value)
    chosen = _chosen(field, filled.value)
    buttons = "".join(
        [
            f'<label class="pick"><input type="radio" name="{key}" value="{text(word)}" '
            f'id="{key}{f"-{place}" if place else ""}" required'
            f"{' checked' if word == chosen else ''}{_described(filled)}> {text(word)}</label>"
            for place, word in enumerate(words)
        ]
    )
    return (
        f'<div class="field{" bad" if filled.faults else ""}" role="radiogroup" '
        f'aria-labelledby="{key}-label"><span class="label" id="{key}-label">'
        f'{text(label_of(key, field))} <span class="needed">needed</span></span>'
        f'<span class="entry">{buttons}</span>{_wrong(filled)}'
        f'<p class="hint" id="{key}-hint">{text(_hint(field))} Numbers that are filled in stay '
        f"as they are when it is changed. <code>{key}</code></p></div>"
    )


def label_of(key: str, field: WireField) -> str:
    """The key in words, without the unit that stands beside the field.

    Examples
    --------
    >>> from threadwright_service.schemas.quantities import TIME_MINUTES
    >>> label_of("setup_time_min", Number("", kind=TIME_MINUTES))
    'Setup time'
    """
    ends = _UNIT_ENDS if field.kind.bare else (*_UNIT_ENDS, field.kind.suffix)
    end = next((end for end in ends if end.startswith("_") and key.endswith(end)), "")
    words = key.removesuffix(end).replace("_", " ")
    return words[:1].upper() + words[1:]


def told_of(fault: Fault) -> str:
    """What is wrong, where the key stands beside it."""
    return fault.detail.removeprefix(f"{fault.parameter}: ")


def _control(filled: Filled) -> str:
    key, field, value = filled.key, filled.field, filled.value
    common = f'id="{key}" name="{key}"{" required" if field.required else ""}{_described(filled)}'
    if isinstance(field, Choice | Flag):
        chosen = _chosen(field, value)
        options = "".join(
            [
                f'<option value="{text(word)}"{" selected" if word == chosen else ""}>'
                f"{text(told)}</option>"
                for word, told in {"": "not given", **_words(field, value)}.items()
            ]
        )
        return f"<select {common}>{options}</select>"
    kind = "numeric" if isinstance(field, Count) else "decimal"
    mode = f' inputmode="{kind}"' if isinstance(field, Number | Count) else ' class="words"'
    known = f' list="{key}-known"' if key == "material" else ""
    return (
        f'<input type="text" {common} value="{text(value)}"{mode}{known} autocomplete="off" '
        'spellcheck="false">'
    )


def _words(field: WireField, value: str) -> Mapping[str, str]:
    """What may be chosen, and as it is shown; a wrong word stays, so that it can be seen."""
    known = dict(_FLAGS) if isinstance(field, Flag) else {}
    if isinstance(field, Choice):
        known = {word: word for word in field.choices}
    chosen = _chosen(field, value)
    return {**known, chosen: known.get(chosen, chosen)} if chosen else known


def _chosen(field: WireField, value: str) -> str:
    """The word that another spelling stands for."""
    return field.also.get(value, value) if isinstance(field, Choice) else value


def _described(filled: Filled) -> str:
    """What a screen reader says of a field besides its label."""
    key = filled.key
    if not filled.faults:
        return f' aria-describedby="{key}-hint"'
    return f' aria-invalid="true" aria-describedby="{key}-wrong {key}-hint"'


def _unit(key: str, field: WireField) -> str:
    schema = value_schema(key, field)
    unit: Any = schema.get("x-unit") or schema.get("items", {}).get("x-unit")
    if isinstance(unit, dict):
        return (
            f'<span class="unit"><span class="of-mm">{text(unit["mm"])}</span>'
            f'<span class="or"> or </span><span class="of-in">{text(unit["in"])}</span></span>'
        )
    return f'<span class="unit">{text(unit)}</span>' if unit and unit != "1" else ""


def _wrong(filled: Filled) -> str:
    if not filled.faults:
        return ""
    told = " ".join([f"{text(told_of(each))}.{_accepted(each)}" for each in filled.faults])
    return f'<p class="wrong" id="{filled.key}-wrong"><strong>Wrong:</strong> {told}</p>'


def _accepted(fault: Fault) -> str:
    """What would be accepted, unless the sentence has said it."""
    if not fault.accepted or fault.accepted in fault.detail:
        return ""
    return f" Accepted: {text(fault.accepted)}."


def _hint(field: WireField) -> str:
    told = described(field)
    if isinstance(field, Record):
        return f"{told} Written as a JSON object with the keys {', '.join(field.members)}."
    if isinstance(field, Items):
        if isinstance(field.item, Record):
            keys = ", ".join(field.item.members)
            return f"{told} Written as a JSON list of objects with the keys {keys}."
        return f"{told} Several values are separated by semicolons."
    return told
