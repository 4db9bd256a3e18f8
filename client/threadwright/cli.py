"""The command ``threadwright``: one command for each operation, and a few around them."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Sequence
from difflib import get_close_matches

from threadwright.errors import ThreadwrightError
from threadwright.operations import OPERATIONS
from threadwright.package import package_version
from threadwright.shell import failures
from threadwright.shell.failures import UsageError, exit_code
from threadwright.shell.operations import (
    LISTS,
    print_text,
    run_list,
    run_operation,
    run_operations,
    summary_of,
)
from threadwright.shell.rows import run_batch
from threadwright.shell.serve import run_serve


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command line, and give its exit code.

    Parameters
    ----------
    argv : sequence of str, optional
        Those of the process if not given.
    """
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show a character shows a question mark, and does not fail.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        code = _run(list(sys.argv[1:] if argv is None else argv))
        sys.stdout.flush()
    except UsageError as error:
        return _failed(str(error), failures.USAGE)
    except ThreadwrightError as error:
        return _failed(str(error), exit_code(error))
    except BrokenPipeError:
        _give_up_output()  # whoever read has enough
        return failures.BROKEN_PIPE
    except KeyboardInterrupt:
        return failures.INTERRUPTED
    except OSError as error:
        if error.errno not in _NO_ROOM:
            raise
        _give_up_output()
        return _failed(f"the output cannot be written: {error.strerror}", failures.USAGE)
    return code


_NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)


def _give_up_output() -> None:
    """Let what is still to be written go nowhere."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _run(argv: list[str]) -> int:
    command, rest = (argv[0], argv[1:]) if argv else ("--help", [])
    name = command.replace("_", "-")
    if name in OPERATIONS:
        return run_operation(OPERATIONS[name], rest)
    if name in LISTS:
        return run_list(name, rest)
    if name in _COMMANDS:
        return _COMMANDS[name][0](rest)
    if command == "--version":
        print_text(f"threadwright {package_version()}")
        return failures.OK
    if command == "help" and rest:
        return _run([rest[0], "--help"])
    if command in ("--help", "-h", "help"):
        print_text(_help())
        return failures.OK if argv else failures.USAGE
    near = get_close_matches(name, [*OPERATIONS, *LISTS, *_COMMANDS], n=2)
    hint = f"; did you mean {' or '.join(near)}?" if near else "; threadwright --help lists them"
    raise UsageError(f"{command!r} is no command{hint}")


_COMMANDS = {
    "batch": (run_batch, "Any operation for every row of a CSV or JSON file."),
    "operations": (run_operations, "The operations, a line each."),
    "serve": (run_serve, "Serve over HTTP."),
}


def _help() -> str:
    told = {operation.name: summary_of(operation) for operation in OPERATIONS.values()}
    told |= LISTS | {name: about for name, (_, about) in _COMMANDS.items()}
    longest = max(map(len, told))
    lines = [f"  {name:{longest}}  {about}" for name, about in told.items()]
    return "\n".join(
        [
            "usage: threadwright COMMAND [--key value ...]",
            "",
            "Limits, pass plans, cutting data and times for threading jobs.",
            "",
            "commands:",
            *lines,
            "",
            "threadwright COMMAND --help tells what a command takes.",
            "",
            failures.TOLD,
        ]
    )


def _failed(message: str, code: int) -> int:
    sys.stderr.write(f"threadwright: {message}\n")
    return code
