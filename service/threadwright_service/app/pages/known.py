"""The lists of threads and materials to read; programs take them as JSON or CSV."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from threadwright_service.api.listings import materials, threads
from threadwright_service.app.pages.markup import HTML, page, plain_style, shown, text
from threadwright_service.app.reply import Reply, lasting


@cache
def threads_reply() -> Reply:
    """Families of threads with their classes and standard sizes."""
    families = threads(())["result"]["families"]
    head = "<tr><th>Family</th><th>Standard</th><th>Unit</th><th>Tolerance classes</th></tr>"
    rows = "".join(
        [
            f'<tr><td><a href="#{each["family"]}">{text(each["title"])}</a></td>'
            f"<td>{text(each['standard'])}</td><td>{each['unit']}</td>"
            f"<td>{text(', '.join(each['tolerance_classes'])) or '–'}</td></tr>"
            for each in families
        ]
    )
    body = (
        '<h1>Threads</h1><p class="lead">The families of threads that are known, and the sizes of '
        "their series. A size that is not listed may still be asked for, where its standard has a "
        f"rule for it.</p>{_for_programs('/v1/threads')}"
        f"<table><thead>{head}</thead><tbody>{rows}</tbody></table>"
        f"{''.join([_family(each) for each in families])}"
    )
    return _reply("Threads", body)


@cache
def materials_reply() -> Reply:
    """Material groups with their hardness and grade names."""
    groups = materials(())["result"]["materials"]
    head = (
        "<tr><th>Group and its key</th><th>ISO 513</th>"
        '<th class="n">HB</th><th>Grade names</th></tr>'
    )
    body = (
        '<h1>Materials</h1><p class="lead">A job\'s material is a key of this list or one of its '
        "grade names; the hardness is that for which the group's data stand.</p>"
        f"{_for_programs('/v1/materials')}"
        f'<table class="long"><thead>{head}</thead>'
        f"<tbody>{''.join([_group(each) for each in groups])}</tbody></table>"
    )
    return _reply("Materials", body)


def _family(family: Mapping[str, Any]) -> str:
    """The sizes of a family, series by series."""
    series: dict[str, list[str]] = {}
    for size in family["sizes"]:
        series.setdefault(size["series"], []).append(_size(size))
    rows = "".join(
        [
            f"<tr><td>{text(name)}</td><td>{', '.join(sizes)}</td></tr>"
            for name, sizes in series.items()
        ]
    )
    return (
        f'<h2 id="{family["family"]}">{text(family["title"])}</h2>'
        f'<table class="long"><thead><tr><th>Series</th><th>Size and '
        f"{_beside(family['sizes'][0])}</th></tr></thead><tbody>{rows}</tbody></table>"
    )


def _size(size: Mapping[str, Any]) -> str:
    per_inch = size["threads_per_inch"]
    beside = f"x{shown(size['pitch'])}" if per_inch is None else f"-{shown(per_inch)}"
    return f'<span class="whole">{text(size["size"])}{beside}</span>'


def _beside(size: Mapping[str, Any]) -> str:
    return "pitch" if size["threads_per_inch"] is None else "threads per inch"


def _group(group: Mapping[str, Any]) -> str:
    names = group["aliases"]
    folded = (
        f"<details><summary>{len(names)} names</summary>{text(', '.join(names))}</details>"
        if names
        else "–"
    )
    return (
        f"<tr><td>{text(group['name'])}<br><code>{text(group['key'])}</code></td>"
        f"<td>{text(group['iso_513'])}</td>"
        f'<td class="n">{shown(group["hardness_low_hb"])} to {shown(group["hardness_high_hb"])}'
        f"</td><td>{folded}</td></tr>"
    )


def _for_programs(path: str) -> str:
    return (
        f'<p>For programs and sheets: <a href="{path}">JSON</a>, <a href="{path}.csv">CSV</a>.</p>'
    )


def _reply(title: str, body: str) -> Reply:
    look = plain_style()
    return lasting(page(title, body, look), HTML, look.headers)
