"""The unit of every number in the contract, where its kind of quantity does not say it already."""

from __future__ import annotations

from typing import Any, Final

OF_THE_CALL_OUT: Final = ("pitch", "nominal_diameter")
"""Keys of requests that are in the request's unit, or without one in the standard's own."""

_BY_NAME: Final = {
    "threads_per_inch": "1/in",
    "machine_hours": "h",
}
_BY_END: Final = (
    ("_um_per_n", "µm/N"),
    ("_um_per_deg", "µm/deg"),
    ("_um", "µm"),
    ("_per_k", "1/K"),
    ("_per_s", "1/s"),
    ("_g", "g"),
    ("_c", "°C"),
    ("_hb", "HB"),
    ("_ksi", "ksi"),
    ("percentage", "%"),
    ("percentage_3h4", "%"),
    ("percentage_5h8", "%"),
    ("_cost", "currency"),
    ("cost", "currency"),
    ("cost_each", "currency"),
    ("_rate", "currency/h"),
)
"""Ends of keys that carry their unit, beside those of the kinds of quantity."""


def with_units(schema: dict[str, Any], key: str = "") -> dict[str, Any]:
    """The schema with ``x-unit`` at every number; ``1`` where it has none."""
    kinds = schema.get("type", ())
    kinds = {kinds} if isinstance(kinds, str) else set(kinds)
    if kinds & {"number", "integer"} or "anyOf" in schema:
        holds_number = bool(kinds & {"number", "integer"}) or any(
            each.get("type") in ("number", "integer") for each in schema.get("anyOf", ())
        )
        if holds_number and "x-unit" not in schema:
            schema["x-unit"] = unit_of(key)
    for name, member in schema.get("properties", {}).items():
        with_units(member, name)
    for place in ("items", "additionalProperties"):
        if isinstance(schema.get(place), dict):
            with_units(schema[place], key)
    for member in schema.get("anyOf", ()):
        if member.get("type") in ("object", "array"):
            with_units(member, key)
    return schema


def unit_of(key: str) -> Any:
    """The unit that a key says by itself.

    Examples
    --------
    >>> unit_of("holder_compliance_um_per_n"), unit_of("cutter_teeth")
    ('µm/N', '1')
    """
    if key in _BY_NAME:
        return _BY_NAME[key]
    return next((unit for end, unit in _BY_END if key.endswith(end)), "1")
