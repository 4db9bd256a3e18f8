"""The operation on threads that are turned with a single point."""

from __future__ import annotations

from typing import Any

from threadwright_service.api.cutting import machine_of, material_of
from threadwright_service.api.milling import nose_of
from threadwright_service.api.operation import Example, Operation, Outcome, Request
from threadwright_service.api.treatments import thread_to_cut
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.cutting.starting_values import starting_condition
from threadwright_service.calc.errors import REFUSALS, AmbiguousError
from threadwright_service.calc.milling.geometry.cutter import Machine
from threadwright_service.calc.milling.geometry.start_diameter import start_diameter_mm
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.times.motion.machine_motion import machine_motion
from threadwright_service.calc.turning.turned_thread import TurnedThread, turned_thread
from threadwright_service.calc.turning.turning_input import TurningInput, TurningTool
from threadwright_service.schemas.turning import TurningPlanRequest


def run_turning_plan(request: Request) -> Outcome:
    """Infeeds, forces, speed and time of a thread turned with a single point."""
    thread = thread_to_cut(request)
    plan = turned_of(request, thread=thread, machine=machine_of(request))
    return Outcome(plan, request.unit or thread.unit)


def turned_of(request: Request, *, thread: ThreadLimits, machine: Machine) -> TurnedThread:
    """The plan of a thread turned with a single point; its keys are used up."""
    values, trail = request.values, request.trail
    material = material_of(request)
    flat_mm, radius_mm, included_deg = nose_of(request, thread)
    speed = _surface_speed(request, thread, material)
    motion = machine_motion(
        rapid_rate_mm_per_min=machine.rapid_rate_mm_per_min,
        acceleration_g=machine.acceleration_g,
        feed_rate_max_mm_per_min=machine.feed_rate_max_mm_per_min,
        trail=trail,
    )
    asked = TurningInput(
        thread=thread,
        tool=TurningTool(
            nose_flat_mm=flat_mm, nose_radius_mm=radius_mm, included_angle_deg=included_deg
        ),
        material=material,
        machine=machine,
        motion=motion,
        surface_speed_m_per_min=speed,
        **_given(values),
    )
    return turned_thread(asked, trail=trail)


def _given(values: dict[str, Any]) -> dict[str, Any]:
    names = (
        "thread_length_mm",
        "spindle_speed_rev_per_min",
        "blank_diameter_mm",
        "hole_diameter_mm",
        "infeed",
        "division",
        "infeed_ratio",
        "flank_clearance_deg",
        "passes",
        "spring_passes",
        "pitch_diameter_aim_ratio",
        "thread_approach_mm",
        "thread_overrun_mm",
        "clearance_mm",
    )
    return {name: values.pop(name) for name in names if name in values}


def _surface_speed(request: Request, thread: ThreadLimits, material: WorkMaterial) -> float:
    """The given surface speed, or the starting one for tool and material [m/min]."""
    values = request.values
    given = values.pop("surface_speed_m_per_min", None)
    cutter_material = values.pop("cutter_material")
    if given is not None:
        if "spindle_speed_rev_per_min" in values:
            raise AmbiguousError(
                "surface_speed and spindle_speed are both given",
                parameter="spindle_speed",
                value=values["spindle_speed_rev_per_min"],
                accepted="one of the two",
            )
        return float(given)
    start_mm = start_diameter_mm(
        thread=thread,
        blank_diameter_mm=values.get("blank_diameter_mm"),
        hole_diameter_mm=values.get("hole_diameter_mm"),
    )
    condition = starting_condition(
        material=material,
        cutter_material=cutter_material,
        operation="single-point-threading",
        cutter_diameter_mm=start_mm,
        trail=request.trail,
    )
    return condition.surface_speed.aim_m_per_min


FEED_SCREW = {
    "unit": "mm",
    "designation": "Tr32x6-7e",
    "thread_length": 220,
    "material": "11SMn30",
    "cutter_nose_flat": 1.9,
    "passes": 21,
    "spindle_speed": 280,
}

OPERATIONS = (
    Operation(
        name="turning-plan",
        summary="Passes of a thread turned with a single point",
        description=(
            "For the shop that turns the thread instead of milling it: depth from the tool's nose, "
            "infeeds radial, along the flank, along nearly the flank or alternating, divided by "
            "equal area, equal depth or falling; chip, force and power of each pass, spindle speed "
            "and time. Bending of tool and part is not modelled."
        ),
        tag="milling",
        request=TurningPlanRequest,
        response=TurnedThread,
        run=run_turning_plan,
        refusals=REFUSALS,
        sources=("derivation", "Kienzle force model", "common practice"),
        examples=(
            Example(title="Feed screw, nearly along the flank", request=FEED_SCREW),
            Example(
                title="Die-clamp studs in inches, alternating",
                request={
                    "unit": "in",
                    "designation": "3/4-16 UNF-2A",
                    "thread_length": 1.25,
                    "material": "42CrMo4",
                    "hardness": 32,
                    "hardness_scale": "HRC",
                    "cutter_nose_radius": 0.005,
                    "infeed": "alternating",
                    "spindle_speed_max": 3000,
                },
            ),
            Example(
                title="Ring nuts, inside, radial",
                request={
                    "unit": "in",
                    "designation": "1 3/8-12 UN-2B",
                    "thread_length": 0.8,
                    "hole_diameter": 1.294,
                    "material": "42CrMo4",
                    "hardness": 38,
                    "hardness_scale": "HRC",
                    "cutter_nose_radius": 0.004,
                    "infeed": "radial",
                },
            ),
        ),
        rows="passes",
    ),
)
