"""From an HTTP request to a reply: choose the form, load, compute, write."""

from __future__ import annotations

from typing import Final

from flask import Request, Response

from threadwright_service.api.answer import RefusedError, answer
from threadwright_service.api.batch import BatchTooLargeError, run_batch
from threadwright_service.api.operation import Operation
from threadwright_service.api.problems import Problem, invalid_request, problem, refused
from threadwright_service.app.body import UnreadableError, json_body
from threadwright_service.app.choice import (
    CONTROL_KEYS,
    choose,
    selected,
    selected_rows,
    wants_text_errors,
)
from threadwright_service.app.gate import KEPT_REPLY, REQUEST_ID
from threadwright_service.app.reply import (
    JSON,
    TEXT,
    Reply,
    computed,
    json_bytes,
    problem_line_reply,
    problem_reply,
)
from threadwright_service.app.representations import Representation
from threadwright_service.schemas.faults import Fault, InvalidRequestError
from threadwright_service.settings import Settings

KEY_IN_QUERY: Final = "key"


def answer_operation(
    operation: Operation, request: Request, settings: Settings, suffixed: Representation | None
) -> Reply:
    """Answer one request of an operation, in whatever form it asks for."""
    pairs = list(request.args.items(multi=True))
    if settings.key_in_query:
        pairs = [pair for pair in pairs if pair[0] != KEY_IN_QUERY]
    control = [pair for pair in pairs if pair[0] in CONTROL_KEYS]
    inputs = [pair for pair in pairs if pair[0] not in CONTROL_KEYS]
    try:
        choice = choose(control, suffixed, request.accept_mimetypes)
        if request.method == "POST":
            if inputs:
                raise InvalidRequestError(tuple(_in_query(key, text) for key, text in inputs))
            loaded = operation.request.load_json(json_body(request, settings.body_limit))
        else:
            loaded = operation.request.load_text(inputs)
        answered = answer(operation, loaded)
        if choice.rows is not None:
            body = selected_rows(answered, choice.rows)
            content_type = choice.representation.content_type
        elif choice.fields:
            body, content_type = selected(answered, choice.fields).encode("utf-8"), TEXT
        else:
            representation = choice.representation
            body, content_type = (
                representation.write(operation, answered),
                (representation.content_type),
            )
    except InvalidRequestError as error:
        return _failed(request, invalid_request(error), control)
    except RefusedError as error:
        return _failed(request, refused(error), control)
    except UnreadableError as error:
        return _failed(request, error.problem, control)
    reply = computed(
        body,
        content_type,
        max_age_s=settings.max_age_s,
        private=bool(settings.api_keys),
        by_accept=choice.by_accept,
    )
    if request.method != "POST":
        request.environ[KEPT_REPLY] = reply
    return reply


def answer_batch(request: Request, settings: Settings) -> Reply:
    """Answer a batch."""
    try:
        unknown = [pair for pair in request.args.items(multi=True) if pair[0] != KEY_IN_QUERY]
        if unknown:
            raise InvalidRequestError(tuple(_in_query(key, text) for key, text in unknown))
        answered = run_batch(json_body(request, settings.body_limit), settings.batch_limit)
    except InvalidRequestError as error:
        return _failed(request, invalid_request(error), [])
    except BatchTooLargeError as error:
        return _failed(request, problem(413, "too-large", str(error)), [])
    except UnreadableError as error:
        return _failed(request, error.problem, [])
    return Reply(
        status=200,
        body=json_bytes(answered),
        content_type=JSON,
        headers={"Cache-Control": "no-store"},
    )


def flask_response(reply: Reply) -> Response:
    """The reply as Flask's response."""
    response = Response(reply.body, reply.status, content_type=reply.content_type)
    for name, value in reply.headers.items():
        response.headers[name] = value
    return response


def _failed(request: Request, found: Problem, control: list[tuple[str, str]]) -> Reply:
    if wants_text_errors(control):
        return problem_line_reply(found)
    return problem_reply(found, request.environ.get(REQUEST_ID, ""))


def _in_query(key: str, text: str) -> Fault:
    return Fault(
        parameter=key,
        code="not-in-query",
        detail=f"{key}: the keys of a POST stand in its JSON body",
        value=text,
        accepted=f"in the query only {', '.join(sorted(CONTROL_KEYS))}",
    )
