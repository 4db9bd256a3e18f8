"""From a fresh clone to the first quoted line by the README alone: three commands and a click."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from pathlib import Path

import pytest
import requests

from spreadsheet.workbook.columns import FIRST_LINE, quote_letter
from support import office
from support.readme import commands
from support.servers import ROOT, free_port

pytestmark = [
    pytest.mark.spreadsheet,
    pytest.mark.skipif(bool(office.missing()), reason=office.missing() or "Calc is here"),
]


def test_first_quoted_line(tmp_path: Path) -> None:
    """The commands as they stand; only the port is another, so that nothing is in the way."""
    clone = tmp_path / "clone"
    if subprocess.run(["git", "clone", "-q", str(ROOT), str(clone)], check=False).returncode:
        pytest.skip("this is no clone of the project's repository")
    readme = (clone / "README.md").read_text(encoding="utf-8")
    set_up, serve, opened = [
        *commands("main job", readme), *commands("quoted line", readme)
    ]  # fmt: skip
    environment = {"PATH": os.defpath, "HOME": os.environ.get("HOME", str(tmp_path))}
    environment |= {key: os.environ[key] for key in os.environ if key.startswith(("PIP_", "http"))}
    done = subprocess.run(
        ["bash", "-c", set_up], cwd=clone, env=environment, capture_output=True, text=True,
        timeout=300, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "cost of the lot" in done.stdout

    port = free_port()
    typed = serve.replace("serve &", f"serve --bind 127.0.0.1:{port} & wait")
    server = subprocess.Popen(
        ["bash", "-c", typed], cwd=clone, env=environment, start_new_session=True,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        _wait_for(port)
        program, workbook = opened.split()
        assert program == "soffice"
        answer = office.carry_out(
            locale="en-US",
            document=clone / workbook,
            update=True,
            edits=[("Quotes", "C2", f"http://127.0.0.1:{port}")],
            only=["Quotes"],
        )
    finally:
        os.killpg(server.pid, signal.SIGTERM)
        server.wait(30)
    cells = answer["sheets"]["Quotes"]
    assert cells[f"{quote_letter('pitch_diameter_limits.max')}{FIRST_LINE}"]["value"] == 22.994
    assert cells[f"{quote_letter('lot_price')}{FIRST_LINE}"]["value"] > 0
    assert cells[f"{quote_letter('message')}{FIRST_LINE}"]["text"] == ""


def _wait_for(port: int) -> None:
    for _ in range(300):
        try:
            if requests.get(f"http://127.0.0.1:{port}/readyz", timeout=5).ok:
                return
        except requests.RequestException:
            time.sleep(0.1)
    raise AssertionError("the service did not start")
