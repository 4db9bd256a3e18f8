"""What is installed: the built wheel and the built sdist, each in an environment of its own.

Needs a package index for ``requests`` and the build back end.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import textwrap
import tomllib
import zipfile
from pathlib import Path

import pytest

from support.programs import ROOT

pytestmark = pytest.mark.packaging

RIGHT = """
from threadwright import Client, InvalidInputError, RefusedError
from threadwright.results.milling import PassPlan
from threadwright.results.threads import ThreadLimits

with Client("http://127.0.0.1:8000", timeout=(1, 5)) as client:
    limits: ThreadLimits = client.thread_limits(designation="M24x1.5-6g", unit="mm")
    largest: float | None = limits.limits.pitch_diameter.max
    words: list[str] = [caution.detail for caution in limits.cautions]
    plan: PassPlan = client.pass_plan(
        material="17-4 PH", cutter_diameter=16, cutter_teeth=5, thread_length=28, timeout=None
    )
    forces: list[float] = [each.tangential_force_n for each in plan.passes]
    document: bytes = client.document("job-sheet", "html", material="D2")
    for result in client.batch([{"designation": "M10"}], operation="thread-limits"):
        if isinstance(result, InvalidInputError):
            code: str = result.code
        elif isinstance(result, ThreadLimits):
            pitch: float = result.pitch
"""
WRONG = {
    "call-arg": 'client.thread_limits(desgnation="M10")',
    "arg-type": 'client.thread_limits(starts="two")',
    "attr-defined": 'client.thread_limits(designation="M10").pitsch',
    "misc": 'client.thread_limits(designation="M10").pitch = 2.0',
    "operator": 'client.thread_limits(designation="M10").limits.pitch_diameter.max + 1',
}


def run(*command: str | Path, **settings: str) -> str:
    """Run a program; what it wrote."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    done = subprocess.run(
        [str(word) for word in command],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
        env={**environment, **settings},
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Wheel and sdist of this source tree."""
    folder = tmp_path_factory.mktemp("dist")
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    (back_end,) = settings["build-system"]["requires"]
    builder = environment_with(back_end, tmp_path_factory.mktemp("builder"))
    run(builder, "-m", "hatchling", "build", "-t", "sdist", "-t", "wheel", "-d", folder)
    (wheel,) = folder.glob("*.whl")
    (sdist,) = folder.glob("*.tar.gz")
    return {"wheel": wheel, "sdist": sdist}


@pytest.fixture(scope="module", params=["wheel", "sdist"])
def python(
    request: pytest.FixtureRequest,
    built: dict[str, Path],
    tmp_path_factory: pytest.TempPathFactory,
) -> Path:
    """The interpreter of an environment in which only the client is installed."""
    return environment_with(built[request.param], tmp_path_factory.mktemp(request.param))


def environment_with(requirement: str | Path, folder: Path) -> Path:
    run(sys.executable, "-m", "venv", folder)
    python = folder / "bin" / "python"
    run(python, "-m", "pip", "install", "-q", "--disable-pip-version-check", requirement)
    return python


def test_both_hold_the_marker_and_every_module(built: dict[str, Path]) -> None:
    sources = {
        path.relative_to(ROOT / "client").as_posix()
        for path in (ROOT / "client" / "threadwright").rglob("*")
        if path.suffix in (".py", ".typed") and "__pycache__" not in path.parts
    }
    assert "threadwright/py.typed" in sources
    wheel = set(zipfile.ZipFile(built["wheel"]).namelist())
    assert sources <= wheel
    with tarfile.open(built["sdist"]) as archive:
        sdist = {name.partition("/")[2] for name in archive.getnames()}
    assert {f"client/{name}" for name in sources} <= sdist


def test_requests_is_all_that_comes_along(python: Path) -> None:
    listed = run(python, "-m", "pip", "list", "--format=freeze", "--disable-pip-version-check")
    names = {line.partition("==")[0].lower() for line in listed.splitlines()}
    assert names - {"pip", "setuptools", "wheel"} == {
        "threadwright", "requests", "urllib3", "idna", "certifi", "charset-normalizer"
    }  # fmt: skip


def test_the_client_alone_says_what_is_missing(python: Path) -> None:
    code = textwrap.dedent(
        """
        import threadwright
        try:
            threadwright.Client()
        except threadwright.EmbeddedServiceMissingError:
            print("missing")
        """
    )
    # The wheel brings the service's code too; its dependencies are the extra.
    assert run(python, "-c", code).strip() == "missing"
    command = python.with_name("threadwright")
    assert run(command, "--version").startswith("threadwright ")
    done = subprocess.run(
        [command, "thread-limits", "--designation", "M10"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 6
    assert "pip install 'threadwright[service]'" in done.stderr
    assert "Traceback" not in done.stderr
    served = subprocess.run([command, "serve"], capture_output=True, text=True, check=False)
    assert served.returncode == 6
    helped = run(command, "pass-plan", "--help")
    assert "--cutter-nose-flat" in helped, "the keys' help is read from what is installed"


def mypy(python: Path, file: Path, code: str) -> subprocess.CompletedProcess[str]:
    file.write_text(code, encoding="utf-8")
    return subprocess.run(
        [sys.executable, "-m", "mypy", "--strict", "--python-executable", python,
         "--config-file", os.devnull, "--cache-dir", file.parent / "cache", file],
        capture_output=True, text=True, check=False, cwd=file.parent,
        env={name: value for name, value in os.environ.items()
             if name not in ("PYTHONPATH", "MYPYPATH")},
    )  # fmt: skip


def test_types_reach_a_caller(python: Path, tmp_path: Path) -> None:
    right = mypy(python, tmp_path / "right.py", RIGHT)
    assert right.returncode == 0, right.stdout
    lines = ["from threadwright import Client", 'client = Client("http://127.0.0.1:8000")']
    wrong = mypy(python, tmp_path / "wrong.py", "\n".join([*lines, *WRONG.values()]))
    found = [line.rpartition("[")[2].rstrip("]") for line in wrong.stdout.splitlines()[:-1]]
    told = [each for each in found if each in WRONG]
    assert told == list(WRONG), wrong.stdout


def test_with_the_service_it_needs_no_address(
    built: dict[str, Path], tmp_path_factory: pytest.TempPathFactory
) -> None:
    python = environment_with(f"{built['wheel']}[service]", tmp_path_factory.mktemp("service"))
    command = python.with_name("threadwright")
    told = run(command, "thread-limits", "--designation", "M24x1.5-6g",
               "--field", "limits.pitch_diameter.max")  # fmt: skip
    assert told == "22.994\n"
    job = ROOT / "client" / "examples" / "levelling_screws.json"
    assert "cautions" in run(command, "job-sheet", "--file", job)
    settings = "python:threadwright_service.gunicorn_conf"
    run(python, "-m", "gunicorn", "--check-config", "-c", settings, "threadwright_service.wsgi:app")
