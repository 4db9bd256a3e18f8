"""How near the plan goes to each limit, and what a wider one would save."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from threadwright_service.calc.milling.geometry.cutter import Machine
from threadwright_service.calc.milling.infeed.division import Division, Given, divide
from threadwright_service.calc.milling.loads.load import PassLoad
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut
from threadwright_service.calc.milling.plan.cutting_limits import CuttingLimits
from threadwright_service.calc.milling.plan.limits import (
    SPINDLE_SPEED,
    LimitName,
    PassLimits,
    practice_passes,
    tangential_max_n,
)
from threadwright_service.calc.milling.plan.optimiser import PassTime
from threadwright_service.calc.milling.plan.plan_record import LimitReport, PlannedPass

WIDER: Final = 1.1
_BINDING: Final = 0.999
_FORCES: Final = ("deflection", "neck-strength")
_MACHINE: Final = ("feed-rate", "centripetal-acceleration")

_WORDS: Final[Mapping[LimitName, str]] = {
    "feed-per-tooth": "feed a tooth that the edge is recommended for",
    "chip-thickness": "largest chip at the nose",
    "deflection": "bend of a cutting pass as a share of the tolerance",
    "neck-strength": "bending stress in neck or shank",
    "feed-rate": "the machine's feed rate",
    "centripetal-acceleration": "the machine's acceleration on the circle",
}


_FINE: Final = 1e-3
"""How near the plan of one pass fewer is found: its time is only told as a saving."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plan:
    cut: ThreadCut
    division: Division
    limits: PassLimits
    given: Given
    cutting: CuttingLimits
    machine: Machine
    passes: Sequence[PlannedPass]
    cutting_time_s: float
    pass_time_s: PassTime


def limit_reports(
    *,
    cut: ThreadCut,
    division: Division,
    limits: PassLimits,
    given: Given,
    cutting: CuttingLimits,
    machine: Machine,
    passes: Sequence[PlannedPass],
    pass_time_s: PassTime,
) -> tuple[LimitReport, ...]:
    """One report for each limit of the job that has a value.

    Notes
    -----
    Source: derivation; the saving is that of a limit wider by a tenth with the same depths, and
    for the number of passes that of one pass fewer.
    """
    plan = _Plan(
        cut=cut,
        division=division,
        limits=limits,
        given=given,
        cutting=cutting,
        machine=machine,
        passes=passes,
        cutting_time_s=sum(each.cutting_time_s for each in passes),
        pass_time_s=pass_time_s,
    )
    reports = [_feed_report(plan, name) for name in _WORDS]
    reports += [_passes_report(plan), _speed_report(plan), _chip_report(plan)]
    if not math.isinf(limits.power_max_kw):
        reports.append(_power_report(plan))
    return tuple(report for report in reports if report is not None)


def limit_shares(
    *, cut: ThreadCut, limits: PassLimits, division: Division, index: int, load: PassLoad
) -> Mapping[str, float]:
    """How far a cutting pass goes towards each limit: 1 on the limit.

    Notes
    -----
    Source: derivation.
    """
    feed_mm, allowed = division.feed_per_tooth_mm, division.feed_limits[index]
    slowed = division.spindle_speed_rev_per_min / limits.spindle_speed_rev_per_min
    shares = {
        "feed-per-tooth": feed_mm / limits.feed_per_tooth_max_mm,
        "chip-thickness": load.chip_thickness_max_mm / limits.chip_thickness_max_mm,
        "deflection": load.wall_force_n / limits.wall_force_max_n,
        "neck-strength": load.tangential_force_n / tangential_max_n(cut, limits),
        "feed-rate": feed_mm / allowed["feed-rate"],
        "centripetal-acceleration": feed_mm / allowed["centripetal-acceleration"],
    }
    if division.power_limited:
        # The feed limits are those of the speed before the power slowed it.
        shares["feed-rate"] *= slowed
        shares["centripetal-acceleration"] *= slowed
    return MappingProxyType({name: share for name, share in shares.items() if share > 0})


def _feed_report(plan: _Plan, name: LimitName) -> LimitReport | None:
    found = [
        (each.limit_shares[name], each.number) for each in plan.passes if name in each.limit_shares
    ]
    if not found:
        return None
    share, number = max(found)
    binds = share >= _BINDING
    return LimitReport(
        name=name,
        share_ratio=share,
        pass_number=number,
        binds=binds,
        saving_s=_feed_saving_s(plan, name) if binds else 0.0,
        detail=_WORDS[name],
    )


def _feed_saving_s(plan: _Plan, name: LimitName) -> float:
    """What the same depths at the feed of a wider limit would save."""
    if plan.given.feed_per_tooth_mm is not None:
        return 0.0
    wider = math.pow(WIDER, 1 / plan.cut.power_of_chip_ratio) if name in _FORCES else WIDER
    feed_mm = min(
        allowed * (wider if limit == name else 1)
        for each in plan.division.feed_limits
        for limit, allowed in each.items()
    )
    return plan.cutting_time_s * max(0.0, 1 - plan.division.feed_per_tooth_mm / feed_mm)


def _passes_report(plan: _Plan) -> LimitReport:
    division = plan.division
    depth_mm = division.depths_mm[-1]
    practice = practice_passes(depth_mm=depth_mm, depth_of_a_pass_mm=plan.limits.depth_of_a_pass_mm)
    share = practice / division.passes
    binds = share >= _BINDING and plan.given.passes is None and plan.given.infeed != "list"
    saving_s = 0.0
    if binds and division.passes > 1:
        fewer = divide(
            cut=plan.cut,
            depth_mm=depth_mm,
            passes=division.passes - 1,
            limits=plan.limits,
            given=plan.given,
            fine=_FINE,
        )
        times = [
            sum(plan.pass_time_s(t, each.feed_per_tooth_mm) for t in each.depths_mm)
            for each in (division, fewer)
        ]
        saving_s = max(0.0, times[0] - times[1])
    return LimitReport(
        name="depth-of-a-pass",
        share_ratio=share,
        pass_number=None,
        binds=binds,
        saving_s=saving_s,
        detail="number of passes that common practice takes at this hardness; the saving is that "
        "of one pass fewer",
    )


def _speed_report(plan: _Plan) -> LimitReport:
    division, machine = plan.division, plan.machine
    highest = machine.spindle_speed_max_rev_per_min
    wanted = SPINDLE_SPEED.function(
        plan.cutting.surface_speed_m_per_min, 2 * plan.cut.cutter_radius_mm
    )
    by_spindle = highest is not None and highest < wanted
    share = division.spindle_speed_rev_per_min / (highest if highest and by_spindle else wanted)
    binds = share >= _BINDING
    held = any(
        division.feed_per_tooth_mm >= each[name] * _BINDING
        for each in division.feed_limits
        for name in each
        if name in _MACHINE
    )
    saves = binds and not held and not plan.given.keeps_speed
    return LimitReport(
        name="spindle-speed" if by_spindle else "surface-speed",
        share_ratio=share,
        pass_number=None,
        binds=binds,
        saving_s=plan.cutting_time_s * (1 - 1 / WIDER) if saves else 0.0,
        detail="the spindle's highest speed"
        if by_spindle
        else "surface speed for the tool life that the data are for",
    )


def _chip_report(plan: _Plan) -> LimitReport:
    share = 1 / plan.division.chip_reached_ratio
    return LimitReport(
        name="smallest-chip",
        share_ratio=share,
        pass_number=None,
        binds=share >= _BINDING,
        saving_s=0.0,
        detail="smallest chip that the edge cuts, across the flank of the pass with the thinnest",
    )


def _power_report(plan: _Plan) -> LimitReport:
    share = max(each.power_kw for each in plan.passes) / plan.limits.power_max_kw
    return LimitReport(
        name="power",
        share_ratio=share,
        pass_number=None,
        binds=plan.division.power_limited,
        saving_s=plan.cutting_time_s * (1 - 1 / WIDER) if plan.division.power_limited else 0.0,
        detail="spindle power, mean over time",
    )
