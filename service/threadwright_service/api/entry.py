"""The entry for callers in the same process: keys in, status and JSON-ready members out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from threadwright_service.api import BY_NAME
from threadwright_service.api.answer import RefusedError, answer
from threadwright_service.api.problems import invalid_request, problem, refused
from threadwright_service.schemas.faults import InvalidRequestError


def call(operation: str, params: Mapping[str, Any]) -> tuple[int, Mapping[str, Any]]:
    """Call an operation by its name.

    Parameters
    ----------
    operation : str
        Name, such as ``thread-limits``.
    params : mapping
        Keys as in a JSON body.

    Returns
    -------
    tuple
        200 and the answer, or the problem's status and its members.
    """
    known = BY_NAME.get(operation)
    if known is None:
        return 404, problem(404, "not-found", f"there is no operation {operation!r}").members()
    try:
        return 200, answer(known, known.request.load_json(dict(params)))
    except InvalidRequestError as error:
        found = invalid_request(error)
    except RefusedError as error:
        found = refused(error)
    return found.status, found.members()
