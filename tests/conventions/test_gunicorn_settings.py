"""The settings under which gunicorn runs the service, in image, unit and ``threadwright serve``."""

from __future__ import annotations

import re
import sys
from importlib import reload
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from support.programs import run, tool
from threadwright_service import gunicorn_conf

MODULE = "python:threadwright_service.gunicorn_conf"


def test_gunicorn_takes_the_settings() -> None:
    run(tool("gunicorn"), "-c", MODULE, "--check-config", "threadwright_service.wsgi:app")


def test_every_variable_of_gunicorns_settings_is_listed() -> None:
    source = Path(gunicorn_conf.__file__).read_text(encoding="utf-8")
    read = set(re.findall(r"THREADWRIGHT_[A-Z_]+", source))
    # The first is spoken of in a comment, the second decides on a folder too; Settings reads both.
    read -= {"THREADWRIGHT_ACCESS_LOG", "THREADWRIGHT_METRICS"}
    assert read == set(gunicorn_conf.VARIABLES)


def test_gunicorns_settings_import_nothing_that_a_reload_would_leave_old() -> None:
    listed = run(
        sys.executable,
        "-c",
        "import sys, threadwright_service.gunicorn_conf; "
        "print(sorted(name for name in sys.modules if name.startswith('threadwright')))",
    )
    assert listed.strip() == "['threadwright_service', 'threadwright_service.gunicorn_conf']"


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("THREADWRIGHT_WORKERS", "0"),
        ("THREADWRIGHT_THREADS", "four"),
        ("THREADWRIGHT_HOLD_CORES", "yes"),
    ],
)
def test_a_bad_setting_is_named(monkeypatch: pytest.MonkeyPatch, name: str, value: str) -> None:
    monkeypatch.setenv(name, value)
    with pytest.raises(ValueError, match=name):
        reload(gunicorn_conf)
    monkeypatch.undo()
    reload(gunicorn_conf)


@pytest.mark.parametrize(
    ("quota", "wanted"),
    [("50000 100000", 1), ("100000 100000", 1), ("150000 100000", 2), ("max 100000", None)],
)
def test_workers_keep_to_a_containers_share_of_the_cores(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, quota: str, wanted: int | None
) -> None:
    monkeypatch.setattr(gunicorn_conf, "_cores", lambda: list(range(16)))
    file = tmp_path / "cpu.max"
    file.write_text(f"{quota}\n", encoding="ascii")
    assert gunicorn_conf._workers_by_default(file) == (wanted or 16)
    assert gunicorn_conf._workers_by_default(tmp_path / "none") == 16


def test_a_new_worker_takes_the_core_of_the_one_that_died(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(gunicorn_conf, "_cores", lambda: [0, 1])
    monkeypatch.setattr(gunicorn_conf, "_hold_cores", True)
    living: dict[int, Any] = {}
    server = SimpleNamespace(cfg=SimpleNamespace(workers=2), WORKERS=living)
    for pid in (11, 12):
        worker = SimpleNamespace()
        gunicorn_conf.pre_fork(server, worker)
        living[pid] = worker
    assert [living[pid].core for pid in (11, 12)] == [0, 1]
    for dead, reborn in ((12, 13), (11, 14)):
        core = living.pop(dead).core
        worker = SimpleNamespace()
        gunicorn_conf.pre_fork(server, worker)
        living[reborn] = worker
        assert worker.core == core
    server.cfg.workers = 3
    crowded = SimpleNamespace()
    gunicorn_conf.pre_fork(server, crowded)
    assert crowded.core is None, "more workers than cores: none is held"
