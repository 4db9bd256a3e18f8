"""Logs for machines: one JSON line a request on standard output, our faults on standard error."""

from __future__ import annotations

import logging
import sys
import traceback
from datetime import UTC, datetime
from typing import Final

import orjson

from threadwright_service.app.requests_told import REQUEST_ID, RequestTold

LOGGER: Final = logging.getLogger("threadwright_service")
_LONGEST: Final = 300
_NOT_TOLD: Final = frozenset(("/livez", "/readyz", "/metrics"))
"""Asked for every few seconds by machines; told only if they fail."""


class AccessLog:
    """Writes a line for each request; holds nothing but the stream."""

    def __init__(self) -> None:
        self._stream = sys.stdout.buffer

    def write(self, told: RequestTold) -> None:
        """Write one line. No value of a query is logged, so that no key can be."""
        if told.route in _NOT_TOLD and told.status < 400:
            return
        environ = told.environ
        line = {
            "time": _now(),
            "level": "info" if told.status < 500 else "error",
            "request_id": environ.get(REQUEST_ID),
            "method": told.method[:20],
            "route": told.route,
            "path": environ["PATH_INFO"][:_LONGEST],
            "status": told.status,
            "milliseconds": round(told.seconds * 1000, 3),
            "bytes": told.body_bytes,
            "user_agent": environ.get("HTTP_USER_AGENT", "")[:_LONGEST],
        }
        if told.problem:
            line["problem"] = told.problem
        if told.batch_items is not None:
            line["items_ok"], line["items_failed"] = told.batch_items
        traceparent = environ.get("HTTP_TRACEPARENT")
        if traceparent:
            line["traceparent"] = traceparent[:_LONGEST]
        self._stream.write(orjson.dumps(line, option=orjson.OPT_APPEND_NEWLINE))
        self._stream.flush()


class JsonLines(logging.Formatter):
    """A log record as one JSON line, with the traceback in it."""

    def format(self, record: logging.LogRecord) -> str:
        """The line."""
        line = {
            "time": _now(),
            "level": record.levelname.lower(),
            "message": record.getMessage(),
        }
        request_id = getattr(record, "request_id", None)
        if request_id:
            line["request_id"] = request_id
        if record.exc_info:
            line["traceback"] = "".join(traceback.format_exception(*record.exc_info))
        return orjson.dumps(line).decode("utf-8")


def log_as_json() -> None:
    """Write what the service itself logs as JSON lines too; doing it again changes nothing."""
    if not any(isinstance(handler.formatter, JsonLines) for handler in LOGGER.handlers):
        handler = logging.StreamHandler()
        handler.setFormatter(JsonLines())
        LOGGER.addHandler(handler)
        LOGGER.propagate = False


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds")
