"""Work by hand that gets quicker with practice."""

from __future__ import annotations

import math
from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.times.ranges import count
from threadwright_service.calc.trail import Formula, Trail

EXPONENT: Final = Formula(
    "exponent of the learning curve",
    "b",
    "log(r) / log(2)",
    "r",
    unit="",
    source="learning-curve-1944",
)
MEAN: Final = Formula(
    "mean time of the parts of the lot as a share of the first",
    "m",
    "S / n",
    "S n",
    unit="",
    source="learning-curve-1944",
)
SUMMED: Final = 2_000
"""Parts up to which the unit times are added one by one."""


def cumulative_ratio(*, quantity: int, learning_share: float) -> float:
    r"""Time of all parts of a lot in times of the first one.

    .. math:: S = \sum_{i=1}^{n} i^{b}, \qquad b = \log_2 r

    Parameters
    ----------
    quantity : int
        Parts, n.
    learning_share : float
        Time of a part at twice the quantity as a share of the time before, r; 0.5 to 1.

    Raises
    ------
    OutOfRangeError
        If the share is outside 0.5 to 1 or there is no part.

    Notes
    -----
    Source: learning-curve-1944: the time of each single part falls,
    not the running mean as in Wright's
    form of 1936. Beyond 2,000 parts the tail is the Euler-Maclaurin
    sum, whose error is below a part in 10⁹.

    Examples
    --------
    Four parts at 80 %: 1 + 0.8 + 0.702 + 0.64.

    >>> cumulative_ratio(quantity=4, learning_share=0.8)
    3.142
    """
    count("quantity", quantity, least=1)
    if not 0.5 <= learning_share <= 1:
        raise OutOfRangeError(
            f"learning_share is {learning_share}; it must be between 0.5 and 1",
            parameter="learning_share",
            value=learning_share,
            accepted="0.5 to 1; 1 is no learning",
        )
    exponent = EXPONENT.function(learning_share)
    head = math.fsum(float(i) ** exponent for i in range(1, min(quantity, SUMMED) + 1))
    if quantity <= SUMMED:
        return head
    first, last = float(SUMMED), float(quantity)
    if exponent == -1:
        integral: float = math.log(last / first)
    else:
        integral = (last ** (exponent + 1) - first ** (exponent + 1)) / (exponent + 1)
    ends: float = (last**exponent - first**exponent) / 2
    bend: float = exponent * (last ** (exponent - 1) - first ** (exponent - 1)) / 12
    return float(head + integral + ends + bend)


def mean_ratio(*, quantity: int, learning_share: float, trail: Trail | None = None) -> float:
    """Mean time of a lot's parts as a share of the first part's time.

    Notes
    -----
    Source: learning-curve-1944.

    Examples
    --------
    >>> mean_ratio(quantity=2, learning_share=0.9)
    0.95
    """
    if learning_share == 1:
        return 1.0
    return MEAN(trail, cumulative_ratio(quantity=quantity, learning_share=learning_share), quantity)
