"""Percentage of thread: the hole for a share of the full depth, and the share that a hole leaves.

Two conventions for 60° threads are in use, and a third number is needed for other forms:

``3H/4``
    Full depth is 3/4 H, that of the American National form, which tap drill tables still use.
``5H/8``
    Full depth is 5/8 H, that of the basic profile of ISO 68-1 and ASME B1.1.
``basic``
    Full depth is the form's own basic depth, for forms that are not 60°.
"""

from __future__ import annotations

import math
from typing import Final, Literal, get_args

from threadwright_service.calc.errors import OutOfRangeError, UnknownDesignationError
from threadwright_service.calc.threads.thread import ThreadForm
from threadwright_service.calc.trail import Formula, Trail

Convention = Literal["3H/4", "5H/8", "basic"]
CONVENTIONS: Final[tuple[Convention, ...]] = get_args(Convention)

LARGEST_PERCENTAGE: Final = 120.0
"""Beyond it no convention gives a hole that a thread could be cut in (common practice)."""

_HEIGHT_RATIO: Final = math.sqrt(3) / 2
"""H over P of a sharp 60° triangle."""

HOLE: Final = Formula(
    "hole for a percentage of thread",
    "D_h",
    "D - 2*k*P * p/100",
    "D k P p",
    unit="mm",
    source="machinerys-handbook-31, page 2155 (k = 0.649519 for 3H/4)",
)
PERCENTAGE: Final = Formula(
    "percentage of thread of a hole",
    "p",
    "100 * (D - D_h) / (2*k*P)",
    "D D_h k P",
    unit="%",
    source="machinerys-handbook-31, page 2155 (k = 0.649519 for 3H/4)",
)


def depth_ratio(convention: Convention, form: ThreadForm | None = None) -> float:
    """Full depth of thread over the pitch, on one side.

    Parameters
    ----------
    convention : "3H/4", "5H/8" or "basic"
    form : ThreadForm, optional
        The form whose basic depth ``basic`` means; not needed for the others.

    Raises
    ------
    UnknownDesignationError
        If the convention is not known, or ``basic`` has no form.

    Notes
    -----
    Source: machinerys-handbook-31, page 2155 for 3H/4; the form of ISO 68-1 for 5H/8.

    Examples
    --------
    >>> round(2 * depth_ratio("3H/4"), 5), round(2 * depth_ratio("5H/8"), 5)
    (1.29904, 1.08253)
    """
    if convention == "3H/4":
        return 3 / 4 * _HEIGHT_RATIO
    if convention == "5H/8":
        return 5 / 8 * _HEIGHT_RATIO
    if convention == "basic" and form is not None:
        return form.addendum_ratio + form.dedendum_ratio
    raise UnknownDesignationError(
        f"{convention!r} is not a convention for the percentage of thread",
        parameter="convention",
        value=convention,
        accepted=", ".join(CONVENTIONS),
    )


def hole_for_percentage_mm(
    *,
    nominal_diameter_mm: float,
    pitch_mm: float,
    thread_percentage: float,
    convention: Convention,
    form: ThreadForm | None = None,
    trail: Trail | None = None,
) -> float:
    """Hole diameter that leaves a percentage of the full depth of thread [mm].

    Parameters
    ----------
    nominal_diameter_mm : float
        Basic major diameter, D [mm]; above 0.
    pitch_mm : float
        Pitch, P [mm]; above 0.
    thread_percentage : float
        Percentage of the full depth; above 0, at most 120.
    convention : "3H/4", "5H/8" or "basic"
        What the full depth is.
    form : ThreadForm, optional
        As in :func:`depth_ratio`.
    trail : Trail, optional
        Takes the working.

    Raises
    ------
    OutOfRangeError
        If a number is outside its range, or the thread is too deep for the diameter.
    UnknownDesignationError
        If the convention is not known.

    Notes
    -----
    Source: machinerys-handbook-31, page 2155.

    Examples
    --------
    The handbook's page 2168: 3/4-16, 100 %, hole 0.6688 in.

    >>> hole = hole_for_percentage_mm(
    ...     nominal_diameter_mm=0.75 * 25.4, pitch_mm=25.4 / 16,
    ...     thread_percentage=100, convention="3H/4",
    ... )
    >>> round(hole / 25.4, 4)
    0.6688
    """
    check_thread(nominal_diameter_mm, pitch_mm)
    check_percentage(thread_percentage)
    hole_mm = HOLE(
        trail, nominal_diameter_mm, depth_ratio(convention, form), pitch_mm, thread_percentage
    )
    if hole_mm <= 0:
        raise OutOfRangeError(
            f"a pitch of {pitch_mm:g} mm is too coarse for {nominal_diameter_mm:g} mm: "
            f"{thread_percentage:g} % of thread leaves no hole",
            parameter="thread_percentage",
            value=thread_percentage,
            accepted="a smaller percentage or a finer pitch",
        )
    return hole_mm


def thread_percentage_of_hole(
    *,
    nominal_diameter_mm: float,
    pitch_mm: float,
    hole_diameter_mm: float,
    convention: Convention,
    form: ThreadForm | None = None,
    trail: Trail | None = None,
) -> float:
    """Percentage of the full depth of thread that a hole leaves.

    Parameters
    ----------
    nominal_diameter_mm : float
        Basic major diameter, D [mm]; above 0.
    pitch_mm : float
        Pitch, P [mm]; above 0.
    hole_diameter_mm : float
        Hole before threading [mm]; above 0, below the major diameter.
    convention, form
        As in :func:`hole_for_percentage_mm`.
    trail : Trail, optional
        Takes the working.

    Raises
    ------
    OutOfRangeError
        If a number is outside its range.
    UnknownDesignationError
        If the convention is not known.

    Notes
    -----
    Source: machinerys-handbook-31, page 2155.

    Examples
    --------
    A number 7 drill (0.2010 in) for 1/4-20 leaves 75 % by the one convention, 90 % by the other:

    >>> for convention in ("3H/4", "5H/8"):
    ...     share = thread_percentage_of_hole(
    ...         nominal_diameter_mm=6.35, pitch_mm=1.27, hole_diameter_mm=0.201 * 25.4,
    ...         convention=convention,
    ...     )
    ...     print(f"{share:.1f}")
    75.4
    90.5
    """
    check_thread(nominal_diameter_mm, pitch_mm)
    check_hole(hole_diameter_mm, nominal_diameter_mm)
    return PERCENTAGE(
        trail, nominal_diameter_mm, hole_diameter_mm, depth_ratio(convention, form), pitch_mm
    )


def check_percentage(thread_percentage: float) -> None:
    """Refuse a percentage that no thread has.

    Raises
    ------
    OutOfRangeError
        If it is not above 0 and at most 120.

    Notes
    -----
    Source: common practice.
    """
    if not 0 < thread_percentage <= LARGEST_PERCENTAGE:
        raise OutOfRangeError(
            f"{thread_percentage:g} % of thread cannot be made",
            parameter="thread_percentage",
            value=thread_percentage,
            accepted=f"above 0 and at most {LARGEST_PERCENTAGE:g}",
        )


def check_hole(hole_diameter_mm: float, nominal_diameter_mm: float) -> None:
    """Refuse a hole that leaves no thread.

    Raises
    ------
    OutOfRangeError
        If the hole is not above 0 and below the major diameter.

    Notes
    -----
    Source: common practice.
    """
    if not 0 < hole_diameter_mm < nominal_diameter_mm:
        raise OutOfRangeError(
            f"a hole of {hole_diameter_mm:g} mm leaves no thread of {nominal_diameter_mm:g} mm",
            parameter="hole_diameter",
            value=hole_diameter_mm,
            accepted=f"above 0 mm and below {nominal_diameter_mm:g} mm",
        )


def check_thread(nominal_diameter_mm: float, pitch_mm: float) -> None:
    """Refuse a diameter or a pitch that is no size.

    Raises
    ------
    OutOfRangeError
        If one is not a positive finite number.

    Notes
    -----
    Source: common practice.
    """
    for parameter, value in (("nominal_diameter", nominal_diameter_mm), ("pitch", pitch_mm)):
        if not (math.isfinite(value) and value > 0):
            raise OutOfRangeError(
                f"{parameter} is {value:g} mm",
                parameter=parameter,
                value=value,
                accepted="a finite number above 0",
            )
