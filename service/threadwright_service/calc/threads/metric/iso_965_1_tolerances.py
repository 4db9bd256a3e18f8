"""Fundamental deviations, tolerances and engagement groups of ISO metric threads.

The tables are the authority. For a pitch or a range that they lack, the grade-6 formula goes to
the nearest R40 number and the grade's shift is added; such a value says "not tabulated".
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Final, NamedTuple, NoReturn

from threadwright_service.calc.errors import NotTabulatedError, OutOfRangeError
from threadwright_service.calc.tables import load
from threadwright_service.calc.threads import r40
from threadwright_service.calc.threads.metric.iso_965_1_classes import metric_class
from threadwright_service.calc.trail import Formula, Trail

_RANGES_MM: Final = r40.DIAMETER_RANGES_MM
SMALLEST_MM: Final = 1.0
LARGEST_MM: Final = 355.0
FINEST_MM: Final = 0.2
COARSEST_MM: Final = 8.0
_WORDS: Final = {
    "P": "published table",
    "I": "implied by published limits",
    "R": "memory, equal to the rule of the published cells",
    "M": "memory",
    "D": "definition",
    "F": "not tabulated: by formula and nearest R40 number",
}
_AZ_STATED_FROM_MM: Final = 1.5
_AZ_STATED_TO_MM: Final = 6.0


class Cell(NamedTuple):
    """One value of a table [um] and the letter that says what it rests on."""

    value_um: int
    basis: str

    @property
    def words(self) -> str:
        """The basis in words."""
        return _WORDS[self.basis]


class ClassTolerances(NamedTuple):
    """What a tolerance class sets for one pitch and range of diameters [um], and its basis."""

    deviation_um: int
    crest_deviation_um: int
    crest_um: int
    pitch_um: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """One tolerated diameter: its table, and its rule outside of the table."""

    symbol: str
    quantity: str
    table: str
    by_range: bool
    index: Callable[[float, float], int]
    shift: Mapping[int, int]


EXTERNAL_PITCH: Final = Tolerance(
    symbol="Td2",
    quantity="tolerance of the external pitch diameter",
    table="tables/iso_965_1_external_pitch",
    by_range=True,
    index=r40.pitch_index,
    shift=r40.EXTERNAL_PITCH_SHIFT,
)
INTERNAL_PITCH: Final = Tolerance(
    symbol="TD2",
    quantity="tolerance of the internal pitch diameter",
    table="tables/iso_965_1_internal_pitch",
    by_range=True,
    index=r40.pitch_index,
    shift={grade: shift for grade, shift in r40.INTERNAL_PITCH_SHIFT.items() if grade <= 8},
)
EXTERNAL_MAJOR: Final = Tolerance(
    symbol="Td",
    quantity="tolerance of the external major diameter",
    table="tables/iso_965_1_external_major",
    by_range=False,
    index=lambda _diameter_mm, pitch_mm: r40.major_index(pitch_mm),
    shift=r40.MAJOR_SHIFT,
)
INTERNAL_MINOR: Final = Tolerance(
    symbol="TD1",
    quantity="tolerance of the internal minor diameter",
    table="tables/iso_965_1_internal_minor",
    by_range=False,
    index=lambda _diameter_mm, pitch_mm: r40.minor_index(pitch_mm),
    shift=r40.MINOR_SHIFT,
)


@cache
def _cells(table: str) -> Mapping[tuple[float, float], Mapping[int, Cell]]:
    """A tolerance table by range (its lower limit, 0 where it has none) and pitch."""
    cells: dict[tuple[float, float], dict[int, Cell]] = {}
    for row in load(__package__, table):
        grades = [column for column in row if column.startswith("grade_")]
        cells[float(row.get("d_over_mm", 0)), float(row["pitch_mm"])] = {
            int(column.removeprefix("grade_").removesuffix("_um")): Cell(int(row[column]), letter)
            for column, letter in zip(grades, str(row["basis"]), strict=True)
            if row[column]
        }
    return cells


def tolerance(
    which: Tolerance,
    grade: int,
    *,
    diameter_mm: float,
    pitch_mm: float,
    trail: Trail | None = None,
) -> Cell:
    """Tolerance of one diameter in one grade.

    Parameters
    ----------
    which : Tolerance
        :data:`EXTERNAL_PITCH`, :data:`INTERNAL_PITCH`, :data:`EXTERNAL_MAJOR` or
        :data:`INTERNAL_MINOR`.
    grade : int
        Tolerance grade, 3 to 9.
    diameter_mm : float
        Nominal diameter, d [mm]; above 0.99 up to 355.
    pitch_mm : float
        Pitch, P [mm].
    trail : Trail, optional
        Takes the working.

    Raises
    ------
    NotTabulatedError
        If the table has the pitch but not this grade.
    OutOfRangeError
        If the pitch is not in the table and the formula is not stated for it.

    Notes
    -----
    Source: iso-965-1, tolerance tables; iso-3 and the grade-6 formulas outside of them.

    Examples
    --------
    >>> tolerance(EXTERNAL_PITCH, 6, diameter_mm=24, pitch_mm=1.5)
    Cell(value_um=150, basis='P')
    """
    row = _cells(which.table).get((range_over_mm(diameter_mm) if which.by_range else 0.0, pitch_mm))
    if row is None:
        if grade not in which.shift:
            _refuse_grade(which, grade, pitch_mm, which.shift)
        cell = Cell(_by_formula_um(which, grade, diameter_mm, pitch_mm), "F")
    elif grade in row:
        cell = row[grade]
    else:
        _refuse_grade(which, grade, pitch_mm, row)
    if trail is not None and trail.steps is not None:
        inputs: dict[str, float | int] = {"P": pitch_mm, "grade": grade}
        if which.by_range:
            inputs = {"d": diameter_mm, **inputs}
        formula = "R40, from the grade-6 formula" if row is None else "table"
        source = f"iso-965-1, {which.quantity}; {cell.words}"
        trail.step(which.quantity, which.symbol, formula, inputs, cell.value_um, "um", source)
    return cell


def _refuse_grade(
    which: Tolerance, grade: int, pitch_mm: float, grades: Mapping[int, object]
) -> NoReturn:
    raise NotTabulatedError(
        f"ISO 965-1 has no grade {grade} for the {which.quantity}, pitch {pitch_mm:g} mm",
        parameter="tolerance_class",
        value=grade,
        accepted="grades " + ", ".join(str(each) for each in sorted(grades)),
    )


def _by_formula_um(which: Tolerance, grade: int, diameter_mm: float, pitch_mm: float) -> int:
    index = which.index(diameter_mm, pitch_mm) + which.shift[grade]
    return round(r40.tolerance_um(index))


def range_over_mm(diameter_mm: float) -> float:
    """Lower limit of the range of nominal diameters; "over", so that it belongs to the range below.

    Raises
    ------
    OutOfRangeError
        If the diameter is below 1 mm or above 355 mm.
    """
    if not SMALLEST_MM <= diameter_mm <= LARGEST_MM:
        raise OutOfRangeError(
            f"a diameter of {diameter_mm:g} mm; ISO 965-1 has tolerances from {SMALLEST_MM:g} mm "
            f"to {LARGEST_MM:g} mm",
            parameter="nominal_diameter",
            value=diameter_mm,
            accepted=f"{SMALLEST_MM:g} mm to {LARGEST_MM:g} mm",
        )
    return _RANGES_MM[bisect_left(_RANGES_MM, diameter_mm) - 1]


_DEVIATION: Final[Mapping[str, Formula]] = {
    position: Formula(
        f"magnitude of the fundamental deviation, position {position}, before R40",
        symbol, f"{constant} + {factor} * P", "P",
        unit="um", source="iso-965-1, formula of the basis",
    )
    for position, symbol, constant, factor in (
        ("e", "es", 50, 11), ("f", "es", 30, 11), ("g", "es", 15, 11), ("G", "EI", 15, 11),
    )
}  # fmt: skip
_DEVIATION_AZ: Final = Formula(
    "magnitude of the fundamental deviation, position az", "es", "300 + 20 * P", "P",
    unit="um", source="iso-965-4, hot-dip galvanised threads",
)  # fmt: skip
_SMALLEST_E_MM: Final = 0.5
_SMALLEST_F_MM: Final = 0.35


@cache
def _deviations() -> Mapping[float, Mapping[str, Cell]]:
    columns = {"e": "e_um", "f": "f_um", "g": "g_um", "G": "G_um"}
    return {
        float(row["pitch_mm"]): {
            position: Cell(int(row[column]), letter)
            for (position, column), letter in zip(columns.items(), str(row["basis"]), strict=True)
            if row[column]
        }
        for row in load(__package__, "tables/iso_965_1_deviations")
    }


def deviation(position: str, *, pitch_mm: float, trail: Trail | None = None) -> Cell:
    """Fundamental deviation: es of an external (e, f, g, h, az), EI of an internal position (G, H).

    Raises
    ------
    NotTabulatedError
        If the position does not exist for this pitch.

    Notes
    -----
    Source: iso-965-1, fundamental deviations; iso-965-4 for position az.

    Examples
    --------
    >>> deviation("g", pitch_mm=1.5).value_um, deviation("G", pitch_mm=1.25).value_um
    (-32, 28)
    """
    row = _deviations().get(pitch_mm)
    if row is not None and position in row:
        cell = row[position]
    elif position in "hH":
        cell = Cell(0, "D")
    elif position == "az":
        stated = _AZ_STATED_FROM_MM <= pitch_mm <= _AZ_STATED_TO_MM
        magnitude_um = _DEVIATION_AZ.function(pitch_mm)
        cell = Cell(-round(magnitude_um), "P" if stated else "F")
    elif (
        row is not None
        or (position == "e" and pitch_mm < _SMALLEST_E_MM)
        or (position == "f" and pitch_mm < _SMALLEST_F_MM)
    ):
        raise NotTabulatedError(
            f"ISO 965-1 has no position {position} for a pitch of {pitch_mm:g} mm",
            parameter="tolerance_class",
            value=position,
            accepted="position g or h outside, G or H inside",
        )
    else:
        index = r40.nearest_index(_DEVIATION[position].function(pitch_mm))
        magnitude_um = round(r40.tolerance_um(index))
        cell = Cell(magnitude_um if position == "G" else -magnitude_um, "F")
    if trail is not None and trail.steps is not None:
        symbol = "EI" if position in "GH" else "es"
        formula = {"D": "0", "F": "R40, from the formula"}.get(cell.basis, "table")
        if position == "az":
            formula = f"-({_DEVIATION_AZ.expression})"
        trail.step(
            f"fundamental deviation, position {position}", symbol, formula, {"P": pitch_mm},
            cell.value_um, "um", f"iso-965-{4 if position == 'az' else 1}; {cell.words}",
        )  # fmt: skip
    return cell


def class_tolerances(
    tolerance_class: str, *, diameter_mm: float, pitch_mm: float, trail: Trail | None = None
) -> ClassTolerances:
    """Deviations and tolerances of a class for a diameter and pitch.

    Parameters
    ----------
    tolerance_class : str
        As :func:`~.iso_965_1_classes.metric_class` reads it.
    diameter_mm, pitch_mm : float
        Nominal diameter and pitch [mm].
    trail : Trail, optional
        Takes the working.

    Raises
    ------
    NotTabulatedError, OutOfRangeError
        As :func:`deviation` and :func:`tolerance`.

    Notes
    -----
    Source: iso-965-1; iso-965-4 for position az. All diameters of a range have the same, so they
    are kept for the range, unless the working is wanted.
    """
    if trail is not None and trail.steps is not None:
        return _found(tolerance_class, diameter_mm, pitch_mm, trail)
    if not SMALLEST_MM <= diameter_mm <= LARGEST_MM:
        range_over_mm(diameter_mm)  # refuses it
    return _found_for_range(
        tolerance_class, _RANGES_MM[bisect_left(_RANGES_MM, diameter_mm)], pitch_mm
    )


def _found(
    text: str, diameter_mm: float, pitch_mm: float, trail: Trail | None = None
) -> ClassTolerances:
    tolerance_class = metric_class(text)
    external = tolerance_class.side == "external"
    of_crest, of_pitch = (
        (EXTERNAL_MAJOR, EXTERNAL_PITCH) if external else (INTERNAL_MINOR, INTERNAL_PITCH)
    )
    deviations = deviation(tolerance_class.pitch_position, pitch_mm=pitch_mm, trail=trail)
    crest_deviation = deviations
    if tolerance_class.crest_position != tolerance_class.pitch_position:
        crest_deviation = deviation(tolerance_class.crest_position, pitch_mm=pitch_mm, trail=trail)
    crest = tolerance(
        of_crest, tolerance_class.crest_grade,
        diameter_mm=diameter_mm, pitch_mm=pitch_mm, trail=trail,
    )  # fmt: skip
    pitch = tolerance(
        of_pitch, tolerance_class.pitch_grade,
        diameter_mm=diameter_mm, pitch_mm=pitch_mm, trail=trail,
    )  # fmt: skip
    return ClassTolerances(
        deviation_um=deviations.value_um,
        crest_deviation_um=crest_deviation.value_um,
        crest_um=crest.value_um,
        pitch_um=pitch.value_um,
        words=f"{'es' if external else 'EI'}: {deviations.words}; "
        f"{of_crest.symbol}: {crest.words}; {of_pitch.symbol}: {pitch.words}",
    )


_found_for_range: Final = lru_cache(maxsize=1024)(_found)
