"""What a calculation leaves behind beside its result: assumptions, cautions, working.

A :class:`Formula` is the only place where an equation of the working stands: the text that
is shown is the text that is computed, so the two cannot differ.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from threadwright_service.calc.quick_record import maker_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """A value that was used because the caller gave none."""

    parameter: str
    value: float | int | str | bool
    reason: str
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A coded sentence that the person at the machine should read."""

    code: str
    """A word that never changes, for programs."""
    detail: str
    """A sentence for people."""


_make_assumption = maker_of(Assumption)
_make_caution = maker_of(Caution)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of the working: a quantity, how it was found, and from what."""

    quantity: str
    symbol: str
    formula: str
    inputs: Mapping[str, float | int | str]
    value: float | int | str
    unit: str
    source: str
    rounding: str = ""

    @property
    def substituted(self) -> str:
        """The formula with the numbers put in."""
        return _NAME.sub(
            lambda match: _shown(self.inputs[match[0]]) if match[0] in self.inputs else match[0],
            self.formula,
        )


@dataclass(slots=True, init=False)
class Trail:
    """Collects assumptions, cautions and, if asked, the steps of the working.

    Examples
    --------
    >>> trail = Trail(steps=[])
    >>> trail.assume("spring_passes", 1, "none given; one takes off what the neck sprang back")
    >>> trail.assumptions[0].parameter
    'spring_passes'
    """

    assumptions: list[Assumption]
    cautions: list[Caution]
    steps: list[Step] | None
    """``None``: no working was asked for, and none is kept."""

    def __init__(self, *, steps: list[Step] | None = None) -> None:
        self.assumptions = []
        self.cautions = []
        self.steps = steps

    def assume(
        self, parameter: str, value: float | int | str | bool, reason: str, *, unit: str = ""
    ) -> None:
        """Note a value that was used because the caller gave none.

        Parameters
        ----------
        parameter : str
            The request's key, without unit suffix.
        value : float or int or str or bool
            What was used, in ``unit``.
        reason : str
            Why this value.
        unit : str
            ``mm``, ``in``, ``mm/min``, ``m/min``, ``s`` …; lengths, feeds and speeds are
            turned into the request's unit at the edge.
        """
        for known in self.assumptions:
            if known.parameter == parameter:
                return
        self.assumptions.append(_make_assumption(parameter, value, reason, unit))

    def caution(self, code: str, detail: str) -> None:
        """Note a coded sentence for the person at the machine; the same one only once."""
        for known in self.cautions:
            if known.code == code and known.detail == detail:
                return
        self.cautions.append(_make_caution(code, detail))

    def adopt_new(self, other: Trail, *, without: Collection[str] = ()) -> None:
        """Note what another trail holds; of sentences with one code those said first stay.

        Cautions with a code of ``without`` are left out.
        """
        said = {caution.code for caution in self.cautions}.union(without)
        for each in other.assumptions:
            self.assume(each.parameter, each.value, each.reason, unit=each.unit)
        for caution in other.cautions:
            if caution.code not in said:
                self.caution(caution.code, caution.detail)

    def step(
        self,
        quantity: str,
        symbol: str,
        formula: str,
        inputs: Mapping[str, float | int | str],
        value: float | int | str,
        unit: str,
        source: str,
        rounding: str = "",
    ) -> None:
        """Note a step that no :class:`Formula` made: a table look-up, a search, an iteration."""
        if self.steps is not None:
            self.steps.append(
                Step(
                    quantity=quantity,
                    symbol=symbol,
                    formula=formula,
                    inputs=MappingProxyType(dict(inputs)),
                    value=value,
                    unit=unit,
                    source=source,
                    rounding=rounding,
                )
            )


class Formula:
    """An equation that computes and shows itself.

    Parameters
    ----------
    quantity : str
        What it gives, in words.
    symbol : str
        The source's symbol for it.
    expression : str
        The right-hand side as a Python expression in the source's symbols. It may use
        ``sqrt``, ``cbrt``, ``sin``, ``cos``, ``tan``, ``asin``, ``acos``, ``atan``, ``radians``,
        ``degrees``, ``pi``, ``log``, ``exp``, ``floor``, ``ceil``, ``min``, ``max`` and ``abs``.
    arguments : str
        The symbols of the inputs, separated by blanks, in the order of the call.
    unit : str
        Unit of the result.
    source : str
        Publication and place (an id of ``sources.toml``, then clause, table or equation),
        ``derivation`` or ``common practice``.

    Examples
    --------
    >>> pitch_diameter = Formula(
    ...     "basic pitch diameter", "d2", "d - 3/4 * H", "d H", unit="mm", source="iso-724"
    ... )
    >>> trail = Trail(steps=[])
    >>> round(pitch_diameter(trail, 10.0, 1.299038), 4)
    9.0257
    >>> trail.steps[0].substituted
    '10.0 - 3/4 * 1.299038'
    """

    __slots__ = (
        "_names",
        "arguments",
        "expression",
        "function",
        "quantity",
        "source",
        "symbol",
        "unit",
    )

    def __init__(
        self, quantity: str, symbol: str, expression: str, arguments: str, *, unit: str, source: str
    ) -> None:
        self.quantity = quantity
        self.symbol = symbol
        self.expression = expression
        self.arguments = arguments
        self.unit = unit
        self.source = source
        self._names = tuple(arguments.split())

    def __getattr__(self, attribute: str) -> Callable[..., float]:
        """Make ``function`` of the text when it is first wanted: most equations wait long."""
        if attribute != "function":
            raise AttributeError(attribute)
        # The text is a constant of this package, never an input of a caller.
        made: Callable[..., float] = eval(  # noqa: S307
            f"lambda {', '.join(self._names)}: {self.expression}", dict(MATHEMATICS)
        )
        self.function = made
        return made

    def __call__(self, trail: Trail | None, *values: float, rounding: str = "") -> float:
        """Compute, and note the step if the trail keeps working."""
        value = self.function(*values)
        if trail is not None and trail.steps is not None:
            trail.steps.append(self._step(values, value, rounding))
        return value

    def rounded(
        self,
        trail: Trail | None,
        *values: float,
        to: Callable[[float, int], float],
        places: int,
    ) -> float:
        """Compute and round as the standard prescribes; the step shows the rounded value.

        Parameters
        ----------
        trail : Trail or None
            Where the step is noted, if it keeps working.
        *values : float
            The inputs, in the order of ``arguments``.
        to : Callable
            A rule of :mod:`~threadwright_service.calc.rounding`.
        places : int
            Decimals that the rule keeps.

        Examples
        --------
        >>> from threadwright_service.calc.rounding import half_up
        >>> radius = Formula("root radius", "R", "P / 8", "P", unit="mm", source="iso-965-1")
        >>> trail = Trail(steps=[])
        >>> radius.rounded(trail, 1.5, to=half_up, places=3), trail.steps[0].rounding
        (0.188, '3 decimals, half up')
        """
        value = to(self.function(*values), places)
        if trail is not None and trail.steps is not None:
            rule = to.__name__.replace("_", " ")
            trail.steps.append(self._step(values, value, f"{places} decimals, {rule}"))
        return value

    def _step(self, values: tuple[float, ...], value: float, rounding: str) -> Step:
        return Step(
            quantity=self.quantity,
            symbol=self.symbol,
            formula=self.expression,
            inputs=MappingProxyType(dict(zip(self._names, values, strict=True))),
            value=value,
            unit=self.unit,
            source=self.source,
            rounding=rounding,
        )


MATHEMATICS: Final[Mapping[str, Any]] = {
    "__builtins__": {},
    "sqrt": math.sqrt,
    "cbrt": math.cbrt,
    "sin": math.sin,
    "cos": math.cos,
    "tan": math.tan,
    "asin": math.asin,
    "acos": math.acos,
    "atan": math.atan,
    "radians": math.radians,
    "degrees": math.degrees,
    "pi": math.pi,
    "log": math.log,
    "exp": math.exp,
    "floor": math.floor,
    "ceil": math.ceil,
    "min": min,
    "max": max,
    "abs": abs,
}
_NAME: Final = re.compile(r"[A-Za-z_][A-Za-z_0-9]*")


def _shown(value: float | int | str) -> str:
    """A number as it is put into a formula: ten significant digits at most."""
    text = str(value)
    if isinstance(value, float):
        text = f"{value:.10g}"
        text = text if any(mark in text for mark in ".en") else f"{text}.0"
    return f"({text})" if isinstance(value, (int, float)) and value < 0 else text
