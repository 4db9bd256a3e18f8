"""What an operator asks for: is it alive, is it ready, what is its contract."""

from __future__ import annotations

from functools import cache
from typing import Final

from flask import Flask, Response, request
from werkzeug.exceptions import NotFound

from threadwright_service.api import OPERATIONS
from threadwright_service.api.answer import SERVICE_VERSION, TABLES_VERSION, answer
from threadwright_service.api.listings import LISTINGS
from threadwright_service.app.reply import JSON, Reply, json_bytes, lasting
from threadwright_service.app.views import flask_response, kept_response

_NO_STORE: Final = {"Cache-Control": "no-store"}


def register(app: Flask) -> None:
    """Serve ``/livez``, ``/readyz``, ``/openapi.json`` and ``/problems/<slug>``."""
    app.add_url_rule("/livez", "livez", livez)
    app.add_url_rule("/readyz", "readyz", readyz)
    app.add_url_rule("/openapi.json", "openapi", openapi)
    app.add_url_rule("/problems/<slug>", "problems", problem_help)


def livez() -> Response:
    """The process answers."""
    return _fresh({"status": "alive", "service": SERVICE_VERSION})


def readyz() -> Response:
    """Every operation has answered its first example and every list, so every table is read."""
    _exercised()
    return _fresh({"status": "ready", "service": SERVICE_VERSION, "tables": TABLES_VERSION})


def problem_help(slug: str) -> Response:
    """What a type of problem means and what helps."""
    from threadwright_service.app.pages.problem_help import problem_help_reply

    reply = problem_help_reply(slug)
    if reply is None:
        raise NotFound
    return kept_response(request, reply)


def openapi() -> Response:
    """The contract."""
    return kept_response(request, _contract())


@cache
def _exercised() -> None:
    for operation in OPERATIONS:
        answer(operation, operation.request.load_json(dict(operation.examples[0].request)))
    for listing in LISTINGS:
        listing.run(())


@cache
def _contract() -> Reply:
    from threadwright_service.app.openapi import openapi_document

    return lasting(json_bytes(openapi_document()), JSON)


def _fresh(members: dict[str, str]) -> Response:
    return flask_response(
        Reply(status=200, body=json_bytes(members), content_type=JSON, headers=_NO_STORE)
    )
