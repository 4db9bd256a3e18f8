"""What the service knows: its operations, threads and materials, as lists."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from flask import Flask, Response, request

from threadwright_service.api import OPERATIONS
from threadwright_service.api.answer import SERVICE_VERSION, TABLES_VERSION
from threadwright_service.api.listings import LISTINGS, OperationsRequest
from threadwright_service.api.problems import invalid_request
from threadwright_service.app.gate import KEPT_REPLY, REQUEST_ID
from threadwright_service.app.reply import JSON, computed, json_bytes, problem_reply
from threadwright_service.app.views import flask_response
from threadwright_service.schemas.faults import InvalidRequestError
from threadwright_service.settings import Settings


def register(app: Flask, settings: Settings) -> None:
    """Serve ``/v1/`` and the lists below it."""
    app.add_url_rule("/v1/", "operations", _listing_view(settings, _operations))
    for listing in LISTINGS:
        app.add_url_rule(listing.path, listing.path, _listing_view(settings, listing.run))


@cache
def operations() -> dict[str, Any]:
    """Every operation with its address, and the lists."""
    return {
        "operations": [
            {
                "name": operation.name,
                "path": operation.path,
                "summary": operation.summary,
                "methods": ["GET", "POST"],
            }
            for operation in OPERATIONS
        ]
        + [
            {
                "name": "batch",
                "path": "/v1/batch",
                "summary": "Many items of any operation at once",
                "methods": ["POST"],
            }
        ]
        + [
            {
                "name": listing.name,
                "path": listing.path,
                "summary": listing.summary,
                "methods": ["GET"],
            }
            for listing in LISTINGS
        ],
        "openapi": "/openapi.json",
        "docs": "/docs",
        "meta": {"service": SERVICE_VERSION, "tables": TABLES_VERSION},
    }


def _no_keys(
    run: Callable[[], dict[str, Any]],
) -> Callable[[list[tuple[str, str]]], dict[str, Any]]:
    return lambda _: run()


def _operations(pairs: list[tuple[str, str]]) -> dict[str, Any]:
    OperationsRequest.load_text(pairs)
    return operations()


def _listing_view(
    settings: Settings, run: Callable[[list[tuple[str, str]]], dict[str, Any]]
) -> Callable[[], Response]:
    def view() -> Response:
        try:
            found = run(list(request.args.items(multi=True)))
        except InvalidRequestError as error:
            return flask_response(
                problem_reply(invalid_request(error), request.environ[REQUEST_ID])
            )
        reply = computed(
            json_bytes(found),
            JSON,
            max_age_s=settings.max_age_s,
            private=bool(settings.api_keys),
        )
        request.environ[KEPT_REPLY] = reply
        return flask_response(reply)

    return view
