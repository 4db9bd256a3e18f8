"""The form of a job in a real browser: from its fields to the sheet, and from a refusal back."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from support import browser
from support.driven_browser import Driven, driven
from support.examples import query
from support.servers import Process, gunicorn
from threadwright_service.api import BY_NAME

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(bool(browser.missing()), reason=browser.missing() or "a browser is here"),
]
PHONE = 390
JOB = BY_NAME["job-sheet"]
FIRST = JOB.examples[0].request
NEEDED = {
    "designation": "M24x1.5-6g",
    "thread_length": "28",
    "material": "17-4 PH",
    "hardness": "42",
    "cutter_diameter": "16",
    "cutter_teeth": "5",
    "cutter_nose_flat": "0.1",
    "quantity": "18",
}


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    with gunicorn(tmp_path_factory.mktemp("service") / "log", WORKERS="1") as process:
        yield process


def assert_quiet(page: Driven, service: Process) -> None:
    assert page.console == []
    assert page.asked, "what is asked for is seen"
    assert [each for each in page.asked if not each.startswith((service.url, "data:"))] == []


def fill(page: Driven, keys: dict[str, str]) -> None:
    for key, words in keys.items():
        page.type(f"#{key}", words)


@pytest.mark.parametrize("scripts", [True, False], ids=["script", "no script"])
def test_a_job_that_is_typed_in_becomes_a_sheet(scripts: bool, service: Process) -> None:
    with driven(scripts=scripts) as page:
        page.open(f"{service.url}/job-sheet")
        page.click('[name="unit"][value="mm"]')
        fill(page, NEEDED)
        page.look("document.getElementById('hardness_scale').value = 'HRC'")
        page.press(".send")
        address = page.look("location.href")
        assert page.look("document.querySelector('h1').textContent") == "M24x1.5-6g"
        assert_quiet(page, service)
    path, _, asked = address.removeprefix(service.url).partition("?")
    assert path == "/v1/job-sheet"
    sent = {"unit": "mm", **NEEDED, "hardness_scale": "HRC", "format": "html"}
    assert dict(part.split("=") for part in asked.split("&")) == dict(
        part.split("=") for part in query(sent).split("&")
    )
    through = [each for each in page.asked if each == f"{service.url}/job-sheet"]
    assert len(through) == (1 if scripts else 2), "with a script nothing goes a longer way"


def test_an_example_becomes_a_sheet_on_a_phone(service: Process) -> None:
    with driven(width=PHONE) as page:
        page.open(f"{service.url}/job-sheet")
        page.press(".starts a")
        assert page.look("document.getElementById('designation').value") == FIRST["designation"]
        page.press(".send")
        assert page.look("document.title").startswith("Job sheet M24x1.5-6g")
        page.press(".change a")
        assert page.look("document.getElementById('cutter_diameter').value") == "16"
        assert_quiet(page, service)


def test_a_refused_job_leads_back_to_the_wrong_field(service: Process) -> None:
    with driven() as page:
        page.open(f"{service.url}/job-sheet?{query({**FIRST, 'runout': '0,01'})}")
        page.press(".send")
        assert page.look("document.querySelector('#errors td').textContent") == "runout"
        assert len(page.console) == 1, "the browser itself notes the status of the page"
        assert "422" in page.console.pop()
        page.press('a[href^="/job-sheet?"]')
        marked = "[...document.querySelectorAll('[aria-invalid=true]')].map(each => each.id)"
        assert page.look(marked) == ["runout"]
        assert page.look("document.getElementById('more').open") is True
        # Told without colour: by words, and by a bar that has a width.
        assert page.look("document.getElementById('runout-wrong').textContent").startswith("Wrong:")
        bar = "getComputedStyle(document.querySelector('.bad')).borderLeftWidth"
        assert page.look(bar) == "5px"
        fill(page, {"runout": "0.01"})
        page.press(".send")
        assert page.look("document.title").startswith("Job sheet")
        assert_quiet(page, service)


def test_units_follow_the_one_that_is_chosen(service: Process) -> None:
    shown = (
        "[...new Set([...document.querySelectorAll('.unit')].filter(each => "
        "each.querySelector('.of-mm')).map(each => each.innerText))].sort()"
    )
    with driven(scripts=False) as page:
        page.open(f"{service.url}/job-sheet")
        page.look("document.getElementById('more').open = true")
        both = page.look(shown)
        assert {"mm or in", "m/min or ft/min"} <= set(both)
        for unit, other in (("mm", "in"), ("in", "mm")):
            page.click(f'[name="unit"][value="{unit}"]')
            alone = page.look(shown)
            assert len(alone) == len(both)
            assert unit in alone
            assert not [each for each in alone if "or" in each.split() or each == other]


def test_the_form_is_used_from_the_keyboard(service: Process) -> None:
    """Every field can be reached in the order of the page, and Enter sends."""
    with driven() as page:
        page.open(f"{service.url}/job-sheet?{query(FIRST)}")
        page.look("document.getElementById('job').focus()")
        reached = []
        for _ in range(8):
            reached.append(page.look("document.activeElement.id"))
            page.key("Tab", "")
        assert reached == [
            "job", "unit", "designation", "thread_length", "shoulder_distance", "blank_diameter",
            "hole_diameter", "material",
        ]  # fmt: skip
        outline = "getComputedStyle(document.activeElement).outlineStyle"
        assert page.look(outline) == "solid", "where one is can be seen"
        loads = page.loads
        page.key("Enter", "\r")
        page.until_loaded(loads)
        assert page.look("document.title").startswith("Job sheet M24x1.5-6g")


def test_what_is_needed_is_asked_for_before_it_is_sent(service: Process) -> None:
    with driven() as page:
        page.open(f"{service.url}/job-sheet")
        page.click(".send")
        wanted = "[...document.querySelectorAll(':invalid')].map(each => each.name)"
        names = set(page.look(wanted))
        assert {"unit", "thread_length", "material", "cutter_diameter", "cutter_teeth"} <= names
        assert page.look("location.pathname") == "/job-sheet"


@pytest.mark.parametrize(
    "path",
    [
        "/job-sheet",
        f"/job-sheet?{query(FIRST)}",
        f"/job-sheet?{query({**FIRST, 'runout': 'x', 'unit': 'in'})}&nothing=1&wrong=runout",
        "/docs/threads",
        "/docs/materials",
        "/docs",
        "/docs?operation=hardness",
    ],
    ids=lambda path: path[:30],
)
def test_a_phone_shows_the_whole_width(path: str, service: Process) -> None:
    with driven(width=PHONE, height=800) as page:
        page.open(f"{service.url}{path}")
        if path.startswith("/docs?") or path == "/docs":
            page.wait_for("document.querySelector('.opblock-summary-method') !== null")
        page.look("document.querySelectorAll('details').forEach(each => each.open = true)")
        assert page.look("document.documentElement.scrollWidth") <= PHONE
        ends = (
            "Math.max(0, ...[...document.querySelectorAll('form :is(input, select, label, .unit)')]"
            ".filter(each => each.type !== 'hidden')"
            ".map(each => Math.ceil(each.getBoundingClientRect().right)))"
        )
        assert page.look(ends) <= PHONE
        assert_quiet(page, service)


def test_the_viewer_wears_the_house_s_colours(service: Process) -> None:
    """Its head is that of every page, and a method has the colour of the head's line."""
    with driven() as page:
        page.open(f"{service.url}/docs/guide")
        head = page.look("document.querySelector('header').outerHTML")
        line = page.look("getComputedStyle(document.querySelector('header')).borderBottomColor")
        page.open(f"{service.url}/docs")
        assert page.look("document.querySelector('header').outerHTML") == head
        page.wait_for("document.querySelector('.opblock-summary-method') !== null")
        method = "getComputedStyle(document.querySelector('.opblock-summary-method')).color"
        page.wait_for(f"{method} === {line!r}")
        assert_quiet(page, service)
