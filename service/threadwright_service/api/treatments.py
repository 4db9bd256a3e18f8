"""What thread limits are asked for beside the limits: coating, hardening, functional size."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from threadwright_service.api.operation import Request
from threadwright_service.api.presentation import present
from threadwright_service.api.threads import thread_of
from threadwright_service.calc.errors import MissingInputError
from threadwright_service.calc.measurement.acceptance import Band
from threadwright_service.calc.measurement.treatments.coating import before_coating, coated_fit
from threadwright_service.calc.measurement.treatments.functional_size import functional_size
from threadwright_service.calc.measurement.treatments.heat_treatment import before_heat_treatment
from threadwright_service.calc.rounding import nearest
from threadwright_service.calc.threads.thread import DiameterLimits, Span, State, ThreadLimits
from threadwright_service.calc.trail import Trail
from threadwright_service.calc.units import MM_PER_IN
from threadwright_service.schemas.quantities import LENGTH, Unit

_LARGEST_THICKNESS = "the coating's largest thickness on one surface"


def thread_to_cut(request: Request) -> ThreadLimits:
    """The thread of a request with the limits to cut it to; its keys are used up.

    Those are the standard's own, or, where a coating or a hardening is to follow, the limits before
    it. What is coated after hardening is taken back in that order.

    Raises
    ------
    CalcError
        If the thread cannot be told, a key lacks its companion, or nothing is left of a tolerance.
    """
    finished = thread_of(request)
    thread = _before_coating(request, finished)
    thread = _before_hardening(request, thread)
    if thread is not finished:
        _note(finished, thread, request.trail)
        request.thread = thread
    return thread


def _before_coating(request: Request, thread: ThreadLimits) -> ThreadLimits:
    values = request.values
    thickness_mm = values.pop("coating_thickness_mm", None)
    thinnest_mm = values.pop("coating_thickness_min_mm", None)
    if thickness_mm is None:
        if thinnest_mm is not None:
            raise _needs("coating_thickness", _LARGEST_THICKNESS)
        return thread
    found = before_coating(
        thread=thread,
        thickness_max_mm=thickness_mm,
        thickness_min_mm=thinnest_mm,
        trail=request.trail,
    )
    limits = found.limits
    return _with_limits(
        thread,
        "before-coating",
        limits.major_diameter,
        limits.pitch_diameter,
        limits.minor_diameter,
        f"taken back by a coating of {found.thickness_min_mm:g} to {found.thickness_max_mm:g} mm",
    )


def _before_hardening(request: Request, thread: ThreadLimits) -> ThreadLimits:
    growth = _growth(request.values)
    if growth is None:
        return thread
    least, most = growth
    found = before_heat_treatment(
        thread=thread, growth_min_ratio=least, growth_max_ratio=most, trail=request.trail
    )
    state: State = "before-hardening"
    if thread.state == "before-coating":
        state = "before-hardening-and-coating"
    return _with_limits(
        thread,
        state,
        found.major_diameter,
        found.pitch_diameter,
        found.minor_diameter,
        f"taken back by a growth of {100 * least:g} to {100 * most:g} %",
    )


def _with_limits(
    thread: ThreadLimits, state: State, major: Band, pitch: Band, minor: Band, why: str
) -> ThreadLimits:
    """The thread with other limits, in its own unit, to the last place that an answer tells."""
    scale = MM_PER_IN if thread.unit == "in" else 1.0
    places = LENGTH.decimals(thread.unit)

    def span(band: Band) -> Span:
        largest, smallest = (
            None if each is None else nearest(each / scale, places)
            for each in (band.max_mm, band.min_mm)
        )
        return Span(max=largest, min=smallest)

    return replace(
        thread,
        limits=DiameterLimits(
            major_diameter=span(major), pitch_diameter=span(pitch), minor_diameter=span(minor)
        ),
        basis=f"{thread.basis}; {why}",
        state=state,
    )


def _note(finished: ThreadLimits, thread: ThreadLimits, trail: Trail) -> None:
    """Say that the limits are not those of the finished part."""
    limits = finished.in_millimetres().limits.pitch_diameter
    follows = {
        "before-coating": "coated",
        "before-hardening": "hardened",
        "before-hardening-and-coating": "hardened and coated",
    }[thread.state]
    ends = [f"{each:.4f} mm" for each in (limits.min, limits.max) if each is not None]
    trail.caution(
        "cut-before-treatment",
        f"The limits are those to cut to, before the part is {follows}; after that its pitch "
        f"diameter is to be from {' to '.join(ends)}. Do not measure the finished part by them.",
    )


def treated(request: Request, thread: ThreadLimits, unit: Unit) -> dict[str, Any]:
    """The members that the remaining keys of a request ask for; the keys are used up.

    Raises
    ------
    CalcError
        If a key lacks its companion, or nothing is left of a tolerance.
    """
    values, trail = request.values, request.trail
    found: dict[str, Any] = {}
    thickness_mm = values.pop("coating_thickness_mm", None)
    thinnest_mm = values.pop("coating_thickness_min_mm", None)
    coated_mm = values.pop("coated_length_mm", None)
    if thickness_mm is not None:
        found["before_coating"] = before_coating(
            thread=thread, thickness_max_mm=thickness_mm, thickness_min_mm=thinnest_mm, trail=trail
        )
        found["coated_fit"] = coated_fit(
            thread=thread,
            thickness_max_mm=thickness_mm,
            thickness_min_mm=thinnest_mm,
            coated_length_mm=coated_mm,
            trail=trail,
        )
    elif thinnest_mm is not None or coated_mm is not None:
        raise _needs("coating_thickness", _LARGEST_THICKNESS)
    growth = _growth(values)
    if growth is not None:
        found["before_heat_treatment"] = before_heat_treatment(
            thread=thread, growth_min_ratio=growth[0], growth_max_ratio=growth[1], trail=trail
        )
    found |= _functional(request, thread)
    return {name: present(member, unit) for name, member in found.items()}


def _growth(values: dict[str, Any]) -> tuple[float, float] | None:
    """Both ends of the growth, or none; their keys are used up."""
    least, most = values.pop("growth_min_ratio", None), values.pop("growth_max_ratio", None)
    if least is None and most is None:
        return None
    if least is None or most is None:
        raise _needs("growth_min" if least is None else "growth_max", "both ends of the growth")
    return least, most


def _functional(request: Request, thread: ThreadLimits) -> dict[str, Any]:
    values = request.values
    simple_mm = values.pop("measured_pitch_diameter_mm", None)
    errors = {
        inner: values.pop(key)
        for key, inner in (
            ("pitch_error_mm", "pitch_error_mm"),
            ("flank_angle_error_deg", "pressure_error_deg"),
            ("clearance_flank_angle_error_deg", "clearance_error_deg"),
        )
        if key in values
    }
    if simple_mm is None:
        if errors:
            raise _needs("measured_pitch_diameter", "the pitch diameter that was measured")
        return {}
    if "pressure_error_deg" in errors and "clearance_error_deg" not in errors:
        errors["clearance_error_deg"] = errors["pressure_error_deg"]
        request.trail.assume(
            "clearance_flank_angle_error_deg",
            errors["clearance_error_deg"],
            "none given; as that of the other flank",
        )
    return {
        "functional_size": functional_size(
            thread=thread, pitch_diameter_mm=simple_mm, trail=request.trail, **errors
        )
    }


def _needs(key: str, accepted: str) -> MissingInputError:
    return MissingInputError(f"{key} is missing", parameter=key, accepted=accepted)
