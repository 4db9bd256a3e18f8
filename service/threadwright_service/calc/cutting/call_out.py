"""What a thread's call-out says of a cut: the profile's angle, the diameter made, the depth."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from threadwright_service.calc.cutting.case import CuttingTool, Engagement
from threadwright_service.calc.cutting.starting_values import Operation
from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail

PROFILED: Final[frozenset[Operation]] = frozenset({"thread-milling", "single-point-threading"})
"""Operations whose tool has the thread's profile."""


def completed_by_thread(
    *,
    operation: Operation,
    thread: ThreadLimits,
    tool: CuttingTool,
    engagement: Engagement,
    trail: Trail | None = None,
) -> tuple[CuttingTool, Engagement]:
    """Tool and engagement with what follows from the thread, each noted as an assumption.

    Parameters
    ----------
    operation : Operation
        What is done.
    thread : ThreadLimits
        The thread that the cut makes, in any unit.
    tool, engagement : CuttingTool, Engagement
        As far as they were given; what was given stays.
    trail : Trail, optional
        Takes assumptions.

    Returns
    -------
    tuple of CuttingTool and Engagement
        With side, pitch and lead. For a tool with the thread's profile the profile's angle as
        well; milled, also the diameter that is made (basic minor outside, basic major inside),
        the depth of the basic profile and, unless given, one pass down to it.

    Raises
    ------
    InfeasibleError
        If a given diameter is none that this thread can have.

    Notes
    -----
    Source: the thread's own standard, basic dimensions.
    """
    metric = thread.in_millimetres()
    engagement = replace(engagement, side=thread.side, pitch_mm=metric.pitch, lead_mm=metric.lead)
    if operation in PROFILED and tool.included_angle_deg is None:
        tool = replace(tool, included_angle_deg=metric.form.included_angle_deg)
        _assume(
            trail,
            "cutter_included_angle_deg",
            metric.form.included_angle_deg,
            "the thread form's own angle",
            "deg",
        )
    if operation != "thread-milling":
        return tool, engagement
    return tool, _milled(metric, engagement, trail)


def _milled(metric: ThreadLimits, engagement: Engagement, trail: Trail | None) -> Engagement:
    major_mm, minor_mm = metric.basic.major_diameter, metric.basic.minor_diameter
    made_mm = engagement.made_diameter_mm
    if made_mm is None:
        made_mm = minor_mm if metric.side == "external" else major_mm
        _assume(trail, "made_diameter", made_mm, "the basic diameter that the cut makes", "mm")
    elif not minor_mm - metric.pitch <= made_mm <= major_mm + metric.pitch:
        raise InfeasibleError(
            f"{metric.designation} has no diameter of {made_mm:g} mm",
            parameter="made_diameter",
            value=made_mm,
            accepted=f"about {minor_mm:.5g} mm outside, about {major_mm:.5g} mm inside",
        )
    depth_mm = engagement.profile_depth_mm
    if depth_mm is None:
        depth_mm = (major_mm - minor_mm) / 2
        _assume(trail, "profile_depth", depth_mm, "the depth of the basic profile", "mm")
    layer_mm = engagement.radial_width_mm
    if layer_mm is None:
        layer_mm = depth_mm
        _assume(trail, "radial_width", layer_mm, "one pass down to the whole depth", "mm")
    return replace(
        engagement, made_diameter_mm=made_mm, profile_depth_mm=depth_mm, radial_width_mm=layer_mm
    )


def _assume(trail: Trail | None, key: str, value: float, reason: str, unit: str) -> None:
    if trail is not None:
        trail.assume(key, value, f"none given; {reason}", unit=unit)
