"""The shell: the client's keys as options, tables for people, a code for each kind of failure."""

from __future__ import annotations

import io
import json
import os
import re
import signal
import subprocess
import sys
import termios
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from support.answers import limits_answer, problem
from support.examples import EXAMPLE_IDS, EXAMPLES
from support.rough_server import answer, closed, rough_server
from threadwright import Client, cli, embedded
from threadwright.operations import OPERATIONS
from threadwright.shell.keys import keys_of
from threadwright.shell.operations import operation_parser
from threadwright_service.api import entry
from threadwright_service.api.operation import Example, Operation

ROOT = Path(__file__).resolve().parents[2]
JOBS = ROOT / "client" / "examples"

Run = Callable[..., SimpleNamespace]


@pytest.fixture
def run(capsysbinary: pytest.CaptureFixture[bytes], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run a command line in this process: its code, what it wrote, what it told."""
    monkeypatch.delenv("THREADWRIGHT_URL", raising=False)
    monkeypatch.delenv("THREADWRIGHT_TOKEN", raising=False)
    monkeypatch.setenv("COLUMNS", "100")

    def run_command(*argv: str, stdin: bytes = b"") -> SimpleNamespace:
        monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=io.BytesIO(stdin)))
        code = cli.main(argv)
        out, err = capsysbinary.readouterr()
        assert b"Traceback" not in out + err
        return SimpleNamespace(code=code, out=out.decode(), err=err.decode())

    return run_command


def options(keys: dict[str, Any]) -> list[str]:
    """Keys as they are typed."""
    typed: list[str] = []
    for key, value in keys.items():
        if isinstance(value, bool):
            typed += [f"--{key}", str(value).lower()]
        elif isinstance(value, list) and any(isinstance(item, dict) for item in value):
            typed += [f"--{key}", json.dumps(value)]
        elif isinstance(value, list):
            typed += [f"--{key.replace('_', '-')}", *map(str, value)]
        else:
            typed.append(f"--{key.replace('_', '-')}={value}")
    return typed


@pytest.mark.parametrize(("operation", "example"), EXAMPLES, ids=EXAMPLE_IDS)
def test_every_example_can_be_typed(operation: Operation, example: Example, run: Run) -> None:
    done = run(operation.name, *options(dict(example.request)), "--format", "json")
    assert done.code == 0, done.err
    told = json.loads(done.out)
    wanted = json.loads(Client().document(operation.name, "json", **example.request))
    assert told["result"] == wanted["result"]


@pytest.mark.parametrize(("operation", "example"), EXAMPLES, ids=EXAMPLE_IDS)
def test_a_table_holds_every_single_value(
    operation: Operation, example: Example, run: Run, tmp_path: Path
) -> None:
    file = tmp_path / "job.json"
    file.write_text(json.dumps(dict(example.request)), encoding="utf-8")
    done = run(operation.name, "--file", str(file), "--working")
    assert done.code == 0, done.err
    result = Client().call(operation.name, example.request)
    told = " ".join(done.out.split())
    for name, value in result.to_dict().items():
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            written = f"{value:.12f}".rstrip("0").rstrip(".")  # no exponent, which no one reads
            assert f"{name} {written}" in told, name
    for caution in result.cautions:
        assert f"[{caution.code}]" in told
    for assumption in result.assumed:
        assert f"- {assumption.parameter} = " in told
    assert "working" in told
    assert max(map(len, done.out.splitlines())) <= 160


def test_a_table_for_people(run: Run) -> None:
    done = run("thread-limits", "--designation", "M24x1.5-6g")
    lines = done.out.splitlines()
    assert lines[0] == "thread-limits: M24x1.5-6g  (lengths in mm)"
    assert "  allowance                             0.032 mm" in lines
    assert "  lead_angle_deg                        1.18791 deg" in lines
    assert "  stress_area                           400.8912 mm²" in lines
    assert "  length_of_engagement                  -" in lines
    # The published limits of M24x1,5-6g, ISO 965-2 and handbook tables, under their heads.
    head = next(number for number, line in enumerate(lines) if line.split() == ["max", "min"])
    assert lines[head + 2].split() == ["limits.pitch_diameter", "22.994", "22.844", "mm"]
    assert lines[head].index("max") + 3 == lines[head + 2].index("22.994") + 6
    assert lines[lines.index("assumed") + 1].startswith("  - length_of_engagement = N: ")


def test_units_follow_the_request(run: Run) -> None:
    done = run("thread-limits", "--designation", "M24x1.5-6g", "--unit", "in")
    assert "(lengths in inches)" in done.out
    bare = run("hardness", "--value", "50", "--scale", "HRC", "--to", "HB").out
    assert bare.splitlines()[0] == "hardness"
    found = re.search(r"limits\.pitch_diameter +([0-9.]+) +([0-9.]+) +in", done.out)
    assert found is not None
    # 22,994 mm and 22,844 mm, and the inch of 25,4 mm.
    assert [float(size) for size in found.groups()] == pytest.approx(
        [22.994 / 25.4, 22.844 / 25.4], abs=1e-5
    )


def test_dashes_and_underscores_are_alike(run: Run) -> None:
    for option in ("--tolerance-class", "--tolerance_class"):
        done = run(
            "thread_limits",
            "--series=M",
            "--nominal-diameter",
            "24",
            "--pitch",
            "1.5",
            option,
            "6g",
            "--field",
            "limits.pitch_diameter.max",
        )
        assert (done.code, done.out) == (0, "22.994\n"), done.err


def test_values_with_underscores_are_left_as_they_are(run: Run) -> None:
    done = run(
        "job-sheet", "--file", str(JOBS / "die_clamp_studs.json"), "--job=--lot_7", "--field", "job"
    )
    assert done.out == "--lot_7\n"


def test_fields(run: Run) -> None:
    done = run(
        "thread-limits",
        "--designation",
        "M24x1.5-6g",
        "--field",
        "limits.pitch_diameter.max,limits.pitch_diameter.min",
    )
    assert done.out == "22.994,22.844\n"


@pytest.mark.parametrize("form", ["csv", "text", "xml", "html", "svg"])
def test_other_forms_are_the_services_own(form: Any, run: Run) -> None:
    done = run("thread-limits", "--designation", "M24x1.5-6g", "--format", form)
    assert done.code == 0, done.err
    wanted = Client().document("thread-limits", form, designation="M24x1.5-6g").decode()
    assert without_request_id(done.out).rstrip("\n") == without_request_id(wanted).rstrip("\r\n")


def without_request_id(text: str) -> str:
    return re.sub(r"[0-9a-f]{16}", "", text).replace("\r\n", "\n")


@pytest.mark.parametrize("file", sorted(JOBS.glob("*.json")), ids=lambda path: path.stem)
def test_the_example_jobs(file: Path, run: Run) -> None:
    operation = "cycle-time" if file.stem == "feed_screw" else "job-sheet"
    done = run(operation, "--file", str(file))
    assert done.code == 0, done.err
    assert "lot.quantity" in done.out or "\n  lot of " in done.out


def test_keys_from_standard_input_and_the_command_line(run: Run) -> None:
    job = b'\xef\xbb\xbf{"designation": "M24x1.5-6g", "unit": "mm"}'
    assert run("thread-limits", "--file", "-", "--field", "unit", stdin=job).out == "mm\n"
    done = run("thread-limits", "--file", "-", "--unit", "in", "--field", "unit", stdin=job)
    assert done.out == "in\n", "the command line comes first"


def test_lists_may_be_several_words_or_one(run: Run) -> None:
    common = ("wire-measurement", "--designation=M24x1.5-6g", "--unit=mm", "--field=wire_diameter")
    assert run(*common, "--wires-on-hand", "0.8", "0.85", "0.9").out == "0.85\n"
    assert run(*common, "--wires-on-hand", "0.8;0.85;0.9").out == "0.85\n"
    assert run(*common, "--wires-on-hand", "[0.8, 0.85, 0.9]").out == "0.85\n"


def test_operations_in_json(run: Run) -> None:
    waiting = '[{"kind": "fixed-time", "time_s": 30, "cutting": false}]'
    done = run(
        "cycle-time",
        "--unit=mm",
        "--quantity=5",
        "--operations",
        waiting,
        "--field",
        "part.other_time_s",
    )
    assert (done.code, done.out) == (0, "30.0\n"), done.err


@pytest.mark.parametrize(
    ("argv", "told"),
    [
        (["thread-limts"], "did you mean thread-limits"),
        (["colours"], "is no command; threadwright --help lists them"),
        (["thread-limits", "--colour", "red"], "unrecognized arguments: --colour red"),
        (["thread-limits", "--designation"], "expected one argument"),
        (["thread-limits", "--pitch", "1,5"], "has a decimal comma; write 1.5"),
        (["thread-limits", "--pitch", "coarse"], "--pitch: 'coarse' is not a number"),
        (["thread-limits", "--pitch", "nan"], "'nan' is not a number"),
        (["thread-limits", "--starts", "1.5"], "'1.5' is not a whole number"),
        (["thread-limits", "--working", "maybe"], "neither true nor false"),
        (["thread-limits", "--hand", "wrong"], "'wrong' is not one of right, left"),
        (["thread-limits", "--format", "papyrus"], "invalid choice"),
        (["thread-limits", "--file", "nowhere.json"], "cannot be read: No such file"),
        (["thread-limits", "--url", "shop"], "--url: 'shop' is no address"),
        (["thread-limits", "--timeout", "soon"], "--timeout"),
        (["wire-measurement", "--wires-on-hand", "0,8,0,9"], "separate several values by semi"),
        (["cycle-time", "--operations", "drill"], "--operations: not JSON"),
        (["cycle-time", "--operations", "{}"], "not a list"),
        (["threads", "--colour", "red"], "unrecognized"),
        (["materials", "--iso-513", "Q"], "invalid choice"),
        (["serve", "--workers", "many"], "--workers"),
        (["serve", "--workers", "0"], "--workers: 0 is below 1"),
        (["serve", "--threads=-1"], "--threads: -1 is below 1"),
        (["thread-limits", "--timeout", "0"], "--timeout: 0 is not above 0"),
        (["thread-limits", "--timeout", "nan"], "--timeout: nan is not above 0"),
        (["operations", "now"], "unrecognized"),
        (["thread-limits", "--desgination", "M10-6g"], "did you mean --designation?"),
        (["cutting-data", "--operation", "drilling"], "drilling; did you mean --process?"),
        (["turning-plan", "--rpm=400"], "did you mean --spindle-speed"),
        (["wire-measurement", "--wire", "0.7"], "did you mean --wire-diameter"),
        (["threads", "--diameter", "3"], "--diameter 3\ntry threadwright threads --help"),
        (["thread-limits", "M10-6g"], "each value stands after its key"),
        (["thread-limits", "--pitch", "1", "--pitch=2"], "--pitch stands twice"),
        (["thread-limits", "--thread_length=1", "--thread-length=1"], "unrecognized"),
        (["threads", "--family", "npt", "--series", "UNF"], "nothing for --family npt"),
        (["serve", "--bind", "127.0.0.1:99999"], "is not an address and a port"),
        (["serve", "--bind", "8000"], "is not an address and a port"),
    ],
)
def test_what_is_not_understood(argv: list[str], told: str, run: Run) -> None:
    done = run(*argv)
    assert done.code == 2
    assert told in done.err
    assert done.err.startswith("threadwright: ")
    assert not done.out


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"{broken", "is not JSON"),
        (b"[1]", "holds no JSON object"),
        (b"\xff\xfe", "is not UTF-8"),
        (b'{"pitch": 1, "pitch": 2}', "a key stands twice: pitch"),
    ],
)
def test_a_file_that_is_none(content: bytes, told: str, run: Run) -> None:
    done = run("thread-limits", "--file", "-", stdin=content)
    assert done.code == 2
    assert told in done.err


def test_refused_input(run: Run) -> None:
    done = run("thread-limits", "--designation", "M24x1.5-9z")
    assert done.code == 3
    assert "422" in done.err
    assert "accepted for" in done.err
    done = run("thread-limits", "--designation", "M24x1.5-6g", "--field", "nowhere")
    assert done.code == 3
    done = run("thread-limits", "--file", "-", stdin=b'{"colour": 1}')
    assert done.code == 3
    assert "colour is not a key of this operation" in done.err


def test_a_key_is_needed(run: Run) -> None:
    refused = answer(
        problem(401, "unauthorised", "a key is needed"),
        "401 Unauthorized",
        "application/problem+json",
    )
    with rough_server(refused) as server:
        done = run("thread-limits", "--designation=M10", "--url", server.url)
    assert done.code == 3
    assert "a key is needed" in done.err


def test_the_key_is_taken_from_the_environment(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    with rough_server(answer(limits_answer())) as server:
        monkeypatch.setenv("THREADWRIGHT_TOKEN", "secret")
        monkeypatch.setenv("THREADWRIGHT_URL", server.url)
        done = run("thread-limits", "--designation=M24x1.5-6g", "--timeout", "3")
    assert done.code == 0
    assert server.requests[0][2]["authorization"] == "Bearer secret"


def test_no_answer(run: Run) -> None:
    with rough_server(closed) as server:
        done = run("thread-limits", "--designation=M10", "--url", server.url)
    assert done.code == 4
    assert f"no connection to {server.url}" in done.err
    with rough_server(answer(b"<html>", content_type="text/html")) as server:
        done = run("thread-limits", "--designation=M10", "--url", server.url)
    assert done.code == 4
    assert "not an answer of this service" in done.err


def test_a_failure_of_the_service(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(operation: str, params: object) -> None:
        raise ZeroDivisionError(f"{operation} {params}")

    monkeypatch.setattr(entry, "call", broken)
    done = run("thread-limits", "--designation=M10")
    assert done.code == 5
    assert "internal-error" in done.err


def test_a_missing_part(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def missing() -> None:
        raise embedded._missing(ModuleNotFoundError("No module named 'marshmallow'"))

    monkeypatch.setattr("threadwright.client.EmbeddedTransport", missing)
    done = run("thread-limits", "--designation=M10")
    assert done.code == 6
    assert "pip install 'threadwright[service]'" in done.err


def test_an_interrupt_is_quiet(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Client, "call", interrupted)
    done = run("thread-limits", "--designation=M10")
    assert (done.code, done.out, done.err) == (130, "", "")


def test_help_and_version(run: Run) -> None:
    told = run("--help")
    assert told.code == 0
    for operation in OPERATIONS:
        assert f"  {operation} " in told.out
    assert "exit codes:" in told.out
    assert run().code == 2
    assert run("--version").out.startswith("threadwright ")
    listed = run("operations").out.splitlines()
    assert [line.split()[0] for line in listed] == list(OPERATIONS)


@pytest.mark.parametrize("operation", OPERATIONS.values(), ids=OPERATIONS.keys())
def test_help_tells_every_key(operation: Any) -> None:
    told = " ".join(operation_parser(operation).format_help().split())
    for key in keys_of(operation).values():
        assert key.option in told
        assert " ".join(key.help.split())[:30] in told
    assert "--timeout" in told


def test_lists(run: Run) -> None:
    told = run("threads").out
    assert re.search(r"^ +iso-metric +ISO metric screw threads", told, re.MULTILINE)
    told = run("threads", "--family", "unified", "--series", "UNC").out
    # ASME B1.1: 3/4-10 UNC.
    assert re.search(r"^ +UNC +3/4 +0\.75 +0\.1 +10$", told, re.MULTILINE)
    found = json.loads(run("threads", "--family", "iso-metric", "--format", "json").out)
    assert [family["family"] for family in found] == ["iso-metric"]
    assert "tool-steel-hardened" in run("materials", "--iso_513", "H").out
    assert run("threads", "--family", "none").code == 3


def test_serve_starts_gunicorn_with_the_packaged_settings(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    started: list[list[str]] = []
    monkeypatch.setattr("os.execv", lambda _, command: started.append(command))
    run("serve", "--bind", "127.0.0.1:9000", "--workers=2", "--threads", "3")
    assert started == [
        [
            sys.executable, "-m", "gunicorn",
            "--config", "python:threadwright_service.gunicorn_conf",
            "--bind", "127.0.0.1:9000", "--workers", "2", "--threads", "3",
            "threadwright_service.wsgi:app",
        ]
    ]  # fmt: skip


@pytest.mark.parametrize("name", ["gunicorn", "flask", "fcntl"])
def test_serve_says_what_is_missing(name: str, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    found = find_spec
    monkeypatch.setattr(
        "threadwright.shell.serve.find_spec", lambda each: None if each == name else found(each)
    )
    done = run("serve")
    assert done.code == 6
    assert "not run on this system" in done.err or "threadwright[service]" in done.err


def shell(*argv: str, **settings: Any) -> subprocess.Popen[bytes]:
    """The command in a process of its own."""
    return subprocess.Popen(
        [sys.executable, "-m", "threadwright", *argv],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={
            **os.environ,
            "PYTHONPATH": f"{ROOT / 'client'}{os.pathsep}{ROOT / 'service'}",
            **settings,
        },
    )


def test_a_closed_pipe_is_quiet(tmp_path: Path) -> None:
    rows = tmp_path / "rows.csv"
    rows.write_text("designation\n" + "M24x1.5-6g\n" * 3_000, encoding="utf-8")
    process = shell("batch", "--operation", "thread-limits", "--file", str(rows))
    assert process.stdout is not None
    assert process.stderr is not None
    assert process.stdout.readline().startswith(b"designation,")
    process.stdout.close()
    told = process.stderr.read()
    assert process.wait(30) == 141
    assert told == b""
    process.stderr.close()


def test_a_full_disk_is_told() -> None:
    full = Path("/dev/full")
    if not full.exists():
        pytest.skip("this system has no device that is always full")
    for form in ("table", "json"):
        with full.open("wb") as output:
            done = subprocess.run(
                [sys.executable, "-m", "threadwright", "thread-limits", "--designation", "M10-6g",
                 "--format", form],
                stdout=output, stderr=subprocess.PIPE, timeout=30, check=False,
                env={**os.environ, "PYTHONPATH": f"{ROOT / 'client'}:{ROOT / 'service'}"},
            )  # fmt: skip
        assert done.returncode == 2
        assert done.stderr == b"threadwright: the output cannot be written: No space left on " + (
            b"device\n"
        )


def test_help_of_a_command(capsys: pytest.CaptureFixture[str]) -> None:
    told = []
    for words in (["help", "hardness"], ["hardness", "--help"]):
        with pytest.raises(SystemExit):
            cli.main(words)
        told.append(capsys.readouterr().out)
    assert told[0] == told[1] != ""


def test_a_progress_bar_in_a_terminal(tmp_path: Path) -> None:
    """Drawn on the terminal's own lines, which carriage returns overwrite; results apart."""
    rows = tmp_path / "rows.csv"
    rows.write_text("designation\n" + "M24x1.5-6g\n" * 2_500, encoding="utf-8")
    screen, terminal = os.openpty()
    termios.tcsetwinsize(terminal, (24, 80))
    results = tmp_path / "results.csv"
    with results.open("wb") as output:
        process = subprocess.Popen(
            [sys.executable, "-m", "threadwright", "batch", "--operation", "thread-limits",
             "--file", str(rows), "--field", "pitch", "--progress"],
            stdout=output, stderr=terminal, stdin=terminal,
            env={**os.environ, "PYTHONPATH": f"{ROOT / 'client'}:{ROOT / 'service'}"},
        )  # fmt: skip
    os.close(terminal)
    seen = b""
    while True:
        try:
            part = os.read(screen, 65_536)
        except OSError:  # the terminal's other end has gone
            break
        if not part:
            break
        seen += part
    os.close(screen)
    assert process.wait(30) == 0
    assert b"2500/2500" in seen
    assert b"100%" in seen
    assert seen.count(b"\r") > 1
    assert b"Traceback" not in seen
    assert len(results.read_text(encoding="utf-8").splitlines()) == 2_501


def test_an_interrupt_from_the_keyboard(tmp_path: Path) -> None:
    rows = tmp_path / "rows.csv"
    rows.write_text("designation\n" + "M24x1.5-6g\n" * 60_000, encoding="utf-8")
    process = shell("batch", "--operation", "thread-limits", "--file", str(rows))
    assert process.stdout is not None
    process.stdout.readline()
    process.send_signal(signal.SIGINT)
    _, told = process.communicate(timeout=30)
    assert process.returncode == 130
    assert told == b""


def test_a_terminal_that_shows_ascii_only() -> None:
    process = shell("thread-limits", "--designation", "M24x1.5-6g", PYTHONIOENCODING="ascii")
    out, err = process.communicate(timeout=30)
    assert process.returncode == 0, err
    assert b"400.8912 mm?" in out


def test_the_module_runs_as_the_command() -> None:
    process = shell("--version")
    out, _ = process.communicate(timeout=30)
    assert out.startswith(b"threadwright ")
    process = shell("thread-limits", "--designation", "M24x1.5-9z")
    out, err = process.communicate(timeout=30)
    assert process.returncode == 3
    assert b"Traceback" not in err
