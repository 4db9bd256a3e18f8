"""Plain text: one bare value, or lines of ``path: value`` for people."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from threadwright_service.api.operation import Operation
from threadwright_service.app.flat import leaves, plain
from threadwright_service.app.representations.options import Options


def write(operation: Operation, answer: Mapping[str, Any], options: Options) -> bytes:  # noqa: ARG001
    """Every value of the result on a line of its own, then assumptions and cautions."""
    lines = [f"unit: {answer['unit']}"]
    lines += [f"{path}: {plain(value)}" for path, value in leaves(answer["result"])]
    lines += [
        f"assumed {item['parameter']} = {plain(item['value'])}: {item['reason']}"
        for item in answer["assumed"]
    ]
    lines += [f"caution {item['code']}: {item['detail']}" for item in answer["cautions"]]
    return "\n".join(lines).encode("utf-8")
