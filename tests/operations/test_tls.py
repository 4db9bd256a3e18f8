"""The proxy over TLS: verified by a client that trusts it, closed to old protocols and to none."""

from __future__ import annotations

import json
import signal
import ssl
import time
from http.client import HTTPSConnection
from pathlib import Path

import pytest

from support.load import exchange, get
from support.programs import run, tool
from support.servers import Process, nginx
from threadwright import Client

pytestmark = [pytest.mark.operations, pytest.mark.usefixtures("has_nginx")]


def certificate(folder: Path) -> tuple[Path, Path]:
    """A certificate of its own for this machine, and its key."""
    made, key = folder / "tls.crt", folder / "tls.key"
    run(
        tool("openssl"),
        *("req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes"),
        *("-days", "1", "-subj", "/CN=localhost", "-addext", "subjectAltName=IP:127.0.0.1"),
        *("-keyout", str(key), "-out", str(made)),
    )
    return made, key


def test_the_proxy_serves_over_tls(
    tmp_path: Path, service: Process, monkeypatch: pytest.MonkeyPatch
) -> None:
    made, key = certificate(tmp_path)
    with nginx(tmp_path / "proxy", [service.address], tls=(made, key)) as proxy:
        _, port = proxy.address
        trusting = ssl.create_default_context(cafile=str(made))
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

        monkeypatch.setenv("REQUESTS_CA_BUNDLE", str(made))
        with Client(f"https://127.0.0.1:{port}") as client:
            # ISO 965-2, M24-6g: pitch diameter 22.003 mm at most.
            limits = client.thread_limits(designation="M24-6g").limits
        assert limits.pitch_diameter.max == 22.003


def test_with_tls_nothing_is_served_without(tmp_path: Path, service: Process) -> None:
    with nginx(tmp_path / "proxy", [service.address], tls=certificate(tmp_path)) as proxy:
        status, head, body = exchange(proxy.address, get("/v1/thread-limits?designation=M24-6g"))
    assert status == 400, "refused, not sent on: clients in spreadsheets follow no redirect"
    assert b"location:" not in head.lower()
    assert b"application/problem+json" in head
    assert "https" in json.loads(body)["detail"]


def test_a_renewed_certificate_is_taken_up_by_a_reload(tmp_path: Path, service: Process) -> None:
    made, key = certificate(tmp_path)
    with nginx(tmp_path / "proxy", [service.address], tls=(made, key)) as proxy:
        old = made.read_text(encoding="ascii")
        assert ssl.get_server_certificate(proxy.address) == old
        certificate(tmp_path)
        renewed = made.read_text(encoding="ascii")
        assert renewed != old
        assert ssl.get_server_certificate(proxy.address) == old, "not by itself"
        proxy.signal(signal.SIGHUP)
        ends = time.monotonic() + 30
        while ssl.get_server_certificate(proxy.address) != renewed:
            assert time.monotonic() < ends
            time.sleep(0.05)
