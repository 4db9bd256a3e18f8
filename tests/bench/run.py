"""Runs the benchmarks and prints one table: ``python tests/bench/run.py``.

    --quick         short rounds, for a look
    --long          also what takes a minute or more
    --only PIECE    one or more pieces by name
    --urgent        before other work on the machine, where the system permits it
    --json FILE     the rows for programs too

Everything is a ratio inside this one run, or stands beside what it is compared with. Each worker
is held to a core, and the load tool to another; absolute numbers are this machine's.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import sys
import traceback
from contextlib import suppress
from dataclasses import asdict
from importlib import import_module
from importlib.metadata import version
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
# The pieces, the tests' tools, and the service and client of this source tree.
sys.path[:0] = [str(ROOT / folder) for folder in ("tests", "service", "client")]

from bench.measure import Pace, Row, has_two_cores  # noqa: E402

PIECES = tuple(
    name
    for name in ("one_request", "plan", "batch", "forms", "client", "worker", "scale")
    if Path(__file__).with_name(f"{name}.py").exists()
)


def main() -> int:
    """Run what is asked for; the exit status tells whether every goal was met."""
    options = _options()
    pace = Pace(long=options.long)
    if options.quick:
        pace = Pace(rounds=3, seconds=0.4, long=options.long)
    if options.urgent:
        with suppress(PermissionError):
            os.nice(-15)
    if not has_two_cores():
        sys.stderr.write("needs two cores: one for the server, one for the load tool\n")
        return 2
    _say(
        f"# Benchmarks\n\nPython {platform.python_version()}, Flask {version('flask')}, gunicorn "
        f"{version('gunicorn')}; median of {pace.rounds} rounds, with the lowest and highest.\n"
    )
    found: list[Row] = []
    broken: list[str] = []
    for name in options.only or PIECES:
        try:
            rows = import_module(f"bench.{name}").rows(pace)
        except Exception:  # the other pieces are still worth having
            broken.append(name)
            _say(f"## {name} FAILED\n\n{traceback.format_exc(limit=-3)}")
            continue
        found += rows
        _say(_table(name.replace("_", " "), rows))
    if options.json:
        Path(options.json).write_text(
            json.dumps([asdict(row) for row in found], indent=1), encoding="utf-8"
        )
    missed = [row.what for row in found if row.met is False]
    _say(
        f"{sum(row.met is True for row in found)} goals met, {len(missed)} missed, "
        f"{len(broken)} pieces broken"
    )
    return 1 if missed or broken else 0


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Ratios of the service's speed and memory.")
    parser.add_argument("--quick", action="store_true", help="short rounds")
    parser.add_argument("--long", action="store_true", help="also what takes a minute or more")
    parser.add_argument("--urgent", action="store_true", help="before other work")
    parser.add_argument("--only", nargs="+", choices=PIECES, help="pieces to run")
    parser.add_argument("--json", metavar="FILE", help="write the rows to a file too")
    return parser.parse_args()


def _table(title: str, rows: list[Row]) -> str:
    lines = [f"## {title}\n", "| what | median | range | goal | met |", "|---|---|---|---|---|"]
    for row in rows:
        met = {True: "yes", False: "**no**", None: ""}[row.met]
        what = f"{row.what} ({row.note})" if row.note else row.what
        lines.append(
            f"| {what} | {_number(row.value)} {row.unit} | {_number(row.low)} to "
            f"{_number(row.high)} | {row.goal} | {met} |"
        )
    return "\n".join(lines) + "\n"


def _number(value: float) -> str:
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:.3g}"


def _say(text: str) -> None:
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
