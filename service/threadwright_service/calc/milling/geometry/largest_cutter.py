"""Largest cutter that a thread lets in: by the flank's form, and by over-cut left uncorrected."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal

from threadwright_service.calc.errors import MissingInputError, OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.depth import nominal_root_diameter_mm
from threadwright_service.calc.milling.geometry.envelope import zero_between
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.milling.geometry.over_cut import OverCut, made_pitch_diameter_mm
from threadwright_service.calc.milling.geometry.swept_groove import swept_groove_of
from threadwright_service.calc.milling.path.clearance import largest_cutter_diameter_mm
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail

FORM_SHARE_RATIO: Final = 0.25
_DIAMETER_STEP_MM: Final = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class LargestCutter:
    """The largest cutter that keeps the flank's form, and what sets it."""

    cutter_diameter_mm: float | None
    """Largest diameter of a cutter with this nose and angle; null where any will do or none."""
    limited_by: Literal["form", "hole", "nothing", "flank-angle"]
    """form: a larger one spoils it; hole: as large as that lets in; nothing: outside the diameter
    does not count; flank-angle: that error alone is too large."""


def largest_cutter_for_form(
    *,
    groove: ThreadGroove,
    cutter: Cutter,
    form_limit_mm: float,
    hole_diameter_mm: float | None = None,
) -> LargestCutter:
    """Largest diameter of such a cutter that keeps the form error, with the depth corrected.

    Parameters
    ----------
    cutter : Cutter
        Its nose and angle are kept, its diameter is varied.
    form_limit_mm : float
        Accepted difference of functional and simple pitch diameter, e.g. a share of the
        tolerance [mm]; more than 0.
    hole_diameter_mm : float, optional
        The hole that the cutter goes into [mm]; the smallest that the thread allows if not given.

    Raises
    ------
    OutOfRangeError
        If the limit is not positive.

    Notes
    -----
    Source: derivation: inside, the nose's end leaves ever more of the flank unmade as the cutter
    grows; outside, the form error is that of the flank's angle alone.
    """
    if form_limit_mm <= 0:
        raise OutOfRangeError(
            f"the accepted form error is {form_limit_mm:g} mm; it must be positive",
            parameter="form_limit",
            value=form_limit_mm,
            accepted="more than 0",
        )

    def excess_mm(diameter_mm: float) -> float:
        return _form_error_mm(groove, replace(cutter, diameter_mm=diameter_mm)) - form_limit_mm

    if groove.side == "external":
        keeps = excess_mm(cutter.diameter_mm) <= 0
        return LargestCutter(
            cutter_diameter_mm=None, limited_by="nothing" if keeps else "flank-angle"
        )
    bore_mm = largest_cutter_diameter_mm(
        hole_diameter_mm=hole_diameter_mm or groove.crest_diameter_mm
    )
    # A cutter smaller than twice the groove's depth has no room for a neck.
    root_mm = nominal_root_diameter_mm(groove=groove, cutter=cutter)
    least_mm = min(bore_mm, max(bore_mm / 4, root_mm - groove.crest_diameter_mm))
    if excess_mm(least_mm) > 0:
        return LargestCutter(cutter_diameter_mm=None, limited_by="flank-angle")
    if excess_mm(bore_mm) <= 0:
        return LargestCutter(cutter_diameter_mm=bore_mm, limited_by="hole")
    return LargestCutter(
        cutter_diameter_mm=zero_between(excess_mm, least_mm, bore_mm, step=_DIAMETER_STEP_MM),
        limited_by="form",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FormCheck:
    """The form error that no depth corrects, against the tolerance of the pitch diameter."""

    form_diameter_mm: float
    """Functional less simple pitch diameter, which no depth corrects."""
    form_share_ratio: float
    """Its size as a share of the pitch diameter's tolerance."""
    share_limit_ratio: float
    """The share that is accepted."""
    form_limit_mm: float
    """That share of the tolerance as a length."""
    largest_cutter: LargestCutter


def check_form(
    *,
    thread: ThreadLimits,
    groove: ThreadGroove,
    cutter: Cutter,
    over_cut: OverCut,
    share_ratio: float | None = None,
    hole_diameter_mm: float | None = None,
    trail: Trail | None = None,
) -> FormCheck:
    """Judge the form error against a share of the tolerance, and find the largest cutter.

    Parameters
    ----------
    over_cut : OverCut
        Of this cutter at the corrected root.
    share_ratio : float or None
        Accepted share of the tolerance; a quarter if ``None``.
    hole_diameter_mm : float, optional
        The hole before threading, inside [mm].

    Raises
    ------
    MissingInputError
        If the thread has no tolerance of the pitch diameter.
    OutOfRangeError
        If the share is not positive.

    Notes
    -----
    Source: derivation; the quarter is common practice.
    """
    tolerance_mm = thread.in_millimetres().limits.pitch_diameter.tolerance
    if not tolerance_mm:
        raise MissingInputError(
            f"{thread.designation} has no tolerance of the pitch diameter to judge the form by",
            parameter="tolerance_class",
            accepted="a class that the standard has limits for",
        )
    if share_ratio is None:
        share_ratio = FORM_SHARE_RATIO
        if trail is not None:
            trail.assume(
                "form_share",
                share_ratio,
                "none given; a quarter of the tolerance is left to the flank's form",
            )
    limit_mm = share_ratio * tolerance_mm
    largest = largest_cutter_for_form(
        groove=groove, cutter=cutter, form_limit_mm=limit_mm, hole_diameter_mm=hole_diameter_mm
    )
    error_mm = abs(over_cut.form_diameter_mm)
    if error_mm > limit_mm and trail is not None:
        trail.caution("flank-form", _form_sentence(error_mm, tolerance_mm, limit_mm, largest))
    return FormCheck(
        form_diameter_mm=over_cut.form_diameter_mm,
        form_share_ratio=error_mm / tolerance_mm,
        share_limit_ratio=share_ratio,
        form_limit_mm=limit_mm,
        largest_cutter=largest,
    )


def _form_sentence(
    error_mm: float, tolerance_mm: float, limit_mm: float, largest: LargestCutter
) -> str:
    """What the form error means, and which cutter would keep it."""
    cure = (
        f"a cutter of at most {largest.cutter_diameter_mm:.3f} mm keeps {limit_mm:.4f} mm"
        if largest.cutter_diameter_mm is not None
        else "no cutter's diameter changes that: it comes from the flank angle"
    )
    return (
        f"the flank's form takes {error_mm:.4f} mm of the {tolerance_mm:.4f} mm of "
        f"pitch diameter tolerance, and no depth corrects it: {cure}"
    )


def largest_uncorrected_cutter_mm(
    *, groove: ThreadGroove, cutter: Cutter, budget_mm: float
) -> float:
    """Largest inside cutter whose over-cut, left uncorrected, stays in a budget [mm].

    Parameters
    ----------
    groove : ThreadGroove
        An internal thread's groove.
    cutter : Cutter
        Its nose and angle are kept, its diameter is varied; its root is the nominal one.
    budget_mm : float
        Accepted error of the simple pitch diameter [mm].

    Returns
    -------
    float
        The diameter, no larger than the bore; 0 if no cutter keeps the budget.

    Notes
    -----
    Source: derivation.
    """

    def excess_mm(diameter_mm: float) -> float:
        of_size = replace(cutter, diameter_mm=diameter_mm)
        root_mm = nominal_root_diameter_mm(groove=groove, cutter=of_size)
        made_mm = made_pitch_diameter_mm(groove=groove, cutter=of_size, root_diameter_mm=root_mm)
        return made_mm - groove.pitch_diameter_mm - budget_mm

    # A cutter smaller than twice the groove's depth has no room for a neck.
    root_mm = nominal_root_diameter_mm(groove=groove, cutter=cutter)
    least_mm = root_mm - groove.crest_diameter_mm
    if excess_mm(least_mm) > 0:
        return 0.0
    if excess_mm(groove.crest_diameter_mm) <= 0:
        return groove.crest_diameter_mm
    return zero_between(excess_mm, least_mm, groove.crest_diameter_mm, step=_DIAMETER_STEP_MM)


def _form_error_mm(groove: ThreadGroove, cutter: Cutter) -> float:
    """Size of the form error with the corrected depth [mm]."""
    swept = swept_groove_of(groove=groove, cutter=cutter)
    centre_mm = swept.centre_radius_mm(groove.pitch_diameter_mm / 2)
    root_mm = 2 * (centre_mm - groove.outward * cutter.radius_mm)
    functional_mm = 2 * swept.functional_radius_mm(centre_mm, *swept.contact_range_mm(root_mm))
    return abs(functional_mm - groove.pitch_diameter_mm)
