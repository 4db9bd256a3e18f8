"""Inside the calculations every real number's name ends in its unit."""

from __future__ import annotations

import importlib
import pkgutil
from dataclasses import fields, is_dataclass
from typing import Any, get_type_hints

import threadwright_service.calc as calc

UNITS = (
    "_mm", "_in", "_um", "_mm2", "_mm3", "_deg", "_arcmin", "_s", "_min", "_ms",
    "_mm_per_min", "_m_per_min", "_m_per_s2", "_mm_per_s", "_mm_per_s2", "_rev_per_min",
    "_per_min", "_per_s", "_per_k", "_n", "_nm", "_n_per_mm", "_um_per_n", "_n_per_um",
    "_kw", "_mpa", "_gpa", "_hb", "_hrc", "_c", "_k", "_g", "_ratio", "_percent", "_ksi", "_rad",
    "_um_per_deg", "_mm_per_part", "_mm4",
)  # fmt: skip
# A toleranced thread and its parts state their unit once; a hardness states its scale; money and
# shares have the lot's currency and none.
EXEMPT_RECORDS = {
    "Span", "Diameters", "DiameterLimits", "ThreadLimits", "CallOut", "Fields", "StandardSize",
}  # fmt: skip
EXEMPT_ENDINGS = (
    "_share", "cost", "_rate", "cost_each", "_per_tooth", "value", "percentage",
    "percentage_3h4", "percentage_5h8", "_hours",
)  # fmt: skip
EXEMPT_NAMES = {"outward", "turns_allowed"}  # a sign, and turns
EXEMPT_MODULES = (
    "hardness",
    "threads.",
    "drift",
    "pre_control",
    "trail",
    "tables",
    "spread",
    "break_even",
)


def records() -> list[tuple[str, type]]:
    found = []
    for info in pkgutil.walk_packages(calc.__path__, f"{calc.__name__}."):
        module = importlib.import_module(info.name)
        found += [
            (info.name, value)
            for value in vars(module).values()
            if is_dataclass(value) and isinstance(value, type) and value.__module__ == info.name
        ]
    return found


def is_real(hint: Any) -> bool:
    return hint is float or (float in getattr(hint, "__args__", ()) and str not in hint.__args__)


def test_fields_of_records() -> None:
    wanting = []
    for module, record in records():
        short = module.removeprefix("threadwright_service.calc.")
        if record.__name__ in EXEMPT_RECORDS or any(part in short for part in EXEMPT_MODULES):
            continue
        hints = get_type_hints(record)
        for field in fields(record):
            name = field.name
            if name in EXEMPT_NAMES or record.__name__.startswith("_"):
                continue
            if is_real(hints[name]) and not name.endswith((*UNITS, *EXEMPT_ENDINGS)):
                wanting.append(f"{short}.{record.__name__}.{name}")
    assert wanting == []
