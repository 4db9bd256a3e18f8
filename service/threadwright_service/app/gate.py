"""The outermost layer: request ids, keys, kept answers, conditional requests, headers, log.

It stands before Flask because what it does must hold for every answer, whatever made it, and
because an answer that is kept needs nothing of Flask.
"""

from __future__ import annotations

import hmac
import re
import secrets
from collections.abc import Callable, Iterable, Sequence
from time import perf_counter
from typing import TYPE_CHECKING, Any, Final
from urllib.parse import parse_qsl

from werkzeug.http import HTTP_STATUS_CODES

from threadwright_service.api.problems import problem
from threadwright_service.app.kept_answers import KeptAnswers
from threadwright_service.app.plain import PlainRequests
from threadwright_service.app.reply import Reply, problem_line_reply, problem_reply
from threadwright_service.app.requests_told import (
    BATCH_ITEMS,
    KEPT_REPLY,
    PROBLEM,
    REQUEST_ID,
    ROUTE,
    RequestTold,
)
from threadwright_service.settings import Settings

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

_REQUEST_ID: Final = re.compile(r"[A-Za-z0-9._-]{1,64}")
_REASONS: Final = {
    status: f"{status} {reason.upper()}" for status, reason in HTTP_STATUS_CODES.items()
}
_EVERYWHERE: Final = (
    ("Access-Control-Allow-Origin", "*"),
    ("Access-Control-Expose-Headers", "ETag, Retry-After, X-Request-ID"),
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),
    ("Cross-Origin-Resource-Policy", "cross-origin"),
)
_PREFLIGHT: Final = (
    ("Access-Control-Allow-Methods", "GET, HEAD, POST, OPTIONS"),
    (
        "Access-Control-Allow-Headers",
        "Authorization, Content-Type, If-None-Match, X-API-Key, X-Request-ID",
    ),
    ("Access-Control-Max-Age", "86400"),
)
_OPEN: Final = frozenset(
    ("", "job-sheet", "docs", "problems", "openapi.json", "livez", "readyz", "metrics")
)
"""The first part of every path that is served without a key: pages, contract, state."""
_UNKNOWN_KEY: Final = "the key that was sent is not one of this service's; "
Headers = list[tuple[str, str]]


class Gate:
    """WSGI middleware around the application.

    Parameters
    ----------
    application : WSGI application
        What answers when no kept answer does.
    settings : Settings
        Keys, and how many answers are kept.
    routes : iterable of str
        Every route without a variable part, so that an answer that needs no framework has a name.
    observers : sequence of callable
        What is told of each request after its answer: log and metrics.
    """

    def __init__(
        self,
        application: WSGIApplication,
        settings: Settings,
        routes: Iterable[str] = (),
        observers: Sequence[Callable[[RequestTold], None]] = (),
    ) -> None:
        self._application = application
        self._routes = frozenset(routes)
        self._observers = tuple(observers)
        self._keys = tuple(key.encode() for key in settings.api_keys)
        self._key_in_query = settings.key_in_query
        self._kept = KeptAnswers(settings.kept_answers)
        self._plain = PlainRequests(settings)

    def __call__(self, environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        """Answer one request."""
        began = perf_counter() if self._observers else 0.0
        request_id = _request_id(environ.get("HTTP_X_REQUEST_ID"))
        environ[REQUEST_ID] = request_id
        method = environ["REQUEST_METHOD"]
        path = environ["PATH_INFO"]
        if self._keys and method != "OPTIONS" and not _open_to_all(path):
            refusal = self._refusal(environ, request_id)
            if refusal is not None:
                return self._send(environ, start_response, refusal, request_id, began)
        kept_key = None
        if method in ("GET", "HEAD") and path.startswith("/v1/"):
            kept_key = (path, environ.get("QUERY_STRING", ""), environ.get("HTTP_ACCEPT", ""))
            kept = self._kept.get(kept_key)
            if kept is not None:
                return self._send(environ, start_response, kept, request_id, began)
        if kept_key is not None or method == "POST":
            reply = self._plainly(environ, request_id)
            if reply is not None:
                if kept_key is not None and reply.status == 200:
                    self._kept.put(kept_key, reply)
                return self._send(environ, start_response, reply, request_id, began)
        return self._pass_on(environ, start_response, kept_key, began)

    def _plainly(self, environ: WSGIEnvironment, request_id: str) -> Reply | None:
        """The reply to a plain request; ``None`` leaves it to the application."""
        try:
            reply, found = self._plain.reply(environ, request_id)
        except Exception:  # what fails here fails there again, and is logged and told
            return None
        if found is not None:
            environ[PROBLEM] = found.slug
        return reply

    def _pass_on(
        self,
        environ: WSGIEnvironment,
        start_response: StartResponse,
        kept_key: tuple[str, str, str] | None,
        began: float,
    ) -> Iterable[bytes]:
        """Let the application answer; add the headers, keep what may be kept."""
        request_id = environ[REQUEST_ID]
        method = environ["REQUEST_METHOD"]
        started: list[Any] = []

        def start(status: str, headers: Headers, _: Any = None) -> Callable[[bytes], object]:
            started[:] = [status, headers]
            extra: Headers = [("X-Request-ID", request_id), *_EVERYWHERE]
            if method == "OPTIONS":
                extra += _PREFLIGHT
            started.append(extra)
            return lambda data: None  # noqa: ARG005

        body = self._application(environ, start)
        status, headers, extra = started
        reply = environ.get(KEPT_REPLY)
        if reply is not None:
            if kept_key is not None:
                self._kept.put(kept_key, reply)
            _close(body)
            return self._send(environ, start_response, reply, request_id, began)
        start_response(status, headers + extra)
        if self._observers:
            self._tell(environ, int(status[:3]), _length(headers), began)
        return body

    def _send(
        self,
        environ: WSGIEnvironment,
        start_response: StartResponse,
        reply: Reply,
        request_id: str,
        began: float,
    ) -> Iterable[bytes]:
        """Send a reply, or 304 if the caller has it already."""
        status, body = reply.status, reply.body
        headers: Headers = [*reply.headers.items(), ("X-Request-ID", request_id), *_EVERYWHERE]
        # Only of a GET can the caller have the answer already (RFC 9110, 13.1.2).
        wanted = environ.get("HTTP_IF_NONE_MATCH") if _reads(environ) else None
        if wanted is not None and status == 200 and _matches(wanted, reply.headers.get("ETag")):
            status, body = 304, b""
        else:
            headers.append(("Content-Type", reply.content_type))
            headers.append(("Content-Length", str(len(body))))
        start_response(_REASONS[status], headers)
        if environ["REQUEST_METHOD"] == "HEAD":
            body = b""
        if self._observers:
            self._tell(environ, status, len(body), began)
        return (body,)

    def _tell(self, environ: WSGIEnvironment, status: int, body_bytes: int, began: float) -> None:
        """Tell log and metrics what became of a request."""
        path = environ["PATH_INFO"]
        route = environ.get(ROUTE) or (path if path in self._routes else "none")
        told = RequestTold(
            environ=environ,
            route=route,
            method=environ["REQUEST_METHOD"],
            status=status,
            body_bytes=body_bytes,
            seconds=perf_counter() - began,
            problem=environ.get(PROBLEM),
            batch_items=environ.get(BATCH_ITEMS),
        )
        for observer in self._observers:
            observer(told)

    def _refusal(self, environ: WSGIEnvironment, request_id: str) -> Reply | None:
        """The 401 for a request without a valid key; ``None`` if it has one."""
        given = environ.get("HTTP_X_API_KEY", "")
        authorization = environ.get("HTTP_AUTHORIZATION", "")
        if not given and authorization[:7].lower() == "bearer ":
            given = authorization[7:].strip()
        if not given and self._key_in_query:
            pairs = parse_qsl(environ.get("QUERY_STRING", ""))
            keys = [value for name, value in pairs if name == "key"]
            given = keys[0] if len(keys) == 1 else ""
        candidate = given.encode("utf-8", "replace")
        # Every key is compared, in constant time, so that time tells nothing.
        if sum(hmac.compare_digest(candidate, key) for key in self._keys):
            return None
        environ[PROBLEM] = "unauthorised"
        refused = problem(
            401,
            "unauthorised",
            f"{_UNKNOWN_KEY if given else ''}send the key as Authorization: Bearer KEY or "
            "X-API-Key: KEY",
            {"WWW-Authenticate": 'Bearer realm="threadwright"'},
        )
        if ("on_error", "text") in parse_qsl(environ.get("QUERY_STRING", "")):
            return problem_line_reply(refused)
        return problem_reply(refused, request_id)


def _open_to_all(path: str) -> bool:
    """Whether a path needs no key; all others do, however many strokes they begin with."""
    return path.lstrip("/").partition("/")[0] in _OPEN


def _request_id(given: str | None) -> str:
    if given is not None and _REQUEST_ID.fullmatch(given):
        return given
    return secrets.token_hex(8)


def _reads(environ: WSGIEnvironment) -> bool:
    return environ["REQUEST_METHOD"] in ("GET", "HEAD")


def _matches(wanted: str, tag: str | None) -> bool:
    if tag is None:
        return False
    return wanted.strip() == "*" or any(
        part.strip().removeprefix("W/") == tag for part in wanted.split(",")
    )


def _length(headers: Headers) -> int:
    return next((int(value) for name, value in headers if name == "Content-Length"), 0)


def _close(body: Iterable[bytes]) -> None:
    close = getattr(body, "close", None)
    if close is not None:
        close()
