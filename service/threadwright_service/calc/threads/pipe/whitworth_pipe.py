"""What the two ISO pipe threads of Whitworth form share: sizes, profile and call-outs [mm].

55° between the flanks, crests and roots rounded. The pitch is 25.4/n, rounded to 0.001 mm first,
and the height to 0.001 mm from it; the diameters follow from those (192 of 192 published values).
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

from threadwright_service.calc import tables
from threadwright_service.calc.errors import (
    AmbiguousError,
    CalcError,
    NotTabulatedError,
    UnknownDesignationError,
)
from threadwright_service.calc.rounding import half_up
from threadwright_service.calc.threads.designation import without_qualifiers
from threadwright_service.calc.threads.inch_call_out import SIZE, size_in, written_size
from threadwright_service.calc.threads.side_words import without_side
from threadwright_service.calc.threads.thread import Diameters, Hand, Side, ThreadForm
from threadwright_service.calc.trail import Formula, Trail
from threadwright_service.calc.units import MM_PER_IN

FLANK_ANGLE_DEG: Final = 27.5
TAPER_RATIO: Final = 1 / 16
"""Taper of R and Rc on the diameter."""

PITCH: Final = Formula("pitch", "P", "25.4 / n", "n", unit="mm", source="iso-228-1")
TRIANGLE: Final = Formula(
    "height of the triangle", "H", "0.960491 * P", "P", unit="mm", source="iso-228-1"
)
HEIGHT: Final = Formula("height of thread", "h", "0.640327 * P", "P", unit="mm", source="iso-228-1")
RADIUS: Final = Formula(
    "radius of crest and root", "r", "0.137329 * P", "P", unit="mm", source="iso-228-1"
)
TRUNCATION: Final = Formula("truncation", "H/6", "H / 6", "H", unit="mm", source="iso-228-1")
_PITCH_DIAMETER: Final = Formula(
    "basic pitch diameter", "d2", "d - h", "d h", unit="mm", source="iso-228-1"
)
_MINOR: Final = Formula(
    "basic minor diameter", "d1", "d - 2 * h", "d h", unit="mm", source="iso-228-1"
)

Series = Literal["G", "R", "Rp", "Rc"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PipeSize:
    """One row of the size table; ``above_2_in`` picks the row of the tolerances."""

    size: str
    threads_per_inch: int
    major_diameter_mm: float
    bs_21_in: float
    basis: str
    above_2_in: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """Pitch, basic diameters and form of one size [mm]."""

    pitch_mm: float
    height_mm: float
    basic: Diameters
    reference: Mapping[str, float]
    radius_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PipeCallOut:
    """One pipe call-out taken apart."""

    series: Series
    size: str
    tolerance_class: str
    side: Side | None
    hand: Hand


@cache
def all_sizes() -> Mapping[str, PipeSize]:
    """The size table, by size as it is written.

    Notes
    -----
    Source: iso-228-1 and iso-7-1, Table 1; basis by row.
    """
    return {
        str(row["size"]): PipeSize(
            size=str(row["size"]),
            threads_per_inch=int(row["threads_per_inch"]),
            major_diameter_mm=float(row["major_diameter_mm"]),
            bs_21_in=float(row["bs_21_in"]),
            basis=str(row["basis"]),
            above_2_in=float(row["nominal_in"]) > 2,
        )
        for row in tables.load(__package__, "tables/whitworth_pipe_sizes")
    }


def size_of(text: str, known: Iterable[str], *, standard: str) -> PipeSize:
    """The row of a size that a standard has.

    Raises
    ------
    NotTabulatedError
        If it has none; the nearest sizes are named.
    UnknownDesignationError
        If the text is no size.
    """
    asked_in = size_in(text)
    written = written_size(asked_in)
    names = tuple(known)
    if written in names:
        return all_sizes()[written]
    nearest = sorted(names, key=lambda name: abs(math.log(size_in(name) / asked_in)))[:4]
    raise NotTabulatedError(
        f"{standard} has no size {written}",
        parameter="nominal_diameter",
        value=text,
        accepted=f"near sizes: {', '.join(sorted(nearest, key=size_in))}",
    )


def size_of_number(value: float) -> str:
    """The written size for a number: a size in inch, the same in mm, or a major diameter in mm.

    No number means two sizes: the largest size is 6 and the smallest major diameter 7.723.

    Raises
    ------
    NotTabulatedError
        If it is none of them.

    Examples
    --------
    >>> size_of_number(0.5), size_of_number(12.7), size_of_number(20.955)
    ('1/2', '1/2', '1/2')
    """
    for name, row in all_sizes().items():
        inches = size_in(name)
        if any(
            abs(value - each) < 5e-4 for each in (inches, inches * MM_PER_IN, row.major_diameter_mm)
        ):
            return name
    raise NotTabulatedError(
        f"{value:g} is neither a pipe size nor a major diameter of one",
        parameter="nominal_diameter",
        value=value,
        accepted="a size, as 1/2",
    )


def profile(size: PipeSize, *, trail: Trail | None = None) -> Profile:
    """Pitch, height, radius and basic diameters [mm].

    Notes
    -----
    Source: iso-228-1, clause on the profile; gost-6357 prints the profile's unrounded heights,
    and takes H/6 from H as rounded to 6 decimals.

    Examples
    --------
    The row of 1/8, ISO 228-1 Table 1: pitch 0.907, height 0.581, 9.147 and 8.566:

    >>> profile(all_sizes()["1/8"]).basic
    Diameters(major_diameter=9.728, pitch_diameter=9.147, minor_diameter=8.566)
    """
    pitch = PITCH.rounded(trail, size.threads_per_inch, to=half_up, places=3)
    height = HEIGHT.rounded(trail, pitch, to=half_up, places=3)
    triangle = half_up(TRIANGLE(trail, pitch), 6)
    radius = half_up(RADIUS(trail, pitch), 6)
    major = size.major_diameter_mm
    return Profile(
        pitch_mm=pitch,
        height_mm=height,
        radius_mm=radius,
        basic=Diameters(
            major_diameter=major,
            pitch_diameter=_PITCH_DIAMETER.rounded(trail, major, height, to=half_up, places=3),
            minor_diameter=_MINOR.rounded(trail, major, height, to=half_up, places=3),
        ),
        reference={
            "thread_height": height,
            "profile_height": half_up(HEIGHT.function(pitch), 6),
            "triangle_height": triangle,
            "truncation": half_up(TRUNCATION(trail, triangle), 6),
        },
    )


def whitworth_form(*, name: str, taper_ratio: float = 0.0) -> ThreadForm:
    """The Whitworth profile: 55° between the flanks, crests and roots rounded.

    Notes
    -----
    Source: iso-228-1; bs-84: h = 0.640327 P, half of it on either side of the pitch line; the
    radius of crests and roots r = 0.137329 P.
    """
    return ThreadForm(
        name=name,
        pressure_flank_angle_deg=FLANK_ANGLE_DEG,
        clearance_flank_angle_deg=FLANK_ANGLE_DEG,
        addendum_ratio=_HALF_HEIGHT_RATIO,
        dedendum_ratio=_HALF_HEIGHT_RATIO,
        external_root_ratio=_HALF_HEIGHT_RATIO,
        internal_root_ratio=_HALF_HEIGHT_RATIO,
        external_root_flat_ratio=0.0,
        internal_root_flat_ratio=0.0,
        taper_ratio=taper_ratio,
        crest_radius_ratio=_RADIUS_RATIO,
    )


_HALF_HEIGHT_RATIO: Final = 0.640327 / 2
_RADIUS_RATIO: Final = 0.137329

_SYMBOL_FIRST: Final = re.compile(
    rf"(?P<symbol>G|RP|RC|R|BSPP|BSPT|BSP)[ \-]*(?P<size>{SIZE})(?: ?(?:\"|in\.?|inch))?"
    r"(?P<rest>(?:[ \-].*|[AB])?)",
    re.IGNORECASE,
)
_SIZE_FIRST: Final = re.compile(
    rf"(?P<size>{SIZE})(?: ?(?:\"|in\.?|inch))?(?:[ \-]+(?P<count>[0-9]{{1,2}})(?: ?TPI)?)?"
    r"[ \-]*(?P<symbol>G|RP|RC|R|BSPP|BSPT|BSP)(?P<rest>(?:[ \-].*)?)",
    re.IGNORECASE,
)
_COUNT: Final = re.compile(r"[ \-]*(?:x ?)?(?P<count>[0-9]{1,2})(?: ?TPI)?(?=$|[ \-])", re.I)
_TAPER: Final[Mapping[Side, Series]] = {"external": "R", "internal": "Rc"}


def take_apart(text: str) -> PipeCallOut | None:
    """Read a tidied call-out of a G, R, Rp or Rc thread; ``None`` if it is none.

    BSPP is read as G. BSPT is R outside and Rc inside, once the side is said; BSP alone may be
    either.

    Raises
    ------
    AmbiguousError
        For BSP, and for BSPT without a side.
    UnknownDesignationError
        If threads per inch are written that the size has not.
    NotTabulatedError
        If several starts are written.

    Examples
    --------
    >>> found = take_apart("G1 1/2 B LH")
    >>> found.series, found.size, found.tolerance_class, found.hand
    ('G', '1 1/2', 'B', 'left')
    """
    if _SYMBOL_FIRST.match(text) is None and _SIZE_FIRST.match(text) is None:
        return None
    plain, qualifiers = without_qualifiers(text)
    one_start(qualifiers.starts or 1)
    plain, side = without_side(plain)
    match = _SYMBOL_FIRST.fullmatch(plain) or _SIZE_FIRST.fullmatch(plain)
    if match is None:
        return None
    rest = match["rest"]
    behind = _COUNT.match(rest)
    if behind is not None:
        rest = rest[behind.end() :]
    for found in (behind, match if match.re is _SIZE_FIRST else None):
        if found is not None and found["count"]:
            _check_count(match["size"], int(found["count"]), text)
    return PipeCallOut(
        series=_series(match["symbol"].upper(), side, text),
        size=match["size"],
        tolerance_class=rest.strip(" -()").upper(),
        side=side,
        hand=qualifiers.hand or "right",
    )


def one_start(starts: int) -> None:
    """Refuse several starts, which no pipe thread has.

    Raises
    ------
    NotTabulatedError
        If there is more than one.
    """
    if starts != 1:
        raise NotTabulatedError(
            "pipe threads have one start", parameter="starts", value=starts, accepted="1"
        )


def refuse_class(parts: PipeCallOut, *, text: str, accepted: str) -> CalcError:
    """The refusal of whatever stands behind the size and is no class."""
    return UnknownDesignationError(
        f"'{parts.tolerance_class}' behind {parts.series}{parts.size} is no class of this standard",
        parameter="tolerance_class",
        value=text,
        accepted=accepted,
    )


def _series(symbol: str, side: Side | None, text: str) -> Series:
    """The series of a symbol."""
    if symbol == "BSP" or (symbol == "BSPT" and side is None):
        raise AmbiguousError(
            f"'{text}': {symbol} "
            + (
                "may be the parallel thread or the taper one"
                if symbol == "BSP"
                else "does not say whether outside (R) or inside (Rc)"
            ),
            parameter="designation",
            value=text,
            accepted="G (parallel, ISO 228-1), R (taper outside), Rc (taper inside) or Rp "
            "(parallel inside, ISO 7-1)",
        )
    if symbol == "BSPT":
        return _TAPER[side or "external"]
    known: dict[str, Series] = {"G": "G", "BSPP": "G", "R": "R", "RP": "Rp", "RC": "Rc"}
    return known[symbol]


def _check_count(size: str, count: int, text: str) -> None:
    """Threads per inch beside a pipe size must be those of the size."""
    row = all_sizes().get(written_size(size_in(size)))
    if row is not None and row.threads_per_inch != count:
        raise UnknownDesignationError(
            f"a pipe thread of size {row.size} has {row.threads_per_inch} threads per inch",
            parameter="threads_per_inch",
            value=text,
            accepted=str(row.threads_per_inch),
        )
