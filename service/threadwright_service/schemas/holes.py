"""What the hole for a thread takes."""

from __future__ import annotations

from threadwright_service.calc.measurement.holes.drill_series import ALL_SERIES
from threadwright_service.calc.measurement.holes.thread_hole_result import PROCESSES
from threadwright_service.calc.measurement.holes.thread_percentage import (
    CONVENTIONS,
    LARGEST_PERCENTAGE,
)
from threadwright_service.schemas.fields import Choice, Count, Number
from threadwright_service.schemas.quantities import LENGTH
from threadwright_service.schemas.threads import ThreadRequestSchema


class ThreadHoleRequest(ThreadRequestSchema):
    """An internal thread, and how it is made."""

    process = Choice(
        "How the thread is made in the hole.",
        PROCESSES,
        assume="cut-tap",
        reason="no process given; a cutting tap",
    )
    thread_percentage = Number(
        "Percentage of thread to aim at; the middle of the hole's limits if not given.",
        above=0,
        most=LARGEST_PERCENTAGE,
    )
    convention = Choice(
        "What 100 % of thread means: 3/4 H as tap drill tables have it, 5/8 H as the basic profile "
        "has it, or the form's own basic depth.",
        CONVENTIONS,
    )
    hole_diameter = Number("A hole to be judged.", kind=LENGTH, above=0, most=3000)
    drill_series = Choice(
        "Series in which drills are looked for.",
        (*ALL_SERIES, "all"),
        assume="all",
        reason="no series given",
    )
    nearest_count = Count(
        "How many of the nearest drills are listed.",
        least=1,
        most=50,
        assume=6,
        reason="none given",
    )
