"""How gunicorn runs the service: ``gunicorn -c python:threadwright_service.gunicorn_conf``.

The same settings serve the image, the box without containers and ``threadwright serve``. Each may
be set by an environment variable named here. The module imports nothing else of the package: what
the master process has imported would stay old through a reload (SIGHUP).
"""

from __future__ import annotations

import gc
import os
import resource
import shutil
import tempfile
from collections import Counter
from pathlib import Path
from typing import Any, Final

VARIABLES: Final = (
    "THREADWRIGHT_BIND",
    "THREADWRIGHT_WORKERS",
    "THREADWRIGHT_THREADS",
    "THREADWRIGHT_KEEPALIVE",
    "THREADWRIGHT_GRACEFUL_TIMEOUT",
    "THREADWRIGHT_MAX_REQUESTS",
    "THREADWRIGHT_LOG_LEVEL",
    "THREADWRIGHT_HOLD_CORES",
)
"""What an operator may set here; :class:`threadwright_service.settings.Settings` names the rest."""

_QUOTA: Final = Path("/sys/fs/cgroup/cpu.max")
_MEMORY_FOLDER: Final = Path("/dev/shm")  # noqa: S108 - a file system in memory, made by the system


def _count(name: str, default: int, least: int = 0) -> int:
    text = os.environ.get(name, str(default))
    if not (text.isascii() and text.isdigit() and int(text) >= least):
        raise ValueError(f"{name} is {text!r}; it takes a whole number from {least}")
    return int(text)


def _flag(name: str, *, default: bool) -> bool:
    text = os.environ.get(name, "true" if default else "false")
    if text not in ("true", "false"):
        raise ValueError(f"{name} is {text!r}; it takes true or false")
    return text == "true"


def _connections(most: int = 1000) -> int:
    """As many as a worker may hold open: one more than it has files for would end it."""
    files, _ = resource.getrlimit(resource.RLIMIT_NOFILE)
    return most if files == resource.RLIM_INFINITY else max(threads + 1, min(most, files - 40))


def _cores() -> list[int]:
    """The cores that this process may use; empty where the system does not tell."""
    return sorted(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else []


def _workers_by_default(quota: Path = _QUOTA) -> int:
    """As many as there are cores, or as the container's share of them, rounded up."""
    cores = len(_cores()) or os.cpu_count() or 1
    try:
        share, period = quota.read_text(encoding="ascii").split()
        return max(1, min(cores, -(-int(share) // int(period))))
    except (OSError, ValueError):  # no such file, or "max": no share is set
        return cores


bind = os.environ.get("THREADWRIGHT_BIND", "127.0.0.1:8000")
workers = _count("THREADWRIGHT_WORKERS", _workers_by_default(), least=1)
worker_class = "threadwright_service.gunicorn_worker.Worker"  # threads
threads = _count("THREADWRIGHT_THREADS", 4, least=1)
worker_connections = _connections()

# A reload (SIGHUP) takes new code because nothing is loaded before the workers start.
preload_app = False
graceful_timeout = _count("THREADWRIGHT_GRACEFUL_TIMEOUT", 30, least=1)
timeout = 30
# Longer than the proxy keeps an idle connection, so that it is never the service that closes one.
keepalive = _count("THREADWRIGHT_KEEPALIVE", 75)

# Spreadsheet programs put the whole request into the address.
limit_request_line = 8190
limit_request_fields = 60
limit_request_field_size = 8190

max_requests = _count("THREADWRIGHT_MAX_REQUESTS", 200_000)
max_requests_jitter = max_requests // 10

# In memory, so that a slow disk never looks like a dead worker.
worker_tmp_dir = str(_MEMORY_FOLDER) if os.access(_MEMORY_FOLDER, os.W_OK) else None
control_socket_disable = True
accesslog = None  # the service writes its own JSON lines, if THREADWRIGHT_ACCESS_LOG=true
errorlog = "-"
loglevel = os.environ.get("THREADWRIGHT_LOG_LEVEL", "warning")

_hold_cores = _flag("THREADWRIGHT_HOLD_CORES", default=True)
_metrics = _flag("THREADWRIGHT_METRICS", default=False)
_made_folder = ""


def on_starting(server: Any) -> None:  # noqa: ARG001
    """Make the folder through which the workers' counts are joined, unless one is named."""
    global _made_folder
    if _metrics and "PROMETHEUS_MULTIPROC_DIR" not in os.environ:
        _made_folder = tempfile.mkdtemp(prefix="threadwright-metrics-", dir=worker_tmp_dir)
        os.environ["PROMETHEUS_MULTIPROC_DIR"] = _made_folder


def child_exit(server: Any, worker: Any) -> None:  # noqa: ARG001
    """Let go of what a worker that has ended told about its own state; its counts stay."""
    if "PROMETHEUS_MULTIPROC_DIR" in os.environ:
        from prometheus_client import multiprocess

        multiprocess.mark_process_dead(worker.pid)  # type: ignore[no-untyped-call]


def on_exit(server: Any) -> None:  # noqa: ARG001
    """Remove the folder that was made."""
    if _made_folder:
        shutil.rmtree(_made_folder, ignore_errors=True)


def pre_fork(server: Any, worker: Any) -> None:
    """Choose the new worker's core: the one that holds the fewest of the living.

    Threads of one worker that run on several cores pass the interpreter's lock between them, which
    costs half as much again for each request. Where other processes want the same cores (several
    containers on one machine), ``THREADWRIGHT_HOLD_CORES=false`` leaves the choice to the system.
    """
    cores = _cores()
    if not _hold_cores or server.cfg.workers > len(cores):
        worker.core = None
        return
    held = Counter(getattr(each, "core", None) for each in server.WORKERS.values())
    worker.core = min(cores, key=lambda core: held[core])


def post_fork(server: Any, worker: Any) -> None:  # noqa: ARG001
    """Hold the worker to its core; collect no garbage while it starts, for it makes none."""
    gc.disable()
    if worker.core is not None:
        os.sched_setaffinity(0, {worker.core})


def post_worker_init(worker: Any) -> None:  # noqa: ARG001
    """Leave what start-up made, which lives as long as the worker, out of garbage collection.

    And look for garbage less often: answers are made of thousands of small parts that need none.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(10_000, 20, 50)
    gc.enable()
