"""Keys of the measuring operations."""

from collections.abc import Sequence
from typing import Literal, Required, TypedDict

from threadwright.keys.call import CallKeys
from threadwright.keys.threads import ThreadKeys, TreatmentKeys


class BareThreadKeys(TypedDict, total=False):
    """A thread that no standard names: its pitch diameter, pitch and flanks."""

    pitch_diameter: float
    """Pitch diameter of a thread that no standard names, with pitch and flank_angle_deg."""
    pitch_diameter_max: float
    """Its largest permitted pitch diameter."""
    pitch_diameter_min: float
    """Its smallest permitted pitch diameter."""
    flank_angle_deg: float
    """Angle of its flank from the normal to the axis, half the angle of a symmetric form."""
    clearance_flank_angle_deg: float
    """Angle of the other flank, if it differs."""


class WireMeasurementKeys(BareThreadKeys, TreatmentKeys, ThreadKeys, total=False):
    """Keys of ``wire_measurement``."""

    method: Literal["three-wire", "two-wire", "one-wire", "balls"]
    """How it is measured; over three wires outside and between balls inside if not given."""
    wire_diameter: float
    """Diameter of wire, pin or ball; the best one if not given."""
    opposite_wire_diameter: float
    """Diameter on the other side, if it differs."""
    wires_on_hand: Sequence[float]
    """Diameters on hand, from which the best usable one is chosen."""
    on_hand: Literal["sets", "single-pins"]
    """Whether each size is on hand as a set of three, or as single pins to be paired."""
    measured: float
    """A reading."""
    uncertainty: float
    """Expanded uncertainty (k = 2) of the measured pitch diameter."""
    instrument_error: float
    """Largest error of the instrument; with the next ones, in place of the uncertainty."""
    wire_uncertainty: float
    """Expanded uncertainty (k = 2) of the wire's diameter."""
    pitch_error: float
    """Largest error of the part's pitch."""
    flank_angle_error_deg: float
    """Largest error of the part's half angles."""
    repeatability: float
    """Standard deviation of repeated readings."""
    acceptance_rule: Literal["guard-band", "simple"]
    """guard-band keeps the uncertainty away from both limits; simple compares with the limits."""
    guard_band_share: float
    """Width of the guard band as a share of the uncertainty."""
    pitch_diameter_aim: float
    """Where in its tolerance the pitch diameter is aimed: 0 smallest, 1 largest."""
    major_diameter: float
    """Measured major diameter, on which the anvil rests with one wire."""
    standard_cylinder: float
    """Diameter of the cylinder that two wires are compared with."""
    standard_reading: float
    """Reading over that cylinder with the same wires."""
    ball_reading: Literal["centres", "over-balls"]
    """Whether the reading between balls is that of their centres or over their outsides."""
    ball_line: Literal["square", "slanted"]
    """Whether the balls are measured square to the axis or in grooves half a pitch apart."""
    temperature_c: float
    """Temperature of part and instrument, in degrees Celsius."""
    part_expansion_per_k: float
    """Thermal expansion of the part, for each kelvin."""


class GaugeLimitsKeys(TreatmentKeys, ThreadKeys, total=False):
    """Keys of ``gauge_limits``."""

    gauge_standard: Literal["ISO 1502", "ASME B1.2", "ASME B1.16M"]
    """Standard of the gauges; that which goes with the thread if not given."""


class SizeCorrectionKeys(TreatmentKeys, ThreadKeys, total=False):
    """Keys of ``size_correction``."""

    measured: Sequence[float]
    """Sizes measured, in the order in which the parts were made: pitch diameters, or readings over
    wires, pins or balls.
    """
    method: Literal["pitch-diameter", "three-wire", "two-wire", "one-wire", "balls"]
    """What the sizes are; pitch diameters if neither this nor wire_diameter is given."""
    wire_diameter: float
    """Diameter of the wires, pins or balls that were measured over."""
    opposite_wire_diameter: float
    """Diameter on the other side, if it differs."""
    standard_cylinder: float
    """Diameter of the cylinder that two wires are compared with."""
    standard_reading: float
    """Reading over that cylinder with the same wires."""
    major_diameter: float
    """Measured major diameter, on which the anvil rests with one wire."""
    ball_reading: Literal["centres", "over-balls"]
    """Whether the reading between balls is that of their centres or over their outsides."""
    ball_line: Literal["square", "slanted"]
    """Whether the balls are measured square to the axis or in grooves half a pitch apart."""
    part_numbers: Sequence[int]
    """Running number of each measured part, where not every part was measured."""
    corrections: Sequence[float]
    """What was added to the radius offset before each of these parts was made; 0 where nothing
    was.
    """
    uncertainty: float
    """Expanded uncertainty (k = 2) of a measured pitch diameter; kept from both limits."""
    standard_deviation: float
    """Spread from part to part, if it is known from earlier lots."""
    pitch_diameter_aim: float
    """Where in its tolerance the pitch diameter is aimed: 0 smallest, 1 largest; the middle if not
    given.
    """
    wear_start: bool
    """Aim at the side of the tolerance that wear walks away from, so that corrections are rare."""
    known_drift_per_part: float
    """Change of the pitch diameter for each part, if it is known from earlier lots; used until the
    series gives one.
    """
    cutter_changed_at: int
    """Running number of the first part made with a new cutter."""
    cutter_edge_radius: float
    """Radius of the cutting edge, which limits the thinnest chip."""
    gauge_go: Literal["passes", "refuses"]
    """What the GO gauge did with the last part: beside sizes, or in their place."""
    gauge_turns: Sequence[float]
    """Of taper threads: turns by which the gauge stops short of flush, one for each part; negative
    where it goes beyond. In place of measured.
    """
    gauge_not_go: Literal["passes", "refuses"]
    """What the NOT GO gauge did, without sizes."""
    gauge_go_just_passed: bool
    """Without sizes: whether GO refused this part one cut before."""


class ThreadHoleKeys(ThreadKeys, total=False):
    """Keys of ``thread_hole``."""

    process: Literal["cut-tap", "form-tap", "thread-mill"]
    """How the thread is made in the hole."""
    thread_percentage: float
    """Percentage of thread to aim at; the middle of the hole's limits if not given."""
    convention: Literal["3H/4", "5H/8", "basic"]
    """What 100 % of thread means: 3/4 H as tap drill tables have it, 5/8 H as the basic profile
    has it, or the form's own basic depth.
    """
    hole_diameter: float
    """A hole to be judged."""
    drill_series: Literal["metric", "fractional", "number", "letter", "all"]
    """Series in which drills are looked for."""
    nearest_count: int
    """How many of the nearest drills are listed."""


HardnessScale = Literal[
    "HRC",
    "HRB",
    "HRA",
    "HV",
    "HBW",
    "HBS",
    "HB",
    "Rm",
    "Rm-ksi",
    "hrc",
    "hrb",
    "hra",
    "hv",
    "hbw",
    "hbs",
    "hb",
    "rm",
    "rm-ksi",
    "HRc",
    "Rc",
    "HRb",
    "Rb",
    "BHN",
    "MPa",
    "N/mm2",
    "tensile",
    "ksi",
]
"""Scales by all the names under which they are known."""


class HardnessKeys(CallKeys, total=False):
    """Keys of ``hardness``."""

    value: Required[float]
    """The hardness, or the tensile strength in MPa (scale Rm) or ksi (scale Rm-ksi)."""
    scale: Required[HardnessScale]
    """Its scale: HBW is Brinell with a carbide ball, HBS with a steel ball, HB either."""
    to: HardnessScale
    """The scale that is wanted; all of them if not given."""
    material: Literal[
        "non-austenitic-steel",
        "unalloyed-steel",
        "low-alloy-steel",
        "alloy-steel",
        "tool-steel",
        "cast-steel",
        "martensitic-stainless-steel",
        "precipitation-hardening-steel",
        "austenitic-steel",
        "duplex-stainless-steel",
        "cold-worked-steel",
        "case-hardened-steel",
        "cast-iron",
        "nickel-alloy",
        "titanium-alloy",
        "aluminium-alloy",
        "copper-alloy",
        "non-ferrous",
        "hardmetal",
    ]
    """What it was measured on; homogeneous non-austenitic steel if not given."""
    table: Literal[
        "E140_T1",
        "ISO18265_A1",
        "E140_T2",
        "J417_by_HV",
        "J417_by_HB",
        "J417_by_HB_low",
        "BS860_by_HB",
    ]
    """The one table to use; chosen by the scales if not given."""
