"""From a condition that is known to be good to another case: one factor for each difference.

Each factor is 1 where the case does not differ, and is returned with its formula, its exponent and
the range of the data behind it.
"""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.cutting.factor import Factor
from threadwright_service.calc.cutting.hardness_scaling import above_zero
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.cutting.starting_values import (
    FEED_DIAMETER_MAX_MM,
    FEED_DIAMETER_MIN_MM,
    drill_feed_mm,
)
from threadwright_service.calc.cutting.tool_life import LifeExponents
from threadwright_service.calc.trail import Formula, Trail

WIDTH_RATIO_MIN: Final = 0.01
WIDTH_RATIO_MAX: Final = 0.5
"""Share of the diameter between which the width's exponent on the speed is met."""

LIFE_RANGE_RATIO: Final = 10.0
"""Beyond so many times the known life, Taylor's line is carried too far."""

WIDTH: Final = Formula(
    "speed with the width of cut",
    "f_w",
    "(w_ref / w)**b",
    "w_ref w b",
    unit="1",
    source="pmc-7306598 for titanium, memory elsewhere",
)
LIFE: Final = Formula(
    "speed with the life wanted",
    "f_T",
    "(T_ref / T)**n",
    "T_ref T n",
    unit="1",
    source="fundamentals-of-machining-processes p. 174",
)
COOLANT: Final = Formula(
    "speed that keeps the life with another coolant",
    "f_c",
    "(k / k_ref)**n",
    "k k_ref n",
    unit="1",
    source="tables/coolants.toml, memory",
)
FEED_ON_SPEED: Final = Formula(
    "speed with a thicker chip than the known one",
    "f_h",
    "min(1, (h_ref / h)**a)",
    "h_ref h a",
    unit="1",
    source="memory, extended Taylor equation",
)
ENGAGEMENT: Final = Formula(
    "feed that keeps the largest chip",
    "f_s",
    "s_ref / s",
    "s_ref s",
    unit="1",
    source="derivation; s = h_max / fz",
)
STICK_OUT: Final = Formula(
    "feed that keeps the deflection",
    "f_k",
    "min(1, (C_ref / C)**(1 / (1 - m)))",
    "C_ref C m",
    unit="1",
    source="derivation, from F ~ fz^(1 - m)",
)
DIAMETER: Final = Formula(
    "feed with the cutter's diameter",
    "f_D",
    "D / D_ref",
    "D D_ref",
    unit="1",
    source="common practice: feeds are a share of the diameter",
)


def diameter_on_feed(*, diameter_mm: float, reference_mm: float, trail: Trail | None) -> Factor:
    """Feed of a tooth for another diameter of a mill.

    Notes
    -----
    Source: common practice; feeds of milling cutters are stated as a share of the diameter.
    """
    above_zero("reference_diameter", reference_mm)
    outside = not all(
        FEED_DIAMETER_MIN_MM <= each <= FEED_DIAMETER_MAX_MM for each in (diameter_mm, reference_mm)
    )
    return Factor(
        name="diameter",
        applies_to="feed_per_tooth",
        value_ratio=DIAMETER(trail, diameter_mm, reference_mm),
        formula=DIAMETER.expression,
        source=DIAMETER.source,
        exponent_ratio=1.0,
        range=f"{FEED_DIAMETER_MIN_MM:g} to {FEED_DIAMETER_MAX_MM:g} mm",
        extrapolated=outside and diameter_mm != reference_mm,
    )


def drill_diameter_on_feed(
    *, diameter_mm: float, reference_mm: float, material: WorkMaterial
) -> Factor:
    """Feed of a drill's lip for another diameter: by the table of drill feeds.

    Raises
    ------
    OutOfRangeError
        If a diameter is outside the table.

    Notes
    -----
    Source: us-navy-engine-mechanic-training, feed rates.
    """
    above_zero("reference_diameter", reference_mm)
    here = drill_feed_mm(diameter_mm=diameter_mm, material=material)[1]
    there = drill_feed_mm(diameter_mm=reference_mm, material=material)[1]
    return Factor(
        name="diameter",
        applies_to="feed_per_tooth",
        value_ratio=here / there,
        formula="f_table(D) / f_table(D_ref)",
        source="us-navy-engine-mechanic-training",
        range="0.343 to 50.8 mm",
    )


def width_on_speed(
    *, width_ratio: float, reference_ratio: float, exponents: LifeExponents, trail: Trail | None
) -> Factor:
    """Speed for another width of cut, as a share of the diameter.

    Notes
    -----
    Source: pmc-7306598: life falls as 1/width in titanium, which with n = 0.25 is an exponent of
    0.25 on the speed; 0.1 to 0.3 elsewhere, memory.
    """
    outside = not all(
        WIDTH_RATIO_MIN <= each <= WIDTH_RATIO_MAX for each in (width_ratio, reference_ratio)
    )
    return Factor(
        name="engagement",
        applies_to="surface_speed",
        value_ratio=WIDTH(trail, reference_ratio, width_ratio, exponents.width_ratio),
        formula=WIDTH.expression,
        source=WIDTH.source,
        exponent_ratio=exponents.width_ratio,
        range=f"{100 * WIDTH_RATIO_MIN:g} to {100 * WIDTH_RATIO_MAX:g} % of the diameter",
        extrapolated=outside and width_ratio != reference_ratio,
    )


def engagement_on_feed(*, sine_ratio: float, reference_ratio: float, trail: Trail | None) -> Factor:
    """Feed of a tooth that keeps the largest chip: chip thinning, and the circle's part of it.

    Parameters
    ----------
    sine_ratio, reference_ratio : float
        Largest chip over feed of a tooth at the made surface, here and in the known condition:
        sin φs along a straight wall, sin φs · e/Rf on a circle.

    Notes
    -----
    Source: derivation.
    """
    return Factor(
        name="engagement",
        applies_to="feed_per_tooth",
        value_ratio=ENGAGEMENT(trail, reference_ratio, sine_ratio),
        formula=ENGAGEMENT.expression + ", s = h_max / fz",
        source=ENGAGEMENT.source,
        range="exact",
    )


def stick_out_on_feed(
    *,
    compliance_um_per_n: float,
    reference_um_per_n: float,
    material: WorkMaterial,
    trail: Trail | None,
) -> Factor:
    """Feed of a tooth that keeps the deflection of a longer or thinner cutter.

    A stiffer cutter is no reason for a thicker chip: the factor never exceeds 1.

    Notes
    -----
    Source: derivation; δ = C·F and F ∝ fz^(1−m).
    """
    return Factor(
        name="stick-out",
        applies_to="feed_per_tooth",
        value_ratio=STICK_OUT(
            trail, reference_um_per_n, compliance_um_per_n, material.force_exponent_ratio
        ),
        formula=STICK_OUT.expression,
        source=STICK_OUT.source,
        exponent_ratio=1 / (1 - material.force_exponent_ratio),
        range="bending of the cutter alone; holder and spindle as given",
    )


def life_on_speed(
    *, life_min: float, reference_min: float, exponents: LifeExponents, trail: Trail | None
) -> Factor:
    """Speed for another life of the edge.

    Notes
    -----
    Source: fundamentals-of-machining-processes p. 174; V T^n = C.
    """
    above_zero("tool_life_min", life_min)
    above_zero("reference_tool_life_min", reference_min)
    ratio = life_min / reference_min
    return Factor(
        name="tool life",
        applies_to="surface_speed",
        value_ratio=LIFE(trail, reference_min, life_min, exponents.n_ratio),
        formula=LIFE.expression,
        source=LIFE.source,
        exponent_ratio=exponents.n_ratio,
        range=f"n {exponents.n_low_ratio:g} to {exponents.n_high_ratio:g}; a tenth to ten times "
        "the known life",
        extrapolated=not 1 / LIFE_RANGE_RATIO <= ratio <= LIFE_RANGE_RATIO,
    )


def coolant_on_speed(
    *, ratio: float, reference_ratio: float, exponents: LifeExponents, trail: Trail | None
) -> Factor:
    """Speed that keeps the life with another coolant.

    Notes
    -----
    Source: tables/coolants.toml, memory.
    """
    return Factor(
        name="coolant",
        applies_to="surface_speed",
        value_ratio=COOLANT(trail, ratio, reference_ratio, exponents.n_ratio),
        formula=COOLANT.expression,
        source=COOLANT.source,
        exponent_ratio=exponents.n_ratio,
        range="k 0.4 to 1, wide",
    )


def feed_on_speed(
    *, chip_mm: float, reference_chip_mm: float, exponents: LifeExponents, trail: Trail | None
) -> Factor:
    """Speed for a thicker chip than the known condition's; a thinner one does not raise it.

    Notes
    -----
    Source: extended Taylor equation; exponent memory.
    """
    return Factor(
        name="feed",
        applies_to="surface_speed",
        value_ratio=FEED_ON_SPEED(trail, reference_chip_mm, chip_mm, exponents.feed_ratio),
        formula=FEED_ON_SPEED.expression,
        source=FEED_ON_SPEED.source,
        exponent_ratio=exponents.feed_ratio,
        range="a 0.3 to 0.6",
    )


def teeth_on_feed_rate(*, teeth: int, reference_teeth: int) -> Factor:
    """Feed rate for another number of teeth; the feed of each tooth stays.

    Notes
    -----
    Source: definition, vf = n z fz.
    """
    return Factor(
        name="teeth",
        applies_to="feed_rate",
        value_ratio=teeth / reference_teeth,
        formula="z / z_ref",
        source="definition, vf = n z fz",
        exponent_ratio=1.0,
        range="as long as the gullets hold the chips",
    )
