"""The thread's operation of a part, from the pass plan that cuts it."""

from __future__ import annotations

from threadwright_service.calc.milling.path.path_elements import PathElement
from threadwright_service.calc.milling.plan.plan_record import PassPlan
from threadwright_service.calc.times.operations.thread_milling import ThreadMilling, ThreadPass


def thread_milling_of(plan: PassPlan, *, lead_mm: float) -> ThreadMilling:
    """The passes of a plan as an operation whose time can be told.

    Parameters
    ----------
    plan : PassPlan
        The plan, cutting and spring passes alike.
    lead_mm : float
        Rise for each turn [mm].

    Notes
    -----
    Source: derivation. The plan's own ``cutting_time_s`` is the path's length over the feed that
    is reached; here ramps and arcs are timed as well, each with the machine's limits.
    """
    arcs_mm = _arcs_length_mm(plan.path.elements)
    radius_mm = plan.path.entry_arc_radius_mm
    return ThreadMilling(
        passes=tuple(
            ThreadPass(
                path_length_mm=each.path_length_mm,
                cutter_centre_radius_mm=each.cutter_centre_radius_mm,
                feed_centre_mm_per_min=each.feed_centre_mm_per_min,
                starts=plan.path.runs,
                arcs_length_mm=arcs_mm,
                entry_arc_radius_mm=radius_mm if arcs_mm else None,
            )
            for each in plan.passes
        ),
        lead_mm=lead_mm,
    )


def _arcs_length_mm(elements: tuple[PathElement, ...]) -> float:
    """Length of all arcs in and out [mm]."""
    return sum(each.length_mm for each in elements if each.kind in ("entry-arc", "exit-arc"))
