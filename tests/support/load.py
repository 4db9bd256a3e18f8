"""A load generator: kept connections in a closed loop, every answer read to its end and counted.

One thread and one selector drive all connections, so that the tool costs little and the times it
takes are of the server. What goes wrong is counted by kind, never hidden: a request whose
connection broke is *lost*, a connection that was not taken is *refused*, an answer that the check
does not accept is *wrong*.
"""

from __future__ import annotations

import selectors
import socket
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from statistics import quantiles
from time import perf_counter
from typing import Any

Address = tuple[str, int]
Check = Callable[[bytes, int, bytes], bool]
"""Whether an answer (request, status, body) is right."""


def get(path: str, **headers: str) -> bytes:
    """The bytes of a GET; underscores in header names stand for hyphens."""
    return _head("GET", path, headers) + b"\r\n"


def post(path: str, body: bytes, **headers: str) -> bytes:
    """The bytes of a POST of JSON."""
    headers = {"Content_Type": "application/json", "Content_Length": str(len(body)), **headers}
    return _head("POST", path, headers) + b"\r\n" + body


def _head(method: str, path: str, headers: dict[str, str]) -> bytes:
    lines = [f"{method} {path} HTTP/1.1", "Host: 127.0.0.1"]
    lines += [f"{name.replace('_', '-')}: {value}" for name, value in headers.items()]
    return "".join(f"{line}\r\n" for line in lines).encode()


@dataclass(slots=True)
class Tally:
    """What became of the requests."""

    statuses: Counter[int] = field(default_factory=Counter)
    lost: int = 0
    refused: int = 0
    wrong: int = 0
    repeated: int = 0
    seconds: float = 0.0
    waits_s: list[float] = field(default_factory=list)
    first_wrong: tuple[bytes, int, bytes] | None = None

    @property
    def answered(self) -> int:
        """Answers of any status."""
        return sum(self.statuses.values())

    @property
    def per_second(self) -> float:
        """Answers a second."""
        return self.answered / self.seconds

    def percentile_s(self, share: int) -> float:
        """The wait that this share of the requests, in per cent, did not exceed."""
        return quantiles(self.waits_s, n=100, method="inclusive")[share - 1]

    def faults(self) -> dict[str, int]:
        """What went wrong, by kind; empty if nothing did."""
        kinds = {
            "lost": self.lost,
            "refused": self.refused,
            "wrong": self.wrong,
            "server errors": sum(n for status, n in self.statuses.items() if status >= 500),
        }
        return {kind: count for kind, count in kinds.items() if count}


class _Line:
    """One connection and the request that is under way on it."""

    __slots__ = ("began", "buffer", "fresh", "request", "socket", "tries", "wanted")

    def __init__(self) -> None:
        self.socket: socket.socket | None = None
        self.request = b""
        self.buffer = b""
        self.wanted = -1
        self.began = 0.0
        self.tries = 0
        self.fresh = True


class Load:
    """Drives requests at an address.

    Parameters
    ----------
    address : tuple
        Host and port.
    requests : iterable of bytes
        Sent in order, each once.
    connections : int
        How many at once.
    check : callable, optional
        Called for every answer.
    repeats : int
        How often a request is sent again whose connection broke, as a client with retries does.
    """

    def __init__(
        self,
        address: Address,
        requests: Iterable[bytes],
        *,
        connections: int = 8,
        check: Check | None = None,
        repeats: int = 0,
        timeout_s: float = 30.0,
    ) -> None:
        self._address = address
        self._requests: Iterator[bytes] = iter(requests)
        self._check = check
        self._repeats = repeats
        self._timeout_s = timeout_s
        self._selector = selectors.DefaultSelector()
        self._lines = [_Line() for _ in range(connections)]
        self._busy = 0
        self._ends = 0.0
        self.tally = Tally()

    def run(self, seconds: float = float("inf")) -> Tally:
        """Send until the requests or the seconds run out; what is under way is waited for."""
        began = perf_counter()
        self._ends = began + seconds
        try:
            for line in self._lines:
                self._next(line)
            while self._busy:
                events = self._selector.select(self._timeout_s)
                if not events:
                    self.tally.lost += self._busy
                    break
                for key, _ in events:
                    self._readable(key.data)
        finally:
            for line in self._lines:
                self._close(line)
            self._selector.close()
        self.tally.seconds = perf_counter() - began
        return self.tally

    def stop(self) -> None:
        """Send nothing more; may be called from another thread."""
        self._ends = 0.0

    def _next(self, line: _Line) -> None:
        """Send the next request on a line, or let it rest."""
        now = perf_counter()
        request = next(self._requests, None) if now < self._ends else None
        if request is None:
            return
        line.request, line.began, line.tries = request, now, 0
        self._busy += 1
        self._send(line)

    def _send(self, line: _Line) -> None:
        line.buffer, line.wanted = b"", -1
        while True:
            try:
                if line.socket is None:
                    self._open(line)
                assert line.socket is not None
                line.socket.sendall(line.request)
            except ConnectionRefusedError:
                if not self._again(line):
                    self._gone(line, refused=True)
                    return
            except OSError:
                if not self._again(line):
                    self._gone(line, refused=False)
                    return
            else:
                return

    def _open(self, line: _Line) -> None:
        line.socket = socket.create_connection(self._address, timeout=self._timeout_s)
        line.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self._selector.register(line.socket, selectors.EVENT_READ, line)

    def _again(self, line: _Line) -> bool:
        """Whether the request may be sent once more, on a new connection."""
        self._close(line)
        if line.tries >= self._repeats:
            return False
        line.tries += 1
        self.tally.repeated += 1
        return True

    def _gone(self, line: _Line, *, refused: bool) -> None:
        if refused:
            self.tally.refused += 1
        else:
            self.tally.lost += 1
        self._busy -= 1
        self._next(line)

    def _close(self, line: _Line) -> None:
        if line.socket is not None:
            self._selector.unregister(line.socket)
            line.socket.close()
            line.socket = None

    def _readable(self, line: _Line) -> None:
        if line.socket is None:  # closed by an earlier event of the same round
            return
        try:
            data = line.socket.recv(262_144)
        except OSError:
            data = b""
        if not data:
            if self._again(line):
                self._send(line)
            else:
                self._gone(line, refused=False)
            return
        line.buffer += data
        if line.wanted < 0:
            end = line.buffer.find(b"\r\n\r\n")
            if end < 0:
                return
            line.wanted = end + 4 + content_length(line.buffer[:end])
        if len(line.buffer) >= line.wanted:
            self._answered(line)

    def _answered(self, line: _Line) -> None:
        tally = self.tally
        tally.waits_s.append(perf_counter() - line.began)
        status = int(line.buffer[9:12])
        tally.statuses[status] += 1
        head, _, body = line.buffer.partition(b"\r\n\r\n")
        if self._check is not None and not self._check(line.request, status, body):
            tally.wrong += 1
            tally.first_wrong = tally.first_wrong or (line.request, status, body)
        if b"connection: close" in head.lower():
            self._close(line)
        self._busy -= 1
        self._next(line)


def content_length(head: bytes) -> int:
    """The body's length that an answer's head announces; 0 if none."""
    at = head.find(b"Content-Length: ")
    if at < 0:
        return 0
    return int(head[at + 16 :].split(b"\r\n", 1)[0])


def exchange(address: Address, sent: bytes, *, seconds: float = 10.0) -> tuple[int, bytes, bytes]:
    """Send raw bytes on a connection of their own: status, head and body of the answer.

    Status 0: the connection was closed without one.
    """
    has_body = not sent.startswith(b"HEAD ")  # its answer tells a length and holds nothing
    with socket.create_connection(address, timeout=seconds) as line:
        with suppress(OSError):  # the server may answer and close before all is sent
            line.sendall(sent)
        got = b""
        try:
            while b"\r\n\r\n" not in got or (has_body and _incomplete(got)):
                data = line.recv(65_536)
                if not data:
                    break
                got += data
        except OSError:
            pass
    head, _, body = got.partition(b"\r\n\r\n")
    return (int(got[9:12]) if got[:5] == b"HTTP/" else 0), head, body


def _incomplete(got: bytes) -> bool:
    head, _, body = got.partition(b"\r\n\r\n")
    return b"Content-Length: " in head and len(body) < content_length(head)


def any_of(requests: Iterable[bytes]) -> Iterator[bytes]:
    """The requests over and over."""
    held: list[Any] = list(requests)
    while True:
        yield from held
