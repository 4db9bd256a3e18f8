"""The jobs that the workbook opens with; all invented."""

from __future__ import annotations

from typing import Final

Entry = dict[str, str | float]

WIRE: Final = 0.866
FIRST_READING: Final = 24.262
"""Reading over these wires of the first levelling screw."""

MACHINES: Final[tuple[Entry, ...]] = (
    {
        "name": "Machining centre",
        "spindle_speed_max": 8000,
        "spindle_power_kw": 5.5,
        "rapid_rate": 15000,
        "acceleration_g": 0.4,
        "machine_rate": 65,
    },
    {
        "name": "Lathe",
        "spindle_speed_max": 2500,
        "spindle_power_kw": 7.5,
        "rapid_rate": 10000,
        "acceleration_g": 0.3,
        "machine_rate": 55,
    },
)

CUTTERS: Final[tuple[Entry, ...]] = (
    {
        "name": "Thread mill 16 mm",
        "unit": "mm",
        "cutter_profile": "single",
        "cutter_diameter": 16,
        "cutter_teeth": 5,
        "cutter_nose_flat": 0.1,
        "cutter_included_angle_deg": 60,
        "cutter_neck_diameter": 12,
        "cutter_neck_length": 45,
        "cutter_shank_diameter": 16,
        "cutter_stick_out": 45,
        "tool_cost": 140,
        "tool_life_min": 90,
    },
    {
        "name": "Thread mill 3/8 in",
        "unit": "in",
        "cutter_profile": "single",
        "cutter_diameter": 0.375,
        "cutter_teeth": 4,
        "cutter_nose_flat": 0.004,
        "cutter_neck_diameter": 0.27,
        "cutter_neck_length": 1.5,
        "cutter_shank_diameter": 0.375,
        "cutter_stick_out": 1.6,
        "tool_cost": 95,
        "tool_life_min": 60,
    },
    {
        "name": "Thread mill 3/4 in",
        "unit": "in",
        "cutter_profile": "single",
        "cutter_diameter": 0.75,
        "cutter_teeth": 5,
        "cutter_nose_radius": 0.003,
        "cutter_neck_diameter": 0.55,
        "cutter_neck_length": 1.2,
        "cutter_shank_diameter": 0.75,
        "cutter_stick_out": 1.4,
        "tool_cost": 120,
        "tool_life_min": 90,
    },
    {"name": "Threading edge Tr 6", "tool_cost": 14, "tool_life_min": 20},
)

JOBS: Final[tuple[Entry, ...]] = (
    {
        "job": "Levelling screws",
        "designation": "M24x1.5-6g",
        "unit": "mm",
        "material": "17-4 PH",
        "hardness": 42,
        "hardness_scale": "HRC",
        "thread_length": 28,
        "shoulder_distance": 4,
        "thread_process": "milled",
        "cutter": "Thread mill 16 mm",
        "machine": "Machining centre",
        "quantity": 18,
        "quantity_left": 9,
        "setup_time_min": 45,
        "load_time_s": 90,
        "material_cost": 6.5,
    },
    {
        "job": "Die-clamp studs",
        "designation": "3/4-16 UNF-2A",
        "unit": "in",
        "material": "D2",
        "hardness": 58,
        "hardness_scale": "HRC",
        "thread_length": 1.25,
        "thread_process": "milled",
        "cutter": "Thread mill 3/8 in",
        "machine": "Machining centre",
        "quantity": 12,
        "setup_time_min": 60,
        "load_time_s": 120,
        "material_cost": 9,
    },
    {
        "job": "Ring nuts",
        "designation": "1 3/8-12 UN-2B",
        "unit": "in",
        "material": "42CrMo4",
        "hardness": 38,
        "hardness_scale": "HRC",
        "thread_length": 0.8,
        "shoulder_distance": 0.2,
        "hole_diameter": 1.294,
        "thread_process": "milled",
        "cutter": "Thread mill 3/4 in",
        "machine": "Machining centre",
        "quantity": 40,
        "setup_time_min": 40,
        "load_time_s": 60,
        "material_cost": 4.2,
    },
    {
        "job": "Feed screw",
        "designation": "Tr32x6-7e",
        "unit": "mm",
        "material": "free-machining steel",
        "thread_length": 220,
        "thread_process": "turned",
        "cutter": "Threading edge Tr 6",
        "machine": "Lathe",
        "passes": 22,
        "spindle_speed": 280,
        "quantity": 5,
        "setup_time_min": 40,
        "load_time_s": 120,
        "material_cost": 11,
    },
)
