"""What the guide offers to copy is run as it stands, against a live service."""

from __future__ import annotations

import html
import json
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from urllib.request import Request, urlopen

import pytest

from support.examples import OPERATION_IDS
from support.servers import ROOT, Process, gunicorn
from threadwright_service.api import BY_NAME
from threadwright_service.app.flat import found
from threadwright_service.app.pages.guide import FIELDS

each = pytest.mark.parametrize("name", OPERATION_IDS)


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    with gunicorn(tmp_path_factory.mktemp("service") / "log", WORKERS="1") as process:
        yield process


def blocks(service: Process, name: str) -> dict[str, str]:
    """The blocks of a guide page by their ids."""
    with urlopen(f"{service.url}/docs/guide/{name}") as answer:
        page = answer.read().decode("utf-8")
    told = re.findall(r'<(?:pre|strong) id="([a-z-]+)">(.*?)</(?:pre|strong)>', page, re.S)
    return {key: html.unescape(text) for key, text in told}


def wanted(service: Process, name: str) -> str:
    """The value that every block is to give, asked for by a plain POST."""
    request = Request(
        f"{service.url}{BY_NAME[name].path}",
        json.dumps(dict(BY_NAME[name].examples[0].request)).encode(),
        {"Content-Type": "application/json"},
    )
    with urlopen(request) as answer:
        return str(found(json.load(answer)["result"], FIELDS[name]))


@each
def test_value_that_is_shown(name: str, service: Process) -> None:
    assert blocks(service, name)["value"] == wanted(service, name)


@each
def test_curl(name: str, service: Process) -> None:
    if shutil.which("curl") is None:
        pytest.skip("curl is not installed")
    told = blocks(service, name)
    value = wanted(service, name)
    answers = {key: _shell(told[key]) for key in ("curl-field", "curl-get", "curl-post")}
    assert answers["curl-field"] == value
    for key in ("curl-get", "curl-post"):
        assert str(found(json.loads(answers[key])["result"], FIELDS[name])) == value


def _shell(command: str) -> str:
    return subprocess.run(
        ["bash", "-c", command], capture_output=True, text=True, check=True
    ).stdout


@each
def test_python(name: str, service: Process) -> None:
    done = subprocess.run(
        [sys.executable, "-c", blocks(service, name)["python"]],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONPATH": str(ROOT / "client")},
    )
    assert done.stdout.strip() == wanted(service, name)


@each
def test_batch(name: str, service: Process) -> None:
    line, _, body = blocks(service, name)["batch"].partition("\n")
    method, _, address = line.partition(" ")
    request = Request(address, body.encode(), {"Content-Type": "application/json"}, method=method)
    with urlopen(request) as answer:
        (item,) = json.load(answer)["items"]
    assert str(found(item["result"], FIELDS[name])) == wanted(service, name)


@each
def test_macros_ask_the_same_address(name: str, service: Process) -> None:
    """The VBA macro, which nothing here can run, puts together the address that curl asks."""
    told = blocks(service, name)
    address = re.findall(r"'([^']+)'", told["curl-field"])[0]
    for key in ("basic", "vba"):
        pieces = re.findall(r'address = (?:address & )?"([^"]*)"', told[key])
        assert "".join(pieces) == f"{address}&on_error=text"
        assert max(map(len, told[key].splitlines())) < 120


@each
def test_links_to_the_forms(name: str, service: Process) -> None:
    with urlopen(f"{service.url}/docs/guide/{name}") as answer:
        page = answer.read().decode("utf-8")
    links = re.findall(r'href="(/v1/[^"]+)"', page)
    assert len(links) == 6
    for link in links:
        with urlopen(f"{service.url}{html.unescape(link)}") as answer:
            assert answer.status == 200


def test_the_text_names_keys_that_exist(openapi: dict[str, object]) -> None:
    """Every word in code letters of a guide is a key, a member or a word of the contract."""
    known = set(re.findall(r"[a-z][a-z0-9_]+", json.dumps(openapi)))
    folder = ROOT / "service" / "threadwright_service" / "app" / "pages" / "guides"
    strange = [
        f"{path.name}: {word}"
        for path in sorted(folder.glob("*.html"))
        for code in re.findall(r"<code>(.*?)</code>", path.read_text(encoding="utf-8"))
        for word in re.findall(r"[a-z][a-z0-9_]*_[a-z0-9_]+", code)
        if word not in known
    ]
    assert strange == []
    assert Path(folder / "index.html").exists()
