"""From an HTTP request to a reply: choose the form, load, compute, write."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from flask import Request, Response

from threadwright_service.api.answer import RefusedError, answer
from threadwright_service.api.batch import BatchTooLargeError, answers
from threadwright_service.api.operation import Operation
from threadwright_service.api.problems import Problem, invalid_request, problem, refused
from threadwright_service.app.body import UnreadableError, json_body
from threadwright_service.app.choice import (
    CONTROL_KEYS,
    Choice,
    choose,
    selected,
    selected_rows,
    wants_page,
    wants_text_errors,
)
from threadwright_service.app.reply import (
    TEXT,
    Reply,
    computed,
    problem_line_reply,
    problem_reply,
)
from threadwright_service.app.representations import BY_FORMAT, Representation
from threadwright_service.app.requests_told import BATCH_ITEMS, KEPT_REPLY, PROBLEM, REQUEST_ID
from threadwright_service.app.written_batch import batch_csv, batch_json
from threadwright_service.schemas.faults import Fault, InvalidRequestError
from threadwright_service.settings import Settings

KEY_IN_QUERY: Final = "key"
_LIST_FORMS: Final = ("json", "csv")

Pairs = list[tuple[str, str]]


def answer_operation(
    operation: Operation, request: Request, settings: Settings, suffixed: Representation | None
) -> Reply:
    """Answer one request of an operation, in whatever form it asks for."""
    control, inputs = split_keys(request, settings)
    try:
        choice = choose(control, suffixed, request.accept_mimetypes)
        if request.method == "POST":
            _no_inputs(inputs)
            loaded = operation.request.load_json(json_body(request, settings.body_limit))
        else:
            loaded = operation.request.load_text(inputs)
        body, content_type, headers = written(operation, answer(operation, loaded), choice)
    except InvalidRequestError as error:
        return failed(request, invalid_request(error), control, suffixed)
    except RefusedError as error:
        return failed(request, refused(error), control, suffixed)
    except UnreadableError as error:
        return failed(request, error.problem, control, suffixed)
    reply = computed(
        body,
        content_type,
        max_age_s=settings.max_age_s,
        private=bool(settings.api_keys),
        by_accept=choice.by_accept,
        headers=headers,
    )
    if request.method != "POST":
        request.environ[KEPT_REPLY] = reply
    return reply


def answer_batch(
    request: Request, settings: Settings, suffixed: Representation | None = None
) -> Reply:
    """Answer a batch, as JSON or as CSV."""
    control, inputs = split_keys(request, settings)
    try:
        choice = choose(control, suffixed, request.accept_mimetypes)
        _no_inputs(inputs)
        form = list_form(choice, control)
        if choice.rows is not None:
            raise InvalidRequestError((_no_rows(choice.rows),))
        items = answers(json_body(request, settings.body_limit), settings.batch_limit)
        batch = batch_csv(items, choice.options) if form.name == "csv" else batch_json(items)
    except InvalidRequestError as error:
        return failed(request, invalid_request(error), control, suffixed)
    except BatchTooLargeError as error:
        return failed(request, problem(413, "too-large", str(error)), control, suffixed)
    except UnreadableError as error:
        return failed(request, error.problem, control, suffixed)
    request.environ[BATCH_ITEMS] = (batch.ok, batch.failed)
    return Reply(
        status=200,
        body=batch.body,
        content_type=form.content_type,
        headers={"Cache-Control": "no-store"},
    )


def flask_response(reply: Reply) -> Response:
    """The reply as Flask's response."""
    response = Response(reply.body, reply.status, content_type=reply.content_type)
    for name, value in reply.headers.items():
        response.headers[name] = value
    return response


def kept_response(request: Request, reply: Reply) -> Response:
    """The reply as Flask's response, known to the gate, which answers 304 who has it already."""
    request.environ[KEPT_REPLY] = reply
    return flask_response(reply)


def told_problem(found: Problem, request: Request, *, as_text: bool, as_page: bool) -> Reply:
    """The reply of a problem, in the form that fits the request."""
    request.environ[PROBLEM] = found.slug
    if as_text:
        return problem_line_reply(found)
    request_id = request.environ.get(REQUEST_ID, "")
    if as_page:
        from threadwright_service.app.pages.job_form.address import change_address
        from threadwright_service.app.pages.problem_page import problem_page_reply

        change = change_address(request, (fault.parameter for fault in found.faults))
        return problem_page_reply(found, request_id, change)
    return problem_reply(found, request_id)


def split_keys(request: Request, settings: Settings) -> tuple[Pairs, Pairs]:
    """The keys that choose the form, and those of the operation."""
    pairs = list(request.args.items(multi=True))
    if settings.key_in_query:
        pairs = [pair for pair in pairs if pair[0] != KEY_IN_QUERY]
    return (
        [pair for pair in pairs if pair[0] in CONTROL_KEYS],
        [pair for pair in pairs if pair[0] not in CONTROL_KEYS],
    )


def _no_inputs(inputs: Pairs) -> None:
    if inputs:
        raise InvalidRequestError(
            tuple(
                Fault(
                    parameter=key,
                    code="not-in-query",
                    detail=f"{key}: the keys of a POST stand in its JSON body",
                    value=text,
                    accepted=f"in the query only {', '.join(sorted(CONTROL_KEYS))}",
                )
                for key, text in inputs
            )
        )


def _no_rows(path: str) -> Fault:
    return Fault(
        parameter="rows",
        code="wrong-form",
        detail="rows: a batch tells the rows of every item",
        value=path,
        accepted="format=csv alone",
    )


def list_form(choice: Choice, control: Pairs) -> Representation:
    """The form of a batch or list: JSON or CSV.

    An ``Accept`` that wants another gets JSON; a key that wants one is refused.
    """
    asked = dict(control)
    wrong: list[str] = [key for key in ("field", "picture") if key in asked]
    if "format" in asked and choice.representation.name not in _LIST_FORMS:
        wrong.append("format")
    if wrong:
        raise InvalidRequestError(
            tuple(
                Fault(
                    parameter=key,
                    code="wrong-form",
                    detail=f"{key}: a batch or list is answered as JSON or CSV",
                    value=asked[key],
                    accepted=f"format={' or format='.join(_LIST_FORMS)}",
                )
                for key in wrong
            )
        )
    name = choice.representation.name
    return choice.representation if name in _LIST_FORMS else BY_FORMAT["json"]


def written(
    operation: Operation, answered: Mapping[str, Any], choice: Choice
) -> tuple[bytes, str, Mapping[str, str]]:
    """Body, type and further headers of an answer in the form that was chosen."""
    form = choice.representation
    if choice.rows is not None:
        return selected_rows(answered, choice.rows, choice.options), form.content_type, {}
    if choice.fields:
        return selected(answered, choice.fields, choice.options).encode("utf-8"), TEXT, {}
    return (
        form.write(operation, answered, choice.options),
        form.content_type,
        form.headers(operation),
    )


def failed(
    request: Request, found: Problem, control: Pairs, suffixed: Representation | None
) -> Reply:
    """The reply of a problem, in the form that the request asked for as far as it can be told."""
    as_text = wants_text_errors(control)
    return told_problem(
        found,
        request,
        as_text=as_text,
        as_page=not as_text and wants_page(control, suffixed, request.accept_mimetypes),
    )


LIST_SUFFIXES: Final = {BY_FORMAT[form].suffix: BY_FORMAT[form] for form in _LIST_FORMS}
