"""What the person at the instrument should know of a measurement over wires."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.measurement.wires.groove import BareThread, Groove
from threadwright_service.calc.measurement.wires.wire_result import WireMeasurement
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail

_WIDE_PITCH_MM: Final = 5.0
"""From here two wires a pitch apart hardly fit under an ordinary micrometer's faces."""

_ANGLE_ERROR_DEG: Final = 0.25
_SHARE: Final = 0.05
"""A wire is called far from the best if a quarter of a degree costs this share of the tolerance."""


def note_cautions(
    *,
    result: WireMeasurement,
    groove: Groove,
    thread: ThreadLimits | BareThread,
    trail: Trail,
) -> None:
    """Note what the person at the instrument should know of this measurement.

    Parameters
    ----------
    result : WireMeasurement
        The measurement.
    groove : Groove
        Its groove.
    thread : ThreadLimits or BareThread
        The thread, in millimetres.
    trail : Trail
        Takes the cautions.

    Notes
    -----
    Source: common practice; derivation for where the numbers come from.
    """
    _wire_cautions(result, groove, trail)
    _method_cautions(result, groove, trail)
    # On a cone the crest goes with the pitch diameter, so their limits do not meet in one plane.
    if isinstance(thread, ThreadLimits) and result.side == "external" and not groove.taper_ratio:
        major = thread.limits.major_diameter.max
        lowest = result.reading.min_mm
        if (
            result.method in ("three-wire", "balls")
            and major is not None
            and lowest is not None
            and lowest <= major
        ):
            trail.caution(
                "reading-on-crest",
                f"At the smallest pitch diameter the wires stand no higher than a crest of "
                f"{major:.4f} mm: the anvils would rest on the crest. Take a larger wire.",
            )
    if result.verdict == "accept":
        trail.caution(
            "go-gauge-too",
            "Wires prove the pitch diameter alone; errors of lead and flank angle make the thread "
            "act larger outside and smaller inside. Prove them with a GO gauge.",
        )


def _wire_cautions(result: WireMeasurement, groove: Groove, trail: Trail) -> None:
    moved = abs(result.sensitivities.flank_angle_um_per_deg) / 1000 * _ANGLE_ERROR_DEG
    high, low = result.pitch_diameter_limits.max_mm, result.pitch_diameter_limits.min_mm
    if high is not None and low is not None and moved > _SHARE * (high - low):
        trail.caution(
            "wire-off-best",
            f"With this wire a half-angle error of {_ANGLE_ERROR_DEG:g} degrees moves the pitch "
            f"diameter by {moved:.4f} mm. Know the flank angles or take a wire nearer to "
            f"{result.best_wire_diameter_mm:.4f} mm.",
        )
    heights = (result.contact.pressure_flank_mm, result.contact.clearance_flank_mm)
    end, start = groove.flank_end_mm, groove.flank_start_mm
    if (end is not None and max(heights) > end) or (start is not None and min(heights) < -start):
        trail.caution(
            "contact-off-flank",
            "By the lead the wire touches beyond the straight flank; take one nearer to the best.",
        )


def _method_cautions(result: WireMeasurement, groove: Groove, trail: Trail) -> None:
    if result.method == "three-wire":
        if groove.pitch_mm > _WIDE_PITCH_MM:
            trail.caution(
                "wide-pitch",
                f"Two wires lie {groove.pitch_mm:g} mm apart: the face of the micrometer must be "
                "wider than that, or a gauge block goes between, or one wire is used.",
            )
        if groove.starts % 2 == 0:
            trail.caution(
                "even-starts",
                "With an even number of starts grooves stand opposite each other: lay the two "
                "wires into the grooves on either side of the one opposite the single wire.",
            )
    if result.method == "two-wire":
        trail.caution(
            "two-wire-square",
            "Two wires do not hold the part square to the instrument; use a floating carriage or "
            "a fixture.",
        )
    if result.method == "one-wire":
        trail.caution(
            "one-wire-runout",
            "One wire is read against the crest: read at two places half a turn apart and take the "
            "mean. An error of the reading counts twice.",
        )
    if groove.side == "internal" and groove.starts % 2:
        trail.caution(
            "opposite-grooves",
            "Opposite grooves stand half a pitch apart along the axis: a gauge with two balls "
            "measures a slanted line unless it touches two neighbouring grooves on one side.",
        )
    if groove.taper_ratio:
        trail.caution(
            "taper-plane",
            "On a tapered thread the reading holds with the single wire in the plane where the "
            "pitch diameter is stated, and with the anvil lying on the other two.",
        )
