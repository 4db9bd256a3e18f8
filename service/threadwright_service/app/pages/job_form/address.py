"""The address of the form with a job filled in, and a job's values as they stand in its fields."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final
from urllib.parse import urlencode

from flask import Request

from threadwright_service.api import BY_NAME
from threadwright_service.app.choice import CONTROL_KEYS
from threadwright_service.app.flat import for_people
from threadwright_service.app.pages.snippets import query_text
from threadwright_service.app.views import KEY_IN_QUERY, Pairs

FORM: Final = "/job-sheet"
WRONG: Final = "wrong"
"""In the form's address: the keys to mark, separated by commas."""


def form_address(pairs: Iterable[tuple[str, str]] = (), wrong: Iterable[str] = ()) -> str:
    """The form with these keys filled in, and some of them marked.

    Examples
    --------
    >>> form_address([("designation", "M10-6g")], ["unit"])
    '/job-sheet?designation=M10-6g&wrong=unit'
    """
    told = list(pairs)
    marked = ",".join(dict.fromkeys(key for key in wrong if key))
    if marked:
        told.append((WRONG, marked))
    return f"{FORM}?{urlencode(told)}" if told else FORM


def form_pairs(keys: Mapping[str, Any]) -> Pairs:
    """The keys of a request with their values as people write them.

    Examples
    --------
    >>> form_pairs({"thread_length": 28.0, "wires_on_hand": [0.8, 1.0], "unit": "mm"})
    [('thread_length', '28'), ('wires_on_hand', '0.8;1'), ('unit', 'mm')]
    """
    return [(key, _text(value)) for key, value in keys.items()]


def job_pairs(pairs: Iterable[tuple[str, str]]) -> Pairs:
    """What a query says of the job, without form, access and marks."""
    beside = (*CONTROL_KEYS, KEY_IN_QUERY, WRONG)
    return [pair for pair in pairs if pair[0] not in beside]


def change_address(asked: Request, wrong: Iterable[str]) -> str | None:
    """The form with what a GET of the job sheet asked for; ``None`` for any other request."""
    path = BY_NAME["job-sheet"].path
    if asked.method not in ("GET", "HEAD") or asked.path not in (path, f"{path}.html"):
        return None
    pairs = job_pairs(asked.args.items(multi=True))
    return form_address(pairs, (key.split(".")[0] for key in wrong))


def _text(value: Any) -> str:
    if isinstance(value, float):
        return for_people(value)
    if isinstance(value, list | tuple) and not any(isinstance(each, Mapping) for each in value):
        return ";".join(map(_text, value))
    return query_text(value)
