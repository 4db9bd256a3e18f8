"""An answer as a page: cautions, pictures, every value with its meaning, what was assumed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from threadwright_service.api.operation import Operation
from threadwright_service.app.pages.described import described
from threadwright_service.app.pages.markup import page, plain_style, text
from threadwright_service.app.pages.snippets import query_text
from threadwright_service.app.pages.tables import (
    assumed_table,
    cautions,
    input_table,
    result_tables,
    working_table,
)
from threadwright_service.app.pictures import PICTURES, pictures_of


def answer_page(operation: Operation, answer: Mapping[str, Any]) -> bytes:
    """The page of one answer."""
    thread = answer.get("thread") or answer["result"]
    subject = thread.get("designation") if isinstance(thread, Mapping) else None
    title = f"{operation.name}: {subject}" if subject else operation.name
    parts = [
        f'<h1>{text(title)}</h1><p class="lead">{text(operation.summary)}. '
        f"Lengths in {answer['unit']}, feeds in {answer['units']['feed_rate']}, surface speeds in "
        f"{answer['units']['surface_speed']}.</p>",
        cautions(answer["cautions"]),
        figures(operation, answer),
        result_tables(answer["result"], described(operation), answer["unit"]),
        assumed_table(answer["assumed"]),
        input_table(answer["input"]),
    ]
    if "working" in answer:
        parts.append(working_table(answer["working"]))
    parts.append(footer(operation, answer["meta"]))
    return page(title, "".join(parts), plain_style())


def figures(operation: Operation, answer: Mapping[str, Any], *, every: bool = False) -> str:
    """The pictures of an answer, and ways to those that are not drawn here."""
    drawn = "".join(
        [
            f"<figure>{svg}<figcaption>{text(picture.title)}</figcaption></figure>"
            for picture, svg in pictures_of(operation.name, answer, every=every)
        ]
    )
    shown = f'<div class="pictures">{drawn}</div>' if drawn else ""
    further = [each for each in PICTURES.get(operation.name, ()) if not (every or each.on_page)]
    if not further:
        return shown
    asked = urlencode({key: query_text(value) for key, value in answer["input"].items()})
    links = ", ".join(
        [
            f'<a href="{operation.path}.svg?{text(asked)}&amp;picture={each.name}">'
            f"{text(each.title)}</a>"
            for each in further
        ]
    )
    return f'{shown}<p class="screen">Another picture: {links}.</p>'


def footer(operation: Operation, meta: Mapping[str, Any]) -> str:
    """What the answer rests on."""
    return (
        f"<footer><p>Service {text(meta['service'])}, tables {text(meta['tables'])}. "
        f"Rests on: {text('; '.join(meta['sources']))}. "
        f'<a class="screen" href="/docs/guide/{operation.name}">Guide to {operation.name}</a></p>'
        "</footer>"
    )
