"""The application factory: one route for each operation, and the pages around them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from flask import Flask, Response, request

from threadwright_service.api import OPERATIONS
from threadwright_service.api.operation import Operation
from threadwright_service.app import docs, job_form, listings, service_pages
from threadwright_service.app.errors import register_errors
from threadwright_service.app.gate import Gate
from threadwright_service.app.log import AccessLog, log_as_json
from threadwright_service.app.metrics import Metrics
from threadwright_service.app.representations import BY_SUFFIX, Representation
from threadwright_service.app.requests_told import ROUTE, RequestTold
from threadwright_service.app.views import (
    LIST_SUFFIXES,
    answer_batch,
    answer_operation,
    flask_response,
)
from threadwright_service.settings import Settings

_SUFFIX: Final = "suffix"


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
        _route(app, settings, operation)
    app.add_url_rule("/v1/batch", "batch", _batch_view(settings, None), methods=["POST"])
    for suffix, representation in LIST_SUFFIXES.items():
        path = f"/v1/batch{suffix}"
        app.add_url_rule(path, path, _batch_view(settings, representation), methods=["POST"])
    listings.register(app, settings)
    service_pages.register(app)
    docs.register(app)
    job_form.register(app, settings)
    register_errors(app)
    app.before_request(_note_route)
    app.wsgi_app = Gate(  # type: ignore[method-assign]
        app.wsgi_app,
        settings,
        routes=_routes(app),
        observers=_observers(app, settings),
    )
    return app


def _observers(app: Flask, settings: Settings) -> list[Callable[[RequestTold], None]]:
    """Log and metrics, as far as they are wanted."""
    observers: list[Callable[[RequestTold], None]] = []
    if settings.access_log:
        log_as_json()
        observers.append(AccessLog().write)
    if settings.metrics:
        metrics = Metrics()
        metrics.register(app)
        observers.append(metrics.count)
    return observers


def _routes(app: Flask) -> list[str]:
    """Every route without a variable part, and those of an operation with each suffix."""
    fixed = [rule.rule for rule in app.url_map.iter_rules() if not rule.arguments]
    return fixed + [f"{operation.path}{suffix}" for operation in OPERATIONS for suffix in BY_SUFFIX]


def _note_route() -> None:
    rule = request.url_rule
    if rule is None:
        request.environ[ROUTE] = "none"
    else:
        request.environ[ROUTE] = request.path if _SUFFIX in rule.arguments else rule.rule


def _route(app: Flask, settings: Settings, operation: Operation) -> None:
    """The routes of an operation; one for all suffixes, because making a route takes its time."""

    def view(suffix: str | None = None) -> Response:
        suffixed = None if suffix is None else BY_SUFFIX[suffix]
        return flask_response(answer_operation(operation, request, settings, suffixed))

    with_suffix = f"{operation.path}<any({', '.join(map(repr, BY_SUFFIX))}):{_SUFFIX}>"
    for path in (operation.path, with_suffix):
        app.add_url_rule(path, path, view, methods=["GET", "POST"])


def _batch_view(settings: Settings, suffixed: Representation | None) -> Callable[[], Any]:
    def view() -> Response:
        return flask_response(answer_batch(request, settings, suffixed))

    return view
