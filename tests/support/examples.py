"""The operations' own examples, as the tests send them."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from threadwright_service.api import OPERATIONS
from threadwright_service.api.operation import Example, Operation

EXAMPLES: list[tuple[Operation, Example]] = [
    (operation, example) for operation in OPERATIONS for example in operation.examples
]
EXAMPLE_IDS = [f"{operation.name}: {example.title}" for operation, example in EXAMPLES]
OPERATION_IDS = [operation.name for operation in OPERATIONS]


def query(keys: Mapping[str, Any]) -> str:
    """The query of a GET for flat keys; lists by semicolons, objects as JSON."""
    return urlencode({key: _text(value) for key, value in keys.items()})


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list) and not any(isinstance(item, dict) for item in value):
        return ";".join(str(item) for item in value)
    if isinstance(value, (list, dict)):
        return json.dumps(value)
    return str(value)
