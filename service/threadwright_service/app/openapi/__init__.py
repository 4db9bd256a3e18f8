"""The OpenAPI 3.1 description, made from the operation records and nothing else.

``python -m threadwright_service.contract`` prints it; the printed file is committed as
``openapi/openapi.json`` and compared in the tests.
"""

from __future__ import annotations

import json
from typing import Any, Final, cast

from apispec import APISpec

from threadwright_service.api import OPERATIONS
from threadwright_service.app.openapi.components import add_components
from threadwright_service.app.openapi.lists import add_batch, add_lists
from threadwright_service.app.openapi.operations import add_operation
from threadwright_service.app.openapi.service import add_service_paths

INTERFACE_VERSION: Final = "1.0.0"
"""Version of the contract; it changes with the interface alone."""

_DESCRIPTION: Final = (
    "Limits, pass plans, cutting data and cycle times for threading jobs. Every operation is a "
    "pure function: GET with flat keys, POST with the same keys as JSON, or an item of a batch. "
    "HEAD and OPTIONS are answered at every address. A form may also be chosen by a suffix of the "
    "path: .json, .csv, .txt, .xml, .html, .svg. x-unit names the unit of each number: one for "
    "each unit of the request where it follows that, 1 where it has none. "
    "The numbers are aids to planning: prove out above the part, keep guards closed, and let the "
    "limits of the machine and of the cutter's maker come first."
)


def openapi_document() -> dict[str, Any]:
    """The whole description as JSON-ready data."""
    spec = APISpec(
        title="Threadwright",
        version=INTERFACE_VERSION,
        openapi_version="3.1.1",
        info={"description": _DESCRIPTION, "license": {"name": "MIT", "identifier": "MIT"}},
        tags=[{"name": tag} for tag in dict.fromkeys(op.tag for op in OPERATIONS)]
        + [{"name": "lists"}, {"name": "service"}],
        # A key is needed only where an operator asks for one.
        security=[{}, {"bearer": []}, {"key": []}],
    )
    add_components(spec)
    for operation in OPERATIONS:
        add_operation(spec, operation)
    add_batch(spec)
    add_lists(spec)
    add_service_paths(spec)
    return cast(dict[str, Any], json.loads(json.dumps(spec.to_dict())))
