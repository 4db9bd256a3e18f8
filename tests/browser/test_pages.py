"""The pages in a real browser: no console message, no address outside, one printed sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import escape
from pathlib import Path
from urllib.error import HTTPError
from urllib.request import urlopen

import pytest

from support import browser
from support.examples import OPERATION_IDS, query
from support.servers import Process, gunicorn
from threadwright_service.api import BY_NAME, OPERATIONS

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(bool(browser.missing()), reason=browser.missing() or "a browser is here"),
]
JOB = BY_NAME["job-sheet"]


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    with gunicorn(tmp_path_factory.mktemp("service") / "log", WORKERS="1") as process:
        yield process


def assert_quiet(page: browser.Loaded, service: Process) -> None:
    assert page.console == []
    outside = [each for each in page.asked if not each.startswith((service.url, "data:"))]
    assert outside == []
    assert page.asked, "the log of the network was read"


def test_the_interactive_page(service: Process) -> None:
    page = browser.load(f"{service.url}/docs")
    assert_quiet(page, service)
    for operation in OPERATIONS:
        # The viewer lets long paths break after a stroke.
        shown = page.document.replace("\u200b", "").replace("<wbr>", "")
        assert operation.path in shown, "the contract was read and shown"
    assert any(each.endswith("/openapi.json") for each in page.asked)


def test_one_operation_on_the_interactive_page(service: Process) -> None:
    """Opened, with its keys, examples and the shape of its answer."""
    page = browser.load(f"{service.url}/docs?operation=hardness", milliseconds=20_000)
    assert_quiet(page, service)
    shown = page.document.replace("\u200b", "").replace("<wbr>", "")
    for words in ("/v1/hardness", "Try it out", "approximate-conversion"):
        assert words in shown
    assert "/v1/pass-plan" not in shown


@pytest.mark.parametrize("name", ["", *(f"/{name}" for name in OPERATION_IDS)])
def test_guide_pages(name: str, service: Process) -> None:
    page = browser.load(f"{service.url}/docs/guide{name}", milliseconds=1000)
    assert_quiet(page, service)
    assert len(page.asked) == 1, "a page needs nothing but itself"


@pytest.mark.parametrize("name", OPERATION_IDS)
def test_answer_pages(name: str, service: Process) -> None:
    operation = BY_NAME[name]
    asked = query({**operation.examples[0].request, "working": True})
    page = browser.load(f"{service.url}{operation.path}.html?{asked}", milliseconds=1000)
    assert_quiet(page, service)
    assert "<svg" in page.document


def test_a_picture_alone(service: Process) -> None:
    asked = query(BY_NAME["pass-plan"].examples[0].request)
    page = browser.load(f"{service.url}/v1/pass-plan.svg?{asked}", milliseconds=1000)
    assert_quiet(page, service)


def test_error_and_problem_pages(service: Process) -> None:
    for path in ("/v1/thread-limits.html?designation=nothing", "/problems/ambiguous"):
        assert_quiet(browser.load(f"{service.url}{path}", milliseconds=1000), service)


PHONE = 390
NARROW = [
    *(f"/docs/guide{name}" for name in ("", *(f"/{name}" for name in OPERATION_IDS))),
    *(
        f"{each.path}.html?{query({**each.examples[0].request, 'working': True})}"
        for each in OPERATIONS
    ),
    *(f"{JOB.path}.html?{query(each.request)}" for each in JOB.examples[1:]),
    "/problems/invalid-request",
    "/v1/thread-limits.html?designation=M10-9g8z&ptich=1",
]


@pytest.mark.parametrize("path", NARROW, ids=lambda path: path.partition("?")[0])
def test_nothing_runs_out_of_a_phone(path: str, service: Process, tmp_path: Path) -> None:
    """What is wider than the screen has a bar of its own; the page itself never moves sideways."""
    try:
        with urlopen(f"{service.url}{path}") as answer:
            inside = answer.read().decode("utf-8")
    except HTTPError as refused:
        inside = refused.read().decode("utf-8")
    frame = tmp_path / "phone.html"
    frame.write_text(
        f'<iframe width="{PHONE}" height="800" style="border:0" srcdoc="{escape(inside)}" '
        "onload=\"document.title = 'wide ' + this.contentDocument.documentElement.scrollWidth\">"
        "</iframe>",
        encoding="utf-8",
    )
    shown = browser.load(frame.as_uri(), milliseconds=1000).document
    wide = re.search(r"<title>wide (\d+)</title>", shown)
    assert wide is not None
    assert int(wide[1]) <= PHONE


@pytest.mark.parametrize("name", OPERATION_IDS)
def test_every_value_is_seen_on_a_phone(name: str, service: Process, tmp_path: Path) -> None:
    """Key, value, unit and meaning lie within the screen: what one asked for is not aside."""
    operation = BY_NAME[name]
    with urlopen(
        f"{service.url}{operation.path}.html?{query(operation.examples[0].request)}"
    ) as it:
        inside = it.read().decode("utf-8")
    measure = (
        "const cells = [...this.contentDocument.querySelectorAll('#result td')];"
        "const ends = cells.map(each => Math.ceil(each.getBoundingClientRect().right));"
        "document.title = 'cells ' + cells.length + ' end ' + Math.max(...ends)"
    )
    frame = tmp_path / "phone.html"
    frame.write_text(
        f'<iframe width="{PHONE}" height="800" style="border:0" srcdoc="{escape(inside)}" '
        f'onload="{measure}"></iframe>',
        encoding="utf-8",
    )
    shown = browser.load(frame.as_uri(), milliseconds=1000).document
    found = re.search(r"<title>cells (\d+) end (\d+)</title>", shown)
    assert found is not None
    assert int(found[1]) > 40
    assert int(found[2]) <= PHONE


def test_the_console_is_heard(tmp_path: Path) -> None:
    """A page that speaks and calls outside is seen to do so, so the tests above can fail."""
    page = tmp_path / "page.html"
    page.write_text(
        '<script>console.error("heard")</script><img src="http://127.0.0.1:9/x.png">',
        encoding="utf-8",
    )
    loaded = browser.load(page.as_uri(), milliseconds=1000)
    assert any("heard" in line for line in loaded.console)


SHEETS = [
    *((example.title, dict(example.request)) for example in JOB.examples),
    ("many passes", {**JOB.examples[1].request, "passes": 12}),
    ("more passes than the sheet shows", {**JOB.examples[0].request, "passes": 30}),
]


@pytest.mark.parametrize("size", ["letter", "A4"])
@pytest.mark.parametrize("keys", [each[1] for each in SHEETS], ids=[each[0] for each in SHEETS])
def test_the_job_sheet_prints_on_one_page(
    keys: dict[str, object], size: str, service: Process, tmp_path: Path
) -> None:
    address = f"{service.url}{JOB.path}.html?{query(keys)}"
    with urlopen(address) as answer:
        text = answer.read().decode("utf-8")
    assert text.count("@page { margin: 8mm; }") == 1
    page = tmp_path / "sheet.html"
    page.write_text(
        text.replace("@page { margin: 8mm; }", f"@page {{ margin: 8mm; size: {size}; }}"),
        encoding="utf-8",
    )
    sheets, told = browser.printed_pages(page.as_uri(), tmp_path / "sheet.pdf")
    assert size.lower() in told.lower()
    assert sheets == 1


def test_the_working_follows_on_further_pages(service: Process, tmp_path: Path) -> None:
    asked = query({**JOB.examples[0].request, "working": True})
    address = f"{service.url}{JOB.path}.html?{asked}"
    sheets, _ = browser.printed_pages(address, tmp_path / "sheet.pdf")
    assert 2 <= sheets <= 8
