"""Every equation and docstring of these families names a publication of the source lists."""

from __future__ import annotations

import re
import tomllib
from importlib import import_module
from importlib.resources import files
from pathlib import Path
from types import ModuleType

import pytest

from threadwright_service.calc.trail import Formula

PACKAGE = "threadwright_service.calc.threads"
MODULES = [
    import_module(f"{PACKAGE}.{name}")
    for name in (
        "acme.acme_call_out",
        "acme.acme_limits",
        "acme.asme_b1_5",
        "acme.asme_b1_8",
        "buttress.asme_b1_9",
        "buttress.asme_b1_9_call_out",
        "unified.asme_b1_15",
        "pipe.asme_b1_20_1",
        "pipe.asme_b1_20_1_call_out",
        "whitworth.bs_84",
        "whitworth.bs_84_call_out",
        "buttress.din_513",
        "pipe.iso_228_1",
        "trapezoidal.iso_2902",
        "trapezoidal.iso_2903",
        "trapezoidal.iso_2904",
        "metric.iso_5855",
        "pipe.iso_7_1",
        "r40",
        "pipe.whitworth_pipe",
    )
]


def known() -> set[str]:
    ids = {"derivation", "common practice"}
    for name in ("sources.toml", "sources_other.toml"):
        text = files(PACKAGE).joinpath(name).read_text(encoding="utf-8")
        ids |= {entry["id"] for entry in tomllib.loads(text)["source"]}
    return ids


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__.rpartition(".")[2])
def test_sources_are_listed(module: ModuleType) -> None:
    ids = known()
    for value in vars(module).values():
        if isinstance(value, Formula):
            assert value.source.partition(",")[0] in ids, value.source
    text = Path(str(module.__file__)).read_text("utf-8")
    for line in re.findall(r"Source: ([^\n]*)", text):
        assert re.split(r"[ ,.;:]", line)[0] in ids, line


def test_other_sources_are_complete() -> None:
    text = files(PACKAGE).joinpath("sources_other.toml").read_text(encoding="utf-8")
    entries = tomllib.loads(text)["source"]
    assert len({entry["id"] for entry in entries}) == len(entries)
    for entry in entries:
        assert set(entry) == {"id", "title", "edition", "publisher"}
        assert all(entry.values())
