"""The interactive page of the contract, at ``/docs``: static files, no address outside."""

from __future__ import annotations

from importlib.resources import files
from typing import Final

from flask import Flask, Response
from werkzeug.exceptions import NotFound

from threadwright_service.app.reply import Reply
from threadwright_service.app.views import flask_response

_PACKAGE: Final = "threadwright_service.app.pages.viewer"
_TYPES: Final = {
    "index.html": "text/html; charset=utf-8",
    "start.js": "text/javascript; charset=utf-8",
    "swagger-ui-bundle.js": "text/javascript; charset=utf-8",
    "swagger-ui.css": "text/css; charset=utf-8",
    "LICENSE": "text/plain; charset=utf-8",
}
# The viewer sets styles on its elements; scripts come from here alone.
_POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data:; connect-src 'self'; font-src 'self'; frame-ancestors 'none'; "
    "base-uri 'none'; form-action 'none'"
)


def register(app: Flask) -> None:
    """Serve ``/docs`` and the files that it loads."""
    app.add_url_rule("/docs", "docs", lambda: document("index.html"))
    app.add_url_rule("/docs/<name>", "docs-file", document)


def document(name: str) -> Response:
    """One file of the viewer."""
    content_type = _TYPES.get(name)
    if content_type is None:
        raise NotFound
    return flask_response(
        Reply(
            status=200,
            body=files(_PACKAGE).joinpath(name).read_bytes(),
            content_type=content_type,
            headers={"Cache-Control": "public, max-age=300", "Content-Security-Policy": _POLICY},
        )
    )
