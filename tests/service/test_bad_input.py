"""What is wrong with a request is said, for every operation alike: key, value, what is accepted."""

from __future__ import annotations

import gzip
import json
from typing import Any

import pytest
from flask.testing import FlaskClient

from support.examples import OPERATION_IDS, query
from threadwright.shell import near_options
from threadwright_service.api import OPERATIONS
from threadwright_service.api.operation import Operation
from threadwright_service.schemas.fields import Choice, Number
from threadwright_service.schemas.near_keys import SHOP_WORDS

operations = pytest.mark.parametrize("operation", OPERATIONS, ids=OPERATION_IDS)


def good(operation: Operation) -> dict[str, Any]:
    return dict(operation.examples[0].request)


def fault(answer: Any, parameter: str) -> dict[str, Any]:
    """The one fault of a key in a problem."""
    assert answer.status_code == 422, answer.text
    assert answer.content_type == "application/problem+json"
    problem = answer.json
    assert problem["status"] == 422
    assert problem["type"].startswith("/problems/")
    faults = [each for each in problem["errors"] if each["parameter"] == parameter]
    assert len(faults) == 1, problem
    assert faults[0]["detail"]
    assert faults[0]["accepted"]
    return dict(faults[0])


def numbers(operation: Operation) -> list[str]:
    fields = operation.request.wire_fields()
    return [key for key, field in fields.items() if isinstance(field, Number)]


@operations
def test_unknown_key(operation: Operation, http: FlaskClient) -> None:
    answer = http.post(operation.path, json={**good(operation), "ptich": 1})
    assert fault(answer, "ptich")["code"] == "unknown"
    answer = http.get(f"{operation.path}?{query(good(operation))}&ptich=1")
    assert fault(answer, "ptich")["value"] == "1"


@pytest.mark.parametrize(
    ("path", "key", "hint"),
    [
        ("cutting-data", "operation", " (did you mean process?)"),
        ("cutting-data", "flutes", " (did you mean cutter_teeth?)"),
        ("job-sheet", "qty", " (did you mean quantity?)"),
        ("job-sheet", "setup", " (did you mean setup_time_min"),
        ("wire-measurement", "wire", " (did you mean wire_diameter"),
        ("pass-plan", "cutter_diametre", " (did you mean cutter_diameter or "),
        ("thread-limits", "Hand", " (did you mean hand?)"),
        ("cycle-time", "cycle_time", ""),
    ],
)
def test_only_a_key_that_is_close_is_offered(
    path: str, key: str, hint: str, http: FlaskClient
) -> None:
    told = fault(http.post(f"/v1/{path}", json={key: 1}), key)["detail"]
    told = told.removeprefix(f"{key} is not a key of this operation")
    assert told.startswith(hint) if hint else not told


def test_a_spelling_that_differs_by_its_case_alone_is_not_told(http: FlaskClient) -> None:
    told = fault(
        http.post("/v1/thread-limits", json={"designation": "M10-6H", "hand": "x"}), "hand"
    )
    assert told["accepted"] == "one of right, left, RH, LH"
    lower = http.post("/v1/thread-limits", json={"designation": "M10-6H", "hand": "lh"})
    assert lower.json["result"]["hand"] == "left"


def test_each_word_of_the_shop_stands_for_keys_of_some_operation() -> None:
    known = {key for operation in OPERATIONS for key in operation.request.wire_fields()}
    meant = {key for keys in SHOP_WORDS.values() for key in keys}
    assert not meant - known
    # The shell offers options for the same words.
    assert near_options.SHOP_WORDS == SHOP_WORDS


@operations
def test_repeated_key(operation: Operation, http: FlaskClient) -> None:
    key, value = next(iter(good(operation).items()))
    answer = http.get(f"{operation.path}?{query(good(operation))}&{query({key: value})}")
    assert fault(answer, key)["code"] == "repeated"
    body = json.dumps(good(operation))
    twice = f"{body[:-1]}, {json.dumps(key)}: {json.dumps(value)}}}"
    answer = http.post(operation.path, data=twice, content_type="application/json")
    assert answer.status_code == 400
    assert key in answer.json["detail"]


@operations
def test_missing_key(operation: Operation, http: FlaskClient) -> None:
    required = [k for k, field in operation.request.wire_fields().items() if field.required]
    for key in required:
        request = {k: v for k, v in good(operation).items() if k != key}
        assert fault(http.post(operation.path, json=request), key)["code"] == "missing"
    answer = http.post(operation.path, json={})
    assert answer.status_code == 422
    assert answer.json["errors"]


@operations
@pytest.mark.parametrize("wrong", ["1.5", True, None, [1], {"a": 1}], ids=repr)
def test_wrong_type(operation: Operation, wrong: Any, http: FlaskClient) -> None:
    for key in numbers(operation):
        answer = http.post(operation.path, json={**good(operation), key: wrong})
        assert fault(answer, key)["code"] in ("not-a-number", "null")


@operations
@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("10,5", "decimal-comma"),
        ("1_0", "not-a-number"),
        ("1 0", "not-a-number"),
        ("１０", "not-a-number"),  # full-width digits
        ("٣", "not-a-number"),  # Arabic digit three
        ("nan", "not-a-number"),
        ("inf", "not-a-number"),
        ("1e999", "not-finite"),
        ("0x10", "not-a-number"),
        ("", "empty"),
        ("1.000,5", "not-a-number"),
        ("10.5mm", "not-a-number"),
    ],
)
def test_number_as_text(operation: Operation, text: str, code: str, http: FlaskClient) -> None:
    for key in numbers(operation)[:6]:
        request = {k: v for k, v in good(operation).items() if k != key}
        answer = http.get(f"{operation.path}?{query({**request, key: text})}")
        assert fault(answer, key)["code"] == code


@pytest.mark.parametrize(
    "given", ["measured=22.95,22.96", "measured=22.95+22.96", "measured=22.95&measured=22.96"]
)
def test_how_several_values_stand_in_a_query_is_told(given: str, http: FlaskClient) -> None:
    path = "/v1/size-correction?designation=M24x1.5-6g&unit=mm"
    told = fault(http.get(f"{path}&{given}"), "measured")
    assert told["accepted"].endswith("several values are separated by semicolons")
    both = http.get(f"{path}&measured=22.95;22.96")
    assert both.json["result"]["pitch_diameter"] == [22.95, 22.96]


def test_decimal_comma_in_json_is_told_what_to_write(http: FlaskClient) -> None:
    answer = http.post("/v1/hardness", json={"value": "50,5", "scale": "HRC"})
    detail = fault(answer, "value")["detail"]
    assert detail.endswith("(write 50.5, with a decimal point and no quotes)")


@operations
@pytest.mark.parametrize("text", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_not_finite_json(operation: Operation, text: str, http: FlaskClient) -> None:
    for key in numbers(operation)[:3]:
        body = json.dumps(good(operation) | {key: "?"}).replace('"?"', text)
        answer = http.post(operation.path, data=body, content_type="application/json")
        assert answer.status_code in (400, 422)
        assert answer.content_type == "application/problem+json"


@operations
@pytest.mark.parametrize("absurd", [-1, 0, 1e-300, 1e9, -1e300, 1e300])
def test_absurd_size(operation: Operation, absurd: float, http: FlaskClient) -> None:
    """A bound is a 422; a value that happens to be allowed must still compute."""
    for key in numbers(operation):
        request = {"unit": "mm", **good(operation), key: absurd}
        answer = http.post(operation.path, json=request)
        assert answer.status_code in (200, 422), f"{key} = {absurd}: {answer.text}"


@operations
def test_unknown_word(operation: Operation, http: FlaskClient) -> None:
    fields = operation.request.wire_fields()
    for key in (key for key, field in fields.items() if isinstance(field, Choice)):
        answer = http.post(operation.path, json={**good(operation), key: "sideways"})
        found = fault(answer, key)
        assert found["code"] == "not-a-choice"
        assert found["value"] == "sideways"


@operations
def test_length_without_unit(operation: Operation, http: FlaskClient) -> None:
    fields = operation.request.wire_fields()
    lengths = [key for key, field in fields.items() if field.kind.follows_unit]
    for key in lengths[:3]:
        request = {k: v for k, v in good(operation).items() if k not in ("unit", key)}
        answer = http.post(operation.path, json={**request, key: 1.0})
        assert fault(answer, "unit")["code"] == "missing"


@pytest.mark.parametrize(
    ("body", "content_type", "status"),
    [
        (b"", "application/json", 400),
        (b"{", "application/json", 400),
        (b"[]", "application/json", 422),
        (b"3", "application/json", 422),
        (b'"\xff"', "application/json", 400),
        (b"[" * 100_000, "application/json", 400),
        (b'{"a": ' + b"9" * 5000 + b"}", "application/json", 400),
        (b"designation=M10-6H", "application/x-www-form-urlencoded", 415),
        (b'{"designation": "M10-6H"}', "text/plain; charset=utf-8", 415),
        (b'{"designation": "M10-6H"}', "application/json; charset=utf-8", 200),
    ],
)
def test_bodies(body: bytes, content_type: str, status: int, http: FlaskClient) -> None:
    answer = http.post("/v1/thread-limits", data=body, content_type=content_type)
    assert answer.status_code == status, answer.text
    if status == 415:
        assert "application/json" in answer.json["detail"]


def test_body_over_the_limit(http: FlaskClient) -> None:
    answer = http.post("/v1/thread-limits", data=b" " * 1_048_577, content_type="application/json")
    assert answer.status_code == 413


def test_body_of_unstated_length(http: FlaskClient) -> None:
    answer = http.post(
        "/v1/thread-limits",
        headers={"Transfer-Encoding": "chunked", "Content-Type": "application/json"},
    )
    assert answer.status_code == 411


@pytest.mark.parametrize(
    ("body", "parameter", "detail"),
    [
        ([], "", "not a JSON object"),
        ({}, "items", "items is missing"),
        ({"items": None}, "items", "items is null, not a list"),
        ({"items": {}}, "items", "items is {}, not a list"),
        ({"items": []}, "items", "items is an empty list"),
        ({"items": [{"operation": "hardness"}], "working": True}, "working", "not a key"),
    ],
)
def test_what_is_no_batch(body: Any, parameter: str, detail: str, http: FlaskClient) -> None:
    answer = http.post("/v1/batch", json=body)
    assert answer.status_code == 422
    (fault,) = answer.json["errors"]
    assert fault["parameter"] == parameter
    assert detail in fault["detail"]
    assert '"items"' in fault["accepted"]


def test_an_item_that_is_none_stands_in_its_place(http: FlaskClient) -> None:
    answer = http.post("/v1/batch", json={"items": [1, {"operation": "threads"}]})
    assert answer.status_code == 200
    assert (answer.json["ok"], answer.json["failed"]) == (0, 2)
    first, second = (item["error"]["errors"][0] for item in answer.json["items"])
    assert first["detail"] == "the item is 1, not an object"
    assert second["parameter"] == "operation"


@pytest.mark.parametrize(
    ("item", "detail", "value"),
    [
        (
            {"operation": "thread-limitz"},
            '"thread-limitz" is no operation of a batch (did you mean thread-limits?)',
            "thread-limitz",
        ),
        (
            {"operation": "Job_Sheet"},
            '"Job_Sheet" is no operation of a batch (did you mean job-sheet?)',
            "Job_Sheet",
        ),
        ({"operation": 7}, "7 is no operation of a batch", 7),
        (
            {"operation": "thread-limits", "designation": "M24x1.5-6g"},
            "designation is a key of thread-limits: it goes into params",
            "M24x1.5-6g",
        ),
        (
            {"operation": "hardness", "input": {"value": 50, "to": None}},
            "input is not a key of an item",
            '{"value": 50, "to": null}',
        ),
    ],
)
def test_what_is_no_item(item: dict[str, Any], detail: str, value: Any, http: FlaskClient) -> None:
    answer = http.post("/v1/batch", json={"items": [item]})
    (fault,) = answer.json["items"][0]["error"]["errors"]
    assert fault["detail"] == detail
    assert fault["value"] == value, "as it was sent, in JSON"


def test_batch_over_the_limit(http: FlaskClient) -> None:
    item = {"operation": "thread-limits", "params": {"designation": "M10-6H"}}
    answer = http.post("/v1/batch", json={"items": [item] * 1001})
    assert answer.status_code == 413
    assert "1000" in answer.json["detail"]


@pytest.mark.parametrize(
    ("path", "meant"),
    [
        ("/v1/Thread-Limits", "/v1/thread-limits"),
        ("/v1/thread_limits", "/v1/thread-limits"),
        ("/v1/thread-limits.pdf", "/v1/thread-limits"),
        ("/v1/v1/hardness", "/v1/hardness"),
        ("/v1/jobsheet/", "/v1/job-sheet"),
        ("/material", "/v1/materials"),
        ("/v1/" + "x" * 2000, None),
        ("/v1/nothing", None),
    ],
)
def test_a_near_address_is_offered(path: str, meant: str | None, http: FlaskClient) -> None:
    detail = http.get(path).json["detail"]
    assert detail.startswith("there is nothing at this address")
    assert (f"did you mean {meant}?" in detail) if meant else "mean" not in detail


@pytest.mark.parametrize("path", ["/v1/nothing", "/v1/thread-limits/x", "/v2/thread-limits", "/x"])
def test_unknown_address(path: str, http: FlaskClient) -> None:
    answer = http.get(path)
    assert answer.status_code == 404
    assert answer.content_type == "application/problem+json"


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH"])
def test_method_not_served(method: str, http: FlaskClient) -> None:
    answer = http.open("/v1/thread-limits", method=method)
    assert answer.status_code == 405
    assert "GET" in answer.headers["Allow"]


@pytest.mark.parametrize("path", ["/v1/thread-limits/", "/v1//thread-limits", "/livez/"])
def test_no_redirect(path: str, http: FlaskClient) -> None:
    assert http.get(f"{path}?designation=M10-6H").status_code in (200, 404, 422)


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (b'\xef\xbb\xbf{"value": 58, "scale": "HRC"}', "byte order mark"),
        ('{"value": 58, "scale": "HRC"}'.encode("utf-16"), "byte order mark"),
        ('{"value": 58, "scale": "HRC"}'.encode("utf-16-le"), "not JSON"),
        (b'{"value": 1' + b"0" * 5000 + b', "scale": "HRC"}', "too many digits"),
        (b'{"value": ' + b"[" * 100_000, "nested too deeply"),
    ],
    ids=["a mark", "UTF-16", "UTF-16 without a mark", "digits", "depth"],
)
def test_a_body_that_cannot_be_read_says_why(body: bytes, said: str, http: FlaskClient) -> None:
    answer = http.post("/v1/hardness", data=body, content_type="application/json")
    assert answer.status_code == 400
    assert said in answer.json["detail"]
    assert "sys." not in answer.json["detail"], "nothing of the language behind it"


def test_a_packed_body_is_refused(http: FlaskClient) -> None:
    """RFC 9110, 15.5.16: the codings that would be taken are named."""
    body = gzip.compress(b'{"value": 58, "scale": "HRC"}')
    for coding in ("gzip", "br", "GZIP"):
        answer = http.post(
            "/v1/hardness",
            data=body,
            content_type="application/json",
            headers={"Content-Encoding": coding},
        )
        assert answer.status_code == 415
        assert answer.headers["Accept-Encoding"] == "identity"
    plain = http.post(
        "/v1/hardness",
        json={"value": 58, "scale": "HRC"},
        headers={"Content-Encoding": "identity"},
    )
    assert plain.status_code == 200


def test_faults_stand_in_the_order_of_the_request(http: FlaskClient) -> None:
    asked = {"zeta": 1, "value": "x", "alpha": 2, "to": 5}
    for answer in (
        http.post("/v1/hardness", json=asked),
        http.get(f"/v1/hardness?{query(asked)}"),
    ):
        told = [each["parameter"] for each in answer.json["errors"]]
        assert told == ["zeta", "value", "alpha", "to", "scale"], "what is missing comes last"


def test_a_key_that_is_no_name_is_quoted(http: FlaskClient) -> None:
    assert http.get("/v1/hardness?=58").json["errors"][0]["detail"].startswith('"" is not a key')
    long = http.get(f"/v1/hardness?{'k' * 2000}=58").json["errors"][0]
    assert len(long["detail"]) < 200


def test_bounds_are_written_out(http: FlaskClient) -> None:
    told = http.get("/v1/hardness?value=-58&scale=HRC").json["errors"][0]["detail"]
    assert told == "value: -58 is not a number of at least 0.000001 and at most 10000"
