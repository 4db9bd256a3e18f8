"""The client: one method for each operation, typed keys in, typed results out."""

from __future__ import annotations

import os
from collections.abc import Mapping
from importlib.metadata import PackageNotFoundError, version
from types import TracebackType
from typing import Any, Self, TypeVar, Unpack

import requests

from threadwright.embedded import EmbeddedTransport
from threadwright.keys import ThreadLimitsKeys
from threadwright.results.answer import Result
from threadwright.results.threads import ThreadLimits
from threadwright.transport import DEFAULT_TIMEOUT, HttpTransport, Timeout, Transport

try:
    VERSION = version("threadwright")
except PackageNotFoundError:  # pragma: no cover - run from a source tree that was not installed
    VERSION = "0"

ResultType = TypeVar("ResultType", bound=Result)


class Client:
    """A client of one Threadwright service.

    Parameters
    ----------
    base_url : str, optional
        Address of the service. Without one, the service runs inside this process; that needs the
        ``service`` extra.
    timeout : float, tuple or None
        Seconds, or seconds to connect and seconds to wait; ``None`` waits for ever.
    retries : int
        How often a call is repeated that found no service or a busy one.
    token : str, optional
        Sent as a bearer token.
    session : requests.Session, optional
        Used as it is and never altered; its own retries and proxies then hold.
    headers : mapping, optional
        Further headers.

    Raises
    ------
    EmbeddedServiceMissingError
        If there is no address and the service is not installed.

    Examples
    --------
    >>> with Client() as client:
    ...     limits = client.thread_limits(designation="M24x1.5-6g LH")
    >>> limits.limits.pitch_diameter.max
    22.994
    """

    def __init__(
        self,
        base_url: str | None = None,
        *,
        timeout: Timeout = DEFAULT_TIMEOUT,
        retries: int = 2,
        token: str | None = None,
        session: requests.Session | None = None,
        headers: Mapping[str, str] | None = None,
    ) -> None:
        self.base_url = base_url
        self._timeout = timeout
        sent = {"User-Agent": f"threadwright/{VERSION}", "Accept": "application/json"}
        if token is not None:
            sent["Authorization"] = f"Bearer {token}"
        sent.update(headers or {})
        self._transport: Transport = (
            EmbeddedTransport()
            if base_url is None
            else HttpTransport(base_url, headers=sent, retries=retries, session=session)
        )

    @classmethod
    def from_env(cls) -> Self:
        """A client for ``THREADWRIGHT_URL``, with ``THREADWRIGHT_TOKEN`` as its key."""
        return cls(os.environ.get("THREADWRIGHT_URL"), token=os.environ.get("THREADWRIGHT_TOKEN"))

    def close(self) -> None:
        """Close the connections."""
        self._transport.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def thread_limits(self, **keys: Unpack[ThreadLimitsKeys]) -> ThreadLimits:
        """Basic dimensions and limits of size of a thread."""
        return self._call("thread-limits", keys, ThreadLimits)

    def _call(
        self, operation: str, keys: Mapping[str, Any], result: type[ResultType]
    ) -> ResultType:
        timeout = self._timeout
        params = keys
        if "timeout" in keys:
            timeout = keys["timeout"]
            params = {key: value for key, value in keys.items() if key != "timeout"}
        got = self._transport.call(operation, params, timeout)
        return result.from_answer(got.members, got.request_id)
