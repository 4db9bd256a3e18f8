"""The image's health check: is the service ready? Exit status 0 or 1; needs no curl."""

import os
import socket
import sys
from contextlib import closing
from http.client import HTTPConnection, HTTPException

from gunicorn.util import parse_address

# A worker's first answer takes seconds on a busy machine. Less than the time-out in the Dockerfile.
TIMEOUT_S = 8
WHERE_TO_ASK = {"0.0.0.0": "127.0.0.1", "::": "::1"}  # noqa: S104 - nothing listens here


class SocketConnection(HTTPConnection):
    """HTTP through a socket in the file system."""

    def connect(self) -> None:
        """Connect to the path that is kept as the host's name."""
        self.sock = socket.socket(socket.AF_UNIX)
        self.sock.settimeout(self.timeout)
        self.sock.connect(self.host)


def connection_to(bind: str) -> HTTPConnection:
    """A connection to where gunicorn listens: the first of what it is told to bind."""
    address = parse_address(bind.split(",")[0].strip())
    if not isinstance(address, tuple):
        return SocketConnection(address, 0, timeout=TIMEOUT_S)
    host, port = address
    return HTTPConnection(WHERE_TO_ASK.get(host, host), port, timeout=TIMEOUT_S)


def main() -> int:
    """Ask ``/readyz`` where the service listens."""
    try:
        with closing(connection_to(os.environ.get("THREADWRIGHT_BIND", "127.0.0.1:8000"))) as line:
            line.request("GET", "/readyz", headers={"Host": "localhost"})
            return 0 if line.getresponse().status == 200 else 1
    except (OSError, HTTPException):
        return 1


if __name__ == "__main__":
    sys.exit(main())
