"""A threaded gunicorn worker that sends an answer's head and body together.

gunicorn sends them one after the other. A worker that dies between the two leaves half an answer,
which a proxy has begun to pass on and can no longer ask of another replica. Together they also cost
one system call less.
"""

from __future__ import annotations

import socket
from typing import Any

from gunicorn.workers.gthread import ThreadWorker  # type: ignore[import-untyped]


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
