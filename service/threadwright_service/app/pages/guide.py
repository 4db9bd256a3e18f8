"""The guide: a page for each operation and one that leads to them; they work without a script.

The text of each page is written by hand (``guides/``); request, answer, pictures and what can be
copied are made from the operation's first example each time, so they cannot grow old.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Final

from threadwright_service.api import OPERATIONS
from threadwright_service.api.answer import answer
from threadwright_service.api.operation import Operation
from threadwright_service.app.flat import found, plain
from threadwright_service.app.pages.answer_page import figures
from threadwright_service.app.pages.described import described
from threadwright_service.app.pages.markup import HTML, page, plain_style, shown, text
from threadwright_service.app.pages.snippets import (
    Request,
    basic,
    cell_formula,
    cells,
    curl_field,
    curl_get,
    curl_post,
    python,
    vba,
)
from threadwright_service.app.pages.tables import cautions, result_tables
from threadwright_service.app.reply import Reply, lasting
from threadwright_service.app.representations import REPRESENTATIONS

FIELDS: Final[Mapping[str, str]] = {
    "thread-limits": "limits.pitch_diameter.max",
    "wire-measurement": "reading.aim",
    "gauge-limits": "go.pitch_diameter.max",
    "size-correction": "radius_correction",
    "thread-hole": "hole_diameter.aim",
    "hardness": "value",
    "pass-plan": "root_diameter",
    "turning-plan": "root_diameter",
    "cutting-data": "feed_centre",
    "cycle-time": "lot.time_min",
    "job-sheet": "plan.root_diameter",
}
"""The one value of each operation that the examples for cells and macros ask for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shown:
    """The first example of an operation and its answer."""

    keys: Mapping[str, Any]
    title: str
    answer: Mapping[str, Any]


@cache
def _example(operation: Operation) -> _Shown:
    example = operation.examples[0]
    answered = answer(operation, operation.request.load_json(dict(example.request)))
    return _Shown(keys=example.request, title=example.title, answer=answered)


def guide_reply(base: str) -> Reply:
    """The page that leads to the others."""
    rows = "".join(
        [
            f'<tr><td><a href="/docs/guide/{each.name}">{each.name}</a></td>'
            f"<td>{text(each.summary)}</td></tr>"
            for each in OPERATIONS
        ]
    )
    body = (
        "<h1>Guide</h1>"
        f"<table><thead><tr><th>Operation</th><th>What it does</th></tr></thead>"
        f"<tbody>{rows}</tbody></table>{_written('index').replace('{BASE}', text(base))}"
    )
    return _reply("Guide", body)


def guide_page_reply(operation: Operation, base: str) -> Reply:
    """The guide to one operation."""
    example = _example(operation)
    request = Request(
        operation=operation, keys=example.keys, field=FIELDS[operation.name], base=base
    )
    body = "".join(
        (
            f"<h1>{operation.name}</h1>"
            f'<p class="lead">{text(operation.summary)}. {text(operation.description)}</p>',
            _written(operation.name),
            "<h2>A worked example</h2>",
            f"<p>{text(example.title)}. The answer as {_forms(request)}; or "
            f'<a href="/docs?operation={operation.name}">try it</a>.</p>',
            figures(operation, example.answer, every=True),
            _result(operation, example),
            "<h2>The same request to copy</h2>",
            _blocks(request, example.answer),
            "<h2>Keys</h2>",
            _keys(operation),
            f"<footer><p>Sources: {text('; '.join(operation.sources))}.</p></footer>",
        )
    )
    return _reply(f"Guide: {operation.name}", body)


def _reply(title: str, body: str) -> Reply:
    look = plain_style()
    return lasting(page(title, body, look), HTML, look.headers)


@cache
def _written(name: str) -> str:
    """The text of a page that was written by hand."""
    folder = files("threadwright_service.app.pages").joinpath("guides")
    return folder.joinpath(f"{name}.html").read_text(encoding="utf-8")


def _forms(request: Request) -> str:
    return ", ".join(
        [
            f'<a href="{text(request.operation.path + each.suffix)}?{text(request.query)}">'
            f"{each.name}</a>"
            for each in REPRESENTATIONS
        ]
    )


def _result(operation: Operation, example: _Shown) -> str:
    tables = result_tables(example.answer["result"], described(operation), example.answer["unit"])
    return (
        f"{cautions(example.answer['cautions'])}"
        f"<details><summary>Every value of the answer</summary>{tables}</details>"
    )


def _blocks(request: Request, answered: Mapping[str, Any]) -> str:
    """Everything that can be copied, each with an id."""
    value = text(plain(found(answered["result"], request.field)))
    rows = "".join(
        [
            f'<tr><td>{row}</td><td class="k">{text(key)}</td><td class="k">{shown(cell)}</td></tr>'
            for row, (key, cell) in enumerate(cells(request), 2)
        ]
    )
    return (
        f"<p>The value in these examples is <code>{request.field}</code>; here it is "
        f'<strong id="value">{value}</strong>.</p>'
        f"<h3>curl</h3>{_block('curl-field', curl_field(request))}"
        f"{_block('curl-get', curl_get(request))}{_block('curl-post', curl_post(request))}"
        f"<h3>Python</h3><p><code>pip install threadwright</code></p>"
        f"{_block('python', python(request))}"
        "<h3>A cell of a spreadsheet</h3><p>Put the service's address into a cell and name it "
        f"<code>BASE</code> (here <code>{text(request.base)}</code>), and keys and values into "
        "columns A and B:</p>"
        '<table id="cells"><thead><tr><th>Row</th><th>A</th><th>B</th></tr></thead>'
        f"<tbody>{rows}</tbody></table>{_block('cell', cell_formula(request))}"
        "<p>Where your program separates arguments by semicolons, write those for the commas "
        "outside the quotes. <code>NUMBERVALUE</code> with a point and <code>SUBSTITUTE</code> "
        "around numbers keep it right in every language; <code>VALUE</code> would read 9.026 as "
        "9026 in some. To see why a cell fails, take <code>NUMBERVALUE</code> away and add "
        '<code>&amp;"&amp;on_error=text"</code>.</p>'
        f"<h3>A macro in Basic (LibreOffice)</h3>{_block('basic', basic(request))}"
        f"<h3>A macro in VBA</h3>{_block('vba', vba(request))}"
        "<h3>An item of a batch</h3>"
        f"{_block('batch', _batch(request))}"
    )


def _batch(request: Request) -> str:
    item = {"id": "a", "operation": request.operation.name, "params": dict(request.keys)}
    return f"POST {request.base}/v1/batch\n{json.dumps({'items': [item]}, indent=1)}"


def _block(name: str, words: str) -> str:
    return f'<pre id="{name}">{text(words)}</pre>'


def _keys(operation: Operation) -> str:
    """Every key with its meaning, what is accepted, and what is assumed."""
    rows = []
    for key, field in operation.request.wire_fields().items():
        need = "needed" if field.required else ""
        assumed = "" if field.assume is None else f"{shown(field.assume)}: {text(field.reason)}"
        rows.append(
            f'<tr><td class="k">{key}</td><td>{text(field.description)}</td>'
            f"<td>{text(field.accepted('mm'))}</td><td>{need}</td><td>{assumed}</td></tr>"
        )
    return (
        '<div class="wide"><table id="keys" class="long"><thead><tr><th>Key</th><th>Meaning</th>'
        "<th>Accepted (metric)</th><th></th><th>Assumed</th></tr></thead>"
        f"<tbody>{''.join(rows)}</tbody></table></div>"
    )
