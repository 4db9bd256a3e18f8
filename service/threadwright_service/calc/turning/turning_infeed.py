"""Infeed of a single-point threading tool, for the shop that turns the thread instead.

In turning the force goes with the section of the chip, so passes of equal area are the usual
choice. The direction of the infeed decides which flank cuts: radial both, along the flank one,
along nearly the flank one and a shaving of the other, alternating one after the other.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal

from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.errors import AmbiguousError, OutOfRangeError
from threadwright_service.calc.milling.geometry.section import ToothProfile, removed_area_mm2
from threadwright_service.calc.milling.infeed.infeed import (
    equal_area_mm,
    equal_depth_mm,
    falling_mm,
)
from threadwright_service.calc.tables import load
from threadwright_service.calc.trail import Formula, Trail

TurningInfeed = Literal["radial", "flank", "modified-flank", "alternating"]
TurningDivision = Literal["equal-area", "equal-depth", "falling"]

AXIAL_OFFSET: Final = Formula(
    "axial offset of the tool from the groove's middle",
    "z_i",
    "(h - t_i) * tan(radians(b))",
    "h t_i b",
    unit="mm",
    source="common practice",
)
LEADING_CHIP: Final = Formula(
    "chip thickness on the flank that the tool is fed towards",
    "h_1",
    "D * sin(radians(a + b)) / cos(radians(b))",
    "D a b",
    unit="mm",
    source="derivation",
)
TRAILING_CHIP: Final = Formula(
    "chip thickness on the other flank",
    "h_2",
    "D * sin(radians(a - b)) / cos(radians(b))",
    "D a b",
    unit="mm",
    source="derivation",
)

FALLING_RATIO: Final = 0.8
FLANK_CLEARANCE_DEG: Final = 0.5
"""Modified flank infeed: the compound at 29 to 29.5° for a 60° thread."""
FIRST_INFEED_MM: Final = (0.15, 0.30)
"""Usual first infeed in steel."""
LAST_INFEED_MIN_MM: Final = 0.05
MORE_PASSES: Final = 2
"""The practice for the number of passes is give or take so many."""
_GOES_WITH: Final = {
    "infeed_ratio": "with division falling",
    "flank_clearance_deg": "with infeed modified-flank or alternating",
}
_UNITS: Final = {"flank_clearance_deg": "deg"}
_TABLE: Final = (__package__, "tables/turning_passes")


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningPass:
    """One pass of the tool.

    ``axial_offset_mm`` is from the middle of the finished groove, positive towards the side that
    the tool comes from. ``infeed_mm`` is radial. The leading flank is the one that is fed towards;
    alternating infeed changes it from pass to pass.
    """

    number: int
    kind: Literal["cut", "spring"]
    depth_mm: float
    infeed_mm: float
    axial_offset_mm: float
    chip_area_mm2: float
    chip_thickness_leading_mm: float
    chip_thickness_trailing_mm: float
    tangential_force_n: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningPlan:
    """Infeeds of a single-point thread."""

    infeed: TurningInfeed
    infeed_angle_deg: float
    division: TurningDivision
    depth_mm: float
    passes: tuple[TurningPass, ...]
    force_ratio: float | None
    """Largest over smallest force of the cutting passes; ``None`` without a material."""


def turning_passes(*, pitch_mm: float, trail: Trail | None = None) -> int:
    """Number of cutting passes in single-point threading by common practice.

    Notes
    -----
    Source: memory, tables/turning_passes; linear between and beyond the rows, and noted as such.

    Examples
    --------
    >>> turning_passes(pitch_mm=2.0), turning_passes(pitch_mm=6.0)
    (9, 21)
    """
    rows = [(float(row["pitch_mm"]), float(row["passes"])) for row in load(*_TABLE)]
    if trail is not None and not rows[0][0] <= pitch_mm <= rows[-1][0]:
        trail.caution(
            "turning-passes-extrapolated",
            f"the practice for the number of passes covers pitches of {rows[0][0]:g} mm to "
            f"{rows[-1][0]:g} mm; for {pitch_mm:g} mm it is carried on in a straight line",
        )
    pairs = list(pairwise(rows))
    low, high = next((pair for pair in pairs if pitch_mm <= pair[1][0]), pairs[-1])
    slope = (high[1] - low[1]) / (high[0] - low[0])
    return max(2, math.ceil(low[1] + slope * (pitch_mm - low[0]) - 1e-9))


def turning_plan(
    *,
    tool: ToothProfile,
    pitch_mm: float,
    depth_mm: float,
    infeed: TurningInfeed = "modified-flank",
    division: TurningDivision = "equal-area",
    passes: int | None = None,
    infeed_ratio: float | None = None,
    spring_passes: int = 1,
    flank_clearance_deg: float | None = None,
    material: WorkMaterial | None = None,
    trail: Trail | None = None,
) -> TurningPlan:
    """Infeeds of a single-point thread.

    Parameters
    ----------
    tool : ToothProfile
        Nose and flanks of the tool; for flank infeeds the first flank is the one that is fed
        towards.
    pitch_mm, depth_mm : float
        Pitch and whole radial depth [mm].
    infeed : TurningInfeed
        Direction of the infeed.
    division : TurningDivision
        How the depth is divided.
    passes : int, optional
        Number of cutting passes; by common practice if not given.
    infeed_ratio : float
        Each infeed as a share of the one before, for ``falling``; 0.8 if not given.
    flank_clearance_deg : float, optional
        For modified flank and alternating infeed: how much steeper than the flank the tool is fed
        [deg]; half a degree if not given.
    material : WorkMaterial, optional
        For the force of each pass.

    Raises
    ------
    AmbiguousError
        If a ratio or a clearance is given for an infeed that has none.
    OutOfRangeError
        If the clearance is not from 0 to the flank angle.

    Notes
    -----
    Source: common practice for directions and divisions; chips and forces are derived.
    """
    infeed_ratio = _settled(
        "infeed_ratio", infeed_ratio, FALLING_RATIO, fits=division == "falling", trail=trail
    )
    flank_clearance_deg = _settled(
        "flank_clearance_deg",
        flank_clearance_deg,
        FLANK_CLEARANCE_DEG,
        fits=infeed in ("modified-flank", "alternating"),
        trail=trail,
    )
    if passes is None:
        passes = _usual_passes(tool, pitch_mm, depth_mm, division, infeed_ratio, trail)
    depths = _divided(tool, depth_mm, passes, division, infeed_ratio, trail)
    angle_deg = _infeed_angle_deg(tool, infeed, flank_clearance_deg)
    cuts = _cuts(tool, infeed, depths, angle_deg, material, trail)
    if trail is not None:
        _caution(cuts, trail)
    forces = [each.tangential_force_n for each in cuts if each.tangential_force_n]
    return TurningPlan(
        infeed=infeed,
        infeed_angle_deg=angle_deg,
        division=division,
        depth_mm=depth_mm,
        passes=(*cuts, *_springs(len(cuts), spring_passes, depth_mm)),
        force_ratio=max(forces) / min(forces) if forces else None,
    )


def _settled(
    key: str, given: float | None, usual: float, *, fits: bool, trail: Trail | None
) -> float:
    """The given value, or the usual one, noted where it counts."""
    if given is not None and not fits:
        raise AmbiguousError(
            f"{key} has no meaning for this infeed",
            parameter=key,
            value=given,
            accepted=_GOES_WITH[key],
        )
    if given is None and fits and trail is not None:
        trail.assume(key, usual, "none given; common practice", unit=_UNITS.get(key, ""))
    return usual if given is None else given


def _usual_passes(
    tool: ToothProfile,
    pitch_mm: float,
    depth_mm: float,
    division: TurningDivision,
    ratio: float,
    trail: Trail | None,
) -> int:
    """As many passes as are usual for the pitch, and a few more for a first one that is not deep.

    The number is noted as assumed.
    """
    usual = turning_passes(pitch_mm=pitch_mm, trail=trail)
    enough = (
        more
        for more in range(usual, usual + MORE_PASSES)
        if _divided(tool, depth_mm, more, division, ratio, None)[0] <= FIRST_INFEED_MM[1]
    )
    passes = next(enough, usual + MORE_PASSES)
    if trail is not None:
        trail.assume(
            "passes",
            passes,
            "none given; common practice for the pitch, up to two more for the first infeed",
        )
    return passes


def _divided(
    tool: ToothProfile,
    depth_mm: float,
    passes: int,
    division: TurningDivision,
    ratio: float,
    trail: Trail | None,
) -> tuple[float, ...]:
    if division == "equal-area":
        return equal_area_mm(depth_mm=depth_mm, passes=passes, tooth=tool, trail=trail)
    if division == "equal-depth":
        return equal_depth_mm(depth_mm=depth_mm, passes=passes)
    return falling_mm(depth_mm=depth_mm, passes=passes, ratio=ratio, trail=trail)


def _infeed_angle_deg(tool: ToothProfile, infeed: TurningInfeed, clearance_deg: float) -> float:
    """Angle of the infeed from the radius; it never exceeds the flank's."""
    if infeed == "radial":
        return 0.0
    flank_deg = min(tool.flank_angles_deg)
    if not 0 <= clearance_deg <= flank_deg:
        raise OutOfRangeError(
            f"a flank clearance of {clearance_deg:g} degrees",
            parameter="flank_clearance_deg",
            value=clearance_deg,
            accepted=f"0 to {flank_deg:g}",
        )
    return flank_deg if infeed == "flank" else flank_deg - clearance_deg


def _cuts(
    tool: ToothProfile,
    infeed: TurningInfeed,
    depths: Sequence[float],
    angle_deg: float,
    material: WorkMaterial | None,
    trail: Trail | None,
) -> list[TurningPass]:
    """The cutting passes to these depths, each with its chip and its force."""
    steps = list(pairwise((0.0, *depths)))
    infeeds = [after - before for before, after in steps]
    offsets = _offsets_mm(infeed, depths, infeeds, angle_deg, trail)
    cuts = []
    for index, (before, after) in enumerate(steps):
        leading_mm, trailing_mm = _chips_mm(tool, infeed, index, angle_deg, infeeds[index], trail)
        # Fed at no more than the flank's angle, the tool clears all that it cleared before.
        area_mm2 = removed_area_mm2(tooth=tool, from_depth_mm=before, to_depth_mm=after)
        cuts.append(
            TurningPass(
                number=index + 1,
                kind="cut",
                depth_mm=after,
                infeed_mm=infeeds[index],
                axial_offset_mm=offsets[index],
                chip_area_mm2=area_mm2,
                chip_thickness_leading_mm=leading_mm,
                chip_thickness_trailing_mm=trailing_mm,
                tangential_force_n=None
                if material is None
                else _force_n(tool, material, area_mm2, after, infeeds[index]),
            )
        )
    return cuts


def _chips_mm(
    tool: ToothProfile,
    infeed: TurningInfeed,
    index: int,
    angle_deg: float,
    step_mm: float,
    trail: Trail | None,
) -> tuple[float, float]:
    """Chip on the flank that is fed towards and on the other; alternating they change places."""
    leading_deg, trailing_deg = tool.flank_angles_deg
    if infeed == "alternating" and index % 2:
        leading_deg, trailing_deg = trailing_deg, leading_deg
    return (
        LEADING_CHIP(trail, step_mm, leading_deg, angle_deg),
        TRAILING_CHIP(trail, step_mm, trailing_deg, angle_deg),
    )


def _offsets_mm(
    infeed: TurningInfeed,
    depths: Sequence[float],
    infeeds: Sequence[float],
    angle_deg: float,
    trail: Trail | None,
) -> list[float]:
    """Where the tool stands in each pass from the middle of the finished groove [mm].

    Alternating infeed goes along one flank and the other in turn, so that the steps nearly cancel;
    all others come from one side.
    """
    if infeed != "alternating":
        return [AXIAL_OFFSET(trail, depths[-1], depth, angle_deg) for depth in depths]
    offsets = [0.0]
    for index in range(len(infeeds) - 1, 0, -1):
        side = -1 if index % 2 else 1
        step_mm = AXIAL_OFFSET.function(infeeds[index], 0.0, angle_deg)
        offsets.insert(0, offsets[0] + side * step_mm)
    return offsets


def _force_n(
    tool: ToothProfile, material: WorkMaterial, area_mm2: float, depth_mm: float, step_mm: float
) -> float:
    """Kienzle's force with the mean chip thickness, the area over the edge that makes it."""
    edge_mm = tool.edge_length_mm(depth_mm)
    chip_mm = min(area_mm2 / edge_mm, step_mm)
    return (
        material.specific_force_mpa * math.pow(chip_mm, -material.force_exponent_ratio) * area_mm2
    )


def _springs(cuts: int, spring_passes: int, depth_mm: float) -> tuple[TurningPass, ...]:
    return tuple(
        TurningPass(
            number=cuts + index + 1,
            kind="spring",
            depth_mm=depth_mm,
            infeed_mm=0.0,
            axial_offset_mm=0.0,
            chip_area_mm2=0.0,
            chip_thickness_leading_mm=0.0,
            chip_thickness_trailing_mm=0.0,
            tangential_force_n=None,
        )
        for index in range(spring_passes)
    )


def _caution(found: Sequence[TurningPass], trail: Trail) -> None:
    low_mm, high_mm = FIRST_INFEED_MM
    if found[0].infeed_mm > high_mm:
        trail.caution(
            "first-infeed-deep",
            f"the first infeed is {found[0].infeed_mm:.3f} mm; {low_mm:g} mm to {high_mm:g} mm is "
            "usual in steel: take more passes",
        )
    if found[-1].infeed_mm < LAST_INFEED_MIN_MM:
        trail.caution(
            "last-infeed-thin",
            f"the last infeed is {found[-1].infeed_mm:.3f} mm; below {LAST_INFEED_MIN_MM:g} mm an "
            "insert rubs in soft steel",
        )
