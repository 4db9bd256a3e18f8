"""What the person at the machine should know of one case of cutting data."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.cutting.case import Running
from threadwright_service.calc.cutting.materials import LARGEST_TABULATED_FORCE_HARDNESS_HB
from threadwright_service.calc.cutting.operations.load import Cut
from threadwright_service.calc.cutting.power import SMALLEST_MEASURED_CHIP_MM
from threadwright_service.calc.cutting.result import CuttingData
from threadwright_service.calc.cutting.tool_life import usual_coolant
from threadwright_service.calc.milling.geometry.cutter import Machine
from threadwright_service.calc.prove_out import PROVE_OUT
from threadwright_service.calc.trail import Trail
from threadwright_service.calc.turning.along_the_work import caution_fast

DEFLECTION_NOTE_MM: Final = 0.02
"""From here on the bending is worth a sentence: it is of the size of a thread's tolerance."""

NOTED_FEED_DIFFERENCE_RATIO: Final = 0.05
"""From here on the feed at the cutter's centre would be taken for another than that at the edge."""


def warn(
    *, data: CuttingData, cut: Cut, machine: Machine, running: Running | None, trail: Trail
) -> None:
    """Note the cautions of a case.

    Parameters
    ----------
    data : CuttingData
        The result.
    cut : Cut
        Tool, engagement, material.
    machine : Machine
        Its limits, which a condition that runs may pass.
    running : Running or None
        What runs, if that was given.
    trail : Trail
        Takes the cautions.

    Notes
    -----
    Source: common practice.
    """
    trail.caution(*PROVE_OUT)
    _chip(data, trail)
    _force(data, cut, trail)
    _life(data, trail)
    _extrapolated(data, trail)
    if data.operation == "single-point-threading":
        caution_fast(data.feed_centre_mm_per_min, trail)
    if cut.tool.stick_out_mm is None and data.radial_force_n > 0 and data.engagement_angle_deg:
        trail.caution(
            "deflection-unknown",
            "No stick-out was given: the bending of the tool is not reckoned with.",
        )
    if data.deflection_mm is not None and data.deflection_mm > DEFLECTION_NOTE_MM:
        trail.caution(
            "bends-much",
            f"The tool bends by {data.deflection_mm:.3g} mm at the largest force: shorten it, "
            "thicken it or lower the feed.",
        )
    if running is not None:
        _running(data, machine, running, trail)
    if cut.material.iso_513 == "H" and usual_coolant(cut.material) == "air":
        trail.caution(
            "stop-on-sparks",
            "Sparks, squeal or a red chip that clings mean a worn edge: stop and change it.",
        )


def _chip(data: CuttingData, trail: Trail) -> None:
    if (
        data.chip_thickness_allowed_mm is not None
        and data.chip_thickness_max_mm > data.chip_thickness_allowed_mm * (1 + 1e-9)
    ):
        trail.caution(
            "chip-too-thick",
            f"The largest chip of {data.chip_thickness_max_mm:.3g} mm exceeds "
            f"{data.chip_thickness_allowed_mm:.3g} mm, the bold end of the starting values.",
        )
    if (
        data.chip_thickness_min_mm is not None
        and data.chip_thickness_max_mm < data.chip_thickness_min_mm
    ):
        trail.caution(
            "rubs",
            f"The largest chip of {data.chip_thickness_max_mm:.3g} mm is thinner than "
            f"{data.chip_thickness_min_mm:.3g} mm, the least that an edge of this radius cuts: it "
            "rubs, heats and hardens the work.",
        )


def _force(data: CuttingData, cut: Cut, trail: Trail) -> None:
    reasons = []
    if data.chip_thickness_max_mm < SMALLEST_MEASURED_CHIP_MM:
        reasons.append(f"chips were measured from {SMALLEST_MEASURED_CHIP_MM:g} mm on")
    if cut.material.iso_513 in "PH" and cut.material.hardness_hb > (
        LARGEST_TABULATED_FORCE_HARDNESS_HB
    ):
        reasons.append(f"the rise with hardness up to {LARGEST_TABULATED_FORCE_HARDNESS_HB:g} HB")
    if reasons:
        trail.caution(
            "force-extrapolated",
            f"The specific force is carried beyond its data: {'; '.join(reasons)}. Expect the "
            "force within a third, more with a worn edge.",
        )


def _life(data: CuttingData, trail: Trail) -> None:
    if data.tool_life_extrapolated and data.tool_life_min is not None:
        trail.caution(
            "life-extrapolated",
            f"A life of {data.tool_life_min:.3g} min is more than ten times off the life that the "
            "data stand for: take it as a direction. Light cuts in hard metal end by chipping, "
            "which no equation of wear foresees.",
        )


def _extrapolated(data: CuttingData, trail: Trail) -> None:
    for factor in data.factors:
        if factor.extrapolated and factor.name != "hardness":
            trail.caution(
                "factor-extrapolated",
                f"The factor for {factor.name} on {factor.applies_to.replace('_', ' ')} is outside "
                f"its data ({factor.range}).",
            )


def _running(data: CuttingData, machine: Machine, running: Running, trail: Trail) -> None:
    for name, value, most, unit in (
        (
            "spindle speed",
            running.spindle_speed_rev_per_min,
            machine.spindle_speed_max_rev_per_min,
            "rev/min",
        ),
        ("feed rate", running.feed_rate_mm_per_min, machine.feed_rate_max_mm_per_min, "mm/min"),
        ("power", data.power_kw, machine.spindle_power_kw, "kW"),
    ):
        if most is not None and value > most:
            trail.caution(
                "beyond-the-machine",
                f"The {name} of {value:.5g} {unit} is more than the machine's limit of "
                f"{most:.5g} {unit}.",
            )
    centre_to_edge = data.feed_centre_mm_per_min / data.feed_edge_mm_per_min
    if abs(centre_to_edge - 1) > NOTED_FEED_DIFFERENCE_RATIO:
        at_centre_mm = data.feed_per_tooth_mm * centre_to_edge
        trail.caution(
            "feed-differs-at-the-edge",
            f"The programmed feed moves the cutter's centre by {at_centre_mm:.3g} mm a tooth; on "
            f"the circle that the teeth cut it is {data.feed_per_tooth_mm:.3g} mm a tooth.",
        )
    if data.start is not None:
        high = data.start.surface_speed.high_m_per_min
        if data.surface_speed_m_per_min > high:
            trail.caution(
                "faster-than-usual",
                f"The surface speed is {100 * (data.surface_speed_m_per_min / high - 1):.0f} % "
                "above the bold end of the starting values.",
            )
