"""Whether a measured size can be one of a thread at all.

A misplaced decimal point, a reading in the other unit or a reading taken for a size would
otherwise be judged as a bad part, or moved to an offset. A thread whose flanks can be measured
lies within 0.6 of a pitch of its size: its height is 0.5 to 0.87 of the pitch, and half of it
on the diameter is already another thread.
"""

from __future__ import annotations

import math
from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.units import MM_PER_IN

FARTHEST_PITCHES: Final = 0.6
"""How far a size may be from that of the thread, in pitches."""


def check_pitch_diameter(pitch_diameter_mm: float) -> None:
    """Refuse a pitch diameter that no thread has.

    Raises
    ------
    OutOfRangeError
        If it is not above 0.
    """
    if not pitch_diameter_mm > 0:
        raise OutOfRangeError(
            f"the pitch diameter is {pitch_diameter_mm:g} mm; it must be above 0",
            parameter="pitch_diameter",
            value=pitch_diameter_mm,
            accepted="a length above 0",
        )


def check_plausible(
    *, size_mm: float, expected_mm: float, pitch_mm: float, parameter: str, what: str
) -> None:
    """Refuse a size that the thread cannot have.

    Parameters
    ----------
    size_mm, expected_mm : float
        What was measured, and what the thread has [mm].
    pitch_mm : float
        Pitch of the thread [mm].
    parameter : str
        The request's key of the measured size.
    what : str
        What the size is said to be, as ``a pitch diameter of M10x1.5-6g``.

    Raises
    ------
    OutOfRangeError
        If the size is farther from the expected one than 0.6 of a pitch.

    Notes
    -----
    Source: derivation, from the height of the thread.
    """
    farthest = FARTHEST_PITCHES * pitch_mm
    if math.isfinite(size_mm) and abs(size_mm - expected_mm) <= farthest:
        return
    hint = ""
    for factor, units in ((MM_PER_IN, "inches given as mm"), (1 / MM_PER_IN, "mm given as inches")):
        if abs(size_mm * factor - expected_mm) <= farthest:
            hint = f"; it may be {units}"
    raise OutOfRangeError(
        f"{size_mm:g} mm is not {what}{hint}",
        parameter=parameter,
        value=size_mm,
        accepted=f"{max(expected_mm - farthest, 0):.6g} mm to {expected_mm + farthest:.6g} mm",
    )
