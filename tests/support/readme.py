"""The README's blocks, and the tutorial's cells, as a reader finds them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from support.servers import ROOT

README: Final = (ROOT / "README.md").read_text(encoding="utf-8")

WIRE, READING = 0.866, 24.262
"""What the tutorial measures: a reading over wires of a diameter, in millimetres."""


def block(title: str, text: str = README) -> str:
    """The block of code below a hidden title."""
    found = re.findall(rf"<!-- {re.escape(title)} -->\n```\w+\n(.*?)```", text, re.DOTALL)
    assert len(found) == 1, title
    return str(found[0])


def blocks_to_run(text: str = README) -> list[tuple[str, str]]:
    """Kind and text of every block that is marked to run."""
    return re.findall(r"<!-- run: ([\w ]+) -->\n```\w+\n(.*?)```", text, re.DOTALL)


def commands(title: str, text: str = README) -> list[str]:
    """The lines of a block that are typed."""
    return [line for line in block(title, text).splitlines() if line and line[0] != "#"]


@dataclass(frozen=True, slots=True)
class TutorialCell:
    """A cell of the workbook, and the value of the service that it shows."""

    sheet: str
    cell: str
    operation: str
    path: str


def tutorial_cells(text: str) -> list[TutorialCell]:
    """The cells that a block of the tutorial names."""
    found = re.findall(
        r"^(?:[a-z]+ +| +)([A-Z][A-Za-z ]+)!([A-Z]+\d+) +([a-z-]+) +(\S+)$", text, re.MULTILINE
    )
    return [TutorialCell(*each) for each in found]


def tutorial_keys(operation: str, job: Mapping[str, Any]) -> dict[str, Any]:
    """What the tutorial asks an operation, put together here."""
    thread = {"designation": job["designation"], "unit": job["unit"]}
    return {
        "job-sheet": dict(job),
        "wire-measurement": {**thread, "wire_diameter": WIRE, "measured": READING},
        "size-correction": {
            **thread, "method": "three-wire", "wire_diameter": WIRE, "measured": [READING],
        },
    }[operation]  # fmt: skip
