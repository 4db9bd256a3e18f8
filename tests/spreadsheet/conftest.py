"""The service that the sheets ask."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from support.servers import Process, gunicorn

# What runs on the office's own Python is no test module.
collect_ignore = ["office"]


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    """A service of the module's own, over a socket."""
    with gunicorn(tmp_path_factory.mktemp("service") / "log") as process:
        yield process
