"""The working can be worked: each equation gives its value from the numbers beside it."""

from __future__ import annotations

import ast
import math
import re
from typing import Any

import pytest
from flask.testing import FlaskClient

from support.examples import EXAMPLE_IDS, EXAMPLES
from threadwright_service.api import BY_NAME
from threadwright_service.api.operation import Example, Operation
from threadwright_service.app.flat import found

examples = pytest.mark.parametrize(("operation", "example"), EXAMPLES, ids=EXAMPLE_IDS)
FUNCTIONS: dict[str, Any] = {
    **{
        name: getattr(math, name)
        for name in (
            *("sqrt", "cbrt", "sin", "cos", "tan", "asin", "acos", "atan", "radians", "degrees"),
            *("log", "exp", "floor", "ceil", "pi"),
        )
    },
    "min": min,
    "max": max,
    "abs": abs,
}
SHOWN = {
    # What each operation is asked for, and must therefore be in its working.
    "thread-limits": ("limits.pitch_diameter.max", "limits.pitch_diameter.min"),
    "wire-measurement": ("best_wire_diameter", "lead_correction"),
    "size-correction": ("radius_correction",),
    "thread-hole": ("thread_percentage",),
    "hardness": ("value",),
    "pass-plan": ("depth", "cutter_centre_radius", "expected_pitch_diameter", "path.turns"),
    "cutting-data": ("spindle_speed", "feed_centre", "torque_nm", "power_kw"),
    "cycle-time": ("lot.time_min",),
    "job-sheet": ("plan.cutter_centre_radius", "time.lot.time_min"),
}


def steps_of(http: FlaskClient, operation: Operation, example: Example) -> list[dict[str, Any]]:
    answer: Any = http.post(operation.path, json={**example.request, "working": True}).json
    return list(answer["working"])


def evaluated(step: dict[str, Any]) -> float | None:
    """The formula's value from its inputs; ``None`` if it is told in words."""
    try:
        tree = ast.parse(step["formula"], mode="eval")
    except SyntaxError:
        return None
    names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    numbers = {key: value for key, value in step["inputs"].items() if not isinstance(value, str)}
    if not names <= FUNCTIONS.keys() | numbers.keys():
        return None
    code = compile(tree, "formula", "eval")
    return float(eval(code, {"__builtins__": {}}, {**FUNCTIONS, **numbers}))


@examples
def test_equations_give_their_values(
    operation: Operation, example: Example, http: FlaskClient
) -> None:
    steps = steps_of(http, operation, example)
    checked = 0
    for step in steps:
        value = evaluated(step)
        if value is None:
            continue
        checked += 1
        slack = 2e-7 * max(1.0, abs(value))  # the inputs are shown to ten digits
        rounding = re.match(r"(\d+) decimals", step.get("rounding", ""))
        if rounding:
            slack += 0.5 * 10 ** -int(rounding[1]) + 1e-9
        assert value == pytest.approx(step["value"], abs=slack), step
    if operation.name != "hardness":
        assert checked >= 0.6 * len(steps), "most of the working is equations"


@pytest.mark.parametrize("name", SHOWN)
def test_what_is_asked_for_is_worked(name: str, http: FlaskClient) -> None:
    operation = BY_NAME[name]
    request = {**operation.examples[0].request, "working": True}
    answer: Any = http.post(operation.path, json=request).json
    values = [
        abs(number)
        for step in answer["working"]
        for number in (step["value"], step.get("value_in"))
        if isinstance(number, (int, float))
    ]
    for path in SHOWN[name]:
        wanted = abs(found(answer["result"], path))
        near = 2e-6 * max(1.0, wanted) + 6e-5  # as rounded at the edge
        assert any(abs(value - wanted) <= near for value in values), f"{path} {wanted}"


@examples
def test_each_step_is_whole(operation: Operation, example: Example, http: FlaskClient) -> None:
    for step in steps_of(http, operation, example):
        for key in ("quantity", "symbol", "formula", "substituted", "source"):
            assert step[key], step
        assert "sources.toml" not in step["source"], "a title, not a key of a file"
        shown = set(re.findall(r"[A-Za-z_][A-Za-z_0-9]*", step["substituted"]))
        assert not shown & set(step["inputs"]), f"a number is not put in: {step['substituted']}"
