"""``threadwright batch``: rows in, the same rows with their answers out."""

from __future__ import annotations

import csv
import io
import json
import sys
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest

from support.rough_server import closed, rough_server
from threadwright import Client, cli
from threadwright.shell.rows import _cell

Run = Callable[..., SimpleNamespace]

CSV = """part,designation,unit,length_of_engagement
A1,M24x1.5-6g,mm,
A2,3/4-16 UNF-2A,in,0.75
=A3,"M24x1,5-6g",mm,
A4,M10-6H,mm,"12,5"
,,,
"""


@pytest.fixture
def run(capsysbinary: pytest.CaptureFixture[bytes], monkeypatch: pytest.MonkeyPatch) -> Run:
    monkeypatch.delenv("THREADWRIGHT_URL", raising=False)

    def run_command(*argv: str, stdin: str = "") -> SimpleNamespace:
        monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=io.BytesIO(stdin.encode())))
        code = cli.main(["batch", "--file", "-", *argv])
        out, err = capsysbinary.readouterr()
        return SimpleNamespace(code=code, out=out.decode(), err=err.decode())

    return run_command


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_chosen_columns(run: Run) -> None:
    done = run(
        "--operation",
        "thread-limits",
        "--field",
        "limits.pitch_diameter.max,designation",
        stdin=CSV,
    )
    assert done.code == 3, "some rows failed"
    rows = read(done.out)
    assert list(rows[0]) == [
        "part", "designation", "unit", "length_of_engagement",
        "limits.pitch_diameter.max", "result.designation", "error",
    ]  # fmt: skip
    # Published: 22,994 (ISO 965-2, M24x1,5-6g) and 0.7079 (ASME B1.1, 3/4-16 UNF-2A).
    assert [row["limits.pitch_diameter.max"] for row in rows] == ["22.994", "0.7079", "", ""]
    assert [row["part"] for row in rows] == ["A1", "A2", "'=A3", "A4"]
    assert [bool(row["error"]) for row in rows] == [False, False, True, True]
    assert "decimal comma" in rows[2]["error"]
    assert "length_of_engagement" in rows[3]["error"]
    assert "not sent, being no keys: part" in done.err
    assert "2 of 4 rows failed" in done.err


def test_a_header_alone_blames_no_key(run: Run) -> None:
    done = run("--operation=thread_limits", stdin="designation\n")
    assert (done.code, done.err) == (0, ""), "designation is a key, and there is no row to send"


def test_all_columns(run: Run) -> None:
    done = run("--operation=thread_limits", stdin="designation\nM24x1.5-6g\nM10-6H\n")
    assert done.code == 0, done.err
    rows = read(done.out)
    limits = Client().thread_limits(designation="M10-6H")
    assert rows[1]["limits.minor_diameter.max"] == str(limits.limits.minor_diameter.max)
    assert rows[1]["threads_per_inch"] == ""
    assert not done.err


def test_keys_on_the_command_line_are_every_rows(run: Run) -> None:
    done = run(
        "--operation",
        "thread-limits",
        "--unit",
        "in",
        "--field",
        "unit",
        stdin="designation,unit\nM24x1.5-6g,\nM24x1.5-6g,mm\n",
    )
    assert done.code == 2, "unit stands around the result"
    done = run(
        "--operation",
        "thread-limits",
        "--unit",
        "in",
        "--field",
        "pitch",
        stdin="designation,unit\nM24x1.5-6g,\nM24x1.5-6g,mm\n",
    )
    first, second = (float(row["pitch"]) for row in read(done.out))
    assert first == pytest.approx(1.5 / 25.4, abs=1e-5)
    assert second == 1.5


def test_semicolons_and_a_mark_at_the_beginning(run: Run) -> None:
    text = "\ufeffdesignation;length-of-engagement;unit\nM24x1.5-6g;12.5;mm\n"
    done = run("--operation", "thread-limits", "--field", "length_of_engagement", stdin=text)
    assert done.code == 0, done.err
    assert read(done.out)[0]["length_of_engagement"] == "12.5"


def test_each_row_may_name_its_operation(run: Run) -> None:
    text = "operation,designation,value,scale\nthread-limits,M24x1.5-6g,,\nhardness,,42,HRC\n"
    done = run("--format", "json", stdin=text)
    assert done.code == 0, done.err
    first, second = json.loads(done.out)
    assert first["result"]["pitch"] == 1.5
    assert second["result"]["given_value"] == 42
    assert [item["index"] for item in (first, second)] == [0, 1]


def test_json_in_and_out(run: Run) -> None:
    items = [
        {"operation": "thread-limits", "params": {"designation": "M24x1.5-6g"}, "id": "a"},
        {"operation": "thread-limits", "params": {"designation": "nothing"}},
        {"operation": "hardness", "params": {"value": 42, "scale": "HRC"}},
    ]
    done = run(stdin=json.dumps(items))
    assert done.code == 3
    told = json.loads(done.out)
    assert told[0]["input"] == items[0]
    assert told[0]["result"]["limits"]["pitch_diameter"]["max"] == 22.994
    assert told[0]["unit"] == "mm"
    assert told[0]["assumed"]
    assert told[1]["error"]["status"] == 422
    assert told[1]["error"]["faults"]
    assert told[2]["operation"] == "hardness"


def test_chosen_values_as_json(run: Run) -> None:
    done = run("--operation", "thread-limits", "--field", "pitch,limits.pitch_diameter.max",
               stdin='[{"designation": "M24x1.5-6g"}]')  # fmt: skip
    (item,) = json.loads(done.out)
    assert item["result"] == {"pitch": 1.5, "limits.pitch_diameter.max": 22.994}


def test_json_rows_of_one_operation_as_csv(run: Run) -> None:
    items: list[dict[str, Any]] = [
        {"designation": "M24x1.5-6g", "wires_on_hand": [0.8, 0.85], "unit": "mm"}
    ]
    done = run(
        "--operation",
        "wire-measurement",
        "--format",
        "csv",
        "--field",
        "wire_diameter",
        stdin=json.dumps(items),
    )
    assert done.code == 0, done.err
    (row,) = read(done.out)
    assert row["wire_diameter"] == "0.85"
    assert row["wires_on_hand"] == "[0.8, 0.85]"


def test_no_rows(run: Run) -> None:
    assert json.loads(run(stdin="[]").out) == []
    done = run("--operation", "thread-limits", "--field", "pitch", stdin="designation\n")
    assert (done.code, done.out) == (0, "designation,pitch,error\n")


def test_a_progress_bar(run: Run) -> None:
    done = run("--operation", "thread-limits", "--progress", stdin="designation\nM10-6H\n")
    assert "1/1" in done.err or "1 items" in done.err
    assert "1/1" not in done.out


@pytest.mark.parametrize(
    ("argv", "text", "told"),
    [
        ([], "designation\nM10\n", "no column operation; give --operation"),
        ([], '[{"designation": "M10"}]', "item 1 names no operation"),
        ([], "[1]", "item 1 is no JSON object"),
        ([], "[1", "is not JSON"),
        ([], "", "has no header"),
        (["--operation", "thread-limits"], "designation,designation\n", "stands twice"),
        (["--operation", "thread-limits"], "designation\nM10,6H\n", "line 2 has more cells"),
        (["--operation", "thread-colour"], "designation\n", "invalid choice"),
        (["--operation"], "designation\n", "expected one argument"),
        (["--operation", "thread-limits", "--pitch", "x"], "designation\n", "not a number"),
        (
            ["--operation", "thread-limits", "--field", "limts.max"],
            "designation\nM10-6H\n",
            "no result has a single value at limts.max",
        ),
    ],
)
def test_what_is_not_understood(argv: list[str], text: str, told: str, run: Run) -> None:
    done = run(*argv, stdin=text)
    assert done.code == 2
    assert told in done.err


def test_no_answer(run: Run) -> None:
    with rough_server(closed) as server:
        done = run(
            "--operation",
            "thread-limits",
            "--url",
            server.url,
            "--timeout",
            "2",
            stdin="designation\nM10-6H\n",
        )
    assert done.code == 4
    assert "no connection" in done.err


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        (None, ""),
        (True, "TRUE"),
        (False, "FALSE"),
        (1.5, "1.5"),
        (-1.5, "-1.5"),
        ("-1.5", "-1.5"),
        ("+1e3", "+1e3"),
        ("=1+1", "'=1+1"),
        ("-cmd", "'-cmd"),
        ("@name", "'@name"),
        ("\tx", "'\tx"),
        ([1, "é"], '[1, "é"]'),
    ],
)
def test_a_cell_is_never_a_formula(value: Any, cell: str) -> None:
    assert _cell(value) == cell
