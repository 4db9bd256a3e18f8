"""The page of help for each type of problem, at the address that the problem names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from threadwright_service.api.problems import TITLES
from threadwright_service.app.pages.markup import HTML, page, plain_style, text
from threadwright_service.app.reply import Reply, lasting


@dataclass(frozen=True, slots=True, kw_only=True)
class Help:
    """What a type of problem means, and what helps.

    ``example`` is the address of a request that has this problem.
    """

    status: int
    meaning: str
    helps: tuple[str, ...]
    example: str = ""


_SEND_JSON: Final = "Send one JSON object with Content-Type: application/json."
_FEWER: Final = "Send fewer items in each batch, or a shorter body."
HELP: Final[Mapping[str, Help]] = MappingProxyType(
    {
        "invalid-request": Help(
            status=422,
            meaning="One or more keys are unknown, missing, repeated or hold a value that cannot "
            "be taken. Every one of them is told, not only the first.",
            helps=(
                "Read errors: each entry names the key, the value and what is accepted.",
                "A number has a decimal point and no unit; in JSON it has no quotes.",
                "As soon as a request holds a length, it needs unit=mm or unit=in.",
                "The guide of the operation lists every key.",
            ),
            example="/v1/hardness.html?value=58,5&scale=HRC",
        ),
        "unreadable-body": Help(
            status=400,
            meaning="The body is not JSON, or holds a key twice.",
            helps=(
                _SEND_JSON,
                "Send UTF-8 without a byte order mark.",
                "NaN and Infinity are not JSON; leave the key out instead.",
            ),
        ),
        "unreadable-request": Help(
            status=400,
            meaning="What was sent is not HTTP as RFC 9112 has it, so nothing of it was used.",
            helps=(
                "Encode blanks and letters outside ASCII in the address, as %20 and the like.",
                "State a body's length once.",
            ),
        ),
        "unauthorised": Help(
            status=401,
            meaning="The people who run this service ask for a key.",
            helps=("Send the key as Authorization: Bearer KEY, or X-API-Key: KEY.",),
        ),
        "not-found": Help(
            status=404,
            meaning="Nothing is at this address.",
            helps=(
                "GET /v1/ lists the operations; addresses are in small letters.",
                "A suffix is one of .json, .csv, .txt, .xml, .html, .svg.",
            ),
            example="/v1/nothing",
        ),
        "method-not-allowed": Help(
            status=405,
            meaning="The address is there, but does not take this method.",
            helps=("The header Allow of the answer lists the methods that are served.",),
            example="/v1/batch",
        ),
        "length-required": Help(
            status=411,
            meaning="Neither a length nor chunks tell where the body ends.",
            helps=("State its length with Content-Length.",),
        ),
        "too-large": Help(
            status=413,
            meaning="The body is longer, or the batch holds more items, than this service takes.",
            helps=(_FEWER,),
        ),
        "address-too-long": Help(
            status=414,
            meaning="The first line of the request is longer than the service reads.",
            helps=("Send the same keys as JSON by POST.",),
        ),
        "headers-too-large": Help(
            status=431,
            meaning="The headers of the request are more, or longer, than the service reads.",
            helps=("Send no cookies and none but the headers that are needed.",),
        ),
        "unsupported-media-type": Help(
            status=415,
            meaning="The body is of a type that is not served, or packed.",
            helps=(_SEND_JSON, "Send it as it is, without Content-Encoding."),
        ),
        "too-many-requests": Help(
            status=429,
            meaning="Whoever stands before the service lets no more through for now.",
            helps=("Wait as long as Retry-After says.", "Put many requests into one batch."),
        ),
        "internal-error": Help(
            status=500,
            meaning="The service has failed; the request may be right.",
            helps=("Tell the people who run the service the request's id.",),
        ),
        "unavailable": Help(
            status=503,
            meaning="The service is starting or stopping.",
            helps=("Repeat the request.",),
        ),
        "unknown-designation": Help(
            status=422,
            meaning="The text is no thread, class, material or scale that is known.",
            helps=(
                "The entry of errors says what was read and what would be known.",
                "GET /v1/threads and /v1/materials list what is.",
            ),
            example="/v1/thread-limits.html?designation=M10-9g8z",
        ),
        "ambiguous": Help(
            status=422,
            meaning="The values fit more than one meaning, or contradict one another. Nothing is "
            "guessed.",
            helps=("Leave one out, or say which is meant.",),
            example="/v1/thread-limits.html?designation=M24x1.5-6g&pitch=2&unit=mm",
        ),
        "missing-input": Help(
            status=422,
            meaning="A value is missing without which the result would be a guess.",
            helps=("The entry of errors names the key to give.",),
            example="/v1/thread-limits.html?nominal_diameter=24&unit=mm",
        ),
        "not-tabulated": Help(
            status=422,
            meaning="The standard has no entry for this combination, and none is made up.",
            helps=("Take a combination of the standard; the entry of errors names the nearest.",),
            example="/v1/thread-limits.html?designation=M24x1.5-3h",
        ),
        "out-of-range": Help(
            status=422,
            meaning="The value lies outside the range that a formula or table is stated for; "
            "nothing is carried beyond it.",
            helps=("The entry of errors states the range.",),
            example="/v1/hardness.html?value=90&scale=HRC",
        ),
        "infeasible": Help(
            status=422,
            meaning="Each value is allowed by itself; together they have no solution.",
            helps=("The entry of errors says which value stands against which.",),
            example="/v1/thread-hole.html?designation=M24x1.5-6g",
        ),
    }
)


def problem_help_reply(slug: str) -> Reply | None:
    """The page for a type of problem; ``None`` if there is no such type."""
    title = TITLES.get(slug)
    if title is None:
        return None
    told = HELP[slug]
    helps = "".join([f"<li>{text(each)}</li>" for each in told.helps])
    example = (
        f'<p>A request that has it: <a href="{text(told.example)}"><code>{text(told.example)}'
        "</code></a></p>"
        if told.example
        else ""
    )
    body = (
        f'<h1>{text(title)}</h1><p class="lead">Status {told.status}, type '
        f"<code>/problems/{text(slug)}</code></p>"
        f"<h2>What it means</h2><p>{text(told.meaning)}</p>"
        f"<h2>What helps</h2><ul>{helps}</ul>{example}"
        "<h2>In a spreadsheet</h2><p>A cell shows nothing of an error. Add "
        "<code>&amp;on_error=text</code> to the address in a cell of its own, and it shows one "
        "line that begins with <code>#ERR</code>.</p>"
    )
    look = plain_style()
    return lasting(page(title, body, look), HTML, look.headers)
