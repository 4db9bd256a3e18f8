"""Other programs that tests run: validators, servers."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def run(*command: str) -> str:
    """Run a validator; its output, on failure as the test's message."""
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=ROOT)
    output = done.stdout + done.stderr
    assert done.returncode == 0, output
    return output


def tool(name: str) -> str:
    """The path of a validator, beside this Python or on the system."""
    beside = Path(sys.executable).parent / name
    found = str(beside) if beside.exists() else shutil.which(name)
    if found is None:
        pytest.skip(f"{name} is not installed")
    return found
