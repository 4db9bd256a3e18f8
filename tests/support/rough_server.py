"""A local server that misbehaves as networks do: one scripted act for each request that comes."""

from __future__ import annotations

import json
import socket
import struct
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from typing import Any

Act = Callable[[socket.socket, bytes], None]
"""Answers one request, of which it gets the body, or does what it likes with the connection."""


@dataclass(slots=True)
class RoughServer:
    """Where it listens, and what came: method, path, headers in lower case and body."""

    url: str
    requests: list[tuple[str, str, Mapping[str, str], bytes]] = field(default_factory=list)
    connections: int = 0


@contextmanager
def rough_server(*acts: Act) -> Iterator[RoughServer]:
    """Serve on a free port of loopback; the last act is repeated."""
    listener = socket.create_server(("127.0.0.1", 0))
    server = RoughServer(f"http://127.0.0.1:{listener.getsockname()[1]}")
    threading.Thread(target=_accept, args=(listener, server, acts), daemon=True).start()
    try:
        yield server
    finally:
        listener.close()


def _accept(listener: socket.socket, server: RoughServer, acts: Sequence[Act]) -> None:
    with suppress(OSError):
        while True:
            connection, _ = listener.accept()
            server.connections += 1
            threading.Thread(target=_serve, args=(connection, server, acts), daemon=True).start()


def _serve(connection: socket.socket, server: RoughServer, acts: Sequence[Act]) -> None:
    with suppress(OSError), connection:
        while request := _read(connection):
            server.requests.append(request)
            acts[min(len(server.requests), len(acts)) - 1](connection, request[3])


def _read(connection: socket.socket) -> tuple[str, str, Mapping[str, str], bytes] | None:
    data = b""
    while b"\r\n\r\n" not in data:
        part = connection.recv(65_536)
        if not part:
            return None
        data += part
    head, _, body = data.partition(b"\r\n\r\n")
    first, *lines = head.decode("latin-1").split("\r\n")
    headers = {
        name.lower(): value.strip() for name, _, value in (line.partition(":") for line in lines)
    }
    while len(body) < int(headers.get("content-length", "0")):
        body += connection.recv(65_536)
    method, path, _ = first.split(" ")
    return method, path, headers, body


def answer(
    body: bytes | Mapping[str, Any],
    status: str = "200 OK",
    content_type: str = "application/json",
    **headers: str,
) -> Act:
    """A well-formed answer; header names are written with underscores."""
    data = body if isinstance(body, bytes) else json.dumps(body).encode()
    told = "".join(f"{name.replace('_', '-')}: {value}\r\n" for name, value in headers.items())
    head = (
        f"HTTP/1.1 {status}\r\nContent-Type: {content_type}\r\n"
        f"Content-Length: {len(data)}\r\n{told}\r\n"
    )
    return lambda connection, _: connection.sendall(head.encode() + data)


def raw(data: bytes) -> Act:
    """Bytes as they are, and the end of the connection."""

    def act(connection: socket.socket, _: bytes) -> None:
        connection.sendall(data)
        connection.shutdown(socket.SHUT_RDWR)

    return act


def silence(until: threading.Event) -> Act:
    """Nothing, while the connection stays."""
    return lambda *_: _wait(until)


def dribble(until: threading.Event, head: bytes) -> Act:
    """The head and a little of the body, then nothing."""

    def act(connection: socket.socket, _: bytes) -> None:
        connection.sendall(head)
        _wait(until)

    return act


def reset(connection: socket.socket, _: bytes) -> None:
    """The connection is reset, as by a worker that was killed."""
    connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    connection.close()


def closed(connection: socket.socket, _: bytes) -> None:
    """The connection is closed without a word."""
    connection.shutdown(socket.SHUT_RDWR)


def _wait(until: threading.Event) -> None:
    until.wait(10)
