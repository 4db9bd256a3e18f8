"""``threadwright serve``: gunicorn with the settings that the package brings."""

from __future__ import annotations

import os
import sys
from argparse import ArgumentTypeError
from collections.abc import Sequence
from importlib.util import find_spec
from typing import Final

from threadwright.errors import MissingExtraError
from threadwright.shell.arguments import Parser, from_one

SETTINGS: Final = "python:threadwright_service.gunicorn_conf"
APPLICATION: Final = "threadwright_service.wsgi:app"
_LAST_PORT: Final = 65_535


def run_serve(argv: Sequence[str]) -> int:
    """Start the server in place of this process."""
    parser = Parser(
        prog="threadwright serve",
        description="Serve over HTTP, by gunicorn. Every setting has an environment variable too.",
    )
    parser.add_argument(
        "--bind", type=address, help="address and port; 127.0.0.1:8000 if not given"
    )
    parser.add_argument(
        "--workers", type=from_one, help="processes; one for each core if not given"
    )
    parser.add_argument("--threads", type=from_one, help="threads of each process; 4 if not given")
    typed = parser.read(argv)
    command = command_line(bind=typed.bind, workers=typed.workers, threads=typed.threads)
    sys.stdout.flush()
    os.execv(command[0], command)  # noqa: S606 - our own interpreter, no shell


def address(text: str) -> str:
    """Address and port, or the path of a socket."""
    if text.startswith(("unix:", "fd://")):
        return text
    host, colon, port = text.rpartition(":")
    if not (host and colon and port.isascii() and port.isdigit() and int(port) <= _LAST_PORT):
        raise ArgumentTypeError(f"{text!r} is not an address and a port, as 127.0.0.1:8000")
    return text


def command_line(*, bind: str | None, workers: int | None, threads: int | None) -> list[str]:
    """The command that starts the server.

    Raises
    ------
    MissingExtraError
        If the service or gunicorn is not installed, or gunicorn does not run on this system.
    """
    for name in ("gunicorn", "threadwright_service", "flask", "marshmallow", "orjson"):
        if find_spec(name) is None:
            raise MissingExtraError(
                f"the service is not installed ({name} is missing): "
                "pip install 'threadwright[service]'"
            )
    if find_spec("fcntl") is None:
        raise MissingExtraError(
            "gunicorn does not run on this system; use the container image, or Linux"
        )
    command = [sys.executable, "-m", "gunicorn", "--config", SETTINGS]
    for option, value in (("--bind", bind), ("--workers", workers), ("--threads", threads)):
        if value is not None:
            command += [option, str(value)]
    return [*command, APPLICATION]
