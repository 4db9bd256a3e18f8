"""What log and metrics learn of one request."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIEnvironment

REQUEST_ID: Final = "threadwright.request_id"
KEPT_REPLY: Final = "threadwright.kept_reply"
ROUTE: Final = "threadwright.route"
PROBLEM: Final = "threadwright.problem"
BATCH_ITEMS: Final = "threadwright.batch_items"
"""Names under which what is found on the way of a request stands in its environment."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RequestTold:
    """One request after its answer.

    ``route`` is the template that the path matched, or ``none``; ``problem`` the last part of the
    problem's type, if one was told; ``batch_items`` how many items of a batch went well and failed.
    """

    environ: WSGIEnvironment
    route: str
    method: str
    status: int
    body_bytes: int
    seconds: float
    problem: str | None
    batch_items: tuple[int, int] | None
