"""The kinds of single value that a request may hold: strict, bounded, described in one place each.

Every field reads JSON values and query text alike through :meth:`WireField.accept` and
:meth:`WireField.from_text`, and gives its own JSON Schema, so that what is checked is what the
OpenAPI file says.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from threadwright_service.schemas.faults import FieldFaultError
from threadwright_service.schemas.quantities import PLAIN, Kind, Unit
from threadwright_service.schemas.query_text import (
    COUNT_TEXT,
    DECIMAL_COMMA,
    NUMBER_TEXT,
    number_from_text,
    shown,
)
from threadwright_service.schemas.wire_field import WireField

SMALLEST: Final = 1e-6
"""Least value of a quantity that must be above zero, in the calculation's unit."""


class Number(WireField):
    """A finite real number within bounds.

    Bounds are in the calculation's unit (mm, mm/min, m/min …) and are told in the caller's.
    """

    def __init__(
        self,
        description: str,
        *,
        kind: Kind = PLAIN,
        above: float | None = None,
        least: float | None = None,
        below: float | None = None,
        most: float | None = None,
        required: bool = False,
        assume: float | None = None,
        reason: str = "",
        nullable: bool = False,
    ) -> None:
        super().__init__(
            description,
            kind=kind,
            required=required,
            assume=assume,
            reason=reason,
            nullable=nullable,
        )
        if above == 0:
            # Nothing that a shop measures is smaller; below lies only what no number holds.
            above, least = None, SMALLEST
        self.above = above
        self.least = least
        self.below = below
        self.most = most

    def from_text(self, text: str) -> float:
        """Read a plain ASCII decimal number."""
        return number_from_text(text, "a number with a decimal point, such as 10.5")

    def accept(self, value: Any, unit: Unit) -> float:
        """Check type, finiteness and bounds."""
        kind = type(value)
        if kind is not float and kind is not int:
            raise FieldFaultError("not-a-number", _not_a_number(value), self.accepted(unit))
        if not -1e300 < value < 1e300:  # false for NaN and the infinities too
            raise FieldFaultError("not-finite", "must be a finite number", self.accepted(unit))
        number = value * self.kind.scale(unit) if unit == "in" else float(value)
        if (
            (self.above is not None and not number > self.above)
            or (self.least is not None and not number >= self.least)
            or (self.below is not None and not number < self.below)
            or (self.most is not None and not number <= self.most)
        ):
            raise FieldFaultError(
                "out-of-range",
                f"{_plain(value)} is not {self.accepted(unit)}",
                self.accepted(unit),
            )
        return number

    def accepted(self, unit: Unit) -> str:
        """The bounds in the caller's unit, in words."""
        factor = self.kind.scale(unit)
        parts = []
        for word, bound in (
            ("above", self.above),
            ("at least", self.least),
            ("below", self.below),
            ("at most", self.most),
        ):
            if bound is not None:
                parts.append(f"{word} {_plain(float(f'{bound / factor:.6g}'))}")
        name = self.kind.unit(unit)
        suffix = f" {name}" if name != "1" and (parts or self.kind.follows_unit) else ""
        return (
            f"a number {' and '.join(parts)}".replace("number at", "number of at").rstrip() + suffix
        )

    def json_schema(self) -> dict[str, Any]:
        """Type, bounds (metric) and unit."""
        schema: dict[str, Any] = {"type": ["number", "null"] if self.nullable else "number"}
        if self.above is not None:
            schema["exclusiveMinimum"] = self.above
        if self.least is not None:
            schema["minimum"] = self.least
        if self.below is not None:
            schema["exclusiveMaximum"] = self.below
        if self.most is not None:
            schema["maximum"] = self.most
        if self.kind.follows_unit:
            schema["x-unit"] = {"mm": self.kind.metric, "in": self.kind.inch}
        elif self.kind.metric != "1":
            schema["x-unit"] = self.kind.metric
        return schema


class Count(WireField):
    """A whole number within bounds."""

    def __init__(
        self,
        description: str,
        *,
        least: int = 0,
        most: int = 1_000_000,
        required: bool = False,
        assume: int | None = None,
        reason: str = "",
        nullable: bool = False,
    ) -> None:
        super().__init__(
            description, required=required, assume=assume, reason=reason, nullable=nullable
        )
        self.least = least
        self.most = most

    def from_text(self, text: str) -> int:
        """Read a plain ASCII whole number."""
        if not COUNT_TEXT.fullmatch(text):
            raise FieldFaultError(
                "not-a-whole-number", f"{shown(text)} is not a whole number", self.accepted("mm")
            )
        return int(text)

    def accept(self, value: Any, unit: Unit) -> int:
        """Check type and bounds; 3.0 is the whole number 3, as JSON Schema has it."""
        if type(value) is float and value.is_integer():
            value = int(value)
        if type(value) is not int:
            raise FieldFaultError(
                "not-a-whole-number",
                f"{shown(value)} is not a whole number",
                self.accepted(unit),
            )
        if not self.least <= value <= self.most:
            raise FieldFaultError(
                "out-of-range",
                f"{shown(value)} is not {self.accepted(unit)}",
                self.accepted(unit),
            )
        return value

    def accepted(self, unit: Unit) -> str:  # noqa: ARG002
        """The bounds in words."""
        return f"a whole number from {self.least} to {self.most}"

    def json_schema(self) -> dict[str, Any]:
        """Type and bounds."""
        return {
            "type": ["integer", "null"] if self.nullable else "integer",
            "minimum": self.least,
            "maximum": self.most,
        }


class Text(WireField):
    """A short line of text."""

    def __init__(
        self,
        description: str,
        *,
        longest: int = 100,
        required: bool = False,
        assume: str | None = None,
        reason: str = "",
        nullable: bool = False,
        examples: Sequence[str] = (),
    ) -> None:
        super().__init__(
            description, required=required, assume=assume, reason=reason, nullable=nullable
        )
        self.longest = longest
        self.examples = tuple(examples)

    def accept(self, value: Any, unit: Unit) -> str:
        """Check type, length and that every character can be shown on one line."""
        if (
            type(value) is str
            and len(value) <= self.longest
            and value.isprintable()
            and not (value == "" or value.isspace())
        ):
            return value
        if type(value) is not str:
            raise FieldFaultError("not-text", f"{shown(value)} is not text", self.accepted(unit))
        if not value.strip():
            raise FieldFaultError(
                "empty", "is empty; leave the key out or give a value", self.accepted(unit)
            )
        if len(value) > self.longest:
            raise FieldFaultError(
                "too-long",
                f"has {len(value)} characters, more than {self.longest}",
                self.accepted(unit),
            )
        raise FieldFaultError(
            "not-printable",
            "holds characters that cannot be shown on one line",
            self.accepted(unit),
        )

    def accepted(self, unit: Unit) -> str:  # noqa: ARG002
        """Length and examples in words."""
        text = f"one line of up to {self.longest} characters"
        return f"{text}, such as {', '.join(self.examples)}" if self.examples else text

    def json_schema(self) -> dict[str, Any]:
        """Type and length."""
        schema: dict[str, Any] = {
            "type": ["string", "null"] if self.nullable else "string",
            "minLength": 0 if self.nullable else 1,
            "maxLength": self.longest,
        }
        if self.examples:
            schema["examples"] = list(self.examples)
        return schema


class Choice(WireField):
    """One of a few words; ``also`` maps further spellings to them."""

    def __init__(
        self,
        description: str,
        choices: Sequence[str],
        *,
        also: Mapping[str, str] | None = None,
        required: bool = False,
        assume: str | None = None,
        reason: str = "",
        nullable: bool = False,
    ) -> None:
        super().__init__(
            description, required=required, assume=assume, reason=reason, nullable=nullable
        )
        self.choices = tuple(choices)
        self.also = dict(also or {})

    def accept(self, value: Any, unit: Unit) -> str:
        """Give the word, or refuse with the list of words."""
        if type(value) is str:
            if value in self.choices:
                return value
            if value in self.also:
                return self.also[value]
        raise FieldFaultError(
            "not-a-choice", f"{shown(value)} is not {self.accepted(unit)}", self.accepted(unit)
        )

    def accepted(self, unit: Unit) -> str:  # noqa: ARG002
        """The words; of spellings that differ by their case alone the first."""
        told: dict[str, str] = {}
        for word in (*self.choices, *self.also):
            told.setdefault(word.lower(), word)
        words = list(told.values())
        return f"one of {', '.join(words)}" if len(words) > 1 else words[0]

    def json_schema(self) -> dict[str, Any]:
        """Type and words."""
        words: list[str | None] = [*self.choices, *self.also]
        if self.nullable:
            words.append(None)
        return {"type": ["string", "null"] if self.nullable else "string", "enum": words}


class Flag(WireField):
    """True or false."""

    def from_text(self, text: str) -> bool:
        """Read ``true`` or ``false``."""
        if text not in ("true", "false"):
            raise FieldFaultError(
                "not-a-flag", f"{shown(text)} is neither true nor false", self.accepted("mm")
            )
        return text == "true"

    def accept(self, value: Any, unit: Unit) -> bool:
        """Check the type."""
        if type(value) is not bool:
            raise FieldFaultError(
                "not-a-flag", f"{shown(value)} is neither true nor false", self.accepted(unit)
            )
        return value

    def accepted(self, unit: Unit) -> str:  # noqa: ARG002
        """The two words."""
        return "true or false"

    def json_schema(self) -> dict[str, Any]:
        """The type."""
        return {"type": "boolean"}


class Size(WireField):
    """A nominal size: a number, or as it is written, such as ``3/4``, ``#10`` or ``1 1/2``."""

    def from_text(self, text: str) -> float | str:
        """A number where it is one, else the written size."""
        if DECIMAL_COMMA.fullmatch(text):
            return number_from_text(text, self.accepted("mm"))
        return number_from_text(text, "") if NUMBER_TEXT.fullmatch(text) else text

    def accept(self, value: Any, unit: Unit) -> float | str:
        """Check a number, or a short text."""
        if type(value) is str:
            if not value.strip() or len(value) > 20 or not value.isprintable():
                raise FieldFaultError(
                    "not-a-size", f"{shown(value)} is not a size", self.accepted(unit)
                )
            return value
        if type(value) not in (int, float) or not 0 < value < 1e5:
            raise FieldFaultError(
                "not-a-size", f"{shown(value)} is not a size", self.accepted(unit)
            )
        return float(value)

    def accepted(self, unit: Unit) -> str:  # noqa: ARG002
        """A number or a written size."""
        return "a number above 0, or a written size such as 3/4, #10 or 1 1/2"

    def json_schema(self) -> dict[str, Any]:
        """Number or text."""
        return {
            "anyOf": [
                {"type": "number", "exclusiveMinimum": 0, "exclusiveMaximum": 100000},
                {"type": "string", "minLength": 1, "maxLength": 20},
            ],
            "x-unit": {"mm": "mm", "in": "in"},
        }


def _not_a_number(value: Any) -> str:
    if isinstance(value, str):
        hint = " (a JSON number has no quotes)" if NUMBER_TEXT.fullmatch(value[:50]) else ""
        if len(value) <= 50 and DECIMAL_COMMA.fullmatch(value):
            hint = f" (write {value.replace(',', '.')}, with a decimal point and no quotes)"
        return f"{shown(value)} is text, not a number{hint}"
    return f"{shown(value)} is not a number"


def _plain(number: float) -> str:
    text = f"{number:.10g}"
    return f"{number:.12f}".rstrip("0") if "e-" in text and abs(number) >= 1e-9 else text
