"""The plainest requests, answered without the web framework.

Most calls are a GET or POST of an operation that wants JSON and says nothing else about the form of
its answer. Reading those few lines of a request costs a fraction of what a framework spends on any
request. Whatever is not as plain as that is left alone, body included, for the framework to answer;
both ways use the same loader, the same calculation and the same writer, and give the same bytes.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any, Final
from urllib.parse import unquote_plus

from threadwright_service.api import OPERATIONS
from threadwright_service.api.answer import RefusedError, answer
from threadwright_service.api.operation import Operation
from threadwright_service.api.problems import Problem, invalid_request, refused
from threadwright_service.app.body import parsed
from threadwright_service.app.reply import JSON, Reply, computed, json_bytes, problem_reply
from threadwright_service.schemas.base import Loaded
from threadwright_service.schemas.faults import InvalidRequestError
from threadwright_service.settings import Settings

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIEnvironment

_BY_PATH: Final = {operation.path: operation for operation in OPERATIONS}
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
        operation = _BY_PATH.get(environ["PATH_INFO"])
        if operation is None or environ.get("HTTP_ACCEPT") not in _JSON_ACCEPTED:
            raise NotPlainError
        try:
            answered = answer(operation, self._loaded(operation, environ))
        except InvalidRequestError as error:
            return _failed(invalid_request(error), request_id)
        except RefusedError as error:
            return _failed(refused(error), request_id)
        reply = computed(
            json_bytes(answered),
            JSON,
            max_age_s=self._max_age_s,
            private=self._private,
            by_accept=True,
        )
        return reply, None

    def _loaded(self, operation: Operation, environ: WSGIEnvironment) -> Loaded:
        query = environ.get("QUERY_STRING", "")
        if environ["REQUEST_METHOD"] != "POST":
            return operation.request.load_text(_pairs(operation, query))
        if query:
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
        ):
            raise NotPlainError
        body = environ["wsgi.input"].read(int(length))
        environ["wsgi.input"] = io.BytesIO(body)  # for the framework, if it is to answer after all
        if len(body) != int(length):
            raise NotPlainError
        return parsed(body)


class NotPlainError(Exception):
    """The request is for the framework to answer."""


def _pairs(operation: Operation, query: str) -> list[tuple[str, str]]:
    """Keys and texts of a query that holds keys of the operation alone."""
    keys = operation.request.wire_fields()
    pairs = []
    for part in query.split("&") if query else ():
        key, sign, text = part.partition("=")
        if "%" in part or "+" in part:
            key, text = unquote_plus(key, errors="strict"), unquote_plus(text, errors="strict")
        if not sign or key not in keys:
            raise NotPlainError
        pairs.append((key, text))
    if not query.isascii():
        raise NotPlainError
    return pairs


def _failed(found: Problem, request_id: str) -> tuple[Reply, Problem]:
    return problem_reply(found, request_id), found
