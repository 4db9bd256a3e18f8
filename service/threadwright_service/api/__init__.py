"""The operations: one record each, from which routes, OpenAPI, batch, pages and tests are made.

What an operation computes with is imported when it is first asked for anything but its name and its
path, so that a worker answers soon after it starts; ``/readyz`` asks all of them.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any, Final

from threadwright_service.api.operation import Operation, operation_id_of, path_of

_MODULES: Final = {
    "thread-limits": "threads",
    "wire-measurement": "measurement",
    "gauge-limits": "measurement",
    "size-correction": "correction",
    "thread-hole": "holes",
    "hardness": "hardness",
    "pass-plan": "milling",
    "turning-plan": "turning",
    "cutting-data": "cutting",
    "cycle-time": "times",
    "job-sheet": "jobs",
}
"""In which module each operation stands, in the order of the documentation."""


class Deferred(Operation):
    """An operation's record that is filled from its module when more than its name is wanted."""

    def __init__(self, name: str) -> None:
        # The record is frozen; what it is made of goes past that, once.
        vars(self).update(name=name, path=path_of(name), operation_id=operation_id_of(name))

    def __getattr__(self, attribute: str) -> Any:
        if attribute.startswith("__") or attribute in vars(self):
            raise AttributeError(attribute)
        module = import_module(f"{__name__}.{_MODULES[self.name]}")
        [record] = (each for each in module.OPERATIONS if each.name == self.name)
        vars(self).update(vars(record))
        return getattr(record, attribute)


OPERATIONS: Final[tuple[Operation, ...]] = tuple(map(Deferred, _MODULES))
"""All operations, in the order of the documentation."""

BY_NAME: Final[dict[str, Operation]] = {operation.name: operation for operation in OPERATIONS}
