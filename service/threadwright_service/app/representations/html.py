"""A page of the answer for people, fit to print."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from threadwright_service.api.operation import Operation
from threadwright_service.app.pages.markup import Style, job_sheet_style, plain_style
from threadwright_service.app.representations.options import Options


def write(operation: Operation, answer: Mapping[str, Any], options: Options) -> bytes:  # noqa: ARG001
    """The page."""
    # Pages and their pictures are imported with the first of them, not when a worker starts.
    if operation.name == "job-sheet":
        from threadwright_service.app.pages.job_sheet import job_sheet_page

        return job_sheet_page(operation, answer)
    from threadwright_service.app.pages.answer_page import answer_page

    return answer_page(operation, answer)


def look(operation: Operation) -> Style:
    """The style that the page holds, whose hash its policy names."""
    return job_sheet_style() if operation.name == "job-sheet" else plain_style()
