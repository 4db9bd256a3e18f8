"""The image's health check asks where gunicorn is told to listen, in every form that it takes."""

from __future__ import annotations

import importlib.util
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import ModuleType
from typing import Any
from wsgiref.simple_server import WSGIRequestHandler, WSGIServer, make_server

import pytest

from support.operators import DOCKER


def health() -> ModuleType:
    """The health check that the image runs."""
    spec = importlib.util.spec_from_file_location("health", DOCKER / "health.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


class _Six(WSGIServer):
    address_family = socket.AF_INET6


class _Socket(WSGIServer):
    address_family = socket.AF_UNIX

    def server_bind(self) -> None:
        self.socket.bind(self.server_address[0])
        self.server_name, self.server_port = "localhost", 0
        self.setup_environ()

    def get_request(self) -> tuple[Any, Any]:
        return self.socket.accept()[0], ("", 0)


class _Quiet(WSGIRequestHandler):
    def log_message(self, *_: Any) -> None:
        """Say nothing."""


@contextmanager
def listening(kind: type[WSGIServer], host: str, status: str) -> Iterator[int]:
    """A server that answers everything with a status; its port."""
    asked = []

    def app(environ: dict[str, Any], start: Any) -> list[bytes]:
        asked.append(environ["PATH_INFO"])
        start(status, [])
        return [b""]

    with make_server(host, 0, app, kind, _Quiet) as server:
        server.timeout = 30
        answering = threading.Thread(target=server.handle_request)
        answering.start()
        yield server.server_port
        answering.join()
    assert asked == ["/readyz"]


@pytest.mark.parametrize(("status", "exit_status"), [("200 OK", 0), ("503 Not ready", 1)])
@pytest.mark.parametrize(
    ("kind", "host", "bind"),
    [
        (WSGIServer, "127.0.0.1", "127.0.0.1:{port}"),
        (WSGIServer, "127.0.0.2", "127.0.0.2:{port}"),
        (WSGIServer, "0.0.0.0", "0.0.0.0:{port}"),
        (WSGIServer, "0.0.0.0", "tcp://0.0.0.0:{port}"),
        (WSGIServer, "127.0.0.1", "127.0.0.1:{port}, unix:/nowhere"),
        (_Six, "::1", "[::1]:{port}"),
        (_Six, "::1", "[::]:{port}"),
        (_Socket, "{folder}/a.sock", "unix:{folder}/a.sock"),
        (_Socket, "{folder}/a.sock", "unix://{folder}/a.sock"),
    ],
)
def test_the_health_check_asks_where_the_service_is_told_to_listen(
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    kind: type[WSGIServer],
    host: str,
    bind: str,
    status: str,
    exit_status: int,
) -> None:
    with listening(kind, host.format(folder=tmp_path), status) as port:
        monkeypatch.setenv("THREADWRIGHT_BIND", bind.format(port=port, folder=tmp_path))
        assert health().main() == exit_status


def test_the_health_check_finds_nobody(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("THREADWRIGHT_BIND", "unix:/nowhere/service.sock")
    assert health().main() == 1
