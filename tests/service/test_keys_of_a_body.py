"""A key that stands twice in a JSON body is found, whatever else the body holds.

The judge is Python's own JSON parser, which hands over every pair of key and value.
"""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.app.body import UnreadableError, parsed

KEYS = st.sampled_from(['"a"', '"b"', '":"', '""', r'"\u0061"', '"a:"', '"a :"'])
BLANKS = st.sampled_from(["", "", "", " ", "\t", "\n"])
VALUES = st.sampled_from(
    ["1", "-2.5e3", "null", "true", '""', '":x"', '" :"', r'"\":"', r'"\u0022:"', '"a:b"', '"é"']
)


def listed(items: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.lists(items, max_size=3).map(lambda parts: f"[{','.join(parts)}]")


def keyed(values: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    pair = st.tuples(KEYS, BLANKS, BLANKS, values).map(lambda p: f"{p[0]}{p[1]}:{p[2]}{p[3]}")
    return st.lists(pair, max_size=4).map(lambda pairs: f"{{{','.join(pairs)}}}")


BODIES = keyed(st.recursive(VALUES, lambda inner: listed(inner) | keyed(inner), max_leaves=8))


class TwiceError(Exception):
    pass


def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    if len(dict(pairs)) < len(pairs):
        raise TwiceError
    return dict(pairs)


@given(BODIES)
def test_a_key_that_stands_twice_is_refused_and_nothing_else(text: str) -> None:
    try:
        wanted = json.loads(text, object_pairs_hook=once)
    except TwiceError:
        with pytest.raises(UnreadableError, match="stands twice"):
            parsed(text.encode())
    else:
        assert parsed(text.encode()) == wanted


@pytest.mark.parametrize("depth", [100, 300, 900])
def test_a_body_may_be_nested(depth: int) -> None:
    body = b'{"a":' + b"[" * depth + b"]" * depth + b"}"
    assert parsed(body) == json.loads(body)


@pytest.mark.parametrize("depth", [1_100, 50_000])
def test_a_body_nested_too_deeply_is_refused(depth: int) -> None:
    with pytest.raises(UnreadableError, match="nested too deeply"):
        parsed(b'{"a":' + b"[" * depth + b"]" * depth + b"}")
