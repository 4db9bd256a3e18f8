"""What is wrong with a request: one fault for each key, with what would be accepted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong with a request.

    Parameters
    ----------
    parameter : str
        The key to blame, as a dotted path where it lies inside a list or object.
    code : str
        A word that never changes, for programs.
    detail : str
        One sentence for people.
    value : object
        What was given.
    accepted : str
        What would be accepted.
    """

    parameter: str
    code: str
    detail: str
    value: Any = None
    accepted: str = ""


class FieldFaultError(Exception):
    """A value that its field cannot take; the loader adds the key.

    ``path`` leads from the key to the place inside its value, e.g. ``.0.feed``; ``culprit`` is what
    stands at that place, if ``path`` is not empty.
    """

    def __init__(
        self, code: str, detail: str, accepted: str, *, path: str = "", culprit: Any = None
    ) -> None:
        super().__init__(detail)
        self.code = code
        self.detail = detail
        self.accepted = accepted
        self.path = path
        self.culprit = culprit


class InvalidRequestError(Exception):
    """A request that does not match its schema; carries every fault at once."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("; ".join(fault.detail for fault in faults))
        self.faults = faults
