"""Trap 7: a cell never sees the body of an error, so it may ask for the error as text."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from support.examples import OPERATION_IDS, query
from threadwright_service.api import OPERATIONS
from threadwright_service.api.operation import Operation

operations = pytest.mark.parametrize("operation", OPERATIONS, ids=OPERATION_IDS)
WRONG: list[dict[str, Any]] = [
    {"ptich": 1.5},
    {"unit": "furlong"},
    {"working": "maybe"},
    {"format": "pdf"},
    {"field": "no.such.path"},
    {"rows": "no.such.list"},
]


@operations
@pytest.mark.parametrize("wrong", WRONG, ids=lambda keys: next(iter(keys)))
@pytest.mark.parametrize("form", ["", "&format=html", "&format=svg", "&format=xml"])
def test_one_line(
    operation: Operation, wrong: dict[str, Any], form: str, http: FlaskClient
) -> None:
    if "format" in wrong or ("rows" in wrong and form):
        form = ""
    asked = query({**operation.examples[0].request, **wrong})
    path = f"{operation.path}?{asked}{form}"
    honest = http.get(path)
    assert honest.status_code == 422, honest.text
    answer = http.get(f"{path}&on_error=text")
    assert answer.status_code == 200
    assert answer.content_type == "text/plain; charset=utf-8"
    assert answer.text.startswith("#ERR 422 ")
    assert answer.text.isascii()
    assert "\n" not in answer.text
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.headers["X-Problem"].startswith("422 ")
    assert "ETag" not in answer.headers, "an error must not be kept"


def test_the_line_names_key_and_reason(http: FlaskClient) -> None:
    answer = http.get("/v1/hardness?value=58,5&scale=HRC&field=value&on_error=text")
    assert answer.text.startswith("#ERR 422 invalid-request value: decimal comma in ")
    assert "58.5" in answer.text


def test_the_line_says_what_is_accepted_and_which_other_keys_are_wrong(http: FlaskClient) -> None:
    # A cell has nothing but this line: it must do what the members of a problem do elsewhere.
    lacking = http.get("/v1/thread-limits?designation=M24x1.5&on_error=text").text
    assert "; accepted: " in lacking
    assert "6g" in lacking.partition("; accepted: ")[2]
    several = "/v1/hardness?value=5_0&to=HB&table=none&on_error=text"
    problem = http.get(several.replace("&on_error=text", "")).json
    keys = [each["parameter"] for each in problem["errors"]]
    assert len(keys) == 3
    assert http.get(several).text.endswith(f"; also wrong: {', '.join(keys[1:])}")
    unknown = http.get("/v1/job-sheet?designatoin=M24x1.5-6g&on_error=text").text
    assert len(unknown) < 500, "a list of all keys is cut"
    once = http.get("/v1/hardness?value=58&scale=XYZ&on_error=text").text
    assert once.count("one of HRC") == 1, "nothing is said twice"


def test_a_right_request_is_answered_alike(http: FlaskClient) -> None:
    path = "/v1/hardness?value=58&scale=HRC&to=HBW&field=value"
    assert http.get(path).data == http.get(f"{path}&on_error=text").data == b"615.0"


@pytest.mark.parametrize("path", ["/v1/", "/v1/threads", "/v1/materials"])
def test_lists(path: str, http: FlaskClient) -> None:
    assert http.get(f"{path}?nonsense=1&on_error=text").text.startswith("#ERR 422 ")


def test_batch(http: FlaskClient) -> None:
    answer = http.post("/v1/batch?on_error=text", json={"items": []})
    assert answer.status_code == 200
    assert answer.text.startswith("#ERR 422 ")
