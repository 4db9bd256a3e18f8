"""The nose in hand, judged: which noses could cut the thread, and what this one leaves."""

from __future__ import annotations

from dataclasses import dataclass, replace

from threadwright_service.calc.milling.geometry import nose_findings
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.depth import (
    equivalent_nose_flat_mm,
    nominal_root_diameter_mm,
)
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.milling.geometry.nose_findings import (
    SAME_RADIUS_MM,
    angle_functional_mm,
)
from threadwright_service.calc.milling.geometry.nose_fit import (
    flat_limits_mm,
    largest_tangent_radius_mm,
    refuse_wide_nose,
    root_limits,
)
from threadwright_service.calc.milling.geometry.swept_groove import swept_groove_of
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Caution, Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class NoseCheck:
    """Which noses can cut the thread, and what the one in hand leaves.

    The limits hold for this cutter's diameter and flank angles at the pitch diameter aimed at,
    over-cut included.
    """

    nose_flat_mm: float
    """The flat in hand, or the flat that a rounded nose counts for."""
    nose_flat_min_mm: float
    """Narrowest flat that keeps the root within its limits."""
    nose_flat_max_mm: float
    """Widest flat that keeps the root within its limits."""
    nose_radius_min_mm: float | None
    """Smallest radius of a rounded nose that keeps the root and its radius within their limits;
    null where no rounded nose does."""
    nose_radius_max_mm: float | None
    """Largest radius that does so and leaves the flank straight down to the mating crest; null
    where none does."""
    root_diameter_max_mm: float | None
    """Largest diameter that the tip may make; null where nothing bounds it."""
    root_diameter_min_mm: float | None
    """Smallest diameter that the tip may make; null where nothing bounds it."""
    crest_width_mm: float
    """What is left of the crest at the groove's crest diameter."""
    functional_diameter_mm: float
    """What a cutter's angle off the form's adds to the functional over the simple
    pitch diameter."""
    angle_pitch_diameter_mm: float
    """How far off the simple pitch diameter would be, were the depth taken from the
    form's angle."""
    findings: tuple[Caution, ...]
    """What root, crest and flank lack with this nose, as the cautions tell it too."""


def check_nose(
    *,
    thread: ThreadLimits,
    groove: ThreadGroove,
    cutter: Cutter,
    root_diameter_mm: float,
    blank_diameter_mm: float | None = None,
    trail: Trail | None = None,
) -> NoseCheck:
    """Judge the nose in hand against the standard's root and crest; findings become cautions.

    Parameters
    ----------
    thread : ThreadLimits
        The limits of size.
    groove : ThreadGroove
        The groove at the pitch diameter aimed at.
    root_diameter_mm : float
        The root that is programmed, over-cut allowed for [mm].
    blank_diameter_mm : float or None
        Diameter before threading, outside the blank, inside the hole [mm]; ``None`` leaves the
        crest unjudged.

    Raises
    ------
    InfeasibleError
        If the nose is so wide that no pitch diameter within its tolerance gives a root inside
        the standard's limits.

    Notes
    -----
    Source: derivation. The root must clear the mating thread: outside it is no larger than the
    standard's largest minor diameter, or the basic minor diameter less the allowance where there
    is no limit; inside no smaller than the least major diameter.
    """
    metric = thread.in_millimetres()
    swept = swept_groove_of(groove=groove, cutter=cutter)
    span = root_limits(thread=metric)
    narrow_mm, wide_mm = flat_limits_mm(swept, span)
    flat_mm = equivalent_nose_flat_mm(groove=groove, cutter=cutter)
    refuse_wide_nose(thread=metric, groove=groove, cutter=cutter)
    count_ratio = equivalent_nose_flat_mm(
        groove=groove, cutter=replace(cutter, nose_flat_mm=None, nose_radius_mm=1.0)
    )
    sharpest_mm = max(narrow_mm / count_ratio, metric.root_radius.min or 0.0)
    roundest_mm = min(wide_mm / count_ratio, largest_tangent_radius_mm(groove, cutter))
    if metric.root_radius.max is not None:
        roundest_mm = min(roundest_mm, metric.root_radius.max)
    is_any_round = sharpest_mm <= roundest_mm + SAME_RADIUS_MM
    centre_mm = root_diameter_mm / 2 + groove.outward * cutter.radius_mm
    crest_mm = groove.pitch_mm - swept.width_mm(groove.crest_diameter_mm / 2, centre_mm)
    findings = (
        *nose_findings.root_findings(metric, groove, cutter, root_diameter_mm, flat_mm),
        *nose_findings.radius_findings(metric, cutter),
        *nose_findings.cut_crest_findings(metric, swept, centre_mm, blank_diameter_mm),
        *nose_findings.flank_findings(swept, centre_mm, root_diameter_mm),
        *nose_findings.crest_findings(metric, blank_diameter_mm),
        *nose_findings.angle_findings(groove, cutter),
    )
    if trail is not None:
        for finding in findings:
            trail.caution(finding.code, finding.detail)
    return NoseCheck(
        nose_flat_mm=flat_mm,
        nose_flat_min_mm=narrow_mm,
        nose_flat_max_mm=wide_mm,
        nose_radius_min_mm=sharpest_mm if is_any_round else None,
        nose_radius_max_mm=roundest_mm if is_any_round else None,
        root_diameter_max_mm=span.max,
        root_diameter_min_mm=span.min,
        crest_width_mm=crest_mm,
        functional_diameter_mm=angle_functional_mm(groove=groove, cutter=cutter),
        angle_pitch_diameter_mm=angle_pitch_diameter_mm(groove=groove, cutter=cutter),
        findings=findings,
    )


def angle_pitch_diameter_mm(*, groove: ThreadGroove, cutter: Cutter) -> float:
    """Error of the simple pitch diameter if the depth is taken from the form's angle [mm].

    Notes
    -----
    Source: derivation.
    """
    nominal = replace(cutter, included_angle_deg=sum(groove.flank_angles_deg))
    return nominal_root_diameter_mm(groove=groove, cutter=nominal) - nominal_root_diameter_mm(
        groove=groove, cutter=cutter
    )
