"""Material groups, their hardness ranges and the grade names that lead to them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from threadwright_service.calc.cutting import designations
from threadwright_service.calc.cutting.designations import PACKAGE, Designation
from threadwright_service.calc.cutting.interpolation import power_between
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.cutting.starting_values import (
    HIGH_SPEED_STEEL_HARDNESS_MAX_HB,
    SpeedRange,
    curve_of,
    feed_percent,
    speed_points,
)
from threadwright_service.calc.errors import CalcError, MissingInputError, OutOfRangeError
from threadwright_service.calc.measurement.hardness.hardness import convert
from threadwright_service.calc.measurement.hardness.hardness_scale import checked_value, scale_named
from threadwright_service.calc.milling.geometry.cutter import CutterMaterial
from threadwright_service.calc.tables import Cell, document_of, load
from threadwright_service.calc.trail import Formula, Trail

SPECIFIC_FORCE: Final = Formula(
    "specific cutting force at this hardness",
    "kc1.1",
    "kc_group * (HB / HB_group)**q",
    "kc_group HB HB_group q",
    unit="MPa",
    source="kienzle; exponent of hardness machinerys-handbook-31 p. 1147, table 1b",
)

LARGEST_TABULATED_FORCE_HARDNESS_HB: Final = 360.0
"""Where the handbook's power constants end; beyond, the rise of the force is extrapolated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StartingRange:
    """Starting values of thread milling at one hardness, for the list of materials."""

    cutter_material: CutterMaterial
    """What the cutting edges are made of; carbide is taken as coated."""
    hardness_hb: float
    """Hardness that the values are for, an end of the group's range."""
    surface_speed: SpeedRange
    feed_low_percent: float
    """Cautious feed of a tooth in per cent of the cutting diameter."""
    feed_aim_percent: float
    """Feed of a tooth to aim at in per cent of the cutting diameter."""
    feed_high_percent: float
    """Bold feed of a tooth in per cent of the cutting diameter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialGroup:
    """One material group as the service knows it."""

    key: str
    """Word by which a request names the group."""
    name: str
    """The group in words."""
    iso_513: str
    """Application group: P, M, K, N, S or H."""
    hardness_low_hb: float
    """Softest work that the group's data hold for."""
    hardness_high_hb: float
    """Hardest work that the group's data hold for."""
    hardness_delivery_hb: float | None
    """What stands in, and is said to, when no hardness is given; ``None``: it is needed."""
    hardness_required: bool
    """Whether a request for it must give the hardness."""
    aliases: tuple[str, ...]
    """Grade names that lead to the group, at a hardness within its range."""
    cautions: tuple[str, ...]
    """What every answer about such material warns of."""
    specific_force_mpa: float
    """kc1.1 at ``specific_force_hardness_hb``."""
    specific_force_hardness_hb: float
    """Brinell hardness at which that force holds."""
    force_exponent_ratio: float
    """m in kc = kc1.1 * h**-m, with the chip thickness h in millimetres."""
    thread_milling: tuple[StartingRange, ...]
    """Starting values at the ends of the range of hardness."""
    basis: str
    """What the range of hardness rests on."""
    force_basis: str
    """What the force values rest on."""


def find_material(
    *,
    name: str,
    hardness: float | None = None,
    hardness_scale: str | None = None,
    trail: Trail | None = None,
) -> WorkMaterial:
    """The work material for a group's or grade's name and a hardness.

    Parameters
    ----------
    name : str
        Key of a group or family, a letter of ISO 513, or an international grade name, as
        ``17-4PH``, ``1.7225`` or ``42CrMo4``.
    hardness : float, optional
        Hardness in ``hardness_scale``; needed where the group's range changes the result.
    hardness_scale : str, optional
        ``HRC``, ``HB``, ``HV`` …, as the hardness conversion takes it.
    trail : Trail, optional
        Takes assumptions, cautions and working.

    Raises
    ------
    UnknownDesignationError
        If the name is not known, or its material not covered.
    AmbiguousError
        If the name fits several groups.
    MissingInputError
        If the hardness, or its scale, is missing and the answer would be a guess.
    OutOfRangeError
        If the hardness is outside what the name's groups cover.

    Notes
    -----
    Source: tables/groups.toml, tables/aliases.toml, tables/forces.toml.

    Examples
    --------
    >>> find_material(name="42CrMo4", hardness=300, hardness_scale="HB").group
    'alloy-steel-quenched-and-tempered'
    """
    designation = designations.resolve(name)
    elsewhere = designations.other_meaning(name)
    if elsewhere is not None and trail is not None:
        trail.caution("two-meanings", elsewhere)
    hardness_hb = _hardness_hb(
        name=name,
        designation=designation,
        hardness=hardness,
        hardness_scale=hardness_scale,
        trail=trail,
    )
    group = _group_at(designation, hardness_hb, name, hardness, hardness_scale)
    force = load(PACKAGE, "tables/forces").row(group=group["group"])
    specific_force_mpa = SPECIFIC_FORCE(
        trail,
        float(force["specific_force_mpa"]),
        hardness_hb,
        float(force["at_hb"]),
        float(force["hardness_exponent"]),
    )
    _warn(str(group["group"]), trail)
    shown = str(group["name"])
    return WorkMaterial(
        name=shown if name.casefold() == shown.casefold() else f"{name}: {shown}",
        group=str(group["group"]),
        iso_513=str(group["iso_513"]),
        hardness_hb=hardness_hb,
        specific_force_mpa=specific_force_mpa,
        force_exponent_ratio=float(force["force_exponent"]),
        radial_to_tangential_ratio=float(force["radial_force"]),
        edge_force_n_per_mm=float(force["edge_force_n_per_mm"]),
        basis=str(force["basis"]),
    )


@cache
def list_materials() -> tuple[MaterialGroup, ...]:
    """All groups, in the order of the table.

    Notes
    -----
    Source: tables/groups.toml, tables/aliases.toml, tables/forces.toml, tables/cautions.toml.
    """
    texts = document_of(PACKAGE, "tables/cautions")
    forces = load(PACKAGE, "tables/forces")
    found = []
    for row in load(PACKAGE, "tables/groups"):
        key = str(row["group"])
        force = forces.row(group=key)
        delivery_hb = float(row["hardness_delivery_hb"]) or None
        found.append(
            MaterialGroup(
                key=key,
                name=str(row["name"]),
                iso_513=str(row["iso_513"]),
                hardness_low_hb=float(row["hardness_low_hb"]),
                hardness_high_hb=float(row["hardness_high_hb"]),
                hardness_delivery_hb=delivery_hb,
                hardness_required=delivery_hb is None,
                aliases=designations.aliases_of(key),
                cautions=tuple(texts["texts"][code] for code in texts["groups"][key]),
                specific_force_mpa=float(force["specific_force_mpa"]),
                specific_force_hardness_hb=float(force["at_hb"]),
                force_exponent_ratio=float(force["force_exponent"]),
                thread_milling=_starting_ranges(row),
                basis=str(row["basis"]),
                force_basis=str(force["basis"]),
            )
        )
    return tuple(found)


def group_row(group: str) -> Mapping[str, Cell]:
    """The row of a group in the table of groups.

    Notes
    -----
    Source: tables/groups.toml.
    """
    return load(PACKAGE, "tables/groups").row(group=group)


def _starting_ranges(row: Mapping[str, Cell]) -> tuple[StartingRange, ...]:
    curve, factor_ratio = curve_of(str(row["group"]))
    materials: tuple[CutterMaterial, ...] = ("carbide", "high-speed-steel")
    found = []
    for cutter_material in materials:
        for end in ("hardness_low_hb", "hardness_high_hb"):
            hardness_hb = float(row[end])
            if (
                cutter_material == "high-speed-steel"
                and hardness_hb > HIGH_SPEED_STEEL_HARDNESS_MAX_HB
            ):
                continue
            low, aim, high = (
                power_between(speed_points(curve, cutter_material, line), hardness_hb).value
                * factor_ratio
                for line in ("low", "aim", "high")
            )
            found.append(
                StartingRange(
                    cutter_material=cutter_material,
                    hardness_hb=hardness_hb,
                    surface_speed=SpeedRange(
                        low_m_per_min=low, aim_m_per_min=aim, high_m_per_min=high
                    ),
                    feed_low_percent=feed_percent(curve, hardness_hb, "low").value,
                    feed_aim_percent=feed_percent(curve, hardness_hb).value,
                    feed_high_percent=feed_percent(curve, hardness_hb, "high").value,
                )
            )
    return tuple(found)


def _hardness_hb(
    *,
    name: str,
    designation: Designation,
    hardness: float | None,
    hardness_scale: str | None,
    trail: Trail | None,
) -> float:
    if hardness is not None:
        if hardness_scale is None:
            raise MissingInputError(
                f"hardness is {hardness:g}, but not on which scale",
                parameter="hardness_scale",
                accepted="HB, HRC, HV or another scale of the hardness conversion",
            )
        return brinell_of(
            designation=designation, hardness=hardness, scale=hardness_scale, trail=trail
        )
    delivered_hb = designation.typical_hb
    if delivered_hb is None and len(designation.groups) == 1:
        delivered_hb = float(group_row(designation.groups[0])["hardness_delivery_hb"]) or None
    if delivered_hb is None:
        first, last = group_row(designation.groups[0]), group_row(designation.groups[-1])
        raise MissingInputError(
            f"{name} is cut at anything from {first['hardness_low_hb']:g} to "
            f"{last['hardness_high_hb']:g} HB; without its hardness the data would be a guess",
            parameter="hardness",
            accepted="a number with hardness_scale, for example 42 with HRC",
        )
    if trail is not None:
        trail.assume(
            "hardness",
            delivered_hb,
            f"none given: the usual delivery hardness of {name}",
            unit="HB",
        )
    return delivered_hb


def brinell_of(
    *, designation: Designation, hardness: float, scale: str, trail: Trail | None = None
) -> float:
    """Brinell hardness by the conversion tables that hold for a family of materials.

    Where no table is for the metal, the table for steel places a hardness, not a strength, among
    the cutting data, and the answer says so: the data are far wider than the tables differ.

    Raises
    ------
    CalcError
        As the conversion refuses, told as of ``hardness`` and ``hardness_scale``.

    Notes
    -----
    Source: astm-e140 and the other tables of the hardness conversion; that steel's table may place
    another metal is common practice.
    """
    try:
        if scale_named(scale, "hardness_scale") in ("HB", "HBW"):
            return checked_value(hardness, "HB")
        converted = convert(
            value=hardness, scale=scale, to="HB", material=designation.hardness_word, trail=trail
        ).value
    except CalcError as refusal:
        if refusal.parameter == "material" and not scale.upper().startswith("RM"):
            return _by_the_table_for_steel(designation, hardness, scale, trail)
        raise _blaming_hardness(refusal, hardness, scale) from refusal
    assert converted is not None  # noqa: S101 - a scale was named, so there is a value
    return converted


def _by_the_table_for_steel(
    designation: Designation, hardness: float, scale: str, trail: Trail | None
) -> float:
    try:
        found = convert(value=hardness, scale=scale, to="HB")
    except CalcError as refusal:
        raise _blaming_hardness(refusal, hardness, scale) from refusal
    assert found.value is not None  # noqa: S101 - a scale was named, so there is a value
    if trail is not None:
        trail.caution(
            "hardness-by-table-for-steel",
            f"No table here converts {scale} for {designation.hardness_word}; the table for steel "
            f"places {hardness:g} {scale} at {found.value:.0f} HB among the cutting data, within "
            "about a tenth. Give the Brinell hardness itself where it was measured.",
        )
    return found.value


def _blaming_hardness(refusal: CalcError, hardness: float, scale: str) -> CalcError:
    """The refusal of a conversion, told of the keys of the request."""
    parameter = "hardness" if refusal.parameter == "value" else "hardness_scale"
    detail, accepted = refusal.detail, refusal.accepted
    if refusal.parameter == "material":
        detail = f"{detail}; give the Brinell hardness itself"
        accepted = "a hardness on the scale HB"
    return type(refusal)(
        detail,
        parameter=parameter,
        value=hardness if parameter == "hardness" else scale,
        accepted=accepted,
    )


def _group_at(
    designation: Designation,
    hardness_hb: float,
    name: str,
    hardness: float | None,
    hardness_scale: str | None,
) -> Mapping[str, Cell]:
    rows = [group_row(key) for key in designation.groups]
    for row in rows:
        if float(row["hardness_low_hb"]) <= hardness_hb < float(row["hardness_high_hb"]):
            return row
    if hardness_hb == float(rows[-1]["hardness_high_hb"]):
        return rows[-1]
    low_hb, high_hb = float(rows[0]["hardness_low_hb"]), float(rows[-1]["hardness_high_hb"])
    nearest = rows[0] if hardness_hb < low_hb else rows[-1]
    given = (
        f"{hardness_hb:.4g} HB"
        if hardness is None or (hardness_scale or "").upper().startswith("HB")
        else f"{hardness:g} {hardness_scale} ({hardness_hb:.4g} HB)"
    )
    raise OutOfRangeError(
        f"{name} at {given} is outside the data, which hold from {low_hb:g} to {high_hb:g} HB; "
        f"the nearest covered group is {nearest['group']}",
        parameter="hardness",
        value=hardness,
        accepted=f"{low_hb:g} to {high_hb:g} HB",
    )


def _warn(group: str, trail: Trail | None) -> None:
    if trail is None:
        return
    texts = document_of(PACKAGE, "tables/cautions")
    for code in texts["groups"][group]:
        trail.caution(code, texts["texts"][code])
