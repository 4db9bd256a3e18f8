"""Call-outs as people write them: what all families share in reading a text.

:func:`tidied` brings dashes, multiplication signs, fractions and blanks to one form, so that
each family reads printable ASCII. :func:`without_qualifiers` takes the hand and the number of
starts off, wherever a drawing puts them. A text that cannot be a call-out is refused here with
a sentence that says what to write.
"""

from __future__ import annotations

import re
from math import atan, degrees, pi
from typing import Final, NamedTuple

from threadwright_service.calc.errors import (
    AmbiguousError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.thread import Hand

LONGEST_TEXT: Final = 100
"""Characters in the longest call-out that is read; real ones have fewer than forty."""
MOST_STARTS: Final = 20
"""Most starts that are read: far above any thread in use, below any slip of the keyboard."""

EXAMPLES: Final = "3/4-16 UNF-2A, #10-32 UNF-2B, 1 1/2-6 UNC-2A LH, M24x1.5-6g, M10-6H"

_FRACTIONS: Final = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5",
    "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8",
    "⅞": "7/8",
}  # fmt: skip
_SIGNS: Final = str.maketrans(
    {
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe58\ufe63\uff0d", "-"),
        **dict.fromkeys("×✕✖⨯Хх", "x"),
        **dict.fromkeys("″”“„‟＂", '"'),
        **dict.fromkeys("\u2044\u2215\uff0f", "/"),
        **dict.fromkeys(
            "\t\n\r\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f"
            "\u3000",
            " ",
        ),
        **dict.fromkeys("\u200b\u200c\u200d\u2060\ufeff", None),
        "№": "No.",
        "М": "M",  # the Cyrillic letter, which looks the same
        "＃": "#",
    }
)  # fmt: skip
_FRACTION: Final = re.compile(f"([0-9])?([{''.join(_FRACTIONS)}])")
_DECIMAL_COMMA: Final = re.compile(r"[0-9],[0-9]")


def tidied(text: str) -> str:
    """A call-out in printable ASCII, with one form for each sign.

    Raises
    ------
    UnknownDesignationError
        If the text is empty, too long, or has a character or a decimal comma that no
        call-out has.

    Examples
    --------
    >>> tidied("  1½–6 UNC‑2A\u00a0LH "), tidied("M24×1.5 − 6g")
    ('1 1/2-6 UNC-2A LH', 'M24x1.5 - 6g')
    """
    if (
        text.isascii()
        and text.isprintable()
        and "," not in text
        and "  " not in text
        and len(text) <= LONGEST_TEXT
        and text == text.strip()
        and text
    ):
        return text  # as nearly every one is
    if len(text) > LONGEST_TEXT:
        raise UnknownDesignationError(
            f"the call-out has {len(text)} characters; at most {LONGEST_TEXT} are read",
            parameter="designation",
            value=text[:LONGEST_TEXT],
            accepted=EXAMPLES,
        )
    plain = _FRACTION.sub(
        lambda match: (f"{match[1]} " if match[1] else "") + _FRACTIONS[match[2]],
        text.translate(_SIGNS),
    )
    plain = " ".join(plain.split(" ")).strip() if "  " not in plain else " ".join(plain.split())
    if not plain:
        raise MissingInputError(
            "the call-out is empty", parameter="designation", value=text, accepted=EXAMPLES
        )
    if _DECIMAL_COMMA.search(plain):
        raise UnknownDesignationError(
            f"'{plain}' has a decimal comma; write a decimal point, as in M24x1.5-6g",
            parameter="designation",
            value=text,
            accepted=EXAMPLES,
        )
    for character in plain:
        if not " " <= character <= "~":
            raise UnknownDesignationError(
                f"the call-out has the character {character!a}, which no call-out has",
                parameter="designation",
                value=text,
                accepted=EXAMPLES,
            )
    return plain


class Qualifiers(NamedTuple):
    """What a call-out says beside size, pitch and class; ``None`` where it says nothing."""

    hand: Hand | None
    starts: int | None


_HAND: Final = re.compile(
    r"[ \-]*(?<![A-Za-z])\(?(?:(?P<left>LH|L\. ?H\.?|LEFT(?:[ -]?HAND(?:ED)?)?)"
    r"|(?P<right>RH|R\. ?H\.?|RIGHT(?:[ -]?HAND(?:ED)?)?))\)?(?![A-Za-z])",
    re.IGNORECASE,
)
_HAND_BEFORE: Final = re.compile(
    r"((?:LH|L\. ?H\.?|LEFT|RH|R\. ?H\.?|RIGHT)(?:[ -]?HAND(?:ED)?)?)[ \-]+(?=\S)", re.IGNORECASE
)
_HAND_BEHIND_CLASS: Final = re.compile(r"(?<=[0-9][A-Za-z])(?=[LR]H$)", re.IGNORECASE)
_WORDS: Final = re.compile(r"[LR](?:\. ?)?H|LEFT|RIGHT|START")
_STARTS: Final = re.compile(
    r"[ \-]*\(? ?(?:(?P<number>[0-9]{1,4})|(?P<word>SINGLE|ONE|DOUBLE|TWO|TRIPLE|THREE|FOUR"
    r"|FIVE|SIX|SEVEN|EIGHT))[ -]?STARTS? ?\)?",
    re.IGNORECASE,
)
_STARTS_IN_WORDS: Final = {
    "SINGLE": 1, "ONE": 1, "DOUBLE": 2, "TWO": 2, "TRIPLE": 3, "THREE": 3, "FOUR": 4,
    "FIVE": 5, "SIX": 6, "SEVEN": 7, "EIGHT": 8,
}  # fmt: skip
_NONE: Final = Qualifiers(hand=None, starts=None)
_LEFT: Final = Qualifiers(hand="left", starts=None)
_RIGHT: Final = Qualifiers(hand="right", starts=None)
_AT_THE_END: Final = {" LH": _LEFT, "-LH": _LEFT, " RH": _RIGHT, "-RH": _RIGHT}
"""The hand as most call-outs have it: two letters behind all else."""


def without_qualifiers(text: str) -> tuple[str, Qualifiers]:
    """Take the hand and the number of starts off a tidied call-out.

    Raises
    ------
    AmbiguousError
        If the text names both hands or two numbers of starts.
    OutOfRangeError
        If it names no start or more than :data:`MOST_STARTS`.

    Examples
    --------
    >>> without_qualifiers("1-8 UNC-2A (2 STARTS) LH")
    ('1-8 UNC-2A', Qualifiers(hand='left', starts=2))
    """
    capitals = text.upper()
    # Each of the words has an H or a T. Nearly all texts end here,
    if ("H" not in capitals and "T" not in capitals) or _WORDS.search(capitals) is None:
        return text, _NONE
    # and nearly all others here.
    at_end = _AT_THE_END.get(capitals[-3:])
    if at_end is not None:
        rest = text[:-3].rstrip(" -")
        if _WORDS.search(capitals, 0, len(rest)) is None:
            return rest, at_end
    text = _HAND_BEHIND_CLASS.sub(" ", text)
    starts: set[int] = set()
    for match in _STARTS.finditer(text):
        starts.add(
            int(match["number"]) if match["number"] else _STARTS_IN_WORDS[match["word"].upper()]
        )
    rest = _STARTS.sub(" ", text)
    hands: set[Hand] = {"left" if match["left"] else "right" for match in _HAND.finditer(rest)}
    rest = " ".join(_HAND.sub(" ", rest).split()).rstrip(" -")
    if len(hands) > 1 or len(starts) > 1:
        raise AmbiguousError(
            f"'{text}' names {'both hands' if len(hands) > 1 else 'two numbers of starts'}",
            parameter="hand" if len(hands) > 1 else "starts",
            value=text,
            accepted="one of them",
        )
    if starts:
        checked_starts(next(iter(starts)))
    return rest, Qualifiers(
        hand=next(iter(hands), None), starts=next(iter(starts)) if starts else None
    )


def hand_behind(text: str) -> str:
    """A tidied call-out with the hand behind all else, if it stands before the size.

    Examples
    --------
    >>> hand_behind("LH 1/4-20 UNC-2A"), hand_behind("R 1/2")
    ('1/4-20 UNC-2A LH', 'R 1/2')
    """
    match = _HAND_BEFORE.match(text)
    return text if match is None else f"{text[match.end() :]} {match[1]}"


def checked_starts(starts: int) -> int:
    """The number of starts, if it is one.

    Raises
    ------
    OutOfRangeError
        If it is below 1 or above :data:`MOST_STARTS`.
    """
    if not 1 <= starts <= MOST_STARTS:
        raise OutOfRangeError(
            f"{starts} starts; a thread has 1 to {MOST_STARTS}",
            parameter="starts",
            value=starts,
            accepted=f"1 to {MOST_STARTS}",
        )
    return starts


def lead_angle_deg(*, lead: float, pitch_diameter: float) -> float:
    r"""Lead angle at the pitch cylinder [deg]; both lengths in the same unit.

    .. math:: \tan\varphi = L / (\pi d_2)

    Notes
    -----
    Source: derivation, from unrolling the helix on the pitch cylinder.

    Examples
    --------
    >>> round(lead_angle_deg(lead=1.5, pitch_diameter=23.026), 4)
    1.1878
    """
    return degrees(atan(lead / (pi * pitch_diameter)))
