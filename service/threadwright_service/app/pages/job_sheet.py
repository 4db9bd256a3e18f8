"""The job sheet: one printed page at the machine, in the order in which it is needed there."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

from threadwright_service.api.operation import Operation
from threadwright_service.app.pages.described import described
from threadwright_service.app.pages.job_form.address import form_address, form_pairs
from threadwright_service.app.pages.markup import job_sheet_style, page, shown, text
from threadwright_service.app.pages.tables import (
    assumed_table,
    cautions,
    input_table,
    result_tables,
    working_table,
)
from threadwright_service.app.pictures import PASSES, PATH, pictures_of
from threadwright_service.app.pictures.answer_parts import brief, given, money
from threadwright_service.calc.threads.thread import FINISHED

_UNITS: Final = {"mm": "millimetres", "in": "inches"}
_MOST_PASSES: Final = 14
_LAST_PASSES: Final = 4
_MOST_LINES: Final = 17
"""Passes and lines of cautions that fit in letters of the ordinary size."""


def job_sheet_page(operation: Operation, answer: Mapping[str, Any]) -> bytes:
    """The page of a job sheet; the sheet itself first, everything else below it on the screen."""
    result = answer["result"]
    title = result["thread"]["designation"]
    left = "".join(
        (
            _limits(result, answer["unit"]),
            _readings(result),
            _passes(result["plan"], answer["unit"]),
            _path(result),
            _times(result["time"]),
        )
    )
    right = "".join(
        [f"<figure>{svg}</figure>" for each in (PASSES, PATH) if (svg := each.draw(answer))]
    )
    parts = [
        _heading(result, answer),
        '<p class="screen change"><a href="'
        f'{text(form_address(form_pairs(answer["input"])))}">Change this job</a></p>',
        _failings(result["plan"], answer["cautions"]),
        f'<div class="columns"><div>{left}</div><div>{right}</div></div>',
        cautions(answer["cautions"]),
        _assumed(answer["assumed"]),
        _versions(answer["meta"]),
        '<div class="fill"><span>Date</span><span>Name</span><span>First part read</span>'
        "<span>Correction entered</span></div>",
        _on_the_screen(operation, answer),
    ]
    if "working" in answer:
        parts.append(working_table(answer["working"]))
    kind = "sheet dense" if _is_dense(result["plan"], answer) else "sheet"
    return page(f"Job sheet {title}", "".join(parts), job_sheet_style(), kind=kind)


def _is_dense(plan: Mapping[str, Any], answer: Mapping[str, Any]) -> bool:
    """Whether the letters must be smaller for the sheet to stay on one page."""
    lines = len(plan["passes"]) + sum(len(each["detail"]) for each in answer["cautions"]) / 140
    return lines > _MOST_LINES


def _heading(result: Mapping[str, Any], answer: Mapping[str, Any]) -> str:
    thread, asked, cutting = result["thread"], answer["input"], result["cutting"]
    lot = result["time"]["lot"]
    hands = ", ".join(
        f"{each['quantity']} {each['hand']} hand" for each in lot["sub_lots"] if each["hand"]
    )
    nose = (
        f"nose flat {shown(asked['cutter_nose_flat'])}"
        if "cutter_nose_flat" in asked
        else f"nose radius {shown(asked.get('cutter_nose_radius'))}"
    )
    cutter = (
        f"{str(given(answer, 'cutter_profile') or 'single').capitalize()}-profile thread mill, "
        "diameter "
        f"{shown(asked['cutter_diameter'])}, {asked['cutter_teeth']} teeth, {nose}"
    )
    job = f"{text(result['job'])}: " if result["job"] else ""
    quantity = f"{lot['quantity']} parts" + (f" ({hands})" if hands else "")
    return (
        f"<h1>{text(thread['designation'])}</h1>"
        f'<p class="lead">{job}{text(quantity)}. {text(cutting["material"]["name"])}, '
        f"{shown(cutting['material']['hardness_hb'])} HB. {text(cutter)}. "
        f"<strong>All lengths in {_UNITS[answer['unit']]}.</strong></p>"
    )


def _failings(plan: Mapping[str, Any], said: Sequence[Mapping[str, Any]]) -> str:
    """Why the part would not pass, above all else."""
    told = [text(each["detail"]) for each in said if each["code"] in plan["failings"]]
    if not told:
        return ""
    return (
        '<p class="fails"><strong>As it stands, this plan does not make the thread.</strong> '
        f"{' '.join(told)}</p>"
    )


def _limits(result: Mapping[str, Any], unit: str) -> str:
    thread, plan = result["thread"], result["plan"]
    rows = []
    for part in ("major", "pitch", "minor"):
        span = thread["limits"][f"{part}_diameter"]
        aim = shown(plan["pitch_diameter_aim"]) if part == "pitch" else ""
        mark = ' class="key"' if part == "pitch" else ""
        rows.append(
            f'<tr{mark}><th>{part} diameter</th><td class="n">{shown(span["max"])}</td>'
            f'<td class="n">{aim}</td><td class="n">{shown(span["min"])}</td></tr>'
        )
    if result["hole"]:
        hole = result["hole"]["hole_diameter"]
        rows.append(_row("hole before", [hole.get(end) for end in ("max", "aim", "min")]))
    else:
        rows.append(_row("blank before", [None, plan["blank_diameter"], None], none=""))
    radius = thread["root_radius"]
    if radius["min"] is not None or radius["max"] is not None:
        rows.append(_row("root radius", [radius["max"], "", radius["min"]]))
    return (
        f"<h2>{_whose(thread)} {text(thread['standard'])}</h2><table><thead><tr><th>{unit}</th>"
        '<th class="n">max</th><th class="n">aim</th><th class="n">min</th></tr></thead>'
        f"<tbody>{''.join(rows)}</tbody></table>"
    )


def _whose(thread: Mapping[str, Any]) -> str:
    """Of which part the limits are, where it is not the finished one."""
    if thread["state"] == FINISHED:
        return "Limits by"
    return f"Limits {thread['state'].replace('-', ' ')}, from"


def _row(name: str, values: Sequence[Any], none: str = "–", mark: str = "") -> str:
    attribute = f' class="{mark}"' if mark else ""
    cells = "".join(
        [f'<td class="n">{none if value is None else shown(value)}</td>' for value in values]
    )
    return f"<tr{attribute}><th>{name}</th>{cells}</tr>"


_METHODS: Final = {
    "three-wire": "over three wires of",
    "two-wire": "over two wires of",
    "one-wire": "over one wire of",
    "balls": "between balls of",
}


def _readings(result: Mapping[str, Any]) -> str:
    """What to read over wires, and what the gauges measure."""
    wires, gauges = result["wires"], result["gauges"]
    rows = heading = ""
    if wires:
        reading = wires["reading"] or {}
        accepted = wires["reading_accepted"] or {}
        heading = f"Read {_METHODS[wires['method']]} {shown(wires['wire_diameter'])}"
        ends = [reading.get(end) for end in ("max", "aim", "min")]
        rows = _row("reading", ends, mark="key")
        if accepted and (accepted.get("max"), accepted.get("min")) != (ends[0], ends[2]):
            rows += _row("accept within", [accepted.get("max"), "", accepted.get("min")])
    if gauges:
        named = f"gauges by {text(gauges['standard'])}"
        heading = f"{heading}; {named}" if heading else named.capitalize()
        for name, key in (("GO", "go"), ("NOT GO", "not_go")):
            sizes = (gauges[key] or {}).get("pitch_diameter")
            if sizes:
                worn = sizes.get("wear")
                told = f"{name} {gauges['gauge']}" + (
                    "" if worn is None else f", worn {shown(worn)}"
                )
                rows += _row(told, [sizes.get("max"), "", sizes.get("min")])
    if not rows:
        return ""
    return (
        f'<h2>{heading}</h2><table><thead><tr><th></th><th class="n">max</th>'
        f'<th class="n">aim</th><th class="n">min</th></tr></thead><tbody>{rows}</tbody></table>'
    )


def _passes(plan: Mapping[str, Any], unit: str) -> str:
    passes = plan["passes"]
    more = max(len(passes) - _MOST_PASSES, 0)
    places = {key: _most_places([each[key] for each in passes]) for key in _SIZES}
    first = passes[: _MOST_PASSES - _LAST_PASSES] if more else passes
    rows = "".join([_pass(each, places) for each in first])
    if more:
        note = f"{more} passes between these are in the JSON and, by rows=plan.passes, the CSV"
        rows += f'<tr><td colspan="7">{note}</td></tr>'
        rows += "".join([_pass(each, places) for each in passes[-_LAST_PASSES:]])
    last = passes[-1]
    tip = "tip at root" if plan["side"] == "external" else "tip at groove"
    return (
        f"<h2>Passes, {plan['milling']} milling</h2>"
        '<table class="passes"><thead><tr><th>pass</th>'
        f'<th class="n">{tip}</th><th class="n">centre radius</th><th class="n">pitch dia.</th>'
        '<th class="n">rev/min</th>'
        f'<th class="n">centre {unit}/min</th><th class="n">s</th></tr></thead>'
        f"<tbody>{rows}</tbody></table>"
        f"<p>Last pass: {shown(last['tangential_force_n'])} N at the edge, expected bend "
        f"{shown(last['deflection'])}, nearest limit: {text(last['limited_by'] or 'none')}. "
        f"Feed per tooth {shown(last['feed_per_tooth'])} at the edge.</p>"
    )


_SIZES: Final = ("root_diameter", "cutter_centre_radius", "pitch_diameter")


def _most_places(values: Sequence[float | None]) -> int:
    """The decimals of the number that needs most, so that a column is aligned."""
    return max(len(shown(value).partition(".")[2]) for value in values)


def _pass(each: Mapping[str, Any], places: Mapping[str, int]) -> str:
    sizes = "".join(
        [
            f'<td class="n">{"–" if each[key] is None else f"{each[key]:.{places[key]}f}"}</td>'
            for key in _SIZES
        ]
    )
    return (
        f"<tr><td>{each['number']} {each['kind']}</td>{sizes}"
        f'<td class="n">{each["spindle_speed"]:.0f}</td>'
        f'<td class="n">{_feed(each["feed_centre"])}</td>'
        f'<td class="n">{each["cutting_time_s"]:.1f}</td></tr>'
    )


def _feed(value: float) -> str:
    """A feed to be programmed: a tenth where it is large, a thousandth where it is small."""
    return f"{value:.1f}" if value >= 100 else f"{value:.3f}"


_PathLine = tuple[str, Callable[[Mapping[str, Any]], str]]


def _path(result: Mapping[str, Any]) -> str:
    """Where the centre goes; of both hands if the lot has both."""
    paths = [(result["thread"]["hand"], result["plan"]["path"])]
    if result["other_hand"]:
        paths.append((result["other_hand"]["hand"], result["other_hand"]["path"]))
    lead = shown(result["thread"]["lead"])
    lines: tuple[_PathLine, ...] = (
        ("travel seen from above", lambda path: f"{path['travel']} ({path['travel_word']})"),
        ("along the axis", lambda path: f"{path['axial']}, {lead} a turn"),
        ("start z", lambda path: shown(path["start_height"])),
        ("end z", lambda path: shown(path["end_height"])),
        ("turns", lambda path: brief(path["turns"], digits=6)),
        *_taper(result["plan"]),
        *_runs(paths[0][1]),
        (
            "entry and exit arc",
            lambda path: (
                f"{shown(path['entry_arc_angle_deg'])} deg, R {shown(path['entry_arc_radius'])}"
            ),
        ),
        ("spindle", lambda path: f"{path['spindle']} ({path['spindle_word']})"),
    )
    rows = "".join(
        [
            f"<tr><th>{name}</th>{''.join(f'<td>{tell(path)}</td>' for _, path in paths)}</tr>"
            for name, tell in lines
        ]
    )
    head = "".join([f"<th>{text(hand)} hand</th>" for hand, _ in paths])
    left = result["plan"]["leftovers"]
    gap = left.get("shoulder_gap")
    end = "shoulder" if result["plan"]["side"] == "external" else "hole's bottom"
    room = f", {shown(gap)} free before the {end}" if gap is not None else ""
    return (
        "<h2>Cutter-centre path of the last pass</h2>"
        f"<table><thead><tr><th></th>{head}</tr></thead><tbody>{rows}</tbody></table>"
        f"<p>z 0 is the face, positive towards the spindle{room}.</p>"
    )


def _taper(plan: Mapping[str, Any]) -> list[_PathLine]:
    """Where the radius of a tapering path begins and ends."""
    if plan["plane_height"] is None:
        return []
    return [
        (
            "radius, start to end",
            lambda path: f"{shown(path['start_radius'])} to {shown(path['end_radius'])}",
        ),
        ("diameters hold at z", lambda _: shown(plan["plane_height"])),
    ]


def _runs(path: Mapping[str, Any]) -> list[_PathLine]:
    """What a pass goes more than once: a start, or a cut beside another."""
    starts, offsets = path["starts"], path["axial_offsets"]
    rows: list[_PathLine] = []
    if starts > 1:
        rows.append(("starts", lambda _: f"{starts}, each {360 / starts:g} deg further round"))
    if len(offsets) > 1:
        low, high = shown(min(offsets)), shown(max(offsets))
        rows.append(
            ("side by side", lambda _: f"{len(offsets)} cuts, z {low} to +{high} in equal steps")
        )
    return rows


def _times(times: Mapping[str, Any]) -> str:
    part, lot = times["part"], times["lot"]
    lines = [
        ("one part", brief(part["time_s"], "s")),
        ("of that in the cut", brief(part["cutting_time_s"], "s")),
        *_operations(part["operations"]),
        (f"lot of {lot['quantity']}", brief(lot["time_min"], "min")),
    ]
    if lot["cost"] is not None:
        spread = lot["spread"]
        lines.append(("cost of a part", money(lot["cost_each"], lot["currency"])))
        lines.append(("cost of the lot", money(lot["cost"], lot["currency"])))
        if spread.get("low") is not None:
            between = f"{money(spread['low'], '')} to {money(spread['high'], '')}"
            lines.append((f"in {spread['level_share']:.0%} of cases", between))
    cells = [f'<th>{name}</th><td class="n">{text(value)}</td>' for name, value in lines]
    half = (len(cells) + 1) // 2
    right = [*cells[half:], "<th></th><td></td>"][:half]
    rows = "".join([f"<tr>{one}{other}</tr>" for one, other in zip(cells, right, strict=False)])
    return f"<h2>Time and cost</h2><table><tbody>{rows}</tbody></table>"


def _operations(operations: Sequence[Mapping[str, Any]]) -> list[tuple[str, str]]:
    """Each operation's own time, where there is more than the thread."""
    if len(operations) < 2:
        return []
    return [(f"of that {each['name']}", brief(each["time_s"], "s")) for each in operations]


def _assumed(assumed: Sequence[Mapping[str, Any]]) -> str:
    told = "; ".join(
        [
            f"{text(each['parameter'])} {shown(each['value'])} {text(each.get('unit', ''))}".strip()
            for each in assumed
        ]
    )
    return f'<p class="assumed"><strong>Assumed, not given:</strong> {told}.</p>' if told else ""


def _versions(meta: Mapping[str, Any]) -> str:
    return (
        f'<p class="assumed">Threadwright {text(meta["service"])}, tables {text(meta["tables"])}. '
        "An aid to planning: prove out above the part, guards closed.</p>"
    )


def _on_the_screen(operation: Operation, answer: Mapping[str, Any]) -> str:
    figures = "".join(
        [
            f"<figure>{svg}<figcaption>{text(picture.title)}</figcaption></figure>"
            for picture, svg in pictures_of(operation.name, answer)
            if picture not in (PASSES, PATH)
        ]
    )
    return (
        f'<div class="screen"><h2>More</h2><div class="pictures">{figures}</div>'
        + result_tables(answer["result"], described(operation), answer["unit"])
        + assumed_table(answer["assumed"])
        + input_table(answer["input"])
        + f'<p><a href="/docs/guide/{operation.name}">Guide to {operation.name}</a></p></div>'
    )
