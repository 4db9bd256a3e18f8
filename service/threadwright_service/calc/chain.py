"""Equations computed one after another, in one go, with the rounding that a standard prescribes.

A chain is a list of :class:`~threadwright_service.calc.trail.Formula` objects that find each
other by their symbols. Where working is kept, each is called and noted by itself. Where none is,
their texts are put into one function, so that a call costs little more than the arithmetic. Both
ways use the same texts and the same rounding; the tests hold them to the same values.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cached_property, partial
from typing import Any, Final, NamedTuple

from threadwright_service.calc.rounding import NO_TIE, WHOLE
from threadwright_service.calc.trail import MATHEMATICS, Formula, Trail

RoundingTo = Callable[[float, int], float]
"""A rule of :mod:`~threadwright_service.calc.rounding`."""


class Link(NamedTuple):
    """One equation of a chain.

    Parameters
    ----------
    formula : Formula
        The equation.
    places : int or None
        Decimals to which the chain's rule rounds it; ``None``: not rounded.
    symbol : str
        The name by which later links know the value; the formula's own symbol if empty.
    arguments : str
        Names of the chain that stand for the formula's arguments; its own if empty.
    """

    formula: Formula
    places: int | None
    symbol: str = ""
    arguments: str = ""

    @property
    def name(self) -> str:
        """The name by which later links know the value."""
        return self.symbol or self.formula.symbol

    @property
    def inputs(self) -> list[str]:
        """The names of the chain that go into the formula, in its order."""
        return (self.arguments or self.formula.arguments).split()


class Chain:
    """Equations that lead from some values to others.

    Parameters
    ----------
    arguments : str
        The names of what is given, separated by blanks, in the order of the call.
    *links : Link
        The equations, each after those whose values it needs. Their values stay below 10,000,
        their places at most six, as in :mod:`~threadwright_service.calc.rounding`.
    to : Callable or None
        The rounding rule: one that goes to the nearest, whatever it does with ties. ``None``
        rounds nothing.
    results : str
        The names that a call returns, in this order; those of all links if empty.
    whole : str
        The arguments that are whole numbers, such as tolerances in micrometres.

    Examples
    --------
    >>> from threadwright_service.calc.rounding import half_up
    >>> height = Formula("height", "H", "sqrt(3) / 2 * P", "P", unit="mm", source="iso-68-1")
    >>> basic = Formula("pitch diameter", "d2", "d - 3/4 * H", "d H", unit="mm", source="iso-724")
    >>> chain = Chain("d P", Link(height, None), Link(basic, 3), to=half_up, results="d2")
    >>> chain(None, 10.0, 1.5)
    (9.026,)
    >>> trail = Trail(steps=[])
    >>> chain(trail, 10.0, 1.5), [step.symbol for step in trail.steps]
    ((9.026,), ['H', 'd2'])
    """

    def __init__(
        self,
        arguments: str,
        *links: Link,
        to: RoundingTo | None,
        results: str = "",
        whole: str = "",
    ) -> None:
        self._arguments = tuple(arguments.split())
        self._links = links
        self._to = to
        self._results = tuple(results.split()) or tuple(link.name for link in links)
        self._whole = frozenset(whole.split())
        self._given: dict[str, Chain] = {}

    def __call__(self, trail: Trail | None, *values: float) -> tuple[float, ...]:
        """Compute all links and give the results."""
        return self.on(trail)(*values)

    def on(self, trail: Trail | None) -> Callable[..., tuple[float, ...]]:
        """What computes the results from the values, and notes each link if working is kept."""
        if trail is None or trail.steps is None:
            return self.function
        return partial(self._noted, trail)

    def given(self, symbol: str) -> Chain:
        """The same chain where the value of one link is given and not computed.

        It is one more argument, the last.
        """
        found = self._given.get(symbol)
        if found is None:
            found = self._given[symbol] = Chain(
                " ".join((*self._arguments, symbol)),
                *(link for link in self._links if link.name != symbol),
                to=self._to,
                results=" ".join(self._results),
                whole=" ".join(self._whole),
            )
        return found

    def _noted(self, trail: Trail, *values: float) -> tuple[float, ...]:
        known = dict(zip(self._arguments, values, strict=True))
        to = self._to
        for name, formula, names, places in self._steps:
            inputs = [known[each] for each in names]
            if places is None or to is None:
                known[name] = formula(trail, *inputs)
            else:
                known[name] = formula.rounded(trail, *inputs, to=to, places=places)
        return tuple(known[name] for name in self._results)

    @cached_property
    def _steps(self) -> list[tuple[str, Formula, list[str], int | None]]:
        return [(link.name, link.formula, link.inputs, link.places) for link in self._links]

    @cached_property
    def function(self) -> Callable[..., tuple[float, ...]]:
        """The whole chain as one function, without working; made when it is first needed."""
        lines = [f"def chain({', '.join(map(_name, self._arguments))}):"]
        places: dict[str, int] = {}
        for link in self._links:
            lines += [f"    {line}" for line in self._lines(link, places)]
        lines.append(f"    return {''.join(f'{_name(name)}, ' for name in self._results)}")
        namespace: dict[str, Any] = {**MATHEMATICS, "_of_tie": self._of_tie}
        # Made of constants of this package, never of an input of a caller.
        exec("\n".join(lines), namespace)  # noqa: S102
        function: Callable[..., tuple[float, ...]] = namespace["chain"]
        return function

    def _lines(self, link: Link, places: dict[str, int]) -> list[str]:
        """One link as Python; ``places`` are those of the links before it, if they are rounded.

        A rounded value is a whole number of units of its last place, over a power of ten. Adding
        and taking off a large number rounds to that whole number. A sum of whole numbers of the
        same units has nothing to round.
        """
        renamed = dict(zip(link.formula.arguments.split(), link.inputs, strict=True))
        text = _SYMBOL.sub(
            lambda match: _name(renamed[match[0]]) if match[0] in renamed else match[0],
            link.formula.expression,
        )
        name = _name(link.name)
        if link.places is None or self._to is None:
            return [f"{name} = {text}"]
        power = float(10**link.places)
        units = self._sum_of_units(link, renamed, places)
        places[link.name] = link.places
        if units:
            return [f"_n{name} = {units}", f"{name} = _n{name} / {power}"]
        return [
            f"_v = {text}",
            f"_s = _v * {power}",
            f"_n{name} = _s + {WHOLE} - {WHOLE}",
            f"if not -{NO_TIE} < _s - _n{name} < {NO_TIE}:",
            f"    _n{name} = _of_tie(_v, {link.places})",
            f"{name} = _n{name} / {power}",
        ]

    def _sum_of_units(
        self, link: Link, renamed: dict[str, str], places: dict[str, int]
    ) -> str | None:
        """The link in units of its last place, if it is a sum of whole numbers of them."""
        expression = link.formula.expression
        if not _SUM.fullmatch(expression):
            return None
        units = {}
        for symbol, divisor in _TERM.findall(expression):
            name = renamed[symbol]
            known = 0 if name in self._whole else places.get(name)
            if known is None or known + len(divisor or "1") - 1 != link.places:
                return None
            units[symbol] = _name(name) if name in self._whole else f"_n{_name(name)}"
        return _TERM.sub(lambda match: units[match[1]], expression)

    def _of_tie(self, value: float, places: int) -> float:
        """Units of the last place of a value that lies near to a half of one."""
        assert self._to is not None  # noqa: S101 - only a chain that rounds asks
        return float(round(self._to(value, places) * 10**places))


_SYMBOL: Final = re.compile(r"[A-Za-z_][A-Za-z_0-9]*")
_TERM: Final = re.compile(r"([A-Za-z_]\w*)(?: / (10+))?")
_SUM: Final = re.compile(rf"{_TERM.pattern}(?: [+-] {_TERM.pattern})*")


def _name(symbol: str) -> str:
    """A symbol as a name that stands beside those of the mathematics and of Python."""
    return f"{re.sub('[^A-Za-z_0-9]', '_', symbol)}_"
