"""Parallel pipe threads, ISO 228-1: G, outside in class A or B, inside without a class [mm].

Keys of the result beside the limits: ``reference.thread_height`` (h to 0.001 mm),
``profile_height`` (h unrounded), ``triangle_height`` (H), ``truncation`` (H/6),
``pitch_diameter_tolerance`` (TD2; class B has twice this), ``minor_diameter_tolerance`` (TD1),
``major_diameter_tolerance`` (Td). The roots have no far limit: the outside minor diameter has no
limits at all, the inside major diameter has no maximum.
"""

from __future__ import annotations

from functools import cache
from typing import Final

from threadwright_service.calc import tables
from threadwright_service.calc.errors import AmbiguousError, MissingInputError
from threadwright_service.calc.rounding import half_up
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.designation import tidied
from threadwright_service.calc.threads.pipe import whitworth_pipe as pipe
from threadwright_service.calc.threads.record import record
from threadwright_service.calc.threads.registry import Family, Fields, StandardSize, agreed_class
from threadwright_service.calc.threads.rounding_rule import only_rule
from threadwright_service.calc.threads.side_words import side_of
from threadwright_service.calc.threads.thread import (
    NO_LIMIT,
    DiameterLimits,
    Diameters,
    Side,
    Span,
    ThreadLimits,
)
from threadwright_service.calc.trail import Formula, Trail

KEY: Final = "iso-228-1"
SERIES: Final = "G"
STANDARD: Final = "ISO 228-1"
CLASSES: Final = ("A", "B")
ROUNDING_RULE: Final = (
    "pitch 25.4/n to 0.001 mm, height from it to 0.001 mm, half up; tolerances whole micrometres; "
    "then exact sums"
)
_ACCEPTED: Final = "A or B for the outside thread, no class for the inside one"
_OPEN_SIDE: Final = (
    "ISO 228-1 writes the outside thread with class A or B, the inside one without a class"
)
_LESS: Final = Formula(
    "limit of size", "limit", "size - T / 1000", "size T", unit="mm", source="iso-228-1, Table 1"
)
_PLUS: Final = Formula(
    "limit of size", "limit", "size + T / 1000", "size T", unit="mm", source="iso-228-1, Table 1"
)


@cache
def sizes() -> tuple[StandardSize, ...]:
    """The sizes of ISO 228-1; ``nominal_diameter`` is the major diameter [mm].

    Notes
    -----
    Source: iso-228-1, Table 1.
    """
    return tuple(
        StandardSize(
            series=SERIES,
            size=row.size,
            nominal_diameter=row.major_diameter_mm,
            pitch=half_up(pipe.PITCH.function(row.threads_per_inch), 3),
            threads_per_inch=row.threads_per_inch,
        )
        for row in pipe.all_sizes().values()
    )


def parse(
    text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
) -> CallOut | None:
    """Read a tidied call-out; ``None`` if it is no G thread.

    Raises
    ------
    CalcError
        If it is one, and is wrong or says two things.

    Examples
    --------
    >>> parse("G1/2 A").side, parse("G 3/4").side, parse("G1/2A").tolerance_class
    ('external', 'internal', 'A')
    """
    parts = pipe.take_apart(text)
    if parts is None or parts.series != SERIES:
        return None
    given = (tolerance_class or "").strip().upper()
    if parts.tolerance_class not in {"", *CLASSES}:
        raise pipe.refuse_class(parts, text=text, accepted=_ACCEPTED)
    del trail
    return _call_out(parts, agreed_class(parts.tolerance_class, given))


def read(fields: Fields, *, trail: Trail | None = None) -> CallOut:
    """Make the call-out from fields: ``nominal_diameter`` is the size, as ``1/2``.

    Raises
    ------
    CalcError
        If a value is missing or wrong.
    """
    del trail
    return _call_out(fields_parts(fields, SERIES), (fields.tolerance_class or "").strip().upper())


def fields_parts(fields: Fields, series: pipe.Series) -> pipe.PipeCallOut:
    """The parts of a pipe call-out from fields.

    Raises
    ------
    MissingInputError
        If there is no size.
    NotTabulatedError
        If a number is neither a size nor a major diameter.
    """
    size = fields.nominal_diameter
    if size is None:
        raise MissingInputError(
            f"a {series} thread is named by its pipe size, and there is none",
            parameter="nominal_diameter",
            accepted="the size, as 1/2",
        )
    pipe.one_start(1 if fields.starts is None else fields.starts)
    return pipe.PipeCallOut(
        series=series,
        size=tidied(size).upper().removeprefix(series.upper()).strip()
        if isinstance(size, str)
        else pipe.size_of_number(size),
        tolerance_class="",
        side=fields.side,
        hand=fields.hand or "right",
    )


def _call_out(parts: pipe.PipeCallOut, tolerance_class: str) -> CallOut:
    """The record, once class and side agree."""
    row = pipe.size_of(parts.size, pipe.all_sizes(), standard=STANDARD)
    if tolerance_class not in {"", *CLASSES}:
        raise pipe.refuse_class(
            pipe.PipeCallOut(
                series="G",
                size=row.size,
                tolerance_class=tolerance_class,
                side=parts.side,
                hand=parts.hand,
            ),
            text=tolerance_class,
            accepted=_ACCEPTED,
        )
    side: Side = "external" if tolerance_class else "internal"
    if parts.side not in {None, side}:
        if parts.side == "external":
            raise _no_class(row.size)
        raise AmbiguousError(
            f"class {tolerance_class} is of the outside thread, the call-out says inside",
            parameter="side",
            value=parts.side,
            accepted=_ACCEPTED,
        )
    return CallOut(
        family=KEY,
        series=SERIES,
        size=row.size,
        nominal_diameter=row.major_diameter_mm,
        pitch=half_up(pipe.PITCH.function(row.threads_per_inch), 3),
        threads_per_inch=row.threads_per_inch,
        tolerance_class=tolerance_class,
        side=side,
        side_stated=bool(tolerance_class) or parts.side is not None,
        hand=parts.hand,
    )


def _no_class(size: str) -> MissingInputError:
    return MissingInputError(
        f"the outside thread G{size} has no class",
        parameter="tolerance_class",
        accepted="A or B",
    )


def limits(
    call_out: CallOut,
    *,
    rounding: str | None = None,
    trail: Trail | None = None,
    side: Side | None = None,
) -> ThreadLimits:
    """Limits of size of one parallel pipe thread [mm].

    Raises
    ------
    NotTabulatedError
        If several starts are asked for.
    MissingInputError
        If the outside thread is asked for and the call-out has no class.
    AmbiguousError
        If the call-out says one side and ``side`` the other.

    Notes
    -----
    Source: iso-228-1, Table 1. 192 of 192 published values are reproduced.

    Examples
    --------
    >>> limits(parse("G1/2 A")).limits.pitch_diameter
    Span(max=19.793, min=19.651)
    """
    only_rule(rounding)
    pipe.one_start(call_out.starts)
    if side_of(call_out, side, trail, reason=_OPEN_SIDE) != call_out.side:
        raise _no_class(call_out.size)
    row = pipe.all_sizes()[call_out.size]
    found = pipe.profile(row, trail=trail)
    tolerances = tables.load(__package__, "tables/iso_228_1_tolerances").row(
        threads_per_inch=row.threads_per_inch, above_2_in=row.above_2_in
    )
    amounts = {
        "pitch_diameter": float(tolerances["pitch_um"]),
        "minor_diameter": float(tolerances["minor_um"]),
        "major_diameter": float(tolerances["major_um"]),
    }
    hand = " LH" if call_out.hand == "left" else ""
    return record(
        call_out,
        designation=f"{SERIES}{row.size}{call_out.tolerance_class and ' '}"
        f"{call_out.tolerance_class}{hand}",
        standard=STANDARD,
        unit="mm",
        form=pipe.whitworth_form(name="Whitworth pipe, parallel, 55°"),
        basic=found.basic,
        limits=_sized(call_out, found.basic, amounts, trail),
        reference={
            **found.reference,
            **{f"{name}_tolerance": amount / 1000 for name, amount in amounts.items()},
        },
        root_radius=Span(max=found.radius_mm, min=found.radius_mm),
        rounding_rule=ROUNDING_RULE,
        basis=f"tolerances published, 192 of 192 values reproduced; major diameter {row.basis}"
        + (
            ""
            if row.basis == "published"
            else f" from the inch size {row.bs_21_in:.3f} of BS 21, recalled"
        ),
    )


def _sized(
    call_out: CallOut, basic: Diameters, amounts: dict[str, float], trail: Trail | None
) -> DiameterLimits:
    """Limits from basic diameters and tolerances [mm, um]; class B has the pitch one twice."""

    def below(name: str, factor: int = 1) -> Span:
        size = getattr(basic, name)
        amount = factor * amounts[name]
        return Span(max=size, min=_LESS.rounded(trail, size, amount, to=half_up, places=3))

    def above(name: str) -> Span:
        size = getattr(basic, name)
        return Span(max=_PLUS.rounded(trail, size, amounts[name], to=half_up, places=3), min=size)

    if call_out.side == "external":
        return DiameterLimits(
            major_diameter=below("major_diameter"),
            pitch_diameter=below("pitch_diameter", 2 if call_out.tolerance_class == "B" else 1),
            minor_diameter=NO_LIMIT,
        )
    return DiameterLimits(
        major_diameter=Span(max=None, min=basic.major_diameter),
        pitch_diameter=above("pitch_diameter"),
        minor_diameter=above("minor_diameter"),
    )


FAMILY: Final = Family(
    key=KEY,
    title="Pipe threads where pressure-tight joints are not made on the threads",
    standard=STANDARD,
    unit="mm",
    symbols=(SERIES,),
    classes=CLASSES,
    parse=parse,
    read=read,
    limits=limits,
    sizes=sizes,
    options=("side",),
)
