"""The form of a job: every key of the operation, both ways between it and the sheet, its faults.

The judge of the keys is the committed contract; what the form would send is read off its markup by
the rules of HTML (the value of a field, the checked button, the selected option).
"""

from __future__ import annotations

import json
import re
from html import unescape
from typing import Any
from urllib.parse import parse_qsl, urlencode

import pytest
from flask.testing import FlaskClient

from support.examples import query
from support.forms import Form
from threadwright_service.api import BY_NAME
from threadwright_service.app import create_app
from threadwright_service.settings import Settings

JOB = BY_NAME["job-sheet"]
FIRST = JOB.examples[0].request
RICH = {
    **{key: value for key, value in FIRST.items() if key not in ("tool_cost", "tool_life_min")},
    "job": 'Screws & "nuts" <of all kinds>, 50 % more',
    "working": False,
    "axial_shift": True,
    "wires_on_hand": [0.866, 1.0],
    "price_break_quantities": [10, 50],
    "tools": [{"name": "thread mill", "life_min": 60, "cost": 12.5}],
    "surface_speed": 80.5,
}
"""A request with a value of every kind: words, flags, lists, a list of objects."""
FIRST_NEEDED = ("material", "cutter_diameter", "cutter_teeth", "thread_length")


def form_of(http: FlaskClient, address: str) -> Form:
    answer = http.get(address)
    assert answer.status_code == 200, answer.text[:300]
    return Form(answer.text)


def filled(form: Form) -> dict[str, str]:
    """What the form sends without its empty fields and the form of the answer."""
    return {name: value for name, value in form.sent() if value and name != "format"}


def texts(keys: Any) -> dict[str, str]:
    return dict(parse_qsl(query(keys)))


@pytest.fixture(scope="module")
def parameters(openapi: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """The keys of a GET of the sheet by the contract, without those that every answer takes."""
    listed = openapi["paths"]["/v1/job-sheet"]["get"]["parameters"]
    return {each["name"]: each for each in listed if "$ref" not in each}


def test_the_contract_names_the_keys(parameters: dict[str, Any]) -> None:
    assert len(parameters) > 140
    assert "format" not in parameters


def test_every_key_has_one_field_with_label_and_meaning(
    http: FlaskClient, parameters: dict[str, dict[str, Any]]
) -> None:
    form = form_of(http, "/job-sheet")
    assert set(form.controls) == {*parameters, "format"}
    assert len(form.ids) == len(set(form.ids))
    for key, told in parameters.items():
        control = form.controls[key]
        assert key in form.labelled or control.kind == "radio", key
        assert told["description"] in form.texts[f"{key}-hint"], key
        assert f"{key}-hint" in str(control.attributes["aria-describedby"]).split()
        if told["required"]:
            assert "required" in control.attributes
    for key in FIRST_NEEDED:
        assert parameters[key]["required"]
    assert form.opened is False


def test_units_stand_beside_their_fields(
    http: FlaskClient, parameters: dict[str, dict[str, Any]]
) -> None:
    page = http.get("/job-sheet").text
    follow = 0
    for key, told in parameters.items():
        unit = told.get("schema", {}).get("x-unit")
        if unit in (None, "1"):
            continue
        field = page[page.index(f' id="{key}" ') :]
        beside = field[: field.index('class="hint"')]
        if isinstance(unit, dict):
            follow += 1
            assert f'<span class="of-mm">{unit["mm"]}</span>' in beside, key
            assert f'<span class="of-in">{unit["in"]}</span>' in beside, key
        else:
            assert f'<span class="unit">{unit}</span>' in beside, key
    assert follow > 40


def test_what_may_be_chosen_is_offered(
    http: FlaskClient, parameters: dict[str, dict[str, Any]]
) -> None:
    form = form_of(http, "/job-sheet")
    for key in ("hardness_scale", "milling", "infeed", "coolant", "tool_charge", "side"):
        words = form.controls[key].words
        assert words[0] == "", "nothing is chosen unless somebody does"
        assert set(words[1:]) <= set(parameters[key]["schema"]["enum"])
        assert len(words) > 2
    assert form.controls["unit"].words == ["mm", "in"]
    assert form.controls["working"].words == ["", "true", "false"]


REQUESTS = [*(dict(each.request) for each in JOB.examples), RICH]


@pytest.mark.parametrize("keys", REQUESTS, ids=lambda keys: keys["job"][:20])
def test_keys_survive_the_way_through_the_form(keys: dict[str, Any], http: FlaskClient) -> None:
    form = form_of(http, f"/job-sheet?{query(keys)}")
    assert filled(form) == texts(keys)
    assert not form.marked()
    by_form = http.get(f"/v1/job-sheet?{urlencode(filled(form))}").json
    by_json = http.post("/v1/job-sheet", json=keys).json
    assert by_form["result"] == by_json["result"]


@pytest.mark.parametrize("keys", REQUESTS, ids=lambda keys: keys["job"][:20])
def test_a_sheet_leads_back_to_its_job(keys: dict[str, Any], http: FlaskClient) -> None:
    """Numbers come back as numbers: 28 may be written 28.0, but is the same job."""
    sheet = http.get(f"/v1/job-sheet.html?{query(keys)}").text
    back = re.search(r'<a href="(/job-sheet\?[^"]+)">Change this job</a>', sheet)
    assert back is not None
    again = filled(form_of(http, unescape(back[1])))
    assert set(again) == set(keys)
    first, second = (
        http.get(f"/v1/job-sheet?{urlencode(each)}").json for each in (texts(keys), again)
    )
    assert first["input"] == second["input"]
    assert first["result"] == second["result"]
    posted = http.post("/v1/job-sheet.html", json=keys).text
    assert ">Change this job</a>" in posted


def test_examples_fill_the_form(http: FlaskClient) -> None:
    page = http.get("/job-sheet").text
    links = [unescape(each) for each in re.findall(r'<a href="(/job-sheet\?[^"]+)"', page)]
    assert len(links) == len(JOB.examples)
    for link, example in zip(links, JOB.examples, strict=True):
        assert set(filled(form_of(http, link))) == set(example.request)


WRONG = [
    ({**FIRST, "cutter_diameter": "16,5"}, {"cutter_diameter"}),
    ({**FIRST, "cutter_diameter": "x", "runout": "-1"}, {"cutter_diameter", "runout"}),
    ({key: FIRST[key] for key in FIRST if key != "cutter_teeth"}, {"cutter_teeth"}),
    ({key: FIRST[key] for key in FIRST if key != "unit"}, {"unit"}),
    ({**FIRST, "milling": "sideways"}, {"milling"}),
    ({**FIRST, "unit": "yards"}, {"unit"}),
    # Each taken by itself, and refused together.
    ({**FIRST, "cutter_nose_radius": 0.1}, {"cutter_nose_radius"}),
    ({**FIRST, "designation": "M24x1.5-6q"}, {"tolerance_class"}),
    ({**FIRST, "tools": '[{"name": "drill", "life_min": -1}]'}, {"tools"}),
]


@pytest.mark.parametrize(("keys", "blamed"), WRONG, ids=lambda each: "+".join(sorted(each))[:40])
def test_a_refused_job_leads_to_the_form_with_the_wrong_fields_marked(
    keys: dict[str, Any], blamed: set[str], http: FlaskClient
) -> None:
    asked = f"/v1/job-sheet?{query(keys)}"
    told = http.get(asked)
    assert told.status_code == 422
    assert {each["parameter"].split(".")[0] for each in told.json["errors"]} == blamed
    page = http.get(f"{asked}&format=html")
    assert page.status_code == 422
    back = re.search(r'href="(/job-sheet\?[^"]+)"', page.text)
    assert back is not None
    form = form_of(http, unescape(back[1]))
    assert form.marked() == blamed
    assert filled(form) == texts(keys)
    for each in told.json["errors"]:
        key = each["parameter"].split(".")[0]
        said = form.texts[f"{key}-wrong"]
        assert each["detail"].removeprefix(f"{each['parameter']}: ") in said
        assert each["accepted"] in said or each["accepted"] in each["detail"]
        assert f"{key}-wrong" in str(form.controls[key].attributes["aria-describedby"]).split()
    first = {"cutter_diameter", "cutter_teeth", "unit", "cutter_nose_radius", "designation"}
    assert form.opened is bool(blamed - first), "what is wrong is never hidden"


def test_a_key_that_nothing_has_is_told_and_left_out(http: FlaskClient) -> None:
    for address in (
        f"/job-sheet?{query(FIRST)}&cuter_diameter=16",
        f"/job-sheet?{query(FIRST)}&cuter_diameter=16&wrong=cuter_diameter",
    ):
        page = http.get(address).text
        assert "cuter_diameter is not a key of this operation" in page
        assert filled(Form(page)) == texts(FIRST)


def test_what_is_filled_in_by_a_link_is_not_marked_before_it_was_sent(http: FlaskClient) -> None:
    form = form_of(http, "/job-sheet?designation=M10-6g")
    assert not form.marked()
    assert filled(form) == {"designation": "M10-6g"}


def test_other_operations_and_bodies_lead_to_no_form(http: FlaskClient) -> None:
    """Only what stands in an address can be filled in again."""
    page = {"Accept": "text/html"}
    refused = http.get("/v1/pass-plan?designation=x", headers=page)
    posted = http.post("/v1/job-sheet", json={"designation": "x"}, headers=page)
    for answer in (refused, posted):
        assert answer.status_code == 422
        assert answer.content_type.startswith("text/html")
        assert "Change this job" not in answer.text


def test_an_empty_value_stays_an_error_of_the_operation(http: FlaskClient) -> None:
    answer = http.get(f"/v1/job-sheet?{query(FIRST)}&blank_diameter=")
    assert answer.status_code == 422
    assert answer.json["errors"][0]["code"] == "empty"


def test_without_a_script_the_form_sends_on_what_is_filled_in(http: FlaskClient) -> None:
    form = form_of(http, f"/job-sheet?{query(RICH)}")
    assert (form.method, form.action) == ("post", "/job-sheet")
    sent = http.post("/job-sheet", data=urlencode(form.sent()), content_type=FORM)
    assert sent.status_code == 303
    path, _, asked = sent.headers["Location"].partition("?")
    assert path == "/v1/job-sheet"
    assert dict(parse_qsl(asked, keep_blank_values=True)) == {**texts(RICH), "format": "html"}
    sheet = http.get(sent.headers["Location"])
    assert sheet.status_code == 200
    assert sheet.content_type.startswith("text/html")


FORM = "application/x-www-form-urlencoded"


def test_blanks_around_a_value_are_left_out(http: FlaskClient) -> None:
    sent = http.post("/job-sheet", data={"thread_length": " 28\t", "runout": "  "})
    assert sent.headers["Location"] == "/v1/job-sheet?thread_length=28"


@pytest.mark.parametrize(
    ("body", "content_type", "status"),
    [
        (b'{"unit": "mm"}', "application/json", 415),
        (b"unit=mm", "", 415),
        (b"job=%ff", FORM, 400),
        (b"job=\xff", FORM, 400),
        (b"a=&" * 600, FORM, 400),
        (b"a" * 70_000, FORM, 413),
    ],
)
def test_what_is_no_form_is_refused(
    body: bytes, content_type: str, status: int, http: FlaskClient
) -> None:
    for accept, kind in (("*/*", "application/problem+json"), ("text/html", "text/html")):
        answer = http.post(
            "/job-sheet", data=body, content_type=content_type, headers={"Accept": accept}
        )
        assert answer.status_code == status
        assert answer.content_type.startswith(kind)


LONG = {
    "job": "Levelling screws for the second lift table of the paint shop, repeat order",
    "designation": "1 3/8-12 UNS-2A (21) LH",
    "material": "precipitation-hardening-stainless",
    "cutter_profile": "single", "cutter_included_angle_deg": "60.25", "cutter_material": "carbide",
    "surface_speed": "122.75", "feed_per_tooth": "0.03175", "infeed": "equal-force",
    "milling": "conventional", "runout": "0.00635", "rapid_rate": "15000", "feed_rate_max": "8000",
    "first_article_trials": "2", "measure_time_s": "120.5", "correction_time_s": "90.5",
    "labour_rate": "48.75", "material_cost": "16.75", "tool_replacement_time_s": "600",
    "price_break_quantities": "10;20;50;100", "coating_thickness": "0.0125",
    "chamfer_diameter": "24.125", "chamfer_cutter_diameter": "8.125", "chamfer_feed": "812.5",
}  # fmt: skip
"""A job that says more than most, in long words."""


def test_every_sensible_job_is_a_short_address(http: FlaskClient) -> None:
    """2,000 characters go through every browser, proxy and spreadsheet (common practice)."""
    page = http.get("/job-sheet").text
    first = Form(page[: page.index('<details id="more"')]).controls
    job = {key: "1234.5678" for key in first if key != "format"} | LONG
    assert len(job) > 50
    for address in ("/v1/job-sheet?format=html&", f"/job-sheet?wrong={','.join(first)}&"):
        assert len(f"http://threadwright.example:8000{address}{urlencode(job)}") < 2000, address
    assert not {*LONG} - {*form_of(http, "/job-sheet").controls}


def test_the_policy_lets_the_form_go_here_and_run_its_own_script_alone(http: FlaskClient) -> None:
    answer = http.get("/job-sheet")
    policy = dict(
        part.strip().split(" ", 1) for part in answer.headers["Content-Security-Policy"].split(";")
    )
    assert policy["default-src"] == "'none'"
    assert policy["form-action"] == "'self'"
    assert re.fullmatch(r"'sha256-[A-Za-z0-9+/]{43}='", policy["script-src"])
    assert re.fullmatch(r"'sha256-[A-Za-z0-9+/]{43}='", policy["style-src"])
    assert " style=" not in answer.text
    assert not re.search(r"<[^>]* on[a-z]+=", answer.text)
    sheet = http.get(f"/v1/job-sheet.html?{query(FIRST)}").headers["Content-Security-Policy"]
    assert "script-src" not in sheet
    assert "form-action 'none'" in sheet


@pytest.mark.parametrize("in_query", [False, True])
def test_where_a_key_is_wanted_the_form_is_open_and_nothing_is_computed(in_query: bool) -> None:
    settings = Settings(api_keys=("k",), key_in_query=in_query)
    with create_app(settings).test_client() as http:
        form = form_of(http, f"/job-sheet?{query(FIRST)}")
        assert ("key" in form.controls) is in_query
        refused = {**FIRST, "cutter_nose_radius": 0.1}
        form = form_of(http, f"/job-sheet?{query(refused)}&wrong=cutter_nose_radius&key=k")
        assert form.marked() == {"cutter_nose_radius"}
        assert "both given" not in form.texts["cutter_nose_radius-wrong"]
        assert http.get(f"/v1/job-sheet?{query(FIRST)}").status_code == 401
        if in_query:
            sheet = http.get(f"/v1/job-sheet.html?{query(FIRST)}&key=k")
            assert sheet.status_code == 200
            back = re.search(r'href="(/job-sheet\?[^"]+)"', sheet.text)
            assert back is not None
            assert "key" not in dict(parse_qsl(unescape(back[1]))), "a secret is in no link"


@pytest.mark.parametrize(
    "path",
    [
        "/",
        "/docs",
        "/docs/guide",
        "/docs/guide/first-part",
        "/docs/guide/hardness",
        "/docs/threads",
        "/docs/materials",
        "/problems/ambiguous",
        "/job-sheet",
        "/v1/hardness.html?value=40&scale=HRC",
        "/v1/hardness.html?value=x",
        f"/v1/job-sheet.html?{query(FIRST)}",
    ],
)
def test_every_page_leads_to_the_form(path: str, http: FlaskClient) -> None:
    page = http.get(path).text
    head = page[page.index("<header") : page.index("</header>")]
    for target in ("/job-sheet", "/docs/guide", "/docs", "/openapi.json"):
        assert f'href="{target}"' in head


def test_odd_texts_come_back_as_they_were(http: FlaskClient) -> None:
    for odd in ('"><script>alert(1)</script>', "a&b=c", "é ß 𝕏", "%41", "' onfocus='x", "\u202e"):
        answer = http.get("/job-sheet", query_string={"job": odd, "unit": odd, "milling": odd})
        assert answer.status_code == 200
        form = Form(answer.text)
        assert {form.controls[key].value for key in ("job", "unit", "milling")} == {odd}
        assert answer.text.count("<script>") == 1


def test_whatever_stands_in_a_field_it_is_shown_and_marked_as_the_operation_judges_it(
    http: FlaskClient, parameters: dict[str, dict[str, Any]]
) -> None:
    refused = 0
    for odd in ("\x01?", "-1e999"):
        for key in parameters:
            keys = {**texts(FIRST), key: odd}
            told = http.get(f"/v1/job-sheet?{urlencode(keys)}")
            if told.status_code == 200:
                continue
            assert told.status_code == 422, (key, odd)
            blamed = {each["parameter"].split(".")[0] for each in told.json["errors"]}
            wrong = ",".join(blamed)
            form = form_of(http, f"/job-sheet?{urlencode({**keys, 'wrong': wrong})}")
            assert form.marked() == blamed, (key, odd)
            assert form.controls[key].value == odd
            refused += 1
    assert refused > 250


def test_the_lists_to_read_hold_what_the_lists_for_programs_hold(http: FlaskClient) -> None:
    page = unescape(re.sub(r"<[^>]*>", "", http.get("/docs/threads").text))
    sizes = 0
    for family in http.get("/v1/threads").json["result"]["families"]:
        assert family["title"] in page
        assert ", ".join(family["tolerance_classes"]) in page
        for size in family["sizes"]:
            per_inch = size["threads_per_inch"]
            pitch = f"x{size['pitch']:g}" if per_inch is None else f"-{per_inch:g}"
            assert f"{size['size']}{pitch}" in page
            sizes += 1
    assert sizes > 2000
    page = unescape(re.sub(r"<[^>]*>", "", http.get("/docs/materials").text))
    for group in http.get("/v1/materials").json["result"]["materials"]:
        assert group["key"] in page
        assert ", ".join(group["aliases"]) in page
        assert f"{group['hardness_low_hb']:g} to {group['hardness_high_hb']:g}" in page


def test_pages_link_to_lists_that_can_be_read(http: FlaskClient) -> None:
    page = http.get("/").text
    assert 'href="/docs/threads"' in page
    assert 'href="/docs/materials"' in page
    assert not re.search(r'href="/v1/(threads|materials)"', page)


def test_rich_request_holds_a_value_of_every_kind() -> None:
    kinds = {type(field).__name__ for field in JOB.request.wire_fields().values()}
    given = {type(JOB.request.wire_fields()[key]).__name__ for key in RICH}
    assert kinds - given <= {"Size"}, "a nominal size stands in place of a call-out"
    assert json.loads(texts(RICH)["tools"])[0]["name"] == "thread mill"
