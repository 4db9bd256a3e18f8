"""The oldest ``requests`` that is allowed, and the newest, each in an environment of its own.

Needs a package index. The service runs in this process's environment; only the client is tested.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from support.programs import ROOT
from support.servers import Process, gunicorn

pytestmark = pytest.mark.versions

TESTS = ("test_rough_server.py", "test_answers.py", "test_errors.py")
CHECK = """
import sys
import requests, urllib3
from threadwright import Client, RefusedError
assert "threadwright_service" not in sys.modules
with Client(sys.argv[1]) as client:
    assert client.thread_limits(designation="M24x1.5-6g").limits.pitch_diameter.max == 22.994
    assert client.text("thread-limits", "pitch", designation="M24x1.5-6g") == "1.5"
    assert client.threads()
    rows = [{"designation": "M10-6H"}, {"designation": "nothing"}] * 700
    results = client.batch(rows, operation="thread-limits")
    assert sum(isinstance(result, RefusedError) for result in results) == 700
print(requests.__version__, urllib3.__version__)
"""


def lowest() -> str:
    """The bound in pyproject.toml."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    (bound,) = (each for each in project["dependencies"] if each.startswith("requests"))
    found = re.fullmatch(r"requests>=([0-9.]+)", bound)
    assert found is not None, "no upper bound: it would clash with what else is installed"
    return found[1]


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    with gunicorn(tmp_path_factory.mktemp("service") / "log", WORKERS="1") as process:
        yield process


@pytest.fixture(
    params=[(f"requests=={lowest()}", "urllib3<2"), (f"requests=={lowest()}",), ("requests",)],
    ids=["lowest with urllib3 1", "lowest", "newest"],
)
def python(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """An interpreter with this version of requests, and nothing of the service."""
    subprocess.run([sys.executable, "-m", "venv", tmp_path / "env"], check=True)
    found = tmp_path / "env" / "bin" / "python"
    subprocess.run(
        [found, "-m", "pip", "install", "-q", "--disable-pip-version-check", *request.param],
        check=True,
    )
    return found


def run(python: Path, *command: str) -> str:
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "client")}
    done = subprocess.run(
        [str(python), "-W", "error", *command],
        capture_output=True,
        text=True,
        check=False,
        env=environment,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_the_client_works(python: Path, service: Process) -> None:
    versions = run(python, "-c", CHECK, service.url).split()
    assert len(versions) == 2


def test_it_meets_a_rough_network_alike(python: Path) -> None:
    """The same tests as with the version that is installed here."""
    subprocess.run(
        [python, "-m", "pip", "install", "-q", "--disable-pip-version-check",
         "pytest", "responses", "marshmallow", "numpy"],
        check=True,
    )  # fmt: skip
    listed = run(python, "-c", "import requests; print(requests.__version__)").strip()
    told = subprocess.run(
        [python, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-c", os.devnull,
         "--rootdir", ROOT, "--confcutdir", ROOT / "tests" / "client", "--import-mode=importlib",
         *(ROOT / "tests" / "client" / name for name in TESTS)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(
            str(ROOT / folder) for folder in ("tests", "client", "service"))},
    )  # fmt: skip
    assert told.returncode == 0, f"requests {listed}: {told.stdout[-3000:]}"
