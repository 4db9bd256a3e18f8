"""Headless Calc for tests: what it needs, and one order carried out in a process of its own."""

from __future__ import annotations

import json
import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import Any

RUNNER = Path(__file__).resolve().parents[1] / "spreadsheet" / "office" / "run_office.py"
SYSTEM_PYTHON = "/usr/bin/python3"


def missing() -> str:
    """Why Calc cannot be run here; empty where it can."""
    if shutil.which("soffice") is None:
        return "soffice is not installed (Debian: libreoffice-calc-nogui)"
    found = subprocess.run([SYSTEM_PYTHON, "-c", "import uno"], capture_output=True, check=False)
    if found.returncode:
        return f"{SYSTEM_PYTHON} has no uno (Debian: python3-uno)"
    return ""


def carry_out(**order: Any) -> dict[str, Any]:
    """Carry out one order of `run_office.py`; paths may be paths."""
    with tempfile.TemporaryDirectory(prefix="threadwright-order-") as folder:
        written = Path(folder) / "order.json"
        written.write_text(json.dumps(order, default=str), encoding="utf-8")
        done = subprocess.run(
            [SYSTEM_PYTHON, str(RUNNER), str(written)],
            capture_output=True,
            text=True,
            check=False,
            timeout=180,
        )
    if done.returncode:
        raise RuntimeError(done.stderr)
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer
