"""The ten lines and the JSON examples for ERPs, against a real server."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from erp import erp_ten_lines
from erp.write_examples import EXAMPLES, NAMES, answer_of
from support.servers import Process, free_port, gunicorn

LINES = Path(erp_ten_lines.__file__)
KEY = "only-for-this-test"


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    with gunicorn(tmp_path_factory.mktemp("service") / "log") as process:
        yield process


@pytest.fixture
def ask(service: Process, monkeypatch: pytest.MonkeyPatch) -> object:
    monkeypatch.setattr(erp_ten_lines, "URL", service.url)
    return erp_ten_lines.ask


@pytest.mark.usefixtures("ask")
def test_ten_lines_answer() -> None:
    result, cautions = erp_ten_lines.ask("thread-limits", designation="3/4-16 UNF-2A")
    assert result["limits"]["pitch_diameter"] == {"max": 0.7079, "min": 0.7029}, (
        "ASME B1.1, 3/4-16 UNF-2A: 0.7079 and 0.7029 in"
    )
    assert isinstance(cautions, list)


@pytest.mark.usefixtures("ask")
def test_ten_lines_refuse_in_the_services_words() -> None:
    with pytest.raises(ValueError, match=r"^422: .*3/4-15"):
        erp_ten_lines.ask("thread-limits", designation="3/4-15 UNF-2A")
    with pytest.raises(ValueError, match=r"^404: "):
        erp_ten_lines.ask("no-such-operation")


def test_ten_lines_send_the_key(
    monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> None:
    log = tmp_path_factory.mktemp("keyed") / "log"
    with gunicorn(log, environment={"THREADWRIGHT_API_KEYS": KEY}) as process:
        monkeypatch.setattr(erp_ten_lines, "URL", process.url)
        with pytest.raises(ValueError, match=r"^401: "):
            erp_ten_lines.ask("thread-limits", designation="M10-6g")
        monkeypatch.setattr(erp_ten_lines, "KEY", KEY)
        assert erp_ten_lines.ask("thread-limits", designation="M10-6g")[0]["pitch"] == 1.5


def test_ten_lines_do_not_hang(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(erp_ten_lines, "URL", f"http://127.0.0.1:{free_port()}")
    with pytest.raises(OSError, match="refused"):
        erp_ten_lines.ask("thread-limits", designation="M10-6g")


def test_they_are_ten_lines() -> None:
    text = LINES.read_text(encoding="utf-8").split("def ask")[1]
    body = [line for line in text.splitlines()[1:] if line.strip() and '"""' not in line]
    assert len(body) + 3 <= 10, "with import, address and def"


@pytest.mark.parametrize("name", NAMES)
def test_json_examples_are_what_the_service_answers(name: str, service: Process) -> None:
    """**R**: the file is the service's answer of the day; written by erp.write_examples."""
    kept = json.loads((EXAMPLES / f"{name}_answer.json").read_text(encoding="utf-8"))
    told = answer_of(name, service.url)
    assert told["status"] == kept["status"] == (200 if name == "cycle_time" else 422)
    assert told == kept, "write the examples anew: python -m erp.write_examples URL"
