"""What can go wrong, as exceptions with one root.

::

    ThreadwrightError
    ├─ NoAnswerError                nothing came back
    │  ├─ ConnectionFailedError     refused, reset, name not found; may be repeated
    │  └─ TimedOutError             no answer in time
    ├─ UnexpectedAnswerError        an answer that is not this service's (a proxy's page …)
    ├─ MissingExtraError            an optional package is not installed; says what to install
    │  └─ EmbeddedServiceMissingError  no address was given and the service is not installed
    └─ ProblemError                 the service answered with a problem
       ├─ InvalidInputError         400, 411, 413, 415, 422: the request must be changed
       │  └─ RefusedError           422: each value is allowed, the calculation refuses them
       ├─ UnauthorisedError         401: a key is needed
       ├─ NotFoundError             404, 405: no such address; is the service older than the client?
       ├─ TooManyRequestsError      429, after the retries
       └─ ServiceError              5xx, after the retries
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


class ThreadwrightError(Exception):
    """Root of everything that this package raises on purpose."""


class NoAnswerError(ThreadwrightError):
    """Nothing came back from the service."""


class ConnectionFailedError(NoAnswerError):
    """The connection was refused, reset or never made."""


class TimedOutError(NoAnswerError):
    """There was no answer in time."""


class UnexpectedAnswerError(ThreadwrightError):
    """Something answered, but not as this service does: look at the address.

    ``status`` is the HTTP status and ``content_type`` what it claimed to be.
    """

    def __init__(self, message: str, *, status: int, content_type: str) -> None:
        super().__init__(message)
        self.message = message
        self.status = status
        self.content_type = content_type

    def __reduce__(self) -> tuple[Any, ...]:
        """Keyword-only arguments survive pickling."""
        return (
            _unexpected,
            (type(self), self.message, self.status, self.content_type),
        )


class MissingExtraError(ThreadwrightError):
    """An optional package is not installed; the message says what to install."""


class EmbeddedServiceMissingError(MissingExtraError):
    """No address was given, and the service that would run in this process is not installed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One key to blame: what was given, and what would be accepted."""

    parameter: str
    code: str
    detail: str
    value: Any = None
    accepted: str = ""


class ProblemError(ThreadwrightError):
    """A problem of the service (RFC 9457).

    Attributes
    ----------
    status : int
    code : str
        Last segment of the problem's type; never changes.
    title, detail : str
    faults : tuple of Fault
    request_id : str
        What the people who run the service ask for.
    """

    def __init__(
        self,
        *,
        status: int,
        code: str,
        title: str,
        detail: str,
        faults: tuple[Fault, ...] = (),
        request_id: str = "",
    ) -> None:
        self.status = status
        self.code = code
        self.title = title
        self.detail = detail
        self.faults = faults
        self.request_id = request_id
        super().__init__(self._text())

    def told(self) -> str:
        """The problem on one line, with what would be accepted."""
        return "; ".join([self.detail, *self._accepted()])

    def _text(self) -> str:
        lines = [f"{self.status} {self.code}: {self.detail}"]
        if len(self.faults) > 1:
            lines += [f"  - {fault.detail}" for fault in self.faults]
        lines += [f"  {line}" for line in self._accepted()]
        if self.request_id:
            lines.append(f"  request {self.request_id}")
        return "\n".join(lines)

    def _accepted(self) -> list[str]:
        """What would be accepted, once for all keys that it holds for."""
        keys: dict[str, list[str]] = {}
        for fault in self.faults:
            if fault.accepted:
                keys.setdefault(fault.accepted, []).append(fault.parameter or "the request")
        return [f"accepted for {', '.join(names)}: {what}" for what, names in keys.items()]

    def __reduce__(self) -> tuple[Any, ...]:
        """Keyword-only arguments survive pickling, so that process pools can raise it."""
        members = {name: getattr(self, name) for name in _MEMBERS}
        return (_again, (type(self), members))


_MEMBERS = ("status", "code", "title", "detail", "faults", "request_id")


class InvalidInputError(ProblemError):
    """The request must be changed; ``faults`` says how."""


class RefusedError(InvalidInputError):
    """The calculation refuses: unknown, ambiguous, not tabulated, out of range or infeasible."""


class UnauthorisedError(ProblemError):
    """A key is needed."""


class NotFoundError(ProblemError):
    """The service has nothing at this address."""


class TooManyRequestsError(ProblemError):
    """The service, or a proxy before it, asks to wait."""


class ServiceError(ProblemError):
    """The service has failed or is not ready."""


_REFUSALS = frozenset(
    (
        "unknown-designation",
        "ambiguous",
        "missing-input",
        "not-tabulated",
        "out-of-range",
        "infeasible",
    )
)


def problem_error(members: Mapping[str, Any], *, status: int, request_id: str = "") -> ProblemError:
    """The exception for a problem details object.

    A code that this client does not know is still the exception of its status.
    """
    code = str(members.get("type", "about:blank")).rsplit("/", 1)[-1]
    kind: type[ProblemError]
    if status == 401:
        kind = UnauthorisedError
    elif status in (404, 405):
        kind = NotFoundError
    elif status == 429:
        kind = TooManyRequestsError
    elif status >= 500:
        kind = ServiceError
    else:
        kind = RefusedError if code in _REFUSALS else InvalidInputError
    return kind(
        status=status,
        code=code,
        title=str(members.get("title", "")),
        detail=str(members.get("detail", "")),
        faults=tuple(
            Fault(
                parameter=str(fault.get("parameter", "")),
                code=str(fault.get("code", "")),
                detail=str(fault.get("detail", "")),
                value=fault.get("value"),
                accepted=str(fault.get("accepted", "")),
            )
            for fault in members.get("errors", ())
            if isinstance(fault, Mapping)
        ),
        request_id=request_id or str(members.get("request_id", "")),
    )


def _unexpected(
    kind: type[UnexpectedAnswerError], message: str, status: int, content_type: str
) -> UnexpectedAnswerError:
    return kind(message, status=status, content_type=content_type)


def _again(kind: type[ProblemError], members: dict[str, Any]) -> ProblemError:
    return kind(**members)
