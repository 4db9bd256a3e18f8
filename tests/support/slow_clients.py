"""Clients that hold a connection and send next to nothing."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from support.load import Address


@contextmanager
def slow_clients(address: Address, kind: str, count: int = 50) -> Iterator[None]:
    """Sockets that send a byte now and then, or nothing."""
    stop = threading.Event()
    lines = [socket.create_connection(address, timeout=5) for _ in range(count)]
    first = {
        "slow header": b"GET /livez HTTP/1.1\r\nX: ",
        "slow body": b"POST /v1/batch HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\n"
        b"Content-Length: 100000\r\n\r\n",
        "silent": b"",
    }[kind]

    def drip() -> None:
        for line in lines:
            line.sendall(first)
        while not stop.wait(0.5):
            for number, line in enumerate(lines):
                try:
                    if kind != "silent":
                        line.sendall(b"x")
                except OSError:  # ended by the server; a rude client comes again
                    line.close()
                    lines[number] = socket.create_connection(address, timeout=5)
                    lines[number].sendall(first)

    dripping = threading.Thread(target=drip)
    dripping.start()
    try:
        yield
    finally:
        stop.set()
        dripping.join()
        for line in lines:
            line.close()
