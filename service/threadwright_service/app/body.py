"""Reading a JSON body: typed, of stated length, bounded, with every key once."""

from __future__ import annotations

import json
from typing import Any, Final

import orjson
from flask import Request

from threadwright_service.api.problems import Problem, problem

_KEY_END: Final = b'":'
_BYTE_ORDER_MARKS: Final = (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")
_NOT_PLAIN: Final = (b"\\", b" :", b"\t:", b"\n:", b"\r:")
"""An escape, or a blank before a colon: then quotes and colons cannot be counted."""


class UnreadableError(Exception):
    """A body that cannot be read; carries the problem."""

    def __init__(self, reason: Problem) -> None:
        super().__init__(reason.detail)
        self.problem = reason


def json_body(request: Request, limit: int) -> Any:
    """The JSON value of a request's body.

    Raises
    ------
    UnreadableError
        415 if it is not sent as JSON or is packed, 411 if nothing tells where it ends, 413 if it
        is longer than ``limit``, 400 if it is not JSON or holds a key twice.
    """
    if request.mimetype != "application/json":
        named = request.mimetype or "none"
        raise UnreadableError(
            problem(
                415,
                "unsupported-media-type",
                f"the body's type is {named}; send JSON with Content-Type: application/json",
                {"Accept": "application/json"},
            )
        )
    coding = request.headers.get("Content-Encoding", "identity").strip().lower()
    if coding not in ("", "identity"):
        raise UnreadableError(
            problem(
                415,
                "unsupported-media-type",
                "the body is sent with a Content-Encoding; send it as it is",
                {"Accept-Encoding": "identity"},
            )
        )
    length = request.content_length
    if length is None and "Transfer-Encoding" in request.headers:
        return parsed(_body_in_chunks(request, limit))
    length = length or 0
    if length > limit:
        raise UnreadableError(
            problem(413, "too-large", f"the body holds {length} bytes, more than {limit}")
        )
    body = request.get_data(cache=False)
    if len(body) != length:
        raise UnreadableError(
            problem(400, "unreadable-body", f"{length} bytes were announced, {len(body)} came")
        )
    return parsed(body)


def _body_in_chunks(request: Request, limit: int) -> bytes:
    """A body whose length is not stated, as macros of some spreadsheets send it.

    It is read past the framework, which would cut it at a limit of its own without a word.
    """
    if not request.environ.get("wsgi.input_terminated"):
        raise UnreadableError(
            problem(411, "length-required", "state the body's length with Content-Length")
        )
    try:
        body: bytes = request.environ["wsgi.input"].read(limit + 1)
    except Exception as error:  # each server raises its own kind for chunks that are none
        raise UnreadableError(
            problem(400, "unreadable-body", f"the body's chunks cannot be read: {error}")
        ) from None
    if len(body) > limit:
        raise UnreadableError(problem(413, "too-large", f"the body holds more than {limit} bytes"))
    return body


def parsed(body: bytes) -> Any:
    """Parse JSON, refusing what JSON does not hold (NaN) and a key that stands twice.

    Raises
    ------
    UnreadableError
        400, with the place or the key.
    """
    try:
        value = orjson.loads(body)
    except orjson.JSONDecodeError:
        return _explained(body)
    return value if _holds_each_key_once(body, value) else _explained(body)


def _holds_each_key_once(body: bytes, value: Any) -> bool:
    """Whether it is plain that no key stands twice, by counting in the text alone.

    Where nothing is escaped, a quote and a colon end a key, or begin a text with a colon. Parsing
    keeps one of several equal keys, so the value written anew then has fewer of them.
    """
    if any(mark in body for mark in _NOT_PLAIN):
        return False
    try:
        return body.count(_KEY_END) == orjson.dumps(value).count(_KEY_END)
    except orjson.JSONEncodeError:  # nested more deeply than it writes
        return False


def _explained(body: bytes) -> Any:
    """Read again, slowly, to say exactly what is wrong; gives the value if nothing is."""
    if not body.strip():
        raise _unreadable("the body is empty; send a JSON object")
    if body.startswith(_BYTE_ORDER_MARKS):
        raise _unreadable("the body begins with a byte order mark; send UTF-8 without one")
    try:
        return json.loads(
            body.decode("utf-8"), object_pairs_hook=_once, parse_constant=_not_a_number
        )
    except UnicodeDecodeError:
        raise _unreadable("the body is not UTF-8") from None
    except json.JSONDecodeError as error:
        raise _unreadable(
            f"the body is not JSON: {error.msg} at line {error.lineno}, column {error.colno}"
        ) from None
    except RecursionError:
        raise _unreadable("the body is nested too deeply") from None
    except ValueError:  # an integer of thousands of digits
        raise _unreadable("the body holds a number of too many digits") from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) != len(pairs):
        seen: set[str] = set()
        for key, _ in pairs:
            if key in seen:
                raise _unreadable(f"the key {json.dumps(key)} stands twice in one object")
            seen.add(key)
    return members


def _not_a_number(name: str) -> Any:
    raise _unreadable(f"{name} is not JSON; a number must be finite")


def _unreadable(detail: str) -> UnreadableError:
    return UnreadableError(problem(400, "unreadable-body", detail))
