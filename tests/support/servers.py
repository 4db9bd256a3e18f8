"""Real servers on loopback, for tests and benchmarks: gunicorn as it is shipped, and nginx."""

from __future__ import annotations

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from types import TracebackType
from typing import Self

from support.load import Address, exchange, get

ROOT = Path(__file__).resolve().parents[2]
SETTINGS = "python:threadwright_service.gunicorn_conf"
SERVICE = "threadwright_service.wsgi:app"


def free_port() -> int:
    """A port on loopback that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


class Process:
    """A server process, ended with everything it started."""

    def __init__(
        self,
        command: Sequence[str],
        port: int,
        log: Path,
        *,
        environment: Mapping[str, str],
        cores: Iterable[int] | None = None,
    ) -> None:
        self.address: Address = ("127.0.0.1", port)
        self.log = log
        held = set(cores) if cores is not None else None
        with log.open("ab") as output:
            self._process = subprocess.Popen(
                command,
                stdout=output,
                stderr=output,
                env=dict(environment),
                start_new_session=True,
                preexec_fn=None if held is None else lambda: os.sched_setaffinity(0, held),
            )

    @property
    def url(self) -> str:
        """Address for clients."""
        return f"http://{self.address[0]}:{self.address[1]}"

    @property
    def pid(self) -> int:
        """Process id of the one that was started: of gunicorn and nginx, the master."""
        return self._process.pid

    def wait_until_ready(
        self, path: str = "/readyz", seconds: float = 30.0, *, address: Address | None = None
    ) -> None:
        """Wait for a 200, at another of its addresses if one is given."""
        ends = time.monotonic() + seconds
        while time.monotonic() < ends:
            if self._process.poll() is not None:
                break
            with suppress(OSError):
                if exchange(address or self.address, get(path), seconds=5)[0] == 200:
                    return
            time.sleep(0.02)
        told = self.log.read_text(encoding="utf-8", errors="replace")[-2_000:]
        raise RuntimeError(f"{self.url} is not ready: {told}")

    def signal(self, number: signal.Signals) -> None:
        """Send a signal to the master."""
        self._process.send_signal(number)

    def cpu_seconds(self) -> float:
        """Processor time that the living workers have used so far."""
        return sum(self.cpu_seconds_of_each())

    def cpu_seconds_of_each(self) -> list[float]:
        """Processor time of each living worker."""
        return [
            sum(
                int((task / "schedstat").read_text(encoding="ascii").split()[0])
                for task in Path(f"/proc/{worker}/task").iterdir()
            )
            / 1e9
            for worker in self.workers()
        ]

    def workers(self) -> list[int]:
        """Process ids of the master's children."""
        children = Path(f"/proc/{self.pid}/task/{self.pid}/children")
        return [int(word) for word in children.read_text().split()]

    def wait(self, seconds: float) -> int:
        """Wait for the end; its exit status."""
        return self._process.wait(seconds)

    def kill(self) -> None:
        """End the whole tree at once, as a power cut does."""
        with suppress(ProcessLookupError):
            os.killpg(self.pid, signal.SIGKILL)
        self._process.wait(10)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._process.poll() is None:
            self._process.terminate()
            with suppress(subprocess.TimeoutExpired):
                self._process.wait(5)
        self.kill()


def gunicorn(
    log: Path,
    *,
    port: int | None = None,
    application: str = SERVICE,
    settings: str = SETTINGS,
    cores: Iterable[int] | None = None,
    folders: Sequence[Path] = (),
    before: Sequence[str] = (),
    ready: str | None = "/readyz",
    environment: Mapping[str, str] | None = None,
    **settings_of_service: str,
) -> Process:
    """The service under gunicorn with its own settings, from this source tree.

    Parameters
    ----------
    log : Path
        Where what it writes goes.
    port : int, optional
        A free one if not given.
    application : str
        Another application under the same settings, for comparison.
    settings : str
        Another settings file.
    cores : iterable of int, optional
        The cores that master and workers are held to.
    folders : sequence of Path
        More places to import from.
    before : sequence of str
        A command that runs the command, such as ``prlimit``.
    ready : str, optional
        What must answer 200 before this returns; ``None``: do not wait.
    environment : mapping, optional
        More environment variables.
    **settings_of_service : str
        Its settings, without their common beginning: ``WORKERS="2"``.
    """
    port = free_port() if port is None else port
    variables = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join(
            str(folder) for folder in (ROOT / "service", ROOT / "client", *folders)
        ),
        "THREADWRIGHT_BIND": f"127.0.0.1:{port}",
        # As an installed package has its bytecode, so has the tree, outside of it.
        "PYTHONDONTWRITEBYTECODE": "",
        "PYTHONPYCACHEPREFIX": str(Path(tempfile.gettempdir()) / "threadwright-bytecode"),
    }
    variables |= {f"THREADWRIGHT_{name}": value for name, value in settings_of_service.items()}
    variables |= environment or {}
    process = Process(
        [*before, sys.executable, "-m", "gunicorn", "-c", settings, application],
        port,
        log,
        environment=variables,
        cores=cores,
    )
    if ready is not None:
        _or_end(process, ready)
    return process


def nginx_program() -> str | None:
    """Where nginx is, if it is installed."""
    return shutil.which("nginx") or shutil.which("nginx", path="/usr/sbin:/usr/local/sbin")


class Proxy(Process):
    """nginx, and where the operator asks it."""

    inside: Address


def nginx(
    folder: Path,
    upstreams: Sequence[Address],
    *,
    ready: bool = True,
    tls: tuple[Path, Path] | None = None,
    rate: int | None = None,
) -> Proxy:
    """nginx with the project's own site before servers, on ports of its own.

    Parameters
    ----------
    folder : Path
        Where its files go.
    upstreams : sequence of addresses
        The replicas.
    ready : bool
        Wait until it finds one of them.
    tls : pair of Path, optional
        Certificate and key: it listens as with TLS, and nowhere without.
    rate : int, optional
        What one address may ask in a second; with it the limits of an address are taken in, which
        are left out as shipped.
    """
    program = nginx_program()
    if program is None:
        raise RuntimeError("nginx is not installed")
    folder.mkdir(parents=True, exist_ok=True)
    port, inside = free_port(), free_port()
    own = {
        "listen 8080": f"listen 127.0.0.1:{port}",
        "listen 8081": f"listen 127.0.0.1:{inside}",
        "/tmp/": f"{folder}/",
        "/dev/stdout": str(folder / "access.log"),
        "worker_processes auto;": "worker_processes 1; daemon off;",
    }
    if rate is not None:
        own |= {
            _shipped_rate(): f"rate={rate}r/s",
            "# limit_req zone": "limit_req zone",
            "# limit_conn threadwright": "limit_conn threadwright",
        }
    if tls is not None:
        own |= {
            f"/etc/nginx/certificate/tls.{kind}": str(file)
            for kind, file in zip(("crt", "key"), tls, strict=True)
        }
    for number, (host, at) in enumerate(upstreams, 1):
        own[f"unix:/run/threadwright/service-{number}.sock:"] = f"{host}:{at}"
    for name in ("nginx", "clients", "site", "inside"):
        _write_own(folder / f"{name}.conf", name, own)
    _write_own(folder / "listen.conf", "plain" if tls is None else "tls", own)
    (folder / "upstream.conf").write_text(upstream(upstreams), encoding="utf-8")
    if os.geteuid() == 0:
        # Else its workers may not write into the test's folder.
        main = folder / "nginx.conf"
        main.write_text(f"user root;\n{main.read_text(encoding='utf-8')}", encoding="utf-8")
    process = Proxy(
        [program, "-c", str(folder / "nginx.conf"), "-e", "stderr"],
        port,
        folder / "nginx.log",
        environment=os.environ,
    )
    process.inside = ("127.0.0.1", inside)
    if ready:
        _or_end(process, "/readyz", process.inside)
    return process


def _shipped_rate() -> str:
    text = (ROOT / "docker" / "nginx" / "clients.conf").read_text(encoding="utf-8")
    [found] = re.findall(r"rate=\d+r/s", text)
    return str(found)


def _write_own(path: Path, name: str, own: Mapping[str, str]) -> None:
    """One of the project's files, with what differs here in place of what is shipped."""
    text = (ROOT / "docker" / "nginx" / f"{name}.conf").read_text(encoding="utf-8")
    for ours, theirs in own.items():
        text = text.replace(ours, theirs)
    path.write_text(text, encoding="utf-8")


def upstream(servers: Sequence[Address], down: Iterable[Address] = ()) -> str:
    """The project's own upstream with other servers in it; those of ``down`` are left out."""
    out = set(down)
    text = (ROOT / "docker" / "nginx" / "upstream.conf").read_text(encoding="utf-8")
    kept = [line for line in text.splitlines() if not line.strip().startswith("server ")]
    lines = [
        f"    server {host}:{port} "
        f"{'down' if (host, port) in out else 'max_fails=1 fail_timeout=2s'};"
        for host, port in servers
    ]
    return "\n".join([*kept[:-1], *lines, kept[-1], ""])


def _or_end(process: Process, path: str, address: Address | None = None) -> None:
    try:
        process.wait_until_ready(path, address=address)
    except BaseException:
        process.kill()
        raise
