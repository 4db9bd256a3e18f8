"""The service inside this process: same contract, no server, no address.

Needs the ``service`` extra. Calls of operations go straight to the service's own entry, without
writing and reading HTTP; anything else (another form of an answer, a list) goes through
:class:`EmbeddedAdapter`, which hands a ``requests`` request to the WSGI application.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from threading import Lock
from typing import Any, Final
from urllib.parse import unquote, urlencode, urlsplit

import requests
from requests.adapters import BaseAdapter
from requests.structures import CaseInsensitiveDict

from threadwright.chunks import Item
from threadwright.errors import EmbeddedServiceMissingError, ServiceError, problem_error
from threadwright.transport import Answered, Received, Timeout, documented
from threadwright.wire import json_bytes

ADDRESS: Final = "http://embedded.invalid"
"""Where the adapter is mounted; a name that can never be resolved."""


class EmbeddedTransport:
    """Calls the service in this process.

    Raises
    ------
    EmbeddedServiceMissingError
        If the service is not installed.
    """

    def __init__(self) -> None:
        try:
            from threadwright_service.api.entry import call
        except ModuleNotFoundError as error:
            raise _missing(error) from error
        self._call: Callable[[str, Mapping[str, Any]], tuple[int, Mapping[str, Any]]] = call
        self._session: requests.Session | None = None
        self._lock = Lock()

    def call(self, operation: str, keys: Mapping[str, Any], timeout: Timeout) -> Received:  # noqa: ARG002
        """Call one operation."""
        try:
            status, members = self._call(operation, keys)
        except Exception as error:
            raise _failed(operation, error) from error
        if status != 200:
            raise problem_error(members, status=status)
        return Received(members, "")

    def batch(self, items: Sequence[Item], timeout: Timeout) -> Iterator[Answered]:  # noqa: ARG002
        """Call many, one after the other."""
        for operation, keys in items:
            try:
                status, members = self._call(operation, keys)
            except Exception as error:
                raise _failed(operation, error) from error
            # An unknown name is the item's fault, as it is in a batch over HTTP.
            yield (422 if status == 404 else status), members, ""

    def document(
        self, path: str, query: Mapping[str, str], keys: Mapping[str, Any] | None, timeout: Timeout
    ) -> requests.Response:
        """Ask for another form of an answer."""
        address = f"{ADDRESS}{path}?{urlencode(query)}" if query else f"{ADDRESS}{path}"
        session = self._web()
        if keys is None:
            return documented(session.get(address, timeout=timeout, allow_redirects=False))
        return documented(
            session.post(
                address,
                data=json_bytes(keys),
                headers={"Content-Type": "application/json"},
                timeout=timeout,
                allow_redirects=False,
            )
        )

    def close(self) -> None:
        """Let the application go."""
        if self._session is not None:
            self._session.close()

    def _web(self) -> requests.Session:
        """The web application, made when it is first asked for: typed calls do without it."""
        with self._lock:
            if self._session is None:
                try:
                    from threadwright_service.app import create_app
                    from threadwright_service.settings import Settings
                except ModuleNotFoundError as error:
                    raise _missing(error) from error
                self._session = requests.Session()
                self._session.trust_env = False
                # An operator's settings in the environment are for a server, not for this process.
                self._session.mount(ADDRESS, EmbeddedAdapter(create_app(Settings())))
            return self._session


def _failed(operation: str, error: Exception) -> ServiceError:
    """Over HTTP this would be a 500; here its cause is at hand."""
    return ServiceError(
        status=500,
        code="internal-error",
        title="The service has failed",
        detail=f"{operation} failed ({type(error).__name__}: {error})",
    )


def _missing(error: ModuleNotFoundError) -> EmbeddedServiceMissingError:
    return EmbeddedServiceMissingError(
        "no address was given, and the service that would run inside this process is not "
        f"installed ({error}): give Client(base_url) an address, or "
        "pip install 'threadwright[service]'"
    )


class EmbeddedAdapter(BaseAdapter):
    """A requests transport adapter that calls a WSGI application.

    Parameters
    ----------
    application : WSGI application
    """

    def __init__(self, application: Callable[..., Any]) -> None:
        super().__init__()
        self._application = application

    def send(
        self,
        request: requests.PreparedRequest,
        stream: bool = False,  # noqa: ARG002
        timeout: Any = None,  # noqa: ARG002
        verify: Any = True,  # noqa: ARG002
        cert: Any = None,  # noqa: ARG002
        proxies: Any = None,  # noqa: ARG002
    ) -> requests.Response:
        """Send a prepared request to the application and take its answer."""
        started: list[Any] = []

        def start_response(status: str, headers: list[tuple[str, str]], _: Any = None) -> Any:
            started[:] = [status, headers]
            return lambda data: None  # noqa: ARG005

        body = self._application(environ_of(request), start_response)
        try:
            content = b"".join(body)
        finally:
            close = getattr(body, "close", None)
            if close is not None:
                close()
        status, headers = started
        response = requests.Response()
        response.status_code = int(status[:3])
        response.reason = status[4:]
        response.headers = CaseInsensitiveDict(headers)
        response.encoding = requests.utils.get_encoding_from_headers(response.headers)
        response.raw = io.BytesIO(content)
        response.url = request.url or ADDRESS
        response.request = request
        return response

    def close(self) -> None:
        """Nothing is held."""


def environ_of(request: requests.PreparedRequest) -> dict[str, Any]:
    """The WSGI environment of a prepared request."""
    parts = urlsplit(request.url or ADDRESS)
    body = request.body or b""
    data = body.encode() if isinstance(body, str) else bytes(body)
    environ: dict[str, Any] = {
        "REQUEST_METHOD": request.method or "GET",
        "SCRIPT_NAME": "",
        # WSGI carries the path's bytes as Latin-1.
        "PATH_INFO": unquote(parts.path, "latin-1") or "/",
        "QUERY_STRING": parts.query,
        "SERVER_NAME": parts.hostname or "embedded.invalid",
        "SERVER_PORT": "80",
        "SERVER_PROTOCOL": "HTTP/1.1",
        "REMOTE_ADDR": "127.0.0.1",
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": "http",
        "wsgi.input": io.BytesIO(data),
        "wsgi.errors": sys.stderr,
        "wsgi.multithread": True,
        "wsgi.multiprocess": False,
        "wsgi.run_once": False,
    }
    for name, value in (request.headers or {}).items():
        key = name.upper().replace("-", "_")
        environ[key if key in ("CONTENT_TYPE", "CONTENT_LENGTH") else f"HTTP_{key}"] = value
    environ["CONTENT_LENGTH"] = str(len(data))
    return environ
