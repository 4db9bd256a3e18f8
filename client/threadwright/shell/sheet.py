"""A job sheet on one screen: what is needed at the machine and for the quote, in that order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from threadwright.results.jobs import JobSheet
from threadwright.results.milling import CentrePath, PlannedPass
from threadwright.results.times import OperationTime
from threadwright.shell.table import UNIT_WORDS, aligned, shown, wrapped

_PARTS: Final = ("major", "pitch", "minor")
_MOST_PASSES: Final = 20
_LAST_PASSES: Final = 4


def sheet(result: JobSheet, width: int) -> str:
    """The sheet as text of about this width."""
    chapters = (
        _limits(result),
        _readings(result),
        _passes(result),
        _path(result),
        _times(result),
        _assumed(result, width),
        _cautions(result, width),
    )
    head = f"{result.thread.designation}  (lengths in {UNIT_WORDS.get(result.unit, result.unit)})"
    if result.job:
        head = f"{result.job}: {head}"
    about = f"{result.cutting.material.name}, {shown(result.cutting.material.hardness_hb)} HB"
    lines = [head, about, *_failings(result, width)]
    for title, body in chapters:
        if body:
            lines += ["", title, *body]
    lines += ["", "--all shows every value, --working every step behind them"]
    return "\n".join(lines)


def _failings(result: JobSheet, width: int) -> list[str]:
    """Why the part would not pass, above all else."""
    told = [each.detail for each in result.cautions if each.code in result.plan.failings]
    if not told:
        return []
    return [
        "",
        *wrapped(
            f"AS IT STANDS, THIS PLAN DOES NOT MAKE THE THREAD. {' '.join(told)}", width, "! "
        ),
    ]


def _limits(result: JobSheet) -> tuple[str, list[str]]:
    thread, plan = result.thread, result.plan
    rows = [["", "max", "aim", "min"]]
    for part in _PARTS:
        limits = getattr(thread.limits, f"{part}_diameter")
        aim = plan.pitch_diameter_aim if part == "pitch" else None
        if limits.max is not None or limits.min is not None:
            rows.append([f"{part} diameter", *_ends(limits.max, aim, limits.min)])
    if result.hole is not None:
        hole = result.hole.hole_diameter
        rows.append(["hole before", *_ends(hole.max, hole.aim, hole.min)])
    else:
        rows.append(["blank before", *_ends(None, plan.blank_diameter, None)])
    radius = thread.root_radius
    if radius.max is not None or radius.min is not None:
        rows.append(["root radius", *_ends(radius.max, None, radius.min)])
    whose = "limits by" if thread.state == "finished" else f"limits {thread.state}, from"
    return f"{whose} {thread.standard}", aligned(rows)


def _readings(result: JobSheet) -> tuple[str, list[str]]:
    wires, gauges = result.wires, result.gauges
    rows = []
    if wires is not None:
        reading = wires.reading
        told = f"{wires.method}, {shown(wires.wire_diameter)}"
        rows.append([told, *_ends(reading.max, reading.aim, reading.min)])
    if gauges is not None:
        for name, gauge in (("GO", gauges.go), ("NOT GO", gauges.not_go)):
            size = gauge.pitch_diameter
            told = f"{name} {gauges.gauge}" + (
                f", worn {shown(size.wear)}" if size.wear is not None else ""
            )
            rows.append([told, *_ends(size.max, None, size.min)])
    if not rows:
        return "", []
    return "measure", aligned([["", "max", "aim", "min"], *rows])


def _passes(result: JobSheet) -> tuple[str, list[str]]:
    plan, unit = result.plan, result.unit
    head = [
        "",
        "root dia." if plan.side == "external" else "groove dia.",
        "centre radius",
        "pitch dia.",
        "rev/min",
        f"centre {unit}/min",
        "bend",
        "s",
        "limited by",
    ]
    passes = plan.passes
    left_out = max(len(passes) - _MOST_PASSES, 0)
    first = passes[: _MOST_PASSES - _LAST_PASSES] if left_out else passes
    rows = [_pass(each) for each in first]
    if left_out:
        rows.append(["…", *[""] * (len(head) - 1)])
        rows += [_pass(each) for each in passes[-_LAST_PASSES:]]
    title = (
        f"passes, {plan.milling} milling; pitch diameter to expect "
        f"{shown(plan.expected_pitch_diameter)}"
    )
    return title, aligned([head, *rows], left=frozenset({len(head) - 1}))


def _pass(each: PlannedPass) -> list[str]:
    return [
        f"{each.number} {each.kind}",
        shown(each.root_diameter),
        shown(each.cutter_centre_radius),
        shown(each.pitch_diameter),
        _brief(each.spindle_speed),
        _brief(each.feed_centre),
        shown(each.deflection),
        _brief(each.cutting_time_s),
        each.limited_by or "",
    ]


def _path(result: JobSheet) -> tuple[str, list[str]]:
    hands: list[tuple[str, CentrePath]] = [(result.thread.hand, result.plan.path)]
    if result.other_hand is not None:
        hands.append((result.other_hand.hand, result.other_hand.path))
    paths = [path for _, path in hands]
    lead = shown(result.thread.lead)
    rows = [
        ["", *(f"{hand} hand" for hand, _ in hands)],
        ["travel from above", *(f"{path.travel} ({path.travel_word})" for path in paths)],
        ["along the axis", *(f"{path.axial}, {lead} a turn" for path in paths)],
        ["start z", *(shown(path.start_height) for path in paths)],
        ["end z", *(shown(path.end_height) for path in paths)],
        ["turns", *(f"{path.turns:.6g}" for path in paths)],
        *_runs(paths),
        [
            "entry and exit arc",
            *(
                f"{shown(path.entry_arc_angle_deg)} deg, R {shown(path.entry_arc_radius)}"
                for path in paths
            ),
        ],
        ["spindle", *(f"{path.spindle} ({path.spindle_word})" for path in paths)],
    ]
    gap = result.plan.leftovers.shoulder_gap
    end = "shoulder" if result.plan.side == "external" else "hole's bottom"
    room = "" if gap is None else f", {shown(gap)} free before the {end}"
    title = f"path of the cutter's centre in the last pass; z 0 is the face{room}"
    return title, aligned(rows, left=frozenset(range(len(rows[0]))))


def _runs(paths: Sequence[CentrePath]) -> list[list[str]]:
    """What a pass goes more than once: a start, or a cut beside another."""
    starts, offsets = paths[0].starts, paths[0].axial_offsets
    rows = []
    if starts > 1:
        rows.append(
            ["starts", *[f"{starts}, each {360 / starts:g} deg further round"] * len(paths)]
        )
    if len(offsets) > 1:
        told = f"{len(offsets)} cuts, z {shown(min(offsets))} to +{shown(max(offsets))}"
        rows.append(["side by side", *[f"{told} in equal steps"] * len(paths)])
    return rows


def _times(result: JobSheet) -> tuple[str, list[str]]:
    part, lot = result.time.part, result.time.lot
    rows = [
        ["one part", f"{_brief(part.time_s)} s", f"of it {_brief(part.cutting_time_s)} s cutting"],
        *_operations(part.operations),
        [f"lot of {lot.quantity}", f"{_brief(lot.time_min)} min", _hands(result)],
    ]
    if lot.cost is not None and lot.cost_each is not None:
        rows.append(["cost of a part", _money(lot.cost_each, lot.currency), ""])
        band = ""
        if lot.spread.of == "cost":
            band = (
                f"{_money(lot.spread.low, '')} to {_money(lot.spread.high, '')} "
                f"in {lot.spread.level_share:.0%} of cases"
            )
        rows.append(["cost of the lot", _money(lot.cost, lot.currency), band])
    return "time and cost", aligned(rows, left=frozenset({2}))


def _operations(operations: Sequence[OperationTime]) -> list[list[str]]:
    """Each operation's own time, where there is more than the thread."""
    if len(operations) < 2:
        return []
    return [[f"  {each.name}", f"{_brief(each.time_s)} s", ""] for each in operations]


def _hands(result: JobSheet) -> str:
    return ", ".join(
        f"{each.quantity} {each.hand} hand" for each in result.time.lot.sub_lots if each.hand
    )


def _assumed(result: JobSheet, width: int) -> tuple[str, list[str]]:
    told = [
        f"{each.parameter} {shown(each.value)}{f' {each.unit}' if each.unit else ''}"
        for each in result.assumed
    ]
    return "assumed, not given", wrapped("; ".join(told), width, mark="") if told else []


def _cautions(result: JobSheet, width: int) -> tuple[str, list[str]]:
    lines = [
        line for each in result.cautions for line in wrapped(f"{each.detail} [{each.code}]", width)
    ]
    return "cautions", lines


def _ends(*values: float | None) -> list[str]:
    return ["" if value is None else shown(value) for value in values]


def _brief(value: float) -> str:
    """A time, speed or feed to as many digits as one sets or remembers."""
    return f"{value:.0f}" if abs(value) >= 1000 else f"{value:.4g}"


def _money(value: float, currency: str) -> str:
    return f"{value:.2f} {currency}".rstrip()
