"""Whether the fields beside a call-out say the same as the call-out."""

from __future__ import annotations

import math
import re
from typing import Final

from threadwright_service.calc.errors import AmbiguousError
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.designation import tidied
from threadwright_service.calc.threads.registry import Fields

LEADING_COUNT: Final = re.compile(r"^[0-9]+")
"""The threads per inch that may stand before a series symbol, as in ``8UN``."""
_RIGHT: Final = re.compile(r"(?<![A-Z])(?:RH|RIGHT)", re.IGNORECASE)
_SAME: Final = 1e-4
"""Relative difference up to which two numbers say the same: a call-out prints four digits."""


def check_agreement(call_out: CallOut, fields: Fields, text: str) -> None:
    """Refuse fields that say something else than the call-out beside them.

    Parameters
    ----------
    call_out : CallOut
        As the text was read.
    fields : Fields
        What was given beside it, in the family's unit. The tolerance class is the parser's.
    text : str
        The text, for the message.

    Raises
    ------
    AmbiguousError
        If a field contradicts the text.
    """
    if fields.series is not None and not _same_series(fields.series, call_out):
        raise _contradiction("series", fields.series, call_out.series, text)
    if fields.nominal_diameter is not None and not _same_size(fields.nominal_diameter, call_out):
        raise _contradiction("nominal_diameter", fields.nominal_diameter, call_out.size, text)
    if fields.pitch is not None and not math.isclose(fields.pitch, call_out.pitch, rel_tol=_SAME):
        raise _contradiction("pitch", fields.pitch, f"{call_out.pitch:.6g}", text)
    if fields.threads_per_inch is not None:
        count = call_out.threads_per_inch
        if count is None or not math.isclose(fields.threads_per_inch, count, rel_tol=_SAME):
            said = "none" if count is None else f"{count:g}"
            raise _contradiction("threads_per_inch", fields.threads_per_inch, said, text)
    if fields.hand is not None and fields.hand != call_out.hand:
        said_right = call_out.hand == "right" and _RIGHT.search(text) is not None
        if call_out.hand == "left" or said_right:
            raise _contradiction("hand", fields.hand, call_out.hand, text)
    if fields.starts is not None and call_out.starts not in {1, fields.starts}:
        raise _contradiction("starts", fields.starts, str(call_out.starts), text)
    engagement = call_out.length_of_engagement
    if (
        fields.length_of_engagement is not None
        and engagement is not None
        and not math.isclose(fields.length_of_engagement, engagement, rel_tol=_SAME)
    ):
        raise _contradiction(
            "length_of_engagement", fields.length_of_engagement, f"{engagement:g}", text
        )


def _contradiction(parameter: str, value: object, said: str, text: str) -> AmbiguousError:
    return AmbiguousError(
        f"'{text}' says {parameter.replace('_', ' ')} {said}, the field {parameter} says {value}",
        parameter=parameter,
        value=value,
        accepted=f"{said}, or no {parameter} beside the call-out",
    )


def _same_series(series: str, call_out: CallOut) -> bool:
    """Whether a series field names the call-out's series, ``8UN`` and plain ``UN`` included."""
    plain = tidied(series).casefold().replace(" ", "")
    symbol = LEADING_COUNT.sub("", plain)
    count = plain[: len(plain) - len(symbol)]
    if count and (call_out.threads_per_inch is None or float(count) != call_out.threads_per_inch):
        return False
    return symbol == call_out.series.casefold().replace(" ", "") or (
        symbol == "un" and call_out.family == "unified"
    )


def _same_size(given: float | str, call_out: CallOut) -> bool:
    """Whether a size field is the call-out's size, as a number or as it is written."""
    if not isinstance(given, str):
        return math.isclose(given, call_out.nominal_diameter, rel_tol=_SAME)
    plain = tidied(given).casefold().replace('"', "").strip()
    if plain.removeprefix(call_out.series.casefold()).strip() == call_out.size.casefold():
        return True
    try:
        return math.isclose(float(plain), call_out.nominal_diameter, rel_tol=_SAME)
    except ValueError:
        return plain.replace("-", " ") == call_out.size.casefold()
