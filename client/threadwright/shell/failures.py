"""Exit codes: one for each kind of failure, so that a script need not read the message."""

from __future__ import annotations

from typing import Final

from threadwright.errors import (
    InvalidInputError,
    MissingExtraError,
    NoAnswerError,
    ThreadwrightError,
    UnauthorisedError,
    UnexpectedAnswerError,
)

OK: Final = 0
USAGE: Final = 2
INVALID_INPUT: Final = 3
NO_ANSWER: Final = 4
SERVICE_FAILURE: Final = 5
MISSING_EXTRA: Final = 6
INTERRUPTED: Final = 130
BROKEN_PIPE: Final = 141
"""As the shell itself has it for a program that a closed pipe has ended."""

TOLD: Final = f"""exit codes:
  {OK}  all went well
  {USAGE}  the command is not understood, or a file cannot be read or written
  {INVALID_INPUT}  the service refuses the input, or a key is needed; in a batch, some of the rows
  {NO_ANSWER}  no answer, or an answer of something else
  {SERVICE_FAILURE}  the service has failed, is busy, or lacks the operation
  {MISSING_EXTRA}  an optional part is not installed"""


class UsageError(Exception):
    """A command that is not understood; the message is for the one who typed it."""


def exit_code(error: ThreadwrightError) -> int:
    """The exit code of a failure."""
    if isinstance(error, (InvalidInputError, UnauthorisedError)):
        return INVALID_INPUT
    if isinstance(error, (NoAnswerError, UnexpectedAnswerError)):
        return NO_ANSWER
    if isinstance(error, MissingExtraError):
        return MISSING_EXTRA
    return SERVICE_FAILURE
