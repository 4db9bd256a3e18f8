"""The lock, the lists made of it, the published advisories and the project agree."""

from __future__ import annotations

import datetime
import json
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.utils import canonicalize_name
from packaging.version import Version

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


ADVISORIES: dict[str, Any] = tomllib.loads((DOCKER / "advisories.toml").read_text(encoding="utf-8"))
PUBLISHED: list[dict[str, Any]] = ADVISORIES["advisory"]
PROXY: list[dict[str, Any]] = ADVISORIES["proxy"]


def advised(package: str, version: str) -> set[str]:
    """All names of the advisories whose range this version is in."""
    return {
        name
        for each in PUBLISHED
        if each["package"] == package
        and any(SpecifierSet(part).contains(version, prereleases=True) for part in each["affected"])
        for name in (each["id"], *each.get("aliases", []))
    }


def lowest() -> dict[str, str]:
    """The lowest version that a caller of the project may install, by package."""
    project = _project()["project"]
    extras = project["optional-dependencies"]
    found: dict[str, str] = {}
    for text in (*project["dependencies"], *extras["service"], *extras["metrics"]):
        requirement = Requirement(text)
        [bound] = [each for each in requirement.specifier if each.operator == ">="]
        found[canonicalize_name(requirement.name)] = bound.version
    return found


def test_no_locked_version_is_known_to_be_vulnerable() -> None:
    have = locked(DOCKER / "requirements.lock")
    assert {name: told for name, version in have.items() if (told := advised(name, version))} == {}


def test_no_version_that_is_permitted_is_known_to_be_vulnerable() -> None:
    bounds = lowest()
    assert {name: told for name, least in bounds.items() if (told := advised(name, least))} == {}
    # The module for the ERP is installed by itself, into an environment of its own.
    erp = ROOT / "client" / "erp"
    module = tomllib.loads((erp / "tryton_module" / "pyproject.toml").read_text(encoding="utf-8"))
    wanted = f"requests>={bounds['requests']}"
    assert wanted in module["project"]["dependencies"]
    assert wanted in (erp / "requirements.txt").read_text(encoding="utf-8").splitlines()


def test_every_locked_package_was_looked_up() -> None:
    without = ADVISORIES["none_found"]["packages"]
    assert len(without) == len(set(without))
    named = {each["package"] for each in PUBLISHED}
    assert named.isdisjoint(without)
    assert named.union(without) == set(locked(DOCKER / "requirements.lock"))


# What an audit by the advisory service said of old versions: pip-audit's own tables, as quoted in
# github.com/CompassSecurity/PurpleOps/issues/23 (2025-03-05), AKVorrat/dearmep/issues/320
# (2025-09-16), cloudbase/cloudbase-init/pull/176 (2025-12-18); an OSV scan quoted in
# ryanjmarcus/superset/issues/79 (2026-08-27) and JefferyHcool/BiliNote/pull/438 (2026-08-06).
AUDITED = {
    ("certifi", "2023.7.22"): {"PYSEC-2024-230"},
    ("flask", "2.3.3"): {"CVE-2026-27205"},
    ("idna", "3.4"): {"PYSEC-2024-60"},
    ("jinja2", "3.1.3"): {"GHSA-h75v-3vvj-5mfj", "GHSA-q2x7-8rv6-6q7h", "GHSA-gmj6-6f8f-6699"},
    ("jinja2", "3.1.4"): {"GHSA-cpwx-vrp4-4pq7", "GHSA-gmj6-6f8f-6699", "GHSA-q2x7-8rv6-6q7h"},
    ("requests", "2.31.0"): {"GHSA-9wx4-h78v-vm56"},
    ("requests", "2.32.3"): {"PYSEC-2026-1872"},
    ("requests", "2.32.4"): {"PYSEC-2026-2275"},
    ("urllib3", "2.0.4"): {"PYSEC-2023-192", "PYSEC-2023-212", "GHSA-34jh-p97f-mpxf"},
    ("urllib3", "2.5.0"): {"CVE-2025-66418", "CVE-2025-66471"},
    ("werkzeug", "2.3.6"): {"PYSEC-2023-221", "GHSA-2g68-c3qc-8985", "GHSA-f9vj-2wh5-fj8j"},
}
# The first good versions in the same tables and scans.
MENDED = {
    ("requests", "2.32.4"): {"PYSEC-2026-1872"},
    ("requests", "2.33.0"): {"PYSEC-2026-2275"},
    ("urllib3", "2.6.0"): {"CVE-2025-66418", "CVE-2025-66471"},
    ("urllib3", "1.26.19"): {"PYSEC-2023-192", "PYSEC-2023-212", "GHSA-34jh-p97f-mpxf"},
    ("jinja2", "3.1.5"): {"GHSA-gmj6-6f8f-6699", "GHSA-q2x7-8rv6-6q7h"},
}


@pytest.mark.parametrize(("package", "version"), AUDITED)
def test_a_version_that_an_audit_found_is_found_here(package: str, version: str) -> None:
    assert AUDITED[package, version] <= advised(package, version)


@pytest.mark.parametrize(("package", "version"), MENDED)
def test_a_version_that_an_audit_cleared_is_cleared_here(package: str, version: str) -> None:
    assert MENDED[package, version].isdisjoint(advised(package, version))


def test_the_lowest_versions_of_before_are_refused() -> None:
    # What pyproject.toml permitted until the advisories were read.
    before = {"flask": "3.1", "marshmallow": "4.0", "orjson": "3.10", "requests": "2.31"}
    assert all(advised(name, version) for name, version in before.items())


@pytest.mark.parametrize("advisory", PUBLISHED, ids=lambda each: each["id"])
def test_an_advisory_has_an_id_a_range_and_a_source(advisory: dict[str, Any]) -> None:
    assert set(advisory) - {"aliases"} == {
        *("package", "id", "what", "affected", "source", "where")
    }
    number = r"CVE-\d{4}-\d{4,}|GHSA(-[23456789cfghjmpqrvwx]{4}){3}|PYSEC-\d{4}-\d+"
    for name in (advisory["id"], *advisory.get("aliases", [])):
        assert re.fullmatch(number, name), name
    assert advisory["package"] == canonicalize_name(advisory["package"])
    assert advisory["what"].endswith(".")
    assert advisory["source"] in ADVISORIES["sources"]
    assert advisory["where"]
    assert advisory["affected"]
    for part in advisory["affected"]:
        # Each range ends at the first good version, and holds something.
        bounds = {each.operator: each.version for each in SpecifierSet(part)}
        assert set(bounds) in ({"<"}, {"<", ">="}), part
        assert Version(bounds.get(">=", "0")) < Version(bounds["<"]), part


def test_no_advisory_stands_twice_and_every_source_tells_how_far_it_reaches() -> None:
    names = [name for each in PUBLISHED for name in (each["id"], *each.get("aliases", []))]
    assert len(names) == len(set(names))
    assert {each["source"] for each in (*PUBLISHED, *PROXY)} == set(ADVISORIES["sources"])
    read = ADVISORIES["read"]
    assert isinstance(read, datetime.date)
    for source in ADVISORIES["sources"].values():
        assert source["title"]
        assert datetime.date(2024, 1, 1) <= source["reaches"] <= read


# --- the proxy ------------------------------------------------------------------------------------


def advised_of_proxy(text: str) -> set[str]:
    """The advisories that a version of the proxy is in the range of."""
    version = Version(text)
    return {
        name
        for each in PROXY
        if version < Version(each["mended"]) or Version("1.31") <= version < Version(each["newer"])
        for name in each["ids"]
    }


def proxys_version() -> str:
    """The version that the compose file names."""
    compose = (DOCKER / "compose.yaml").read_text(encoding="utf-8")
    [version] = re.findall(r"\$\{THREADWRIGHT_PROXY_IMAGE:-nginx:(\d+\.\d+\.\d+)-alpine\}", compose)
    return str(version)


def test_the_proxys_version_is_not_known_to_be_vulnerable() -> None:
    assert advised_of_proxy(proxys_version()) == set()
    told = (DOCKER / "README.md").read_text(encoding="utf-8")
    assert f"nginx {proxys_version()} or newer" in told, "for a box, and for a digest"


# What others found of versions of the proxy: a scan of an image with 1.29.8, quoted in
# github.com/paketo-buildpacks/nginx/issues/1276 (2026-07-24), and what was left in 1.30.3, in
# github.com/Portabase/portabase/pull/479 (2026-08-24).
SCANNED = {
    "1.29.8": {
        *("CVE-2026-42533", "CVE-2026-42945", "CVE-2026-42946", "CVE-2026-60005"),
        *("CVE-2026-56434", "CVE-2026-42934", "CVE-2026-40701", "CVE-2026-48142"),
        *("CVE-2026-40460", "CVE-2026-42926"),
    },
    "1.30.3": {"CVE-2026-60005", "CVE-2026-56434"},
}


@pytest.mark.parametrize("version", SCANNED)
def test_a_version_of_the_proxy_that_a_scan_found_is_found_here(version: str) -> None:
    assert SCANNED[version] <= advised_of_proxy(version)


def test_the_versions_of_the_proxy_that_mend_are_cleared_of_what_they_mend() -> None:
    # The same scan names the first good versions of three; the version of before is refused.
    assert "CVE-2026-42945" not in advised_of_proxy("1.30.1")
    assert "CVE-2026-48142" not in advised_of_proxy("1.30.3") | advised_of_proxy("1.31.2")
    assert "CVE-2026-42533" not in advised_of_proxy("1.30.4") | advised_of_proxy("1.31.3")
    assert advised_of_proxy("1.28.0")


@pytest.mark.parametrize("release", PROXY, ids=lambda each: each["mended"])
def test_a_release_of_the_proxy_has_ids_versions_and_a_source(release: dict[str, Any]) -> None:
    assert set(release) == {"mended", "newer", "ids", "what", "source", "where"}
    assert release["ids"] == sorted(set(release["ids"]))
    assert all(re.fullmatch(r"CVE-\d{4}-\d{4,}", name) for name in release["ids"])
    assert release["what"].endswith(".")
    assert release["source"] in ADVISORIES["sources"]
    assert release["where"]
    assert (
        Version("1.30") < Version(release["mended"]) < Version("1.31") <= Version(release["newer"])
    )
