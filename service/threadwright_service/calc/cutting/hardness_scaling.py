"""Speed and feed at one hardness over those at another."""

from __future__ import annotations

from threadwright_service.calc.cutting.designations import PACKAGE
from threadwright_service.calc.cutting.factor import Factor
from threadwright_service.calc.cutting.interpolation import Interpolated, power_between
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.cutting.starting_values import curve_of, feed_percent, speed_points
from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import CutterMaterial
from threadwright_service.calc.tables import document_of, load
from threadwright_service.calc.trail import Trail


def hardness_on_speed(
    *,
    material: WorkMaterial,
    cutter_material: CutterMaterial,
    reference_hb: float,
    trail: Trail | None = None,
) -> Factor:
    """Speed at this hardness over speed at the reference's.

    Parameters
    ----------
    material : WorkMaterial
        With its hardness.
    cutter_material : {"carbide", "high-speed-steel"}
        Picks the column of the table.
    reference_hb : float
        Hardness that the known condition is for [HB].
    trail : Trail, optional
        Takes a caution where the table is left.

    Raises
    ------
    OutOfRangeError
        If the reference's hardness is not above zero.

    Notes
    -----
    Source: ferrous-metals-data-book, table 9-12, for steel, on the power laws between the middles
    of its rows; above 400 HB with HB^-2. Other metals: the curves of tables/speeds.toml.
    """
    above_zero("reference_hardness", reference_hb)
    points, slope, source = _speed_points(material, cutter_material)
    return _hardness_factor(
        "surface_speed", points, material.hardness_hb, reference_hb, source, slope, trail
    )


def hardness_on_feed(
    *,
    material: WorkMaterial,
    cutter_material: CutterMaterial,
    reference_hb: float,
    trail: Trail | None = None,
) -> Factor:
    """Feed of a tooth at this hardness over that at the reference's.

    Parameters and refusals as :func:`hardness_on_speed`.

    Notes
    -----
    Source: ferrous-metals-data-book, table 9-12, for steel; tables/feeds.toml elsewhere.
    """
    above_zero("reference_hardness", reference_hb)
    points, source = _feed_points(material, cutter_material)
    return _hardness_factor(
        "feed_per_tooth", points, material.hardness_hb, reference_hb, source, None, trail
    )


def above_zero(parameter: str, value: float) -> None:
    """Refuse a number that is not above zero.

    Raises
    ------
    OutOfRangeError
        As said.
    """
    if not value > 0:
        raise OutOfRangeError(
            f"{parameter} is {value:g}; it must be above zero",
            parameter=parameter,
            value=value,
            accepted="a number above zero",
        )


def _speed_points(
    material: WorkMaterial, cutter_material: CutterMaterial
) -> tuple[list[tuple[float, float]], float | None, str]:
    curve, _ = curve_of(material.group)
    if curve != "steel":
        return speed_points(curve, cutter_material), None, "tables/speeds.toml, memory"
    document = document_of(PACKAGE, "tables/face_milling")
    column = f"{cutter_material.replace('-', '_')}_ft_per_min"
    points = _middles(column)
    if cutter_material == "carbide":
        softer = document["softer"]
        points.insert(0, (softer["hardness_hb"], points[0][1] * softer["carbide_speed_ratio"]))
    return points, -document["harder"]["speed_exponent"], "ferrous-metals-data-book, table 9-12"


def _feed_points(
    material: WorkMaterial, cutter_material: CutterMaterial
) -> tuple[list[tuple[float, float]], str]:
    curve, _ = curve_of(material.group)
    if curve == "steel":
        column = f"{cutter_material.replace('-', '_')}_feed_in"
        return _middles(column), "ferrous-metals-data-book, table 9-12"
    hardnesses_hb = sorted(
        float(row["hardness_hb"]) for row in load(PACKAGE, "tables/feeds") if row["curve"] == curve
    )
    points = [(each_hb, feed_percent(curve, each_hb).value) for each_hb in hardnesses_hb]
    return points, "tables/feeds.toml, memory"


def _middles(column: str) -> list[tuple[float, float]]:
    """Middle of each hardness range of the face-milling table, and a column's value."""
    return [
        (
            (float(row["hardness_low_hb"]) + float(row["hardness_high_hb"])) / 2,
            float(row[column]),
        )
        for row in load(PACKAGE, "tables/face_milling")
    ]


def _hardness_factor(
    applies_to: str,
    points: list[tuple[float, float]],
    hardness_hb: float,
    reference_hb: float,
    source: str,
    slope_beyond: float | None,
    trail: Trail | None,
) -> Factor:
    here = power_between(points, hardness_hb, slope_beyond=slope_beyond)
    there = power_between(points, reference_hb, slope_beyond=slope_beyond)
    value_ratio = here.value / there.value
    extrapolated = hardness_hb != reference_hb and (here.extrapolated or there.extrapolated)
    ends = f"{points[0][0]:g} to {points[-1][0]:g} HB"
    if trail is not None:
        _note_hardness(
            trail, applies_to, value_ratio, (hardness_hb, here), (reference_hb, there), source
        )
        if extrapolated:
            trail.caution(
                "hardness-outside-data",
                f"{applies_to.replace('_', ' ')} is scaled from {reference_hb:.4g} to "
                f"{hardness_hb:.4g} HB; the data end at {ends}, beyond they are extrapolated.",
            )
    return Factor(
        name="hardness",
        applies_to="surface_speed" if applies_to == "surface_speed" else "feed_per_tooth",
        value_ratio=value_ratio,
        formula="v(HB) / v(HB_ref), v on the power laws between the rows",
        source=source,
        exponent_ratio=here.exponent_ratio,
        range=ends if len(points) > 1 else "hardness does not move it",
        extrapolated=extrapolated,
    )


def _note_hardness(
    trail: Trail,
    applies_to: str,
    value_ratio: float,
    here: tuple[float, Interpolated],
    there: tuple[float, Interpolated],
    source: str,
) -> None:
    trail.step(
        f"{applies_to.replace('_', ' ')} with hardness",
        "f_HB",
        "v / v_ref",
        {"HB": here[0], "v": here[1].value, "HB_ref": there[0], "v_ref": there[1].value},
        value_ratio,
        "1",
        source,
    )
