"""A job with everything resolved, and the depth at which bend and division agree."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.cutter import Cutter
from threadwright_service.calc.milling.deflection import Stiffness
from threadwright_service.calc.milling.division import Division, Given, judged
from threadwright_service.calc.milling.force import DepthLoad, ThreadCut
from threadwright_service.calc.milling.groove import ThreadGroove
from threadwright_service.calc.milling.limits import PassLimits
from threadwright_service.calc.milling.load import pass_load
from threadwright_service.calc.milling.optimiser import fastest
from threadwright_service.calc.milling.over_cut import made_pitch_diameter_mm
from threadwright_service.calc.milling.pass_time import PassClock
from threadwright_service.calc.milling.spring_pass import (
    MOST_BY_DEFAULT,
    Bend,
    after_spring_pass,
    is_worth_it,
)
from threadwright_service.calc.trail import Formula, Trail

CORRECTED_DEPTH: Final = Formula(
    "depth to programme: bend added, run-out taken off",
    "h",
    "h_0 + delta - eps",
    "h_0 delta eps",
    unit="mm",
    source="derivation",
)

MOST_BEND_RATIO: Final = 0.15
"""A bend of more than this share of the depth is not allowed for but refused."""
_ROUNDS: Final = 8
_SETTLED_MM: Final = 2e-5
_STEEPEST: Final = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A job, resolved: all that the passes follow from.

    ``runout_mm`` is how much deeper run-out lets the cutter cut, on the radius.
    """

    groove: ThreadGroove
    cutter: Cutter
    cut: ThreadCut
    limits: PassLimits
    stiffness: Stiffness
    clock: PassClock
    given: Given
    blank_diameter_mm: float
    tolerance_mm: float
    runout_mm: float
    runout_spread_mm: float

    def root_diameter_mm(self, depth_mm: float) -> float:
        """Diameter that the tip is set for at a depth [mm]."""
        return 2 * self.cut.made_radius_mm(depth_mm)

    def pass_time_s(self, depth_mm: float, feed_per_tooth_mm: float) -> float:
        """Time of a pass from its depth and feed, for the search [s]."""
        feed = feed_per_tooth_mm * self.cut.centre_feed_ratio(depth_mm) * self.cut.teeth
        length_mm = self.clock.length_mm(self.root_diameter_mm(depth_mm))
        return 60 * length_mm / (feed * self.limits.spindle_speed_rev_per_min)

    def programmed_pitch_diameter_mm(self, depth_mm: float) -> float:
        """Pitch diameter that a stiff cutter without run-out makes at a depth [mm]."""
        return made_pitch_diameter_mm(
            groove=self.groove,
            cutter=self.cutter,
            root_diameter_mm=self.root_diameter_mm(depth_mm),
        )


def settled(
    *, job: Job, plain_mm: float, spring_passes: int | None, trail: Trail | None = None
) -> tuple[Division, list[Bend], int]:
    """The division at the depth that allows for the bend after the last pass, and the bends.

    Parameters
    ----------
    plain_mm : float
        Depth without bend and run-out [mm].
    spring_passes : int, optional
        A number to keep.

    Returns
    -------
    tuple
        The division; what is left proud after the last cutting pass and after each spring pass,
        one beyond the plan's included; the number of spring passes.

    Raises
    ------
    InfeasibleError
        If the cutter bends by more than MOST_BEND_RATIO of the depth.

    Notes
    -----
    Source: derivation.
    """
    cut, given = job.cut, job.given
    division = fastest(
        cut=cut,
        depth_mm=plain_mm - job.runout_mm,
        limits=job.limits,
        given=given,
        pass_time_s=job.pass_time_s,
    )
    bends, springs = _bends(job, division, spring_passes)
    if given.infeed != "list":
        division, bends = _at_corrected_depth(job, plain_mm, division, bends, springs)
        CORRECTED_DEPTH(trail, plain_mm, bends[springs].expected_mm, job.runout_mm)
    if spring_passes is None and trail is not None:
        trail.assume(
            "spring_passes",
            springs,
            "none given; as many, at most two, as still take off the pitch diameter what can be "
            "measured",
        )
    return division, bends, springs


def _at_corrected_depth(
    job: Job, plain_mm: float, division: Division, bends: list[Bend], springs: int
) -> tuple[Division, list[Bend]]:
    """The division stretched to the depth that allows for the bend, with its feed and bends.

    The bend changes the depth, and the depth the bend by a small part of that: two rounds settle
    it, a few more where a neck bends by a tenth of the depth.
    """
    limits = replace(job.limits, spindle_speed_rev_per_min=division.spindle_speed_rev_per_min)
    allowed_mm, found_mm = 0.0, bends[springs].expected_mm
    slope = 0.0
    for _ in range(_ROUNDS):
        # The bend found is a function of the bend allowed for: its fixed point, by the secant.
        next_mm = allowed_mm + (found_mm - allowed_mm) / (1 - slope)
        _refuse_bent(job, next_mm, plain_mm)
        depth_mm = CORRECTED_DEPTH.function(plain_mm, next_mm, job.runout_mm)
        scale = depth_mm / division.depths_mm[-1]
        division = replace(
            judged(
                job.cut,
                (*(t * scale for t in division.depths_mm[:-1]), depth_mm),
                limits,
                job.given.feed_per_tooth_mm,
            ),
            power_limited=division.power_limited,
        )
        bends, _ = _bends(job, division, springs)
        now_mm = bends[springs].expected_mm
        if abs(now_mm - next_mm) < _SETTLED_MM:
            break
        slope = min(_STEEPEST, (now_mm - found_mm) / (next_mm - allowed_mm))
        allowed_mm, found_mm = next_mm, now_mm
    return division, bends


def _refuse_bent(job: Job, bend_mm: float, depth_mm: float) -> None:
    if bend_mm <= MOST_BEND_RATIO * depth_mm:
        return
    given_mm = job.given.feed_per_tooth_mm
    raise InfeasibleError(
        f"the cutter would bend by {bend_mm:.3f} mm and leave the groove that much short of its "
        f"{depth_mm:.3f} mm: no depth can be set against that",
        parameter="cutter_neck_diameter" if given_mm is None else "feed_per_tooth",
        value=job.cutter.neck_diameter_mm if given_mm is None else given_mm,
        accepted="a stiffer cutter, or less feed a tooth",
    )


def _bends(job: Job, division: Division, spring_passes: int | None) -> tuple[list[Bend], int]:
    """What is left proud after the last cutting pass and after each spring pass, one in reserve."""
    depths = division.depths_mm
    last = pass_load(
        cut=job.cut,
        from_depth_mm=depths[-2] if len(depths) > 1 else 0.0,
        to_depth_mm=depths[-1],
        feed_edge_mm=division.feed_per_tooth_mm,
        spindle_speed_rev_per_min=division.spindle_speed_rev_per_min,
        compliance_um_per_n=job.stiffness.compliance_um_per_n,
    )
    bends = [Bend(high_mm=last.deflection_high_mm, low_mm=last.deflection_low_mm)]
    load = DepthLoad(job.cut, depths[-1])
    most = MOST_BY_DEFAULT if spring_passes is None else spring_passes
    chosen: int | None = spring_passes
    for number in range(most + 1):
        bends.append(
            after_spring_pass(
                load=load,
                before=bends[-1],
                feed_edge_mm=division.feed_per_tooth_mm,
                compliance_um_per_n=job.stiffness.compliance_um_per_n,
            )
        )
        worth = is_worth_it(before=bends[-2], after=bends[-1], tolerance_mm=job.tolerance_mm)
        if chosen is None and (not worth or number == most):
            chosen = number
    return bends, chosen or 0
