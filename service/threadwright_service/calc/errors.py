"""What a calculation can refuse.

::

    CalcError
    ├─ UnknownDesignationError   text that is not a thread, class, material or scale we know
    ├─ AmbiguousError            text or values that fit more than one meaning
    ├─ MissingInputError         a value without which the result would be a guess
    ├─ NotTabulatedError         the standard has no entry for this combination
    ├─ OutOfRangeError           outside the range that a formula or table is stated for
    └─ InfeasibleError           each value is allowed, together they have no solution
"""

from __future__ import annotations

from typing import ClassVar


class CalcError(Exception):
    """Base of all refusals; never raised itself.

    Parameters
    ----------
    detail : str
        One sentence: which value, which limit and whose limit it is.
    parameter : str
        Name of the input to blame, as the caller wrote it; empty if none alone is to blame.
    value : object
        What was given for it.
    accepted : str
        What would be accepted instead, in words; empty if nothing short can be said.
    """

    code: ClassVar[str] = ""
    title: ClassVar[str] = ""

    def __init__(
        self, detail: str, *, parameter: str = "", value: object = None, accepted: str = ""
    ) -> None:
        super().__init__(detail)
        self.detail = detail
        self.parameter = parameter
        self.value = value
        self.accepted = accepted

    def blaming(self, parameter: str) -> CalcError:
        """The same refusal for an input that its caller knows by another name."""
        return type(self)(
            self.detail, parameter=parameter, value=self.value, accepted=self.accepted
        )


class UnknownDesignationError(CalcError):
    """The text is not a thread, class, material, scale or operation that is known."""

    code = "unknown-designation"
    title = "The designation is not known"


class AmbiguousError(CalcError):
    """The text or the values fit more than one meaning; nothing is guessed."""

    code = "ambiguous"
    title = "The input has more than one meaning"


class MissingInputError(CalcError):
    """A value is missing without which the result would be a guess."""

    code = "missing-input"
    title = "A needed value is missing"


class NotTabulatedError(CalcError):
    """The standard has no entry for this combination."""

    code = "not-tabulated"
    title = "The standard has no entry for this combination"


class OutOfRangeError(CalcError):
    """The value is outside the range that a formula or table is stated for."""

    code = "out-of-range"
    title = "The value is outside the stated range"


class InfeasibleError(CalcError):
    """Each value is allowed by itself, together they have no solution."""

    code = "infeasible"
    title = "The values together have no solution"


REFUSALS: tuple[type[CalcError], ...] = (
    UnknownDesignationError,
    AmbiguousError,
    MissingInputError,
    NotTabulatedError,
    OutOfRangeError,
    InfeasibleError,
)
