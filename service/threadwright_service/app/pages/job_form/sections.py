"""Where each key stands in the form: first what most jobs say, then everything else by its kind.

What is said first is chosen here; all other keys follow by the schema that declares them, so that
a new key has its place without being named again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from threadwright_service.schemas.base import RequestSchema
from threadwright_service.schemas.wire_field import WireField


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A part of the form: its heading and its keys in order."""

    title: str
    keys: tuple[str, ...]


FIRST: Final = (
    Section(title="Job", keys=("job", "unit")),
    Section(
        title="Thread",
        keys=(
            "designation",
            "thread_length",
            "shoulder_distance",
            "blank_diameter",
            "hole_diameter",
        ),
    ),
    Section(title="Material", keys=("material", "hardness", "hardness_scale")),
    Section(
        title="Cutter",
        keys=(
            "cutter_diameter",
            "cutter_teeth",
            "cutter_nose_flat",
            "cutter_nose_radius",
            "cutter_neck_diameter",
            "cutter_neck_length",
            "cutter_shank_diameter",
            "cutter_stick_out",
        ),
    ),
    Section(title="Machine", keys=("spindle_speed_max", "acceleration_g", "spindle_power_kw")),
    Section(
        title="Lot",
        keys=(
            "quantity",
            "quantity_right",
            "quantity_left",
            "setup_time_min",
            "load_time_s",
            "machine_rate",
            "tool_cost",
            "tool_life_min",
            "currency",
        ),
    ),
)
"""What is asked for first, in the order of a job."""

_BY_PREFIX: Final = {
    "alternative_": "Another way to compare with",
    "what_if_": "Another way to compare with",
    "spread_": "Spread of times and cost",
    "probing_": "Besides the thread",
}
_BY_SCHEMA: Final = {
    "ThreadRequestSchema": "Thread, as fields",
    "TreatmentKeys": "Coating and heat treatment",
    "CutterKeys": "Cutter",
    "BlankKeys": "Passes and path",
    "PlanKeys": "Passes and path",
    "DriveKeys": "Machine",
    "MachineKeys": "Machine",
    "MotionKeys": "Machine",
    "PartKeys": "Besides the thread",
    "LotKeys": "Lot",
}
_OTHER: Final = "Measuring and the sheet"


def further(schema: type[RequestSchema]) -> tuple[Section, ...]:
    """Every key that is not asked for first, by its kind, in the schema's own order."""
    said = {key for section in FIRST for key in section.keys}
    declared = _declared_in(schema)
    found: dict[str, list[str]] = {}
    for title in (*_BY_SCHEMA.values(), *_BY_PREFIX.values(), _OTHER):
        found.setdefault(title, [])
    for key in schema.wire_fields():
        if key not in said:
            found[_title(key, declared[key])].append(key)
    return tuple(Section(title=title, keys=tuple(keys)) for title, keys in found.items() if keys)


def _title(key: str, declared_in: str) -> str:
    by_prefix = next((title for start, title in _BY_PREFIX.items() if key.startswith(start)), None)
    return by_prefix or _BY_SCHEMA.get(declared_in, _OTHER)


def _declared_in(schema: type[RequestSchema]) -> Mapping[str, str]:
    """The name of the schema or mix-in that declares each key."""
    found: dict[str, str] = {}
    for each in reversed(schema.__mro__):
        own = {**vars(each), **vars(each).get("_declared_fields", {})}
        for key, field in own.items():
            if isinstance(field, WireField):
                found.setdefault(key, each.__name__)
    return found
