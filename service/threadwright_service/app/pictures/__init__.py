"""The pictures of answers, and which of them belong to which operation.

A picture is made from an answer as it goes out, so its numbers are those of the JSON.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from threadwright_service.app.pictures import (
    break_even,
    correction_run,
    cutter_path,
    hardness_scales,
    pass_section,
    speed_factors,
    thread_form,
    time_share,
    tolerance_zone,
    wires,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One picture.

    Parameters
    ----------
    name : str
        Value of ``picture=``.
    title : str
        What it shows, for lists of pictures.
    draw : callable
        Makes the SVG from an answer; ``None`` where the answer has nothing to show.
    on_page : bool
        Whether it stands on the answer's page. Otherwise the page leads to it, since drawing it
        would cost more than everything else of a short answer.
    """

    name: str
    title: str
    draw: Callable[[Mapping[str, Any]], str | None]
    on_page: bool = True


FORM: Final = Picture(
    name="form",
    title="Form of the thread with its limits, and the cutter's nose where there is one",
    draw=thread_form.draw,
)
ZONES: Final = Picture(
    name="zones",
    title="Tolerance zones of the diameters against the basic profile",
    draw=tolerance_zone.draw_limits,
    on_page=False,
)
WIRES: Final = Picture(name="wires", title="The wire or ball in the groove", draw=wires.draw)
READINGS: Final = Picture(
    name="readings",
    title="Pitch diameter and reading with limits, aim and what was measured",
    draw=tolerance_zone.draw_wires,
)
GAUGES: Final = Picture(
    name="gauges",
    title="The part's zone beside those of its gauges",
    draw=tolerance_zone.draw_gauges,
)
CORRECTION: Final = Picture(
    name="correction",
    title="Measured sizes in their tolerance, with the target",
    draw=correction_run.draw,
)
HOLE: Final = Picture(
    name="hole", title="Limits of the hole and the nearest drills", draw=tolerance_zone.draw_hole
)
SCALES: Final = Picture(
    name="scales", title="The hardness on each scale", draw=hardness_scales.draw
)
PASSES: Final = Picture(
    name="passes",
    title="Cross-section with each pass and its load",
    draw=pass_section.draw,
)
PATH: Final = Picture(
    name="path",
    title="Path of the cutter's centre from above and from the side",
    draw=cutter_path.draw,
)
FACTORS: Final = Picture(
    name="factors",
    title="Factors behind the speed, and the feed and chip in their ranges",
    draw=speed_factors.draw,
)
TIMES: Final = Picture(
    name="times", title="Where the time of a part and a lot goes", draw=time_share.draw
)
BREAK_EVEN: Final = Picture(
    name="break-even",
    title="Cost or time of a part by quantity, and where two ways meet",
    draw=break_even.draw,
)

PICTURES: Final[Mapping[str, tuple[Picture, ...]]] = {
    "thread-limits": (FORM, ZONES),
    "wire-measurement": (WIRES, READINGS),
    "gauge-limits": (GAUGES, ZONES),
    "size-correction": (CORRECTION,),
    "thread-hole": (HOLE,),
    "hardness": (SCALES,),
    "pass-plan": (PASSES, PATH, FORM),
    "turning-plan": (PASSES,),
    "cutting-data": (FACTORS,),
    "cycle-time": (TIMES, BREAK_EVEN),
    "job-sheet": (PASSES, PATH, FORM, READINGS, GAUGES, HOLE, TIMES, BREAK_EVEN, FACTORS),
}
"""Pictures of each operation; the first that can be drawn is the one without ``picture=``."""

NAMES: Final = tuple(
    dict.fromkeys(picture.name for pictures in PICTURES.values() for picture in pictures)
)


def pictures_of(
    operation: str, answer: Mapping[str, Any], *, every: bool = False
) -> list[tuple[Picture, str]]:
    """The pictures that stand on an answer's page, drawn; or every one that it can show."""
    drawn = (
        (picture, picture.draw(answer))
        for picture in PICTURES.get(operation, ())
        if every or picture.on_page
    )
    return [(picture, svg) for picture, svg in drawn if svg is not None]


def picture_of(operation: str, answer: Mapping[str, Any], name: str | None) -> str | None:
    """One picture: the named one, or the first that the answer can show.

    Raises
    ------
    LookupError
        If the operation has no picture of that name.
    """
    known = PICTURES.get(operation, ())
    if name is not None:
        known = tuple(picture for picture in known if picture.name == name)
        if not known:
            raise LookupError(name)
    return next((svg for picture in known if (svg := picture.draw(answer)) is not None), None)
