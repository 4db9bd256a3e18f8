"""What a request says about the inside of a form: which picture, which decimal sign."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """Wishes for one form.

    ``picture`` names the picture of an SVG; ``decimal_comma`` writes CSV for programs that read a
    decimal comma, with semicolons between the cells.
    """

    picture: str | None = None
    decimal_comma: bool = False


PLAIN = Options()
