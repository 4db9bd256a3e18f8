"""For what the part of a plan would be refused, or its cutter not cut: more than a caution."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from threadwright_service.calc.milling.geometry.largest_cutter import FormCheck
from threadwright_service.calc.milling.geometry.nose import NoseCheck
from threadwright_service.calc.milling.infeed.division import Division
from threadwright_service.calc.milling.plan.plan_record import LimitReport
from threadwright_service.calc.threads.thread import Span, ThreadLimits

_OF_THE_NOSE: Final = ("root-outside-limits", "crest-outside-limits")
_RUBS_RATIO: Final = 1 / 3
"""A chip below this share of the thinnest sensible one: the edge rubs and takes nothing off (common
practice)."""
_OVER: Final = 1 + 1e-5
_SAME_MM: Final = 0.0005
"""What no gauge and no micrometer tells: a plan may aim at a limit itself."""


def failings_of(
    *,
    thread: ThreadLimits,
    expected_pitch_diameter_mm: float,
    nose: NoseCheck,
    form: FormCheck,
    division: Division,
    reports: Sequence[LimitReport],
) -> tuple[str, ...]:
    """Codes of the cautions for which the part would not pass, or the cutter not cut.

    Parameters
    ----------
    expected_pitch_diameter_mm : float
        What is to be measured on the part [mm].

    Notes
    -----
    Source: derivation. ``size-uncertain`` counts where the pitch diameter to expect is itself off
    its limits, ``flank-form`` where the GO gauge would refuse the functional size, which the form
    moves.
    """
    found = [code for code in _OF_THE_NOSE if any(each.code == code for each in nose.findings)]
    span = thread.in_millimetres().limits.pitch_diameter
    if _is_outside(expected_pitch_diameter_mm, span):
        found.append("size-uncertain")
    elif _is_refused_by_go(expected_pitch_diameter_mm + form.form_diameter_mm, span, thread):
        found.append("flank-form")
    if division.chip_reached_ratio < _RUBS_RATIO:
        found.append("chip-too-thin")
    found += [
        f"{report.name}-exceeded"
        for report in reports
        if report.name == "neck-strength" and report.share_ratio > _OVER
    ]
    return tuple(found)


def _is_outside(size_mm: float, span: Span) -> bool:
    return (span.max is not None and size_mm > span.max + _SAME_MM) or (
        span.min is not None and size_mm < span.min - _SAME_MM
    )


def _is_refused_by_go(functional_mm: float, span: Span, thread: ThreadLimits) -> bool:
    """Whether a functional size is beyond the limit of most metal."""
    if thread.side == "external":
        return span.max is not None and functional_mm > span.max + _SAME_MM
    return span.min is not None and functional_mm < span.min - _SAME_MM
