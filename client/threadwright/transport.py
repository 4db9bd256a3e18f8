"""How requests travel: over HTTP with retries, or to the service inside this process."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Protocol

import requests
from requests.adapters import HTTPAdapter
from urllib3.util.retry import Retry

from threadwright.errors import (
    ConnectionFailedError,
    NoAnswerError,
    TimedOutError,
    UnexpectedAnswerError,
    problem_error,
)

Timeout = float | tuple[float, float] | None

DEFAULT_TIMEOUT: tuple[float, float] = (3.05, 30.0)
"""Seconds to connect and to wait for the next bytes of the answer."""

_LONGEST_WAIT_S = 30.0
_REPEATED_STATUSES = (429, 502, 503, 504)


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """One answer: the JSON object, and the request's id."""

    members: Mapping[str, Any]
    request_id: str


class Transport(Protocol):
    """What a client needs of a way to the service."""

    def call(self, operation: str, params: Mapping[str, Any], timeout: Timeout) -> Received:
        """Call one operation with its keys."""

    def post(self, path: str, body: Mapping[str, Any], timeout: Timeout) -> Received:
        """POST a JSON object."""

    def get(self, path: str, params: Mapping[str, str], timeout: Timeout) -> requests.Response:
        """GET an address in whatever form it answers; the status is checked."""

    def close(self) -> None:
        """Give back what is held."""


class PoliteRetry(Retry):
    """Repeats what may be repeated, and never waits longer than half a minute.

    Every operation is a pure function of its request, so POST is repeated too. A read timeout is
    not: three times a long wait helps nobody.
    """

    def get_retry_after(self, response: Any) -> float | None:
        """What the service asks to wait, within reason."""
        wait = super().get_retry_after(response)
        return None if wait is None else min(wait, _LONGEST_WAIT_S)


def polite_retry(retries: int) -> PoliteRetry:
    """The retry rule of this client."""
    return PoliteRetry(
        total=retries,
        read=False,
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
    """

    def __init__(
        self,
        base_url: str,
        *,
        headers: Mapping[str, str],
        retries: int,
        session: requests.Session | None = None,
    ) -> None:
        self._base_url = base_url.rstrip("/")
        self._headers = dict(headers)
        self._owns_session = session is None
        self._session = requests.Session() if session is None else session
        self._prepared: dict[str, requests.PreparedRequest] = {}
        self._settings: Mapping[str, Any] = {}
        self._adapter: Any = None
        if self._owns_session:
            adapter = HTTPAdapter(max_retries=polite_retry(retries))
            self._session.mount("http://", adapter)
            self._session.mount("https://", adapter)
            # Proxies, certificates and .netrc are looked up once, not for each of many calls.
            self._settings = self._session.merge_environment_settings(
                self._base_url, {}, False, None, None
            )
            self._adapter = adapter

    def call(self, operation: str, params: Mapping[str, Any], timeout: Timeout) -> Received:
        """POST the keys to the operation's address."""
        return self.post(f"/v1/{operation}", params, timeout)

    def post(self, path: str, body: Mapping[str, Any], timeout: Timeout) -> Received:
        """POST a JSON object, and read the JSON object of the answer."""
        try:
            data = json.dumps(body, allow_nan=False).encode()
        except ValueError:
            # NaN is no JSON; the service's own sentence about it is better than ours.
            data = json.dumps(body).encode()
        return received(self._send("POST", path, {}, data, timeout))

    def get(self, path: str, params: Mapping[str, str], timeout: Timeout) -> requests.Response:
        """GET an address; a problem is raised."""
        response = self._send("GET", path, params, None, timeout)
        if response.status_code >= 400:
            received(response)
        return response

    def close(self) -> None:
        """Close the connections, if they are ours."""
        if self._owns_session:
            self._session.close()

    def _send(
        self,
        method: str,
        path: str,
        params: Mapping[str, str],
        data: bytes | None,
        timeout: Timeout,
    ) -> requests.Response:
        try:
            if self._adapter is None:
                return self._session.request(
                    method,
                    self._base_url + path,
                    params=params,
                    data=data,
                    headers=self._headers_of(data),
                    timeout=timeout,
                    allow_redirects=False,
                )
            prepared = self._prepared_for(method, path, params, data)
            return self._adapter.send(  # type: ignore[no-any-return]
                prepared, timeout=timeout, **self._settings
            )
        except requests.exceptions.Timeout as error:
            raise TimedOutError(f"{self._base_url} did not answer in time ({error})") from error
        except requests.exceptions.ConnectionError as error:
            if "Read timed out" in str(error):
                raise TimedOutError(f"{self._base_url} did not answer in time") from error
            raise ConnectionFailedError(f"no connection to {self._base_url} ({error})") from error
        except requests.exceptions.RequestException as error:
            raise NoAnswerError(f"no answer from {self._base_url} ({error})") from error

    def _prepared_for(
        self, method: str, path: str, params: Mapping[str, str], data: bytes | None
    ) -> requests.PreparedRequest:
        """A request made from one prepared before: only its body differs among calls."""
        if params:
            return self._session.prepare_request(
                requests.Request(
                    method, self._base_url + path, params=params, headers=self._headers_of(data)
                )
            )
        model = self._prepared.get(f"{method} {path}")
        if model is None:
            model = self._session.prepare_request(
                requests.Request(
                    method, self._base_url + path, data=data, headers=self._headers_of(data)
                )
            )
            self._prepared[f"{method} {path}"] = model
        prepared = model.copy()
        if data is not None:
            prepared.body = data
            prepared.headers["Content-Length"] = str(len(data))
        return prepared

    def _headers_of(self, data: bytes | None) -> dict[str, str]:
        if data is None:
            return self._headers
        return {**self._headers, "Content-Type": "application/json"}


def received(response: requests.Response) -> Received:
    """The JSON object of an answer.

    Raises
    ------
    ProblemError
        If it is a problem.
    UnexpectedAnswerError
        If it is not an answer of this service.
    """
    status = response.status_code
    content_type = response.headers.get("Content-Type", "")
    request_id = response.headers.get("X-Request-ID", "")
    members: Any = None
    if "json" in content_type:
        try:
            members = json.loads(response.content)
        except ValueError:
            members = None
    if isinstance(members, dict):
        if status < 300:
            return Received(members=members, request_id=request_id)
        if "status" in members or "problem" in content_type:
            raise problem_error(members, status=status, request_id=request_id)
    raise UnexpectedAnswerError(
        f"{response.url} answered {status} with {content_type or 'no type'}, which is not an "
        "answer of this service: look at the address, and for a proxy or a sign-in page before it",
        status=status,
        content_type=content_type,
    )
