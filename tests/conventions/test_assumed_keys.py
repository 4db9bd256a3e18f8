"""What an answer assumed is a key that the caller can set, with the few exceptions named here."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from threadwright_service.api import OPERATIONS
from threadwright_service.api.operation import Operation

KEYS_OF_A_PART = {
    "table": "a key of hardness, which decides between published tables",
    "method": "a key of wire-measurement",
    "ball_reading": "a key of wire-measurement",
    "gauge_standard": "a key of gauge-limits",
    "convention": "a key of thread-hole",
    "thread_percentage": "a key of thread-hole",
    "coolant": "a key of cutting-data",
    "clearance": "a member of an operation in operations",
    "thread_approach": "the member approach of an operation in operations",
    "run_in_turns_ratio": "follows from path_length, which can be given",
}
"""Names that belong to a part of a job: the operation or the list in which they can be set."""


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda each: each.name)
def test_what_was_assumed_can_be_set(operation: Operation, http: FlaskClient) -> None:
    keys = set(operation.request.wire_fields())
    for example in operation.examples:
        answer = http.post(operation.path, json=dict(example.request))
        assert answer.json is not None
        assumed = {each["parameter"] for each in answer.json["assumed"]}
        assert assumed - keys <= set(KEYS_OF_A_PART), example.title
