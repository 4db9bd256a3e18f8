"""What stands around every result: the request, units, what was assumed, cautions, sources."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from typing import Any, Final, Literal, TypeVar, get_args, get_type_hints

from threadwright.quantities import Length
from threadwright.record import Builder, Record, builder, unlike

ResultType = TypeVar("ResultType", bound="Result")


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption(Record):
    """A value that the service used because none was given."""

    parameter: str
    value: Any
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
    """The formula with the numbers put in."""
    value: float | int | str
    unit: str
    source: str
    rounding: str = ""
    value_in: float | None = None
    """The value in inches, where the answer is in inches and the step was computed in mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meta(Record):
    """What an answer rests on: version of the service and of its tables, and publications."""

    often_the_same = True

    service: str
    tables: str
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Span(Record):
    """Largest and smallest size; ``None`` where nothing bounds it."""

    max: Length | None
    min: Length | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Range(Record):
    """Largest and smallest size."""

    max: Length
    min: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class DiameterLimits(Record):
    """Limits of size."""

    major_diameter: Span
    pitch_diameter: Span
    minor_diameter: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer(Record):
    """The members of an answer around its ``result``."""

    apart = frozenset(("result",))

    operation: str
    input: Mapping[str, Any]
    """The keys as they were given."""
    unit: Literal["mm", "in"]
    """Unit of every length."""
    units: Mapping[str, str]
    """Unit of each kind of quantity whose key carries none."""
    assumed: tuple[Assumption, ...]
    cautions: tuple[Caution, ...]
    meta: Meta
    thread: threads.ThreadLimits | None = None
    """The thread that the operation took, where it took one and does not tell it itself."""
    working: tuple[Step, ...] | None = None
    """Every step, if it was asked for."""
    request_id: str = field(default="", compare=False)
    """What the people who run the service ask for; empty inside this process."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Result(Record):
    """Base of the results.

    Its own members are those of the answer's ``result``; what stands around them is in ``answer``,
    and can be read as members of the result too. A result inside another has the other's.
    """

    answer: Answer = field(repr=False, compare=False)

    @property
    def input(self) -> Mapping[str, Any]:
        """The keys as they were given."""
        return self.answer.input

    @property
    def unit(self) -> str:
        """Unit of every length: ``mm`` or ``in``."""
        return self.answer.unit

    @property
    def units(self) -> Mapping[str, str]:
        """Unit of each kind of quantity whose key carries none."""
        return self.answer.units

    @property
    def assumed(self) -> tuple[Assumption, ...]:
        """Values that the service used because none was given."""
        return self.answer.assumed

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """What the person at the machine should read."""
        return self.answer.cautions

    @property
    def working(self) -> tuple[Step, ...] | None:
        """Every step, if ``working=True`` was asked for."""
        return self.answer.working

    @property
    def meta(self) -> Meta:
        """Versions and sources."""
        return self.answer.meta

    @property
    def request_id(self) -> str:
        """What the people who run the service ask for; empty inside this process."""
        return self.answer.request_id

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
        try:
            build, build_answer, inner = _WAYS.get(cls) or _ways(cls)
            made: ResultType = build(members["result"])
            answer: Answer = build_answer(members)
            if request_id:
                object.__setattr__(answer, "request_id", request_id)
            _set_answer(made, answer)
            for name in inner:
                _share(getattr(made, name), answer)
            if answer.thread is not None:
                # Not the same answer, which holds the thread: a ring would live too long.
                rest: Answer = build_answer({**members, "thread": None})
                object.__setattr__(rest, "request_id", request_id)
                _share(answer.thread, rest)
        except KeyError as error:
            raise unlike(f"lacks {error}") from None
        except (TypeError, AttributeError) as error:
            raise unlike(f"is of another shape ({error})") from None
        return made


_set_answer: Final[Callable[[Result, Answer], None]] = vars(Result)["answer"].__set__


def _share(result: Result | None, answer: Answer) -> None:
    """Let a result within another, and those inside it, have what stands around that one."""
    if result is not None:
        _set_answer(result, answer)
        for name in _ways(type(result))[2]:
            _share(getattr(result, name), answer)


_Ways = tuple[Builder, Builder, tuple[str, ...]]
_WAYS: Final[dict[type[Result], _Ways]] = {}


def _ways(kind: type[Result]) -> _Ways:
    """How a result and its answer are made, and which of its members are results themselves."""
    found = _WAYS.get(kind)
    if found is None:
        hints = get_type_hints(kind)
        inner = tuple(each.name for each in fields(kind) if _is_result(hints[each.name]))
        found = _WAYS[kind] = (builder(kind), builder(Answer), inner)
    return found


def _is_result(hint: Any) -> bool:
    parts = get_args(hint) or (hint,)
    return any(isinstance(part, type) and issubclass(part, Result) for part in parts)


# The thread around a result is itself a result: its module and this one need each other.
from threadwright.results import threads  # noqa: E402
