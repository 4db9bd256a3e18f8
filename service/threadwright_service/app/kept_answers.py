"""A bounded store of the answers asked for last."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import replace
from threading import Lock
from typing import Final

from threadwright_service.app.reply import Reply

_LONGEST_KEPT_QUERY: Final = 2_000
_LARGEST_KEPT_BODY: Final = 65_536
_MOST_KEPT_BYTES: Final = 2**20


class KeptAnswers:
    """The answers asked for last, bounded in number and bytes; safe among threads.

    Parameters
    ----------
    most : int
        Most answers.
    most_bytes : int
        Most bytes of all bodies together.
    """

    def __init__(self, most: int, most_bytes: int = _MOST_KEPT_BYTES) -> None:
        self._most = most
        self._most_bytes = most_bytes
        self._bytes = 0
        self._replies: OrderedDict[tuple[str, str, str], Reply] = OrderedDict()
        self._lock = Lock()

    def get(self, key: tuple[str, str, str]) -> Reply | None:
        """The kept answer, which now counts as asked for last."""
        with self._lock:
            reply = self._replies.get(key)
            if reply is not None:
                self._replies.move_to_end(key)
            return reply

    def put(self, key: tuple[str, str, str], reply: Reply) -> None:
        """Keep an answer; those asked for longest ago go."""
        if len(key[1]) > _LONGEST_KEPT_QUERY or len(reply.body) > _LARGEST_KEPT_BODY:
            return
        # A copy, because the writer of JSON leaves its bytes in far larger pieces of memory.
        kept = replace(reply, body=bytes(memoryview(reply.body)))
        with self._lock:
            if key not in self._replies:
                self._replies[key] = kept
                self._bytes += len(kept.body)
            while len(self._replies) > self._most or self._bytes > self._most_bytes:
                _, gone = self._replies.popitem(last=False)
                self._bytes -= len(gone.body)
