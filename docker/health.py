"""The image's health check: is the service ready? Exit status 0 or 1; needs no curl."""

import os
import socket
import sys
from http.client import HTTPConnection, HTTPException


def connection_to(bind: str) -> HTTPConnection:
    """A connection to where gunicorn's ``bind`` listens: ``host:port`` or ``unix:path``."""
    if not bind.startswith("unix:"):
        return HTTPConnection("127.0.0.1", int(bind.rpartition(":")[2]), timeout=2)
    connection = HTTPConnection("localhost", timeout=2)
    connection.sock = socket.socket(socket.AF_UNIX)
    connection.sock.settimeout(2)
    connection.sock.connect(bind.removeprefix("unix:"))
    return connection


def main() -> int:
    """Ask ``/readyz`` where the service listens."""
    try:
        connection = connection_to(os.environ.get("THREADWRIGHT_BIND", "0.0.0.0:8000"))
        connection.request("GET", "/readyz")
        return 0 if connection.getresponse().status == 200 else 1
    except (OSError, HTTPException):
        return 1


if __name__ == "__main__":
    sys.exit(main())
