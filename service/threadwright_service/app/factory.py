"""The application factory: one route for each operation, and the pages around them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Flask, Response, request

from threadwright_service.api import OPERATIONS
from threadwright_service.api.operation import Operation
from threadwright_service.app import docs, listings, service_pages
from threadwright_service.app.errors import register_errors
from threadwright_service.app.gate import Gate
from threadwright_service.app.representations import BY_SUFFIX, Representation
from threadwright_service.app.views import (
    BATCH_SUFFIXES,
    answer_batch,
    answer_operation,
    flask_response,
)
from threadwright_service.settings import Settings


def create_app(settings: Settings | None = None) -> Flask:
    """Make the WSGI application.

    Parameters
    ----------
    settings : Settings, optional
        Read from the environment if not given.

    Returns
    -------
    Flask
        The application; it holds no state but a bounded store of answers.
    """
    settings = Settings.from_environment() if settings is None else settings
    app = Flask("threadwright_service", static_folder=None)
    app.config["THREADWRIGHT"] = settings
    app.json.sort_keys = False  # type: ignore[attr-defined]
    # No redirects: spreadsheet programs do not follow the one that Flask would send.
    app.url_map.strict_slashes = False
    app.url_map.merge_slashes = False
    for operation in OPERATIONS:
        _route(app, settings, operation, operation.path, None)
        for suffix, representation in BY_SUFFIX.items():
            _route(app, settings, operation, f"{operation.path}{suffix}", representation)
    app.add_url_rule("/v1/batch", "batch", _batch_view(settings, None), methods=["POST"])
    for suffix, representation in BATCH_SUFFIXES.items():
        path = f"/v1/batch{suffix}"
        app.add_url_rule(path, path, _batch_view(settings, representation), methods=["POST"])
    listings.register(app, settings)
    service_pages.register(app)
    docs.register(app)
    register_errors(app)
    app.wsgi_app = Gate(app.wsgi_app, settings)  # type: ignore[method-assign]
    return app


def _route(
    app: Flask,
    settings: Settings,
    operation: Operation,
    path: str,
    suffixed: Representation | None,
) -> None:
    def view() -> Response:
        return flask_response(answer_operation(operation, request, settings, suffixed))

    app.add_url_rule(path, path, view, methods=["GET", "POST"])


def _batch_view(settings: Settings, suffixed: Representation | None) -> Callable[[], Any]:
    def view() -> Response:
        return flask_response(answer_batch(request, settings, suffixed))

    return view
