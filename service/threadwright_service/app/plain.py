"""The plainest requests, answered without the web framework.

Most calls are a GET or POST of an operation that wants JSON or names another form. Reading those
few lines of a request costs a fraction of what a framework spends on any request. Whatever is not
as plain as that is left alone, body included, for the framework to answer; both ways use the same
loader, the same calculation and the same writer, and give the same bytes.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any, Final
from urllib.parse import unquote_plus

from werkzeug.datastructures import MIMEAccept

from threadwright_service.api import OPERATIONS
from threadwright_service.api.answer import RefusedError, answer
from threadwright_service.api.operation import Operation
from threadwright_service.api.problems import Problem, invalid_request, refused
from threadwright_service.app.body import parsed
from threadwright_service.app.choice import CONTROL_KEYS, Choice, choose
from threadwright_service.app.reply import (
    JSON,
    Reply,
    computed,
    problem_line_reply,
    problem_reply,
)
from threadwright_service.app.representations import BY_FORMAT, BY_SUFFIX, Representation
from threadwright_service.app.views import Pairs, written
from threadwright_service.schemas.base import Loaded
from threadwright_service.schemas.faults import InvalidRequestError
from threadwright_service.settings import Settings

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIEnvironment

_BY_PATH: Final[dict[str, tuple[Operation | None, Representation | None]]] = {
    **{operation.path: (operation, None) for operation in OPERATIONS},
    **{
        f"{operation.path}{suffix}": (operation, representation)
        for operation in OPERATIONS
        for suffix, representation in BY_SUFFIX.items()
    },
}
_NO_ACCEPT: Final = MIMEAccept()
_AS_JSON: Final = Choice(representation=BY_FORMAT["json"], by_accept=True)
_JSON_ACCEPTED: Final = frozenset((None, "", "*/*", "application/json"))
_JSON_BODIES: Final = frozenset((JSON, "application/json; charset=utf-8"))


class PlainRequests:
    """Answers plain requests of operations.

    Parameters
    ----------
    settings : Settings
        Limits, and how long answers may be kept.
    """

    def __init__(self, settings: Settings) -> None:
        self._max_age_s = settings.max_age_s
        self._private = bool(settings.api_keys)
        self._body_limit = settings.body_limit

    def reply(self, environ: WSGIEnvironment, request_id: str) -> tuple[Reply, Problem | None]:
        """The reply to a plain request, and its problem if it is one.

        Raises
        ------
        NotPlainError, UnreadableError, UnicodeDecodeError
            If the request is not plain; the framework then finds it as it was.
        """
        operation, suffixed = _BY_PATH.get(environ["PATH_INFO"], (None, None))
        if operation is None:
            raise NotPlainError
        control, inputs = _pairs(operation, environ.get("QUERY_STRING", ""))
        choice = choose(control, suffixed, _NO_ACCEPT) if control or suffixed else _AS_JSON
        if choice.by_accept and environ.get("HTTP_ACCEPT") not in _JSON_ACCEPTED:
            raise NotPlainError
        try:
            answered = answer(operation, self._loaded(operation, environ, inputs))
            body, content_type, headers = written(operation, answered, choice)
        except InvalidRequestError as error:
            return _failed(invalid_request(error), choice, request_id)
        except RefusedError as error:
            return _failed(refused(error), choice, request_id)
        reply = computed(
            body,
            content_type,
            max_age_s=self._max_age_s,
            private=self._private,
            by_accept=choice.by_accept,
            headers=headers,
        )
        return reply, None

    def _loaded(self, operation: Operation, environ: WSGIEnvironment, inputs: Pairs) -> Loaded:
        if environ["REQUEST_METHOD"] != "POST":
            return operation.request.load_text(inputs)
        if inputs:
            raise NotPlainError
        return operation.request.load_json(self._body(environ))

    def _body(self, environ: WSGIEnvironment) -> Any:
        """The JSON value of a body of stated, permitted length."""
        length = environ.get("CONTENT_LENGTH", "")
        if (
            environ.get("CONTENT_TYPE") not in _JSON_BODIES
            or not (length.isascii() and length.isdigit() and len(length) < 12)
            or int(length) > self._body_limit
            or "HTTP_TRANSFER_ENCODING" in environ
            or "HTTP_CONTENT_ENCODING" in environ
        ):
            raise NotPlainError
        body = environ["wsgi.input"].read(int(length))
        environ["wsgi.input"] = io.BytesIO(body)  # for the framework, if it is to answer after all
        if len(body) != int(length):
            raise NotPlainError
        return parsed(body)


class NotPlainError(Exception):
    """The request is for the framework to answer."""


def _pairs(operation: Operation, query: str) -> tuple[Pairs, Pairs]:
    """Keys and texts that choose the form, and those of the operation; no others."""
    keys = operation.request.wire_fields()
    control: Pairs = []
    inputs: Pairs = []
    for part in query.split("&") if query else ():
        key, sign, text = part.partition("=")
        if "%" in part or "+" in part:
            key, text = unquote_plus(key, errors="strict"), unquote_plus(text, errors="strict")
        if not sign:
            raise NotPlainError
        if key in keys:
            inputs.append((key, text))
        elif key in CONTROL_KEYS:
            control.append((key, text))
        else:
            raise NotPlainError
    if not query.isascii():
        raise NotPlainError
    return control, inputs


def _failed(found: Problem, choice: Choice, request_id: str) -> tuple[Reply, Problem]:
    if choice.errors_as_text:
        return problem_line_reply(found), found
    if choice.representation.name == "html":
        raise NotPlainError
    return problem_reply(found, request_id), found
