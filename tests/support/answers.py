"""Answers of the service's own, for tests of what carries them."""

from __future__ import annotations

from functools import cache
from typing import Any

from threadwright_service.api.entry import call


@cache
def limits_answer(designation: str = "M24x1.5-6g") -> dict[str, Any]:
    """The JSON-ready answer of ``thread-limits``."""
    status, members = call("thread-limits", {"designation": designation})
    assert status == 200
    return dict(members)


def problem(status: int, slug: str, detail: str, **members: Any) -> dict[str, Any]:
    """A problem details object."""
    return {
        "type": f"/problems/{slug}",
        "title": slug,
        "status": status,
        "detail": detail,
        **members,
    }
