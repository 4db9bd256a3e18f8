"""Basic profile and basic dimensions of ISO metric threads.

Basic diameters are rounded to 0.001 mm before any deviation is added, as ISO 724 prints them.
"""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.rounding import half_up
from threadwright_service.calc.threads.thread import Diameters, ThreadForm
from threadwright_service.calc.trail import Formula, Trail

PLACES: Final = 3
TRIANGLE_HEIGHT: Final = Formula(
    "height of the fundamental triangle", "H", "sqrt(3) / 2 * P", "P",
    unit="mm", source="iso-68-1, basic profile",
)  # fmt: skip
NOMINAL: Final = Formula("basic major diameter", "d", "d", "d", unit="mm", source="iso-724")
PITCH_DIAMETER: Final = Formula(
    "basic pitch diameter", "d2", "d - 3/4 * H", "d H", unit="mm", source="iso-724"
)
MINOR_DIAMETER: Final = Formula(
    "basic minor diameter", "d1", "d - 5/4 * H", "d H", unit="mm", source="iso-724"
)
STRESS_AREA: Final = Formula(
    "tensile stress area", "As", "pi / 4 * (d - 3/8 * H - 17/24 * H) ** 2", "d H",
    unit="mm2", source="iso-898-1, stress area on the mean of d2 and d3 = d1 - H/6",
)  # fmt: skip

_HEIGHT: Final = 0.866025403784438647
"""Height of the fundamental triangle over the pitch, sqrt(3) / 2."""
FORM: Final = ThreadForm(
    name="ISO metric, 60 degrees",
    pressure_flank_angle_deg=30.0,
    clearance_flank_angle_deg=30.0,
    addendum_ratio=3 / 8 * _HEIGHT,
    dedendum_ratio=1 / 4 * _HEIGHT,
    external_root_ratio=1 / 2 * _HEIGHT - 1 / 8,
    internal_root_ratio=3 / 8 * _HEIGHT,
    external_root_flat_ratio=0.0,
    internal_root_flat_ratio=1 / 8,
)
"""The smallest external root radius, P/8, touches the flanks and ends H/2 - P/8 below the pitch
line."""


def basic_diameters_mm(
    *, diameter_mm: float, pitch_mm: float, trail: Trail | None = None
) -> Diameters:
    """Basic diameters of an ISO metric thread [mm], rounded to 0.001 mm.

    Parameters
    ----------
    diameter_mm : float
        Nominal diameter, d [mm].
    pitch_mm : float
        Pitch, P [mm].
    trail : Trail, optional
        Takes the working.

    Notes
    -----
    Source: iso-724; iso-68-1 for the profile.

    Examples
    --------
    The row d = 10, P = 1.5 of ISO 724:

    >>> basic = basic_diameters_mm(diameter_mm=10.0, pitch_mm=1.5)
    >>> basic.pitch_diameter, basic.minor_diameter
    (9.026, 8.376)
    """
    height_mm = TRIANGLE_HEIGHT(trail, pitch_mm)
    return Diameters(
        major_diameter=NOMINAL.rounded(trail, diameter_mm, to=half_up, places=PLACES),
        pitch_diameter=PITCH_DIAMETER.rounded(
            trail, diameter_mm, height_mm, to=half_up, places=PLACES
        ),
        minor_diameter=MINOR_DIAMETER.rounded(
            trail, diameter_mm, height_mm, to=half_up, places=PLACES
        ),
    )
