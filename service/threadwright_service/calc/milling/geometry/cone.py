"""The cone on which a thread lies: a taper thread's own, a cylinder for every other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail

_GAUGE_LENGTHS: Final = ("length_hand_tight", "gauge_length")
"""Names of the length from the small end of an outside thread to its gauge plane."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cone:
    """How a radius changes along the axis, and where it is stated.

    Heights are those of the path: 0 at the face where the thread begins, positive out of the part.
    Outside a taper thread has its small end at the face, inside its large one.

    Examples
    --------
    1/2-14 NPT outside, gauge plane 0.320 in below the face; 0.01 in smaller in radius there:

    >>> cone = Cone(radius_gain_ratio=-1 / 32, plane_height_mm=-8.128)
    >>> round(cone.radius_mm(10.0, 0.0), 3)
    9.746
    """

    radius_gain_ratio: float = 0.0
    """Gain of the radius for each millimetre out of the part."""
    plane_height_mm: float = 0.0
    """Height of the plane in which diameters are stated."""

    @property
    def is_cylinder(self) -> bool:
        """Whether the thread is parallel."""
        return self.radius_gain_ratio == 0

    def radius_mm(self, stated_mm: float, height_mm: float) -> float:
        """A radius at a height, from the one that is stated for the plane [mm]."""
        return stated_mm + self.radius_gain_ratio * (height_mm - self.plane_height_mm)


CYLINDER: Final = Cone()

_LONGEST_LENGTHS: Final = ("length_overall", "useful_thread_length_max")
"""Names of the length of the whole thread, the vanishing one or the tolerance included."""
_LONGEST_RATIO: Final = 3.0
"""A thread of more of these lengths is taken for a slip of the keyboard."""


def check_taper_length(
    thread: ThreadLimits, thread_length_mm: float, *, trail: Trail | None = None
) -> None:
    """Refuse a taper thread of absurd length; note one that is longer than the standard's.

    Raises
    ------
    OutOfRangeError
        If it is longer than three of the standard's whole lengths.

    Notes
    -----
    Source: asme-b1-20-1, L4; iso-7-1, useful thread; the factor is common practice.
    """
    metric = thread.in_millimetres()
    if not metric.form.taper_ratio:
        return
    whole_mm = next(metric.reference[name] for name in _LONGEST_LENGTHS if name in metric.reference)
    if thread_length_mm > _LONGEST_RATIO * whole_mm:
        raise OutOfRangeError(
            f"a thread of {thread_length_mm:.4f} mm; {metric.designation} has {whole_mm:.4f} mm "
            "in all, and its diameter changes all the way",
            parameter="thread_length",
            value=thread_length_mm,
            accepted=f"up to {_LONGEST_RATIO * whole_mm:.4f} mm",
        )
    if trail is not None and thread_length_mm > whole_mm:
        trail.caution(
            "taper-long",
            f"the thread is {thread_length_mm:.4f} mm long; {metric.designation} has "
            f"{whole_mm:.4f} mm in all",
        )


def cone_of(thread: ThreadLimits) -> Cone:
    """The cone of a thread, with the plane in which its limits hold.

    Notes
    -----
    Source: asme-b1-20-1, iso-7-1: the gauge plane lies the gauge length (hand-tight engagement)
    from the small end outside, and at the face inside.
    """
    metric = thread.in_millimetres()
    if not metric.form.taper_ratio:
        return CYLINDER
    known = metric.reference
    towards_large_mm = known.get("distance_from_gauge_plane", 0.0)
    half_taper = metric.form.taper_ratio / 2
    if metric.side == "internal":
        return Cone(radius_gain_ratio=half_taper, plane_height_mm=towards_large_mm)
    # Away from the face is towards the large end.
    gauge_mm = next(known[name] for name in _GAUGE_LENGTHS if name in known)
    return Cone(radius_gain_ratio=-half_taper, plane_height_mm=-(gauge_mm + towards_large_mm))
