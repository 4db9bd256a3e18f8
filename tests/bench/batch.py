"""Batches of thread limits, all different, against a plain loop over the same function.

The worker and the loop have the same core, in turn; the load tool has the other. The loop calls
what the operation calls for each item: reads the call-out, computes, puts the members together.
Rates are items a second of processor time, of the worker or of the loop.
"""

from __future__ import annotations

import gc
from collections.abc import Callable
from itertools import islice
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import process_time

from bench import call_outs
from bench.measure import SERVER_CORE, TOOL_CORE, Pace, Row, held_to, in_turn, ratio, values
from support.load import Load
from support.servers import Process, gunicorn
from threadwright_service.api import BY_NAME
from threadwright_service.api.operation import Request
from threadwright_service.calc.threads.limits import thread_limits
from threadwright_service.calc.trail import Trail

SIZE = 1000


def loop_over_operation() -> float:
    """Items a second of a plain loop over the operation's function."""
    run = BY_NAME["thread-limits"].run
    wanted = list(islice(call_outs.unified(), SIZE))
    began = process_time()
    kept = [run(Request({"designation": each}, None, Trail())).result for each in wanted]
    return len(kept) / (process_time() - began)


def loop_over_calculation() -> float:
    """Items a second of a plain loop over the calculation alone."""
    wanted = list(islice(call_outs.unified(), SIZE))
    began = process_time()
    kept = [thread_limits(designation=each) for each in wanted]
    return len(kept) / (process_time() - began)


def over_http(process: Process, size: int, batches: int, connections: int = 1) -> float:
    """Items a second over HTTP, each answer checked to hold every item."""
    sent = list(islice(call_outs.batches(call_outs.unified(), size), batches))

    def complete(_: bytes, status: int, body: bytes) -> bool:
        return status == 200 and b'"failed":0,' in body[:200]

    before = process.cpu_seconds()
    tally = Load(process.address, sent, connections=connections, check=complete).run()
    used = process.cpu_seconds() - before
    if tally.faults():
        raise RuntimeError(f"{tally.faults()} {tally.first_wrong!r:.500}")
    return size * batches / used


def on_the_servers_core(case: Callable[[], float]) -> Callable[[], float]:
    """A loop where the worker runs."""

    def run() -> float:
        with held_to(SERVER_CORE):
            return median(case() for _ in range(3))

    return run


def rows(pace: Pace) -> list[Row]:
    """Items a second and their ratios; growth with the size of a batch."""
    gc.collect()
    gc.freeze()  # as the worker does: what start-up made is left out of garbage collection
    many = max(2, round(8 * pace.seconds))
    with (
        TemporaryDirectory() as folder,
        held_to(TOOL_CORE),
        gunicorn(Path(folder) / "log", WORKERS="1", cores={SERVER_CORE}) as process,
    ):
        over_http(process, SIZE, 2)  # warms up

        got = in_turn(
            {
                "http": lambda: over_http(process, SIZE, many),
                "two": lambda: over_http(process, SIZE, many, connections=2),
                "operation": on_the_servers_core(loop_over_operation),
                "calculation": on_the_servers_core(loop_over_calculation),
                "1": lambda: over_http(process, 1, 60 * many),
                "10": lambda: over_http(process, 10, 40 * many),
                "100": lambda: over_http(process, 100, 8 * many),
            },
            pace.rounds,
        )
    return [
        values("batch of 1,000 over HTTP", got["http"], unit="items/s of CPU", least=60_000),
        values("the same on two connections", got["two"], unit="items/s of CPU"),
        values("plain loop over the operation", got["operation"], unit="items/s of CPU"),
        values("plain loop over the calculation alone", got["calculation"], unit="items/s of CPU"),
        ratio("batch / loop over the operation", got, "http", "operation", least=0.6),
        ratio("batch / loop over the calculation alone", got, "http", "calculation"),
        ratio("batches of 1 / of 1,000, per item", got, "1", "http"),
        ratio("batches of 10 / of 1,000, per item", got, "10", "http"),
        ratio("batches of 100 / of 1,000, per item", got, "100", "http"),
    ]
