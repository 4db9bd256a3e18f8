"""The frame of every page, and the policy under which a browser shows it.

A page holds its style in itself, so that a job sheet that is saved or put into another system
stays as it is; the form of a job holds its script in the same way. The content-security policy
allows these by their hashes and nothing else.
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
HEAD: Final = (
    '<header class="top"><strong>Threadwright</strong><nav>'
    '<a href="/job-sheet">New job sheet</a><a href="/docs/guide">Guide</a>'
    '<a href="/docs">Try it</a><a href="/openapi.json">OpenAPI</a></nav></header>'
)
"""The head of every page, the viewer's too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """Style and script as they stand in a page, and the headers of a page that holds them."""

    text: str
    headers: Mapping[str, str]
    script: str = ""


@cache
def style(*names: str, script: str = "", form: bool = False) -> Style:
    """The style of some files of this package, one after the other.

    ``script`` is the file of the page's script, if it has one; ``form`` allows that the page sends
    a form, to this service alone.
    """
    text = "".join(_read(name) for name in names)
    scripted = _read(script) if script else ""
    sent_to = "'self'" if form else "'none'"
    allowed = f"script-src '{_hash(scripted)}'; " if script else ""
    policy = (
        f"default-src 'none'; {allowed}style-src '{_hash(text)}'; img-src 'self' data:; "
        f"base-uri 'none'; form-action {sent_to}"
    )
    headers = MappingProxyType({"Content-Security-Policy": policy})
    return Style(text=text, headers=headers, script=scripted)


def _read(name: str) -> str:
    return files(_PACKAGE).joinpath(name).read_text(encoding="utf-8")


def _hash(words: str) -> str:
    """How a policy names a style or script that stands in the page."""
    return f"sha256-{b64encode(sha256(words.encode('utf-8')).digest()).decode()}"


def plain_style() -> Style:
    """The style of all pages but the job sheet and its form."""
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
    scripted = f"<script>{look.script}</script>" if look.script else ""
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{text(title)} - Threadwright</title>"
        '<link rel="icon" href="data:,">'
        f"<style>{look.text}</style></head><body{attribute}>"
        f"{HEAD}<main>{body}</main>{scripted}</body></html>"
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
