"""Starting values of speed and feed for a material, a cutter material and an operation."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.cutting.designations import PACKAGE
from threadwright_service.calc.cutting.factor import Factor
from threadwright_service.calc.cutting.interpolation import Interpolated, power_between
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import CutterMaterial
from threadwright_service.calc.tables import document_of, load
from threadwright_service.calc.trail import Formula, Trail
from threadwright_service.calc.units import M_PER_FT, MM_PER_IN

Operation = Literal[
    "thread-milling", "side-milling", "chamfering", "drilling", "tapping", "single-point-threading"
]

MILLING: Final[frozenset[Operation]] = frozenset({"thread-milling", "side-milling", "chamfering"})

SIDE_MILLING_WIDTH_RATIO: Final = 0.1
"""Radial width, as a share of the diameter, for which the starting values of side milling stand."""

FEED_DIAMETER_MIN_MM: Final = 4.0
FEED_DIAMETER_MAX_MM: Final = 20.0
HIGH_SPEED_STEEL_HARDNESS_MAX_HB: Final = 425.0
"""Where the table of high-speed steel ends; beyond, the edge is hardly harder than the work."""

SPEED: Final = Formula(
    "starting surface speed",
    "vc",
    "vc_table * f_group * f_hardness * f_operation",
    "vc_table f_group f_hardness f_operation",
    unit="m/min",
    source="common practice",
)
FEED: Final = Formula(
    "starting feed of a tooth",
    "fz",
    "percent / 100 * Dc",
    "percent Dc",
    unit="mm",
    source="common practice",
)
SMALLEST_CHIP: Final = Formula(
    "smallest chip thickness",
    "h_min",
    "k * r_edge",
    "k r_edge",
    unit="mm",
    source="memory; subject of materials-15-2022-59",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedRange:
    """Surface speed from the cautious to the bold end, and what is aimed at."""

    low_m_per_min: float
    """The cautious end."""
    aim_m_per_min: float
    """What to aim at."""
    high_m_per_min: float
    """The bold end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedRange:
    """Feed of each tooth at the cutting edge's circle, low, aimed at, high."""

    low_mm: float
    """The cautious end."""
    aim_mm: float
    """What to aim at."""
    high_mm: float
    """The bold end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingCondition:
    """Speed, feed and the chip limits that an edge stands, before any scaling to a set-up."""

    surface_speed: SpeedRange
    feed_per_tooth: FeedRange
    chip_thickness_allowed_mm: float
    """Largest peak chip thickness for the edge [mm]."""
    chip_thickness_min_mm: float
    """Below this the edge rubs and does not cut [mm]."""
    edge_radius_mm: float
    """Radius of the cutting edge, from which the thinnest chip follows."""
    tool_life_min: float
    """Minutes in the cut that the aimed speed is for."""
    basis: str
    """Where the tabulated speed is from, and what that rests on."""
    factors: tuple[Factor, ...]
    """What the tabulated speed was multiplied by."""


def starting_condition(
    *,
    material: WorkMaterial,
    cutter_material: CutterMaterial,
    operation: Operation,
    cutter_diameter_mm: float,
    trail: Trail | None = None,
) -> CuttingCondition:
    """Starting values of speed and feed for a case.

    Parameters
    ----------
    material : WorkMaterial
        As :func:`.materials.find_material` gives it.
    cutter_material : {"carbide", "high-speed-steel"}
        What the edge is made of; carbide is taken as coated.
    operation : Operation
        What is done.
    cutter_diameter_mm : float
        Cutting diameter, Dc [mm]; the feeds of milling and drilling go with it.
    trail : Trail, optional
        Takes cautions and working.

    Returns
    -------
    CuttingCondition
        In tapping and single-point threading the feed along the axis is the lead; there
        ``feed_per_tooth`` is the chip of a tap's tooth or the infeed of a pass. In drilling it
        is half of the feed for each revolution: two lips.

    Raises
    ------
    OutOfRangeError
        If the edge does not cut the material, or the diameter is outside the table of feeds.

    Notes
    -----
    Source: tables/speeds.toml, tables/feeds.toml, tables/operation_speeds.toml and, for twist
    drills, tables/drilling_speeds.toml and tables/drilling_feeds.toml. Most values are trade
    knowledge; the bands say how wide.
    """
    _refuse_edge(material, cutter_material, operation)
    usage = load(PACKAGE, "tables/operation_speeds").row(
        operation=operation, cutter_material=cutter_material, iso_513=material.iso_513
    )
    speed, factors, basis = _speed(
        material, cutter_material, operation, float(usage["speed_ratio"]), trail
    )
    feed = _feed(material, operation, cutter_diameter_mm, trail)
    edge = load(PACKAGE, "tables/edges").row(
        cutter_material=cutter_material, iso_513=material.iso_513
    )
    edge_radius_mm = float(edge["edge_radius_mm"])
    return CuttingCondition(
        surface_speed=speed,
        feed_per_tooth=feed,
        chip_thickness_allowed_mm=feed.high_mm,
        chip_thickness_min_mm=SMALLEST_CHIP(
            trail, float(edge["smallest_chip_ratio"]), edge_radius_mm
        ),
        edge_radius_mm=edge_radius_mm,
        tool_life_min=float(usage["tool_life_min"]),
        basis=basis,
        factors=factors,
    )


def curve_of(group: str) -> tuple[str, float]:
    """The curve of speed over hardness that a group follows, and its factor on it."""
    curve, factor_ratio = document_of(PACKAGE, "tables/speeds")["groups"][group]
    return str(curve), float(factor_ratio)


def speed_points(curve: str, cutter_material: str, end: str = "aim") -> list[tuple[float, float]]:
    """Hardness [HB] and surface speed [m/min] of one curve's points.

    Parameters
    ----------
    curve, cutter_material : str
        Keys of the table.
    end : {"low", "aim", "high"}
        Which line of the band.
    """
    return [
        (float(row["hardness_hb"]), float(row[f"{end}_m_per_min"]))
        for row in load(PACKAGE, "tables/speeds")
        if row["curve"] == curve and row["cutter_material"] == cutter_material
    ]


def feed_percent(curve: str, hardness_hb: float, end: str = "aim") -> Interpolated:
    """Feed of a tooth in milling, in per cent of the cutting diameter, at a hardness."""
    points = [
        (float(row["hardness_hb"]), float(row[f"{end}_percent"]))
        for row in load(PACKAGE, "tables/feeds")
        if row["curve"] == curve
    ]
    return power_between(points, hardness_hb)


def drill_feed_mm(*, diameter_mm: float, material: WorkMaterial) -> tuple[float, float, float]:
    """Feed of a twist drill for each revolution, low, aimed, high [mm].

    Parameters
    ----------
    diameter_mm : float
        Diameter of the drill [mm]; 0.0135 to 2 in, as the table.
    material : WorkMaterial
        Its ISO 513 letter and hardness place the aim in the printed range.

    Raises
    ------
    OutOfRangeError
        If the diameter is outside the table.

    Notes
    -----
    Source: us-navy-engine-mechanic-training, feed rates; the place in the range is memory.
    """
    document = document_of(PACKAGE, "tables/drilling_feeds")
    table = load(PACKAGE, "tables/drilling_feeds")
    position, factor = document["position"][material.iso_513]
    if material.iso_513 == "P":
        # From the middle of the range in soft steel down to its lower end at 325 HB.
        position *= min(1.0, max(0.0, (325.0 - material.hardness_hb) / 125.0))
    diameter_in = diameter_mm / MM_PER_IN
    for row in table:
        if float(row["diameter_above_in"]) < diameter_in <= float(row["diameter_to_in"]):
            low_mm = float(row["low_in"]) * MM_PER_IN * factor
            high_mm = float(row["high_in"]) * MM_PER_IN * factor
            return low_mm, low_mm + position * (high_mm - low_mm), high_mm
    raise OutOfRangeError(
        f"a drill of {diameter_mm:g} mm is outside the table of feeds, 0.343 to 50.8 mm",
        parameter="cutter_diameter",
        value=diameter_mm,
        accepted="above 0.343 mm, up to 50.8 mm",
    )


def _refuse_edge(
    material: WorkMaterial, cutter_material: CutterMaterial, operation: Operation
) -> None:
    rows = load(PACKAGE, "tables/operation_speeds").rows
    too_hard = (
        cutter_material == "high-speed-steel"
        and material.hardness_hb > HIGH_SPEED_STEEL_HARDNESS_MAX_HB
    )
    if not too_hard and (operation, cutter_material, material.iso_513) in rows:
        return
    other = "carbide" if cutter_material == "high-speed-steel" else "high-speed-steel"
    accepted = (operation, other, material.iso_513) in rows and not (
        other == "high-speed-steel" and material.hardness_hb > HIGH_SPEED_STEEL_HARDNESS_MAX_HB
    )
    raise OutOfRangeError(
        f"no data for {operation} {material.name} at {material.hardness_hb:.4g} HB with "
        f"{cutter_material}; data for high-speed steel end at "
        f"{HIGH_SPEED_STEEL_HARDNESS_MAX_HB:g} HB",
        parameter="cutter_material",
        value=cutter_material,
        accepted=other if accepted else "another operation",
    )


def _speed(
    material: WorkMaterial,
    cutter_material: CutterMaterial,
    operation: Operation,
    operation_ratio: float,
    trail: Trail | None,
) -> tuple[SpeedRange, tuple[Factor, ...], str]:
    curve, group_ratio = curve_of(material.group)
    twist_drill = operation == "drilling" and cutter_material == "high-speed-steel"
    if twist_drill:
        operation_ratio = 1.0
        points = _twist_drill_points(curve)
    else:
        points = {end: speed_points(curve, cutter_material, end) for end in ("low", "aim", "high")}
    ends = {end: power_between(line, material.hardness_hb) for end, line in points.items()}
    base_hb, base_m_per_min = min(
        points["aim"], key=lambda point: abs(math.log(point[0] / material.hardness_hb))
    )
    hardness_ratio = ends["aim"].value / base_m_per_min
    aim_m_per_min = SPEED(trail, base_m_per_min, group_ratio, hardness_ratio, operation_ratio)
    source = "us-navy-engine-mechanic-training" if twist_drill else "tables/speeds.toml"
    factors = _starting_factors(
        points["aim"],
        ends["aim"],
        (base_hb, base_m_per_min),
        group_ratio,
        operation_ratio,
        source,
    )
    if ends["aim"].extrapolated and trail is not None:
        trail.caution(
            "hardness-outside-data",
            f"{material.hardness_hb:.4g} HB lies outside the data for this metal and edge "
            f"({points['aim'][0][0]:g} to {points['aim'][-1][0]:g} HB): speed and feed are "
            "extrapolated.",
        )
    share = group_ratio * operation_ratio
    speed = SpeedRange(
        low_m_per_min=ends["low"].value * share,
        aim_m_per_min=aim_m_per_min,
        high_m_per_min=ends["high"].value * share,
    )
    basis = f"{source}: {_basis_of(curve, cutter_material, base_hb, twist_drill)}"
    return speed, factors, basis


def _starting_factors(
    points: list[tuple[float, float]],
    found: Interpolated,
    base: tuple[float, float],
    group_ratio: float,
    operation_ratio: float,
    source: str,
) -> tuple[Factor, ...]:
    base_hb, base_m_per_min = base
    return (
        Factor(
            name="group",
            applies_to="surface_speed",
            value_ratio=group_ratio,
            formula="speed of the group / speed of its curve",
            source="tables/speeds.toml, groups",
        ),
        Factor(
            name="hardness",
            applies_to="surface_speed",
            value_ratio=found.value / base_m_per_min,
            formula=f"(HB / {base_hb:g})**exponent, from {base_m_per_min:g} m/min",
            source=source,
            exponent_ratio=found.exponent_ratio,
            range=f"{points[0][0]:g} to {points[-1][0]:g} HB"
            if len(points) > 1
            else "hardness does not move it",
            extrapolated=found.extrapolated,
        ),
        Factor(
            name="operation",
            applies_to="surface_speed",
            value_ratio=operation_ratio,
            formula="speed of the operation / speed of thread milling",
            source="tables/operation_speeds.toml",
        ),
    )


def _twist_drill_points(curve: str) -> dict[str, list[tuple[float, float]]]:
    rows = [row for row in load(PACKAGE, "tables/drilling_speeds") if row["curve"] == curve]
    lines: dict[str, list[tuple[float, float]]] = {"low": [], "aim": [], "high": []}
    for row in rows:
        hardness_hb = float(row["hardness_hb"])
        low = float(row["low_ft_per_min"]) * M_PER_FT
        high = float(row["high_ft_per_min"]) * M_PER_FT
        lines["low"].append((hardness_hb, low))
        lines["aim"].append((hardness_hb, (low + high) / 2))
        lines["high"].append((hardness_hb, high))
    return lines


def _basis_of(curve: str, cutter_material: str, base_hb: float, twist_drill: bool) -> str:
    if twist_drill:
        row = load(PACKAGE, "tables/drilling_speeds").row(curve=curve, hardness_hb=base_hb)
    else:
        row = load(PACKAGE, "tables/speeds").row(
            curve=curve, cutter_material=cutter_material, hardness_hb=base_hb
        )
    return str(row["basis"])


def _feed(
    material: WorkMaterial, operation: Operation, diameter_mm: float, trail: Trail | None
) -> FeedRange:
    if operation == "drilling":
        low_mm, aim_mm, high_mm = drill_feed_mm(diameter_mm=diameter_mm, material=material)
        return FeedRange(low_mm=low_mm / 2, aim_mm=aim_mm / 2, high_mm=high_mm / 2)
    if operation in ("tapping", "single-point-threading"):
        row = load(PACKAGE, "tables/infeeds").row(operation=operation, iso_513=material.iso_513)
        return FeedRange(
            low_mm=float(row["low_mm"]),
            aim_mm=float(row["aim_mm"]),
            high_mm=float(row["high_mm"]),
        )
    curve, _ = curve_of(material.group)
    if not FEED_DIAMETER_MIN_MM <= diameter_mm <= FEED_DIAMETER_MAX_MM and trail is not None:
        trail.caution(
            "diameter-outside-data",
            f"Feeds are stated for cutters of {FEED_DIAMETER_MIN_MM:g} mm to "
            f"{FEED_DIAMETER_MAX_MM:g} mm; for {diameter_mm:g} mm they are carried on in "
            "proportion to the diameter.",
        )
    return FeedRange(
        low_mm=FEED.function(feed_percent(curve, material.hardness_hb, "low").value, diameter_mm),
        aim_mm=FEED(trail, feed_percent(curve, material.hardness_hb).value, diameter_mm),
        high_mm=FEED.function(feed_percent(curve, material.hardness_hb, "high").value, diameter_mm),
    )
