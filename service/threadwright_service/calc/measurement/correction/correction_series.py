"""A series of measured parts: checked, with the corrections made in between taken out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, MissingInputError, OutOfRangeError
from threadwright_service.calc.measurement.correction.correction_target import Band
from threadwright_service.calc.measurement.plausible_size import check_plausible
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Formula, Trail

GAIN: Final = Formula(
    "gain of a correction: commanded over observed change",
    "g",
    "2*c / x_d",
    "c x_d",
    unit="",
    source="derivation",
)

SMALLEST_GAIN_RATIO: Final = 0.7
LARGEST_GAIN_RATIO: Final = 1.5
"""Beyond these the next step is not scaled further (common practice)."""

_WILDEST_GAIN_RATIO: Final = 4.0
_SURE_STEP: Final = 14.0
"""Standard deviations of one reading that a step needs for its gain to be known to a tenth."""

_MOST_PARTS: Final = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """Measured parts in the order in which they were made.

    ``left_mm`` is the metal left on each above the middle of the tolerance;
    ``corrections_mm`` the change of the radius offset before each.
    """

    numbers: tuple[int, ...]
    sizes_mm: tuple[float, ...]
    left_mm: tuple[float, ...]
    corrections_mm: tuple[float, ...]

    @property
    def parts_at_this_setting(self) -> int:
        """Parts measured since the offset was last touched."""
        count = 0
        for correction in reversed(self.corrections_mm):
            count += 1
            if correction:
                break
        return count

    def since(self, number: int) -> Series:
        """The parts from a running number on; what was corrected before counts as the start."""
        first = next(index for index, each in enumerate(self.numbers) if each >= number)
        return Series(
            numbers=self.numbers[first:],
            sizes_mm=self.sizes_mm[first:],
            left_mm=self.left_mm[first:],
            corrections_mm=(0.0, *self.corrections_mm[first + 1 :]),
        )

    def without_corrections_mm(self, gain_ratio: float) -> tuple[float, ...]:
        """Metal that would have been left on each part without any correction."""
        return tuple(
            left - 2 * total / gain_ratio
            for left, total in zip(self.left_mm, accumulate(self.corrections_mm), strict=True)
        )


def series_of(
    *,
    thread: ThreadLimits,
    band: Band,
    pitch_diameters_mm: Sequence[float],
    part_numbers: Sequence[int] | None,
    corrections_mm: Sequence[float] | None,
    trail: Trail | None = None,
) -> Series:
    """Check a series of sizes.

    Parameters
    ----------
    thread : ThreadLimits
        The thread, in millimetres.
    band : Band
        Its tolerance.
    pitch_diameters_mm : sequence of float
        Measured pitch diameters in the order in which the parts were made [mm]; 1 to 1,000.
    part_numbers : sequence of int or None
        Running numbers; 1, 2, 3 … if not given.
    corrections_mm : sequence of float or None
        Change of the radius offset made before each part [mm]; none if not given.
    trail : Trail, optional
        Takes assumptions.

    Raises
    ------
    MissingInputError
        If there is no size.
    OutOfRangeError
        If a number is not finite, a size cannot be a pitch diameter of this thread, a correction is
        larger than the pitch, or the part numbers do not rise.
    InfeasibleError
        If the lists are not of one length.

    Notes
    -----
    Source: common practice.
    """
    sizes = tuple(float(size) for size in pitch_diameters_mm)
    if not sizes:
        raise MissingInputError(
            "no size was measured", parameter="measured", accepted="1 to 1,000 sizes"
        )
    if len(sizes) > _MOST_PARTS:
        raise OutOfRangeError(
            f"{len(sizes)} sizes are more than {_MOST_PARTS}",
            parameter="measured",
            value=len(sizes),
            accepted=f"1 to {_MOST_PARTS} sizes",
        )
    for size in sizes:
        check_plausible(
            size_mm=size,
            expected_mm=thread.basic.pitch_diameter,
            pitch_mm=thread.pitch,
            parameter="measured",
            what=f"a pitch diameter of {thread.designation}; a reading over wires must say so",
        )
    if part_numbers is None:
        numbers = tuple(range(1, len(sizes) + 1))
        if len(sizes) > 1 and trail is not None:
            trail.assume(
                "part_numbers", f"1 to {len(sizes)}", "none given; every part was measured"
            )
    else:
        numbers = _numbers(part_numbers, len(sizes))
    if corrections_mm is None:
        corrections = (0.0,) * len(sizes)
        if len(sizes) > 1 and trail is not None:
            trail.assume("corrections", 0.0, "none given; the offset was not touched", unit="mm")
    else:
        corrections = _corrections(corrections_mm, len(sizes), thread.pitch)
    return Series(
        numbers=numbers,
        sizes_mm=sizes,
        left_mm=tuple(band.metal_left_mm(size) for size in sizes),
        corrections_mm=corrections,
    )


def gain_of(
    *,
    series: Series,
    reading_spread_mm: float | None,
    drift_mm: float,
    trail: Trail | None = None,
) -> tuple[float, str]:
    """How much more must be commanded than is wanted, from the last correction, and why.

    Parameters
    ----------
    series : Series
        The parts of one cutter.
    reading_spread_mm : float or None
        Standard deviation of one reading, process and instrument together [mm], if known.
    drift_mm : float
        Drift in metal left on for each part, where it is known from elsewhere [mm].
    trail : Trail, optional
        Takes the working and cautions.

    Returns
    -------
    tuple of float and str
        The gain, 1 while it cannot be told, and the reason; not limited.

    Notes
    -----
    Source: derivation. A step is used if its gain comes out to about a tenth, 14 standard
    deviations; a gain within its own uncertainty of 1 is taken as 1, because following it would
    only add noise.
    """
    steps = [index for index, correction in enumerate(series.corrections_mm) if correction]
    steps = [index for index in steps if index > 0]
    if not steps:
        return 1.0, "first correction"
    last = steps[-1]
    commanded = series.corrections_mm[last]
    if reading_spread_mm is None:
        return 1.0, "the uncertainty is not known, so the last step cannot be judged"
    if abs(2 * commanded) < _SURE_STEP * reading_spread_mm:
        return 1.0, "the last step was too small beside the uncertainty to be judged"
    passed = series.numbers[last] - series.numbers[last - 1]
    observed = series.left_mm[last] - series.left_mm[last - 1] - drift_mm * passed
    if observed * commanded <= 0 or abs(2 * commanded / observed) > _WILDEST_GAIN_RATIO:
        if trail is not None:
            trail.caution(
                "correction-without-effect",
                f"The last correction of {commanded:.4g} mm on the radius moved the metal left on "
                f"by {observed:.4g} mm instead of {2 * commanded:.4g} mm: check that the right "
                "offset was changed and is read in the right sense. It is not scaled by this.",
            )
        return 1.0, "the last step did not act as it should"
    gain = GAIN(trail, commanded, observed)
    doubt = 2 * math.sqrt(2) * reading_spread_mm / abs(2 * commanded)
    if abs(gain - 1) <= doubt:
        return 1.0, "the last step acted as commanded, as far as can be measured"
    if not SMALLEST_GAIN_RATIO <= gain <= LARGEST_GAIN_RATIO and trail is not None:
        trail.caution(
            "correction-acts-wrongly",
            f"The last correction moved the size by {1 / gain:.2f} of what was commanded: check "
            "whether the offset is a radius or a diameter, and whether the part moved. The next "
            f"step is scaled by {SMALLEST_GAIN_RATIO:g} to {LARGEST_GAIN_RATIO:g} at most.",
        )
    return gain, "commanded over observed change of the last step"


def _numbers(part_numbers: Sequence[int], count: int) -> tuple[int, ...]:
    numbers = tuple(part_numbers)
    if len(numbers) != count:
        raise InfeasibleError(
            f"{len(numbers)} part numbers do not go with {count} sizes",
            parameter="part_numbers",
            value=list(numbers),
            accepted=f"{count} whole numbers",
        )
    rises = all(later > earlier for earlier, later in pairwise(numbers))
    if not rises or numbers[0] < 1 or numbers[-1] > 10_000_000:
        raise OutOfRangeError(
            "the part numbers do not rise",
            parameter="part_numbers",
            value=list(numbers),
            accepted="whole numbers from 1, each larger than the one before",
        )
    return numbers


def _corrections(corrections_mm: Sequence[float], count: int, pitch_mm: float) -> tuple[float, ...]:
    corrections = tuple(float(each) for each in corrections_mm)
    if len(corrections) != count:
        raise InfeasibleError(
            f"{len(corrections)} corrections do not go with {count} sizes",
            parameter="corrections",
            value=list(corrections),
            accepted=f"{count} numbers, the one before each part; 0 where there was none",
        )
    for correction in corrections:
        if not (math.isfinite(correction) and abs(correction) <= pitch_mm):
            raise OutOfRangeError(
                f"a correction of {correction:g} mm on the radius is more than the pitch",
                parameter="corrections",
                value=correction,
                accepted=f"-{pitch_mm:g} mm to {pitch_mm:g} mm",
            )
    return corrections
