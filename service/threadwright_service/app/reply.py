"""An HTTP answer before any web framework has touched it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from hashlib import blake2b
from typing import Any, Final

import orjson

from threadwright_service.api.problems import Problem

JSON: Final = "application/json"
PROBLEM_JSON: Final = "application/problem+json"
TEXT: Final = "text/plain; charset=utf-8"
_PAGES_KEPT_S: Final = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """Status, body and headers of one answer."""

    status: int
    body: bytes
    content_type: str
    headers: Mapping[str, str] = field(default_factory=dict)


def json_bytes(value: Any) -> bytes:
    """JSON as it goes out: finite numbers only, UTF-8, on one line."""
    return orjson.dumps(value)


def computed(
    body: bytes,
    content_type: str,
    *,
    max_age_s: int,
    private: bool,
    by_accept: bool = False,
    headers: Mapping[str, str] | None = None,
) -> Reply:
    """The reply of a pure function: it has a strong entity tag and may be kept for a while.

    ``by_accept`` tells caches that another ``Accept`` would have got another form.
    """
    # Python's own hash: one of OpenSSL's would bring 0.8 MiB of that library into memory.
    tag = blake2b(body, digest_size=12, usedforsecurity=False).hexdigest()
    told = {
        "ETag": f'"{tag}"',
        "Cache-Control": f"{'private' if private else 'public'}, max-age={max_age_s}",
    }
    if by_accept:
        told["Vary"] = "Accept"
    if headers:
        told |= headers
    return Reply(status=200, body=body, content_type=content_type, headers=told)


def lasting(body: bytes, content_type: str, headers: Mapping[str, str] | None = None) -> Reply:
    """The reply of a page or file that changes with the service alone; it needs no key."""
    return computed(body, content_type, max_age_s=_PAGES_KEPT_S, private=False, headers=headers)


def problem_reply(problem: Problem, request_id: str) -> Reply:
    """The reply of an error: problem details, never kept."""
    return Reply(
        status=problem.status,
        body=json_bytes(problem.members(request_id)),
        content_type=PROBLEM_JSON,
        headers={"Cache-Control": "no-store", **problem.headers},
    )


def problem_line_reply(problem: Problem) -> Reply:
    """The reply for a cell that shows no error body: 200, one line that is no number."""
    return Reply(
        status=200,
        body=problem.line().encode("ascii"),
        content_type=TEXT,
        headers={"Cache-Control": "no-store", "X-Problem": f"{problem.status} {problem.slug}"},
    )
