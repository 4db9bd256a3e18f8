"""A bounded store of the answers asked for last."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import replace
from threading import Lock
from typing import Final

from threadwright_service.app.reply import Reply

_LONGEST_KEPT_QUERY: Final = 2_000
_USUAL_BYTES: Final = 2_048
"""A little more than the limits of a thread take as JSON."""
_LARGEST_SHARE: Final = 1 / 4
"""Of all bytes, that one answer may take: a larger one would drive out too many others."""


class KeptAnswers:
    """The answers asked for last, bounded in number and bytes; safe among threads.

    Parameters
    ----------
    most : int
        Most answers.
    most_bytes : int, optional
        Most bytes of all bodies together; 2 KiB for each answer if not given.
    """

    def __init__(self, most: int, most_bytes: int | None = None) -> None:
        self._most = most
        self._most_bytes = most * _USUAL_BYTES if most_bytes is None else most_bytes
        self._largest = int(self._most_bytes * _LARGEST_SHARE)
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
        if len(key[1]) > _LONGEST_KEPT_QUERY or len(reply.body) > self._largest:
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
