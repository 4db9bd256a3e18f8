"""Counts and times for Prometheus, at ``/metrics``: an optional part of the service.

Every label has a value out of a fixed set (routes, methods, statuses, problem types), never one
that a caller sends. With several workers the counts are joined through the folder that
``PROMETHEUS_MULTIPROC_DIR`` names; ``gunicorn_conf.py`` makes one. Without that folder each worker
tells its own counts.
"""

from __future__ import annotations

import os
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

from flask import Flask, Response

from threadwright_service.app.reply import Reply
from threadwright_service.app.requests_told import RequestTold
from threadwright_service.app.views import flask_response

if TYPE_CHECKING:
    from prometheus_client import CollectorRegistry

PATH: Final = "/metrics"
_METHODS: Final = frozenset(("GET", "HEAD", "POST", "OPTIONS"))
_SECONDS: Final = (0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5)


class Metrics:
    """The counters of one process.

    Raises
    ------
    RuntimeError
        If ``prometheus-client`` is not installed (``pip install 'threadwright[metrics]'``).
    """

    def __init__(self) -> None:
        try:
            import prometheus_client
        except ImportError:
            raise RuntimeError(
                "THREADWRIGHT_METRICS=true needs prometheus-client: "
                "pip install 'threadwright[metrics]'"
            ) from None
        self._prometheus = prometheus_client
        self._registry: CollectorRegistry = prometheus_client.CollectorRegistry()
        self._requests = prometheus_client.Counter(
            "threadwright_requests",
            "Requests answered.",
            ("route", "method", "status"),
            registry=self._registry,
        )
        self._seconds = prometheus_client.Histogram(
            "threadwright_request_seconds",
            "Time from a request's first line read to its answer made.",
            ("route",),
            buckets=_SECONDS,
            registry=self._registry,
        )
        self._problems = prometheus_client.Counter(
            "threadwright_problems",
            "Errors told, by the last part of their type.",
            ("slug",),
            registry=self._registry,
        )
        self._items = prometheus_client.Counter(
            "threadwright_batch_items",
            "Items of batches.",
            ("outcome",),
            registry=self._registry,
        )
        self._children = lru_cache(maxsize=4096)(self._find_children)

    def count(self, told: RequestTold) -> None:
        """Count one request."""
        method = told.method if told.method in _METHODS else "other"
        requests, seconds = self._children(told.route, method, told.status)
        requests.inc()
        seconds.observe(told.seconds)
        if told.problem:
            self._problems.labels(told.problem).inc()
        if told.batch_items is not None:
            ok, failed = told.batch_items
            self._items.labels("ok").inc(ok)
            self._items.labels("failed").inc(failed)

    def reply(self) -> Reply:
        """All counts, of all workers if they share a folder."""
        registry = self._registry
        if "PROMETHEUS_MULTIPROC_DIR" in os.environ:
            from prometheus_client import multiprocess

            registry = self._prometheus.CollectorRegistry()
            multiprocess.MultiProcessCollector(registry)  # type: ignore[no-untyped-call]
        return Reply(
            status=200,
            body=self._prometheus.generate_latest(registry),
            content_type=self._prometheus.CONTENT_TYPE_LATEST,
            headers={"Cache-Control": "no-store"},
        )

    def register(self, app: Flask) -> None:
        """Serve ``/metrics``."""

        def view() -> Response:
            return flask_response(self.reply())

        app.add_url_rule(PATH, "metrics", view)

    def _find_children(self, route: str, method: str, status: int) -> tuple[Any, Any]:
        return self._requests.labels(route, method, str(status)), self._seconds.labels(route)
