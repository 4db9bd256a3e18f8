"""The top level holds what the design fixes; folders and modules keep to the house style."""

from __future__ import annotations

import ast
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SERVICE = ROOT / "service" / "threadwright_service"
CLIENT = ROOT / "client" / "threadwright"
TOP_LEVEL = {
    "pyproject.toml",
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "service",
    "client",
    "openapi",
    "tests",
    "docker",
}
MODULES = sorted([*SERVICE.rglob("*.py"), *CLIENT.rglob("*.py")])
REFUSED_NAMES = {"utils", "util", "helpers", "helper", "common", "core", "misc"}


def committed() -> list[str]:
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return listed.stdout.splitlines()


def test_top_level_is_what_the_design_fixes() -> None:
    names = {path.split("/")[0] for path in committed()}
    assert {name for name in names if not name.startswith(".")} <= TOP_LEVEL


def test_no_name_says_nothing() -> None:
    for path in committed():
        assert not REFUSED_NAMES & set(Path(path).with_suffix("").parts), path


@pytest.mark.parametrize("module", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_module_is_short_and_says_what_it_is(module: Path) -> None:
    text = module.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 460, "about 400 lines at most: split it"
    if text.strip():
        assert ast.get_docstring(ast.parse(text)), "a module begins with what it is for"


def test_the_client_imports_nothing_of_the_service_but_lazily() -> None:
    for module in CLIENT.rglob("*.py"):
        tree = ast.parse(module.read_text(encoding="utf-8"))
        for statement in tree.body:
            if isinstance(statement, ast.ImportFrom) and statement.module:
                assert not statement.module.startswith("threadwright_service"), module


def test_no_table_stands_in_a_python_file() -> None:
    """A literal list of more than forty rows is data, and belongs into a TOML file."""
    for module in SERVICE.rglob("*.py"):
        for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
            if isinstance(node, (ast.List, ast.Tuple)) and len(node.elts) > 40:
                numbers = [each for each in node.elts if isinstance(each, (ast.Tuple, ast.List))]
                assert len(numbers) < 40, f"{module}:{node.lineno}"
