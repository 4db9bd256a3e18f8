"""What a hardness may be given on and for: the names of scales, tables and materials."""

from __future__ import annotations

import math
from typing import Final

from threadwright_service.calc.errors import (
    NotTabulatedError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.measurement.hardness.hardness_tables import (
    SCALES,
    HardnessTable,
    hardness_tables,
    materials,
)
from threadwright_service.calc.trail import Trail

ASSUMED_MATERIAL: Final = "non-austenitic-steel"

_LARGEST: Final = {
    "HRC": 100.0,
    "HRB": 130.0,
    "HRA": 100.0,
    "HV": 3000.0,
    "HBW": 1000.0,
    "HBS": 1000.0,
    "HB": 1000.0,
    "Rm": 5000.0,
    "Rm-ksi": 725.0,
}
"""The largest value that is taken for a measurement at all: the ends of the Rockwell scales by
definition, else far above any steel (common practice)."""

_OTHER_SPELLINGS: Final = {
    "rc": "HRC",
    "rockwellc": "HRC",
    "rb": "HRB",
    "rockwellb": "HRB",
    "ra": "HRA",
    "rockwella": "HRA",
    "hv10": "HV",
    "hv30": "HV",
    "vhn": "HV",
    "dph": "HV",
    "vickers": "HV",
    "bhn": "HB",
    "brinell": "HB",
    "tensile": "Rm",
    "tensilestrength": "Rm",
    "uts": "Rm",
    "mpa": "Rm",
    "n/mm2": "Rm",
    "n/mm²": "Rm",
    "rm_mpa": "Rm",
    "rmmpa": "Rm",
    "ksi": "Rm-ksi",
    "rm_ksi": "Rm-ksi",
    "tensileksi": "Rm-ksi",
}
_BY_SPELLING: Final = {scale.casefold().replace("-", ""): scale for scale in SCALES} | {
    spelling.replace("-", ""): scale for spelling, scale in _OTHER_SPELLINGS.items()
}


def scale_named(text: str, parameter: str) -> str:
    """The scale that a text names.

    Raises
    ------
    UnknownDesignationError
        If it is none.

    Notes
    -----
    Source: astm-e140, ISO 6506-1 to ISO 6508-1 for the symbols; other spellings are common
    practice.

    Examples
    --------
    >>> scale_named("hrc", "scale"), scale_named("tensile", "to")
    ('HRC', 'Rm')
    """
    key = text.casefold().replace(" ", "").replace("-", "")
    if key not in _BY_SPELLING:
        raise UnknownDesignationError(
            f"{text!r} is not a hardness scale that is known here",
            parameter=parameter,
            value=text,
            accepted=", ".join(SCALES),
        )
    return _BY_SPELLING[key]


def checked_value(value: float, scale: str) -> float:
    """The value, if a hardness can have it.

    Raises
    ------
    OutOfRangeError
        If it is not finite, not above 0, or beyond any steel's.

    Notes
    -----
    Source: derivation, from the definition of the scales.
    """
    if not (math.isfinite(value) and 0 < value <= _LARGEST[scale]):
        raise OutOfRangeError(
            f"no steel has {value} {scale}",
            parameter="value",
            value=value,
            accepted=f"a finite number above 0 and at most {_LARGEST[scale]:g}",
        )
    return float(value)


def material_named(material: str | None, trail: Trail | None) -> str:
    """The material's word.

    Raises
    ------
    UnknownDesignationError
        If it is not a word of the materials table.
    NotTabulatedError
        If no table is for that material.

    Notes
    -----
    Source: astm-e140; sae-j417; iso-18265, scope clauses.
    """
    if material is None:
        if trail is not None:
            trail.assume(
                "material",
                ASSUMED_MATERIAL,
                "none given; homogeneous steel, neither austenitic nor cold-worked",
            )
        return ASSUMED_MATERIAL
    word = "-".join(material.casefold().replace("_", " ").replace("-", " ").split())
    row = materials().get(word)
    if row is None:
        raise UnknownDesignationError(
            f"{material!r} is not a material that the hardness tables know",
            parameter="material",
            value=material,
            accepted=", ".join(materials()),
        )
    if row["e140"] == "no":
        raise NotTabulatedError(
            f"no table here is for {word}: {row['reason']}",
            parameter="material",
            value=material,
            accepted=", ".join(name for name, each in materials().items() if each["e140"] != "no"),
        )
    return word


def table_named(name: str) -> HardnessTable:
    """The table with this key, capitals and small letters alike.

    Raises
    ------
    UnknownDesignationError
        If there is none.

    Notes
    -----
    Source: common practice.
    """
    for key, table in hardness_tables().items():
        if key.casefold() == name.strip().casefold():
            return table
    raise UnknownDesignationError(
        f"{name!r} is not a hardness table that is known here",
        parameter="table",
        value=name,
        accepted=", ".join(hardness_tables()),
    )
