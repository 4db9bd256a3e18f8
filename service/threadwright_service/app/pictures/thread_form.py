"""The thread's form with its limits, and the cutter's nose in the groove where there is one."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any, Final, NamedTuple

from threadwright_service.app.pictures.answer_parts import Answer, part_of, said, thread_of
from threadwright_service.app.pictures.drawing import (
    BOLD,
    DASHED,
    DOTTED,
    FAINT,
    HEADING,
    METAL,
    RUST,
    SMALL,
    TEXT,
    WORKING,
    Drawing,
    Point,
    apart,
)
from threadwright_service.app.pictures.profile import Flanks, outline
from threadwright_service.app.pictures.tooth import Tooth

_LEFT: Final = 8.0
_WIDE: Final = 262.0
_LABELS: Final = 284.0
_TOP: Final = 62.0
_GAP: Final = 17.0


class Condition(NamedTuple):
    """Diameters of the thread with the most or the least metal."""

    crest: float
    pitch_diameter: float
    root: float


def draw(answer: Answer) -> str | None:
    """The picture; ``None`` if the answer is about no standard's thread."""
    thread = thread_of(answer)
    if thread is None:
        return None
    plan = part_of(answer, "plan", "pass_paths")
    flanks = Flanks.of_thread(thread)
    most, least = conditions(thread)
    scale = _WIDE / (1.5 * flanks.pitch)
    radii = [size / 2 for size in (*most, *least)]
    if plan is not None:
        radii.append(plan["root_diameter"] / 2)
    tall = (max(radii) - min(radii)) * scale
    labels = _labels(thread)
    with_cutter = plan is not None
    # The call-out of the cutter stands beyond the groove's root: below it outside, above it inside.
    outside = flanks.outward > 0
    top = _TOP + (44 if with_cutter and not outside else 0 if outside else 16)
    below = (46 if with_cutter else 18) if outside else 12
    picture = Drawing(
        "form",
        f"Thread form of {thread['designation']}",
        f"Axial section of an {thread['side']} thread with the limits of its diameters"
        + (" and the cutter's nose at full depth." if plan is not None else "."),
        top + max(tall + below, _GAP * len(labels) - 8) + 26,
    )
    highest = max(radii)

    def at(point: Point) -> Point:
        return (
            _LEFT + _WIDE / 2 + point[0] * scale,
            top + (highest - point[1]) * scale,
        )

    _heading(picture, thread, answer["unit"])
    _metal(picture, flanks, most, least, thread, at)
    if plan is not None:
        _nose(picture, flanks, plan, answer, highest, scale, at)
    _named(picture, labels, flanks, at)
    picture.constant(_LEFT, picture.height - 9, _key(plan is not None))
    return picture.svg()


def conditions(thread: Mapping[str, Any]) -> tuple[Condition, Condition]:
    """The thread at most and at least metal; where there is no limit, the nearest size printed."""
    limits, basic = thread["limits"], thread["basic"]
    reference = thread["reference"]
    external = thread["side"] == "external"
    crest, root = ("major", "minor") if external else ("minor", "major")
    most, least = ("max", "min") if external else ("min", "max")

    def size(part: str, end: str, *others: str) -> float:
        found = limits[f"{part}_diameter"][end]
        for other in others:
            found = reference.get(other) if found is None else found
        return float(basic[f"{part}_diameter"] if found is None else found)

    roots_most = ("minor_diameter_flat_max", "minor_diameter_max") if external else ()
    roots_least = ("minor_diameter_rounded_min",) if external else ("major_diameter_max",)
    return (
        Condition(size(crest, most), size("pitch", most), size(root, most, *roots_most)),
        Condition(
            size(crest, least), size("pitch", least), size(root, least, *roots_least, *roots_most)
        ),
    )


def _heading(picture: Drawing, thread: Mapping[str, Any], unit: str) -> None:
    picture.text(_LEFT, 17, thread["designation"], bold=True, size=HEADING)
    lead = "" if thread["starts"] == 1 else f", lead {said(thread['lead'], unit)}"
    picture.text(
        _LEFT,
        35,
        f"{thread['side']}, {thread['hand']} hand, pitch {said(thread['pitch'], unit)}{lead}",
        size=SMALL,
    )


def _metal(
    picture: Drawing,
    flanks: Flanks,
    most: Condition,
    least: Condition,
    thread: Mapping[str, Any],
    at: Any,
) -> None:
    """Metal that is always there, and the zone between most and least metal, hatched."""
    radius = thread["root_radius"]["min"] or 0.0
    full = outline(flanks, pitch_diameter=most.pitch_diameter, crest=most.crest, root=most.root)
    worn = outline(
        flanks,
        pitch_diameter=least.pitch_diameter,
        crest=least.crest,
        root=least.root,
        root_radius=radius,
    )
    behind = 14.0 if flanks.outward > 0 else -14.0
    base = max(at(p)[1] for p in worn) if behind > 0 else min(at(p)[1] for p in worn)
    ends = [(at(full[-1])[0], base + behind), (at(full[0])[0], base + behind)]
    below = f"L{ends[0][0]:.2f} {ends[0][1]:.2f}L{ends[1][0]:.2f} {ends[1][1]:.2f}Z"
    full_run, worn_run = picture.run(map(at, full)), picture.run(map(at, worn))
    picture.path(full_run + below, picture.hatched("rising", stroke="none"))
    picture.path(worn_run + below, METAL)
    picture.path(full_run, BOLD)
    picture.path(worn_run, DASHED)


def _nose(
    picture: Drawing,
    flanks: Flanks,
    plan: Mapping[str, Any],
    answer: Answer,
    highest: float,
    scale: float,
    at: Any,
) -> None:
    """The tooth at the depth of the last pass, with its nose as it is."""
    tip, unit = plan["root_diameter"] / 2, answer["unit"]
    tooth = Tooth.of_answer(answer, plan["side"])
    # The tooth is drawn a little beyond the crests, towards the cutter's middle.
    lowest = min(plan["root_diameter"], plan["blank_diameter"]) / 2
    end = highest + 18 / scale if flanks.outward > 0 else lowest - 14 / scale
    picture.polyline(
        map(at, tooth.outline(tip, end, 0.62 * flanks.pitch)),
        f'fill="#fff" fill-opacity="0.55" stroke="{RUST}" stroke-width="2"',
    )
    x, y = at((0, (tip + end) / 2))
    picture.text(x, y, "cutter", anchor="middle", size=SMALL, colour=RUST, bold=True)
    tip_x, tip_y = at((0, tip))
    side = flanks.outward
    picture.arrow((tip_x, tip_y), (tip_x + 24, tip_y + side * 26), WORKING, 6)
    told = f"tip at {said(plan['root_diameter'], unit)}"
    line_y = tip_y + (30 if side > 0 else -38)
    for index, text in enumerate((told, tooth.told(unit))):
        picture.text(
            tip_x + 28,
            line_y + index * 15,
            text,
            size=SMALL,
            colour=RUST,
            bold=index == 0,
            backed=True,
        )


def _labels(thread: Mapping[str, Any]) -> list[tuple[float, float, str, bool]]:
    """Axial place in pitches, diameter, words, and whether it is a limit."""
    found: list[tuple[float, float, str, bool]] = []
    external = thread["side"] == "external"
    for part in ("major", "pitch", "minor"):
        crest = (part == "major") == external
        place = 0.75 if part == "pitch" else (0.5 if crest else 0.0)
        for end in ("max", "min"):
            size = thread["limits"][f"{part}_diameter"][end]
            if size is not None:
                found.append((place, size, f"{part} {end} {said(size)}", True))
    for key, words in (
        ("minor_diameter_flat_max", "flat root"),
        ("minor_diameter_rounded_min", "round root"),
        ("major_diameter_max", "root"),
    ):
        if key in thread["reference"]:
            size = thread["reference"][key]
            found.append((0.0, size, f"({words} {said(size)})", False))
    return sorted(found, key=lambda each: -each[1])


def _named(
    picture: Drawing,
    labels: list[tuple[float, float, str, bool]],
    flanks: Flanks,
    at: Any,
) -> None:
    wanted = [at((0.0, size / 2))[1] for _, size, _, _ in labels]
    places = apart(wanted, _GAP, 52, picture.height - 28)
    edge = _LEFT + _WIDE
    for (place, size, words, is_limit), y in zip(labels, places, strict=True):
        x, level = at((place * flanks.pitch, size / 2))
        picture.leader(x, level, edge, _LABELS - 3, y, FAINT if is_limit else DOTTED)
        picture.text(_LABELS, y + 4, words, size=SMALL if not is_limit else TEXT)


@cache
def _key(with_cutter: bool) -> str:
    """What the lines mean."""
    key = Drawing("key", "", "", 0)
    key.line(0, -4, 22, -4, BOLD)
    key.text(27, 0, "most metal", size=SMALL)
    key.line(112, -4, 134, -4, DASHED)
    key.text(139, 0, "least metal", size=SMALL)
    if with_cutter:
        key.line(224, -4, 246, -4, WORKING)
        key.text(251, 0, "cutter, last pass", size=SMALL)
    return key.markup()
