"""The operation on pass plans, and how a request's cutter is read."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from threadwright_service.api.cutting import machine_of, material_of
from threadwright_service.api.operation import Example, Operation, Outcome, Request
from threadwright_service.api.treatments import thread_to_cut
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.cutting.starting_values import CuttingCondition, starting_condition
from threadwright_service.calc.cutting.tool_life import life_exponents
from threadwright_service.calc.errors import REFUSALS, AmbiguousError, CalcError, MissingInputError
from threadwright_service.calc.milling.geometry.cutter import Cutter, Machine
from threadwright_service.calc.milling.geometry.start_diameter import start_diameter_mm
from threadwright_service.calc.milling.geometry.usual_neck import THINNEST_RATIO, stoutest_neck_mm
from threadwright_service.calc.milling.plan.cutting_limits import (
    CuttingLimits,
    limits_for_life,
    limits_of_condition,
)
from threadwright_service.calc.milling.plan.plan import pass_plan
from threadwright_service.calc.milling.plan.plan_input import PlanInput
from threadwright_service.calc.milling.plan.plan_record import PassPlan
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail
from threadwright_service.schemas.milling import PassPlanRequest

_PLAN_KEYS = (
    "thread_length_mm",
    "blank_diameter_mm",
    "hole_diameter_mm",
    "shoulder_distance_mm",
    "passes",
    "spring_passes",
    "feed_per_tooth_mm",
    "surface_speed_m_per_min",
    "infeed",
    "infeed_ratio",
    "infeed_depths_mm",
    "first_pass_share_ratio",
    "deflection_share_ratio",
    "form_share_ratio",
    "depth_of_a_pass_mm",
    "last_pass_depth_min_mm",
    "lead_in_mm",
    "overlap_deg",
    "axial_shift",
    "axial_overlap_share_ratio",
    "drill_point_angle_deg",
    "profile_points",
    "milling",
    "pitch_diameter_aim_ratio",
    "entry_arc_radius_mm",
    "cutter_hand",
)


def nose_of(request: Request, thread: ThreadLimits) -> tuple[float | None, float | None, float]:
    """Nose flat or nose radius [mm] and included angle [deg]; their keys are used up.

    Raises
    ------
    AmbiguousError, MissingInputError
        If both or neither of nose flat and nose radius are given.
    """
    values, trail = request.values, request.trail
    nose_flat_mm = values.pop("cutter_nose_flat_mm", None)
    nose_radius_mm = values.pop("cutter_nose_radius_mm", None)
    if nose_flat_mm is not None and nose_radius_mm is not None:
        raise AmbiguousError(
            "cutter_nose_flat and cutter_nose_radius are both given",
            parameter="cutter_nose_radius",
            value=nose_radius_mm,
            accepted="one of the two",
        )
    if nose_flat_mm is None and nose_radius_mm is None:
        raise MissingInputError(
            "the depth follows from the cutter's nose; neither its flat nor its radius is given",
            parameter="cutter_nose_flat",
            accepted="cutter_nose_flat or cutter_nose_radius",
        )
    included_deg = values.pop("cutter_included_angle_deg", None)
    if included_deg is None:
        included_deg = thread.form.included_angle_deg
        trail.assume(
            "cutter_included_angle_deg", included_deg, "none given; the thread form's own angle"
        )
    return nose_flat_mm, nose_radius_mm, included_deg


def cutter_of(request: Request, thread: ThreadLimits) -> Cutter:
    """The thread mill of a request; its keys are used up.

    What the caller leaves out of neck and shank is taken as the stoutest that can be, and noted: a
    thinner one bends more, so the shop's own numbers should be given.

    Raises
    ------
    AmbiguousError, MissingInputError
        If both or neither of nose flat and nose radius are given.
    """
    values, trail = request.values, request.trail
    diameter_mm = values.pop("cutter_diameter_mm")
    nose_flat_mm, nose_radius_mm, included_deg = nose_of(request, thread)
    tooth = Cutter(
        profile=values.pop("cutter_profile"),
        diameter_mm=diameter_mm,
        teeth=values.pop("cutter_teeth"),
        nose_flat_mm=nose_flat_mm,
        nose_radius_mm=nose_radius_mm,
        included_angle_deg=included_deg,
        neck_diameter_mm=diameter_mm,
        neck_length_mm=0.0,
        shank_diameter_mm=diameter_mm,
        stick_out_mm=0.0,
        material=values.pop("cutter_material"),
        runout_mm=values.pop("runout_mm"),
        land_mm=values.pop("cutter_land_mm", None),
        modulus_mpa=values.pop("cutter_modulus_mpa", None),
        neck_stress_mpa=values.pop("cutter_neck_stress_mpa", None),
    )
    return _with_shaft(values, tooth, thread, trail)


def _with_shaft(
    values: dict[str, Any], tooth: Cutter, thread: ThreadLimits, trail: Trail
) -> Cutter:
    """The cutter with neck, shank and stick-out: given, or the stoutest that fit, noted."""
    neck_mm = values.pop("cutter_neck_diameter_mm", None)
    if neck_mm is None:
        neck_mm = _usual_neck_mm(values, tooth, thread)
        trail.assume(
            "cutter_neck_diameter",
            neck_mm,
            "none given; the stoutest that clears the crests by 0.2 mm",
            unit="mm",
        )
    neck_length_mm = values.pop("cutter_neck_length_mm", None)
    stick_out_mm = values.pop("cutter_stick_out_mm", None)
    if neck_length_mm is None:
        reach_mm = values["thread_length_mm"] + 2 * thread.in_millimetres().lead
        neck_length_mm = reach_mm if stick_out_mm is None else min(reach_mm, stick_out_mm)
        trail.assume(
            "cutter_neck_length",
            neck_length_mm,
            "none given; the thread's length and two turns",
            unit="mm",
        )
    if stick_out_mm is None:
        stick_out_mm = neck_length_mm
        trail.assume("cutter_stick_out", stick_out_mm, "none given; the neck alone", unit="mm")
    shank_mm = values.pop("cutter_shank_diameter_mm", None)
    if shank_mm is None:
        shank_mm = max(tooth.diameter_mm, neck_mm)
        trail.assume(
            "cutter_shank_diameter", shank_mm, "none given; as thick as the cutter", unit="mm"
        )
    return replace(
        tooth,
        neck_diameter_mm=neck_mm,
        neck_length_mm=neck_length_mm,
        shank_diameter_mm=shank_mm,
        stick_out_mm=stick_out_mm,
    )


def _usual_neck_mm(values: dict[str, Any], tooth: Cutter, thread: ThreadLimits) -> float:
    """The stoutest neck; where the plan will refuse the job for a better reason, any."""
    try:
        return stoutest_neck_mm(
            thread=thread,
            cutter=tooth,
            start_diameter_mm=start_diameter_mm(
                thread=thread,
                blank_diameter_mm=values.get("blank_diameter_mm"),
                hole_diameter_mm=values.get("hole_diameter_mm"),
            ),
            pitch_diameter_aim_ratio=values.get("pitch_diameter_aim_ratio", 0.5),
            axial_shift=values.get("axial_shift", False),
            axial_overlap_share_ratio=values.get("axial_overlap_share_ratio"),
        )
    except CalcError:
        return THINNEST_RATIO * tooth.diameter_mm


def plan_input(
    request: Request,
    *,
    thread: ThreadLimits,
    cutter: Cutter,
    material: WorkMaterial,
    machine: Machine,
) -> PlanInput:
    """What the pass plan of a request is asked for; its keys are used up."""
    values = request.values
    condition = starting_condition(
        material=material,
        cutter_material=cutter.material,
        operation="thread-milling",
        cutter_diameter_mm=cutter.diameter_mm,
        trail=request.trail,
    )
    return PlanInput(
        thread=thread,
        cutter=cutter,
        material=material,
        machine=machine,
        cutting=_limits_of(request, condition, material, cutter),
        **{key: values.pop(key) for key in _PLAN_KEYS if key in values},
    )


def _limits_of(
    request: Request, condition: CuttingCondition, material: WorkMaterial, cutter: Cutter
) -> CuttingLimits:
    """What edge and material allow, for the life that is wanted; its key is used up.

    Raises
    ------
    AmbiguousError
        If the surface speed is given as well.
    """
    limits = limits_of_condition(condition)
    wanted_min = request.values.pop("tool_life_wanted_min", None)
    if wanted_min is None:
        return limits
    if "surface_speed_m_per_min" in request.values:
        raise AmbiguousError(
            "surface_speed and tool_life_wanted_min are both given",
            parameter="tool_life_wanted_min",
            value=wanted_min,
            accepted="one of the two: the speed follows from the life",
        )
    exponents = life_exponents(cutter_material=cutter.material, iso_513=material.iso_513)
    return limits_for_life(
        limits=limits, tool_life_wanted_min=wanted_min, exponents=exponents, trail=request.trail
    )


def run_pass_plan(request: Request) -> Outcome:
    """Passes and cutter-centre path for the thread."""
    thread = thread_to_cut(request)
    material = material_of(request)
    machine = machine_of(request)
    cutter = cutter_of(request, thread)
    asked = plan_input(request, thread=thread, cutter=cutter, material=material, machine=machine)
    plan = pass_plan(asked, trail=request.trail)
    return Outcome(plan, request.unit or thread.unit)


LEVELLING_SCREW = {
    "unit": "mm",
    "designation": "M24x1.5-6g",
    "thread_length": 28,
    "shoulder_distance": 4,
    "material": "17-4 PH",
    "hardness": 42,
    "hardness_scale": "HRC",
    "cutter_profile": "single",
    "cutter_diameter": 16,
    "cutter_teeth": 5,
    "cutter_nose_flat": 0.1,
    "cutter_included_angle_deg": 60,
    "cutter_neck_diameter": 12,
    "cutter_neck_length": 45,
    "cutter_shank_diameter": 16,
    "cutter_stick_out": 45,
    "spindle_speed_max": 8000,
    "spindle_power_kw": 5.5,
    "acceleration_g": 0.4,
}
DIE_CLAMP_STUD = {
    "unit": "in",
    "designation": "3/4-16 UNF-2A",
    "thread_length": 1.25,
    "material": "D2",
    "hardness": 58,
    "hardness_scale": "HRC",
    "cutter_diameter": 0.375,
    "cutter_teeth": 4,
    "cutter_nose_flat": 0.004,
    "cutter_neck_diameter": 0.27,
    "cutter_neck_length": 1.5,
    "cutter_shank_diameter": 0.375,
    "cutter_stick_out": 1.6,
    "spindle_speed_max": 8000,
}
RING_NUT = {
    "unit": "in",
    "designation": "1 3/8-12 UN-2B",
    "thread_length": 0.8,
    "shoulder_distance": 0.2,
    "hole_diameter": 1.294,
    "material": "42CrMo4",
    "hardness": 38,
    "hardness_scale": "HRC",
    "cutter_diameter": 0.75,
    "cutter_teeth": 5,
    "cutter_nose_radius": 0.003,
    "cutter_neck_diameter": 0.55,
    "cutter_neck_length": 1.2,
    "cutter_shank_diameter": 0.75,
    "cutter_stick_out": 1.4,
    "spindle_speed_max": 8000,
}

OPERATIONS = (
    Operation(
        name="pass-plan",
        summary="Passes and cutter-centre path of a milled thread",
        description=(
            "The depth that gives the pitch diameter with the cutter in hand, allowing for its "
            "nose, the helix, bending and run-out; the passes with load, bend and time of each, "
            "the fastest inside the limits; the path of the cutter's centre with its arcs, along "
            "the cone of a taper thread; what stays at the shoulder. Values given are kept and "
            "judged. Where a coating or a hardening follows, it plans to the limits before that."
        ),
        tag="milling",
        request=PassPlanRequest,
        response=PassPlan,
        run=run_pass_plan,
        refusals=REFUSALS,
        sources=("derivation", "Kienzle force model", "ISO 68-1", "ASME B1.1", "common practice"),
        examples=(
            Example(title="Levelling screws, right hand", request=LEVELLING_SCREW),
            Example(
                title="Levelling screws, left hand",
                request={**LEVELLING_SCREW, "designation": "M24x1.5-6g LH"},
            ),
            Example(title="Die-clamp studs in inches", request=DIE_CLAMP_STUD),
            Example(title="Ring nuts, inside", request=RING_NUT),
        ),
        rows="passes",
    ),
)
