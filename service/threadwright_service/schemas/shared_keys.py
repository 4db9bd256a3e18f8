"""Keys that milled and turned threads share: material, machine, what the thread is cut into."""

from __future__ import annotations

from threadwright_service.calc.measurement.hardness.hardness_tables import SCALES
from threadwright_service.schemas.fields import Choice, Number, Text
from threadwright_service.schemas.hardness import SPELLINGS
from threadwright_service.schemas.quantities import (
    FEED_RATE,
    LENGTH,
    POWER,
    RATIO,
    SPINDLE_SPEED,
)

LONGEST_MM = 3000.0
"""No length of a job is longer."""


class MaterialKeys:
    """The keys that describe the work material; a mix-in of requests."""

    material = Text(
        "Work material: a group of the materials list, or an international grade name.",
        longest=80,
        required=True,
        examples=("17-4 PH", "42CrMo4", "D2"),
    )
    hardness = Number("Hardness of the work, in hardness_scale.", above=0, most=4000)
    hardness_scale = Choice(
        "Scale of the hardness; Rm is a tensile strength in MPa, Rm-ksi in ksi.",
        SCALES,
        also=SPELLINGS,
    )


class DriveKeys:
    """The keys that describe spindle and axes of any machine; a mix-in of requests."""

    spindle_speed_max = Number("Highest spindle speed.", kind=SPINDLE_SPEED, above=0, most=500_000)
    feed_rate_max = Number("Highest feed rate.", kind=FEED_RATE, above=0, most=1_000_000)
    rapid_rate = Number("Rapid traverse rate.", kind=FEED_RATE, above=0, most=1_000_000)
    acceleration_g = Number("Acceleration of the axes, in g.", above=0, most=20)
    spindle_power_kw = Number(
        "Power of the spindle, a limit of every cut.", kind=POWER, above=0, most=500
    )


class MachineKeys(DriveKeys):
    """The keys that describe a machine whose tool bends in its holder; a mix-in of requests."""

    holder_compliance_um_per_n = Number(
        "Bending of holder and spindle at the cutter, in micrometres a newton.",
        least=0,
        most=10,
        assume=0.02,
        reason="none given; holders and spindles bend 0.01 to 0.05 (a rule of thumb from memory)",
    )


class BlankKeys:
    """The keys that say how long a thread is, where in its tolerance, and what it is cut into."""

    thread_length = Number(
        "Length of full thread.", kind=LENGTH, above=0, most=LONGEST_MM, required=True
    )
    blank_diameter = Number(
        "Diameter before threading, outside.", kind=LENGTH, above=0, most=LONGEST_MM
    )
    hole_diameter = Number(
        "Diameter before threading, inside.", kind=LENGTH, above=0, most=LONGEST_MM
    )
    pitch_diameter_aim = Number(
        "Where in its tolerance the pitch diameter is aimed: 0 smallest, 1 largest.",
        kind=RATIO,
        least=0,
        most=1,
        assume=0.5,
        reason="the middle leaves the same room to both sides",
    )
