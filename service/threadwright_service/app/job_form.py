"""The form of a job in a browser, and the way of its fields to the job sheet without a script."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final
from urllib.parse import parse_qsl, urlencode

from flask import Flask, Response, request
from werkzeug.exceptions import (
    BadRequest,
    LengthRequired,
    RequestEntityTooLarge,
    UnsupportedMediaType,
)

from threadwright_service.api import BY_NAME
from threadwright_service.api.answer import RefusedError, answer
from threadwright_service.app.pages.job_form.address import FORM, WRONG, job_pairs
from threadwright_service.app.reply import TEXT, Reply, lasting
from threadwright_service.app.views import Pairs, flask_response, kept_response
from threadwright_service.schemas.faults import Fault, InvalidRequestError
from threadwright_service.schemas.quantities import Unit
from threadwright_service.settings import Settings

JOB: Final = BY_NAME["job-sheet"]
_FORM_TYPE: Final = "application/x-www-form-urlencoded"
_MOST_FIELDS: Final = 500
_LONGEST_BODY: Final = 64_000
"""The address of a sheet holds a fraction of this."""


def register(app: Flask, settings: Settings) -> None:
    """Serve the form."""
    app.add_url_rule(FORM, "job-form", _form_view(settings))
    app.add_url_rule(FORM, "job-form-sent", sent, methods=["POST"])


def _form_view(settings: Settings) -> Callable[[], Response]:
    def view() -> Response:
        from threadwright_service.app.pages.job_form.page import Job, form_page, form_style
        from threadwright_service.app.pages.markup import HTML

        pairs = list(request.args.items(multi=True))
        wrong = [key for name, told in pairs if name == WRONG for key in told.split(",") if key]
        given = job_pairs(pairs)
        job = Job(
            texts={key: text for key, text in given if key in JOB.request.wire_fields()},
            faults=_faults(given, wrong, computes=not settings.api_keys),
        )
        asks_key = bool(settings.api_keys) and settings.key_in_query
        page = form_page(JOB, job, asks_key=asks_key)
        return kept_response(request, lasting(page, HTML, form_style().headers))

    return view


def _faults(given: Pairs, wrong: Iterable[str], *, computes: bool) -> tuple[Fault, ...]:
    """What is wrong: all of it where keys are to be marked, else only keys that nothing has.

    Where the service wants a key, nothing is computed for a page that needs none: a key to be
    marked that its schema takes then has no sentence but what its field accepts.
    """
    known = JOB.request.wire_fields()
    marked = dict.fromkeys(key for key in wrong if key in known)
    found = _found(given, computes=computes and bool(marked))
    if not marked:
        return tuple(fault for fault in found if fault.code in ("unknown", "repeated"))
    if computes:
        return found
    told = {fault.parameter.split(".")[0] for fault in found}
    unit: Unit = "in" if dict(given).get("unit") in ("in", "inch") else "mm"
    return found + tuple(
        Fault(
            parameter=key,
            code="refused",
            detail=f"{key} was refused",
            accepted=known[key].accepted(unit),
        )
        for key in marked
        if key not in told
    )


def _found(given: Pairs, *, computes: bool) -> tuple[Fault, ...]:
    try:
        loaded = JOB.request.load_text(given)
        if computes:
            answer(JOB, loaded)
    except InvalidRequestError as error:
        return error.faults
    except RefusedError as error:
        return (error.fault,)
    return ()


def sent() -> Response:
    """Where a form is sent without a script: on to the sheet, without the empty fields.

    Only browsers come here, and they follow; nothing below ``/v1`` ever sends on.
    """
    if request.mimetype != _FORM_TYPE:
        raise UnsupportedMediaType(f"this address takes the fields of its form, as {_FORM_TYPE}")
    if request.content_length is None:
        raise LengthRequired("state the body's length with Content-Length")
    if request.content_length > _LONGEST_BODY:
        raise RequestEntityTooLarge(f"the fields of the form take more than {_LONGEST_BODY} bytes")
    try:
        pairs = parse_qsl(
            request.get_data(cache=False).decode("utf-8"),
            keep_blank_values=True,
            errors="strict",
            max_num_fields=_MOST_FIELDS,
        )
    except ValueError:
        raise BadRequest("the body is not the fields of a form in UTF-8") from None
    written = [(key, text.strip()) for key, text in pairs]
    asked = urlencode([(key, text) for key, text in written if text])
    reply = Reply(
        status=303,
        body=b"",
        content_type=TEXT,
        headers={"Location": f"{JOB.path}?{asked}", "Cache-Control": "no-store"},
    )
    return flask_response(reply)
