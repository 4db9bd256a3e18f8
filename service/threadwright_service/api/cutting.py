"""The operation on cutting data, and how every other operation reads its work material."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

from threadwright_service.api.operation import Example, Operation, Outcome, Request
from threadwright_service.api.threads import THREAD_KEYS, thread_of
from threadwright_service.calc.cutting.call_out import completed_by_thread
from threadwright_service.calc.cutting.case import (
    CuttingTool,
    Engagement,
    Reference,
    Running,
    Wanted,
)
from threadwright_service.calc.cutting.cutting_data import cutting_data
from threadwright_service.calc.cutting.designations import resolve
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.cutting.materials import brinell_of, find_material
from threadwright_service.calc.cutting.result import CuttingData
from threadwright_service.calc.errors import REFUSALS, MissingInputError
from threadwright_service.calc.milling.geometry.cutter import Machine
from threadwright_service.schemas.cutting import CuttingDataRequest
from threadwright_service.schemas.quantities import LENGTH

_OF_A_HELIX: Final = frozenset({"cutter_helix_angle_deg"})
_OF_A_PROFILE: Final = frozenset(
    {"profile_depth_mm", "cutter_nose_flat_mm", "cutter_nose_radius_mm"}
)
_OF_A_LAYER: Final = frozenset(
    {"radial_width_mm", "axial_depth_mm", "made_diameter_mm", "reference_radial_width_mm"}
)
_OF_BENDING: Final = frozenset({"deflection_limit_mm"})
_OF_A_FREE_FEED: Final = frozenset({"feed_per_tooth_mm", "reference_feed_per_tooth_mm"})
_OF_A_TAP: Final = frozenset({"chamfer_threads"})

_WITHOUT_PART: Final[Mapping[str, frozenset[str]]] = {
    "thread-milling": _OF_A_HELIX | _OF_A_TAP,
    "side-milling": _OF_A_PROFILE | _OF_A_TAP | {"cutter_included_angle_deg"},
    "chamfering": _OF_A_HELIX | _OF_A_PROFILE | _OF_A_TAP | {"axial_depth_mm"},
    "drilling": _OF_A_HELIX | _OF_A_PROFILE | _OF_A_LAYER | _OF_BENDING | _OF_A_TAP,
    "tapping": _OF_A_HELIX
    | _OF_A_PROFILE
    | _OF_A_LAYER
    | _OF_BENDING
    | _OF_A_FREE_FEED
    | {"cutter_included_angle_deg"},
    "single-point-threading": _OF_A_HELIX
    | (_OF_A_LAYER - {"radial_width_mm"})
    | _OF_BENDING
    | _OF_A_FREE_FEED
    | _OF_A_TAP,
}
"""Keys that a process makes nothing of; they are left over, and the answer says so."""


def material_of(request: Request) -> WorkMaterial:
    """The work material of a request; its keys are used up.

    Raises
    ------
    CalcError
        If it is not known, or its hardness is missing where it matters.
    """
    values = request.values
    return find_material(
        name=values.pop("material"),
        # A scale without a hardness has no part in the answer: it is left over.
        hardness_scale=values.pop("hardness_scale") if _has_scale(values) else None,
        hardness=values.pop("hardness", None),
        trail=request.trail,
    )


def _has_scale(values: dict[str, Any]) -> bool:
    return "hardness_scale" in values and ("hardness" in values or "reference_hardness" in values)


def machine_of(request: Request) -> Machine:
    """The machine of a request; its keys are used up."""
    values = request.values
    given = {
        key: values.pop(key)
        for key in (
            "spindle_speed_max_rev_per_min",
            "feed_rate_max_mm_per_min",
            "rapid_rate_mm_per_min",
            "acceleration_g",
            "spindle_power_kw",
            "holder_compliance_um_per_n",
        )
        if key in values
    }
    return Machine(**given)


def run_cutting_data(request: Request) -> Outcome:
    """Speed, feed, force, power and life for the case."""
    values = request.values
    scale, name = values.get("hardness_scale"), values["material"]
    material = material_of(request)
    process = values.pop("process")
    left_over = {key: values.pop(key) for key in _WITHOUT_PART[process] if key in values}
    tool, engagement = _cut_of(request, process)
    result = cutting_data(
        material=material,
        operation=process,
        tool=tool,
        engagement=engagement,
        reference=_reference_of(request, name, scale),
        running=_running_of(values),
        machine=machine_of(request),
        wanted=Wanted(
            surface_speed_m_per_min=values.pop("surface_speed_m_per_min", None),
            feed_per_tooth_mm=values.pop("feed_per_tooth_mm", None),
            tool_life_min=values.pop("tool_life_min", None),
            coolant=values.pop("coolant", None),
            deflection_limit_mm=values.pop("deflection_limit_mm", None),
        ),
        trail=request.trail,
    )
    values.update(left_over)
    return Outcome(result, request.unit or "mm")


def _tool_of(values: dict[str, Any]) -> CuttingTool:
    names = (
        "diameter_mm",
        "teeth",
        "material",
        "stick_out_mm",
        "shank_diameter_mm",
        "neck_diameter_mm",
        "neck_length_mm",
        "included_angle_deg",
        "helix_angle_deg",
        "nose_flat_mm",
        "nose_radius_mm",
    )
    given = {name: values.pop(f"cutter_{name}") for name in names if f"cutter_{name}" in values}
    for name in ("chamfer_threads", "runout_mm"):
        if name in values:
            given[name] = values.pop(name)
    return CuttingTool(**given)


def _cut_of(request: Request, process: Any) -> tuple[CuttingTool, Engagement]:
    """Tool, and how it meets the work; a thread that is named completes both."""
    values = request.values
    engagement = Engagement(
        radial_width_mm=values.pop("radial_width_mm", None),
        axial_depth_mm=values.pop("axial_depth_mm", None),
        profile_depth_mm=values.pop("profile_depth_mm", None),
        made_diameter_mm=values.pop("made_diameter_mm", None),
    )
    tool = _tool_of(values)
    if "designation" in values or "series" in values:
        return completed_by_thread(
            operation=process,
            thread=thread_of(request),
            tool=tool,
            engagement=engagement,
            trail=request.trail,
        )
    return tool, replace(engagement, side=values.pop("side", None), **_pitch_of(request))


def _pitch_of(request: Request) -> dict[str, float]:
    """Pitch and lead of a thread that is not named."""
    values = request.values
    found = {}
    if "pitch" in values or "threads_per_inch" in values:
        pitch, count = values.pop("pitch", None), values.pop("threads_per_inch", None)
        pitch_mm = (
            LENGTH.factor / count if pitch is None else pitch * LENGTH.scale(request.unit or "mm")
        )
        found = {"pitch_mm": pitch_mm, "lead_mm": pitch_mm * values.pop("starts", 1)}
    for key in THREAD_KEYS:  # what is left of them has no meaning without a call-out
        if key in values:
            raise MissingInputError(
                f"{key} needs the thread's designation or series",
                parameter=key,
                value=values[key],
                accepted="together with designation or series, or left out",
            )
    return found


def _reference_of(request: Request, name: str, hardness_scale: str | None) -> Reference | None:
    """The reference condition; its hardness is that of the same kind of material."""
    values = request.values
    given = {
        key.removeprefix("reference_"): values.pop(key)
        for key in [key for key in values if key.startswith("reference_")]
    }
    if not given:
        return None
    hardness = given.pop("hardness", None)
    if hardness is not None:
        if hardness_scale is None:
            raise MissingInputError(
                "reference_hardness needs hardness_scale",
                parameter="hardness_scale",
                accepted="the scale of hardness and reference_hardness",
            )
        given["hardness_hb"] = brinell_of(
            designation=resolve(name), hardness=hardness, scale=hardness_scale, trail=request.trail
        )
    return Reference(**given)


def _running_of(values: dict[str, Any]) -> Running | None:
    speed = values.pop("spindle_speed_rev_per_min", None)
    feed = values.pop("feed_rate_mm_per_min", None)
    if speed is None and feed is None:
        return None
    for key, value in (("spindle_speed", speed), ("feed_rate", feed)):
        if value is None:
            raise MissingInputError(
                f"a condition that runs needs {key} too",
                parameter=key,
                accepted="spindle_speed and feed_rate, or neither",
            )
    return Running(spindle_speed_rev_per_min=speed, feed_rate_mm_per_min=feed)


OPERATIONS = (
    Operation(
        name="cutting-data",
        summary="Speed, feed, chip, force, power and tool life for one cut",
        description=(
            "Starting values for tool, material and process, or a condition that is known to be "
            "good scaled to this case, each factor with its reason; feed at the edge and at the "
            "cutter's centre; or a condition that runs, worked back to chip, force and life. The "
            "maker's own data, if given, win."
        ),
        tag="cutting",
        request=CuttingDataRequest,
        response=CuttingData,
        run=run_cutting_data,
        refusals=REFUSALS,
        sources=(
            "ISO 513",
            "ISO 3685",
            "handbook tables of speeds and power constants",
            "common practice",
            "derivation",
        ),
        examples=(
            Example(
                title="Levelling screws: milling the thread at full depth",
                request={
                    "unit": "mm",
                    "process": "thread-milling",
                    "designation": "M24x1.5-6g",
                    "material": "17-4 PH",
                    "hardness": 42,
                    "hardness_scale": "HRC",
                    "cutter_diameter": 16,
                    "cutter_teeth": 5,
                    "cutter_included_angle_deg": 60,
                    "cutter_nose_flat": 0.1,
                    "cutter_neck_diameter": 12,
                    "cutter_neck_length": 45,
                    "cutter_shank_diameter": 16,
                    "cutter_stick_out": 45,
                    "radial_width": 0.3,
                    "profile_depth": 1.07,
                    "made_diameter": 21.83,
                    "spindle_speed_max": 8000,
                },
            ),
            Example(
                title="Die-clamp studs: the speed of a softer job scaled to 58 HRC",
                request={
                    "unit": "in",
                    "process": "side-milling",
                    "material": "D2",
                    "hardness": 58,
                    "hardness_scale": "HRC",
                    "cutter_diameter": 0.5,
                    "cutter_teeth": 6,
                    "radial_width": 0.015,
                    "axial_depth": 0.75,
                    "reference_surface_speed": 400,
                    "reference_feed_per_tooth": 0.002,
                    "reference_hardness": 45,
                },
            ),
        ),
    ),
)
