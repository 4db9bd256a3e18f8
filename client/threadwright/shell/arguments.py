"""Command lines: what each command takes, and what was typed."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final, NoReturn

from threadwright.client import Client
from threadwright.operations import Operation
from threadwright.shell.failures import TOLD, UsageError
from threadwright.shell.keys import Key, keys_of
from threadwright.shell.near_options import near_options

FORMATS: Final = ("table", "json", "csv", "text", "xml", "html", "svg")


class Parser(argparse.ArgumentParser):
    """An argument parser that takes dashes and underscores alike, and raises what is wrong."""

    def __init__(self, *, prog: str, description: str) -> None:
        super().__init__(
            prog=prog,
            description=description,
            epilog=TOLD,
            allow_abbrev=False,
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )

    def error(self, message: str) -> NoReturn:
        """Raise instead of leaving."""
        raise UsageError(f"{message}\ntry {self.prog} --help")

    def read(self, argv: Sequence[str]) -> argparse.Namespace:
        """Parse a command line.

        Raises
        ------
        UsageError
            If it is not understood, or an option stands twice: which one is meant?
        """
        words = [_dashed(each) for each in argv]
        options = [each.partition("=")[0] for each in words if each.startswith("--")]
        twice = next((each for each in options if options.count(each) > 1), None)
        typed, unknown = self.parse_known_args(words)
        if unknown:
            self.error(f"unrecognized arguments: {' '.join(unknown)}{self._meant(unknown[0])}")
        if twice is not None:
            self.error(f"{twice} stands twice")
        return typed

    def _meant(self, word: str) -> str:
        """What may have been meant by a word that is no option."""
        if not word.startswith("-"):
            return "; each value stands after its key, as --key value"
        known = [each for each in self._option_string_actions if each.startswith("--")]
        near = near_options(word.partition("=")[0], known)
        return f"; did you mean {' or '.join(near)}?" if near else ""


def add_service(parser: argparse.ArgumentParser) -> None:
    """Where the service is."""
    group = parser.add_argument_group("service")
    group.add_argument(
        "--url",
        default=os.environ.get("THREADWRIGHT_URL") or None,
        help="address of a service; THREADWRIGHT_URL if not given; without either the service "
        "runs inside this command. THREADWRIGHT_TOKEN is sent as its key",
    )
    group.add_argument("--timeout", type=seconds, help="seconds to wait for an answer")


def seconds(text: str) -> float:
    """A time that is not over before it begins."""
    value = float(text)
    if not 0 < value < float("inf"):
        raise argparse.ArgumentTypeError(f"{text} is not above 0")
    return value


def from_one(text: str) -> int:
    """A whole number from 1."""
    value = int(text)
    if value < 1:
        raise argparse.ArgumentTypeError(f"{text} is below 1")
    return value


def add_keys(parser: argparse.ArgumentParser, operation: Operation) -> None:
    """The keys of an operation, in chapters."""
    groups: dict[str, Any] = {}
    for key in keys_of(operation).values():
        title = key.chapter.rstrip(".")
        if title not in groups:
            groups[title] = parser.add_argument_group(title)
        settings: dict[str, Any] = {"dest": key.name, "metavar": key.metavar, "help": _help(key)}
        if key.is_flag:
            settings |= {"nargs": "?", "const": "true"}
        elif key.is_list:
            settings |= {"nargs": "+"}
        groups[title].add_argument(key.option, **settings)


def typed_keys(typed: argparse.Namespace, operation: Operation) -> dict[str, Any]:
    """The keys that were typed, as values.

    Raises
    ------
    UsageError
        If a text is not what its key takes.
    """
    found = {}
    for name, key in keys_of(operation).items():
        text = getattr(typed, name)
        if text is not None:
            # Several words of a list are the same as one with semicolons.
            joined = ";".join(text) if isinstance(text, list) else text
            try:
                found[name] = key.read(joined)
            except ValueError as error:
                raise UsageError(f"{key.option}: {error}") from None
    return found


def keys_in_file(name: str) -> dict[str, Any]:
    """The keys in a JSON file; ``-`` is standard input.

    Raises
    ------
    UsageError
        If it cannot be read, or holds something else than an object.
    """
    try:
        keys = json.loads(text_of(name), object_pairs_hook=_once)
    except ValueError as error:
        raise UsageError(f"--file: {name} is not JSON: {error}") from None
    if not isinstance(keys, dict):
        raise UsageError(f"--file: {name} holds no JSON object of keys")
    return keys


def text_of(name: str) -> str:
    """The text of a file, or of standard input for ``-``.

    Raises
    ------
    UsageError
        If it cannot be read.
    """
    try:
        data = sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
        return data.decode("utf-8-sig")
    except OSError as error:
        raise UsageError(f"--file: {name} cannot be read: {error.strerror}") from None
    except UnicodeDecodeError as error:
        raise UsageError(f"--file: {name} is not UTF-8 (byte {error.start})") from None


def client_of(typed: argparse.Namespace) -> Client:
    """The client for where the service is.

    Raises
    ------
    UsageError
        If that is no address.
    """
    settings: dict[str, Any] = {} if typed.timeout is None else {"timeout": typed.timeout}
    try:
        return Client(typed.url, token=os.environ.get("THREADWRIGHT_TOKEN") or None, **settings)
    except ValueError as error:
        raise UsageError(f"--url: {error}") from None


def _help(key: Key) -> str:
    needed = " Needed." if key.required else ""
    return f"{key.help}{needed}".replace("%", "%%")


def _dashed(argument: str) -> str:
    """``--thread_length=28`` as ``--thread-length=28``; values are left as they are."""
    if not argument.startswith("--"):
        return argument
    name, equals, value = argument.partition("=")
    return f"{name.replace('_', '-')}{equals}{value}"


def _once(pairs: Sequence[tuple[str, Any]]) -> Mapping[str, Any]:
    members = dict(pairs)
    if len(members) != len(pairs):
        names = [name for name, _ in pairs]
        raise ValueError(f"a key stands twice: {max(names, key=names.count)}")
    return members
