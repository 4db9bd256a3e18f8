"""What a client needs of a way to the service, and how an answer is told from anything else."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final, NamedTuple, Protocol

import requests

from threadwright.chunks import Item
from threadwright.errors import ProblemError, UnexpectedAnswerError, problem_error
from threadwright.settings import shown_address

Timeout = float | tuple[float, float] | None

DEFAULT_TIMEOUT: Final[tuple[float, float]] = (3.05, 30.0)
"""Seconds to connect and to wait for the next bytes of the answer."""


class Received(NamedTuple):
    """One answer: the JSON object, and the request's id."""

    members: Mapping[str, Any]
    request_id: str


Answered = tuple[int, Mapping[str, Any], str]
"""One item of a batch: its status, its members or its problem's, and the request's id."""


class Transport(Protocol):
    """What a client needs of a way to the service."""

    def call(self, operation: str, keys: Mapping[str, Any], timeout: Timeout) -> Received:
        """Call one operation; a problem is raised."""

    def batch(self, items: Sequence[Item], timeout: Timeout) -> Iterator[Answered]:
        """Call many; each item's problem is its answer. In order, and none left out."""

    def document(
        self, path: str, query: Mapping[str, str], keys: Mapping[str, Any] | None, timeout: Timeout
    ) -> requests.Response:
        """Ask for another form of an answer, by POST if there are keys; a problem is raised."""

    def close(self) -> None:
        """Give back what is held."""


def received(response: requests.Response) -> Received:
    """The JSON object of an answer.

    Raises
    ------
    ProblemError
        If it is a problem.
    UnexpectedAnswerError
        If it is not an answer of this service.
    """
    members = _object_of(response)
    request_id = response.headers.get("X-Request-ID", "")
    if members is not None and response.status_code < 300:
        return Received(members, request_id)
    raise refusal(response, members, request_id)


def documented(response: requests.Response) -> requests.Response:
    """An answer in another form than JSON, checked to be this service's.

    Raises
    ------
    ProblemError
        If it is a problem.
    UnexpectedAnswerError
        If it is not an answer of this service, which names every request.
    """
    request_id = response.headers.get("X-Request-ID", "")
    if response.status_code >= 300 or not request_id:
        raise refusal(response, _object_of(response), request_id)
    return response


def json_object(response: requests.Response) -> Mapping[str, Any]:
    """The JSON object of an answer that is not an operation's.

    Raises
    ------
    UnexpectedAnswerError
        If there is none, or it has no ``result``.
    """
    members = received(response).members
    if not isinstance(members.get("result"), Mapping):
        raise refusal(response, None, "")
    return members


def members_of(problem: ProblemError) -> dict[str, Any]:
    """The problem details object that a problem was made from."""
    return {
        "type": f"/problems/{problem.code}",
        "title": problem.title,
        "status": problem.status,
        "detail": problem.detail,
        "errors": [
            {
                "parameter": fault.parameter,
                "code": fault.code,
                "detail": fault.detail,
                "value": fault.value,
                "accepted": fault.accepted,
            }
            for fault in problem.faults
        ],
    }


def _object_of(response: requests.Response) -> dict[str, Any] | None:
    if "json" not in response.headers.get("Content-Type", ""):
        return None
    try:
        members = json.loads(response.content)
    except (ValueError, RecursionError):
        return None
    return members if isinstance(members, dict) else None


def refusal(
    response: requests.Response, members: Mapping[str, Any] | None, request_id: str
) -> ProblemError | UnexpectedAnswerError:
    """The error for an answer that is none: a problem, or something that is not this service's."""
    status = response.status_code
    content_type = response.headers.get("Content-Type", "")
    if members is not None and status >= 400 and ("status" in members or "problem" in content_type):
        return problem_error(members, status=status, request_id=request_id)
    location = response.headers.get("Location", "")
    return UnexpectedAnswerError(
        f"{shown_address(response.url)} answered {status} with {content_type or 'no type'}"
        f"{f' and sent on to {location}' if location else ''}, which is not an answer of this "
        "service: look at the address, and for a proxy or a sign-in page before it",
        status=status,
        content_type=content_type,
    )
