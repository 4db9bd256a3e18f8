"""Every form of an answer says what its JSON says."""

from __future__ import annotations

import csv
import io
import re
from html import unescape
from html.parser import HTMLParser
from typing import Any
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient

from support.examples import EXAMPLE_IDS, EXAMPLES, OPERATION_IDS, query
from threadwright_service.api import OPERATIONS
from threadwright_service.api.operation import Example, Operation
from threadwright_service.app.flat import leaves, plain

examples = pytest.mark.parametrize(("operation", "example"), EXAMPLES, ids=EXAMPLE_IDS)
operations = pytest.mark.parametrize("operation", OPERATIONS, ids=OPERATION_IDS)


def answered(http: FlaskClient, operation: Operation, keys: Any) -> dict[str, Any]:
    found: Any = http.post(operation.path, json=dict(keys)).json
    return dict(found)


@examples
def test_xml(operation: Operation, example: Example, http: FlaskClient) -> None:
    answer = answered(http, operation, example.request)
    got = http.get(f"{operation.path}.xml?{query(example.request)}")
    root = ElementTree.fromstring(got.data)
    assert got.content_type == "application/xml; charset=utf-8"
    assert root.tag == "answer"
    assert b"xmlns" not in got.data
    assert_same(root, answer, "answer")


def assert_same(element: ElementTree.Element, value: Any, place: str) -> None:
    """An element against a JSON value: members by name, lists as the element repeated."""
    if isinstance(value, dict):
        for key, member in value.items():
            there = element.findall(key)
            items = member if isinstance(member, list) else [member]
            assert len(there) == len(items), f"{place}.{key}"
            for one, item in zip(there, items, strict=True):
                assert_same(one, item, f"{place}.{key}")
    elif value is None:
        assert element.text is None, place
    elif isinstance(value, bool):
        assert element.text == ("true" if value else "false"), place
    elif isinstance(value, (int, float)):
        assert float(element.text or "nan") == value, place
    else:
        assert (element.text or "") == value, place


class _Tables(HTMLParser):
    """The rows of every table by its id; text as a reader sees it."""

    def __init__(self) -> None:
        super().__init__()
        self.tables: dict[str, list[list[str]]] = {}
        self._table: list[list[str]] | None = None
        self._in_cell = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "table":
            name = dict(attrs).get("id") or f"table {len(self.tables)}"
            assert name not in self.tables, "an id that stands twice"
            self._table = self.tables.setdefault(name, [])
        elif tag == "tr" and self._table is not None:
            self._table.append([])
        elif tag in ("td", "th") and self._table is not None:
            self._table[-1].append("")
            self._in_cell = True

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th"):
            self._in_cell = False

    def handle_data(self, data: str) -> None:
        if self._in_cell and self._table:
            self._table[-1][-1] += data


def told(value: Any) -> str:
    """A value as a page tells it: that of the other forms, but 24 for 24.0 and a dash for none."""
    return "–" if value is None else re.sub(r"\.0$", "", plain(value))


@examples
def test_page(operation: Operation, example: Example, http: FlaskClient) -> None:
    answer = answered(http, operation, example.request)
    page = http.get(f"{operation.path}.html?{query(example.request)}").text
    reader = _Tables()
    reader.feed(page)
    rows = {row[0]: row for row in reader.tables["result"][1:]}
    for path, value in leaves(answer["result"]):
        if re.search(r"\.\d+(\.|$)", path):
            continue  # inside a list, which has a table of its own
        shown = rows[path][1]
        assert shown == told(value), path
        assert len(rows[path][3]) > 3, f"{path}: no meaning"
        if isinstance(value, float) and path in ("pitch", "root_diameter", "depth", "nominal"):
            assert rows[path][2] == answer["unit"]
    for caution in answer["cautions"]:
        assert caution["detail"] in unescape(page)
    assumed = {row[0]: row for row in reader.tables["assumed"]} if answer["assumed"] else {}
    for each in answer["assumed"]:
        assert told(each["value"]) in assumed[each["parameter"]][1]
        assert assumed[each["parameter"]][2] == each["reason"]
    if operation.rows and answer["result"].get(operation.rows):
        assert operation.rows in reader.tables


@operations
def test_page_with_working(operation: Operation, http: FlaskClient) -> None:
    keys = {**operation.examples[0].request, "working": True}
    steps = answered(http, operation, keys)["working"]
    reader = _Tables()
    reader.feed(http.get(f"{operation.path}.html?{query(keys)}").text)
    rows = reader.tables["working"][1:]
    assert len(rows) == len(steps)
    for row, step in zip(rows, steps, strict=True):
        assert row[1] == step["quantity"]
        assert step["formula"] in row[2]
        assert step["substituted"] in row[2]
        assert row[5] == step["source"]


@operations
def test_page_of_an_error(operation: Operation, http: FlaskClient) -> None:
    asked = query({**operation.examples[0].request, "ptich": "<script>"})
    for path, headers in (
        (f"{operation.path}.html?{asked}", {}),
        (f"{operation.path}?{asked}&format=html", {}),
        (f"{operation.path}?{asked}", {"Accept": "text/html,application/xhtml+xml,*/*;q=0.8"}),
    ):
        answer = http.get(path, headers=headers)
        assert answer.status_code == 422
        assert answer.content_type == "text/html; charset=utf-8"
        assert answer.headers["Cache-Control"] == "no-store"
        assert "script-src" not in answer.headers["Content-Security-Policy"]
        assert "ptich is not a key" in answer.text
        assert "<script>" not in answer.text
        assert 'href="/problems/invalid-request"' in answer.text
    assert http.get(f"{operation.path}?{asked}").content_type == "application/problem+json"


def test_page_of_an_address_that_is_not_there(http: FlaskClient) -> None:
    page = http.get("/v1/nothing", headers={"Accept": "text/html"})
    assert page.status_code == 404
    assert page.content_type == "text/html; charset=utf-8"
    assert http.get("/v1/nothing").content_type == "application/problem+json"


def table(data: bytes, **how: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8"), newline=""), **how))  # type: ignore[arg-type]


@operations
def test_decimal_comma(operation: Operation, http: FlaskClient) -> None:
    path = f"{operation.path}.csv?{query(operation.examples[0].request)}"
    point, comma = table(http.get(path).data), http.get(f"{path}&decimal=comma")
    told = table(comma.data, delimiter=";")
    assert told[0] == point[0]
    for first, second in zip(point[1:], told[1:], strict=True):
        for one, other in zip(first, second, strict=True):
            assert other in (one, one.replace(".", ","))
            if re.fullmatch(r"-?\d+\.\d+", one):
                assert other == one.replace(".", ",")
    assert http.get(f"{path}&decimal=point").data == http.get(path).data
    wrong = http.get(f"{operation.path}?{query(operation.examples[0].request)}&decimal=comma")
    assert wrong.json["errors"][0]["code"] == "wrong-form", "JSON has no decimal comma"


def test_decimal_comma_of_chosen_fields(http: FlaskClient) -> None:
    # ISO 965-1, M24x1.5-6g: 22.994 and 22.844, as a sheet with a decimal comma reads them.
    path = "/v1/thread-limits.csv?designation=M24x1.5-6g&field=limits.pitch_diameter"
    both = f"{path}.max,limits.pitch_diameter.min"
    assert http.get(both).text == "22.994,22.844"
    assert http.get(f"{both}&decimal=comma").text == "22,994;22,844"
    assert http.get(f"{path}.max&decimal=comma").text == "22,994"
    standard = path.replace("limits.pitch_diameter", "standard")
    assert http.get(f"{standard}&decimal=comma").text == "ISO 965-1"


def test_batch_as_csv(http: FlaskClient) -> None:
    items = [
        {"id": "a", "operation": "hardness", "params": {"value": 58, "scale": "HRC"}},
        {"id": "b", "operation": "hardness", "params": {"value": 58, "scale": "HRC", "to": "x"}},
        {"id": 3, "operation": "thread-limits", "params": {"designation": "M24x1.5-6g"}},
        {"operation": "nothing"},
        {"id": "=1+1", "operation": "thread-limits", "params": {"designation": "M24-6g"}},
    ]
    asked = {"items": items}
    for answer in (
        http.post("/v1/batch?format=csv", json=asked),
        http.post("/v1/batch.csv", json=asked),
        http.post("/v1/batch", json=asked, headers={"Accept": "text/csv"}),
    ):
        assert answer.status_code == 200
        assert answer.content_type.startswith("text/csv")
        rows = table(answer.data)
        head = rows[0]
        assert head[:5] == ["index", "id", "operation", "status", "error"]
        assert len({len(row) for row in rows}) == 1
        records = [dict(zip(head, row, strict=True)) for row in rows[1:]]
        by_index = {int(record["index"]): record for record in records}
        assert len([record for record in records if record["id"] == "a"]) > 3, "a row a scale"
        assert by_index[1]["status"] == "422"
        assert by_index[1]["error"].startswith("invalid-request: ")
        assert by_index[2]["limits.pitch_diameter.max"] == "22.994"
        assert by_index[3]["status"] == "422"
        assert by_index[4]["id"] == "'=1+1", "no cell that a spreadsheet takes for a formula"
    single = table(http.get("/v1/thread-limits.csv?designation=M24x1.5-6g").data)[0]
    assert set(single) <= set(head), "the columns are those of the single answer"


@pytest.mark.parametrize("asked", ["format=html", "format=svg", "picture=form", "rows=items"])
def test_batch_in_no_other_form(asked: str, http: FlaskClient) -> None:
    answer = http.post(f"/v1/batch?{asked}", json={"items": [{"operation": "hardness"}]})
    assert answer.status_code == 422
    assert "a batch or list is answered as JSON or CSV" in answer.text or "rows" in asked


def test_lists_as_csv(http: FlaskClient) -> None:
    rows = table(http.get("/v1/threads.csv?series=UNF").data)
    records = [dict(zip(rows[0], row, strict=True)) for row in rows[1:]]
    assert {record["series"] for record in records} == {"UNF"}
    assert {"family", "unit", "size", "threads_per_inch"} <= set(rows[0])
    names = table(http.get("/v1/materials.csv").data)
    assert "iso_513" in names[0]
    assert len(names) > 10
    assert len(names[0]) < 50, "names of grades stand in one cell, not in a column each"
    told = http.get("/v1/materials").json["result"]["materials"]
    column = names[0].index("aliases")
    assert [row[column].split("; ") for row in names[1:]] == [each["aliases"] for each in told]
    listed = table(http.get("/v1/?format=csv").data)
    assert [row[0] for row in listed[1:]][:2] == [OPERATIONS[0].name, OPERATIONS[1].name]
    narrow = http.get("/v1/threads?rows=families&family=unified")
    assert narrow.status_code == 200, narrow.text
