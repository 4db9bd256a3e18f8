"""The words by which people say whether a thread is on the screw or in the nut.

Several standards write the same call-out for both members. The word beside it (``1-5 ACME-2G
nut``, ``3/8-18 NPT internal``) then says which one is meant; without it the outside thread is
computed and that is noted as an assumption.
"""

from __future__ import annotations

import re
from typing import Final

from threadwright_service.calc.errors import AmbiguousError
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.thread import Side
from threadwright_service.calc.trail import Trail

_WORDS: Final = re.compile(
    r"[ \-]*\(?(?<![A-Za-z])(?:"
    r"(?P<external>EXTERNAL|EXT\.?|OUTSIDE|SCREWS?|BOLTS?|STUDS?|MALE)"
    r"|(?P<internal>INTERNAL|INT\.?|INSIDE|NUTS?|FEMALE)"
    r")(?![A-Za-z])(?:[ -]THREADS?)?\)?",
    re.IGNORECASE,
)


def without_side(text: str) -> tuple[str, Side | None]:
    """Take the word for the side off a tidied call-out.

    Raises
    ------
    AmbiguousError
        If the text names both sides.

    Examples
    --------
    >>> without_side("1-5 ACME-2G (nut)"), without_side("3/8-18 NPT")
    (('1-5 ACME-2G', 'internal'), ('3/8-18 NPT', None))
    """
    sides: set[Side] = {
        "external" if match["external"] else "internal" for match in _WORDS.finditer(text)
    }
    if not sides:
        return text, None
    if len(sides) > 1:
        raise AmbiguousError(
            f"'{text}' names both the outside and the inside thread",
            parameter="side",
            value=text,
            accepted="one of external, internal",
        )
    rest = " ".join(_WORDS.sub(" ", text).split()).strip(" -")
    return rest, sides.pop()


def side_of(call_out: CallOut, side: Side | None, trail: Trail | None, *, reason: str) -> Side:
    """The side to compute: the call-out's, the caller's, or the outside thread as assumed.

    Parameters
    ----------
    call_out : CallOut
        As parsed; ``side_stated`` says whether its side counts.
    side : "external", "internal" or None
        What the caller asked for beside the call-out.
    trail : Trail or None
        Where the assumption is noted.
    reason : str
        Why the call-out leaves the side open.

    Raises
    ------
    AmbiguousError
        If the call-out says one side and the caller the other.
    """
    if side is None:
        if not call_out.side_stated and trail is not None:
            trail.assume("side", call_out.side, reason)
        return call_out.side
    if call_out.side_stated and side != call_out.side:
        raise AmbiguousError(
            f"the call-out says an {call_out.side} thread, the field side says {side}",
            parameter="side",
            value=side,
            accepted=call_out.side,
        )
    return side
