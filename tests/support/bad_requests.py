"""Bad requests without end, of every kind that a network brings, from a seed.

Most hold one thing that must be refused; a few come out right by chance. None may be answered with
a fault of the server's own.
"""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Iterator
from typing import Any, Final
from urllib.parse import quote_from_bytes, urlencode

from support.examples import EXAMPLES, query
from support.load import get, post
from support.mutations import CALL_OUTS

WORDS: Final = (
    "",
    " ",
    "NaN",
    "-inf",
    "1,5",
    "1.5.2",
    "1_0",
    "0x1F",
    "1e999",
    "-1e308",
    "1e-320",
    "9" * 400,
    "1/0",
    "3/4/5",
    "null",
    "true",
    "[]",
    "[[[[1]]]]",
    '{"a": {"b": []}}',
    "1;2;;3",
    "\u0661\u0662",  # digits of another script
    "\u221e",
    "\uff11\uff12",
    "M24x1.5-6g\x00",
    "\u202eM24",
    "' OR '1'='1",
    "<script>alert(1)</script>",
    "../../etc/passwd",
    "%s%n{0}",
    "\U0001d7d9",
)
VALUES: Final[tuple[Any, ...]] = (
    None,
    True,
    [],
    {},
    [[]],
    [None],
    {"": None},
    "",
    "12",
    "\ud83d",  # half of a pair
    -1,
    0,
    -0.0,
    1e308,
    -1e308,
    5e-324,
    2**63,
    10**300,
    [1e308] * 40,
    [{"method": []}],
)
BYTES: Final = (b"%", b"%zz", b"%00", b"%ff%fe", b"%c0%af", b"%ed%a0%80", b"+", b";", b"=", b"&&")
Maker = Callable[[random.Random], bytes]


def bad_requests(seed: int) -> Iterator[bytes]:
    """One bad request after another; the same ones for the same seed."""
    chance = random.Random(seed)
    while True:
        yield chance.choice(_MAKERS)(chance)


def bad_batches(seed: int, size: int) -> Iterator[bytes]:
    """Batches of bad items."""
    chance = random.Random(seed)
    while True:
        items = [_item(chance) for _ in range(size)]
        yield post("/v1/batch", json.dumps({"items": items}).encode())


def _item(chance: random.Random) -> Any:
    """One item of a batch, with something wrong in it or around it."""
    operation, keys = _example(chance)
    kind = chance.randrange(8)
    if kind == 0:
        return chance.choice(VALUES)
    if kind == 1:
        return {"operation": chance.choice((*WORDS, None, 7, [])), "params": keys}
    if kind == 2:
        return {"operation": operation, "params": chance.choice(VALUES)}
    if kind == 3:
        return {"operation": operation, "params": keys, "id": chance.choice(([], {}, 1.5, None))}
    if kind == 4:
        return {"operation": "thread-limits", "params": {"designation": _call_out(chance)}}
    return {"operation": operation, "params": _spoilt(keys, chance)}


def _example(chance: random.Random) -> tuple[str, dict[str, Any]]:
    operation, example = chance.choice(EXAMPLES)
    return operation.name, dict(example.request)


def _spoilt(keys: dict[str, Any], chance: random.Random) -> dict[str, Any]:
    """The keys with a value that is none, or a key that is none."""
    if chance.random() < 0.2:
        keys[chance.choice(("nonsense", "", "Designation", "unit ", "__class__"))] = 1
    else:
        keys[chance.choice(list(keys))] = chance.choice((*VALUES, *WORDS))
    return keys


def _call_out(chance: random.Random) -> str:
    """A call-out with a few letters changed."""
    text = chance.choice(CALL_OUTS)
    for _ in range(chance.randrange(1, 4)):
        at = chance.randrange(len(text) + 1)
        letter = chance.choice("0123456789.-/x M()TrUNG#HghLP,\u00d8\u00d7\x00")
        text = text[:at] + letter * chance.randrange(2) + text[at + chance.randrange(2) :]
    return text


def _wrong_call_out(chance: random.Random) -> bytes:
    return get(f"/v1/thread-limits?{urlencode({'designation': _call_out(chance)})}")


def _wrong_text(chance: random.Random) -> bytes:
    name, keys = _example(chance)
    keys[chance.choice(list(keys))] = chance.choice(WORDS)
    return get(f"/v1/{name}?{query(keys)}")


def _wrong_bytes(chance: random.Random) -> bytes:
    """A query whose bytes are no text, or no pairs."""
    name, keys = _example(chance)
    request = get(f"/v1/{name}?{query(keys)}")
    at = chance.randrange(request.index(b"?"), request.index(b" HTTP"))
    return request[:at] + chance.choice(BYTES) + request[at:]


def _wrong_key(chance: random.Random) -> bytes:
    name, keys = _example(chance)
    if chance.random() < 0.5:
        return get(f"/v1/{name}?{query(keys)}&{query({chance.choice(list(keys)): 'again'})}")
    return get(f"/v1/{name}?{query({**keys, chance.choice(WORDS): chance.choice(WORDS)})}")


def _wrong_form(chance: random.Random) -> bytes:
    """A form of an answer that there is not."""
    key = chance.choice(("format", "field", "rows", "picture", "on_error", "decimal", "v"))
    value = chance.choice((*WORDS, "a" * 2000, ",", "limits..max", "xml", "svg", "csv"))
    return get(f"/v1/thread-limits?{urlencode({'designation': 'M24x1.5-6g', key: value})}")


def _wrong_value(chance: random.Random) -> bytes:
    name, keys = _example(chance)
    return post(f"/v1/{name}", json.dumps(_spoilt(keys, chance)).encode())


def _wrong_json(chance: random.Random) -> bytes:
    """A body that is cut, has a byte changed, or holds what JSON does not."""
    name, keys = _example(chance)
    body = bytearray(json.dumps(keys).encode())
    kind = chance.randrange(4)
    if kind == 0:
        del body[chance.randrange(len(body)) :]
    elif kind == 1:
        body[chance.randrange(len(body))] = chance.randrange(256)
    elif kind == 2:
        body = bytearray(b"[" * chance.randrange(1, 5000))
    else:
        number = chance.choice((b"NaN", b"-Infinity", b"1e999", b"9" * 5000, b"01", b".5"))
        body[:1] = b'{"unit": ' + number + b", "
    return post(f"/v1/{name}", bytes(body))


def _wrong_path(chance: random.Random) -> bytes:
    name = chance.choice(EXAMPLES)[0].name
    text = quote_from_bytes(chance.choice(WORDS).encode("utf-8", "surrogatepass"), safe="/.")
    path = chance.choice(
        (
            f"/{text}",
            f"/v1/{text}",
            f"/v1/{name}/{text}",
            f"/v1/{name}.{text}",
            f"//v1/{name}",
            f"/v1/../v1/{name}",
            f"/v2/{name}",
            f"/problems/{text}",
            f"/docs/{text}",
        )
    )
    return get(path)


def _wrong_method(chance: random.Random) -> bytes:
    name = chance.choice(("batch", "threads", *(operation.name for operation, _ in EXAMPLES)))
    method = chance.choice(("PUT", "DELETE", "PATCH", "TRACE", "PROPFIND", "LINK"))
    return get(f"/v1/{name}").replace(b"GET", method.encode(), 1)


def _wrong_header(chance: random.Random) -> bytes:
    """A body of another type or coding, or a header that says nothing."""
    name, keys = _example(chance)
    word = chance.choice(
        ("*", ";;", "q=9", "text/", "\xff", "W/\"'", "a" * 3000, "application/xml")
    )
    if chance.random() < 0.5:
        field = chance.choice(("Content_Type", "Content_Encoding"))
        return post(f"/v1/{name}", json.dumps(keys).encode(), **{field: word})
    field = chance.choice(("Accept", "If_None_Match", "X_Request_ID", "Authorization", "Cookie"))
    return get(f"/v1/{name}?nonsense=1", **{field: word})


def _wrong_batch(chance: random.Random) -> bytes:
    value = chance.choice(VALUES)
    body: Any = chance.choice(
        (value, {"items": value}, {"items": [value], "more": 1}, {"item": []})
    )
    return post("/v1/batch", json.dumps(body).encode())


_MAKERS: Final[tuple[Maker, ...]] = (
    _wrong_call_out,
    _wrong_text,
    _wrong_bytes,
    _wrong_key,
    _wrong_form,
    _wrong_value,
    _wrong_json,
    _wrong_path,
    _wrong_method,
    _wrong_header,
    _wrong_batch,
)
