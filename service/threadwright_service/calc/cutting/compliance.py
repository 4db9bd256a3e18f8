"""How much the tool of an operation bends for each newton."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.cutting.case import CuttingTool, Reference
from threadwright_service.calc.errors import MissingInputError, OutOfRangeError
from threadwright_service.calc.milling.loads.deflection import bending_compliance_um_per_n, body_of
from threadwright_service.calc.trail import Trail

FLUTED_SHARE: Final = 0.8
"""A fluted length bends like a round bar of this share of the cutting diameter (memory)."""


def tool_compliance_um_per_n(*, tool: CuttingTool, trail: Trail | None = None) -> float | None:
    """Bending of the tool at its teeth for each newton [µm/N]; ``None`` without a stick-out.

    Raises
    ------
    OutOfRangeError
        If the neck is longer than the stick-out, or a length is not above zero.

    Notes
    -----
    Source: beam-theory, a neck at the teeth and a shank behind it; fluted length memory.
    """
    if tool.stick_out_mm is None:
        return None
    shank_mm = tool.shank_diameter_mm
    if shank_mm is None:
        shank_mm = tool.neck_diameter_mm or FLUTED_SHARE * tool.diameter_mm
        if trail is not None:
            trail.assume(
                "cutter_shank_diameter",
                shank_mm,
                "none given: the neck's diameter, or 0.8 of the cutting diameter for a mill that "
                "is fluted to the holder",
                unit="mm",
            )
    return _compliance(tool, tool.stick_out_mm, shank_mm, trail)


def reference_compliance_um_per_n(*, tool: CuttingTool, reference: Reference) -> float:
    """Bending of the reference's tool: this one with the reference's stick-out and shank.

    Raises
    ------
    MissingInputError
        If this tool's stick-out is missing, so that there is nothing to compare.
    OutOfRangeError
        As :func:`tool_compliance_um_per_n`.

    Notes
    -----
    Source: beam-theory.
    """
    if tool.stick_out_mm is None:
        raise MissingInputError(
            "the reference has a stick-out, but this tool's is missing",
            parameter="cutter_stick_out",
            accepted="a length above zero",
        )
    stick_out_mm = tool.stick_out_mm if reference.stick_out_mm is None else reference.stick_out_mm
    shank_mm = (
        reference.shank_diameter_mm
        or tool.shank_diameter_mm
        or tool.neck_diameter_mm
        or FLUTED_SHARE * tool.diameter_mm
    )
    return _compliance(tool, stick_out_mm, shank_mm, None)


def _compliance(
    tool: CuttingTool, stick_out_mm: float, shank_mm: float, trail: Trail | None
) -> float:
    neck_mm = tool.neck_length_mm or 0.0
    if neck_mm > stick_out_mm:
        raise OutOfRangeError(
            f"a neck of {neck_mm:g} mm is longer than the stick-out of {stick_out_mm:g} mm",
            parameter="cutter_stick_out",
            value=stick_out_mm,
            accepted=f"{neck_mm:g} mm or more",
        )
    modulus_mpa, _ = body_of(tool.material)
    return bending_compliance_um_per_n(
        neck_diameter_mm=tool.neck_diameter_mm or shank_mm,
        neck_length_mm=neck_mm,
        shank_diameter_mm=shank_mm,
        shank_length_mm=stick_out_mm - neck_mm,
        modulus_mpa=modulus_mpa,
        trail=trail,
    )
