"""Requests over HTTP: prepared once, repeated where that helps, every failure told apart."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final, Self
from urllib.parse import urlencode

import requests
from requests.adapters import HTTPAdapter
from urllib3.exceptions import InvalidHeader, ReadTimeoutError
from urllib3.util.retry import Retry

from threadwright.chunks import Item, chunks, halves
from threadwright.errors import (
    ConnectionFailedError,
    InvalidInputError,
    NoAnswerError,
    ProblemError,
    TimedOutError,
    UnexpectedAnswerError,
)
from threadwright.settings import checked_address, checked_headers, shown_address
from threadwright.transport import Answered, Received, Timeout, documented, members_of, received
from threadwright.wire import json_bytes

_LONGEST_WAIT_S = 30.0
_REPEATED_STATUSES: Final = (429, 502, 503, 504)
_CLASS_NAMES: Final = re.compile(r"^(?:<[^>]*>|HTTPS?Connection(?:Pool)?\([^)]*\)): ")
_MOST_MODELS: Final = 64
"""Prepared requests that are kept; every operation has one, chosen fields may be many."""


class PoliteRetry(Retry):
    """Repeats what may be repeated, and never waits longer than half a minute.

    Every operation is a pure function of its request, so POST is repeated too, also when the
    connection broke after it was sent. A read timeout is not: three times a long wait helps nobody.
    """

    def increment(
        self,
        method: str | None = None,
        url: str | None = None,
        response: Any = None,
        error: Exception | None = None,
        _pool: Any = None,
        _stacktrace: Any = None,
    ) -> Self:
        """Count one attempt, or give up."""
        if isinstance(error, ReadTimeoutError):
            raise error
        return super().increment(method, url, response, error, _pool, _stacktrace)

    def get_retry_after(self, response: Any) -> float | None:
        """What the service asks to wait, within reason."""
        try:
            wait = super().get_retry_after(response)
        except InvalidHeader:  # neither seconds nor a date: as if it were not there
            return None
        return None if wait is None else min(wait, _LONGEST_WAIT_S)


def polite_retry(retries: int) -> PoliteRetry:
    """The retry rule of this client."""
    return PoliteRetry(
        total=retries,
        backoff_factor=0.2,
        status_forcelist=_REPEATED_STATUSES,
        allowed_methods=frozenset(("GET", "HEAD", "OPTIONS", "POST")),
        respect_retry_after_header=True,
        raise_on_status=False,
    )


class HttpTransport:
    """Requests to a service at an address.

    Parameters
    ----------
    base_url : str
        Address of the service, such as ``http://127.0.0.1:8000``.
    headers : mapping
        Sent with every request.
    retries : int
        How often a request is repeated that found no service, or a busy one.
    session : requests.Session, optional
        Used as it is, and not closed; retries are then its own business.

    Raises
    ------
    ValueError
        If ``base_url`` is no address.
    """

    def __init__(
        self,
        base_url: str,
        *,
        headers: Mapping[str, str],
        retries: int,
        session: requests.Session | None = None,
    ) -> None:
        self._base_url = checked_address(base_url)
        self._shown = shown_address(self._base_url)
        self._headers = checked_headers(headers)
        self._given_session = session
        self._retries = retries
        self._own = requests.Session()
        self._connect()
        # Proxies, certificates and .netrc are looked up once, not for each of many calls.
        self._settings: Mapping[str, Any] = self._own.merge_environment_settings(
            self._base_url, {}, False, None, None
        )
        self._models: dict[str, requests.PreparedRequest] = {}

    def _connect(self) -> None:
        """Begin with no connections, in this process."""
        self._process = os.getpid()
        self._adapter = HTTPAdapter(max_retries=polite_retry(self._retries))
        self._own.mount("http://", self._adapter)
        self._own.mount("https://", self._adapter)

    def call(self, operation: str, keys: Mapping[str, Any], timeout: Timeout) -> Received:
        """POST the keys to the operation's address."""
        return received(self._send(f"/v1/{operation}", json_bytes(keys), timeout))

    def batch(self, items: Sequence[Item], timeout: Timeout) -> Iterator[Answered]:
        """POST the items to the batch's address, as many at once as a request may hold."""
        for bodies, alone in chunks(items):
            if alone is None:
                yield from self._batch(bodies, timeout)
            else:
                yield self._alone(alone, timeout)

    def document(
        self, path: str, query: Mapping[str, str], keys: Mapping[str, Any] | None, timeout: Timeout
    ) -> requests.Response:
        """Ask for another form of an answer."""
        data = None if keys is None else json_bytes(keys)
        return documented(
            self._send(f"{path}?{urlencode(query)}" if query else path, data, timeout)
        )

    def close(self) -> None:
        """Close the connections, if they are ours."""
        self._own.close()

    def _batch(self, bodies: Sequence[bytes], timeout: Timeout) -> Iterator[Answered]:
        """One request; if the service does not take it, halves of it, down to the item to blame."""
        data = b'{"items":[' + b",".join(bodies) + b"]}"
        try:
            got = received(self._send("/v1/batch", data, timeout))
        except InvalidInputError as problem:
            if len(bodies) == 1:
                yield problem.status, members_of(problem), problem.request_id
            else:
                for half in halves(bodies):
                    yield from self._batch(half, timeout)
            return
        answered = got.members.get("items")
        if not isinstance(answered, list):
            answered = []
        if len(answered) != len(bodies) or not all(isinstance(item, dict) for item in answered):
            raise UnexpectedAnswerError(
                f"{self._shown} answered a batch of {len(bodies)} items with {len(answered)}, "
                "or with something else than items",
                status=200,
                content_type="application/json",
            )
        meta = got.members.get("meta", {})
        for item in answered:
            status = item.get("status", 500)
            members = {**item, "meta": meta} if status == 200 else item.get("error", {})
            yield status, members, got.request_id

    def _alone(self, item: Item, timeout: Timeout) -> Answered:
        """An item that would spoil a whole batch is sent by itself, for the service to judge."""
        try:
            got = self.call(item[0], item[1], timeout)
        except ProblemError as problem:
            return problem.status, members_of(problem), problem.request_id
        return 200, got.members, got.request_id

    def _send(self, path: str, data: bytes | None, timeout: Timeout) -> requests.Response:
        """GET, or POST if there is a body; the whole answer is read.

        The adapter repeats what found no service; an answer that broke off is repeated here.
        """
        left = 0 if self._given_session is not None else self._retries
        while True:
            error: Exception | None = None
            try:
                response = self._sent(path, data, timeout)
                if _is_whole(response):
                    return response
            except requests.exceptions.ChunkedEncodingError as broken:
                error = broken
            except requests.exceptions.RequestException as failed:
                raise self._no_answer(failed) from failed
            if not left:
                raise ConnectionFailedError(
                    f"the answer of {self._shown} broke off before its end"
                ) from error
            left -= 1

    def _sent(self, path: str, data: bytes | None, timeout: Timeout) -> requests.Response:
        """One request, and its answer with what came of its body."""
        if self._given_session is not None:
            return self._given_session.request(
                "GET" if data is None else "POST",
                self._base_url + path,
                data=data,
                headers=self._headers_of(data),
                timeout=timeout,
                allow_redirects=False,
            )
        if self._process != os.getpid():
            # A forked process must not read from connections that its parent goes on using.
            self._connect()
        response = self._adapter.send(self._prepared(path, data), timeout=timeout, **self._settings)
        _ = response.content
        return response

    def _no_answer(self, error: requests.exceptions.RequestException) -> NoAnswerError:
        reason = _reason(error)
        # A body that stops arriving is a ConnectionError of requests, with only this text to tell.
        if isinstance(error, requests.exceptions.Timeout) or "Read timed out" in str(error):
            return TimedOutError(f"{self._shown} did not answer in time ({reason})")
        if isinstance(error, requests.exceptions.ProxyError):
            return ConnectionFailedError(f"no way to {self._shown} by its proxy ({reason})")
        if isinstance(error, requests.exceptions.ConnectionError):
            return ConnectionFailedError(f"no connection to {self._shown} ({reason})")
        return NoAnswerError(f"no answer from {self._shown} ({reason})")

    def _prepared(self, path: str, data: bytes | None) -> requests.PreparedRequest:
        """A request made from one prepared before: only its body differs among calls."""
        model = self._models.get(path)
        if model is None:
            model = self._own.prepare_request(
                requests.Request(
                    "GET" if data is None else "POST",
                    self._base_url + path,
                    data=data,
                    headers=self._headers_of(data),
                )
            )
            if len(self._models) < _MOST_MODELS:
                self._models[path] = model
        if data is None:
            return model
        prepared = model.copy()
        prepared.body = data
        prepared.headers["Content-Length"] = str(len(data))
        return prepared

    def _headers_of(self, data: bytes | None) -> dict[str, str]:
        if data is None:
            return self._headers
        return {**self._headers, "Content-Type": "application/json"}


def _is_whole(response: requests.Response) -> bool:
    """Whether the body is as long as was announced; urllib3 1 does not look."""
    announced = response.headers.get("Content-Length", "")
    if not announced.isdigit() or "Content-Encoding" in response.headers:
        return True
    return len(response.content) == int(announced)


def _reason(error: BaseException) -> str:
    """What went wrong, without the names of the classes that passed it on."""
    inner: Any = error
    while True:
        passed_on = (getattr(inner, "reason", None), *inner.args)
        following = next((each for each in passed_on if isinstance(each, BaseException)), None)
        if following is None:
            break
        inner = following
    if isinstance(inner, OSError) and inner.strerror:
        return inner.strerror
    return _CLASS_NAMES.sub("", str(inner))
