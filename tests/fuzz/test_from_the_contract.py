"""The service against requests generated from its own contract, over a socket."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from support.servers import gunicorn

HOOKS = Path(__file__).with_name("schemathesis_hooks.py")
SEED = "20261125"
SLOWEST_S = 30.0
LEFT_OUT = (
    # Keys depend on one another in ways that no schema says, so right data may be refused.
    "positive_data_acceptance",
    # No key is asked for unless an operator wants one.
    "ignored_auth",
    # There is nothing that could be created, owned or deleted.
    "use_after_free",
    "ensure_resource_availability",
    "object_level_authorization",
)


def program() -> str | None:
    beside = Path(sys.executable).with_name("schemathesis")
    return str(beside) if beside.exists() else shutil.which("schemathesis")


pytestmark = pytest.mark.skipif(program() is None, reason="schemathesis is not installed")


def run(folder: Path, *, phases: str, examples: int, seconds: int) -> int:
    """Run it; the number of cases that were generated, all of them without a failure."""
    with gunicorn(folder / "service.log", WORKERS="2", ACCESS_LOG="true") as service:
        done = subprocess.run(
            [
                str(program()),
                f"--config-file={HOOKS.with_name('schemathesis.toml')}",
                "run",
                f"{service.url}/openapi.json",
                f"--phases={phases}",
                f"--max-examples={examples}",
                f"--seed={SEED}",
                f"--exclude-checks={','.join(LEFT_OUT)}",
                "--request-timeout=60",
                # Of the tool's own pace; an operation of many keys is slow to generate.
                "--suppress-health-check=too_slow",
                "--continue-on-failure",
                # The tool parses Python, whose parser (3.11) counts its depth for all threads
                # together: two of them made it fail now and then.
                "--workers=1",
                "--no-color",
            ],
            capture_output=True,
            text=True,
            check=False,
            timeout=seconds,
            cwd=folder,
            env={
                **os.environ,
                "SCHEMATHESIS_HOOKS": HOOKS.stem,
                "PYTHONPATH": str(HOOKS.parent),
            },
        )
    told = done.stdout[-6000:] + done.stderr[-2000:]
    assert done.returncode == 0, told
    found = re.search(r"(\d+) generated", done.stdout)
    assert found is not None, told
    log = (folder / "service.log").read_text(encoding="utf-8")
    assert not re.search(r'"status":5|Traceback', log)
    # By the service's own clock, because the tool may be busy when an answer comes.
    slowest_ms = max(float(each) for each in re.findall(r'"milliseconds":([\d.]+)', log))
    assert slowest_ms < SLOWEST_S * 1000
    return int(found[1])


def test_some_requests(tmp_path: Path) -> None:
    """Every operation with its examples and a few generated requests: half a minute."""
    assert run(tmp_path, phases="examples,fuzzing", examples=8, seconds=120) >= 200


@pytest.mark.fuzz
def test_many_requests(tmp_path: Path) -> None:
    """At least 20,000 cases, with every boundary of every key."""
    cases = run(tmp_path, phases="examples,coverage,fuzzing", examples=300, seconds=3600)
    assert cases >= 20_000
