"""What the person at the machine should know beside a size correction."""

from __future__ import annotations

from threadwright_service.calc.measurement.correction.correction_decision import State
from threadwright_service.calc.measurement.correction.correction_result import SizeCorrection
from threadwright_service.calc.trail import Trail


def note_cautions(result: SizeCorrection, state: State, trail: Trail | None) -> None:
    """Note what goes with this correction.

    Parameters
    ----------
    result : SizeCorrection
        The answer.
    state : State
        What it rests on.
    trail : Trail or None
        Takes the cautions.

    Notes
    -----
    Source: common practice.
    """
    if trail is None:
        return
    trail.caution(
        "one-offset",
        "Make one correction for each check, on the finishing pass alone; leave height and lead "
        "as they are. Prove out above the part after any change of an offset.",
    )
    if state.uncertainty_mm is None:
        trail.caution(
            "uncertainty-unknown",
            "No measurement uncertainty is given: sizes near a limit are judged as if it were 0.",
        )
    if result.recut is not None and result.recut.advice in ("wise", "unwise"):
        trail.caution(
            "recut-in-register",
            "Cut the same part again only if it was not moved and the cutter starts at the same "
            "height and angle; else the new groove misses the old one.",
        )
    if state.drift.is_step:
        trail.caution(
            "step",
            "The last part lies far off the others: measure it again, and look for a chipped "
            "edge, a chip under the wire, a moved part or a changed cutter before correcting.",
        )
    if state.wear_start and result.next_correction_after_parts is not None:
        _warn_of_direction(state, trail)
    if result.next_correction_after_parts == 0:
        trail.caution(
            "drift-too-fast",
            "The drift takes the mean size out of its band within one part: measure every part "
            "and correct each time, or mend the cause.",
        )
    if len(result.parts) == 1:
        trail.caution(
            "new-cutter",
            "A new cutter is off by its own diameter tolerance (0.02 mm to 0.05 mm is ordinary): "
            "treat its first part as the first of a set-up again.",
        )


def _warn_of_direction(state: State, trail: Trail) -> None:
    if state.slope_mm is not None and state.slope_mm < 0:
        trail.caution(
            "drift-against-wear",
            "The parts lose metal as the lot goes on, which a wearing cutter does not do: look "
            "for warmth or build-up on the edge. The start is set for this drift.",
        )
