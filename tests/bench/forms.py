"""What the other forms of an answer cost beside its JSON, and what the working costs.

Each form of each operation's first example, by the worker's processor time for a whole request
over a socket, with nothing kept. Also what the working costs that nobody asked for: the calls of
its equations beside the bare functions, as a share of the calculation.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from tempfile import TemporaryDirectory
from time import process_time
from unittest.mock import patch

from bench.measure import SERVER_CORE, TOOL_CORE, Pace, Row, held_to, in_turn, ratio, values
from support.examples import query
from support.load import Load, any_of, get
from support.servers import Process, gunicorn
from threadwright_service.api import OPERATIONS
from threadwright_service.api.answer import answer
from threadwright_service.api.operation import Operation
from threadwright_service.app.representations import REPRESENTATIONS
from threadwright_service.calc.trail import Formula, Trail

JSON, WORKING = "json", "json with working"
MOST_FORM, MOST_WORKING, MOST_UNASKED = 2.0, 3.0, 5.0


def rows(pace: Pace) -> list[Row]:
    """The ratios of every operation."""
    table: list[Row] = []
    with TemporaryDirectory() as folder, ExitStack() as stack, held_to(TOOL_CORE):
        service = stack.enter_context(
            gunicorn(Path(folder) / "log", WORKERS="1", KEPT_ANSWERS="0", cores={SERVER_CORE})
        )
        for operation in OPERATIONS:
            got = in_turn(_cases(service, operation, pace), pace.rounds)
            for form in got:
                if form != JSON:
                    most = MOST_WORKING if form == WORKING else MOST_FORM
                    table.append(
                        ratio(f"{operation.name}, {form} / json", got, form, JSON, most=most)
                    )
    table += [unasked_working(operation) for operation in OPERATIONS]
    return table


def _cases(service: Process, operation: Operation, pace: Pace) -> dict[str, Callable[[], float]]:
    """Seconds of the worker's processor for one request, by form."""
    asked = query(operation.examples[0].request)
    paths = {form.name: f"{operation.path}?{asked}&format={form.name}" for form in REPRESENTATIONS}
    paths[WORKING] = f"{paths[JSON]}&working=true"

    def seconds(path: str) -> Callable[[], float]:
        def run() -> float:
            requests: Iterator[bytes] = any_of([get(path)])
            load = Load(service.address, requests, connections=4)
            before = service.cpu_seconds()
            tally = load.run(max(pace.seconds / 2, 0.3))
            used = service.cpu_seconds() - before
            if tally.faults() or set(tally.statuses) != {200}:
                raise RuntimeError(f"{path}: {tally.faults()} {tally.statuses}")
            return used / tally.answered

        return run

    return {name: seconds(path) for name, path in paths.items()}


def unasked_working(operation: Operation) -> Row:
    """What the possibility of the working costs when it is not asked for, in per cent.

    An equation without a trail costs a call and a look at the trail more than its bare function.
    That difference, times the equations of the example, against the time of the example.
    """
    keys = dict(operation.examples[0].request)
    count = 0
    plain = Formula.__call__

    def counted(self: Formula, trail: Trail | None, *inputs: float, rounding: str = "") -> float:
        nonlocal count
        count += 1
        return plain(self, trail, *inputs, rounding=rounding)

    def compute() -> float:
        began = process_time()
        answer(operation, operation.request.load_json(dict(keys)))
        return process_time() - began

    compute()
    with patch.object(Formula, "__call__", counted):
        compute()
    formula = Formula("x", "x", "a * b", "a b", unit="1", source="derivation")
    trail, times = Trail(), 20_000
    with held_to(SERVER_CORE):
        shares = []
        for _ in range(7):
            began = process_time()
            for _ in range(times):
                formula(trail, 1.5, 2.5)
            through = process_time() - began
            began = process_time()
            for _ in range(times):
                formula.function(1.5, 2.5)
            bare = process_time() - began
            each = max(through - bare, 0.0) / times
            shares.append(100 * count * each / min(compute() for _ in range(5)))
    return values(
        f"{operation.name}, working that is not asked for",
        shares,
        unit="%",
        most=MOST_UNASKED,
        note=f"{count} equations",
    )
