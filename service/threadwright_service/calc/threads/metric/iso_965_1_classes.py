"""Tolerance classes of ISO metric threads: grade and position of pitch and crest diameter.

A small letter is an outside thread, a capital an inside one; a class of two parts names the
pitch diameter first, the crest diameter second (``4g6g``, ``5H6H``).
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final, NamedTuple

from threadwright_service.calc.errors import (
    AmbiguousError,
    MissingInputError,
    NotTabulatedError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.thread import Side

EXTERNAL_POSITIONS: Final = ("e", "f", "g", "h", "az")
INTERNAL_POSITIONS: Final = ("G", "H")
GRADES: Final = {
    ("external", "pitch"): (3, 4, 5, 6, 7, 8, 9),
    ("external", "crest"): (4, 6, 8),
    ("internal", "pitch"): (4, 5, 6, 7, 8),
    ("internal", "crest"): (4, 5, 6, 7, 8),
}
COMMON_CLASSES: Final = (
    "6g", "6h", "6e", "6f", "4h", "4g6g", "5g6g", "7g6g", "8g", "6az",
    "6H", "6G", "4H", "5H", "7H", "8H", "4H5H", "5H6H",
)  # fmt: skip
CLASSES_TEXT: Final = (
    "outside 6g (medium), 4h (fine), 8g (coarse), also 3 to 9 with e, f, g, h, or 6az; inside 6H "
    "(medium), 5H (fine), 7H (coarse), also 4 to 8 with G or H"
)
RECOMMENDED: Final = {
    ("external", "S"): "5g6g", ("external", "N"): "6g", ("external", "L"): "7g6g",
    ("internal", "S"): "5H", ("internal", "N"): "6H", ("internal", "L"): "7H",
}  # fmt: skip
"""Recommended classes of medium quality for each group of engagement (memory)."""

_PARTS: Final = re.compile(r"([0-9]{1,2})([A-Za-z]{1,2})(?:([0-9]{1,2})([A-Za-z]{1,2}))?")


class MetricClass(NamedTuple):
    """A tolerance class taken apart; ``text`` is its shortest spelling."""

    text: str
    side: Side
    pitch_grade: int
    pitch_position: str
    crest_grade: int
    crest_position: str


@lru_cache(maxsize=512)
def metric_class(text: str) -> MetricClass:
    """Read a tolerance class.

    Raises
    ------
    MissingInputError
        If the text is empty.
    AmbiguousError
        If it is a fit of two classes, or mixes an outside and an inside one.
    NotTabulatedError
        If a position or a grade has no table here.
    UnknownDesignationError
        If it is no class of ISO 965-1.

    Notes
    -----
    Source: iso-965-1; position az of iso-965-4.

    Examples
    --------
    >>> metric_class("4g6g").crest_grade, metric_class("6g6g").text, metric_class("5H6H").side
    (6, '6g', 'internal')
    """
    match = _taken_apart(text)
    pitch_position = _position(match[2], text)
    crest_position = _position(match[4], text) if match[4] else pitch_position
    side = _side(pitch_position, crest_position, text)
    pitch_grade = _grade(match[1], side, "pitch", text)
    crest_grade = _grade(match[3] or match[1], side, "crest", text)
    pitch, crest = f"{pitch_grade}{pitch_position}", f"{crest_grade}{crest_position}"
    if "az" in {pitch_position, crest_position} and not pitch == crest == "6az":
        raise NotTabulatedError(
            f"class {text}: ISO 965-4 has 6az alone",
            parameter="tolerance_class",
            value=text,
            accepted="6az",
        )
    return MetricClass(
        text=pitch if pitch == crest else f"{pitch}{crest}",
        side=side,
        pitch_grade=pitch_grade,
        pitch_position=pitch_position,
        crest_grade=crest_grade,
        crest_position=crest_position,
    )


def _taken_apart(text: str) -> re.Match[str]:
    """Grade and position of the pitch diameter, and of the crest where it has its own."""
    if not text:
        raise MissingInputError(
            "the metric thread needs a tolerance class",
            parameter="tolerance_class",
            accepted=CLASSES_TEXT,
        )
    if "/" in text:
        parts = [part.strip() for part in text.split("/")]
        raise AmbiguousError(
            f"{text} is a fit of two threads",
            parameter="tolerance_class",
            value=text,
            accepted=" or ".join(parts) + ", one at a time",
        )
    match = _PARTS.fullmatch(text)
    if match is None:
        raise UnknownDesignationError(
            f"'{text[:20]}' is not a tolerance class of ISO 965-1",
            parameter="tolerance_class",
            value=text[:100],
            accepted=CLASSES_TEXT,
        )
    return match


def _side(pitch_position: str, crest_position: str, text: str) -> Side:
    """The side that both positions are of."""
    inside = pitch_position in INTERNAL_POSITIONS
    if inside != (crest_position in INTERNAL_POSITIONS):
        raise AmbiguousError(
            f"class {text} mixes an outside and an inside position",
            parameter="tolerance_class",
            value=text,
            accepted="two small letters outside (4g6g), two capitals inside (5H6H)",
        )
    return "internal" if inside else "external"


def _position(letters: str, text: str) -> str:
    if letters in EXTERNAL_POSITIONS or letters in INTERNAL_POSITIONS:
        return letters
    accepted = "e, f, g, h, az outside; G, H inside"
    if letters in {"a", "b", "c", "d"}:
        raise NotTabulatedError(
            f"class {text}: positions a to d came with the 2013 edition of ISO 965-1, and no "
            "public copy of their deviations was found; they are not guessed",
            parameter="tolerance_class",
            value=text,
            accepted=accepted,
        )
    if letters in {"AZ", "AX"}:
        raise NotTabulatedError(
            f"class {text}: positions AZ and AX of ISO 965-5 are not held",
            parameter="tolerance_class",
            value=text,
            accepted=accepted,
        )
    raise UnknownDesignationError(
        f"class {text}: ISO 965-1 has no position {letters}; small letters are outside, capitals "
        "inside",
        parameter="tolerance_class",
        value=text,
        accepted=accepted,
    )


def _grade(digits: str, side: Side, which: str, text: str) -> int:
    grade, grades = int(digits), GRADES[side, which]
    if grade in grades:
        return grade
    diameter = "pitch diameter"
    if which == "crest":
        diameter = "major diameter" if side == "external" else "minor diameter"
    hint = "; a class of two parts gives the pitch diameter first, as 5g6g"
    raise NotTabulatedError(
        f"class {text}: ISO 965-1 has no grade {grade} for the {side} {diameter}",
        parameter="tolerance_class",
        value=text,
        accepted="grades " + ", ".join(map(str, grades)) + (hint if which == "crest" else ""),
    )
