"""The page of help for each type of problem, at the address that the problem names."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from threadwright_service.api.problems import TITLES
from threadwright_service.app.pages.markup import HTML, page, plain_style, text
from threadwright_service.app.reply import Reply, lasting

HELP: Final[Mapping[str, str]] = MappingProxyType(
    {
        "invalid-request": "One or more keys are unknown, missing, repeated or hold a value that "
        "cannot be taken. Each entry of errors names the key, the value and what is accepted.",
        "unreadable-body": "The body is not JSON, or holds a key twice. Send one JSON object.",
        "unauthorised": "Send the key as Authorization: Bearer KEY, or X-API-Key: KEY.",
        "not-found": "Nothing is at this address. GET /v1/ lists the operations.",
        "method-not-allowed": "The header Allow of the answer lists the methods that are served.",
        "length-required": "State the body's length with Content-Length; chunked ones are refused.",
        "too-large": "Send fewer items in each batch, or a shorter body.",
        "unsupported-media-type": "Send JSON with Content-Type: application/json.",
        "too-many-requests": "Wait as long as Retry-After says.",
        "internal-error": "Our fault. Tell the people who run the service the request's id.",
        "unavailable": "The service is starting or stopping. Repeat the request.",
        "unknown-designation": "The text is no thread, class, material or scale that is known; the "
        "entry of errors says what would be. GET /v1/threads and /v1/materials list what is.",
        "ambiguous": "The values fit more than one meaning, or contradict one another. Nothing is "
        "guessed: leave one out, or say which is meant.",
        "missing-input": "A value is missing without which the result would be a guess.",
        "not-tabulated": "The standard has no entry for this combination.",
        "out-of-range": "The value lies outside the range that a formula or table is stated for.",
        "infeasible": "Each value is allowed by itself; together they have no solution.",
    }
)


def problem_help_reply(slug: str) -> Reply | None:
    """The page for a type of problem; ``None`` if there is no such type."""
    title = TITLES.get(slug)
    if title is None:
        return None
    look = plain_style()
    body = f'<h1>{text(title)}</h1><p class="lead">{text(slug)}</p><p>{text(HELP[slug])}</p>'
    return lasting(page(title, body, look), HTML, look.headers)
