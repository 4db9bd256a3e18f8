"""An answer as a page: cautions, pictures, every value with its meaning, what was assumed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from threadwright_service.api.operation import Operation
from threadwright_service.app.pages.described import described
from threadwright_service.app.pages.markup import page, plain_style, text
from threadwright_service.app.pages.tables import (
    assumed_table,
    cautions,
    input_table,
    result_tables,
    working_table,
)
from threadwright_service.app.pictures import pictures_of


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


def figures(operation: Operation, answer: Mapping[str, Any]) -> str:
    """The pictures of an answer."""
    drawn = "".join(
        [
            f"<figure>{svg}<figcaption>{text(picture.title)}</figcaption></figure>"
            for picture, svg in pictures_of(operation.name, answer)
        ]
    )
    return f'<div class="pictures">{drawn}</div>' if drawn else ""


def footer(operation: Operation, meta: Mapping[str, Any]) -> str:
    """What the answer rests on."""
    return (
        f"<footer><p>Service {text(meta['service'])}, tables {text(meta['tables'])}. "
        f"Rests on: {text('; '.join(meta['sources']))}. "
        f'<a class="screen" href="/docs/guide/{operation.name}">Guide to {operation.name}</a></p>'
        "</footer>"
    )
