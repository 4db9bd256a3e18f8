"""A clock that jumps and a foreign locale change no answer: nothing computed depends on them."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from support.load import Load
from support.right_answers import RightAnswers
from support.servers import gunicorn

pytestmark = pytest.mark.operations

# Put where Python imports it at start-up: the wall clock that every module sees jumps by what a
# file says; the monotonic clock goes on, as it does when a machine's clock is set.
CLOCK = """
import os, time
_real = time.time
_file = os.environ["CLOCK_OFFSET_FILE"]
def _shifted():
    try:
        with open(_file) as file:
            return _real() + float(file.read() or 0)
    except FileNotFoundError:
        return _real()
time.time = _shifted
"""


def test_a_clock_that_jumps(tmp_path: Path, right: RightAnswers) -> None:
    folder = tmp_path / "clock"
    folder.mkdir()
    (folder / "sitecustomize.py").write_text(CLOCK, encoding="utf-8")
    offset = tmp_path / "offset"
    with gunicorn(
        tmp_path / "service.log",
        folders=[folder],
        WORKERS="2",
        environment={"CLOCK_OFFSET_FILE": str(offset)},
    ) as service:
        workers = service.workers()
        for seconds in (0, 86_400, -86_400 * 400, 3e9, 0):
            offset.write_text(str(seconds), encoding="ascii")
            tally = Load(service.address, right.light(), connections=4, check=right.holds).run(1)
            assert not tally.faults(), (seconds, tally.faults(), tally.first_wrong)
        time.sleep(1.5)
        assert service.workers() == workers, "no worker was taken for dead"


@pytest.mark.parametrize(
    "variables",
    [
        {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "TZ": "UTC"},
        {"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8", "TZ": "Asia/Kathmandu"},
        {"LC_ALL": "tr_TR.UTF-8", "TZ": "Pacific/Kiritimati", "PYTHONHASHSEED": "1"},
    ],
    ids=["C without UTF-8", "decimal comma", "dotless i"],
)
def test_locale_time_zone_and_hash_seed(
    tmp_path: Path, right: RightAnswers, variables: dict[str, str]
) -> None:
    folder = tmp_path / "locale"
    folder.mkdir()
    # The service sets no locale of its own; a library might.
    (folder / "sitecustomize.py").write_text(
        "import contextlib, locale\n"
        "with contextlib.suppress(locale.Error):\n"
        "    locale.setlocale(locale.LC_ALL, '')\n",
        encoding="utf-8",
    )
    with gunicorn(
        tmp_path / "service.log",
        folders=[folder],
        WORKERS="1",
        ACCESS_LOG="true",
        environment=variables,
    ) as service:
        requests = [request for request, _ in zip(right, range(len(right)), strict=False)]
        tally = Load(service.address, requests, connections=4, check=right.holds).run()
    assert not tally.faults(), (tally.faults(), tally.first_wrong)
    assert tally.answered == len(right)
