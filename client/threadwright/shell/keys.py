"""The keys of an operation as the shell takes them: read off the client's own, never listed again.

The type of a key says how its text is read; what stands below it in the source is its help.
"""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Final, Literal, Required, get_args, get_origin, get_type_hints, is_typeddict

from threadwright.operations import Operation

_NUMBER: Final = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_COUNT: Final = re.compile(r"[+-]?[0-9]{1,15}")
_DECIMAL_COMMA: Final = re.compile(r"[+-]?[0-9]*,[0-9]+")
_OWN: Final = "timeout"
"""The client's own key, for which the shell has an option."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key of an operation.

    ``chapter`` is what the keys that it stands among are about.
    """

    name: str
    hint: Any
    required: bool
    help: str
    chapter: str

    @property
    def option(self) -> str:
        """As it is written on a command line."""
        return f"--{self.name.replace('_', '-')}"

    @property
    def is_flag(self) -> bool:
        """Whether it is true or false."""
        return self.hint is bool

    @property
    def is_list(self) -> bool:
        """Whether it takes several values."""
        return get_origin(self.hint) is Sequence

    @property
    def metavar(self) -> str:
        """What its value is, in a word."""
        if get_origin(self.hint) is Literal:
            words = get_args(self.hint)
            return "{" + ",".join(words) + "}" if len(words) <= 6 else "WORD"
        if self.is_list:
            return "JSON" if is_typeddict(get_args(self.hint)[0]) else "VALUE"
        return {float: "NUMBER", int: "COUNT", bool: "true|false"}.get(self.hint, "TEXT")

    def read(self, text: str) -> Any:
        """The value that a text stands for.

        Raises
        ------
        ValueError
            If it is none; says what to write.
        """
        return _read(self.hint, text.strip())


def keys_of(operation: Operation) -> Mapping[str, Key]:
    """The keys of an operation by name, in the order in which they are written down."""
    kind = operation.keys_type()
    hints = get_type_hints(kind, include_extras=True)
    told = _described(operation.keys)
    found = {}
    for name, (text, chapter) in told.items():
        hint = hints[name]
        required = get_origin(hint) is Required
        if name != _OWN:
            inner = get_args(hint)[0] if required else hint
            found[name] = Key(name, inner, required, text, chapter)
    return found


def _read(hint: Any, text: str) -> Any:
    origin = get_origin(hint)
    if origin is Literal:
        if text not in get_args(hint):
            raise ValueError(f"{text!r} is not one of {', '.join(get_args(hint))}")
        return text
    if origin is Sequence:
        return _read_list(get_args(hint)[0], text)
    if hint is float:
        return _number(text)
    if hint is int:
        if not _COUNT.fullmatch(text):
            raise ValueError(f"{text!r} is not a whole number")
        return int(text)
    if hint is bool:
        if text.lower() not in ("true", "false"):
            raise ValueError(f"{text!r} is neither true nor false")
        return text.lower() == "true"
    # A size may be a number or as it is written; other text is taken as it is.
    if hint is not str and (_NUMBER.fullmatch(text) or _DECIMAL_COMMA.fullmatch(text)):
        return _number(text)
    return text


def _read_list(item: Any, text: str) -> list[Any]:
    if is_typeddict(item) or text.startswith("["):
        try:
            value = json.loads(text)
        except ValueError as error:
            raise ValueError(f"not JSON: {error}") from None
        if not isinstance(value, list):
            raise ValueError("not a list in JSON")
        return value
    return [_read(item, part.strip()) for part in text.split(";")]


def _number(text: str) -> float:
    if _NUMBER.fullmatch(text):
        return float(text)
    if _DECIMAL_COMMA.fullmatch(text):
        raise ValueError(f"{text!r} has a decimal comma; write {text.replace(',', '.')}")
    hint = "; separate several values by semicolons" if "," in text else ""
    raise ValueError(f"{text!r} is not a number{hint}")


def _described(name: str) -> dict[str, tuple[str, str]]:
    """Help and chapter of each key of a class, those of its bases first."""
    told: dict[str, tuple[str, str]] = {}
    bases, own, about = _classes()[name]
    for base in bases:
        told |= _described(base) if base in _classes() else {}
    return told | {key: (text, about) for key, text in own.items()}


@cache
def _classes() -> Mapping[str, tuple[tuple[str, ...], Mapping[str, str], str]]:
    """Bases, keys with their help, and first line of each class of keys."""
    found = {}
    for source in files("threadwright.keys").iterdir():
        if source.name.endswith(".py"):
            for node in ast.parse(source.read_text(encoding="utf-8")).body:
                if isinstance(node, ast.ClassDef):
                    bases = tuple(base.id for base in node.bases if isinstance(base, ast.Name))
                    found[node.name] = (bases, _helps(node), _line(ast.get_docstring(node)))
    return found


def _helps(node: ast.ClassDef) -> dict[str, str]:
    helps: dict[str, str] = {}
    last = ""
    for statement in node.body:
        if isinstance(statement, ast.AnnAssign) and isinstance(statement.target, ast.Name):
            last = statement.target.id
            helps[last] = ""
        elif last and isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant):
            helps[last] = " ".join(str(statement.value.value).split())
    return helps


def _line(text: str | None) -> str:
    return (text or "").splitlines()[0] if text else ""
