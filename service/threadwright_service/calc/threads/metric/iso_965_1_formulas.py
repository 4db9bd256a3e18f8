"""The equations of the limits of ISO metric threads.

Diameters are in mm; the deviations es and EI and the tolerances are in micrometres, es below zero.
"""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.trail import Formula

_MM: Final = "mm"
_LIMITS: Final = "iso-965-1, limits of size"
EXTERNAL_MAJOR_MAX: Final = Formula(
    "maximum major diameter", "d_max", "d + es / 1000", "d es", unit=_MM, source=_LIMITS
)
EXTERNAL_MAJOR_MIN: Final = Formula(
    "minimum major diameter", "d_min", "d_max - Td / 1000", "d_max Td", unit=_MM, source=_LIMITS
)
EXTERNAL_PITCH_MAX: Final = Formula(
    "maximum pitch diameter", "d2_max", "d2 + es / 1000", "d2 es", unit=_MM, source=_LIMITS
)
EXTERNAL_PITCH_MIN: Final = Formula(
    "minimum pitch diameter", "d2_min", "d2_max - Td2 / 1000", "d2_max Td2",
    unit=_MM, source=_LIMITS,
)  # fmt: skip
FLAT_MINOR_MAX: Final = Formula(
    "maximum minor diameter, flat root, for reference", "d1_max", "d1 + es / 1000", "d1 es",
    unit=_MM, source="asme-b1-13m, as printed; also DIN 13 tables",
)  # fmt: skip
ROUNDED_MINOR_MIN: Final = Formula(
    "minimum minor diameter, root radius P/8, for reference", "d3_min",
    "d - 3/4 * H + es / 1000 - Td2 / 1000 - 2 * (H / 2 - P / 8)", "d H es Td2 P",
    unit=_MM, source="asme-b1-13m, as printed; also DIN 13 tables; rounded at the end alone",
)  # fmt: skip
STRESS_DEVIATION: Final = Formula(
    "deviation of the minor diameter for stress", "e_d3", "-es + 1000 * H / 6", "es H",
    unit="um", source="iso-965-4",
)  # fmt: skip
STRESS_MINOR: Final = Formula(
    "minor diameter for stress, for reference", "d3_stress", "d1 - e_d3 / 1000", "d1 e_d3",
    unit=_MM, source="iso-965-4",
)  # fmt: skip
ROOT_RADIUS_MIN: Final = Formula(
    "minimum root radius", "R_min", "P / 8", "P",
    unit=_MM, source="iso-965-1, root contours; required from property class 8.8",
)  # fmt: skip
INTERNAL_MAJOR_MIN: Final = Formula(
    "minimum major diameter", "D_min", "D + EI / 1000", "D EI", unit=_MM, source=_LIMITS
)
INTERNAL_PITCH_MIN: Final = Formula(
    "minimum pitch diameter", "D2_min", "D2 + EI / 1000", "D2 EI", unit=_MM, source=_LIMITS
)
INTERNAL_PITCH_MAX: Final = Formula(
    "maximum pitch diameter", "D2_max", "D2_min + TD2 / 1000", "D2_min TD2",
    unit=_MM, source=_LIMITS,
)  # fmt: skip
INTERNAL_MINOR_MIN: Final = Formula(
    "minimum minor diameter", "D1_min", "D1 + EI / 1000", "D1 EI", unit=_MM, source=_LIMITS
)
INTERNAL_MINOR_MAX: Final = Formula(
    "maximum minor diameter", "D1_max", "D1_min + TD1 / 1000", "D1_min TD1",
    unit=_MM, source=_LIMITS,
)  # fmt: skip
INTERNAL_MAJOR_MAX: Final = Formula(
    "maximum major diameter, for reference", "D_max",
    "D - 3/4 * H + EI / 1000 + TD2 / 1000 + 11/12 * H", "D H EI TD2",
    unit=_MM, source="din-13, as printed; rounded at the end alone",
)  # fmt: skip
