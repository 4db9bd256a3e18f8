"""The guide, and the interactive page of the contract: static files, no address outside."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files
from typing import Final

from flask import Flask, Response, request
from werkzeug.exceptions import NotFound

from threadwright_service.api import BY_NAME
from threadwright_service.app.reply import Reply, lasting
from threadwright_service.app.views import kept_response

_HOST: Final = re.compile(r"(?:[A-Za-z0-9.-]{1,253}|\[[0-9A-Fa-f:.]{2,45}\])(?::[0-9]{1,5})?")
_PACKAGE: Final = "threadwright_service.app.pages.viewer"
_TYPES: Final = {
    "start.js": "text/javascript; charset=utf-8",
    "swagger-ui-bundle.js": "text/javascript; charset=utf-8",
    "swagger-ui.css": "text/css; charset=utf-8",
    "house.css": "text/css; charset=utf-8",
    "LICENSE": "text/plain; charset=utf-8",
    "APACHE-2.0.txt": "text/plain; charset=utf-8",
}
# The viewer sets styles on its elements; scripts come from here alone.
_POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data:; connect-src 'self'; font-src 'self'; frame-ancestors 'none'; "
    "base-uri 'none'; form-action 'none'"
)


def register(app: Flask) -> None:
    """Serve ``/docs``, the files that it loads, and the guide, which is also the first page."""
    app.add_url_rule("/", "first-page", guide)
    app.add_url_rule("/docs", "docs", viewer)
    app.add_url_rule("/docs/<name>", "docs-file", document)
    app.add_url_rule("/docs/threads", "known-threads", threads)
    app.add_url_rule("/docs/materials", "known-materials", materials)
    app.add_url_rule("/docs/guide", "guide", guide)
    app.add_url_rule("/docs/guide/first-part", "tutorial", tutorial)
    app.add_url_rule("/docs/guide/<name>", "guide-page", guide_page)


def guide() -> Response:
    """The page that leads to the guides."""
    from threadwright_service.app.pages.guide import guide_reply

    return kept_response(request, guide_reply(_base()))


def guide_page(name: str) -> Response:
    """The guide to one operation."""
    operation = BY_NAME.get(name)
    if operation is None:
        raise NotFound
    from threadwright_service.app.pages.guide import guide_page_reply

    return kept_response(request, guide_page_reply(operation, _base()))


def tutorial() -> Response:
    """One job from the quote to the corrected first part."""
    from threadwright_service.app.pages.tutorial import tutorial_reply

    return kept_response(request, tutorial_reply(_base()))


def threads() -> Response:
    """The threads that are known, to read."""
    from threadwright_service.app.pages.known import threads_reply

    return kept_response(request, threads_reply())


def materials() -> Response:
    """The materials that are known, to read."""
    from threadwright_service.app.pages.known import materials_reply

    return kept_response(request, materials_reply())


def _base() -> str:
    """The service's own address, as the caller reached it."""
    host = request.host if _HOST.fullmatch(request.host) else "127.0.0.1:8000"
    return f"{request.scheme}://{host}"


def viewer() -> Response:
    """The interactive page of the contract, below the head of every page."""
    return kept_response(request, _viewer())


@cache
def _viewer() -> Reply:
    from threadwright_service.app.pages.markup import HEAD, HTML

    page = files(_PACKAGE).joinpath("index.html").read_text(encoding="utf-8")
    body = page.replace("{HEAD}", HEAD).encode("utf-8")
    return lasting(body, HTML, {"Content-Security-Policy": _POLICY})


def document(name: str) -> Response:
    """One file of the viewer."""
    content_type = _TYPES.get(name)
    if content_type is None:
        raise NotFound
    return kept_response(request, _file(name, content_type))


@cache
def _file(name: str, content_type: str) -> Reply:
    return lasting(
        files(_PACKAGE).joinpath(name).read_bytes(),
        content_type,
        {"Content-Security-Policy": _POLICY},
    )
