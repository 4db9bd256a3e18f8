"""GO and NOT GO gauges for a thread, by the standard that goes with it."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.errors import InfeasibleError, NotTabulatedError
from threadwright_service.calc.measurement.gauges.asme_b1_2 import asme_gauges
from threadwright_service.calc.measurement.gauges.gauge import GaugeLimits, GaugeStandard
from threadwright_service.calc.measurement.gauges.iso_1502 import iso_1502_gauges
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail

METRIC: Final = "iso-metric"
UNIFIED: Final = "unified"

_STANDARDS: Final[dict[str, tuple[GaugeStandard, ...]]] = {
    METRIC: ("ISO 1502", "ASME B1.16M"),
    UNIFIED: ("ASME B1.2",),
}


def gauge_limits(
    *, thread: ThreadLimits, standard: GaugeStandard | None = None, trail: Trail | None = None
) -> GaugeLimits:
    """Sizes and wear limits of the GO and NOT GO gauges: plugs inside, rings outside.

    Parameters
    ----------
    thread : ThreadLimits
        A toleranced ISO metric or Unified thread; in either unit.
    standard : {"ISO 1502", "ASME B1.2", "ASME B1.16M"}, optional
        ISO 1502 for metric and ASME B1.2 for inch threads by default.
    trail : Trail, optional
        Takes assumption, cautions and working.

    Raises
    ------
    NotTabulatedError
        If no gauge standard is carried for this family, or the thread is outside its table.
    InfeasibleError
        If the standard does not go with the thread, or the thread lacks limits.

    Notes
    -----
    Source: iso-1502, asme-b1-2 and asme-b1-16m; what is from memory is said in ``basis``.
    """
    known = _STANDARDS.get(thread.family, ())
    if not known:
        raise NotTabulatedError(
            f"no gauge standard is carried for {thread.standard}; gauge sizes are not guessed from "
            "those of another family",
            parameter="designation",
            value=thread.designation,
            accepted="an ISO metric (M) or a Unified thread (UN, UNC, UNF …)",
        )
    if "J" in thread.series.upper():
        raise NotTabulatedError(
            f"gauges for {thread.series} are not carried: the larger root radius of the form asks "
            "for gauges of its own",
            parameter="designation",
            value=thread.designation,
            accepted="an ISO metric (M) or a Unified thread (UN, UNC, UNF …)",
        )
    if standard is None:
        standard = known[0]
        if trail is not None:
            trail.assume("gauge_standard", standard, "none given; usual for threads of this family")
    if standard not in known:
        raise InfeasibleError(
            f"{standard} has no gauges for {thread.standard}",
            parameter="gauge_standard",
            value=standard,
            accepted=" or ".join(known),
        )
    result = (
        iso_1502_gauges(thread=thread, trail=trail)
        if standard == "ISO 1502"
        else asme_gauges(thread=thread, standard=standard, trail=trail)
    )
    if trail is not None:
        _cautions(result, trail)
    return result


def _cautions(result: GaugeLimits, trail: Trail) -> None:
    if "memory" in result.basis.partition(";")[0]:
        trail.caution(
            "from-memory",
            "Some of these gauge tolerances rest on memory alone (see basis). Compare them with "
            f"{result.standard} before a gauge is made, bought or judged by them.",
        )
    accepted = result.accepted_pitch_diameter
    if accepted.max_mm is not None and accepted.min_mm is not None:
        trail.caution(
            "gauge-zone",
            "Every new gauge made to these limits passes parts with a pitch diameter (with the "
            f"errors of lead and angle in it) from {accepted.min_mm:.4f} mm to "
            f"{accepted.max_mm:.4f} mm; nearer to a limit good gauges may disagree.",
        )
