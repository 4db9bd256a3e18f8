"""What every result carries beside its own members."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from threadwright.errors import UnexpectedAnswerError
from threadwright.record import Record

ResultType = TypeVar("ResultType", bound="Result")


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption(Record):
    """A value that the service used because none was given."""

    parameter: str
    value: float | int | str | bool
    reason: str
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution(Record):
    """A sentence that the person at the machine should read."""

    code: str
    detail: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Step(Record):
    """One line of the working."""

    quantity: str
    symbol: str
    formula: str
    inputs: Mapping[str, Any]
    substituted: str
    value: float | int | str
    unit: str
    source: str
    rounding: str = ""
    value_in: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Span(Record):
    """Largest and smallest size; ``None`` where the standard sets none."""

    max: float | None
    min: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Result(Record):
    """Base of the results: the members of the answer around ``result``.

    ``unit`` is that of every length; ``units`` names the unit of each kind of quantity.
    """

    operation: str
    input: Mapping[str, Any]
    unit: str
    units: Mapping[str, str]
    assumed: tuple[Assumption, ...]
    cautions: tuple[Caution, ...]
    meta: Mapping[str, Any]
    working: tuple[Step, ...] | None = None
    request_id: str = ""

    @classmethod
    def from_answer(
        cls: type[ResultType], members: Mapping[str, Any], request_id: str = ""
    ) -> ResultType:
        """Make the result from an answer of the service.

        Raises
        ------
        UnexpectedAnswerError
            If it is not such an answer.
        """
        inner = members.get("result")
        if not isinstance(inner, Mapping):
            raise UnexpectedAnswerError(
                "the answer holds no result: is this address that of a Threadwright service?",
                status=200,
                content_type="application/json",
            )
        around = {key: value for key, value in members.items() if key != "result"}
        return cls.from_json({**around, **inner, "request_id": request_id})
