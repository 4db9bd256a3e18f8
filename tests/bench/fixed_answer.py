"""A server that costs as little as Python can: the same bytes for every request.

Run as a program with the path of a file that holds an answer's body; prints its port.
"""

from __future__ import annotations

import socket
import sys
from pathlib import Path
from threading import Thread


def main() -> None:
    """Serve until the process is ended."""
    body = Path(sys.argv[1]).read_bytes()
    answer = (
        b"HTTP/1.1 200 OK\r\nContent-Type: application/json\r\nX-Request-ID: fixed\r\n"
        b"Content-Length: " + str(len(body)).encode() + b"\r\n\r\n" + body
    )
    listener = socket.create_server(("127.0.0.1", 0))
    sys.stdout.write(f"{listener.getsockname()[1]}\n")
    sys.stdout.flush()
    while True:
        connection, _ = listener.accept()
        Thread(target=_serve, args=(connection, answer), daemon=True).start()


def _serve(connection: socket.socket, answer: bytes) -> None:
    connection.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    with connection:
        while _whole_request(connection):
            connection.sendall(answer)


def _whole_request(connection: socket.socket) -> bool:
    """Read one request to its end; false if the connection has ended."""
    data = connection.recv(65_536)
    while data:
        head, found, body = data.partition(b"\r\n\r\n")
        _, named, rest = head.partition(b"Content-Length: ")
        if found and len(body) >= (int(rest.partition(b"\r\n")[0]) if named else 0):
            return True
        data += connection.recv(65_536)
    return False


if __name__ == "__main__":
    main()
