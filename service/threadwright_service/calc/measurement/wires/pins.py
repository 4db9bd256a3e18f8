"""Choosing wires, pins or balls from the sizes on hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.errors import AmbiguousError, InfeasibleError, OutOfRangeError
from threadwright_service.calc.measurement.wires.wire_range import WireRange
from threadwright_service.calc.measurement.wires.wires import Method
from threadwright_service.calc.trail import Trail

OnHand = Literal["sets", "single-pins"]

_SIZES_MAX: Final = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class PinChoice:
    """Sizes chosen from those on hand."""

    wire_diameter_mm: float
    """Size on the side of the two wires, or of the only one."""
    opposite_wire_diameter_mm: float
    """Size on the other side."""
    off_best_mm: float
    """Mean of both sizes less the best size: what a half-angle error is multiplied by."""
    usable_mm: tuple[float, ...]
    """Sizes on hand that touch the flanks as they should, the smallest first."""
    unusable_mm: tuple[float, ...]
    """Sizes on hand that are too small or too large for the groove."""


def choose_pins(
    *,
    on_hand_mm: Sequence[float],
    wires: WireRange,
    method: Method = "three-wire",
    on_hand: OnHand = "sets",
) -> PinChoice:
    """The sizes on hand whose mean is nearest to the best wire.

    Parameters
    ----------
    on_hand_mm : sequence of float
        Sizes on hand [mm]; each above 0, 1,000 at most.
    wires : WireRange
        Best, largest and smallest wire of the groove.
    method : {"three-wire", "two-wire", "one-wire", "balls"}
        Says how many are needed: two alike and one, one on each side, or one.
    on_hand : {"sets", "single-pins"}
        ``sets``: there are enough of every size. ``single-pins``: each entry is one pin; a size
        that is there twice is listed twice. Two different pins on the two sides measure as well
        as two alike: their mean counts.

    Raises
    ------
    OutOfRangeError
        If a size is not above 0, or none lies between the smallest and the largest wire.
    InfeasibleError
        If there are too few single pins for the method.

    Notes
    -----
    Source: derivation.

    Examples
    --------
    For M10x1.5 (best 0.866 mm, 0.758 to 1.516 mm), from a set of pins in steps of 0.1 mm:

    >>> wires = WireRange(best_mm=0.8660, max_mm=1.5155, min_mm=0.7578, min_reason="")
    >>> sizes = [0.7, 0.8, 0.9, 1.0]
    >>> choose_pins(on_hand_mm=sizes, wires=wires).wire_diameter_mm
    0.9
    >>> pair = choose_pins(on_hand_mm=sizes, wires=wires, method="two-wire", on_hand="single-pins")
    >>> pair.wire_diameter_mm, pair.opposite_wire_diameter_mm
    (0.9, 0.8)
    """
    sizes = [float(size) for size in on_hand_mm]
    _check(sizes)
    usable = [size for size in sizes if _fits(size, wires)]
    if not usable:
        nearest = min(sizes, key=lambda size: abs(size - wires.best_mm))
        raise OutOfRangeError(
            f"none of the sizes on hand can be used; the nearest is {nearest:g} mm, the best wire "
            f"is {wires.best_mm:.4f} mm",
            parameter="wires_on_hand",
            value=nearest,
            accepted=accepted_wires(wires),
        )
    pairs = list(_pairs(usable, method, on_hand))
    if not pairs:
        raise InfeasibleError(
            f"{len(usable)} usable single pins are too few for the {method} method",
            parameter="wires_on_hand",
            value=len(usable),
            accepted="two alike and a third for three-wire, two for two-wire or balls",
        )
    first, second = min(
        pairs,
        key=lambda pair: (
            abs((pair[0] + pair[1]) / 2 - wires.best_mm),
            abs(pair[0] - pair[1]),
            -pair[0],
        ),
    )
    return PinChoice(
        wire_diameter_mm=first,
        opposite_wire_diameter_mm=second,
        off_best_mm=(first + second) / 2 - wires.best_mm,
        usable_mm=tuple(sorted(set(usable))),
        unusable_mm=tuple(sorted({size for size in sizes if not _fits(size, wires)})),
    )


def chosen_wires(
    *,
    wires: WireRange,
    method: Method,
    given_mm: tuple[float | None, float | None] = (None, None),
    on_hand_mm: Sequence[float] = (),
    on_hand: OnHand = "sets",
    trail: Trail | None = None,
) -> tuple[float, float | None, PinChoice | None]:
    """The wire, the one opposite if it differs, and the choice if one was made.

    Parameters
    ----------
    wires : WireRange
        Best, largest and smallest wire of the groove.
    method : {"three-wire", "two-wire", "one-wire", "balls"}
    given_mm : tuple of float or None
        The wire that the caller names, and the one on the other side if it differs [mm].
    on_hand_mm, on_hand
        See :func:`choose_pins`.
    trail : Trail, optional
        Takes the assumption of the best wire.

    Raises
    ------
    OutOfRangeError
        If the wire cannot be used in this groove, or none on hand can.
    AmbiguousError
        If a wire and sizes on hand are given together.
    InfeasibleError
        If only the wire of the other side is given, or single pins are too few.

    Notes
    -----
    Source: derivation.
    """
    if wires.min_mm is not None and wires.max_mm is not None and wires.min_mm > wires.max_mm:
        raise InfeasibleError(
            f"no wire fits this groove: {wires.min_reason}, yet one that large touches the corner "
            "of the crest",
            parameter="wire_diameter",
            accepted="another way of measuring",
        )
    first, second = given_mm
    if len(on_hand_mm) > 0:
        if first is not None or second is not None:
            raise AmbiguousError(
                "a wire and sizes on hand are given; only one of the two can say what is used",
                parameter="wires_on_hand",
                accepted="wire_diameter or wires_on_hand",
            )
        choice = choose_pins(on_hand_mm=on_hand_mm, wires=wires, method=method, on_hand=on_hand)
        return choice.wire_diameter_mm, choice.opposite_wire_diameter_mm, choice
    if first is None:
        if second is not None:
            raise InfeasibleError(
                "a wire for the other side is given without the one that it differs from",
                parameter="opposite_wire_diameter",
                value=second,
                accepted="wire_diameter and opposite_wire_diameter",
            )
        return _best_usable(wires, trail), None, None
    for parameter, wire in (("wire_diameter", first), ("opposite_wire_diameter", second)):
        if wire is not None:
            _check_wire(parameter, wire, wires)
    return first, second, None


def _best_usable(wires: WireRange, trail: Trail | None) -> float:
    best, reason = wires.best_mm, "none given; the best wire touches at the pitch line"
    if wires.min_mm is not None and wires.max_mm is not None and best < wires.min_mm:
        best = wires.min_mm + (wires.max_mm - wires.min_mm) / 4
        reason = (
            f"none given; the best wire of {wires.best_mm:.4f} mm cannot be used here "
            f"({wires.min_reason}), so one a quarter up the usable range is taken"
        )
    if trail is not None:
        trail.assume("wire_diameter", best, reason, unit="mm")
    return best


def _check_wire(parameter: str, wire: float, wires: WireRange) -> None:
    if wire <= 0:
        raise OutOfRangeError(
            f"{parameter} is {wire:g} mm; it must be above 0",
            parameter=parameter,
            value=wire,
            accepted=accepted_wires(wires),
        )
    if wires.max_mm is not None and wire > wires.max_mm:
        raise OutOfRangeError(
            f"a wire of {wire:g} mm touches the corner of the crest instead of the flanks; the "
            f"largest is {wires.max_mm:.4f} mm",
            parameter=parameter,
            value=wire,
            accepted=accepted_wires(wires),
        )
    if wires.min_mm is not None and wire < wires.min_mm:
        raise OutOfRangeError(
            f"a wire of {wire:g} mm is too small: {wires.min_reason}; the smallest is "
            f"{wires.min_mm:.4f} mm",
            parameter=parameter,
            value=wire,
            accepted=accepted_wires(wires),
        )


def accepted_wires(wires: WireRange) -> str:
    """The usable wires in words."""
    if wires.min_mm is not None and wires.max_mm is not None:
        return f"{wires.min_mm:.4f} mm to {wires.max_mm:.4f} mm, best {wires.best_mm:.4f} mm"
    return f"a wire near the best one, {wires.best_mm:.4f} mm"


def _check(sizes: Sequence[float]) -> None:
    if not sizes or len(sizes) > _SIZES_MAX or not all(size > 0 for size in sizes):
        raise OutOfRangeError(
            f"the sizes on hand are {len(sizes)} numbers, or one of them is not above 0",
            parameter="wires_on_hand",
            value=len(sizes),
            accepted=f"1 to {_SIZES_MAX} lengths above 0",
        )


def _fits(size: float, wires: WireRange) -> bool:
    return (wires.min_mm is None or size >= wires.min_mm) and (
        wires.max_mm is None or size <= wires.max_mm
    )


def _pairs(
    usable: Sequence[float], method: Method, on_hand: OnHand
) -> Iterator[tuple[float, float]]:
    counts = Counter(usable)
    for first, count in counts.items():
        if on_hand == "sets" or method == "one-wire":
            yield first, first
            continue
        needed = 2 if method == "three-wire" else 1
        if count < needed:
            continue
        for second in counts:
            if second != first or count > needed:
                yield first, second
