"""The image's health check: is the service ready? Exit status 0 or 1; needs no curl."""

import os
import sys
from http.client import HTTPConnection, HTTPException


def main() -> int:
    """Ask ``/readyz`` on the port that the service listens on."""
    port = int(os.environ.get("THREADWRIGHT_BIND", "0.0.0.0:8000").rpartition(":")[2])
    connection = HTTPConnection("127.0.0.1", port, timeout=2)
    try:
        connection.request("GET", "/readyz")
        return 0 if connection.getresponse().status == 200 else 1
    except (OSError, HTTPException):
        return 1
    finally:
        connection.close()


if __name__ == "__main__":
    sys.exit(main())
