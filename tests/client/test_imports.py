"""What an import brings in, seen from a fresh interpreter."""

from __future__ import annotations

import subprocess
import sys
from importlib import metadata
from pathlib import Path

import pytest

from threadwright.package import package_version

ROOT = Path(__file__).resolve().parents[2]
LIST = "print(*sorted({name.partition('.')[0] for name in sys.modules}))"


def modules_after(code: str) -> set[str]:
    """Top-level modules that are loaded after some code."""
    done = subprocess.run(
        [
            sys.executable,
            "-I",
            "-c",
            f"import sys; sys.path.insert(0, {str(ROOT / 'client')!r})\n"
            f"sys.path.insert(0, {str(ROOT / 'service')!r})\n{code}\n{LIST}",
        ],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return set(done.stdout.split())


def test_the_client_needs_requests_alone() -> None:
    alone = modules_after("import requests")
    more = modules_after("import threadwright") - alone - sys.stdlib_module_names
    assert more == {"threadwright"}


def test_nor_does_anything_heavy_come_with_a_client_over_http() -> None:
    loaded = modules_after("import threadwright\nthreadwright.Client('http://127.0.0.1:8000')")
    assert not loaded & {"flask", "werkzeug", "marshmallow", "orjson", "numpy", "pandas", "tqdm"}
    assert "threadwright_service" not in loaded


def test_an_embedded_client_does_without_the_web_framework() -> None:
    loaded = modules_after(
        "import threadwright\nthreadwright.Client().thread_limits(designation='M10-6H')"
    )
    assert not loaded & {"flask", "werkzeug", "jinja2", "apispec", "gunicorn", "pandas", "tqdm"}


def test_a_source_tree_that_was_not_installed_has_no_version(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def missing(name: str) -> str:
        raise metadata.PackageNotFoundError(name)

    package_version.cache_clear()
    monkeypatch.setattr(metadata, "version", missing)
    assert package_version() == "0"
    package_version.cache_clear()
    monkeypatch.undo()
    assert package_version() == metadata.version("threadwright")
