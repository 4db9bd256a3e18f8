"""The operation on the hole for an internal thread."""

from __future__ import annotations

from threadwright_service.api.operation import Example, Operation, Outcome, Request
from threadwright_service.api.threads import thread_of
from threadwright_service.calc.errors import REFUSALS
from threadwright_service.calc.measurement.holes.drill_series import ALL_SERIES
from threadwright_service.calc.measurement.holes.thread_hole import thread_hole
from threadwright_service.calc.measurement.holes.thread_hole_result import ThreadHole
from threadwright_service.schemas.holes import ThreadHoleRequest


def run_thread_hole(request: Request) -> Outcome:
    """Limits of the hole, the size to aim at, percentage of thread and drills."""
    thread = thread_of(request)
    values = request.values
    series = values.pop("drill_series")
    result = thread_hole(
        thread=thread,
        process=values.pop("process"),
        thread_percentage=values.pop("thread_percentage", None),
        convention=values.pop("convention", None),
        hole_diameter_mm=values.pop("hole_diameter_mm", None),
        drill_series=ALL_SERIES if series == "all" else (series,),
        nearest_count=values.pop("nearest_count"),
        trail=request.trail,
    )
    return Outcome(result, request.unit or thread.unit)


OPERATIONS = (
    Operation(
        name="thread-hole",
        summary="The hole for tapping, forming or thread milling",
        description=(
            "Limits that the hole must keep, the size to aim at, the percentage of thread by both "
            "conventions, and the nearest standard drills, metric, fractional, number and letter."
        ),
        tag="measurement",
        request=ThreadHoleRequest,
        response=ThreadHole,
        run=run_thread_hole,
        refusals=REFUSALS,
        sources=("Machinery's Handbook, 31st edition", "ASME B94.11M", "BS 328", "ISO 235"),
        examples=(
            Example(
                title="Ring nuts: the hole before thread milling",
                request={"designation": "1 3/8-12 UN-2B", "process": "thread-mill"},
            ),
            Example(
                title="A tapped hole: what a number 7 drill leaves",
                request={
                    "designation": "1/4-20 UNC-2B",
                    "unit": "in",
                    "hole_diameter": 0.201,
                },
            ),
            Example(
                title="A formed thread",
                request={"designation": "M10x1.5-6H", "process": "form-tap"},
            ),
        ),
        rows="nearest",
    ),
)
