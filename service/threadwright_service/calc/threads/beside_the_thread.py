"""What drawings write beside a thread, and what to do with it here.

A call-out is often copied with the number of holes before it and the depth, the coating or a
word like THRU behind it. None of that changes the limits, and some of it does: so nothing is
dropped in silence, and the refusal says what the text is and where it belongs.
"""

from __future__ import annotations

import re
from typing import Final

_HINTS: Final = tuple(
    (re.compile(pattern, re.IGNORECASE), hint)
    for pattern, hint in (
        (r"\bMOD\b", "MOD stands for limits that the drawing itself gives"),
        (
            r"COAT|PLAT|ANODI|ZINC|PHOS|CADM|NICKEL",
            "a coating goes into coating_thickness; leave it out of the call-out",
        ),
        (r"\b(?:DOUBLE|TRIPLE|QUAD\w*)\b", "several starts are written (2 STARTS)"),
        (
            r"^(?:[1-9]|A|B)$",
            "a class is a number and a letter: 2A outside, 2B inside",
        ),
        (
            r"^(?:EXT|INT|OUTSIDE|INSIDE|MALE|FEMALE|BOLT|SCREW|NUT)",
            "the class says the side; leave the word out, or give the field side",
        ),
        (
            r"^(?:FINE|COARSE|F|C)$",
            "write the pitch itself, as M10x1.25; without one the coarse pitch is meant",
        ),
        (r"^SE\b", "special engagement stands before the class, as SE2A LE 1.5"),
        (
            r"^(?:[x*]|THRU|THROUGH|DEEP|DP|MIN|FULL|LG|LONG|TAP|THD|THREAD|[0-9.]*[0-9]$)",
            "a length, a depth or a word about the hole is not part of the thread; leave it out",
        ),
    )
)
_BEFORE: Final = re.compile(
    r"(?:\([0-9]{1,3}\)|[0-9]{1,3} ?(?:x|pl(?:aces|cs)?\.?|holes?|off)) ?(?=\S)"
    r"|(?:(?:ISO|DIN|EN|BS|ASME|ANSI|JIS|GOST|THREAD|METRIC)[ \-]*)+"
    r"(?:[0-9.]+(?:-[0-9]+)?[ \-]+)?(?=\S)",
    re.IGNORECASE,
)
"""A number of pieces, or the name of a standard."""


def hint(rest: str) -> str:
    """What a part of a call-out probably is, as a clause to append; empty if that is not known.

    Examples
    --------
    >>> hint("(COATED)")
    ': a coating goes into coating_thickness; leave it out of the call-out'
    """
    bare = rest.strip(" -(),;")
    for pattern, text in _HINTS:
        if pattern.search(bare):
            return f": {text}"
    return ""


def without_what_stands_before(text: str) -> str:
    """The call-out without a number of pieces or a standard before it; else the same text.

    Examples
    --------
    >>> without_what_stands_before("4X 1/2-13 UNC-2B"), without_what_stands_before("(4) M6-6H")
    ('1/2-13 UNC-2B', 'M6-6H')
    >>> without_what_stands_before("ISO 228-1 G 1/2 A"), without_what_stands_before("1-8 UNC")
    ('G 1/2 A', '1-8 UNC')
    """
    match = _BEFORE.match(text)
    return text if match is None else text[match.end() :]
