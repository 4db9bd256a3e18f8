"""Which option may have been meant by one that a command does not take.

The words are the service's own, written out here once more because the client shares no code with
it; a test holds the two tables to each other.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from difflib import get_close_matches
from typing import Final

_CLOSE: Final = 0.8
_MOST: Final = 3

SHOP_WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    "accel": ("acceleration_g",),
    "angle": ("cutter_included_angle_deg",),
    "chipload": ("feed_per_tooth",),
    "drill": ("hole_diameter", "drill_diameter"),
    "feed": ("feed_rate", "feed_per_tooth", "feed_centre"),
    "feedrate": ("feed_rate", "feed_centre"),
    "flute": ("cutter_teeth",),
    "flutes": ("cutter_teeth",),
    "from": ("scale",),
    "fz": ("feed_per_tooth",),
    "grade": ("material",),
    "ipm": ("feed_rate", "feed_centre"),
    "ipt": ("feed_per_tooth",),
    "length": ("thread_length",),
    "lot_size": ("quantity",),
    "lh": ("hand",),
    "major_diameter": ("blank_diameter", "nominal_diameter"),
    "operation": ("process",),
    "parts": ("quantity",),
    "power": ("spindle_power_kw",),
    "qty": ("quantity",),
    "rate": ("machine_rate", "labour_rate"),
    "reading": ("measured",),
    "readings": ("measured",),
    "reach": ("cutter_neck_length", "cutter_stick_out"),
    "rh": ("hand",),
    "rpm": ("spindle_speed", "spindle_speed_max"),
    "rpm_max": ("spindle_speed_max",),
    "sfm": ("surface_speed",),
    "size": ("designation", "nominal_diameter"),
    "speed": ("surface_speed", "spindle_speed"),
    "thread": ("designation",),
    "tolerance": ("tolerance_class",),
    "tpi": ("threads_per_inch",),
    "vc": ("surface_speed",),
}
"""What shops, drawings and controls call it, and the keys that stand for it (common practice)."""


def near_options(option: str, known: Collection[str]) -> list[str]:
    """The options that are close to this one, as the service tells it of keys; or none."""
    keys = {each.removeprefix("--").replace("-", "_"): each for each in known}
    plain = option.removeprefix("--").lower().replace("-", "_")
    meant = [name for name in SHOP_WORDS.get(plain, ()) if name in keys]
    if not meant:
        words = set(plain.split("_"))
        within = [name for name in keys if words <= set(name.split("_"))]
        slips = get_close_matches(plain, keys, n=_MOST, cutoff=_CLOSE)
        meant = [*sorted(within, key=lambda name: name.count("_"))[:_MOST], *slips]
    return [keys[name] for name in dict.fromkeys(meant)][:_MOST]
