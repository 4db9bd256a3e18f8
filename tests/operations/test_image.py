"""The image, built and run: as another user, read-only, without capabilities, and stopped politely.

Uses whichever of docker and podman can run a container here; skips, with the reason, where none can
or where the base image cannot be had. ``IMAGE_BASE`` names another base, as the Dockerfile permits.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import pytest

from support.load import exchange, get
from support.programs import ROOT
from support.servers import free_port

pytestmark = pytest.mark.image

TAG = "localhost/threadwright-test:latest"
BASE = os.environ.get("IMAGE_BASE", "python:3.13-slim")


@dataclass(frozen=True)
class Engine:
    """What builds and runs containers."""

    program: str

    def run(self, *words: str, seconds: int = 60) -> subprocess.CompletedProcess[str]:
        """Run one of its commands."""
        return subprocess.run(
            [self.program, *words],
            capture_output=True,
            text=True,
            check=False,
            timeout=seconds,
            cwd=ROOT,
        )

    def output(self, *words: str) -> str:
        """The output of a command that must succeed."""
        done = self.run(*words)
        assert done.returncode == 0, done.stderr
        return done.stdout.strip()


@pytest.fixture(scope="module")
def engine() -> Engine:
    """docker or podman, with the image built."""
    reasons = []
    for program in ("docker", "podman"):
        if shutil.which(program) is None:
            reasons.append(f"{program} is not installed")
            continue
        found = Engine(program)
        if found.run("info").returncode:
            reasons.append(f"{program} cannot be used")
            continue
        has_base = not found.run("image", "inspect", BASE).returncode
        if not has_base and found.run("pull", "--quiet", BASE, seconds=600).returncode:
            reasons.append(f"{program} has no {BASE} and cannot get it")
            continue
        return _built(found)
    pytest.skip("; ".join(reasons))


def _built(engine: Engine) -> Engine:
    words = ["build", "--build-arg", f"BASE={BASE}", "-f", "docker/Dockerfile", "-t", TAG]
    if engine.program == "podman":
        # Without a daemon of its own it builds in a change-root, and keeps the health check so.
        words += ["--format", "docker", "--isolation", "chroot", "--network", "host"]
    done = engine.run(*words, ".", seconds=900)
    assert done.returncode == 0, done.stderr[-3000:]
    return engine


@contextmanager
def container(engine: Engine, *words: str, **settings: str) -> Iterator[str]:
    """A container as locked down as the compose file makes it; its name."""
    variables = {"WORKERS": "2", **settings}
    name = engine.output(
        *("run", "--detach", "--read-only", "--cap-drop", "all"),
        *("--security-opt", "no-new-privileges", "--memory", "512m", "--pids-limit", "128"),
        *("--tmpfs", "/tmp:rw,nosuid,nodev,noexec,size=16m"),
        *(
            part
            for key, value in variables.items()
            for part in ("-e", f"THREADWRIGHT_{key}={value}")
        ),
        *words,
        TAG,
    )
    try:
        yield name
    finally:
        engine.run("rm", "--force", "--volumes", name)


@pytest.fixture(scope="module")
def running(engine: Engine) -> Iterator[tuple[str, tuple[str, int]]]:
    """A container and its address."""
    address = ("127.0.0.1", free_port())

    def answers() -> bool:
        try:
            return exchange(address, get("/readyz"))[0] == 200
        except OSError:
            return False

    bind = f"{address[0]}:{address[1]}"
    with container(engine, "--network", "host", BIND=bind) as name:
        _wait(engine, name, answers)
        yield name, address


def _wait(engine: Engine, name: str, happened: Callable[[], bool]) -> None:
    ends = time.monotonic() + 60
    while time.monotonic() < ends:
        if happened():
            return
        time.sleep(0.2)
    raise AssertionError(engine.run("logs", name).stderr[-3000:])


def test_it_answers(running: tuple[str, tuple[str, int]]) -> None:
    status, _, body = exchange(running[1], get("/v1/thread-limits?designation=M24-6g"))
    assert status == 200
    # ISO 965-2, M24-6g: pitch diameter 22.003 to 21.803 mm.
    limits = json.loads(body)["result"]["limits"]["pitch_diameter"]
    assert limits == {"max": 22.003, "min": 21.803}


def test_it_runs_as_nobody_in_particular(
    engine: Engine, running: tuple[str, tuple[str, int]]
) -> None:
    name, _ = running
    code = (
        "import os, json; status = open('/proc/1/status').read();"
        "told = dict(line.split(':\\t') for line in status.splitlines() if ':\\t' in line);"
        "print(json.dumps({'uid': told['Uid'].split(), 'caps': told['CapEff'],"
        " 'bound': told['CapBnd'], 'no_new': told['NoNewPrivs']}))"
    )
    told = json.loads(engine.output("exec", name, "python", "-c", code))
    assert set(told["uid"]) == {"10001"}
    assert int(told["caps"], 16) == 0
    assert int(told["bound"], 16) == 0
    assert told["no_new"] == "1"
    assert engine.run("exec", name, "touch", "/x").returncode != 0, "the root is read-only"
    assert engine.run("exec", name, "python", "-m", "pip").returncode != 0, "no installer in it"


def test_it_holds_what_the_lock_says_and_nothing_else(
    engine: Engine, running: tuple[str, tuple[str, int]]
) -> None:
    code = (
        "import json; from importlib.metadata import distributions as all;"
        "print(json.dumps({each.name.lower().replace('_', '-'): each.version for each in"
        " all(path=[__import__('sysconfig').get_path('purelib')])}))"
    )
    inside = json.loads(engine.output("exec", running[0], "python", "-c", code))
    bill = json.loads((ROOT / "docker" / "sbom.json").read_text(encoding="utf-8"))
    locked = {
        each["name"].lower().replace("_", "-"): each["version"] for each in bill["components"]
    }
    inside.pop("threadwright")
    assert inside == locked


def test_its_own_health_check_finds_it_well(
    engine: Engine, running: tuple[str, tuple[str, int]]
) -> None:
    shown = engine.output("image", "inspect", TAG, "--format", "{{json .}}")
    assert "/etc/threadwright/health.py" in shown, "the image keeps its health check"
    assert engine.run("exec", running[0], "python", "/etc/threadwright/health.py").returncode == 0


def test_its_health_check_asks_a_socket_without_a_network(engine: Engine) -> None:
    socket = "unix:/run/threadwright/service.sock"
    place = ("--network", "none", "--volume", "/run/threadwright")  # takes its owner from the image
    check = ("python", "/etc/threadwright/health.py")
    with container(engine, *place, BIND=socket) as name:
        _wait(engine, name, lambda: engine.run("exec", name, *check).returncode == 0)


def test_without_the_keys_that_are_required_it_ends_and_says_so(engine: Engine) -> None:
    with container(engine, "--network", "none", KEY_REQUIRED="true") as name:
        status = ("inspect", name, "--format", "{{.State.Status}} {{.State.ExitCode}}")
        _wait(engine, name, lambda: engine.output(*status).startswith("exited"))
        assert engine.output(*status) != "exited 0"
        assert "THREADWRIGHT_API_KEYS holds no key" in engine.run("logs", name).stderr


def test_it_stops_politely(engine: Engine, running: tuple[str, tuple[str, int]]) -> None:
    name, _ = running
    began = time.monotonic()
    engine.run("stop", "--time", "40", name)
    assert time.monotonic() - began < 20
    assert engine.output("inspect", name, "--format", "{{.State.ExitCode}}") == "0"
