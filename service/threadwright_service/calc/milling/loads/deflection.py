"""Bending of a stepped cutter and its holder, the strength of its neck, and what run-out does.

The cutter is a beam of two round sections held rigidly at the holder: the neck at the tip, then
the shank. The load stands at the teeth, for a full-length cutter in the middle of its teeth.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter, CutterMaterial, Machine
from threadwright_service.calc.tables import load
from threadwright_service.calc.trail import Formula, Trail

SECOND_MOMENT: Final = Formula(
    "second moment of area of a round section",
    "I",
    "pi * d**4 / 64",
    "d",
    unit="mm^4",
    source="beam-theory",
)
STEPPED_BEAM: Final = Formula(
    "deflection at the load for each newton, neck and shank",
    "C",
    "1000 / (3 * E) * (L1**3 / I1 + ((L1 + L2)**3 - L1**3) / I2)",
    "E L1 I1 L2 I2",
    unit="um/N",
    source="beam-theory",
)
NECK_FORCE: Final = Formula(
    "force that brings a round section to its bending stress",
    "F",
    "pi * d**3 * sigma / (32 * L)",
    "d sigma L",
    unit="N",
    source="beam-theory",
)
RUNOUT_MEAN: Final = Formula(
    "how far the wall-making tooth stands out, mean of how it may be clamped",
    "eps",
    "TIR / 4 * (1 + cos(pi / z))",
    "TIR z",
    unit="mm",
    source="derivation",
)

SLENDER_RATIO: Final = 8.0
"""Neck longer than this many diameters: common practice asks for a shorter or thicker one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stiffness:
    """How the cutter in hand bends and what its neck stands."""

    compliance_um_per_n: float
    """Bending at the teeth: cutter, holder and spindle together."""
    cutter_compliance_um_per_n: float
    """Bending of the cutter alone."""
    holder_compliance_um_per_n: float
    """Bending of holder and spindle."""
    neck_force_max_n: float
    """Largest force at the teeth that neck and shank stand."""
    neck_stress_mpa: float
    """Bending stress that neck and shank are allowed."""
    modulus_mpa: float
    """Modulus of elasticity of the cutter."""


def body_of(material: CutterMaterial) -> tuple[float, float]:
    """Modulus of elasticity and allowed bending stress of a cutter material [MPa].

    Notes
    -----
    Source: memory, tables/cutter_materials.
    """
    row = load(__package__, "tables/cutter_materials").row(cutter_material=material)
    return float(row["modulus_mpa"]), float(row["neck_stress_mpa"])


def bending_compliance_um_per_n(
    *,
    neck_diameter_mm: float,
    neck_length_mm: float,
    shank_diameter_mm: float,
    shank_length_mm: float,
    modulus_mpa: float,
    trail: Trail | None = None,
) -> float:
    r"""Deflection of a stepped shank at its loaded end, for each newton.

    .. math:: \delta = \frac{F}{3E}\left[\frac{L_1^3}{I_1} +
        \frac{(L_1 + L_2)^3 - L_1^3}{I_2}\right]

    Parameters
    ----------
    neck_diameter_mm, neck_length_mm : float
        The section at the load, d1 and L1 [mm]; the length may be 0.
    shank_diameter_mm, shank_length_mm : float
        The section at the holder, d2 and L2 [mm]; the length may be 0.
    modulus_mpa : float
        Modulus of elasticity, E [MPa].

    Raises
    ------
    OutOfRangeError
        If a diameter or the modulus is not above zero, or a length negative.

    Notes
    -----
    Source: beam-theory, virtual work of bending; shear adds below 1 % from a length of four
    diameters on and is left out.

    Examples
    --------
    Neck 6 mm by 20 mm, shank 10 mm by 15 mm, 600 GPa, 100 N: 10.93 µm.

    >>> round(100 * bending_compliance_um_per_n(neck_diameter_mm=6, neck_length_mm=20,
    ...     shank_diameter_mm=10, shank_length_mm=15, modulus_mpa=600_000), 2)
    10.93
    """
    for name, value in (
        ("neck_diameter_mm", neck_diameter_mm),
        ("shank_diameter_mm", shank_diameter_mm),
        ("modulus_mpa", modulus_mpa),
    ):
        if not value > 0:
            raise OutOfRangeError(
                f"{name} is {value:g}", parameter=name, value=value, accepted="above 0"
            )
    for name, value in (("neck_length_mm", neck_length_mm), ("shank_length_mm", shank_length_mm)):
        if not value >= 0:
            raise OutOfRangeError(
                f"{name} is {value:g}", parameter=name, value=value, accepted="0 or more"
            )
    return STEPPED_BEAM(
        trail,
        modulus_mpa,
        neck_length_mm,
        SECOND_MOMENT(trail, neck_diameter_mm),
        shank_length_mm,
        SECOND_MOMENT(trail, shank_diameter_mm),
    )


def stiffness(
    *,
    cutter: Cutter,
    machine: Machine,
    thread_length_mm: float = 0.0,
    trail: Trail | None = None,
) -> Stiffness:
    """Compliance and strength of the cutter in hand, load at the teeth.

    Parameters
    ----------
    thread_length_mm : float
        For a full-length cutter: the load stands in the middle of this length [mm].

    Raises
    ------
    InfeasibleError
        If the neck is longer than the stick-out, or the teeth are.

    Notes
    -----
    Source: beam-theory; modulus and stress from memory, tables/cutter_materials.
    """
    _check_lengths(cutter)
    modulus_mpa, stress_mpa = _body(cutter, trail)
    offset_mm = thread_length_mm / 2 if cutter.profile == "full" else 0.0
    if offset_mm >= cutter.stick_out_mm:
        raise InfeasibleError(
            f"the teeth of a full-length cutter reach over {thread_length_mm:g} mm, the cutter "
            f"stands out {cutter.stick_out_mm:g} mm",
            parameter="cutter_stick_out",
            value=cutter.stick_out_mm,
            accepted=f"above {thread_length_mm:g} mm",
        )
    neck_mm = max(0.0, cutter.neck_length_mm - offset_mm)
    shank_mm = cutter.stick_out_mm - offset_mm - neck_mm
    bending_um = bending_compliance_um_per_n(
        neck_diameter_mm=cutter.neck_diameter_mm,
        neck_length_mm=neck_mm,
        shank_diameter_mm=cutter.shank_diameter_mm,
        shank_length_mm=shank_mm,
        modulus_mpa=modulus_mpa,
        trail=trail,
    )
    forces_n = [
        NECK_FORCE(trail, diameter_mm, stress_mpa, lever_mm)
        for diameter_mm, lever_mm in (
            (cutter.neck_diameter_mm, neck_mm),
            (cutter.shank_diameter_mm, neck_mm + shank_mm),
        )
        if lever_mm > 0
    ]
    return Stiffness(
        compliance_um_per_n=bending_um + machine.holder_compliance_um_per_n,
        cutter_compliance_um_per_n=bending_um,
        holder_compliance_um_per_n=machine.holder_compliance_um_per_n,
        neck_force_max_n=min(forces_n),
        neck_stress_mpa=stress_mpa,
        modulus_mpa=modulus_mpa,
    )


def _body(cutter: Cutter, trail: Trail | None) -> tuple[float, float]:
    """Modulus and allowed stress of the cutter in hand [MPa]: given, or its material's."""
    modulus_mpa, stress_mpa = body_of(cutter.material)
    if cutter.modulus_mpa is not None:
        modulus_mpa = cutter.modulus_mpa
    elif trail is not None:
        trail.assume(
            "cutter_modulus_mpa",
            modulus_mpa,
            f"none given; modulus of elasticity of {cutter.material} (from memory)",
            unit="MPa",
        )
    if cutter.neck_stress_mpa is not None:
        stress_mpa = cutter.neck_stress_mpa
    elif trail is not None:
        trail.assume(
            "cutter_neck_stress_mpa",
            stress_mpa,
            f"none given; bending stress allowed in {cutter.material} (from memory)",
            unit="MPa",
        )
    return modulus_mpa, stress_mpa


def caution_slender(*, cutter: Cutter, trail: Trail) -> None:
    """Note a neck that is long for its thickness; shop rule, the deflection says how much."""
    slenderness = cutter.neck_length_mm / cutter.neck_diameter_mm
    overall = cutter.stick_out_mm / cutter.shank_diameter_mm
    if slenderness > SLENDER_RATIO or overall > SLENDER_RATIO:
        trail.caution(
            "neck-slender",
            f"the neck is {slenderness:.1f} and the whole cutter {overall:.1f} times as long as "
            f"thick; above {SLENDER_RATIO:g} it bends and rings easily: shorten it, or cut a trial",
        )


def runout_shift_mm(
    *, runout_mm: float, teeth: int, trail: Trail | None = None
) -> tuple[float, float]:
    """How much deeper run-out lets the cutter cut, on the radius: expected and half spread [mm].

    The tooth that stands out most makes the wall. How far it stands out depends on how the
    eccentricity lies to the teeth.

    Notes
    -----
    Source: derivation; from TIR/2·cos(π/z) to TIR/2.
    """
    if runout_mm == 0:
        return 0.0, 0.0
    if teeth == 1:
        # One tooth may stand out by the whole eccentricity or be drawn in by it.
        return 0.0, runout_mm / 2
    return (
        RUNOUT_MEAN(trail, runout_mm, teeth),
        runout_mm / 4 * (1 - math.cos(math.pi / teeth)),
    )


def _check_lengths(cutter: Cutter) -> None:
    if cutter.neck_length_mm > cutter.stick_out_mm:
        raise InfeasibleError(
            f"the neck of {cutter.neck_length_mm:g} mm is longer than the cutter stands out, "
            f"{cutter.stick_out_mm:g} mm",
            parameter="cutter_neck_length",
            value=cutter.neck_length_mm,
            accepted=f"at most {cutter.stick_out_mm:g} mm",
        )
