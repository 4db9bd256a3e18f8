"""One request after another: every operation against a bare callable and a bare Flask route.

The worker and the load tool have a core each; all servers run under the service's own gunicorn
settings, so all have the same worker class. Eight kept connections. A rate is answers a second of
the worker's processor time, so that other work on its core does not count.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from bench import call_outs
from bench.measure import SERVER_CORE, TOOL_CORE, Pace, Row, held_to, in_turn, ratio, values
from support.examples import query
from support.load import Load, any_of, exchange, get
from support.servers import Process, gunicorn
from threadwright_service.api import OPERATIONS
from threadwright_service.api.answer import answer
from threadwright_service.api.jobs import OPERATIONS as JOB_SHEET
from threadwright_service.api.operation import Outcome, Request
from threadwright_service.app.reply import json_bytes

TESTS = Path(__file__).resolve().parents[1]
KEPT = "/v1/thread-limits?designation=M24x1.5-6g"
Requests = Callable[[], Iterator[bytes]]

FLASK, JSONIFY, BARE = "bare Flask route", "bare Flask route, jsonify", "bare WSGI callable"
UNIFIED, METRIC = "thread-limits, new inch call-out", "thread-limits, new metric call-out"
LOGGED, POSTED = "thread-limits, new, access log on", "thread-limits, new, by POST"
AGAIN, UNCHANGED = "thread-limits, repeated", "thread-limits, 304"
JOB = "job-sheet, not kept"


def servers(stack: ExitStack, log: Path) -> dict[str, Process]:
    """Ours as it is, with a log, and without kept answers; the bare ones."""

    def started(**how: str) -> Process:
        return stack.enter_context(gunicorn(log, WORKERS="1", cores={SERVER_CORE}, **how))  # type: ignore[arg-type]

    def bare(name: str, path: str) -> Process:
        process = gunicorn(
            log,
            application=f"bench.bare:{name}",
            folders=[TESTS],
            cores={SERVER_CORE},
            ready=path,
            WORKERS="1",
        )
        return stack.enter_context(process)

    return {
        "ours": started(),
        "logged": started(ACCESS_LOG="true"),
        "forgetful": started(KEPT_ANSWERS="0"),
        "flask": bare("flask_app", "/bare"),
        "bare": bare("callable_app", "/"),
    }


def cases(running: Mapping[str, Process]) -> dict[str, tuple[Process, Requests]]:
    """What is asked of which server."""
    _, head, _ = exchange(running["ours"].address, get(KEPT))
    tag = re.search(rb'ETag: ("\S+")', head)
    assert tag, head
    unchanged = get(KEPT, If_None_Match=tag[1].decode())
    asked: dict[str, tuple[Process, Requests]] = {
        BARE: (running["bare"], lambda: any_of([get("/")])),
        FLASK: (running["flask"], lambda: any_of([get("/bare")])),
        JSONIFY: (running["flask"], lambda: any_of([get("/bare/jsonify")])),
        UNIFIED: (running["ours"], lambda: call_outs.gets(call_outs.unified())),
        METRIC: (running["ours"], lambda: call_outs.gets(call_outs.metric())),
        LOGGED: (running["logged"], lambda: call_outs.gets(call_outs.unified())),
        POSTED: (running["ours"], lambda: call_outs.posts(call_outs.unified())),
        AGAIN: (running["ours"], lambda: any_of([get(KEPT)])),
        UNCHANGED: (running["ours"], lambda: any_of([unchanged])),
    }
    for operation in OPERATIONS:
        if operation.name != "thread-limits":
            path = f"{operation.path}?{query(operation.examples[0].request)}"
            asked[f"{operation.name}, not kept"] = (running["forgetful"], _always(get(path)))
    return asked


def _always(request: bytes) -> Requests:
    return lambda: any_of([request])


GOALS = {UNIFIED: 0.6, METRIC: 0.6, LOGGED: 0.55, POSTED: 0.6, AGAIN: 0.9, UNCHANGED: 0.95}


def rows(pace: Pace) -> list[Row]:
    """Answers a second of each case, as ratios."""
    with TemporaryDirectory() as folder, ExitStack() as stack, held_to(TOOL_CORE):
        asked = cases(servers(stack, Path(folder) / "log"))
        tails: dict[str, list[float]] = {name: [] for name in asked}

        def rate(name: str) -> Callable[[], float]:
            process, requests = asked[name]

            def run() -> float:
                load = Load(process.address, requests(), connections=8)
                before = process.cpu_seconds()
                tally = load.run(pace.seconds)
                used = process.cpu_seconds() - before
                if tally.faults() or not set(tally.statuses) <= {200, 304}:
                    raise RuntimeError(f"{name}: {tally.faults()} {tally.statuses}")
                tails[name].append(tally.percentile_s(99) / tally.percentile_s(50))
                return tally.answered / used

            return run

        got = in_turn({name: rate(name) for name in asked}, pace.rounds)
    table = [values("bare Flask route", got[FLASK], unit="requests/s of CPU")]
    for name in asked:
        if name == FLASK:
            continue
        table.append(ratio(f"{name} / bare Flask", got, name, FLASK, least=GOALS.get(name)))
    for name in (UNIFIED, AGAIN, JOB):
        table.append(ratio(f"{name} / bare callable", got, name, BARE))
    for name in (UNIFIED, AGAIN):
        table.append(values(f"p99 / median wait, {name}", tails[name], unit="×", most=3.5))
    for name in (FLASK, BARE):
        table.append(values(f"p99 / median wait, {name}", tails[name], unit="×"))
    table.append(share_of_calculation())
    return table


def share_of_calculation() -> Row:
    """How much of a job sheet's answer, within the process, its calculation takes.

    A sheet is milliseconds of calculation: what is left to ask is that little is put on top.
    """
    [operation] = JOB_SHEET
    inside: list[float] = []

    def timed(request: Request) -> Outcome:
        began = perf_counter()
        outcome = operation.run(request)
        inside.append(perf_counter() - began)
        return outcome

    watched = replace(operation, run=timed)
    keys = dict(operation.examples[0].request)
    shares = []
    with held_to(SERVER_CORE):
        for _ in range(10):
            began = perf_counter()
            json_bytes(answer(watched, watched.request.load_json(dict(keys))))
            shares.append(100 * inside[-1] / (perf_counter() - began))
    return values("job-sheet: calculation's share of the answer", shares[1:], unit="%", least=80)
