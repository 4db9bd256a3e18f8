"""A full pass plan against one plain request for limits, and against five milliseconds of a core.

Inside the process, each from its keys to the answer's members: no server and no text around them.
Every example of the operation, and one whose neck is so slender that its bend sets the feed. The
goal is twenty plain answers or five milliseconds of one core, whichever is longer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from time import process_time
from typing import Any

from bench import call_outs
from bench.measure import SERVER_CORE, Pace, Row, held_to, in_turn, values
from threadwright_service.api import BY_NAME
from threadwright_service.api.answer import answer
from threadwright_service.api.operation import Operation

PLAIN = "thread-limits"
TIMES, MILLISECONDS = 20, 5.0
TOGETHER = 4
"""Plans timed at once, so that the clock's step does not count."""


def rows(pace: Pace) -> list[Row]:
    """Each plan's time in milliseconds of one core, and as a share of what it may take."""
    operation = BY_NAME["pass-plan"]
    asked = {example.title: dict(example.request) for example in operation.examples}
    first = next(iter(asked.values()))
    asked["a slender neck"] = {
        **first,
        "cutter_neck_diameter": 8,
        "cutter_neck_length": 60,
        "cutter_stick_out": 60,
    }
    limits = call_outs.unified()
    cases: dict[str, Callable[[], float]] = {PLAIN: lambda: _plain_s(limits)}
    for title, keys in asked.items():
        cases[title] = _timed(operation, keys)
    with held_to(SERVER_CORE):
        in_turn(cases, 1)
        got = in_turn(cases, 4 * pace.rounds)
    table = [values("thread-limits, new", [1000 * each for each in got[PLAIN]], unit="ms of CPU")]
    for title in asked:
        pairs = list(zip(got[title], got[PLAIN], strict=True))
        table.append(values(f"pass-plan, {title}", [1000 * s for s, _ in pairs], unit="ms of CPU"))
        shares = [s / max(TIMES * plain, MILLISECONDS / 1000) for s, plain in pairs]
        table.append(
            values(
                f"pass-plan, {title} / what it may take",
                shares,
                unit="×",
                most=1.0,
                note=f"{TIMES} plain answers or {MILLISECONDS:g} ms",
            )
        )
    return table


def _plain_s(designations: Iterator[str]) -> float:
    operation = BY_NAME[PLAIN]
    wanted = [next(designations) for _ in range(20 * TOGETHER)]
    began = process_time()
    for designation in wanted:
        answer(operation, operation.request.load_json({"designation": designation}))
    return (process_time() - began) / len(wanted)


def _timed(operation: Operation, keys: Mapping[str, Any]) -> Callable[[], float]:
    def run() -> float:
        began = process_time()
        for _ in range(TOGETHER):
            answer(operation, operation.request.load_json(dict(keys)))
        return (process_time() - began) / TOGETHER

    return run
