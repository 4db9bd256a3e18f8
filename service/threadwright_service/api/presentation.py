"""From the calculation's records to the wire: names, units and the one rounding at the edge.

A record's field name decides everything: ``feed_centre_mm_per_min`` becomes ``feed_centre``, in
mm/min or in/min, rounded to that kind's places. A plan is made once for each record type and unit.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from math import floor, isfinite, log10
from typing import Any, Final

from threadwright_service.calc import sources
from threadwright_service.calc.rounding import nearest
from threadwright_service.calc.trail import Assumption, Step
from threadwright_service.calc.units import MM_PER_IN
from threadwright_service.schemas.quantities import (
    FEED_RATE,
    KINDS,
    LENGTH,
    PLAIN,
    SURFACE_SPEED,
    Kind,
    Unit,
    kind_of,
    wire_name,
)

_LARGEST = 2**53  # the largest count that every JSON reader takes exactly
_DIGITS = 4
_LONG = 10**_DIGITS
_SPOKEN = {kind.metric: kind for kind in (LENGTH, FEED_RATE, SURFACE_SPEED)}
_NUMBER = r"(-?\d+(?:\.\d+)?(?:e-?\d+)?)"
_METRIC = re.compile(
    rf"(?<![\w.])(?:{_NUMBER} to )?(?<![\w.]){_NUMBER} (mm/min|m/min|mm)(?![\w²³/·])"
)


def present(value: Any, unit: Unit, kind: Kind = PLAIN) -> Any:
    """Turn a record of the calculations into what goes on the wire.

    Parameters
    ----------
    value : object
        A dataclass, mapping, sequence, number, text, flag or ``None``.
    unit : "mm" or "in"
        Unit of the answer.
    kind : Kind
        Kind of a bare number; members whose own name ends in no unit inherit it.
    """
    kind_of_value = type(value)
    if kind_of_value is float:
        return rounded(value, kind, unit)
    if value is None or kind_of_value is str or kind_of_value is bool:
        return value
    if kind_of_value is int:
        if not -_LARGEST <= value <= _LARGEST:
            raise OverflowError("a count beyond 2 to the power 53")
        return value
    if is_dataclass(value):
        return _record(value, unit, kind)
    if isinstance(value, Mapping):
        return {
            wire_name(name): present(member, unit, _own_kind(name) or kind)
            for name, member in value.items()
        }
    if isinstance(value, (list, tuple)):
        return [present(item, unit, kind) for item in value]
    return rounded(float(value), kind, unit)


def _record(value: Any, unit: Unit, kind: Kind) -> dict[str, Any]:
    told: dict[str, Any] = {}
    for name, key, own in _plan(value.__class__):
        member = getattr(value, name)
        kind_of_member = type(member)
        if kind_of_member is float:
            told[key] = rounded(member, own or kind, unit)
        elif member is None or kind_of_member is str or kind_of_member is bool:
            told[key] = member
        else:
            told[key] = present(member, unit, own or kind)
    if unit == "in":
        for key in _sentences(value.__class__):
            told[key] = in_unit(told[key], unit)
    return told


def rounded(value: float, kind: Kind, unit: Unit) -> float:
    """A number of the calculations in the answer's unit, rounded once."""
    if unit == "in":
        value = value / kind.factor
    if not isfinite(value):
        raise OverflowError("a result that is no finite number")
    return nearest(value, kind.decimals(unit))


def presented_assumption(assumption: Assumption, unit: Unit) -> dict[str, Any]:
    """An assumption in the answer's unit."""
    value, name = assumption.value, assumption.unit
    if name or type(value) is float:
        value, name = _in_unit(value, name, unit)
    told: dict[str, Any] = {"parameter": assumption.parameter, "value": value}
    if name:
        told["unit"] = name
    told["reason"] = in_unit(assumption.reason, unit)
    return told


def presented_step(step: Step, unit: Unit) -> dict[str, Any]:
    """A step of the working. It stays in the unit in which it was computed, and says which."""
    told: dict[str, Any] = {
        "quantity": step.quantity,
        "symbol": step.symbol,
        "formula": step.formula,
        "inputs": {name: _significant(value) for name, value in step.inputs.items()},
        "substituted": step.substituted,
        "value": _significant(step.value),
        "unit": step.unit,
        "source": sources.shown(step.source),
    }
    if step.rounding:
        told["rounding"] = step.rounding
    if step.unit == "mm" and unit == "in" and isinstance(step.value, float):
        told["value_in"] = _significant(step.value / MM_PER_IN)
    return told


def in_unit(text: str, unit: Unit) -> str:
    """A sentence of the calculations, which speaks in metric units, in the answer's unit.

    Examples
    --------
    >>> in_unit("the shoulder is 2.54 mm away", "in")
    'the shoulder is 0.1 in away'
    >>> in_unit("762 mm/min is reached", "in")
    '30 in/min is reached'
    >>> in_unit("machines move at 12.7 to 25.4 mm/min", "in")
    'machines move at 0.5 to 1 in/min'
    """
    if unit == "mm" or (" mm" not in text and " m/min" not in text):
        return text
    return _METRIC.sub(_spoken_in_inches, text)


def _spoken_in_inches(found: re.Match[str]) -> str:
    least, value, unit = found.groups()
    kind = _SPOKEN[unit]
    ends = [_in_words(each, kind) for each in (least, value) if each is not None]
    return f"{' to '.join(ends)} {kind.inch}"


def _in_words(metric: str, kind: Kind) -> str:
    """A number of a sentence in inches: four digits, and of a length no less than it was told to.

    An exponent is not read in a sentence, and four digits of 1.3212 in would widen a limit.

    Examples
    --------
    >>> _in_words("2.54", LENGTH), _in_words("33.5585", LENGTH), _in_words("0.0025", LENGTH)
    ('0.1', '1.3212', '0.00009843')
    >>> _in_words("762", FEED_RATE), _in_words("1000000", FEED_RATE)
    ('30', '39370')
    """
    number = float(metric) / kind.factor
    if number == 0 or abs(number) >= _LONG:
        return f"{number:.0f}"
    places = _DIGITS - 1 - floor(log10(abs(number)))
    if kind is LENGTH and "e" not in metric:
        places = max(places, len(metric.partition(".")[2]) + 1)
    text = f"{number:.{max(places, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def sentence(text: str) -> str:
    """A caution as a sentence: with a capital, unless it begins with a key or call-out, and a stop.

    Examples
    --------
    >>> sentence("the edge rubs"), sentence("tool_life_min is short."), sentence("M24 asks for it")
    ('The edge rubs.', 'tool_life_min is short.', 'M24 asks for it.')
    """
    first = text.partition(" ")[0].rstrip(",:;").replace("-", "")
    capital = text[:1].upper() + text[1:] if first.isalpha() and first.islower() else text
    return capital if capital.endswith((".", "!", "?")) else f"{capital}."


def _in_unit(value: Any, name: str, unit: Unit) -> tuple[Any, str]:
    for kind in KINDS:
        if kind.metric == name and isinstance(value, (int, float)) and not isinstance(value, bool):
            return (rounded(float(value), kind, unit) if kind.follows_unit else value), kind.unit(
                unit
            )
    if isinstance(value, float) and not value.is_integer():
        value = float(f"{value:.6g}")  # a third is 0.333333
    return value, name


def _significant(value: float | int | str) -> float | int | str:
    return float(f"{value:.10g}") if isinstance(value, float) else value


def _own_kind(name: str) -> Kind | None:
    kind = kind_of(name)
    return None if kind is PLAIN else kind


_SPOKEN_MEMBERS: Final = ("detail", "input", "range")
"""Members of records that are sentences with lengths in them."""


@cache
def _sentences(record: type) -> tuple[str, ...]:
    """The members of a record that are sentences, under their wire names."""
    return tuple(
        field.name
        for field in fields(record)
        if field.name in _SPOKEN_MEMBERS and field.type == "str"
    )


@cache
def _plan(record: type) -> tuple[tuple[str, str, Kind | None], ...]:
    return tuple(
        (field.name, wire_name(field.name), _own_kind(field.name)) for field in fields(record)
    )
