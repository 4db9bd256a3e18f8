"""Query text and callers' values: what text stands for, and how a value is shown in a sentence."""

from __future__ import annotations

import json
import math
import re
from typing import Any, Final

from threadwright_service.schemas.faults import FieldFaultError

NUMBER_TEXT: Final = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
COUNT_TEXT: Final = re.compile(r"[+-]?[0-9]{1,15}")
DECIMAL_COMMA: Final = re.compile(r"[+-]?[0-9]*,[0-9]+")
_LONGEST_NUMBER: Final = 40


def json_from_text(text: str, accepted: str) -> Any:
    """Read JSON that stands in a query."""
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        raise FieldFaultError("not-json", f"{shown(text)} is not JSON", accepted) from None


def number_from_text(text: str, accepted: str) -> float:
    """Read a plain ASCII decimal number, or say what to write instead.

    Raises
    ------
    FieldFaultError
        For a decimal comma, a group separator, foreign digits, blanks and anything else.

    Examples
    --------
    >>> number_from_text("10.5", "")
    10.5
    """
    if len(text) <= _LONGEST_NUMBER and NUMBER_TEXT.fullmatch(text):
        number = float(text)
        if math.isfinite(number):
            return number
        raise FieldFaultError("not-finite", f"{shown(text)} is too large", accepted)
    if len(text) <= _LONGEST_NUMBER and DECIMAL_COMMA.fullmatch(text):
        raise FieldFaultError(
            "decimal-comma",
            f"decimal comma in {shown(text)}: write {text.replace(',', '.')}"
            ' (in a sheet SUBSTITUTE(A1,",","."))',
            accepted,
        )
    if not text.strip():
        raise FieldFaultError("empty", "is empty; leave the key out or give a value", accepted)
    raise FieldFaultError("not-a-number", f"{shown(text)} is not a number", accepted)


def shown(value: Any) -> str:
    """A caller's value as it may stand in a sentence: short, quoted, one line."""
    try:
        text = json.dumps(value, ensure_ascii=True)
    except (TypeError, ValueError):
        text = json.dumps(str(value), ensure_ascii=True)
    return text if len(text) <= 60 else f"{text[:57]}..."
