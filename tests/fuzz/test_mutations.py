"""Requests near the examples, in every form: a refusal or an answer, never a fault of ours.

What a schema alone generates is mostly refused at the door, because keys depend on one another.
Requests that begin as a right one go through to the calculations, the pictures and the pages.
"""

from __future__ import annotations

import json
import random
import time
from typing import Any
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from support.examples import OPERATION_IDS
from support.mutations import mutated
from threadwright_service.api import BY_NAME, OPERATIONS
from threadwright_service.api.operation import Operation
from threadwright_service.app import create_app
from threadwright_service.settings import Settings

FORMS = ("json", "csv", "text", "xml", "html", "svg")
SLOWEST_S = 5.0
seeds = st.integers(0, 2**32 - 1)


@pytest.fixture(scope="module")
def unkept() -> FlaskClient:
    """A client of a service that keeps nothing."""
    return create_app(Settings(kept_answers=0)).test_client()


@pytest.fixture(scope="module")
def schemas(openapi: dict[str, Any]) -> dict[str, Draft202012Validator]:
    """What each operation's answer must match."""
    return {
        operation.name: Draft202012Validator(
            {
                "$ref": "#/components/schemas/"
                + "".join(part.capitalize() for part in operation.name.split("-"))
                + "Answer",
                "components": openapi["components"],
            }
        )
        for operation in OPERATIONS
    }


def check(
    operation: Operation,
    seed: int,
    client: FlaskClient,
    schemas: dict[str, Draft202012Validator],
) -> None:
    """One request in one form, or as JSON against the contract."""
    chance = random.Random(seed)
    request = mutated(operation, chance)
    form = chance.choice(FORMS)
    if chance.random() < 0.1:
        request["working"] = True
    began = time.process_time()
    answer = client.post(f"{operation.path}?format={form}", json=request)
    seconds = time.process_time() - began
    told = f"{operation.path}?format={form} {json.dumps(request)}"
    assert answer.status_code in (200, 422), told
    assert seconds < SLOWEST_S, f"{seconds:.1f} s: {told}"
    if answer.status_code == 422 and form != "html":
        problem: Any = answer.json
        assert problem["errors"], told
        assert all(each["detail"] for each in problem["errors"]), told
    elif answer.status_code == 200 and form == "json":
        errors = [error.message for error in schemas[operation.name].iter_errors(answer.json)]
        assert not errors, f"{errors[:3]}: {told}"
    elif answer.status_code == 200 and form in ("xml", "svg"):
        ElementTree.fromstring(answer.data)
    elif answer.status_code == 200 and form == "text":
        assert answer.data, told


@pytest.mark.parametrize("operation", OPERATIONS, ids=OPERATION_IDS)
def test_near_the_examples(
    operation: Operation, unkept: FlaskClient, schemas: dict[str, Draft202012Validator]
) -> None:
    @settings(
        max_examples=60,
        deadline=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    @given(seeds)
    def run(seed: int) -> None:
        check(operation, seed, unkept, schemas)

    run()


@pytest.mark.fuzz
@pytest.mark.parametrize("operation", OPERATIONS, ids=OPERATION_IDS)
def test_near_the_examples_at_length(
    operation: Operation, unkept: FlaskClient, schemas: dict[str, Draft202012Validator]
) -> None:
    for seed in range(10_000):
        check(operation, seed, unkept, schemas)


FOUND: list[tuple[str, str, dict[str, Any]]] = [
    ("wire-measurement", "html", {"designation": "S 40x7"}),
    (
        # A nose larger than the groove, which no force could be worked out for.
        "pass-plan",
        "json",
        {**BY_NAME["pass-plan"].examples[3].request, "cutter_nose_radius": 0.3136},
    ),
    (
        # A blank of 386 mm for a thread of 19: refused only after minutes.
        "pass-plan",
        "json",
        {**BY_NAME["pass-plan"].examples[2].request, "blank_diameter": 15.2},
    ),
    (
        # A first pass so thin that it has no force.
        "pass-plan",
        "json",
        {**BY_NAME["pass-plan"].examples[3].request, "first_pass_share": 0.0007},
    ),
    ("cycle-time", "html", {**BY_NAME["cycle-time"].examples[2].request, "machine_rate": 0}),
    (
        "cycle-time",
        "json",
        {
            "unit": "mm",
            "designation": "R 3/4",
            "thread_process": "tapped",
            "thread_length": 20,
            "passes": 1,
            "spindle_speed": 400,
            "quantity": 5,
            "alternative_thread_feed_centre": 43.2,
        },
    ),
    (
        # The last pass was thinner than a number can hold, and had no force.
        "turning-plan",
        "json",
        {
            **BY_NAME["turning-plan"].examples[0].request,
            "division": "falling",
            "infeed": "alternating",
            "infeed_ratio": 0.00182,
        },
    ),
]


@pytest.mark.parametrize(("name", "form", "request_"), FOUND, ids=[each[0] for each in FOUND])
def test_what_was_found(
    name: str, form: str, request_: dict[str, Any], unkept: FlaskClient
) -> None:
    """Requests that once failed or took minutes."""
    began = time.process_time()
    answer = unkept.post(f"{BY_NAME[name].path}?format={form}", json=request_)
    assert answer.status_code in (200, 422), answer.text
    assert time.process_time() - began < SLOWEST_S
