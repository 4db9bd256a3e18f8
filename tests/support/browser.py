"""A real browser without a window: what a page shows, says to the console, asks for, and prints."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path

_PROGRAMS = ("chromium", "chromium-browser", "google-chrome")
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--enable-logging=stderr",
)


def missing() -> str:
    """Why no browser can be run here; empty where one can."""
    if program() is None:
        return "chromium is not installed (Debian: chromium)"
    if shutil.which("pdfinfo") is None:
        return "pdfinfo is not installed (Debian: poppler-utils)"
    return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """A page after its scripts: its document, console, and the addresses that it asked for."""

    document: str
    console: list[str]
    asked: list[str]


def load(url: str, *, milliseconds: int = 8000) -> Loaded:
    """Load a page in a fresh profile."""
    with tempfile.TemporaryDirectory(prefix="threadwright-browser-") as folder:
        log = Path(folder) / "net.json"
        done = _run(
            folder,
            f"--log-net-log={log}",
            f"--virtual-time-budget={milliseconds}",
            "--dump-dom",
            url,
        )
        return Loaded(
            document=done.stdout,
            console=re.findall(r'CONSOLE[^"]*"(.*?)", source', done.stderr),
            asked=_asked(log, url),
        )


def printed_pages(url: str, pdf: Path) -> tuple[int, str]:
    """Print a page: how many sheets, and their size in words."""
    with tempfile.TemporaryDirectory(prefix="threadwright-browser-") as folder:
        _run(folder, "--no-pdf-header-footer", f"--print-to-pdf={pdf}", url)
    told = subprocess.run(["pdfinfo", pdf], capture_output=True, text=True, check=True).stdout
    sheets = re.search(r"^Pages:\s+(\d+)", told, re.M)
    size = re.search(r"^Page size:\s+(.+)$", told, re.M)
    assert sheets is not None
    assert size is not None
    return int(sheets[1]), size[1]


def program() -> str | None:
    """The browser that is installed, if any."""
    return next((found for name in _PROGRAMS if (found := shutil.which(name))), None)


def _run(profile: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    found = program()
    assert found is not None
    return subprocess.run(
        [found, *FLAGS, f"--user-data-dir={profile}/profile", *arguments],
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )


def _asked(log: Path, url: str) -> list[str]:
    """Addresses asked for by the page, not by the browser for itself."""
    text = log.read_text(encoding="utf-8").rstrip().rstrip(",")
    try:
        events = json.loads(text)["events"]
    except json.JSONDecodeError:  # the browser was ended before it closed the list
        events = json.loads(text.rstrip(",") + "]}")["events"]
    origin = "/".join(url.split("/")[:3])
    found = []
    for event in events:
        parameters = event.get("params", {})
        address, initiator = parameters.get("url", ""), parameters.get("initiator", "")
        if address and (initiator == origin or address == url):
            found.append(address)
    return list(dict.fromkeys(found))
