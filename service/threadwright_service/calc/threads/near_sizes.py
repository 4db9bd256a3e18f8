"""Standard sizes near to a size that a standard does not have, for refusals and cautions."""

from __future__ import annotations

import math
from collections.abc import Iterable

from threadwright_service.calc.threads.registry import StandardSize


def near_sizes(
    sizes: Iterable[StandardSize], *, nominal_diameter: float, pitch: float | None, count: int = 4
) -> str:
    """The nearest standard diameter-pitch pairs, as a list in words.

    Nearness is the distance on logarithmic scales; a wrong diameter counts three times as much
    as a wrong pitch, because the pitch is more often the slip.

    Examples
    --------
    >>> pairs = [StandardSize(series="Tr", size=str(d), nominal_diameter=d, pitch=p)
    ...          for d, p in ((30, 6), (32, 6), (36, 6))]
    >>> near_sizes(pairs, nominal_diameter=31, pitch=6, count=2)
    '30x6, 32x6'
    """

    def distance(size: StandardSize) -> float:
        across = abs(math.log(size.nominal_diameter / nominal_diameter))
        return 3 * across + (0.0 if pitch is None else abs(math.log(size.pitch / pitch)))

    nearest = sorted(sizes, key=distance)[:count]
    nearest.sort(key=lambda size: (size.nominal_diameter, size.pitch))
    return ", ".join(
        f"{size.size}-{size.threads_per_inch:g}"
        if size.threads_per_inch is not None
        else f"{size.size}x{size.pitch:g}"
        for size in nearest
    )
