"""Columns of the sheets Quotes, Cutters and Machines: title, the service's key, width, form."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from openpyxl.utils import get_column_letter

LENGTH: Final = "0.000?"
SIZE: Final = "0.000"
FINE: Final = "0.0000"
SIGNED: Final = "+0.000;-0.000;0.000"
DRIFT: Final = "+0.0000;-0.0000;0.0000"
INCH_FORMS: Final = {
    LENGTH: "0.0000?",
    SIZE: "0.00000",
    FINE: "0.00000",
    SIGNED: "+0.00000;-0.00000;0.00000",
    DRIFT: "+0.00000?;-0.00000?;0.00000?",
}
"""Number format of a length in millimetres, and the one that takes its place in inches.

``LENGTH`` is for what is given and for limits: as the standard prints them, with one decimal more
where a coating takes them back. ``SIZE`` is for what is worked out: a micrometre or a hundredth
of a thousandth, which is also what a control takes. ``FINE`` is for what moves others: a reading
moves by three times what the wire's diameter is off.
"""
MONEY: Final = "#,##0.00"
WHOLE: Final = "0"
TENTHS: Final = "#,##0.0"
ANY: Final = "General"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a table.

    ``key`` is the service's key of an entry, or the path of a result. ``form`` is the number
    format; lengths have another for inches. ``choices`` is what the cell may hold: a list written
    out, or the range of another sheet.
    """

    key: str
    title: str
    width: float
    group: str
    form: str = ANY
    choices: str = ""
    number: bool = True
    least: float | None = None
    hint: str = ""

    @property
    def is_length(self) -> bool:
        """Whether the value is a length, in the line's unit."""
        return self.form in INCH_FORMS


LINES: Final = 25
"""Lines of jobs on the sheet Quotes."""
FIRST_LINE: Final = 6
CUTTERS: Final = 20
MACHINES: Final = 8
FIRST_ENTRY: Final = 5
"""First row of the tables on the sheets Cutters and Machines."""

CUTTER_NAMES: Final = f"Cutters!$A${FIRST_ENTRY}:$A${FIRST_ENTRY + CUTTERS - 1}"
MACHINE_NAMES: Final = f"Machines!$A${FIRST_ENTRY}:$A${FIRST_ENTRY + MACHINES - 1}"
SCALES: Final = '"HRC,HB,HBW,HV,HRB,Rm"'

_JOB, _WORK, _THREAD, _MAKE, _LOT = (
    "Job", "Work", "Thread, where needed", "How it is made", "Lot",
)  # fmt: skip
_READ, _PLAN, _TIME, _PRICE = "Limits and readings", "Plan", "Time", "Cost and price"

ENTRIES: Final = (
    Column(key="job", title="Job", width=24, group=_JOB, number=False),
    Column(
        key="designation",
        title="Call-out",
        width=21,
        group=_JOB,
        number=False,
        hint="The thread as it stands on the drawing, such as M24x1.5-6g or 3/4-16 UNF-2A.",
    ),
    Column(
        key="unit",
        title="Unit",
        width=6,
        group=_WORK,
        number=False,
        choices='"mm,in"',
        hint="Unit of every length in this line.",
    ),
    Column(
        key="material",
        title="Material",
        width=19,
        group=_WORK,
        number=False,
        hint="A grade such as 42CrMo4, 17-4 PH or D2, or a group of the service's list.",
    ),
    Column(key="hardness", title="Hard-\nness", width=7.5, group=_WORK, least=0),
    Column(key="hardness_scale", title="Scale", width=7, group=_WORK, number=False, choices=SCALES),
    Column(key="thread_length", title="Thread\nlength", width=8, group=_WORK, form=LENGTH, least=0),
    Column(
        key="shoulder_distance",
        title="To the\nshoulder",
        width=9,
        group=_WORK,
        form=LENGTH,
        least=0,
        hint="From the end of the full thread to the shoulder or the hole's bottom.",
    ),
    Column(
        key="blank_diameter",
        title="Blank\n⌀",
        width=8,
        group=_WORK,
        form=LENGTH,
        least=0,
        hint="Outside thread: diameter before. Empty: the middle of its limits.",
    ),
    Column(
        key="hole_diameter",
        title="Hole\n⌀",
        width=8,
        group=_WORK,
        form=LENGTH,
        least=0,
        hint="Inside thread: diameter before.",
    ),
    Column(
        key="side",
        title="Side",
        width=9,
        group=_THREAD,
        number=False,
        choices='"external,internal"',
        hint="Only where the call-out does not say it, as for NPT, R, G and Acme.",
    ),
    Column(
        key="coating_thickness",
        title="Coating\na side",
        width=9,
        group=_THREAD,
        form=LENGTH,
        least=0,
        hint="The coating's largest thickness on one surface. If it is given, limits, readings "
        "and plan are those before the coating.",
    ),
    Column(
        key="coating_thickness_min",
        title="Coating\nleast",
        width=9,
        group=_THREAD,
        form=LENGTH,
        least=0,
        hint="Its smallest thickness; empty: as the largest.",
    ),
    Column(
        key="thread_process",
        title="Made by",
        width=8.5,
        group=_MAKE,
        number=False,
        choices='"milled,turned,tapped"',
        hint="Milled: planned by the service. Turned: give cuts and speed. Tapped: give speed.",
    ),
    Column(key="cutter", title="Cutter", width=19, group=_MAKE, number=False, choices=CUTTER_NAMES),
    Column(
        key="machine", title="Machine", width=15, group=_MAKE, number=False, choices=MACHINE_NAMES
    ),
    Column(
        key="passes",
        title="Passes\ngiven",
        width=7.5,
        group=_MAKE,
        form=WHOLE,
        least=1,
        hint="Milled: empty, or a number to be kept and judged. Turned: the cuts.",
    ),
    Column(
        key="spindle_speed",
        title="Speed\nrev/min",
        width=8.5,
        group=_MAKE,
        form=WHOLE,
        least=0,
        hint="Turned and tapped threads only.",
    ),
    Column(key="quantity", title="Parts", width=7, group=_LOT, form=WHOLE, least=1),
    Column(
        key="quantity_left",
        title="of these\nleft-hand",
        width=9,
        group=_LOT,
        form=WHOLE,
        least=0,
        hint="Only where the lot has both hands; the call-out is that of the right hand.",
    ),
    Column(key="setup_time_min", title="Set-up\nmin", width=7.5, group=_LOT, form=TENTHS, least=0),
    Column(key="load_time_s", title="Load\ns", width=7, group=_LOT, form=TENTHS, least=0),
    Column(key="material_cost", title="Material\neach", width=9, group=_LOT, form=MONEY, least=0),
)

THREAD_RESULTS: Final = (
    Column(
        key="pitch_diameter_limits.max", title="Pitch ⌀\nmax", width=9.5, group=_READ, form=LENGTH
    ),
    Column(
        key="pitch_diameter_limits.min", title="Pitch ⌀\nmin", width=9.5, group=_READ, form=LENGTH
    ),
    Column(key="wire_diameter", title="Best\nwire ⌀", width=9.5, group=_READ, form=FINE),
    Column(key="reading.max", title="Reading\nmax", width=9.5, group=_READ, form=SIZE),
    Column(key="reading.min", title="Reading\nmin", width=9.5, group=_READ, form=SIZE),
    Column(key="reading.aim", title="Reading\naim", width=9.5, group=_READ, form=SIZE),
    Column(key="thread.state", title="They\nhold", width=14, group=_READ, number=False),
)
"""What follows from the thread alone, of ``wire-measurement``; the state, a word, stands last."""

PLAN_RESULTS: Final = (
    Column(key="plan.root_diameter", title="Root ⌀\nto cut", width=9.5, group=_PLAN, form=SIZE),
    Column(key="plan.cutting_passes", title="Cuts", width=6, group=_PLAN, form=WHOLE),
    Column(key="plan.spring_passes", title="Spring\npasses", width=7.5, group=_PLAN, form=WHOLE),
)
"""Of ``job-sheet``; there are none where the thread is not milled."""

TIME_RESULTS: Final = (
    Column(key="part.time_s", title="A part\nmin", width=8.5, group=_TIME, form=TENTHS),
    Column(key="lot.time_min", title="Lot\nmin", width=9, group=_TIME, form=TENTHS),
    Column(key="lot.cost", title="Cost of\nthe lot", width=11, group=_PRICE, form=MONEY),
    Column(key="lot.spread.low", title="Cost\nlow", width=11, group=_PRICE, form=MONEY),
    Column(key="lot.spread.high", title="Cost\nhigh", width=11, group=_PRICE, form=MONEY),
)
"""Of ``cycle-time``, and under ``time.`` of ``job-sheet``."""

PRICES: Final = (
    Column(key="lot_price", title="Lot\nprice", width=12, group=_PRICE, form=MONEY),
    Column(key="price_each", title="Price\neach", width=11, group=_PRICE, form=MONEY),
)
"""Worked out in the sheet: the cost with the mark-up."""

MESSAGE: Final = Column(key="message", title="Message", width=96, group="Message", number=False)

QUOTES: Final = (*ENTRIES, *THREAD_RESULTS, *PLAN_RESULTS, *TIME_RESULTS, *PRICES, MESSAGE)

CUTTER_COLUMNS: Final = (
    Column(key="name", title="Cutter", width=30, group="Cutter", number=False),
    Column(key="unit", title="Unit", width=7, group="Cutter", number=False, choices='"mm,in"'),
    Column(
        key="cutter_profile",
        title="Profile",
        width=10,
        group="Teeth",
        number=False,
        choices='"single,full"',
        hint="One row of teeth, or teeth over the whole length.",
    ),
    Column(key="cutter_diameter", title="Cutting ⌀", width=11, group="Teeth", form=LENGTH),
    Column(key="cutter_teeth", title="Teeth", width=8, group="Teeth", form=WHOLE),
    Column(
        key="cutter_nose_flat",
        title="Nose flat",
        width=10,
        group="Teeth",
        form=LENGTH,
        hint="Width of the flat at the tooth's nose; this or the radius.",
    ),
    Column(key="cutter_nose_radius", title="Nose radius", width=11, group="Teeth", form=LENGTH),
    Column(
        key="cutter_included_angle_deg",
        title="Angle °",
        width=9,
        group="Teeth",
        form=TENTHS,
        hint="Empty: the thread form's own.",
    ),
    Column(
        key="axial_shift",
        title="Side by side",
        width=11,
        group="Teeth",
        number=False,
        choices='"yes"',
        hint="Yes: a nose that is narrower than the groove widens it by cuts beside each other; "
        "for coarse forms such as Tr and Acme.",
    ),
    Column(key="cutter_neck_diameter", title="Neck ⌀", width=10, group="Shank", form=LENGTH),
    Column(key="cutter_neck_length", title="Neck length", width=11, group="Shank", form=LENGTH),
    Column(key="cutter_shank_diameter", title="Shank ⌀", width=10, group="Shank", form=LENGTH),
    Column(key="cutter_stick_out", title="Stick-out", width=10, group="Shank", form=LENGTH),
    Column(key="runout", title="Run-out", width=9, group="Shank", form=LENGTH),
    Column(key="tool_cost", title="Cost", width=10, group="Cost", form=MONEY),
    Column(
        key="tool_life_min",
        title="Life, min",
        width=10,
        group="Cost",
        form=TENTHS,
        hint="Minutes in the cut.",
    ),
)

MACHINE_COLUMNS: Final = (
    Column(key="name", title="Machine", width=30, group="Machine", number=False),
    Column(
        key="spindle_speed_max", title="Speed max\nrev/min", width=13, group="Limits", form=WHOLE
    ),
    Column(key="spindle_power_kw", title="Power\nkW", width=10, group="Limits", form=TENTHS),
    Column(key="feed_rate_max", title="Feed max\nmm/min", width=12, group="Limits", form=WHOLE),
    Column(key="rapid_rate", title="Rapid\nmm/min", width=12, group="Motion", form=WHOLE),
    Column(key="acceleration_g", title="Acceleration\ng", width=13, group="Motion", form="0.00"),
    Column(key="machine_rate", title="Rate\nan hour", width=12, group="Cost", form=MONEY),
)


def quote_letter(key: str) -> str:
    """Letter of a column of the sheet Quotes; the line's number stands in A."""
    return str(get_column_letter(2 + [each.key for each in QUOTES].index(key)))


def table_letter(columns: tuple[Column, ...], key: str) -> str:
    """Letter of a column of another table, which begins in A."""
    return str(get_column_letter(1 + [each.key for each in columns].index(key)))
