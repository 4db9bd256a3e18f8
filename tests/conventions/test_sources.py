"""Every table says where it comes from; every formula names its source."""

from __future__ import annotations

import importlib
import pkgutil
import tomllib
from pathlib import Path

import pytest

import threadwright_service.calc as calc
from threadwright_service.calc.sources import OWN_WORDS, titles
from threadwright_service.calc.trail import Formula

CALC = Path(calc.__path__[0])
TABLES = sorted(path for path in CALC.rglob("*.toml") if path.parent.name == "tables")


@pytest.mark.parametrize("path", TABLES, ids=lambda path: str(path.relative_to(CALC)))
def test_a_table_names_its_source(path: Path) -> None:
    document = tomllib.loads(path.read_text(encoding="utf-8"))
    source = document["source"]
    for key in ("standard", "locator", "basis"):
        assert source[key], f"{path.name} lacks {key}"


def test_a_formula_names_its_source() -> None:
    """A publication of the list, or a word that says there is none."""
    found = 0
    unknown = set()
    for info in pkgutil.walk_packages(calc.__path__, f"{calc.__name__}."):
        for name, value in vars(importlib.import_module(info.name)).items():
            if isinstance(value, Formula):
                found += 1
                names = any(known in value.source for known in titles())
                if not names and not value.source.startswith(OWN_WORDS):
                    unknown.add(f"{info.name}.{name}: {value.source}")
                assert value.quantity, f"{info.name}.{name}"
    assert found > 50
    assert unknown == set()
