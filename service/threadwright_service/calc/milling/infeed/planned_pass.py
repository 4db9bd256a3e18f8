"""The record of each pass: load, feed, path, time, and the pitch diameter expected after it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Final

from threadwright_service.calc.milling.geometry.section import removed_area_mm2
from threadwright_service.calc.milling.infeed.division import Division
from threadwright_service.calc.milling.loads.load import PassLoad, pass_load
from threadwright_service.calc.milling.loads.spring_pass import Bend, is_worth_it
from threadwright_service.calc.milling.path.path import PathSetting
from threadwright_service.calc.milling.plan.limit_report import limit_shares
from threadwright_service.calc.milling.plan.plan_job import Job
from threadwright_service.calc.milling.plan.plan_record import PlannedPass, SpringAdvice
from threadwright_service.calc.trail import Formula, Trail

FEED_EDGE: Final = Formula(
    "feed on the surface that is made",
    "F_e",
    "f * z * n",
    "f z n",
    unit="mm/min",
    source="derivation",
)
FEED_CENTRE: Final = Formula(
    "feed of the cutter's centre, for the program",
    "F_c",
    "F_e * e / Rf",
    "F_e e Rf",
    unit="mm/min",
    source="derivation",
)
PITCH_DIAMETER: Final = Formula(
    "pitch diameter expected after the pass",
    "d2",
    "d2_p + 2 * side * (delta - eps)",
    "d2_p side delta eps",
    unit="mm",
    source="derivation",
)

_NO_SLIVER_MM: Final = 1e-9
_NO_SHARES: Final[Mapping[str, float]] = MappingProxyType({})


def cutting_pass(
    *,
    job: Job,
    division: Division,
    setting: PathSetting,
    index: int,
    trail: Trail | None = None,
) -> PlannedPass:
    """The record of a cutting pass.

    Notes
    -----
    Source: derivation.
    """
    depths = division.depths_mm
    before_mm = depths[index - 1] if index else 0.0
    load = pass_load(
        cut=job.cut,
        from_depth_mm=before_mm,
        to_depth_mm=depths[index],
        feed_edge_mm=division.feed_per_tooth_mm,
        spindle_speed_rev_per_min=division.spindle_speed_rev_per_min,
        compliance_um_per_n=job.stiffness.compliance_um_per_n,
        trail=trail,
    )
    shares = limit_shares(cut=job.cut, limits=job.limits, division=division, index=index, load=load)
    return _planned(
        job=job,
        division=division,
        setting=setting,
        number=index + 1,
        depth_mm=depths[index],
        start_mm=before_mm,
        load=load,
        bend=Bend(high_mm=load.deflection_high_mm, low_mm=load.deflection_low_mm),
        shares=shares,
        trail=trail,
    )


def spring_pass(
    *,
    job: Job,
    division: Division,
    setting: PathSetting,
    number: int,
    bends: Sequence[Bend],
) -> PlannedPass:
    """The record of a spring pass: the last path once more, on what the bend left.

    Notes
    -----
    Source: derivation.
    """
    depth_mm = division.depths_mm[-1]
    start_mm = depth_mm - max(bends[number - 1].expected_mm, _NO_SLIVER_MM)
    load = pass_load(
        cut=job.cut,
        from_depth_mm=start_mm,
        to_depth_mm=depth_mm,
        feed_edge_mm=division.feed_per_tooth_mm,
        spindle_speed_rev_per_min=division.spindle_speed_rev_per_min,
        compliance_um_per_n=job.stiffness.compliance_um_per_n,
    )
    return _planned(
        job=job,
        division=division,
        setting=setting,
        number=division.passes + number,
        depth_mm=depth_mm,
        start_mm=start_mm,
        load=load,
        bend=bends[number],
        shares=_NO_SHARES,
        trail=None,
    )


def _planned(
    *,
    job: Job,
    division: Division,
    setting: PathSetting,
    number: int,
    depth_mm: float,
    start_mm: float,
    load: PassLoad,
    bend: Bend,
    shares: Mapping[str, float],
    trail: Trail | None,
) -> PlannedPass:
    root_mm = job.root_diameter_mm(depth_mm)
    path = setting.path(root_diameter_mm=root_mm)
    speed = division.spindle_speed_rev_per_min
    feed_edge = FEED_EDGE(trail, division.feed_per_tooth_mm, job.cut.teeth, speed)
    feed_centre = FEED_CENTRE(trail, feed_edge, path.cutter_centre_radius_mm, root_mm / 2)
    return PlannedPass(
        number=number,
        kind="cut" if number <= division.passes else "spring",
        root_diameter_mm=root_mm,
        depth_mm=depth_mm,
        radial_depth_mm=depth_mm - start_mm,
        cutter_centre_radius_mm=path.cutter_centre_radius_mm,
        chip_area_mm2=removed_area_mm2(
            tooth=job.groove_tooth,
            from_depth_mm=start_mm,
            to_depth_mm=depth_mm,
        ),
        engagement_deg=load.engagement_deg,
        teeth_in_cut_ratio=load.teeth_in_cut_ratio,
        chip_thickness_max_mm=load.chip_thickness_max_mm,
        chip_thickness_mean_mm=load.chip_thickness_mean_mm,
        chip_thickness_flank_mm=load.chip_thickness_flank_mm,
        feed_per_tooth_mm=division.feed_per_tooth_mm,
        feed_edge_mm_per_min=feed_edge,
        feed_centre_mm_per_min=feed_centre,
        spindle_speed_rev_per_min=speed,
        tangential_force_n=load.tangential_force_n,
        radial_force_n=load.radial_force_n,
        axial_force_n=load.axial_force_n,
        wall_force_n=load.wall_force_n,
        torque_nm=load.torque_nm,
        power_kw=load.power_kw,
        deflection_mm=bend.expected_mm,
        deflection_high_mm=bend.high_mm,
        deflection_low_mm=bend.low_mm,
        pitch_diameter_mm=_pitch_diameter_mm(job, depth_mm, bend, trail),
        limited_by=max(shares, key=lambda name: shares[name]) if shares else None,
        limit_shares=shares,
        path_length_mm=path.path_length_mm,
        cutting_time_s=job.clock.time_s(path, feed_centre),
    )


def _pitch_diameter_mm(job: Job, depth_mm: float, bend: Bend, trail: Trail | None) -> float | None:
    """Pitch diameter expected, where the groove reaches the pitch line at all [mm]."""
    programmed_mm = job.programmed_pitch_diameter_mm(depth_mm)
    found_mm = PITCH_DIAMETER(
        trail, programmed_mm, job.groove.outward, bend.expected_mm, job.runout_mm
    )
    return found_mm if job.groove.outward * (job.blank_diameter_mm - found_mm) > 0 else None


def spring_advice(*, job: Job, bends: Sequence[Bend], planned: int) -> tuple[SpringAdvice, ...]:
    """What each spring pass takes off the pitch diameter, one beyond the plan's included.

    Notes
    -----
    Source: derivation.
    """
    return tuple(
        SpringAdvice(
            number=number,
            taken_mm=2 * (bends[number - 1].expected_mm - bends[number].expected_mm),
            left_mm=2 * bends[number].expected_mm,
            is_planned=number <= planned,
            is_worth_it=is_worth_it(
                before=bends[number - 1], after=bends[number], tolerance_mm=job.tolerance_mm
            ),
        )
        for number in range(1, planned + 2)
    )
