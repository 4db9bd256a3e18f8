"""Sizes of taper threads by the turns of their gauge, short of flush or beyond it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Formula, Trail

BY_TURNS: Final = Formula(
    "pitch diameter in the gauge plane, by the turns of the gauge",
    "E",
    "E1 + d * n * P * t",
    "E1 d n P t",
    unit="mm",
    source="derivation, taper t on the diameter, d = 1 outside and -1 inside; that one turn is the "
    "limit: asme-b1-20-1",
)


def pitch_diameters_by_turns_mm(
    thread: ThreadLimits, gauge_turns: Sequence[float], *, trail: Trail | None = None
) -> tuple[float, ...]:
    """Pitch diameters in the plane of the limits [mm].

    Parameters
    ----------
    thread : ThreadLimits
        A taper thread, in either unit.
    gauge_turns : sequence of float
        Turns by which the gauge stops short of flush (metal is left on: positive) or goes beyond it
        (negative), for each part.
    trail : Trail, optional
        Takes the caution and the working.

    Raises
    ------
    InfeasibleError
        If the thread is parallel.

    Notes
    -----
    Source: derivation.

    Examples
    --------
    A ring that stops a turn short of flush on 1-11.5 NPT is at the limit, 1.24406 in:

    >>> from threadwright_service.calc.threads.limits import thread_limits
    >>> pipe = thread_limits(designation="1-11.5 NPT", side="external")
    >>> round(pitch_diameters_by_turns_mm(pipe, [1.0])[0] / 25.4, 5)
    1.24406
    """
    metric = thread.in_millimetres()
    taper = metric.form.taper_ratio
    if not taper:
        raise InfeasibleError(
            f"{metric.designation} is parallel: a gauge goes its whole way or is refused",
            parameter="gauge_turns",
            value=list(gauge_turns),
            accepted="a taper thread, or gauge_go and gauge_not_go",
        )
    if trail is not None:
        trail.caution(
            "sizes-by-gauge",
            "the gauge tells the size at which the thread acts, with its errors of lead and flank "
            "angle in it: the pitch diameters here are those of a perfect thread",
        )
    sense = 1.0 if metric.side == "external" else -1.0
    return tuple(
        BY_TURNS(trail, metric.basic.pitch_diameter, sense, turns, metric.pitch, taper)
        for turns in gauge_turns
    )
