"""Every block of the README that is marked to run is run, as a reader would."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from support.servers import gunicorn

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"<!-- run: (\w+) -->\n```\w+\n(.*?)```", README, re.DOTALL)


def environment() -> dict[str, str]:
    return {**os.environ, "PATH": f"{Path(sys.executable).parent}:{os.environ['PATH']}"}


@pytest.mark.parametrize(
    ("kind", "block"), BLOCKS, ids=[f"{k}-{i}" for i, (k, _) in enumerate(BLOCKS)]
)
def test_block(kind: str, block: str, tmp_path: Path) -> None:
    if kind == "python":
        done = subprocess.run(
            [sys.executable, "-c", block], cwd=ROOT, capture_output=True, text=True, timeout=60
        )
        assert done.returncode == 0, done.stderr
        assert "accept" in done.stdout
        return
    if kind == "curl" and shutil.which("curl") is None:
        pytest.skip("curl is not installed")
    if kind == "curl":
        with gunicorn(tmp_path / "log") as server:
            check(block.replace("http://127.0.0.1:8000", server.url))
    else:
        check(block)


def check(block: str) -> None:
    for line in block.strip().splitlines():
        if line.startswith("#"):
            continue
        done = subprocess.run(
            ["bash", "-c", line], cwd=ROOT, env=environment(), capture_output=True, text=True,
            timeout=60, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        assert done.stdout.strip()
        assert '"/problems/' not in done.stdout, done.stdout
