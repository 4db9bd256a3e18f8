"""Head and body of an answer leave in one send; whatever else is done with a socket works."""

from __future__ import annotations

import socket
from collections.abc import Iterator

import pytest

from threadwright_service.gunicorn_worker import JoinedSends


class _Counting(socket.socket):
    """A socket that counts its sends."""

    sends = 0

    def sendall(self, data: bytes) -> None:  # type: ignore[override]
        self.sends += 1
        super().sendall(data)


@pytest.fixture
def ends() -> Iterator[tuple[_Counting, socket.socket]]:
    """Two ends of a connection."""
    near, far = socket.socketpair()
    with _Counting(near.family, near.type, fileno=near.detach()) as counting, far:
        far.settimeout(2)
        yield counting, far


def test_two_pieces_leave_in_one_send(ends: tuple[_Counting, socket.socket]) -> None:
    near, far = ends
    joined = JoinedSends(near)
    joined.sendall(b"head ")
    assert near.sends == 0
    joined.sendall(b"body ")
    assert near.sends == 1
    joined.sendall(b"more")
    assert near.sends == 2
    assert far.recv(100) == b"head body more"


def test_a_head_alone_leaves_at_the_end(ends: tuple[_Counting, socket.socket]) -> None:
    near, far = ends
    joined = JoinedSends(near)
    joined.flush()
    assert near.sends == 0
    joined.sendall(b"head")
    joined.flush()
    joined.flush()
    assert near.sends == 1
    assert far.recv(100) == b"head"


def test_any_other_use_comes_after_what_was_kept(ends: tuple[_Counting, socket.socket]) -> None:
    near, far = ends
    joined = JoinedSends(near)
    joined.sendall(b"head ")
    joined.send(b"interim ")
    assert joined.fileno() == near.fileno()
    joined.sendall(b"body")
    assert far.recv(100) == b"head interim body"
