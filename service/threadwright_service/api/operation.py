"""The record of one operation: everything that is made from it is made from it alone.

Routes, the OpenAPI entry, batch items, examples, the documentation pages and the contract tests of
client and shell all read these records.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from threadwright_service.calc.errors import CalcError
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail
from threadwright_service.schemas.base import RequestSchema
from threadwright_service.schemas.quantities import Unit
from threadwright_service.schemas.wire_field import WireField


@dataclass(slots=True)
class Request:
    """A request as an operation's function sees it.

    ``values`` holds what was given, under the calculation's names and in its units, and the
    defaults of the schema. ``unit`` is ``None`` if the caller named none; the function then answers
    in the standard's own unit. ``trail`` collects assumptions, cautions and working. ``thread`` is
    the thread that was read from it; the answer repeats it, so that a caller sees what was
    understood.
    """

    values: dict[str, Any]
    unit: Unit | None
    trail: Trail
    thread: ThreadLimits | None = None


@dataclass(slots=True)
class Outcome:
    """What an operation's function gives back.

    ``result`` is a dataclass of the calculations, whose names end in their units (the presenter
    turns them into the wire's keys, in ``unit``, rounded once), or a mapping that is ready.
    """

    result: Any
    unit: Unit


@dataclass(frozen=True, kw_only=True)
class Example:
    """A worked example: a request of the scenario and what it is about."""

    title: str
    request: Mapping[str, Any]


@dataclass(frozen=True, kw_only=True, eq=False)
class Operation:
    """One operation of the service.

    Parameters
    ----------
    name : str
        Path segment, and with underscores the client's method and the ``operationId``.
    summary : str
        One line: what it does.
    description : str
        What it is for, in a few sentences.
    tag : str
        Chapter of the documentation.
    request : type
        Schema of the request.
    response : type
        Shape of the answer's ``result``: the calculation's record, or a schema where the wire's
        differs from it.
    run : callable
        Computes the outcome of a loaded request.
    refusals : tuple of type
        The calculation errors it may give.
    sources : tuple of str
        Publications that the numbers rest on.
    examples : tuple of Example
        At least one; the first is the one in the documentation.
    rows : str
        Key of the list in ``result`` that is the answer's table (for CSV and pages), if it has one.
    tells_thread : bool
        Whether ``result`` itself tells the thread, so that the answer need not repeat it.
    """

    name: str
    summary: str
    description: str
    tag: str
    request: type[RequestSchema]
    response: type
    run: Callable[[Request], Outcome]
    refusals: tuple[type[CalcError], ...]
    sources: tuple[str, ...]
    examples: tuple[Example, ...]
    # Made anew, so that no value of the class stands in for one that is not yet there.
    rows: str = field(default_factory=str)
    tells_thread: bool = field(default_factory=bool)
    path: str = field(init=False)
    operation_id: str = field(init=False)
    assumed_keys: tuple[tuple[str, WireField], ...] = field(init=False, repr=False)
    """Keys for which the schema has a default that is noted when it is used."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "path", path_of(self.name))
        object.__setattr__(self, "operation_id", operation_id_of(self.name))
        fields = self.request.wire_fields().items()
        assumed = tuple((key, each) for key, each in fields if each.assume is not None)
        object.__setattr__(self, "assumed_keys", assumed)


def path_of(name: str) -> str:
    """The path of the operation of this name."""
    return f"/v1/{name}"


def operation_id_of(name: str) -> str:
    """The name of the operation in programs."""
    return name.replace("-", "_")
