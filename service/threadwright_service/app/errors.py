"""Every error of the web framework as problem details; no HTML, no traceback, no 500 unlogged."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Final

from flask import Flask, Response, request
from werkzeug.exceptions import HTTPException

from threadwright_service.api import BY_NAME
from threadwright_service.api.listings import LISTINGS
from threadwright_service.api.problems import TITLES, Problem, problem
from threadwright_service.app.choice import wants_page, wants_text_errors
from threadwright_service.app.log import LOGGER
from threadwright_service.app.requests_told import REQUEST_ID
from threadwright_service.app.views import flask_response, told_problem

_LONGEST_NAME: Final = 40
_SLUGS: Final = {
    400: "unreadable-body",
    404: "not-found",
    405: "method-not-allowed",
    411: "length-required",
    413: "too-large",
    415: "unsupported-media-type",
    429: "too-many-requests",
    503: "unavailable",
}


def register_errors(app: Flask) -> None:
    """Answer every error in one shape."""
    app.register_error_handler(HTTPException, _http_error)
    app.register_error_handler(Exception, _our_fault)


def _http_error(error: HTTPException) -> Response:
    status = error.code or 500
    slug = _SLUGS.get(status, "internal-error" if status >= 500 else "unreadable-body")
    headers = {
        name: value
        for name, value in error.get_headers(request.environ)
        if name.lower() in ("allow", "retry-after", "www-authenticate")
    }
    return _told(
        Problem(
            status=status,
            slug=slug,
            title=TITLES[slug],
            detail=_detail(status, error),
            headers=headers,
        )
    )


def _our_fault(error: Exception) -> Response:
    request_id = request.environ.get(REQUEST_ID, "")
    LOGGER.error("request %s failed", request_id, exc_info=error, extra={"request_id": request_id})
    return _told(
        problem(500, "internal-error", f"the service has failed; tell us request {request_id}")
    )


def _told(found: Problem) -> Response:
    pairs = list(request.args.items(multi=True))
    as_text = wants_text_errors(pairs)
    as_page = not as_text and wants_page(pairs, None, request.accept_mimetypes)
    return flask_response(told_problem(found, request, as_text=as_text, as_page=as_page))


def _detail(status: int, error: HTTPException) -> str:
    if status == 404:
        hint = _near_address(request.path)
        return f"there is nothing at this address{hint}; GET /v1/ lists the operations"
    if status == 405:
        methods = ", ".join(sorted(getattr(error, "valid_methods", None) or ()))
        return f"this address takes {methods}"
    return error.description or TITLES["unreadable-body"]


def _near_address(path: str) -> str:
    """The operation or list that an address may mean, by its last part without a suffix."""
    asked = path.rstrip("/").rpartition("/")[2].partition(".")[0]
    plain = asked[:_LONGEST_NAME].lower().replace("_", "-")
    known = (*BY_NAME, *(listing.name for listing in LISTINGS), "batch")
    near = get_close_matches(plain, known, n=1, cutoff=0.8)
    return f" (did you mean /v1/{near[0]}?)" if near else ""
