"""Cutting force of a tooth, torque, power; and the power constants that handbooks print."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.trail import Formula, Trail

KW_PER_HP: Final = 0.745699871582270
"""550 foot pounds-force a second, exactly by its definition."""
CM3_PER_IN3: Final = 16.387064

SMALLEST_MEASURED_CHIP_MM: Final = 0.05
LARGEST_MEASURED_CHIP_MM: Final = 2.5
"""Specific forces are measured on chips between these; beyond, they are extrapolated."""

TANGENTIAL: Final = Formula(
    "largest tangential force of one tooth",
    "Ft",
    "kc * b * h**(1 - m)",
    "kc b h m",
    unit="N",
    source="kienzle",
)
TANGENTIAL_OF_MILL: Final = Formula(
    "largest tangential force of the teeth in the cut",
    "Ft",
    "kc * b * h**(1 - m) * g",
    "kc b h m g",
    unit="N",
    source="kienzle; g from derivation: helix and teeth together over one straight edge",
)
POWER: Final = Formula(
    "power at the edge",
    "P",
    "Fm * vc / 60000",
    "Fm vc",
    unit="kW",
    source="definition: force times speed",
)
TORQUE: Final = Formula(
    "torque", "M", "Fm * Dc / 2000", "Fm Dc", unit="N m", source="definition: force times radius"
)
MOTOR_POWER: Final = Formula(
    "power of the motor",
    "P_m",
    "P / eta",
    "P eta",
    unit="kW",
    source="fundamentals-of-machining-processes p. 189",
)
POWER_CONSTANT: Final = Formula(
    "power constant in SI units",
    "Kp_SI",
    "Kp * 0.745699871582270 * 60 / 16.387064",
    "Kp",
    unit="kW s/cm3",
    source="machinerys-handbook-31 p. 1147, table 1b",
)


def motor_power_kw(
    *, power_kw: float, efficiency_ratio: float, trail: Trail | None = None
) -> float:
    """Power that the motor must give for a power at the edge [kW].

    Parameters
    ----------
    power_kw : float
        At the edge [kW].
    efficiency_ratio : float
        Of the drive, above 0 to 1; 0.7 to 0.9 is usual.

    Notes
    -----
    Source: fundamentals-of-machining-processes p. 189.

    Examples
    --------
    The slot-milling problem, 0.24 kW, printed 0.27:

    >>> round(motor_power_kw(power_kw=0.24, efficiency_ratio=0.9), 2)
    0.27
    """
    return MOTOR_POWER(trail, power_kw, efficiency_ratio)


def power_constant_kw_s_per_cm3(
    *, power_constant_hp_min_per_in3: float, trail: Trail | None = None
) -> float:
    """A handbook's power constant in SI units [kW s/cm³], which is also 1000 N/mm².

    Parameters
    ----------
    power_constant_hp_min_per_in3 : float
        Horsepower for each cubic inch a minute, sharp tool, chip of 0.012 in.

    Notes
    -----
    Source: machinerys-handbook-31 p. 1147, table 1b.

    Examples
    --------
    Alloy steel of 300 to 320 HB, printed .91 and 2.48:

    >>> round(power_constant_kw_s_per_cm3(power_constant_hp_min_per_in3=0.91), 2)
    2.48
    """
    return POWER_CONSTANT(trail, power_constant_hp_min_per_in3)
