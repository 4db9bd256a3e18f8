"""The access log: one JSON line a request, on standard output."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Final

import orjson

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIEnvironment

_LONGEST: Final = 300


class AccessLog:
    """Writes the lines; holds nothing but the stream."""

    def __init__(self) -> None:
        self._stream = sys.stdout.buffer

    def write(self, environ: WSGIEnvironment, status: int, body_bytes: int, seconds: float) -> None:
        """Write one line. No value of a query is logged, so that no key can be."""
        line = {
            "time": datetime.now(UTC).isoformat(timespec="milliseconds"),
            "level": "info" if status < 500 else "error",
            "request_id": environ.get("threadwright.request_id"),
            "method": environ["REQUEST_METHOD"],
            "path": environ["PATH_INFO"][:_LONGEST],
            "status": status,
            "milliseconds": round(seconds * 1000, 3),
            "bytes": body_bytes,
            "user_agent": environ.get("HTTP_USER_AGENT", "")[:_LONGEST],
        }
        traceparent = environ.get("HTTP_TRACEPARENT")
        if traceparent:
            line["traceparent"] = traceparent[:_LONGEST]
        self._stream.write(orjson.dumps(line, option=orjson.OPT_APPEND_NEWLINE))
        self._stream.flush()
