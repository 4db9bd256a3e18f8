"""The frame of every page, and the policy under which a browser shows it.

A page holds its style in itself, so that a job sheet that is saved or put into another system
stays as it is. The content-security policy allows that one style by its hash and nothing else.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from html import escape
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Final

from threadwright_service.app.flat import for_people

HTML: Final = "text/html; charset=utf-8"
_SPECIAL: Final = re.compile("[&<>\"']")
_PACKAGE: Final = "threadwright_service.app.pages"


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """A style sheet as it stands in a page, and the headers of a page that holds it."""

    text: str
    headers: Mapping[str, str]


@cache
def style(*names: str) -> Style:
    """The style of some files of this package, one after the other."""
    text = "".join(files(_PACKAGE).joinpath(name).read_text(encoding="utf-8") for name in names)
    digest = b64encode(sha256(text.encode("utf-8")).digest()).decode()
    policy = (
        f"default-src 'none'; style-src 'sha256-{digest}'; img-src 'self' data:; "
        "base-uri 'none'; form-action 'none'"
    )
    return Style(text=text, headers=MappingProxyType({"Content-Security-Policy": policy}))


def plain_style() -> Style:
    """The style of all pages but the job sheet."""
    return style("threadwright.css")


def job_sheet_style() -> Style:
    """The style of the job sheet."""
    return style("threadwright.css", "job_sheet.css")


def page(title: str, body: str, look: Style, *, kind: str = "") -> bytes:
    """A whole page.

    Parameters
    ----------
    title : str
        Title, not yet escaped.
    body : str
        Markup below the heading.
    look : Style
        The style that it holds.
    kind : str
        Class of the body.
    """
    attribute = f' class="{kind}"' if kind else ""
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{text(title)} - Threadwright</title>"
        '<link rel="icon" href="data:,">'
        f"<style>{look.text}</style></head><body{attribute}>"
        '<header class="top"><strong>Threadwright</strong><nav>'
        '<a href="/docs/guide">Guide</a><a href="/docs">Try it</a>'
        '<a href="/openapi.json">OpenAPI</a></nav></header>'
        f"<main>{body}</main></body></html>"
    ).encode("utf-8", "replace")


def text(value: Any) -> str:
    """Text as it stands between tags or in an attribute with double quotes."""
    words = value if type(value) is str else str(value)
    return escape(words) if _SPECIAL.search(words) else words


def shown(value: Any) -> str:
    """A value of an answer for people: a dash for none, else the number of the other forms."""
    kind = type(value)
    if kind is float:  # most of a page
        return for_people(value)
    if kind is str:
        return escape(value) if _SPECIAL.search(value) else value
    return "–" if value is None else for_people(value)
