"""What thread limits are asked for beside the limits: coating, hardening, functional size."""

from __future__ import annotations

from typing import Any

from threadwright_service.api.operation import Request
from threadwright_service.api.presentation import present
from threadwright_service.calc.errors import MissingInputError
from threadwright_service.calc.measurement.treatments.coating import before_coating, coated_fit
from threadwright_service.calc.measurement.treatments.functional_size import functional_size
from threadwright_service.calc.measurement.treatments.heat_treatment import before_heat_treatment
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.schemas.quantities import Unit


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
        raise _needs("coating_thickness", "the coating's largest thickness on one surface")
    least, most = values.pop("growth_min_ratio", None), values.pop("growth_max_ratio", None)
    if least is not None or most is not None:
        if least is None or most is None:
            raise _needs("growth_min" if least is None else "growth_max", "both ends of the growth")
        found["before_heat_treatment"] = before_heat_treatment(
            thread=thread, growth_min_ratio=least, growth_max_ratio=most, trail=trail
        )
    found |= _functional(request, thread)
    return {name: present(member, unit) for name, member in found.items()}


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
