"""A result for people: values with their units, lists as tables, what was assumed, cautions."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Final

from threadwright.paths import Value, members_of, unit_of, values
from threadwright.record import NOT_SENT, Record
from threadwright.results.answer import Result
from threadwright.results.threads import ThreadLimits

_SPAN_ENDS: Final = ("max", "min", "aim", "nominal", "wear", "low", "high", "mean")
_MOST_ROWS: Final = 40
_NARROWEST: Final = 60
_INDENT: Final = "  "
UNIT_WORDS: Final = {"in": "inches"}
"""A unit whose symbol is a word that would mislead."""


def table(result: Result, title: str, width: int) -> str:
    """The whole answer as text of about this width."""
    width = max(width, _NARROWEST)
    answer = result.answer
    thread = result if isinstance(result, ThreadLimits) else answer.thread
    about = f"{title}: {thread.designation}" if thread is not None else title
    told = _record(result, answer.units, "", width)
    if any(f" {answer.unit}" in line for line in told):  # a hardness has no lengths
        about += f"  (lengths in {UNIT_WORDS.get(answer.unit, answer.unit)})"
    lines = [about, "", *told]
    if answer.assumed:
        lines += ["", "assumed"]
        for item in answer.assumed:
            unit = f" {item.unit}" if item.unit else ""
            lines += wrapped(f"{item.parameter} = {shown(item.value)}{unit}: {item.reason}", width)
    if answer.cautions:
        lines += ["", "cautions"]
        for caution in answer.cautions:
            lines += wrapped(f"{caution.detail} [{caution.code}]", width)
    if answer.working:
        lines += ["", "working"]
        for step in answer.working:
            unit = f" {step.unit}" if step.unit else ""
            lines += wrapped(
                f"{step.quantity}: {step.formula}; {step.substituted} = "
                f"{shown(step.value)}{unit} ({step.source})",
                width,
            )
    return "\n".join(lines)


def rows_table(rows: Sequence[Record], width: int, names: Sequence[str] = ()) -> str:
    """A list of records as a table, of these members or of all."""
    return "\n".join(_list("", rows, {}, "", width, names))


def shown(value: Any) -> str:
    """A single value for people."""
    if value is None:
        return "-"
    if value is True:
        return "yes"
    if value is False:
        return "no"
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    text = str(value)
    if isinstance(value, float) and "e-" in text:  # 5.6e-05 is no length that one reads
        return f"{value:.12f}".rstrip("0")
    return text


def _record(record: Record, units: Mapping[str, str], path: str, width: int) -> list[str]:
    """Single values first, then spans, then lists, then results within."""
    single: list[Value] = []
    spans: list[tuple[str, Record, str]] = []
    after: list[str] = []
    _sort(record, units, path, "", (single, spans, after), width)
    lines = _singles(single, width)
    if spans:
        lines += ["", *_spans(spans)]
    return lines + after


def _sort(
    record: Record,
    units: Mapping[str, str],
    path: str,
    inherited: str,
    into: tuple[list[Value], list[tuple[str, Record, str]], list[str]],
    width: int,
) -> None:
    """Put each member where it is shown."""
    single, spans, after = into
    for name, kind in members_of(type(record)):
        member = getattr(record, name)
        place = f"{path}.{name}" if path else name
        unit = unit_of(name, kind, units) or inherited
        if isinstance(member, Result):
            after += ["", f"── {place} ──", *_record(member, units, place, width)]
        elif isinstance(member, Record) and _is_span(member):
            spans.append((place, member, _unit_of_span(member, units) or unit))
        elif isinstance(member, Record):
            _sort(member, units, place, unit, into, width)
        elif _is_list(member):
            after += ["", *_list(place, member, units, unit, width)]
        elif isinstance(member, tuple):
            text = "; ".join(shown(item) for item in member) or "-"
            single.append(Value(place, text, unit if member else ""))
        else:
            single += values(member, units, place, unit)
    single += values(record.extra, units, path, inherited)


def _singles(found: Iterable[Value], width: int) -> list[str]:
    rows = [(value.path, shown(value.value), value.unit) for value in found]
    if not rows:
        return []
    left = max(len(path) for path, _, _ in rows)
    lines = []
    for path, text, unit in rows:
        told = f"{text} {unit}" if unit and text != "-" else text
        room = max(width - left - 4, 30)
        first, *rest = textwrap.wrap(told, room) or [""]
        lines.append(f"{_INDENT}{path:{left}}  {first}")
        lines += [f"{_INDENT}{'':{left}}  {line}" for line in rest]
    return lines


def _spans(found: Sequence[tuple[str, Record, str]]) -> list[str]:
    ends = [end for end in _SPAN_ENDS if any(hasattr(span, end) for _, span, _ in found)]
    rows = [
        [place, *(shown(getattr(span, end)) if hasattr(span, end) else "" for end in ends), unit]
        for place, span, unit in found
    ]
    return aligned([["", *ends, ""], *rows])


def _list(
    place: str,
    rows: Sequence[Record],
    units: Mapping[str, str],
    inherited: str,
    width: int,
    only: Sequence[str] = (),
) -> list[str]:
    """A list of records: down the page if it fits, else turned on its side."""
    found = [{value.path: value for value in _cells(row, units, inherited)} for row in rows]
    names = list(only) or list(dict.fromkeys(name for row in found for name in row))
    unit = {
        name: next((row[name].unit for row in found if name in row and row[name].unit), "")
        for name in names
    }
    lines = [f"{place} ({len(rows)})"] if place else []
    shown_rows = found[:_MOST_ROWS] if place else found
    cells = [
        [shown(row[name].value) if name in row else "" for name in names] for row in shown_rows
    ]
    upright = [names, *cells] if not any(unit.values()) else [names, list(unit.values()), *cells]
    if only or _width_of(upright) <= width:
        lines += aligned(upright, left=_texts(cells))
    else:
        lines += _turned(names, unit, cells, width)
    if len(found) > len(shown_rows):
        lines.append(f"{_INDENT}… {len(found) - _MOST_ROWS} more; --format json shows all")
    return lines


def _turned(
    names: Sequence[str], unit: Mapping[str, str], cells: Sequence[Sequence[str]], width: int
) -> list[str]:
    """A column for each row, as many beside each other as fit."""
    lines: list[str] = []
    start = 0
    while start < len(cells):
        end = start + 1
        while end < len(cells) and _width_of(_columns(names, unit, cells[start : end + 1])) < width:
            end += 1
        turned = _columns(names, unit, cells[start:end])
        lines += ([""] if lines else []) + aligned(turned, longest=max(width // 2, 30))
        start = end
    return lines


def _columns(
    names: Sequence[str], unit: Mapping[str, str], cells: Sequence[Sequence[str]]
) -> list[list[str]]:
    return [[name, *(row[index] for row in cells), unit[name]] for index, name in enumerate(names)]


def _cells(row: Record, units: Mapping[str, str], inherited: str) -> Iterator[Value]:
    """The values of one row; a list within it only as how many it holds."""
    for name, kind in members_of(type(row)):
        member = getattr(row, name)
        unit = unit_of(name, kind, units) or inherited
        if _is_list(member):
            yield Value(name, f"{len(member)} items", "")
        elif isinstance(member, tuple):
            yield Value(name, ", ".join(shown(item) for item in member) or "-", unit)
        elif isinstance(member, Record):
            for cell in _cells(member, units, unit):
                yield Value(f"{name}.{cell.path}", cell.value, cell.unit)
        else:
            yield from values(member, units, name, unit)
    yield from values(row.extra, units)


def _texts(cells: Sequence[Sequence[str]]) -> frozenset[int]:
    """The columns that hold words, which stand to the left."""
    return frozenset(
        index
        for index, column in enumerate(zip(*cells, strict=True))
        if any(cell[:1].isalpha() for cell in column)
    )


def aligned(
    rows: Sequence[Sequence[str]], longest: int = 60, left: frozenset[int] = frozenset()
) -> list[str]:
    """Columns side by side: the first and those of ``left`` to the left, the rest to the right."""
    cut = [
        [cell if len(cell) <= longest else f"{cell[: longest - 1]}…" for cell in row]
        for row in rows
    ]
    widths = [max(len(cell) for cell in column) for column in zip(*cut, strict=True)]
    return [
        (
            _INDENT
            + "  ".join(
                f"{cell:{width}}" if index == 0 or index in left else f"{cell:>{width}}"
                for index, (cell, width) in enumerate(zip(row, widths, strict=True))
            )
        ).rstrip()
        for row in cut
    ]


def _width_of(rows: Sequence[Sequence[str]]) -> int:
    return sum(max(len(cell) for cell in column) + 2 for column in zip(*rows, strict=True))


def wrapped(text: str, width: int, mark: str = "- ") -> list[str]:
    """A text over as many lines as it takes, the first with a mark before it."""
    return textwrap.wrap(
        text,
        width,
        initial_indent=f"{_INDENT}{mark}",
        subsequent_indent=_INDENT + " " * len(mark),
        break_on_hyphens=False,
    )


def _unit_of_span(span: Record, units: Mapping[str, str]) -> str:
    return next((unit_of(name, kind, units) for name, kind in members_of(type(span))), "")


def _is_list(member: Any) -> bool:
    return isinstance(member, tuple) and bool(member) and isinstance(member[0], Record)


def _is_span(record: Record) -> bool:
    names = [name for name, _ in members_of(type(record)) if name not in NOT_SENT]
    return bool(names) and all(name in _SPAN_ENDS for name in names) and not record.extra
