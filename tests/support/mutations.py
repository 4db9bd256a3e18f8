"""Requests near the examples: keys changed, added and left out, values from anywhere in bounds."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from typing import Any, Final

from threadwright_service.api.operation import Operation
from threadwright_service.schemas.compound_fields import Items, Record
from threadwright_service.schemas.fields import Choice, Count, Flag, Number, Size, Text
from threadwright_service.schemas.wire_field import WireField

CALL_OUTS: Final = (
    "M24x1.5-6g",
    "M24x1.5-6g LH",
    "M6-6H",
    "M3-4h",
    "M64x6-8g",
    "MJ10x1.25-4h6h",
    "3/4-16 UNF-2A",
    "3/4-16 UNF-2A-LH",
    "#0-80 UNF-3A",
    "1/4-20 UNC-2B",
    "4-12 UN-2A",
    "1/4-28 UNJF-3A",
    "Tr 32x6-7e",
    "Tr 40x14(P7)-7e",
    "1 1/2-4 ACME-2G",
    "1/2-10 STUB ACME-2G",
    "G 1/2 A",
    "G 1/2",
    "R 3/4",
    "Rp 1/2",
    "1/2-14 NPT",
    "W 1/2-12 medium",
    "1/2-12 BSW",
    "S 40x7",
)
MATERIALS: Final = (
    "17-4 PH",
    "42CrMo4",
    "D2",
    "low-carbon-steel",
    "austenitic-stainless",
    "grey-cast-iron",
    "aluminium-wrought",
    "titanium-alloy",
    "nickel-alloy",
    "C45",
    "1.4301",
    "nothing",
)


def mutated(operation: Operation, chance: random.Random) -> dict[str, Any]:
    """An example's request with a few keys changed."""
    request: dict[str, Any] = dict(chance.choice(operation.examples).request)
    fields = operation.request.wire_fields()
    for _ in range(chance.choice((1, 1, 2, 3, 5, 9))):
        key = chance.choice(list(request) if request and chance.random() < 0.6 else list(fields))
        if chance.random() < 0.12:
            request.pop(key, None)
            continue
        request[key] = value_for(key, fields[key], request.get(key), chance)
    if chance.random() < 0.5 and "unit" in fields:
        request.setdefault("unit", chance.choice(("mm", "in")))
    return request


def value_for(key: str, field: WireField, old: Any, chance: random.Random) -> Any:
    """A value that a field may take, near the old one or anywhere within bounds."""
    if key == "designation":
        return chance.choice(CALL_OUTS)
    if key == "material":
        return chance.choice(MATERIALS)
    if isinstance(field, Number):
        return _number(field, old, chance)
    if isinstance(field, Count):
        most = min(field.most, field.least + 60) if chance.random() < 0.8 else field.most
        return chance.randint(field.least, max(most, field.least))
    if isinstance(field, Choice):
        return chance.choice((*field.choices, *field.also))
    if isinstance(field, Flag):
        return chance.random() < 0.5
    if isinstance(field, Items):
        count = chance.choice((1, 1, 2, 3, 6, 20))
        inner = old if isinstance(old, list) and old else [None]
        return [
            value_for("", field.item, chance.choice(inner), chance) for _ in range(min(count, 1000))
        ]
    if isinstance(field, Record):
        given = old if isinstance(old, Mapping) else {}
        return {
            name: value_for(name, member, given.get(name), chance)
            for name, member in field.members.items()
            if member.required or name in given or chance.random() < 0.4
        }
    if isinstance(field, Size):
        return chance.choice((1.0, 24, 0.75, "3/4", "#10", "1 1/2", 6))
    if isinstance(field, Text):
        words = (*field.examples, "x", "6H", "2A", "UNC", "M")
        return chance.choice(words)[: field.longest]
    raise TypeError(f"no value is known for {key}, a {type(field).__name__}")


def _number(field: Number, old: Any, chance: random.Random) -> float:
    lowest = field.above if field.above is not None else field.least
    highest = field.below if field.below is not None else field.most
    low = -1e6 if lowest is None else lowest
    high = 1e6 if highest is None else highest
    if type(old) in (int, float) and chance.random() < 0.7:
        factor = chance.choice((0.5, 0.8, 0.9, 0.99, 1.01, 1.1, 1.3, 2.0, 5.0, 0.1, 10.0))
        return float(old) * factor
    kind = chance.random()
    if kind < 0.08:
        return low
    if kind < 0.16:
        return high
    if low >= 0 and high > 0:
        floor = max(low, high * 1e-9, 1e-9)
        return math.exp(chance.uniform(math.log(floor), math.log(high)))
    return chance.uniform(low, high)
