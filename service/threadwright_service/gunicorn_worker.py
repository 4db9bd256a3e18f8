"""A threaded gunicorn worker: one send for an answer, problem details for what cannot be read.

gunicorn sends head and body of an answer one after the other. A worker that dies between the two
leaves half an answer, which a proxy has begun to pass on and can no longer ask of another replica.
Together they also cost one system call less.

What gunicorn cannot read as a request never comes to the application. It would be answered with a
page of HTML; here it is answered as every other error is.
"""

from __future__ import annotations

import secrets
import socket
from typing import Any, Final

from gunicorn import util  # type: ignore[import-untyped]
from gunicorn.http import errors  # type: ignore[import-untyped]
from gunicorn.workers.gthread import ThreadWorker  # type: ignore[import-untyped]

_NOT_OURS: Final = (
    errors.ConfigurationProblem,
    errors.ExpectationFailed,
    errors.ForbiddenProxyRequest,
    errors.UnsupportedTransferCoding,
)
"""What gunicorn refuses with another status than those below."""


class JoinedSends:
    """A socket that keeps what is sent first and sends it together with what is sent next.

    Any other use of the socket sends what is kept before.
    """

    def __init__(self, inner: socket.socket) -> None:
        self._inner = inner
        self._kept = b""
        self._begun = False

    def sendall(self, data: bytes) -> None:
        """Keep the first piece; send every other."""
        if not self._begun:
            self._begun, self._kept = True, data
            return
        kept, self._kept = self._kept, b""
        self._inner.sendall(kept + data if kept else data)

    def flush(self) -> None:
        """Send what is kept."""
        kept, self._kept = self._kept, b""
        if kept:
            self._inner.sendall(kept)

    def __getattr__(self, name: str) -> Any:
        self.flush()
        return getattr(self._inner, name)


class Worker(ThreadWorker):  # type: ignore[misc]
    """gunicorn's threaded worker, with one send for an answer."""

    def handle_request(self, req: Any, conn: Any) -> Any:
        """Answer one request of a connection."""
        inner = conn.sock
        conn.sock = joined = JoinedSends(inner)
        try:
            keep_alive = super().handle_request(req, conn)
            joined.flush()  # an answer without a body
            return keep_alive
        finally:
            conn.sock = inner

    def handle_error(self, req: Any, client: Any, addr: Any, exc: Exception) -> None:
        """Refuse what cannot be read; whatever else went wrong is told by gunicorn."""
        if not isinstance(exc, errors.ParseException) or isinstance(exc, _NOT_OURS):
            super().handle_error(req, client, addr, exc)
            return
        # What gunicorn says of it may hold the request's first line, and that a key.
        self.log.warning(
            "request from %s cannot be read: %s", (addr or ("",))[0], type(exc).__name__
        )
        try:
            util.write_nonblock(client, unread_answer(exc))
        except OSError:
            self.log.debug("the refusal could not be sent")


def unread_answer(error: Exception) -> bytes:
    """The whole answer to what gunicorn could not read as a request."""
    # The master imports this module and outlives a reload, so it must not hold the service.
    from threadwright_service.api.problems import problem
    from threadwright_service.app.reply import problem_reply

    if isinstance(error, errors.LimitRequestLine):
        status, slug, reason = 414, "address-too-long", "URI Too Long"
        detail = "the first line of the request is too long; send the keys as JSON by POST"
    elif isinstance(error, errors.LimitRequestHeaders):
        status, slug, reason = 431, "headers-too-large", "Request Header Fields Too Large"
        detail = "the headers of the request are too many or too long"
    else:
        status, slug, reason = 400, "unreadable-request", "Bad Request"
        detail = f"this is no HTTP request that can be read: {str(error)[:200]}"
    request_id = secrets.token_hex(8)
    reply = problem_reply(problem(status, slug, detail), request_id)
    headers = {
        "Content-Type": reply.content_type,
        "Content-Length": str(len(reply.body)),
        "Connection": "close",
        "X-Request-ID": request_id,
        "Access-Control-Allow-Origin": "*",
        **reply.headers,
    }
    lines = [f"HTTP/1.1 {status} {reason}", *(f"{name}: {text}" for name, text in headers.items())]
    return "\r\n".join([*lines, "", ""]).encode("latin-1") + reply.body
