"""The layers hold, and the contract that keeps them can fail."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LINT = Path(sys.executable).with_name("lint-imports")


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    environment = {"PYTHONPATH": f"{folder}/service:{folder}/client", "PATH": "/usr/bin:/bin"}
    return subprocess.run(
        [LINT, "--no-cache"], cwd=folder, env=environment, capture_output=True, text=True
    )


def test_layers_hold() -> None:
    result = lint(ROOT)
    assert result.returncode == 0, result.stdout


def test_a_broken_layer_is_found(tmp_path: Path) -> None:
    for name in ("service", "client"):
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    module = tmp_path / "service" / "threadwright_service" / "calc" / "rounding.py"
    module.write_text(f"import flask  # noqa\n{module.read_text(encoding='utf-8')}")
    result = lint(tmp_path)
    assert result.returncode != 0
    assert "calc is pure" in result.stdout
