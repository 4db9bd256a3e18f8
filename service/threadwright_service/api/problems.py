"""Every error as RFC 9457 problem details, without any HTTP library.

A refusal of a calculation has its own type, ``/problems/<code>``; what is wrong with the request
itself is ``/problems/invalid-request``; the rest follows the HTTP status.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from threadwright_service.api.answer import RefusedError
from threadwright_service.calc.errors import REFUSALS
from threadwright_service.schemas.faults import Fault, InvalidRequestError

_LONGEST_ACCEPTED: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One error, ready to be written in any form.

    ``slug`` is the last segment of the problem type; ``headers`` go with the HTTP answer.
    """

    status: int
    slug: str
    title: str
    detail: str
    faults: tuple[Fault, ...] = ()
    headers: Mapping[str, str] = field(default_factory=dict)

    def members(self, request_id: str = "") -> dict[str, Any]:
        """The problem details object."""
        told: dict[str, Any] = {
            "type": f"/problems/{self.slug}",
            "title": self.title,
            "status": self.status,
            "detail": self.detail,
        }
        if request_id:
            told["instance"] = f"urn:request:{request_id}"
            told["request_id"] = request_id
        if self.faults:
            told["errors"] = [told_fault(fault) for fault in self.faults]
        return told

    def line(self) -> str:
        """The problem on one ASCII line, for cells that show no error body.

        The first fault with what would be accepted, unless its sentence says so, and the keys of
        the others.
        """
        faults: Sequence[Fault] = self.faults[:1]
        parameter = f" {faults[0].parameter}" if faults and faults[0].parameter else ""
        detail = faults[0].detail if faults else self.detail
        detail = detail.removeprefix(f"{faults[0].parameter}: ") if parameter else detail
        text = f"#ERR {self.status} {self.slug}{parameter}: {detail}"
        accepted = faults[0].accepted if faults else ""
        if accepted and accepted not in detail:
            text = f"{text}; accepted: {_cut(accepted)}"
        others = ", ".join(
            dict.fromkeys(each.parameter for each in self.faults[1:] if each.parameter)
        )
        text = f"{text}; also wrong: {others}" if others else text
        return " ".join(text.encode("ascii", "replace").decode().split())


def _cut(text: str) -> str:
    """What is accepted, as much of it as a cell can show."""
    if len(text) <= _LONGEST_ACCEPTED:
        return text
    return f"{text[:_LONGEST_ACCEPTED].rpartition(' ')[0]} ..."


def told_fault(fault: Fault) -> dict[str, Any]:
    """One fault on the wire."""
    return {
        "parameter": fault.parameter,
        "code": fault.code,
        "detail": fault.detail,
        "value": _safe(fault.value),
        "accepted": fault.accepted,
    }


def invalid_request(error: InvalidRequestError) -> Problem:
    """The problem of a request that does not match its schema."""
    count = len(error.faults)
    first = error.faults[0].detail
    return Problem(
        status=422,
        slug="invalid-request",
        title=TITLES["invalid-request"],
        detail=first if count == 1 else f"{count} values are wrong; the first: {first}",
        faults=error.faults,
    )


def refused(error: RefusedError) -> Problem:
    """The problem of a calculation that refuses."""
    return Problem(
        status=422,
        slug=error.refusal.code,
        title=error.refusal.title,
        detail=error.detail,
        faults=(error.fault,),
    )


TITLES: Final[Mapping[str, str]] = {
    "invalid-request": "The request does not match what the operation takes",
    "unreadable-body": "The body cannot be read",
    "unreadable-request": "The request cannot be read",
    "unauthorised": "A key is needed",
    "not-found": "There is nothing at this address",
    "method-not-allowed": "The method is not served at this address",
    "length-required": "The body's length is not stated",
    "too-large": "The body or the batch is too large",
    "address-too-long": "The address is too long",
    "headers-too-large": "The headers are too large",
    "unsupported-media-type": "The body's type is not served",
    "too-many-requests": "Too many requests",
    "internal-error": "The service has failed; this is our fault",
    "unavailable": "The service is not ready",
    **{refusal.code: refusal.title for refusal in REFUSALS},
}
"""Every problem type by its slug; each has a page at ``/problems/<slug>``."""


def problem(
    status: int, slug: str, detail: str, headers: Mapping[str, str] | None = None
) -> Problem:
    """A problem that blames no key."""
    return Problem(
        status=status, slug=slug, title=TITLES[slug], detail=detail, headers=headers or {}
    )


def _safe(value: Any) -> Any:
    """A caller's value as it may stand in JSON: short, finite, shallow."""
    if value is None or isinstance(value, (bool, int)):
        return value if not isinstance(value, int) or abs(value) < 2**53 else str(value)[:100]
    if isinstance(value, float):
        return value if -1e300 < value < 1e300 else str(value)
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, default=str)
    # A lone surrogate is not text that UTF-8 can carry.
    return text[:100].encode("utf-8", "replace").decode()
