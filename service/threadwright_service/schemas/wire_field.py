"""What every key of a request or an answer has in common, whatever value it holds."""

from __future__ import annotations

from collections.abc import Mapping
from contextvars import ContextVar
from typing import Any

from marshmallow import ValidationError, fields

from threadwright_service.schemas.faults import FieldFaultError
from threadwright_service.schemas.quantities import PLAIN, Kind, Unit

REQUEST_UNIT: ContextVar[Unit] = ContextVar("REQUEST_UNIT", default="mm")
"""The ``unit`` of the request that is being loaded, for lengths at any depth."""


class WireField(fields.Field[Any]):
    """A key of a request or an answer.

    Parameters
    ----------
    description : str
        What it is, for people.
    kind : Kind
        Kind of quantity; decides unit, rounding and the name inside the calculations.
    required : bool
        Whether a request must hold it.
    assume : object
        What is used when it is not given, in the calculation's unit; noted in ``assumed``.
    reason : str
        Why that value is assumed.
    """

    def __init__(
        self,
        description: str,
        *,
        kind: Kind = PLAIN,
        required: bool = False,
        assume: Any = None,
        reason: str = "",
        nullable: bool = False,
    ) -> None:
        super().__init__(
            required=required, allow_none=nullable, metadata={"description": description}
        )
        self.description = description
        self.kind = kind
        self.assume = assume
        self.reason = reason
        self.nullable = nullable

    def inner_name(self, key: str) -> str:
        """Name inside the calculations: the key with the unit that the wire leaves out."""
        return f"{key}{self.kind.suffix}" if self.kind.bare else key

    def from_text(self, text: str) -> Any:
        """Turn query text into the JSON value it stands for."""
        return text

    def accept(self, value: Any, unit: Unit) -> Any:
        """Check a JSON value and give it in the calculation's unit.

        Raises
        ------
        FieldFaultError
            If the value cannot be taken.
        """
        raise NotImplementedError

    def json_schema(self) -> dict[str, Any]:
        """The JSON Schema of the value, without description."""
        raise NotImplementedError

    def accepted(self, unit: Unit) -> str:
        """What is accepted, in words."""
        raise NotImplementedError

    def _deserialize(
        self,
        value: Any,
        attr: str | None,  # noqa: ARG002
        data: Mapping[str, Any] | None,  # noqa: ARG002
        **_: Any,
    ) -> Any:
        try:
            return self.accept(value, REQUEST_UNIT.get())
        except FieldFaultError as fault:
            raise ValidationError([{"fault": fault}]) from None
