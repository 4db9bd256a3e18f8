"""The proxy over TLS: verified by a client that trusts it, and closed to old protocols."""

from __future__ import annotations

import ssl
from http.client import HTTPSConnection
from pathlib import Path

import pytest

from support.programs import run, tool
from support.servers import Process, free_port, nginx
from threadwright import Client

pytestmark = [pytest.mark.operations, pytest.mark.usefixtures("has_nginx")]


def test_the_proxy_serves_over_tls(
    tmp_path: Path, service: Process, monkeypatch: pytest.MonkeyPatch
) -> None:
    certificate, key = tmp_path / "tls.crt", tmp_path / "tls.key"
    run(
        tool("openssl"),
        *("req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes"),
        *("-days", "1", "-subj", "/CN=localhost", "-addext", "subjectAltName=IP:127.0.0.1"),
        *("-keyout", str(key), "-out", str(certificate)),
    )
    port = free_port()
    with nginx(tmp_path / "proxy", [service.address], tls=(port, certificate, key)):
        trusting = ssl.create_default_context(cafile=str(certificate))
        connection = HTTPSConnection("127.0.0.1", port, context=trusting, timeout=10)
        connection.request("GET", "/v1/thread-limits?designation=M24-6g")
        assert connection.getresponse().status == 200
        connection.close()

        old = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        old.check_hostname = False
        old.verify_mode = ssl.CERT_NONE
        with pytest.warns(DeprecationWarning, match="TLSv1_1"):
            old.maximum_version = ssl.TLSVersion.TLSv1_1
        with pytest.raises(OSError, match=r"(?i)ssl|protocol|alert"):
            HTTPSConnection("127.0.0.1", port, context=old, timeout=10).connect()

        monkeypatch.setenv("REQUESTS_CA_BUNDLE", str(certificate))
        with Client(f"https://127.0.0.1:{port}") as client:
            # ISO 965-2, M24-6g: pitch diameter 22.003 mm at most.
            limits = client.thread_limits(designation="M24-6g").limits
        assert limits.pitch_diameter.max == 22.003
