"""A worker's start-up, memory and growth against bare Flask's under the same gunicorn settings."""

from __future__ import annotations

from collections.abc import Callable
from itertools import chain, islice
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from bench import call_outs
from bench.measure import SERVER_CORE, TOOL_CORE, Pace, Row, held_to, in_turn, ratio, values
from support.load import Load, any_of, get
from support.servers import Process, gunicorn

TESTS = Path(__file__).resolve().parents[1]
LONG = 200_000


def ours(log: Path, ready: str) -> Process:
    """The service with one worker."""
    return gunicorn(log, WORKERS="1", cores={SERVER_CORE}, ready=ready, MAX_REQUESTS="0")


def flask(log: Path, ready: str = "/bare") -> Process:
    """Bare Flask with one worker."""
    return gunicorn(
        log,
        application="bench.bare:flask_app",
        folders=[TESTS],
        cores={SERVER_CORE},
        ready=ready,
        WORKERS="1",
    )


def resident_mib(process: Process) -> float:
    """Resident memory of the one worker."""
    [worker] = process.workers()
    status = Path(f"/proc/{worker}/status").read_text(encoding="ascii")
    return int(status.split("VmRSS:")[1].split()[0]) / 1024


def start_up(start: Callable[[], Process]) -> float:
    """Seconds from the command to the first 200."""
    began = perf_counter()
    with start():
        return perf_counter() - began


def rows(pace: Pace) -> list[Row]:
    """Start-up and memory as ratios; growth over many requests if there is time."""
    with TemporaryDirectory() as folder, held_to(TOOL_CORE):
        log = Path(folder) / "log"
        limits = "/v1/thread-limits?designation=M24x1.5-6g"
        for _ in range(2):  # files into the page cache, bytecode onto the disk
            start_up(lambda: ours(log, limits))
            start_up(lambda: flask(log))
        starts = in_turn(
            {
                "ours": lambda: start_up(lambda: ours(log, limits)),
                "ready": lambda: start_up(lambda: ours(log, "/readyz")),
                "flask": lambda: start_up(lambda: flask(log)),
            },
            pace.rounds,
        )
        table = [
            values("start to the first answer", starts["ours"], unit="s"),
            ratio("start to the first answer / bare Flask", starts, "ours", "flask", most=2),
            ratio("start to ready, all tables read / bare Flask", starts, "ready", "flask"),
        ]
        memory: dict[str, list[float]] = {"ours": [], "flask": [], "full": []}
        for _ in range(max(2, pace.rounds // 2)):
            with ours(log, "/readyz") as process, flask(log) as bare:
                Load(bare.address, any_of([get("/bare")])).run(pace.seconds)
                memory["ours"].append(resident_mib(process))
                memory["flask"].append(resident_mib(bare))
                kept = islice(call_outs.gets(call_outs.unified()), 6_000)
                Load(process.address, kept).run()
                memory["full"].append(resident_mib(process))
        table += [
            values("memory of a worker, ready", memory["ours"], unit="MiB"),
            ratio("memory of a worker, ready / bare Flask", memory, "ours", "flask", most=1.5),
            ratio(
                "memory of a worker with every kept answer / bare Flask",
                memory,
                "full",
                "flask",
                most=1.5,
            ),
        ]
        if pace.long:
            table.append(growth(log))
    return table


def growth(log: Path) -> Row:
    """Growth of a worker's memory over many requests, after a tenth of them."""
    with ours(log, "/readyz") as process:
        new = call_outs.gets(call_outs.unified())
        mixed = chain.from_iterable(
            zip(
                new,
                call_outs.posts(call_outs.metric()),
                any_of([get("/v1/materials")]),
                any_of([get("/v1/thread-limits?designation=wrong")]),
                strict=False,
            )
        )
        Load(process.address, islice(mixed, LONG // 10)).run()
        before = resident_mib(process)
        tally = Load(process.address, islice(mixed, LONG)).run()
        if tally.faults():
            raise RuntimeError(str(tally.faults()))
        grown = 100 * (resident_mib(process) / before - 1)
    return values(f"growth of memory over {LONG:,} requests", [grown], unit="%", most=3)
