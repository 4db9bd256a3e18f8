"""What a hardness conversion takes."""

from __future__ import annotations

from threadwright_service.calc.measurement.hardness.hardness_tables import SCALES, TABLES, materials
from threadwright_service.schemas.base import RequestSchema
from threadwright_service.schemas.fields import Choice, Number

SPELLINGS = {scale.lower(): scale for scale in SCALES} | {
    "HRc": "HRC",
    "Rc": "HRC",
    "HRb": "HRB",
    "Rb": "HRB",
    "BHN": "HB",
    "MPa": "Rm",
    "N/mm2": "Rm",
    "tensile": "Rm",
    "ksi": "Rm-ksi",
}


class HardnessRequest(RequestSchema):
    """A hardness, and the scale on which it is wanted."""

    value = Number(
        "The hardness, or the tensile strength in MPa (scale Rm) or ksi (scale Rm-ksi).",
        above=0,
        most=10_000,
        required=True,
    )
    scale = Choice(
        "Its scale: HBW is Brinell with a carbide ball, HBS with a steel ball, HB either.",
        SCALES,
        also=SPELLINGS,
        required=True,
    )
    to = Choice("The scale that is wanted; all of them if not given.", SCALES, also=SPELLINGS)
    material = Choice(
        "What it was measured on; homogeneous non-austenitic steel if not given.",
        tuple(materials()),
    )
    table = Choice("The one table to use; chosen by the scales if not given.", tuple(TABLES))
