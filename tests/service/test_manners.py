"""HTTP manners: entity tags, ids, keys, cross-origin, forms and how they are chosen."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient

from support.examples import OPERATION_IDS, query
from threadwright_service.api import BY_NAME, OPERATIONS
from threadwright_service.api.operation import Operation
from threadwright_service.api.problems import TITLES
from threadwright_service.app import create_app
from threadwright_service.app.pages.problem_help import HELP
from threadwright_service.calc.errors import REFUSALS
from threadwright_service.settings import Settings

M24 = "/v1/thread-limits?designation=M24x1.5-6g"
operations = pytest.mark.parametrize("operation", OPERATIONS, ids=OPERATION_IDS)


@pytest.fixture
def keyed() -> Iterator[FlaskClient]:
    """A service that asks for a key."""
    with create_app(
        Settings(api_keys=("first-key", "second-key"), key_in_query=True)
    ).test_client() as client:
        yield client


def test_entity_tag_and_304(http: FlaskClient) -> None:
    first = http.get(M24)
    tag = first.headers["ETag"]
    assert tag.startswith('"'), "a strong tag"
    assert first.headers["Cache-Control"] == "public, max-age=300"
    again = http.get(M24, headers={"If-None-Match": tag})
    assert again.status_code == 304
    assert again.data == b""
    assert again.headers["ETag"] == tag
    assert http.get(M24, headers={"If-None-Match": '"other"'}).status_code == 200
    assert http.get(f"{M24}&unit=in").headers["ETag"] != tag
    assert http.get(f"{M24}&format=csv").headers["ETag"] != tag


def test_304_tells_what_a_cache_must_know(http: FlaskClient) -> None:
    """RFC 9110, 15.4.5: what 200 would have told of caching, and no body."""
    for path, headers in ((M24, {}), (f"{M24}&format=csv", {}), (M24, {"Accept": "text/html"})):
        first = http.get(path, headers=headers)
        for method in ("GET", "HEAD"):
            tag = first.headers["ETag"]
            for wanted in (tag, f"W/{tag}", f'"x", {tag}', "*"):
                again = http.open(path, method=method, headers={**headers, "If-None-Match": wanted})
                assert again.status_code == 304
                assert again.data == b""
                for name in ("ETag", "Cache-Control", "Vary", "Access-Control-Allow-Origin"):
                    assert again.headers.get(name) == first.headers.get(name)
                assert again.headers["X-Request-ID"]


def test_a_post_is_always_answered(http: FlaskClient) -> None:
    body = {"designation": "M24x1.5-6g"}
    tag = http.post("/v1/thread-limits", json=body).headers["ETag"]
    for wanted in (tag, "*"):
        for path in ("/v1/thread-limits", "/v1/thread-limits?format=csv", "/v1/thread-limits.xml"):
            answer = http.post(path, json=body, headers={"If-None-Match": wanted})
            assert answer.status_code == 200
            assert answer.data


def test_each_form_has_its_own_tag(http: FlaskClient) -> None:
    forms = ("json", "csv", "text", "xml", "html", "svg")
    tags = {http.get(f"{M24}&format={form}").headers["ETag"] for form in forms}
    assert len(tags) == len(forms)
    by_accept = {
        http.get(M24, headers={"Accept": accept}).headers["ETag"]
        for accept in ("application/json", "text/csv", "text/html", "image/svg+xml")
    }
    assert len(by_accept) == 4
    assert by_accept < tags


def test_a_kept_answer_is_the_same(http: FlaskClient) -> None:
    answers = {http.get(f"{M24}&hand=left").data for _ in range(3)}
    assert len(answers) == 1


def test_errors_are_never_kept(http: FlaskClient) -> None:
    for path in ("/v1/thread-limits?designation=M0", "/v1/none", f"{M24}&x=1&on_error=text"):
        answer = http.get(path)
        assert answer.headers["Cache-Control"] == "no-store"
        assert "ETag" not in answer.headers


@operations
def test_head_answers_as_get_would(operation: Operation, http: FlaskClient) -> None:
    path = f"{operation.path}?{query(operation.examples[0].request)}"
    for asked in (path, f"{path}&nonsense=1", f"{path}&format=csv"):
        head, get = http.head(asked), http.get(asked)
        assert head.status_code == get.status_code
        assert head.headers.get("ETag") == get.headers.get("ETag")
        assert head.headers["Content-Type"] == get.headers["Content-Type"]
        assert head.data == b""


@pytest.mark.parametrize("path", [M24, "/v1/batch", "/v1/threads", "/livez", "/openapi.json"])
def test_options_and_cross_origin(path: str, keyed: FlaskClient) -> None:
    answer = keyed.options(path, headers={"Origin": "https://sheet.example"})
    assert answer.status_code == 200, "no key is asked for"
    assert answer.headers["Access-Control-Allow-Origin"] == "*"
    assert "POST" in answer.headers["Access-Control-Allow-Methods"]
    assert "Origin" not in answer.headers.get("Vary", "")


def test_request_id(http: FlaskClient) -> None:
    assert http.get(M24, headers={"X-Request-ID": "job-7.a"}).headers["X-Request-ID"] == "job-7.a"
    for bad in ("x" * 65, "a b", "é", "<script>"):
        assert http.get(M24, headers={"X-Request-ID": bad}).headers["X-Request-ID"] != bad
    refused = http.get("/v1/none", headers={"X-Request-ID": "job-8"})
    assert refused.json["request_id"] == "job-8"


def test_keys(keyed: FlaskClient) -> None:
    refused = keyed.get(M24)
    assert refused.status_code == 401
    assert refused.headers["WWW-Authenticate"].startswith("Bearer")
    assert refused.content_type == "application/problem+json"
    assert keyed.get(M24, headers={"Authorization": "Bearer first-key"}).status_code == 200
    assert keyed.get(M24, headers={"X-API-Key": "second-key"}).status_code == 200
    unknown = keyed.get(M24, headers={"X-API-Key": "third-key"})
    assert unknown.status_code == 401
    assert "not one of this service's" in unknown.json["detail"], "a slip in the key is told apart"
    assert "third-key" not in unknown.text
    assert "not one of this service's" not in refused.json["detail"], "none was sent"
    assert keyed.get(f"{M24}&key=first-key").status_code == 200
    assert keyed.head(f"{M24}&key=first-key").status_code == 200
    assert keyed.get("/livez").status_code == 200
    kept = keyed.get(M24, headers={"X-API-Key": "second-key"})
    assert kept.headers["Cache-Control"].startswith("private")
    assert keyed.get(M24).status_code == 401, "a kept answer needs a key too"


def test_key_in_query_is_off_by_default() -> None:
    with create_app(Settings(api_keys=("k",))).test_client() as client:
        assert client.get(f"{M24}&key=k").status_code == 401


@operations
def test_forms_and_how_they_are_chosen(operation: Operation, http: FlaskClient) -> None:
    asked = query(operation.examples[0].request)
    path = f"{operation.path}?{asked}"
    for suffix, form, accept, content_type in (
        (".json", "json", "application/json", "application/json"),
        (".csv", "csv", "text/csv", "text/csv"),
        (".txt", "text", "text/plain", "text/plain"),
    ):
        by_format = http.get(f"{path}&format={form}")
        by_suffix = http.get(f"{operation.path}{suffix}?{asked}")
        by_accept = http.get(path, headers={"Accept": accept})
        assert by_format.status_code == 200, by_format.text
        assert by_format.content_type.startswith(content_type)
        assert by_format.data == by_suffix.data == by_accept.data
        assert by_accept.headers["Vary"] == "Accept"
        assert "Vary" not in by_format.headers
    beaten = http.get(f"{operation.path}.csv?{asked}&format=json", headers={"Accept": "text/csv"})
    assert beaten.content_type == "application/json"
    unknown = http.get(path, headers={"Accept": "image/x-nothing"})
    assert unknown.content_type == "application/json", "JSON, never 406"
    assert http.get(f"{path}&format=pdf").json["errors"][0]["parameter"] == "format"


@operations
def test_csv(operation: Operation, http: FlaskClient) -> None:
    answer = http.get(f"{operation.path}.csv?{query(operation.examples[0].request)}")
    assert not answer.data.startswith(b"\xef\xbb\xbf"), "no byte order mark"
    assert b"\r\n" in answer.data
    rows = list(csv.reader(io.StringIO(answer.data.decode("utf-8"), newline="")))
    assert len(rows) >= 2
    assert len({len(row) for row in rows}) == 1
    for row in rows[1:]:
        for cell in row:
            assert cell[:1] not in ("=", "+", "@", "\t"), "a cell that is a formula"


def test_one_value(http: FlaskClient) -> None:
    answer = http.get(f"{M24}&field=limits.pitch_diameter.max")
    assert answer.data == b"22.994", "a bare number: ISO 965-1, M24x1.5, 6g: 23.026 - 0.032"
    assert answer.content_type == "text/plain; charset=utf-8"
    several = http.get(f"{M24}&field=limits.pitch_diameter.max,limits.minor_diameter.min,unit")
    assert several.data == b"22.994,#N/A,mm"
    assert http.get(f"{M24}&field=limits.nothing").status_code == 422
    whole = http.get(f"{M24}&field=limits.pitch_diameter")
    assert "limits.pitch_diameter.max" in whole.json["errors"][0]["accepted"]


def test_error_as_text(http: FlaskClient) -> None:
    answer = http.get("/v1/thread-limits?designation=M24x1,5-6g&on_error=text&field=pitch")
    assert answer.status_code == 200
    assert answer.content_type.startswith("text/plain")
    assert answer.text.startswith("#ERR 422 ")
    assert answer.text.isascii()
    assert "\n" not in answer.text
    assert http.get("/v1/none?on_error=text").text.startswith("#ERR 404 ")


@pytest.mark.parametrize("path", ["/livez", "/readyz", "/openapi.json", "/v1/", "/v1/threads"])
def test_service_addresses(path: str, http: FlaskClient) -> None:
    answer = http.get(path)
    assert answer.status_code == 200
    assert answer.is_json


def test_lists(http: FlaskClient) -> None:
    families = http.get("/v1/threads").json["result"]["families"]
    sizes = {(s["series"], s["size"]) for f in families for s in f["sizes"]}
    assert ("UNF", "3/4") in sizes
    unf = http.get("/v1/threads?series=UNF").json["result"]["families"]
    assert {s["series"] for f in unf for s in f["sizes"]} == {"UNF"}
    hard = http.get("/v1/materials?iso_513=H").json["result"]["materials"]
    assert hard
    assert {m["iso_513"] for m in hard} == {"H"}
    assert http.get("/v1/materials?iso_513=X").status_code == 422
    for path in ("/v1/materials", "/v1/threads", "/v1/"):
        for key, value in (("unit", "in"), ("working", "true")):
            answer = http.get(f"{path}?{key}={value}")
            assert answer.status_code == 422, "a list follows no unit: not taken in silence"
            assert answer.json["errors"][0]["parameter"] == key
    # 1/56 in, to the places of every other length.
    (fine,) = [s for f in unf for s in f["sizes"] if s["size"] == "#3"]
    assert fine["pitch"] == 0.017857
    for key, accepted in (("family", "whitworth"), ("series", "UNEF")):
        (fault,) = http.get(f"/v1/threads?{key}=whitwort").json["errors"]
        assert fault["parameter"] == key
        assert '"whitwort"' in fault["detail"]
        assert accepted in fault["accepted"]
    assert http.get("/v1/threads?family=npt&series=UNF").json["result"]["families"] == []


def test_each_type_of_problem_has_a_page(http: FlaskClient) -> None:
    for slug in TITLES:
        page = http.get(f"/problems/{slug}")
        assert page.status_code == 200
        assert page.content_type.startswith("text/html")
        assert "default-src 'none'" in page.headers["Content-Security-Policy"]
    assert http.get("/problems/nothing").status_code == 404


@operations
def test_pages_pictures_and_xml(operation: Operation, http: FlaskClient) -> None:
    path = f"{operation.path}?{query(operation.examples[0].request)}"
    page = http.get(f"{path}&format=html")
    assert page.status_code == 200
    assert b'id="result"' in page.data
    assert "default-src 'none'" in page.headers["Content-Security-Policy"]
    picture = ElementTree.fromstring(http.get(f"{path}&format=svg").data)
    assert picture.tag.endswith("svg")
    assert picture.find("{http://www.w3.org/2000/svg}title") is not None
    xml = ElementTree.fromstring(http.get(f"{path}&format=xml").data)
    assert "{" not in xml.tag, "no namespace: a sheet's query must find the element by its name"


def test_the_contract_can_be_read_offline(http: FlaskClient) -> None:
    page = http.get("/docs")
    assert page.status_code == 200
    assert "script-src 'self'" in page.headers["Content-Security-Policy"]
    for address in re.findall(r'(?:src|href)="(/[^"]+)"', page.text):
        assert http.get(address).status_code == 200, address
    assert "http" not in re.sub(r'href="/[^"]*"', "", page.text), "nothing from outside"
    assert http.get("/docs/nothing.js").status_code == 404


@pytest.mark.parametrize(
    ("accept", "content_type"),
    [
        ("text/csv; charset=utf-8", "text/csv"),
        ("text/html;level=1, application/json;q=0.1", "text/html"),
        ("TEXT/CSV", "text/csv"),
        ("text/html;q=0.5, text/csv;q=0.9", "text/csv"),
        ("application/json;q=0, text/csv;q=0.1", "text/csv"),
        ("text/csv;q=0, */*", "application/json"),
        ("text/csv;q=0.5, application/json;q=0.5", "text/csv"),
        ("application/json;q=0.5, text/csv;q=0.5", "application/json"),
        (",,, ;q=1", "application/json"),
        ("application/pdf", "application/json"),
    ],
)
def test_accept(accept: str, content_type: str, http: FlaskClient) -> None:
    """RFC 9110, 12.5.1, but JSON instead of 406, after which a cell would be empty."""
    answer = http.get(M24, headers={"Accept": accept})
    assert answer.status_code == 200
    assert answer.content_type.startswith(content_type)
    assert answer.headers["Vary"] == "Accept"


def test_v1_without_a_stroke_is_v1(http: FlaskClient) -> None:
    assert http.get("/v1").data == http.get("/v1/").data
    assert set(http.options("/v1").headers["Allow"].split(", ")) == {"GET", "HEAD", "OPTIONS"}
    assert http.post("/v1").status_code == 405


def test_the_first_page_leads_to_the_guides(http: FlaskClient) -> None:
    page = http.get("/")
    assert page.status_code == 200
    for operation in OPERATIONS:
        assert f'href="/docs/guide/{operation.name}"' in page.text


@pytest.mark.parametrize(
    "slug", [slug for slug, told in HELP.items() if told.example], ids=lambda slug: slug
)
def test_the_example_of_a_problem_has_it(slug: str, http: FlaskClient) -> None:
    told = HELP[slug]
    for accept, kind in (("text/html", "text/html"), ("*/*", "application/problem+json")):
        answer = http.get(told.example.replace(".html", ""), headers={"Accept": accept})
        assert answer.status_code == told.status
        assert answer.content_type.startswith(kind)
        assert f"/problems/{slug}" in answer.text


def test_help_says_the_status_that_is_sent() -> None:
    assert set(HELP) == set(TITLES)
    for refusal in REFUSALS:
        assert HELP[refusal.code].status == 422


@pytest.mark.parametrize(
    "path",
    [
        "passes.-1.deflection",
        "passes.99.deflection",
        "passes.deflection",
        "passes[0].deflection",
        "passes.*.deflection",
        "ROOT_DIAMETER",
        "root_diameter.max",
        "passes.1e0.deflection",
    ],
)
def test_a_path_that_leads_nowhere(path: str, http: FlaskClient) -> None:
    asked = query({**BY_NAME["pass-plan"].examples[0].request, "field": path})
    answer = http.get(f"/v1/pass-plan?{asked}")
    assert answer.status_code == 422
    told = answer.json["errors"][0]
    assert (told["parameter"], told["code"]) == ("field", "unknown")
    assert "passes.0.deflection" in told["accepted"]


def test_paths_are_told_apart(http: FlaskClient) -> None:
    asked = query(BY_NAME["pass-plan"].examples[0].request)
    for path, code in (
        ("passes", "not-a-value"),
        ("passes.0", "not-a-value"),
        ("", "empty"),
        ("depth,", "empty"),
        (",".join(["depth"] * 101), "too-many"),
    ):
        answer = http.get(f"/v1/pass-plan?{asked}&field={path}")
        assert answer.json["errors"][0]["code"] == code, path
