"""Tables of a page: one of all single values of a result, and one for each list of records."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from threadwright_service.app.flat import leaves
from threadwright_service.app.pages.described import Described
from threadwright_service.app.pages.markup import shown, text

_MOST_COLUMNS: Final = 8

Lists = list[tuple[str, Sequence[Mapping[str, Any]], Described]]


def result_tables(result: Mapping[str, Any], meaning: Described, unit: str) -> str:
    """All of a result: the table ``result`` for single values, then its lists.

    Lists that lie inside the rows of another list stand folded at the end.
    """
    rows: list[str] = []
    lists: Lists = []
    _single_values(result, meaning, unit, "", rows, lists)
    parts = [
        '<div class="wide"><table id="result" class="long"><caption>Result</caption><thead><tr>'
        '<th>Key</th><th class="n">Value</th><th>Unit</th><th>Meaning</th></tr></thead><tbody>',
        "".join(rows),
        "</tbody></table></div>",
    ]
    folded: Lists = []
    for path, records, each in lists:
        parts.append(_list_table(path, records, each, unit, folded))
    if folded:
        parts.append("<details><summary>Lists inside the lists</summary>")
        deeper: Lists = []
        for path, records, each in folded:
            parts.append(_list_table(path, records, each, unit, deeper))
        parts.append("</details>")
    return "".join(parts)


def _single_values(
    value: Mapping[str, Any],
    meaning: Described,
    unit: str,
    path: str,
    rows: list[str],
    lists: Lists,
) -> None:
    for key, member in value.items():
        below = f"{path}.{key}" if path else key
        kind = type(member)
        if kind is dict:
            _single_values(member, meaning.member(key), unit, below, rows, lists)
            continue
        told = meaning.member(key)
        units = told.units
        if kind is list or kind is tuple:
            inside = told.other or told
            if member and type(member[0]) is dict:
                lists.append((below, member, inside))
                continue
            written = "; ".join([shown(item) for item in member]) or "–"
            units = inside.units
        else:
            written = shown(member)
        style = ' class="n"' if kind is float or kind is int else ""
        rows.append(
            f'<tr><td class="k">{below}</td><td{style}>{written}</td>'
            f"<td>{units.get(unit, '')}</td><td>{told.words}</td></tr>"
        )


def _list_table(
    path: str,
    records: Sequence[Mapping[str, Any]],
    meaning: Described,
    unit: str,
    folded: Lists,
) -> str:
    """A list of records as a table, on its side if the records are wider than they are many."""
    flat = [
        _flattened(path, index, record, meaning, folded) for index, record in enumerate(records)
    ]
    columns: dict[str, Described] = {}
    for record in flat:
        for key, (_, told) in record.items():
            columns.setdefault(key, told)
    aside = len(columns) > _MOST_COLUMNS and len(records) < len(columns)
    name = text(path)
    parts = [
        f'<div class="wide"><table id="{name.replace(".", "-")}" class="long">'
        f"<caption>{name}</caption>"
    ]
    if aside:
        head = "".join([f'<th class="n">{index}</th>' for index in range(len(flat))])
        parts.append(f"<thead><tr><th>Key</th>{head}<th>Unit</th></tr></thead><tbody>")
        for key, told in columns.items():
            cells = "".join([_cell(record.get(key)) for record in flat])
            parts.append(
                f'<tr><td class="k">{text(key)}</td>{cells}<td>{told.units.get(unit, "")}</td></tr>'
            )
    else:
        parts.append("<thead><tr>")
        for key, told in columns.items():
            named = told.units.get(unit, "")
            parts.append(f"<th>{text(key)}{f' [{named}]' if named else ''}</th>")
        parts.append("</tr></thead><tbody>")
        for record in flat:
            cells = "".join([_cell(record.get(key)) for key in columns])
            parts.append(f"<tr>{cells}</tr>")
    parts.append("</tbody></table></div>")
    return "".join(parts)


def _cell(found: tuple[Any, Described] | None) -> str:
    if found is None:
        return "<td></td>"
    value = found[0]
    if type(value) is float or type(value) is int:
        return f'<td class="n">{shown(value)}</td>'
    return f"<td>{shown(value)}</td>"


def _flattened(
    path: str, index: int, record: Mapping[str, Any], meaning: Described, folded: Lists
) -> dict[str, tuple[Any, Described]]:
    """The single values of a record under dotted keys; its lists of records are put aside."""
    found: dict[str, tuple[Any, Described]] = {}
    waiting = [("", record, meaning)]
    while waiting:
        above, value, told = waiting.pop(0)
        for key, member in value.items():
            below = f"{above}.{key}" if above else key
            kind = type(member)
            if kind is dict:
                waiting.append((below, member, told.member(key)))
            elif kind is list or kind is tuple:
                inside = told.member(key).other or told.member(key)
                if member and type(member[0]) is dict:
                    folded.append((f"{path}.{index}.{below}", member, inside))
                else:
                    found[below] = ("; ".join(str(item) for item in member), inside)
            else:
                found[below] = (member, told.member(key))
    return found


def assumed_table(assumed: Sequence[Mapping[str, Any]]) -> str:
    """What was assumed, and why."""
    if not assumed:
        return ""
    rows = "".join(
        [
            f'<tr><td class="k">{text(each["parameter"])}</td><td>{shown(each["value"])} '
            f"{text(each.get('unit', ''))}</td><td>{text(each['reason'])}</td></tr>"
            for each in assumed
        ]
    )
    return (
        '<table id="assumed" class="long"><caption>Assumed, because it was not given</caption>'
        f"<thead><tr><th>Key</th><th>Value</th><th>Why</th></tr></thead><tbody>{rows}</tbody></table>"
    )


def cautions(found: Sequence[Mapping[str, Any]]) -> str:
    """What to be careful about."""
    if not found:
        return ""
    items = "".join([f"<li>{text(each['detail'])}</li>" for each in found])
    return f'<section class="care" id="cautions"><h2>Take care</h2><ul>{items}</ul></section>'


def input_table(given: Mapping[str, Any]) -> str:
    """What the caller gave."""
    rows = "".join(
        [
            f'<tr><td class="k">{text(key)}</td><td>{_given(value)}</td></tr>'
            for key, value in given.items()
        ]
    )
    return f'<table id="input"><caption>Asked for</caption><tbody>{rows}</tbody></table>'


def _given(value: Any) -> str:
    if isinstance(value, (Mapping, list, tuple)):
        pairs = [f"{key} {shown(each)}" if key else shown(each) for key, each in leaves(value)]
        return text("; ").join(pairs)
    return shown(value)


def working_table(steps: Sequence[Mapping[str, Any]]) -> str:
    """Every step of the working, in order."""
    rows = "".join([_step(number, step) for number, step in enumerate(steps, 1)])
    return (
        '<section class="working"><h2>Working</h2><div class="wide">'
        '<table id="working" class="long"><thead><tr><th>Step</th><th>Quantity</th>'
        "<th>Formula and numbers</th>"
        '<th class="n">Value</th><th>Unit</th><th>Source</th></tr></thead>'
        f"<tbody>{rows}</tbody></table></div></section>"
    )


def _step(number: int, step: Mapping[str, Any]) -> str:
    rounding = f"<br>rounded: {text(step['rounding'])}" if step.get("rounding") else ""
    value = shown(step["value"])
    if "value_in" in step:
        value = f"{value}<br>{shown(step['value_in'])} in"
    return (
        f'<tr><td class="n">{number}</td><td>{text(step["quantity"])}</td>'
        f'<td class="k">{text(step["symbol"])} = {text(step["formula"])}'
        f"<br>= {text(step['substituted'])}{rounding}</td>"
        f'<td class="n">{value}</td><td>{text(step["unit"])}</td>'
        f"<td>{text(step['source'])}</td></tr>"
    )
