"""Two workers against one, each held to a core, and what slow clients take behind the proxy.

By the clock twice is not to be had: the load tool and other work on the machine share the cores
with two workers. So the goal is by the processor time of the worker that had most to do, which
tells whether work is shared out evenly and costs no more than with one. Kept connections are not
shared out evenly between workers, so a round may fall to the work of one: the range tells.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from functools import partial
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory

from bench import call_outs
from bench.measure import CORES, SERVER_CORE, TOOL_CORE, Pace, Row, held_to, in_turn, ratio, values
from support.load import Address, Load, Tally
from support.servers import gunicorn, nginx, nginx_program
from support.slow_clients import slow_clients


def rows(pace: Pace) -> list[Row]:
    """Workers, tails and slow clients."""
    return [*workers(pace), *beside_slow_clients(pace)]


def workers(pace: Pace) -> list[Row]:
    """Requests and batches with one and two workers."""
    tails: dict[str, list[float]] = {"1": [], "2": []}
    costs: dict[str, list[float]] = {"1": [], "2": []}
    busiest: dict[str, list[float]] = {"1": [], "2": []}
    with TemporaryDirectory() as folder, ExitStack() as stack, held_to(*CORES):
        log = Path(folder) / "log"
        running = {
            count: stack.enter_context(
                gunicorn(log, WORKERS=count, cores=CORES if count == "2" else [SERVER_CORE])
            )
            for count in ("1", "2")
        }
        address = {count: process.address for count, process in running.items()}

        def rate(count: str) -> float:
            new = call_outs.gets(call_outs.unified())
            tally = Load(address[count], new, connections=32).run(pace.seconds)
            return checked(tally).per_second

        def tail(count: str) -> float:
            new = call_outs.gets(call_outs.unified())
            tally = checked(Load(address[count], new, connections=8).run(pace.seconds))
            tails[count].append(tally.percentile_s(99) / tally.percentile_s(50))
            return tally.per_second

        def batches(count: str) -> float:
            # Made beforehand, and each on a connection of its own, which any worker may take.
            new = call_outs.batches(call_outs.unified(), 1000)
            sent = [apart(batch) for batch in islice(new, round(60 * pace.seconds))]
            before = running[count].cpu_seconds_of_each()
            tally = checked(Load(address[count], sent, connections=4).run())
            after = running[count].cpu_seconds_of_each()
            used = [now - then for now, then in zip(after, before, strict=True)]
            costs[count].append(sum(used) / len(sent))
            busiest[count].append(len(sent) / max(used))
            return tally.per_second

        def with_room(case: Callable[[str], float], count: str) -> float:
            """One worker leaves the tool a core; two share both with it."""
            with held_to(*([TOOL_CORE] if count == "1" else CORES)):
                return case(count)

        cases = {
            f"{kind} {count}": partial(with_room, case, count)
            for kind, case in (("rate", rate), ("tail", tail), ("batch", batches))
            for count in ("1", "2")
        }
        got = in_turn(cases, pace.rounds)
    return [
        ratio(
            "two workers / one, batches of 1,000, by processor time", busiest, "2", "1", least=1.8
        ),
        ratio("two workers / one, batches of 1,000, by the clock", got, "batch 2", "batch 1"),
        ratio("processor time of a batch, two workers / one", costs, "2", "1", most=1.1),
        ratio("two workers / one, single requests", got, "rate 2", "rate 1"),
        values("p99 / median wait, one held worker", tails["1"], unit="×", most=3.5),
        values("p99 / median wait, two held workers", tails["2"], unit="×", most=5),
    ]


def beside_slow_clients(pace: Pace) -> list[Row]:
    """Throughput through the proxy with 50 slow clients and without."""
    if nginx_program() is None:
        return []
    with TemporaryDirectory() as folder, ExitStack() as stack, held_to(*CORES):
        log = Path(folder) / "log"
        service = stack.enter_context(gunicorn(log, WORKERS="1", cores=[SERVER_CORE]))
        proxy = stack.enter_context(nginx(Path(folder) / "proxy", [service.address]))

        def alone() -> float:
            return through(proxy.address, pace)

        def beside(kind: str) -> float:
            with slow_clients(proxy.address, kind):
                return through(proxy.address, pace)

        got = in_turn(
            {
                "alone": alone,
                "slow header": lambda: beside("slow header"),
                "slow body": lambda: beside("slow body"),
                "silent": lambda: beside("silent"),
            },
            pace.rounds,
        )
    return [
        ratio(f"throughput beside 50 clients, {kind} / alone", got, kind, "alone", least=0.9)
        for kind in ("slow header", "slow body", "silent")
    ]


def apart(request: bytes) -> bytes:
    """A request that ends its connection."""
    return request.replace(b"\r\n\r\n", b"\r\nConnection: close\r\n\r\n", 1)


def through(address: Address, pace: Pace) -> float:
    """Requests a second of good clients."""
    new = call_outs.gets(call_outs.unified())
    with held_to(TOOL_CORE):
        return checked(Load(address, new, connections=4).run(pace.seconds)).per_second


def checked(tally: Tally) -> Tally:
    """A tally without faults."""
    if tally.faults() or set(tally.statuses) != {200}:
        raise RuntimeError(f"{tally.faults()} {tally.statuses}")
    return tally
