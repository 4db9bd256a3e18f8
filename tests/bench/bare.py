"""What the service is measured against: the least that can answer with the same bytes.

``bench.bare:callable_app`` is a WSGI callable, ``bench.bare:flask_app`` a Flask application with a
route that gives ready bytes and one that makes JSON of the same 40 fields.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from typing import Any

from flask import Flask, Response, jsonify

ANSWER: dict[str, Any] = {
    "operation": "thread-limits",
    "input": {"designation": "M24x1.5-6g"},
    "unit": "mm",
    "units": {
        "length": "mm",
        "area": "mm²",
        "feed_rate": "mm/min",
        "surface_speed": "m/min",
        "spindle_speed": "rev/min",
    },
    "result": {
        "designation": "M24x1.5-6g",
        "basic": {"major_diameter": 24.0, "pitch_diameter": 23.026, "minor_diameter": 22.376},
        "limits": {
            "major_diameter": {"max": 23.968, "min": 23.732},
            "pitch_diameter": {"max": 22.994, "min": 22.844},
            "minor_diameter": {"max": 22.344, "min": None},
        },
        **{f"value_{index}": index / 7 for index in range(22)},
    },
}
_BODY = json.dumps(ANSWER).encode()


def callable_app(environ: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:  # noqa: ARG001
    """Bytes, and no framework."""
    start("200 OK", [("Content-Type", "application/json"), ("Content-Length", str(len(_BODY)))])
    return (_BODY,)


flask_app = Flask("bare")


@flask_app.route("/bare")
def bare() -> Response:
    """A route that makes JSON of a dict."""
    return Response(_BODY, content_type="application/json")


@flask_app.route("/bare/jsonify")
def bare_jsonify() -> Response:
    """The same with Flask's own JSON."""
    return jsonify(ANSWER)
