"""The service inside this process: same contract, no server, no address.

Needs the ``service`` extra. Calls of operations go straight to the service's own entry, without
writing and reading HTTP; anything else (another form of an answer, a list, a page) goes through
:class:`EmbeddedAdapter`, which hands a ``requests`` request to the WSGI application.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Callable, Mapping
from typing import Any, Final
from urllib.parse import unquote, urlsplit

import requests
from requests.adapters import BaseAdapter
from requests.structures import CaseInsensitiveDict

from threadwright.errors import EmbeddedServiceMissingError, problem_error
from threadwright.transport import Received, Timeout, received

ADDRESS: Final = "http://embedded.invalid"
"""Where the adapter is mounted; a name that can never be resolved."""


class EmbeddedTransport:
    """Calls the service in this process."""

    def __init__(self) -> None:
        try:
            from threadwright_service.api.entry import call
            from threadwright_service.wsgi import app
        except ImportError as error:
            raise EmbeddedServiceMissingError(
                "no address was given, and the service that would run inside this process is not "
                f"installed ({error}): give Client(base_url) an address, or "
                "pip install 'threadwright[service]'"
            ) from error
        self._call: Callable[[str, Mapping[str, Any]], tuple[int, Mapping[str, Any]]] = call
        self._session = requests.Session()
        self._session.trust_env = False
        self._session.mount(ADDRESS, EmbeddedAdapter(app))

    def call(self, operation: str, params: Mapping[str, Any], timeout: Timeout) -> Received:  # noqa: ARG002
        """Call one operation with its keys."""
        status, members = self._call(operation, params)
        if status != 200:
            raise problem_error(members, status=status)
        return Received(members=members, request_id="")

    def post(self, path: str, body: Mapping[str, Any], timeout: Timeout) -> Received:
        """POST a JSON object."""
        return received(self._session.post(ADDRESS + path, json=body, timeout=timeout))

    def get(self, path: str, params: Mapping[str, str], timeout: Timeout) -> requests.Response:
        """GET an address; a problem is raised."""
        response = self._session.get(ADDRESS + path, params=params, timeout=timeout)
        if response.status_code >= 400:
            received(response)
        return response

    def close(self) -> None:
        """Let the adapter go."""
        self._session.close()


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
            return started.append

        body = self._application(environ_of(request), start_response)
        content = b"".join(body)
        close = getattr(body, "close", None)
        if close is not None:
            close()
        status, headers = started[0], started[1]
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
        "PATH_INFO": unquote(parts.path, "latin-1") or "/",
        "QUERY_STRING": parts.query,
        "SERVER_NAME": parts.hostname or "embedded.invalid",
        "SERVER_PORT": "80",
        "SERVER_PROTOCOL": "HTTP/1.1",
        "REMOTE_ADDR": "127.0.0.1",
        "CONTENT_LENGTH": str(len(data)),
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
    return environ
