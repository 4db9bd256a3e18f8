"""A job with everything resolved, and the depth at which bend and division agree."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.milling.geometry.section import ToothProfile
from threadwright_service.calc.milling.geometry.swept_groove import SweptGroove
from threadwright_service.calc.milling.infeed.division import Division, Given, judged
from threadwright_service.calc.milling.loads.deflection import Stiffness
from threadwright_service.calc.milling.loads.force import DepthLoad
from threadwright_service.calc.milling.loads.load import pass_load
from threadwright_service.calc.milling.loads.peak import root
from threadwright_service.calc.milling.loads.spring_pass import (
    MOST_BY_DEFAULT,
    Bend,
    after_spring_pass,
    is_worth_it,
)
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut
from threadwright_service.calc.milling.path.heights import depth_below_blank_mm
from threadwright_service.calc.milling.plan.limits import PassLimits
from threadwright_service.calc.milling.plan.optimiser import fastest
from threadwright_service.calc.milling.plan.pass_time import PassClock
from threadwright_service.calc.trail import Formula, Trail

CORRECTED_DEPTH: Final = Formula(
    "depth to programme: bend added, run-out taken off, c what the over-cut changes with it",
    "h",
    "h_0 + delta - eps + c",
    "h_0 delta eps c",
    unit="mm",
    source="derivation",
)

MOST_BEND_RATIO: Final = 0.15
"""A bend of more than this share of the depth is not allowed for but refused."""
_SETTLED_MM: Final = 2e-5
_SECANTS: Final = 4
_FLATTEST: Final = -0.1
"""Of what is left more, over what is allowed for; about -1: the depth hardly moves the bend."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A job, resolved: all that the passes follow from.

    ``cutter``, ``groove_tooth`` and ``swept`` are those that the groove is made of, at all offsets
    together; ``cut`` is loaded by the cutter in hand. ``runout_mm`` is how much deeper run-out lets
    the cutter cut, on the radius.
    """

    groove: ThreadGroove
    cutter: Cutter
    groove_tooth: ToothProfile
    swept: SweptGroove
    cut: ThreadCut
    limits: PassLimits
    stiffness: Stiffness
    clock: PassClock
    given: Given
    blank_diameter_mm: float
    tolerance_mm: float
    runout_mm: float
    runout_spread_mm: float

    def depth_mm(self, *, bend_mm: float) -> float:
        """Depth at which the pitch diameter comes out as aimed with a bend that is left [mm].

        Raises
        ------
        InfeasibleError
            If no depth gives it.
        """
        outward = self.groove.outward
        programmed_mm = self.groove.pitch_diameter_mm / 2 - outward * (bend_mm - self.runout_mm)
        centre_mm = self.swept.centre_radius_mm(programmed_mm)
        root_mm = 2 * (centre_mm - outward * self.cutter.radius_mm)
        return depth_below_blank_mm(
            groove=self.groove, root_diameter_mm=root_mm, blank_diameter_mm=self.blank_diameter_mm
        )

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
        return 2 * self.swept.pitch_radius_mm(self.cut.centre_radius_mm(depth_mm))


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
        depth_mm=job.depth_mm(bend_mm=0.0),
        limits=job.limits,
        given=given,
        pass_time_s=job.pass_time_s,
    )
    bends, springs = _bends(job, division, spring_passes)
    if given.infeed != "list":
        correction = _Correction(job, plain_mm, springs, division, bends)
        if correction.left_mm > 0:
            _correct(correction)
        division, bends = correction.division, correction.bends
        left_mm, depth_mm = bends[springs].expected_mm, division.depths_mm[-1]
        CORRECTED_DEPTH(
            trail, plain_mm, left_mm, job.runout_mm, depth_mm - plain_mm - left_mm + job.runout_mm
        )
    if spring_passes is None and trail is not None:
        trail.assume(
            "spring_passes",
            springs,
            "none given; as many, at most two, as still take off the pitch diameter what can be "
            "measured",
        )
    return division, bends, springs


@dataclass(slots=True)
class _Correction:
    """The division stretched to the depth that allows for a bend, and the bend that it then has."""

    job: Job
    plain_mm: float
    springs: int
    division: Division
    bends: list[Bend]

    def excess_mm(self, allowed_mm: float) -> float:
        """What the last pass leaves more than was allowed for [mm]; the division follows."""
        job = self.job
        _refuse_bent(job, allowed_mm, self.plain_mm)
        depth_mm = job.depth_mm(bend_mm=allowed_mm)
        scale = depth_mm / self.division.depths_mm[-1]
        self.division = replace(
            judged(
                job.cut,
                (*(t * scale for t in self.division.depths_mm[:-1]), depth_mm),
                replace(
                    job.limits, spindle_speed_rev_per_min=self.division.spindle_speed_rev_per_min
                ),
                job.given.feed_per_tooth_mm,
            ),
            power_limited=self.division.power_limited,
        )
        self.bends, _ = _bends(job, self.division, self.springs)
        return self.left_mm - allowed_mm

    @property
    def left_mm(self) -> float:
        """What the last pass leaves proud [mm]."""
        return self.bends[self.springs].expected_mm


def _correct(correction: _Correction) -> None:
    """Bring the bend that is allowed for and the one that is left together.

    The bend changes the depth, and the depth the bend by a small part of that: two or three
    steps of the secant settle it. Where a neck bends by much of the depth, or a feed limit takes
    over on the way, the place is enclosed and found for certain.
    """
    allowed_mm, excess_mm = 0.0, correction.left_mm
    next_mm = excess_mm
    for _ in range(_SECANTS):
        now_mm = correction.excess_mm(next_mm)
        if abs(now_mm) < _SETTLED_MM:
            return
        slope = (now_mm - excess_mm) / (next_mm - allowed_mm)
        allowed_mm, excess_mm = next_mm, now_mm
        next_mm = max(0.0, allowed_mm - excess_mm / min(slope, _FLATTEST))
        if next_mm == allowed_mm:
            break
    low_mm, high_mm = 0.0, 2 * max(allowed_mm, _SETTLED_MM)
    while correction.excess_mm(high_mm) > 0:
        low_mm, high_mm = high_mm, 2 * high_mm
    settled_mm = root(
        lambda bend_mm: correction.excess_mm(bend_mm) / high_mm,
        low_mm,
        high_mm,
        _SETTLED_MM / high_mm,
    )
    correction.excess_mm(settled_mm)


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
