"""The traps that a server can set for sheets, macros and programs; each has its test.

The number is that of the list of traps in the notes on integration; those that a server cannot
cause (settings of an office, how a file is written, other libraries) have theirs elsewhere.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from flask import Flask
from flask.testing import FlaskClient

from support.examples import OPERATION_IDS, query
from threadwright_service.api import OPERATIONS
from threadwright_service.api.operation import Operation
from threadwright_service.app import create_app
from threadwright_service.app.flat import leaves, plain
from threadwright_service.app.pages import viewer
from threadwright_service.settings import Settings

operations = pytest.mark.parametrize("operation", OPERATIONS, ids=OPERATION_IDS)
M24 = "/v1/thread-limits?designation=M24x1.5-6g"
FORMS = ("json", "csv", "text", "xml", "html", "svg")


def asked(operation: Operation, **more: Any) -> str:
    return f"{operation.path}?{query({**operation.examples[0].request, **more})}"


def single_values(answer: Any) -> list[tuple[str, Any]]:
    return [(path, value) for path, value in leaves(answer["result"]) if path]


def test_trap_1_a_decimal_comma_is_refused_and_told(http: FlaskClient) -> None:
    """A sheet in some languages puts 10,5 into the address; taken as 10 or 105 it scraps a part."""
    answer = http.get("/v1/hardness?value=42,5&scale=HRC")
    fault = answer.json["errors"][0]
    assert fault["code"] == "decimal-comma"
    assert "write 42.5" in fault["detail"]
    assert "SUBSTITUTE" in fault["detail"]


@operations
def test_trap_1_numbers_go_out_with_a_point_alone(operation: Operation, http: FlaskClient) -> None:
    answer = http.get(asked(operation)).json
    for path, value in single_values(answer):
        if isinstance(value, float):
            text = plain(value)
            assert re.fullmatch(r"-?\d+(\.\d+)?", text), f"{path}: {text}"
            assert float(text) == pytest.approx(value, abs=1e-12)


@operations
def test_trap_2_every_number_of_the_xml_is_a_number(
    operation: Operation, http: FlaskClient
) -> None:
    """``number(//x)`` takes the text of the first element of that name."""
    root = ElementTree.fromstring(http.get(asked(operation, format="xml")).data)
    answer = http.get(asked(operation)).json
    for path, value in single_values(answer):
        if isinstance(value, float) and not re.search(r"\.\d+", path):
            found = root.find("result/" + path.replace(".", "/"))
            assert found is not None
            assert float(found.text or "") == value


def test_trap_4_every_answer_says_its_version(http: FlaskClient) -> None:
    meta = http.get(M24).json["meta"]
    assert meta["service"]
    assert meta["tables"]
    assert http.get(f"{M24}&field=meta.tables").text == meta["tables"], "a cell may show it"


@operations
def test_trap_5_head_is_answered_as_get_and_options_always(
    operation: Operation, http: FlaskClient
) -> None:
    """Calc sends OPTIONS, HEAD, GET; after a HEAD with 4xx (but 404, 405) the GET never comes."""
    for form in FORMS:
        path = asked(operation, format=form)
        head, get = http.head(path), http.get(path)
        assert head.status_code == get.status_code == 200
        assert head.data == b""
        for name in ("Content-Type", "Content-Length", "ETag", "Vary"):
            assert head.headers.get(name) == get.headers.get(name), name
    assert http.options(operation.path).status_code == 200
    for path in ("/v1/batch", "/docs", "/docs/guide", "/problems/ambiguous", "/v1/materials.csv"):
        assert http.options(path).status_code == 200


def test_trap_5_a_key_in_the_address_holds_for_head_too() -> None:
    settings = Settings(api_keys=("k",), key_in_query=True)
    with create_app(settings).test_client() as client:
        assert client.options(M24).status_code == 200, "no key is asked for"
        assert client.head(M24).status_code == 401
        assert client.head(f"{M24}&key=k").status_code == 200
        assert client.get(f"{M24}&key=k&format=csv").status_code == 200


@pytest.mark.parametrize(
    "path",
    [
        M24,
        M24.replace("?", "/?"),
        M24.replace("?", ".csv?"),
        "/v1",
        "/v1/",
        "/v1/threads/",
        "/docs",
        "/docs/",
        "/docs/guide/",
        "/livez/",
        "//v1//threads",
        "/v1/none/",
    ],
)
def test_trap_6_no_redirect(path: str, http: FlaskClient) -> None:
    """308 is not followed by Calc."""
    answer = http.get(path)
    assert answer.status_code in (200, 404)
    assert "Location" not in answer.headers


@operations
@pytest.mark.parametrize("form", FORMS)
def test_trap_6_no_byte_order_mark_no_namespace_no_empty_body(
    operation: Operation, form: str, http: FlaskClient
) -> None:
    data = http.get(asked(operation, format=form)).data
    assert data
    assert not data.startswith(b"\xef\xbb\xbf")
    if form == "xml":
        assert b"xmlns" not in data
    if form in ("text", "json", "xml", "svg"):
        assert not data.endswith(b"\n")


@operations
def test_trap_6_and_20_one_value_never_empty_never_ends_a_line(
    operation: Operation, http: FlaskClient
) -> None:
    """Nothing is #N/A, a text of no letters is told as none; a newline would break VALUE."""
    answer = http.get(asked(operation)).json
    for path, value in single_values(answer)[:60]:
        got = http.get(f"{asked(operation)}&field={path}")
        assert got.status_code == 200, path
        assert got.data, path
        assert not got.data.endswith((b"\n", b"\r", b" ")), path
        if value not in (None, ""):
            assert got.data.decode() == plain(value), path
        else:
            assert got.data == b"#N/A"


def test_trap_8_a_long_address_is_served_up_to_the_limit(app: Flask) -> None:
    """gunicorn's own default would refuse 4,094 bytes; the shipped settings take 8,190."""
    from threadwright_service import gunicorn_conf

    assert gunicorn_conf.limit_request_line == 8190
    long = "&field=" + ",".join(["limits.pitch_diameter.max"] * 37)
    assert app.test_client().get(M24 + long).status_code == 200


def test_trap_11_bounds_are_numbers_and_exclusive_where_they_are(openapi: dict[str, Any]) -> None:
    text = json.dumps(openapi["components"])
    assert not re.search(r'"(exclusive)?(Minimum|Maximum|minimum|maximum)": "', text)
    value = openapi["components"]["schemas"]["PassPlanRequest"]["properties"][
        "cutter_included_angle_deg"
    ]
    assert value["exclusiveMinimum"] == 1
    assert "minimum" not in value


@operations
def test_trap_11_exclusive_bounds_are_kept(operation: Operation, http: FlaskClient) -> None:
    """What the contract says of a bound is what the service does at the bound."""
    for key, field in operation.request.wire_fields().items():
        schema = field.json_schema()
        if "exclusiveMinimum" not in schema or "anyOf" in schema:
            continue
        keys = {"unit": "mm", **operation.examples[0].request, key: schema["exclusiveMinimum"]}
        answer = http.post(operation.path, json=keys)
        assert answer.status_code == 422
        assert key in {each["parameter"] for each in answer.json["errors"]}


@operations
def test_trap_12_nothing_is_dropped_in_silence(operation: Operation, http: FlaskClient) -> None:
    keys = dict(operation.examples[0].request)
    first = next(iter(keys))
    twice = f"{asked(operation)}&{query({first: keys[first]})}"
    assert http.get(twice).json["errors"][0]["code"] == "repeated"
    assert http.get(asked(operation, ptich=1)).json["errors"][0]["code"] == "unknown"
    assert http.get(f"{asked(operation)}&format=csv&format=json").status_code == 422
    form = http.post(operation.path, data=keys)
    assert form.status_code == 415, "a form is not read as an empty body"
    assert "application/json" in form.json["detail"]
    text = http.post(operation.path, data=json.dumps(keys), content_type="text/plain")
    assert text.status_code == 415
    query_too = http.post(f"{operation.path}?{query({first: keys[first]})}", json=keys)
    assert query_too.json["errors"][0]["code"] == "not-in-query"


@pytest.mark.parametrize("number", ["1_0", "１０", "٣", "1e400", "NaN", " 10", "10 ", "1,0", "0x1"])
def test_trap_12_what_only_python_takes_for_a_number(number: str, http: FlaskClient) -> None:
    answer = http.get(f"/v1/hardness?{query({'value': number, 'scale': 'HRC'})}")
    assert answer.status_code == 422
    assert answer.json["errors"][0]["parameter"] == "value"


def test_trap_14_not_a_number_never_goes_out(http: FlaskClient) -> None:
    for body in ('{"value": NaN, "scale": "HRC"}', '{"value": Infinity, "scale": "HRC"}'):
        answer = http.post("/v1/hardness", data=body, content_type="application/json")
        assert answer.status_code == 400
        json.loads(answer.data, parse_constant=lambda name: pytest.fail(name))


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [
        ("GET", "/nothing", 404),
        ("DELETE", "/v1/thread-limits", 405),
        ("PUT", "/v1/batch", 405),
        ("GET", "/v1/batch", 405),
        ("BREW", "/v1/thread-limits", 405),
    ],
)
def test_trap_14_errors_are_problems_not_pages(
    method: str, path: str, status: int, http: FlaskClient
) -> None:
    answer = http.open(path, method=method)
    assert answer.status_code == status
    assert answer.content_type == "application/problem+json"
    assert answer.json["request_id"] == answer.headers["X-Request-ID"]
    if status == 405:
        assert answer.headers["Allow"]
    told = http.open(path, method=method, headers={"Accept": "application/json"})
    assert told.content_type == "application/problem+json"


def test_trap_14_our_own_fault_is_a_problem(caplog: pytest.LogCaptureFixture) -> None:
    """Also where the framework's own ends fail: the id is set before it begins."""
    app = create_app(Settings())

    def broken() -> str:
        raise RuntimeError("by hand")

    app.add_url_rule("/v1/broken", "broken", broken)
    for accept, kind in (("*/*", "application/problem+json"), ("text/html", "text/html")):
        answer = app.test_client().get("/v1/broken", headers={"Accept": accept})
        assert answer.status_code == 500
        assert answer.content_type.startswith(kind)
        assert "by hand" not in answer.text
        assert answer.headers["X-Request-ID"] in answer.text
    assert app.test_client().get("/v1/broken?on_error=text").text.startswith("#ERR 500 ")
    assert "by hand" in caplog.text, "it is logged"


@pytest.mark.parametrize("origin", ["https://sheet.example", "null"])
def test_trap_15_any_origin_by_a_star(origin: str, http: FlaskClient) -> None:
    for answer in (
        http.get(M24, headers={"Origin": origin}),
        http.get("/v1/none", headers={"Origin": origin}),
        http.options("/v1/batch", headers={"Origin": origin}),
        http.get(f"{M24}&format=html", headers={"Origin": origin}),
    ):
        assert answer.headers["Access-Control-Allow-Origin"] == "*"
        assert "Origin" not in answer.headers.get("Vary", "")
        assert "Access-Control-Allow-Credentials" not in answer.headers


def test_trap_16_the_viewer_is_one_that_reads_this_contract() -> None:
    """Version 5 and later read OpenAPI 3.1; its licence goes with it, and it calls nobody."""
    folder = Path(str(viewer.__file__)).parent
    bundle = (folder / "swagger-ui-bundle.js").read_text(encoding="utf-8")
    assert "5.34.0" in bundle, "of 2026-10; version 4 cannot read 3.1"
    assert "Apache License" in (folder / "LICENSE").read_text(encoding="utf-8")
    assert "Version 2.0" in (folder / "APACHE-2.0.txt").read_text(encoding="utf-8")
    start = (folder / "start.js").read_text(encoding="utf-8")
    assert "validatorUrl: null" in start
    size = sum(each.stat().st_size for each in folder.iterdir() if each.is_file())
    assert size < 2_100_000


@operations
def test_trap_18_json_unless_another_form_is_asked_for(
    operation: Operation, http: FlaskClient
) -> None:
    """One ERP's helper reads text/plain as a query string."""
    for accept in (None, "*/*", "image/png", "application/pdf, */*;q=0.1", "text/*;q=0"):
        headers = {} if accept is None else {"Accept": accept}
        answer = http.get(asked(operation), headers=headers)
        assert answer.content_type == "application/json"
        assert answer.headers["Vary"] == "Accept", "a cache must look at Accept"
    assert http.post(operation.path, json={}).content_type == "application/problem+json"
