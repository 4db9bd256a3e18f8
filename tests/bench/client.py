"""What the client itself costs: each call, its results, batches, embedded, and its import.

Over HTTP the measure is ``requests.Session.get`` as it comes, to the same server in the same run.
Against a server that costs next to nothing the ratio is that of the clients; against the service
itself it is what a caller sees. Embedded, the measure is the service's own entry.
"""

from __future__ import annotations

import gc
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Any

import requests

from bench import call_outs
from bench.measure import (
    SERVER_CORE,
    TOOL_CORE,
    Pace,
    Row,
    held_to,
    in_turn,
    ratio,
    values,
)
from support.servers import ROOT, gunicorn
from threadwright import Client, InvalidInputError
from threadwright.results.threads import ThreadLimits
from threadwright_service.api import OPERATIONS
from threadwright_service.api.entry import call
from threadwright_service.calc.threads.limits import thread_limits

KEYS = {"designation": "M24x1.5-6g"}
MANY = 10_000
BAD = 100


def rows(pace: Pace) -> list[Row]:
    """All rows."""
    gc.collect()
    gc.freeze()
    with held_to(TOOL_CORE):
        return [
            *_against_a_fixed_answer(pace),
            *_against_the_service(pace),
            *_embedded(pace),
            *_imports(pace),
        ]


def _against_a_fixed_answer(pace: Pace) -> list[Row]:
    with fixed_answer() as url, Client(url) as client, requests.Session() as session:
        address = f"{url}/v1/thread-limits"
        cases = {
            "get": lambda: session.get(address, params=KEYS).content,
            "get and json": lambda: session.get(address, params=KEYS).json(),
            "client": lambda: client.thread_limits(**KEYS).limits.pitch_diameter.max,  # type: ignore[arg-type]
        }
        got = in_turn(
            {name: _each(case, pace.seconds / 2) for name, case in cases.items()}, pace.rounds
        )
    return [
        ratio("a call, typed result included, to requests.Session.get", got, "client", "get",
              most=0.75, note="a server that costs next to nothing"),
        ratio("the same, to get and json", got, "client", "get and json"),
        values("a call", got["client"], unit="µs"),
    ]  # fmt: skip


def _against_the_service(pace: Pace) -> list[Row]:
    with (
        TemporaryDirectory() as folder,
        gunicorn(Path(folder) / "log", WORKERS="1", cores={SERVER_CORE}) as process,
        Client(process.url) as client,
        requests.Session() as session,
    ):
        address = f"{process.url}/v1/thread-limits"
        sizes = call_outs.unified()
        got = in_turn(
            {
                "get": _each(
                    lambda: session.get(address, params={"designation": next(sizes)}).json(),
                    pace.seconds / 2,
                ),
                "client": _each(
                    lambda: client.thread_limits(designation=next(sizes)), pace.seconds / 2
                ),
            },
            pace.rounds,
        )
        batches = in_turn({"batch": lambda: _batch(client)}, max(3, pace.rounds // 2))
    return [
        ratio("a call to the service, call-out not seen before, to requests.Session.get", got,
              "client", "get", most=1.0),
        values(f"{MANY:,} call-outs by Client.batch over HTTP, {BAD} bad ones in their place",
               batches["batch"], unit="items/s"),
    ]  # fmt: skip


def _embedded(pace: Pace) -> list[Row]:
    client = Client()
    found = []
    for operation in OPERATIONS:
        keys = dict(operation.examples[0].request)
        got = in_turn(
            {
                "entry": _each(lambda: call(operation.name, keys), pace.seconds / 4),  # noqa: B023
                "client": _each(lambda: client.call(operation.name, keys), pace.seconds / 4),  # noqa: B023
            },
            pace.rounds,
        )
        found.append(
            ratio(f"embedded {operation.name}, to the service's own entry", got, "client", "entry",
                  most=2.0, note="the same keys again")
        )  # fmt: skip
    sizes = call_outs.unified()
    got = in_turn(
        {
            "function": _each(lambda: thread_limits(designation=next(sizes)), pace.seconds / 2),
            "entry": _each(
                lambda: call("thread-limits", {"designation": next(sizes)}), pace.seconds / 2
            ),
            "client": _each(
                lambda: client.thread_limits(designation=next(sizes)), pace.seconds / 2
            ),
        },
        pace.rounds,
    )
    batches = in_turn({"batch": lambda: _batch(client)}, max(3, pace.rounds // 2))
    return [
        *found,
        ratio("embedded thread-limits not seen before, to the service's own entry", got, "client",
              "entry", most=2.0),
        ratio("the same, to the calculation alone", got, "client", "function",
              note="which reads no keys and tells no answer"),
        values("an embedded call", got["client"], unit="µs"),
        values(f"{MANY:,} call-outs by Client.batch embedded, {BAD} bad ones in their place",
               batches["batch"], unit="items/s"),
    ]  # fmt: skip


def _imports(pace: Pace) -> list[Row]:
    def fresh(module: str) -> Callable[[], float]:
        path = f"import sys; sys.path.insert(0, {str(ROOT / 'client')!r})"
        command = [sys.executable, "-c", f"{path}; import {module}"]

        def run() -> float:
            began = perf_counter()
            subprocess.run(command, check=True)
            return perf_counter() - began

        return run

    got = in_turn(
        {"requests": fresh("requests"), "threadwright": fresh("threadwright")}, 2 * pace.rounds
    )
    return [ratio("import threadwright, to import requests", got, "threadwright", "requests",
                  note="a fresh interpreter")]  # fmt: skip


def _batch(client: Client) -> float:
    """Items a second of a batch in which every hundredth call-out is none."""
    sizes = list(islice(call_outs.unified(), MANY))
    sizes[:: MANY // BAD] = ["no thread"] * BAD
    began = perf_counter()
    results = client.batch(({"designation": each} for each in sizes), operation="thread-limits")
    seconds = perf_counter() - began
    for designation, result in zip(sizes, results, strict=True):
        if designation == "no thread":
            right = isinstance(result, InvalidInputError)
        else:
            right = isinstance(result, ThreadLimits) and result.input["designation"] == designation
        if not right:
            raise RuntimeError(f"{designation} got {result!r:.200}")
    return MANY / seconds


def _each(case: Callable[[], Any], seconds: float) -> Callable[[], float]:
    """Microseconds of each call, over about so many seconds."""
    case()
    began = perf_counter()
    case()
    count = max(3, int(seconds / max(perf_counter() - began, 1e-6)))

    def run() -> float:
        began = perf_counter()
        for _ in range(count):
            case()
        return (perf_counter() - began) / count * 1e6

    return run


@contextmanager
def fixed_answer() -> Iterator[str]:
    """The address of a server that gives the limits of one thread, whatever it is asked."""
    with TemporaryDirectory() as folder:
        body = Path(folder) / "body.json"
        body.write_bytes(Client().document("thread-limits", "json", **KEYS))
        with held_to(SERVER_CORE):
            process = subprocess.Popen(
                [sys.executable, str(Path(__file__).with_name("fixed_answer.py")), str(body)],
                stdout=subprocess.PIPE,
                text=True,
            )
        try:
            assert process.stdout is not None
            yield f"http://127.0.0.1:{process.stdout.readline().strip()}"
        finally:
            process.kill()
            process.communicate()


if __name__ == "__main__":
    for row in rows(Pace(rounds=5, seconds=0.6)):
        sys.stdout.write(
            f"{row.what}: {row.value:.4g} {row.unit} ({row.low:.4g} to {row.high:.4g}) "
            f"{row.goal} {'' if row.met is None else 'met' if row.met else 'MISSED'}\n"
        )
