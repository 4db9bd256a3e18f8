"""The pass plan as a cross-section: what each pass takes, with bars for its load and its bend."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final, NamedTuple

from threadwright_service.app.pictures.answer_parts import Answer, part_of, said, thread_of
from threadwright_service.app.pictures.drawing import (
    BOLD,
    CHAIN,
    DEEP,
    FAINT,
    HEADING,
    INK,
    METAL,
    RUST,
    SMALL,
    Drawing,
    Hatch,
    Point,
    apart,
)
from threadwright_service.app.pictures.tooth import Tooth

_MIDDLE: Final = 140.0
_HALF: Final = 126.0
_TOP: Final = 66.0
_LABELS: Final = 286.0
_ROW: Final = 21.0
_MOST_ROWS: Final = 8
_HATCHES: Final[tuple[Hatch, ...]] = ("rising", "falling", "crossed", "dots")


def draw(answer: Answer) -> str | None:
    """The picture; ``None`` if the answer holds no plan."""
    plan = part_of(answer, "plan", "cutting_passes")
    thread = thread_of(answer)
    if plan is None or thread is None:
        return None
    passes = plan["passes"]
    rows = _chosen(passes)
    tooth = Tooth.of_answer(answer, plan["side"])
    scale, tall = _scale(plan, tooth)
    bars_top = _TOP + tall + 62
    picture = Drawing(
        "passes",
        f"Passes of {thread['designation']}",
        f"Cross-section of the groove with what each of {len(passes)} passes takes, and for each "
        f"pass its tangential force and {_second(plan).words}.",
        bars_top + _ROW * len(rows) + 8,
    )
    picture.text(8, 17, f"{thread['designation']}: passes", bold=True, size=HEADING)
    spring = f" and {plan['spring_passes']} spring" if plan["spring_passes"] else ""
    picture.text(
        8,
        35,
        f"{plan['cutting_passes']} cutting{spring}, {plan['infeed']} infeed, "
        f"depth {said(plan['depth'], answer['unit'])}",
        size=SMALL,
    )
    _section(picture, plan, tooth, scale, tall)
    _bars(picture, rows, _second(plan), answer["unit"], bars_top)
    return picture.svg()


class _Second(NamedTuple):
    """What the second bar of a pass shows: its key, its unit if not that of lengths, its words."""

    key: str
    unit: str
    words: str


def _second(plan: Mapping[str, Any]) -> _Second:
    """The bend of a mill's neck; of a turning tool, which hardly bends, the power."""
    if "deflection" in plan["passes"][0]:
        return _Second("deflection", "", "expected bend")
    return _Second("power_kw", "kW", "power")


def _chosen(passes: Sequence[Mapping[str, Any]]) -> Sequence[Mapping[str, Any]]:
    """All passes, or if there are many, some of them evenly with the last."""
    if len(passes) <= _MOST_ROWS:
        return passes
    step = (len(passes) - 1) / (_MOST_ROWS - 1)
    return [passes[round(index * step)] for index in range(_MOST_ROWS)]


def _scale(plan: Mapping[str, Any], tooth: Tooth) -> tuple[float, float]:
    """Units for each length, and how tall the section becomes."""
    depth = abs(plan["root_diameter"] - plan["blank_diameter"]) / 2
    half = tooth.nose_flat / 2 + tooth.nose_radius + depth * tooth.slope
    scale = min(_HALF * 0.86 / half, 170 / depth)
    return scale, depth * scale


def _section(
    picture: Drawing, plan: Mapping[str, Any], tooth: Tooth, scale: float, tall: float
) -> None:
    blank = plan["blank_diameter"] / 2
    outside = plan["side"] == "external"

    def at(point: Point) -> Point:
        below = (blank - point[1]) * scale
        return _MIDDLE + point[0] * scale, _TOP + (below if outside else tall + below)

    surface = at((0, blank))[1]
    behind = 16.0
    if outside:
        picture.rectangle(_MIDDLE - _HALF, surface, 2 * _HALF, tall + behind, METAL)
    else:
        picture.rectangle(_MIDDLE - _HALF, _TOP - behind, 2 * _HALF, tall + behind, METAL)
    cutting = [each for each in plan["passes"] if each["kind"] == "cut"]
    for index in reversed(range(len(cutting))):
        shape = tooth.outline(cutting[index]["root_diameter"] / 2, blank, 2 * _HALF)
        aside = cutting[index].get("axial_offset", 0.0)
        picture.polyline(
            (at((x + aside, y)) for x, y in shape),
            picture.hatched(_HATCHES[index % 4], stroke=INK),
            closed=True,
        )
    picture.line(_MIDDLE - _HALF, surface, _MIDDLE + _HALF, surface, BOLD)
    aim = at((0, plan["pitch_diameter_aim"] / 2))[1]
    picture.line(_MIDDLE - _HALF, aim, _LABELS - 10, aim, CHAIN)
    _sizes(picture, plan, cutting, at)


def _sizes(
    picture: Drawing, plan: Mapping[str, Any], cutting: Sequence[Mapping[str, Any]], at: Any
) -> None:
    """Blank, pitch diameter and the tip of each pass, named on the right."""
    tip = "root" if plan["side"] == "external" else "groove"
    named = [
        (plan["blank_diameter"], f"blank {said(plan['blank_diameter'])}", False),
        (plan["pitch_diameter_aim"], f"pitch {said(plan['pitch_diameter_aim'])}", False),
        *(
            (each["root_diameter"], f"{each['number']}: {tip} {said(each['root_diameter'])}", True)
            for each in _chosen(cutting)
        ),
    ]
    named.sort(key=lambda each: at((0, each[0] / 2))[1])
    wanted = [at((0, size / 2))[1] for size, _, _ in named]
    for (size, words, is_tip), y in zip(
        named, apart(wanted, 15, _TOP - 12, wanted[-1] + 40), strict=True
    ):
        level = at((0, size / 2))[1]
        if is_tip:
            picture.line(_MIDDLE, level, _LABELS - 10, level, FAINT)
        picture.line(_LABELS - 10, level, _LABELS - 3, y, FAINT)
        picture.text(_LABELS, y + 4, words, size=SMALL, bold=not is_tip)


def _bars(
    picture: Drawing, rows: Sequence[Mapping[str, Any]], second: _Second, unit: str, top: float
) -> None:
    """For each pass a bar of force and a second one, each against the largest."""
    picture.text(8, top - 8, "pass", bold=True, size=SMALL)
    picture.text(70, top - 8, "tangential force, N", bold=True, size=SMALL)
    picture.text(250, top - 8, f"{second.words}, {second.unit or unit}", bold=True, size=SMALL)
    most_force = max(each["tangential_force_n"] for each in rows) or 1.0
    most = max(abs(each[second.key]) for each in rows) or 1.0
    for index, each in enumerate(rows):
        y = top + index * _ROW
        picture.text(8, y + 13, f"{each['number']} {each['kind']}", size=SMALL)
        force = each["tangential_force_n"]
        _bar(picture, 70, y, force, most_force, picture.hatched("falling", DEEP))
        _bar(picture, 250, y, each[second.key], most, picture.hatched("crossed", RUST))


def _bar(picture: Drawing, x: float, y: float, size: float, most: float, pen: str) -> None:
    wide = 100 * abs(size) / most
    picture.rectangle(x, y + 2, wide, 13, pen)
    picture.text(x + wide + 5, y + 13, said(size), size=SMALL)
