"""Every block of the README that is marked to run is run, as a reader would."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from support.readme import README, blocks_to_run, commands
from support.servers import ROOT, gunicorn

BLOCKS = [each for each in blocks_to_run() if "tutorial" not in each[0]]


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


def test_it_opens_with_the_job_and_two_commands() -> None:
    """One paragraph, then a command that runs the main job and one that runs the tests."""
    assert README.startswith("# Threadwright\n\nA machinist ")
    assert len(commands("main job")) == len(commands("test command")) == 1
    assert README.index("<!-- main job -->") < README.index("<!-- test command -->") < 2_500


def test_commands_from_a_fresh_clone_to_the_first_quoted_line() -> None:
    """Three: one that sets up, one that serves, one that opens; the README says so."""
    typed = commands("main job") + commands("quoted line")
    assert len(typed) == 3
    assert "three commands and a click from a fresh clone" in " ".join(README.split())
    assert "threadwright serve &" in typed[1]
    assert (ROOT / typed[2].split()[-1]).exists()
