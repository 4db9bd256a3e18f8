"""What the service knows: its operations, threads and materials, as lists."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache, partial
from typing import Any

from flask import Flask, Response, request

from threadwright_service.api import OPERATIONS
from threadwright_service.api.answer import SERVICE_VERSION, TABLES_VERSION
from threadwright_service.api.listings import LISTINGS, OperationsRequest
from threadwright_service.api.problems import invalid_request
from threadwright_service.app.choice import Choice, choose, selected_rows
from threadwright_service.app.reply import computed, json_bytes
from threadwright_service.app.representations import BY_SUFFIX, Representation
from threadwright_service.app.representations.rows import table_of
from threadwright_service.app.views import (
    LIST_SUFFIXES,
    failed,
    flask_response,
    kept_response,
    list_form,
    split_keys,
)
from threadwright_service.schemas.faults import InvalidRequestError
from threadwright_service.settings import Settings


def register(app: Flask, settings: Settings) -> None:
    """Serve ``/v1/`` and the lists below it."""
    view = _listing_view(settings, _operations, "operations")
    for path in ("/v1/", "/v1"):  # Flask takes the shorter for a redirect, which we never send
        _route(app, path, view, ())
    for listing in LISTINGS:
        records = "sizes" if listing.name == "threads" else listing.name
        view = _listing_view(settings, listing.run, records)
        _route(app, listing.path, view, LIST_SUFFIXES)


def _route(
    app: Flask,
    path: str,
    view: Callable[[Representation | None], Response],
    suffixes: Iterable[str],
) -> None:
    app.add_url_rule(path, path, lambda: view(None))
    for suffix in suffixes:
        form = BY_SUFFIX[suffix]
        app.add_url_rule(f"{path}{suffix}", f"{path}{suffix}", partial(view, form))


@cache
def operations() -> dict[str, Any]:
    """Every operation with its address, and the lists."""
    return {
        "operations": [
            {
                "name": operation.name,
                "path": operation.path,
                "summary": operation.summary,
                "methods": ["GET", "POST"],
            }
            for operation in OPERATIONS
        ]
        + [
            {
                "name": "batch",
                "path": "/v1/batch",
                "summary": "Many items of any operation at once",
                "methods": ["POST"],
            }
        ]
        + [
            {
                "name": listing.name,
                "path": listing.path,
                "summary": listing.summary,
                "methods": ["GET"],
            }
            for listing in LISTINGS
        ],
        "openapi": "/openapi.json",
        "docs": "/docs",
        "meta": {"service": SERVICE_VERSION, "tables": TABLES_VERSION},
    }


def _operations(pairs: list[tuple[str, str]]) -> dict[str, Any]:
    OperationsRequest.load_text(pairs)
    return operations()


def _listing_view(
    settings: Settings, run: Callable[[list[tuple[str, str]]], dict[str, Any]], records: str
) -> Callable[[Representation | None], Response]:
    """A view of a list; ``records`` is the list that its CSV shows."""

    def view(suffixed: Representation | None) -> Response:
        control, inputs = split_keys(request, settings)
        try:
            choice = choose(control, suffixed, request.accept_mimetypes)
            form = list_form(choice, control)
            found = run(inputs)
            body = json_bytes(found) if form.name == "json" else _rows(found, choice, records)
        except InvalidRequestError as error:
            return flask_response(failed(request, invalid_request(error), control, suffixed))
        reply = computed(
            body,
            form.content_type,
            max_age_s=settings.max_age_s,
            private=bool(settings.api_keys),
            by_accept=choice.by_accept,
        )
        return kept_response(request, reply)

    return view


def _rows(found: dict[str, Any], choice: Choice, records: str) -> bytes:
    """The list as CSV: the one asked for, else all records of the usual one."""
    if choice.rows is not None:
        return selected_rows({"result": found.get("result", found)}, choice.rows, choice.options)
    if records == "sizes":
        return table_of(
            (
                {"family": family["family"], "unit": family["unit"], **size}
                for family in found["result"]["families"]
                for size in family["sizes"]
            ),
            choice.options,
        )
    return table_of(map(_in_cells, found.get("result", found)[records]), choice.options)


def _in_cells(record: dict[str, Any]) -> dict[str, Any]:
    """A record with its lists of words in a cell each: a column a word would be hundreds."""
    return {
        key: "; ".join(value) if isinstance(value, list | tuple) and _are_words(value) else value
        for key, value in record.items()
    }


def _are_words(values: Iterable[Any]) -> bool:
    return all(isinstance(each, str) for each in values)
