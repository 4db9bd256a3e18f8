"""The operations: one record each, from which routes, OpenAPI, batch, pages and tests are made."""

from __future__ import annotations

from typing import Final

from threadwright_service.api import (
    correction,
    cutting,
    hardness,
    holes,
    jobs,
    measurement,
    milling,
    threads,
    times,
)
from threadwright_service.api.operation import Operation

OPERATIONS: Final[tuple[Operation, ...]] = (
    *threads.OPERATIONS,
    *measurement.OPERATIONS,
    *correction.OPERATIONS,
    *holes.OPERATIONS,
    *hardness.OPERATIONS,
    *milling.OPERATIONS,
    *cutting.OPERATIONS,
    *times.OPERATIONS,
    *jobs.OPERATIONS,
)
"""All operations, in the order of the documentation."""

BY_NAME: Final[dict[str, Operation]] = {operation.name: operation for operation in OPERATIONS}
