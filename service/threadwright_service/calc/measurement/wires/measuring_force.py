"""Measuring force over wires, and how much it flattens wire and flank."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.tables import load
from threadwright_service.calc.units import MM_PER_IN, N_PER_LBF

STEEL_MODULUS_MPA: Final = 207_000.0
POISSON_RATIO: Final = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuringForce:
    """The force that the North American convention names for a pitch."""

    force_n: float
    """Force of the instrument on the wires, by the convention."""
    tolerance_ratio: float
    """How far the force may depart either way, as a share of it."""
    calibration_cylinder_mm: float | None
    """Plain cylinder over which wires for such pitches are calibrated; null where it
    is not carried."""
    flattening_mm: float | None
    """How far the reading falls under the force, estimated for steel and not corrected; null but
    for three wires on symmetric flanks."""
    basis: str
    """Whether the force was read in print or is from memory."""
    note: str
    """Why the reading is not corrected for the force, and what soft material asks for."""


_NOTE: Final = (
    "The reading is not corrected for the force: by the North American convention the wires are "
    "calibrated at the force used on the thread, so part of the flattening is already in their "
    "size. European practice corrects the reading to no force; the estimate here is good to about "
    "a quarter. On aluminium, plastics and thin walls use 4.5 N or less and zero at the same force."
)


def measuring_force(*, pitch_mm: float, flattening_mm: float | None = None) -> MeasuringForce:
    """The measuring force for a pitch.

    Parameters
    ----------
    pitch_mm : float
        Pitch, P [mm]; above 0.
    flattening_mm : float, optional
        The estimate to hand on.

    Raises
    ------
    OutOfRangeError
        If the pitch is not above 0.

    Notes
    -----
    Source: memory of asme-b1-2, appendix B; wire-calibration-note for the line of 80 to 64 tpi.

    Examples
    --------
    >>> round(measuring_force(pitch_mm=1.5).force_n, 1)
    11.1
    """
    if not pitch_mm > 0:
        raise OutOfRangeError(
            f"the pitch is {pitch_mm:g} mm; it must be above 0",
            parameter="pitch",
            value=pitch_mm,
            accepted="a length above 0",
        )
    rows = list(load(__package__, "tables/measuring_force"))
    row = next(each for each in rows if pitch_mm >= float(each["pitch_from_mm"]))
    cylinder = float(row["cylinder_in"])
    return MeasuringForce(
        force_n=float(row["force_lbf"]) * N_PER_LBF,
        tolerance_ratio=0.1,
        calibration_cylinder_mm=cylinder * MM_PER_IN or None,
        flattening_mm=flattening_mm,
        basis=str(row["basis"]),
        note=_NOTE,
    )


def flattening_mm(
    *,
    force_n: float,
    pitch_diameter_mm: float,
    wire_diameter_mm: float,
    flank_angle_deg: float,
    part_modulus_mpa: float = STEEL_MODULUS_MPA,
    wire_modulus_mpa: float = STEEL_MODULUS_MPA,
    part_poisson_ratio: float = POISSON_RATIO,
) -> float:
    """How far a reading over three wires falls under the measuring force [mm].

    The wire lies across the flank like one cylinder across another. The single wire carries the
    whole force, each of the other two half of it, and each wire has two contacts.

    Parameters
    ----------
    force_n : float
        Measuring force, F [N]; 0 or more.
    pitch_diameter_mm, wire_diameter_mm : float
        E and W [mm]; above 0.
    flank_angle_deg : float
        Flank angle, A [deg].
    part_modulus_mpa, wire_modulus_mpa : float
        Young's moduli [MPa]; steel's by default.
    part_poisson_ratio : float
        Poisson's ratio of the part; the wire has 0.3.

    Raises
    ------
    OutOfRangeError
        If a size or modulus is not above 0, or the force is negative.

    Notes
    -----
    Source: hertz-1882 for two crossed cylinders; derivation for the loads. Two published figures
    lie 15 to 20 % below this; treat it as known to a quarter.

    Examples
    --------
    M10x1.5 on the best wire at 11.1 N (4.1 µm by an independent program):

    >>> round(1000 * flattening_mm(
    ...     force_n=11.1, pitch_diameter_mm=9.026, wire_diameter_mm=0.866, flank_angle_deg=30.0
    ... ), 1)
    4.1
    """
    if force_n < 0 or not all(
        value > 0
        for value in (
            pitch_diameter_mm,
            wire_diameter_mm,
            flank_angle_deg,
            part_modulus_mpa,
            wire_modulus_mpa,
        )
    ):
        raise OutOfRangeError(
            "a force below 0, or a diameter, angle or modulus that is not above 0",
            parameter="measuring_force",
            value=force_n,
            accepted="a force of 0 N or more, the rest above 0",
        )
    sine = math.sin(math.radians(flank_angle_deg))
    modulus = 1 / (
        (1 - part_poisson_ratio**2) / part_modulus_mpa + (1 - POISSON_RATIO**2) / wire_modulus_mpa
    )
    radii = (pitch_diameter_mm / (2 * sine), wire_diameter_mm / 2)
    single = crossed_cylinders_approach_mm(force_n / (2 * sine), radii, modulus)
    paired = crossed_cylinders_approach_mm(force_n / (4 * sine), radii, modulus)
    return (single + paired) / sine


def crossed_cylinders_approach_mm(
    load_n: float, radii_mm: tuple[float, float], contact_modulus_mpa: float
) -> float:
    """Approach of two cylinders that cross at a right angle under a load [mm].

    Parameters
    ----------
    load_n : float
        Load at the contact [N]; 0 or more.
    radii_mm : tuple of float
        Both radii [mm]; above 0.
    contact_modulus_mpa : float
        1 / ((1 - v1²)/E1 + (1 - v2²)/E2) [MPa].

    Notes
    -----
    Source: hertz-1882. The ratio of the ellipse's axes follows from that of the curvatures; the
    elliptic integrals are found by the arithmetic-geometric mean.
    """
    if load_n == 0:
        return 0.0
    large, small = max(radii_mm), min(radii_mm)
    curvature = 1 / (2 * large)
    axes = _axes_ratio(large / small)
    modulus_squared = 1 - axes * axes
    first, second = _elliptic(modulus_squared)
    # Curvature along the long half axis a: 3 F (K - E) / (2 pi E* e² a³); as e goes to 0 the
    # quotient (K - E) / e² goes to pi / 4.
    shape = (first - second) / modulus_squared if modulus_squared > 1e-7 else math.pi / 4
    long_axis = math.cbrt(3 * load_n * shape / (2 * math.pi * contact_modulus_mpa * curvature))
    return 3 * load_n * first / (2 * math.pi * contact_modulus_mpa * long_axis)


def _axes_ratio(curvatures: float) -> float:
    """Short over long half axis of the contact ellipse, for a ratio of curvatures of 1 or more."""
    low, high = 1e-9, 1.0
    for _ in range(60):
        middle = math.sqrt(low * high)
        squared = 1 - middle * middle
        if squared <= 1e-7:
            found = 1.0
        else:
            first, second = _elliptic(squared)
            found = (second / (middle * middle) - first) / (first - second)
        if found > curvatures:
            low = middle
        else:
            high = middle
    return math.sqrt(low * high)


def _elliptic(squared_modulus: float) -> tuple[float, float]:
    """Complete elliptic integrals of the first and second kind."""
    mean, geometric = 1.0, math.sqrt(1 - squared_modulus)
    lost, weight = squared_modulus, 1.0
    while mean - geometric > 1e-14 * mean:  # the difference is squared by each round
        half = (mean - geometric) / 2
        mean, geometric = (mean + geometric) / 2, math.sqrt(mean * geometric)
        weight *= 2
        lost += weight * half * half
    first = math.pi / (2 * mean)
    return first, first * (1 - lost / 2)
