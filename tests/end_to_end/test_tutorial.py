"""Quote, plan, cut, measure, correct: the tutorial of the README and of the guide, block by block.

The shell, Python and the workbook's cells must say what a plain POST says; the cells are computed
in ``tests/spreadsheet/test_tutorial_in_calc.py``, here only looked up in the file.
"""

from __future__ import annotations

import html
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.request import Request, urlopen

import pytest
from openpyxl import load_workbook

from end_to_end.test_readme import environment
from spreadsheet.make_workbook import COMMITTED
from support.readme import TutorialCell, block, tutorial_cells, tutorial_keys
from support.servers import ROOT, Process, gunicorn
from threadwright_service.app.flat import found

JOB = json.loads((ROOT / "client/examples/levelling_screws.json").read_text(encoding="utf-8"))
WANTED = (
    ("job-sheet", ("time.lot.cost", "time.lot.spread.low", "time.lot.spread.high")),
    ("job-sheet", ("plan.root_diameter", "plan.cutter_centre_radius",
                   "plan.expected_pitch_diameter")),
    ("wire-measurement", ("reading.aim", "pitch_diameter", "verdict")),
    ("size-correction", ("radius_correction", "action")),
)  # fmt: skip


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    with gunicorn(tmp_path_factory.mktemp("service") / "log", WORKERS="1") as process:
        yield process


def asked(service: Process, operation: str, keys: dict[str, Any]) -> dict[str, Any]:
    request = Request(
        f"{service.url}/v1/{operation}",
        json.dumps(keys).encode(),
        {"Content-Type": "application/json"},
    )
    with urlopen(request) as answer:
        result: dict[str, Any] = json.load(answer)["result"]
    return result


def wanted(service: Process, job: dict[str, Any]) -> list[list[str]]:
    """What each step of the tutorial shows, by a POST for each."""
    return [
        [str(found(asked(service, operation, tutorial_keys(operation, job)), path))
         for path in paths]
        for operation, paths in WANTED
    ]  # fmt: skip


def run(command: list[str], folder: Path) -> str:
    done = subprocess.run(
        command, cwd=folder, env=environment(), capture_output=True, text=True, timeout=60,
        check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


def shell_lines(text: str, folder: Path) -> list[list[str]]:
    """What each command of a block prints."""
    return [
        run(["bash", "-c", line], folder).strip().split(",")
        for line in text.strip().splitlines()
        if not line.startswith("#")
    ]


def page(service: Process) -> dict[str, str]:
    """The blocks of the guide's page, by their ids."""
    with urlopen(f"{service.url}/docs/guide/first-part") as answer:
        text = answer.read().decode("utf-8")
    told = re.findall(r'<pre id="([a-z-]+)">(.*?)</pre>', text, re.DOTALL)
    return {key: html.unescape(words) for key, words in told}


def test_readme_shell(service: Process) -> None:
    assert shell_lines(block("run: shell tutorial"), ROOT) == wanted(service, JOB)


def test_readme_python(service: Process) -> None:
    printed = run([sys.executable, "-c", block("run: python tutorial")], ROOT)
    assert [line.split(",") for line in printed.splitlines()] == wanted(service, JOB)


def test_guide(service: Process, tmp_path: Path) -> None:
    """Saved, typed and run as the page says, in an empty folder, against the service it names."""
    told = page(service)
    assert service.url in told["python"]
    assert service.url in told["shell-where"]
    (tmp_path / "job.json").write_text(told["job"], encoding="utf-8")
    job = json.loads(told["job"])
    values = wanted(service, job)
    assert values == wanted(service, JOB), "as in the README, and so in the workbook"
    lines = [
        run(["bash", "-c", f"{told['shell-where']}\n{told[f'shell-{step}']}"], tmp_path)
        for step in ("quote", "plan", "measure", "correct")
    ]
    assert [line.strip().split(",") for line in lines] == values
    printed = run([sys.executable, "-c", told["python"]], tmp_path)
    assert [line.split(",") for line in printed.splitlines()] == values


@pytest.fixture(scope="module")
def cells() -> list[TutorialCell]:
    return tutorial_cells(block("run: workbook tutorial"))


def test_the_workbooks_cells_show_the_same_values(cells: list[TutorialCell]) -> None:
    named = [(each.operation, each.path) for each in cells]
    assert named == [(operation, path) for operation, paths in WANTED for path in paths]


def test_guide_names_the_same_cells(service: Process, cells: list[TutorialCell]) -> None:
    assert tutorial_cells(page(service)["workbook"]) == cells


def test_the_cells_named_are_formulas_that_ask_for_these_values(cells: list[TutorialCell]) -> None:
    book = load_workbook(COMMITTED)
    calls = {cell.coordinate: cell.value for row in book["Calls"] for cell in row if cell.value}
    for each in cells:
        formula = book[each.sheet][each.cell].value
        assert str(formula).startswith("="), each
        answers = set(re.findall(r"Calls!\$([A-Z]+)\$(\d+)", formula))
        assert answers, each
        reached = " ".join(
            str(calls.get(f"{letter}{row}", ""))
            for column, number in answers
            for row in (number, *([] if column != "E" else _call_of_parts(calls)))
            for letter in "BCJKMN"
        ).replace('"&"', "")
        if "&rows=parts" in reached:
            # The table of measured parts: it holds the pitch diameter and verdict of each.
            assert '"size-correction' in reached
            assert each.path in ("pitch_diameter", "verdict")
            continue
        assert f'"{each.operation}' in reached, each
        assert each.path.removeprefix("time.") in reached, each


def _call_of_parts(calls: dict[str, Any]) -> list[str]:
    """Rows of the call whose answer is the table of measured parts."""
    return [key[1:] for key, value in calls.items() if key[0] == "B" and "rows=parts" in str(value)]
