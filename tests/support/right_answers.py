"""Requests and the right answer to each, for servers that are disturbed."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import cycle

from support.examples import EXAMPLES, query
from support.load import get, post
from threadwright_service.app import create_app
from threadwright_service.settings import Settings

SIZES = (6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 42)
CLASSES = ("6g", "6h", "6H", "5H", "4h")


class RightAnswers:
    """Requests, and what the service answers to each when nothing disturbs it.

    They must be the same bytes under load, faults and restarts as at rest. That the numbers are
    right is for other tests to show.
    """

    def __init__(self) -> None:
        client = create_app(Settings()).test_client()
        self._bodies: dict[bytes, bytes] = {}
        for keys in (
            *({"designation": f"M{size}-{each}"} for size in SIZES for each in CLASSES),
            *({"designation": f"{whole}-16 UN-2A"} for whole in ("1 1/8", "1 1/4", "1 3/8")),
        ):
            path = f"/v1/thread-limits?{query(keys)}"
            self._bodies[get(path)] = client.get(path).data
            sent = json.dumps(keys).encode()
            self._bodies[post("/v1/thread-limits", sent)] = client.post(
                "/v1/thread-limits", json=keys
            ).data
        for operation, example in EXAMPLES:
            path = f"{operation.path}?{query(example.request)}"
            if len(path) < 2000:
                self._bodies[get(path)] = client.get(path).data

    def body(self, request: bytes) -> bytes:
        """The right answer to a request."""
        return self._bodies[request]

    def __iter__(self) -> Iterator[bytes]:
        """The requests in turn, without end."""
        return cycle(list(self._bodies))

    def __len__(self) -> int:
        return len(self._bodies)

    def gets(self) -> Iterator[bytes]:
        """Those that are no POST, without end."""
        return cycle([request for request in self._bodies if request.startswith(b"GET")])

    def light(self) -> Iterator[bytes]:
        """Those of thread limits, which take microseconds, without end."""
        return cycle([request for request in self._bodies if b"/v1/thread-limits" in request])

    def holds(self, request: bytes, status: int, body: bytes) -> bool:
        """Whether an answer is right, byte for byte."""
        return status == 200 and self._bodies[request] == body
