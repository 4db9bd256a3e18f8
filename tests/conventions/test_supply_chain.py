"""Lock, licence list and bill of materials agree with the project and with each other."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from support.programs import ROOT

DOCKER = ROOT / "docker"


def locked(path: Path) -> dict[str, str]:
    """Version by name; every entry must have a hash."""
    entries = re.split(r"^(?=[a-z0-9])", path.read_text(encoding="utf-8"), flags=re.MULTILINE)[1:]
    found: dict[str, str] = {}
    for entry in entries:
        name, _, version = entry.split()[0].partition("==")
        assert version, entry
        assert re.search(r"--hash=sha256:[0-9a-f]{64}\b", entry), entry
        found[canonicalize_name(name)] = version
    return found


def _project() -> dict[str, Any]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("file", ["requirements.lock", "build.lock"])
def test_the_lock_satisfies_the_project(file: str) -> None:
    project = _project()
    extras = project["project"]["optional-dependencies"]
    wanted = (
        project["build-system"]["requires"]
        if file == "build.lock"
        else [*project["project"]["dependencies"], *extras["service"], *extras["metrics"]]
    )
    have = locked(DOCKER / file)
    for text in wanted:
        requirement = Requirement(text)
        version = have[canonicalize_name(requirement.name)]
        assert requirement.specifier.contains(version), f"{text}: {version} is locked"


def test_bill_of_materials_and_licences_are_those_of_the_lock() -> None:
    have = locked(DOCKER / "requirements.lock")
    bill = json.loads((DOCKER / "sbom.json").read_text(encoding="utf-8"))
    assert bill["bomFormat"] == "CycloneDX"
    assert {canonicalize_name(each["name"]): each["version"] for each in bill["components"]} == have
    assert all(each["licenses"] for each in bill["components"])
    rows = re.findall(
        r"^\| ([\w.-]+) +\| ([\w.]+) +\| (\S.*?) +\|",
        (DOCKER / "licences.md").read_text(encoding="utf-8"),
        re.MULTILINE,
    )
    told = {canonicalize_name(name): version for name, version, _ in rows if name != "Name"}
    assert told == have
