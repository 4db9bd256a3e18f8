"""Exact conversion factors, named; no unit classes.

The inch is 25.4 mm exactly and the pound-force follows from it (international yard and
pound agreement of 1959).
"""

from __future__ import annotations

from typing import Final

MM_PER_IN: Final = 25.4
M_PER_FT: Final = 0.3048
N_PER_LBF: Final = 4.4482216152605
STANDARD_GRAVITY_M_PER_S2: Final = 9.80665
MPA_PER_KSI: Final = 6.894757293168361
