"""Every equation and docstring of these families names a publication of the source lists."""

from __future__ import annotations

import re
import tomllib
from importlib import import_module
from importlib.resources import files
from types import ModuleType

import pytest

from threadwright_service.calc.trail import Formula

PACKAGE = "threadwright_service.calc.threads"
MODULES = [
    import_module(f"{PACKAGE}.{name}")
    for name in (
        "acme_call_out",
        "acme_limits",
        "asme_b1_5",
        "asme_b1_8",
        "asme_b1_9",
        "asme_b1_9_call_out",
        "asme_b1_15",
        "asme_b1_20_1",
        "asme_b1_20_1_call_out",
        "bs_84",
        "bs_84_call_out",
        "din_513",
        "iso_228_1",
        "iso_2902",
        "iso_2903",
        "iso_2904",
        "iso_5855",
        "iso_7_1",
        "r40",
        "whitworth_pipe",
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
    text = files(PACKAGE).joinpath(f"{module.__name__.rpartition('.')[2]}.py").read_text("utf-8")
    for line in re.findall(r"Source: ([^\n]*)", text):
        assert re.split(r"[ ,.;:]", line)[0] in ids, line


def test_other_sources_are_complete() -> None:
    text = files(PACKAGE).joinpath("sources_other.toml").read_text(encoding="utf-8")
    entries = tomllib.loads(text)["source"]
    assert len({entry["id"] for entry in entries}) == len(entries)
    for entry in entries:
        assert set(entry) == {"id", "title", "edition", "publisher"}
        assert all(entry.values())
