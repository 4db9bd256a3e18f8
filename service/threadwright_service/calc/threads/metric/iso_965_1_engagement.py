"""Groups of length of engagement of ISO metric threads: S, N and L.

The group does not change a tolerance; the standard recommends another class for a short and a
long engagement. The class of the call-out stays, and a caution names the recommended one.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Final, NamedTuple

from threadwright_service.calc.errors import AmbiguousError, OutOfRangeError
from threadwright_service.calc.tables import load
from threadwright_service.calc.threads.call_out import LengthGroup
from threadwright_service.calc.threads.metric.iso_965_1_classes import RECOMMENDED, MetricClass
from threadwright_service.calc.threads.metric.iso_965_1_tolerances import range_over_mm

_ABSURD_DIAMETERS: Final = 10.0
"""A longer engagement than this many diameters is taken for a slip of the keyboard."""

Remark = tuple[str, str]
"""Code and sentence of a caution."""


class Engagement(NamedTuple):
    """The lengths between which an engagement is of group N [mm], and what they rest on."""

    over_mm: float
    upto_mm: float
    basis: str

    def group(self, length_mm: float) -> LengthGroup:
        """S up to the lower length, L over the upper one, N between."""
        if length_mm <= self.over_mm:
            return "S"
        return "N" if length_mm <= self.upto_mm else "L"


@cache
def _engagements() -> Mapping[tuple[float, float], Engagement]:
    return {
        (float(row["d_over_mm"]), float(row["pitch_mm"])): Engagement(
            float(row["n_over_um"]) / 1000, float(row["n_upto_um"]) / 1000, str(row["basis"])[0]
        )
        for row in load(__package__, "tables/iso_965_1_engagement")
    }


def engagement(*, diameter_mm: float, pitch_mm: float) -> Engagement | None:
    """Lengths of engagement of group N, where ISO 965-1 has them for this pair.

    Notes
    -----
    Source: iso-965-1, length of engagement.

    Examples
    --------
    >>> engagement(diameter_mm=24, pitch_mm=1.5).group(16)
    'N'
    """
    return _engagements().get((range_over_mm(diameter_mm), pitch_mm))


def engagement_group(
    tolerance_class: MetricClass,
    *,
    diameter_mm: float,
    pitch_mm: float,
    length_mm: float | None,
    called_out: LengthGroup,
) -> tuple[LengthGroup, list[Remark]]:
    """The group of a thread's engagement, and what it makes worth saying.

    Parameters
    ----------
    tolerance_class : MetricClass
        The class, for the recommendation.
    diameter_mm, pitch_mm : float
        Nominal diameter and pitch [mm].
    length_mm : float or None
        Length of engagement [mm], if it is known.
    called_out : "", "S", "N" or "L"
        The group that the call-out names. Neither this nor a length means N.

    Returns
    -------
    tuple
        The group, empty if a length is given that the standard has no groups for; cautions as
        pairs of code and sentence.

    Raises
    ------
    OutOfRangeError
        If the length is below one pitch or above ten diameters.
    AmbiguousError
        If the length is not of the group that the call-out names.

    Notes
    -----
    Source: iso-965-1, length of engagement; the recommended classes from memory.
    """
    remarks: list[Remark] = []
    group: LengthGroup = called_out or "N"
    if length_mm is not None:
        if not pitch_mm <= length_mm <= _ABSURD_DIAMETERS * diameter_mm:
            raise OutOfRangeError(
                f"a length of engagement of {length_mm:g} mm; between one pitch and "
                f"{_ABSURD_DIAMETERS:g} diameters are taken",
                parameter="length_of_engagement",
                value=length_mm,
                accepted=f"{pitch_mm:g} mm to {_ABSURD_DIAMETERS * diameter_mm:g} mm",
            )
        known = engagement(diameter_mm=diameter_mm, pitch_mm=pitch_mm)
        if known is None:
            group = called_out
            remarks.append(
                (
                    "engagement-not-tabulated",
                    "ISO 965-1 has no lengths of engagement for this pair, so the group of the "
                    "given length is not known; the class is computed as called out.",
                )
            )
        elif called_out and known.group(length_mm) != called_out:
            raise AmbiguousError(
                f"{length_mm:g} mm of engagement are group {known.group(length_mm)}, the call-out "
                f"says {called_out}",
                parameter="length_of_engagement",
                value=length_mm,
                accepted=f"group N is over {known.over_mm:g} mm up to {known.upto_mm:g} mm",
            )
        else:
            group = known.group(length_mm)
    if group in {"S", "L"} and tolerance_class.text == RECOMMENDED[tolerance_class.side, "N"]:
        remarks.append(
            (
                "class-for-engagement",
                f"Class {tolerance_class.text} is meant for engagement N; for group {group} ISO "
                f"965-1 recommends {RECOMMENDED[tolerance_class.side, group]}. The class is "
                "computed as called out.",
            )
        )
    return group, remarks
