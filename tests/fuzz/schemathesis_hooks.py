"""What schemathesis must know of the service; loaded by ``SCHEMATHESIS_HOOKS``."""

from __future__ import annotations

import schemathesis


@schemathesis.hook
def before_call(context, case, kwargs):  # type: ignore[no-untyped-def]  # noqa: ARG001
    """Ask for honest statuses: ``on_error=text`` answers every error with 200, by design.

    That form has tests of its own (``tests/service/test_error_lines.py``).
    """
    if isinstance(case.query, dict) and case.query.get("on_error") == "text":
        case.query = {key: value for key, value in case.query.items() if key != "on_error"}
