"""The service answers right with the lowest and with the newest versions of what it depends on.

Each case is an environment of its own, made by uv from the project's own requirements: direct
dependencies at the lowest version that pyproject.toml permits, or everything at the newest.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.version import Version

from support.programs import ROOT, tool

pytestmark = pytest.mark.versions

# Run inside the environment: every example of every operation over WSGI, in every form; then a real
# gunicorn with the project's settings, called by the client over a socket.
CHECK = """
import json, os, socket, subprocess, sys, time, warnings
warnings.simplefilter("error")
from threadwright_service.api import OPERATIONS
from threadwright_service.app import create_app
from threadwright import Client
http = create_app().test_client()
for operation in OPERATIONS:
    for example in operation.examples:
        for form in ("json", "csv", "text"):
            answer = http.post(f"{operation.path}?format={form}", json=dict(example.request))
            assert answer.status_code == 200, (operation.name, form, answer.text)
assert http.get("/v1/thread-limits?designation=wrong").status_code == 422
assert http.get("/v1/none").status_code == 404
contract = http.get("/openapi.json").json
with socket.socket() as probe:
    probe.bind(("127.0.0.1", 0)); port = probe.getsockname()[1]
server = subprocess.Popen(
    [sys.executable, "-m", "gunicorn", "-c", "python:threadwright_service.gunicorn_conf",
     "threadwright_service.wsgi:app"],
    env={**os.environ, "THREADWRIGHT_BIND": f"127.0.0.1:{port}", "THREADWRIGHT_WORKERS": "1"},
)
try:
    with Client(f"http://127.0.0.1:{port}", retries=8) as client:
        # ISO 965-2, M24-6g: pitch diameter 22.003 to 21.803 mm.
        limits = client.thread_limits(designation="M24-6g").limits.pitch_diameter
        assert (limits.max, limits.min) == (22.003, 21.803), limits
        many = client.batch([{"designation": "M24-6g"}] * 1200, operation="thread-limits")
        assert len(many) == 1200
finally:
    server.terminate()
    assert server.wait(20) == 0
print(json.dumps({"paths": sorted(contract["paths"])}))
"""


def environment(folder: Path, resolution: str) -> Path:
    """A fresh environment with the project in it; its Python."""
    uv = tool("uv")
    python = folder / "venv" / "bin" / "python"
    quiet = {**os.environ, "UV_LINK_MODE": "copy"}
    for command in (
        [uv, "venv", "--quiet", "--python", sys.executable, str(folder / "venv")],
        [
            *(uv, "pip", "install", "--quiet", "--python", str(python)),
            *("--resolution", resolution, f"{ROOT}[service,metrics]"),
        ],
    ):
        done = subprocess.run(command, capture_output=True, text=True, check=False, env=quiet)
        assert done.returncode == 0, done.stderr
    return python


def installed(python: Path) -> dict[str, Version]:
    """What is installed, by name."""
    listed = subprocess.run(
        [tool("uv"), "pip", "list", "--python", str(python), "--format", "json"],
        capture_output=True,
        text=True,
        check=True,
    )
    return {each["name"].lower(): Version(each["version"]) for each in json.loads(listed.stdout)}


def direct() -> list[Requirement]:
    """What pyproject.toml names for the service and the client."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    texts = [*project["dependencies"], *extras["service"], *extras["metrics"]]
    return [Requirement(text) for text in texts]


@pytest.mark.parametrize("resolution", ["lowest-direct", "highest"])
def test_the_service_works(tmp_path: Path, resolution: str) -> None:
    python = environment(tmp_path, resolution)
    versions = installed(python)
    if resolution == "lowest-direct":
        for requirement in direct():
            [bound] = [each for each in requirement.specifier if each.operator == ">="]
            found = versions[requirement.name.lower()]
            assert found.release[:2] == Version(bound.version).release[:2], requirement
    done = subprocess.run(
        [str(python), "-c", CHECK], capture_output=True, text=True, check=False, cwd=tmp_path
    )
    assert done.returncode == 0, done.stderr[-3000:]
    committed = json.loads((ROOT / "openapi" / "openapi.json").read_text(encoding="utf-8"))
    told = json.loads(done.stdout.splitlines()[-1])
    assert told["paths"] == sorted(committed["paths"])
