"""A worker imports what a request needs when it comes, and knows every operation before."""

from __future__ import annotations

import pkgutil
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

from threadwright_service import api
from threadwright_service.api import BY_NAME, OPERATIONS, Deferred
from threadwright_service.api.operation import Operation

SERVICE = Path(api.__file__).parents[2]
LATER = (
    "threadwright_service.calc.milling",
    "threadwright_service.calc.times",
    "threadwright_service.calc.threads.whitworth.bs_84",
    "threadwright_service.app.pictures",
    "threadwright_service.app.openapi",
)


def test_every_operation_of_every_module_is_known_in_order() -> None:
    found: dict[str, Operation] = {}
    for module in pkgutil.iter_modules(api.__path__):
        records = getattr(import_module(f"{api.__name__}.{module.name}"), "OPERATIONS", ())
        found |= {record.name: record for record in records}
    assert set(found) == set(BY_NAME)
    for operation in OPERATIONS:
        record = vars(found[operation.name])
        assert {name: getattr(operation, name) for name in record} == record
        # Whatever is asked for first.
        assert {name: getattr(Deferred(operation.name), name) for name in record} == record


def test_an_attribute_that_no_operation_has_is_an_error() -> None:
    with pytest.raises(AttributeError):
        _ = OPERATIONS[0].colour  # type: ignore[attr-defined]


def modules_after(statements: str) -> set[str]:
    code = f"import sys; sys.path.insert(0, {str(SERVICE)!r})\n{statements}\nprint(*sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(run.stdout.splitlines()[-1].split())


def test_what_a_plain_request_does_not_need_is_not_imported() -> None:
    statements = (
        "from threadwright_service.wsgi import app\n"
        "client = app.test_client()\n"
        "assert client.get('/livez').status_code == 200\n"
        "assert client.get('/v1/thread-limits?designation=M10-6g').status_code == 200"
    )
    assert not modules_after(statements) & set(LATER)


def test_a_ready_worker_has_imported_every_calculation() -> None:
    statements = (
        "from threadwright_service.wsgi import app\n"
        "assert app.test_client().get('/readyz').status_code == 200"
    )
    found = modules_after(statements)
    assert {each for each in LATER if ".calc." in each} <= found
