"""The operation that converts hardness by table."""

from __future__ import annotations

from threadwright_service.api.operation import Example, Operation, Outcome, Request
from threadwright_service.calc.errors import (
    NotTabulatedError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.measurement.hardness.hardness import HardnessConversion, convert
from threadwright_service.schemas.hardness import HardnessRequest


def run_hardness(request: Request) -> Outcome:
    """The hardness on the scale asked for, or on all."""
    values = request.values
    result = convert(
        value=values.pop("value"),
        scale=values.pop("scale"),
        to=values.pop("to", None),
        material=values.pop("material", None),
        table=values.pop("table", None),
        trail=request.trail,
    )
    return Outcome(result, request.unit or "mm")


OPERATIONS = (
    Operation(
        name="hardness",
        summary="Hardness on another scale, and tensile strength, by table",
        description=(
            "Converts between Rockwell, Brinell, Vickers and tensile strength by one published "
            "table at a time, which is named: the printed digits where the table has the row, the "
            "straight line between two rows otherwise. Refused outside the tables and for "
            "materials that they are not for."
        ),
        tag="measurement",
        request=HardnessRequest,
        response=HardnessConversion,
        run=run_hardness,
        refusals=(UnknownDesignationError, NotTabulatedError, OutOfRangeError),
        sources=("ASTM E140", "SAE J417", "ISO 18265", "BS 860"),
        examples=(
            Example(
                title="Die-clamp studs: 58 HRC in Brinell",
                request={"value": 58, "scale": "HRC", "to": "HBW", "material": "tool-steel"},
            ),
            Example(
                title="Levelling screws: 42 HRC on every scale",
                request={
                    "value": 42,
                    "scale": "HRC",
                    "material": "precipitation-hardening-steel",
                },
            ),
            Example(
                title="A drawing that asks for 1000 MPa",
                request={"value": 1000, "scale": "Rm", "to": "HRC"},
            ),
        ),
        rows="conversions",
    ),
)
