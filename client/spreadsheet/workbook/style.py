"""Look of the workbook: own colours, and borders that tell the same in black and white."""

from __future__ import annotations

from typing import Final

from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

FONT: Final = "Arial"
_DARK, _BAND, _ENTRY, _LINE, _GREY, _ALARM = (
    "2B3A42", "DCE3E1", "FBF6E4", "9AA8AB", "6B777A", "8C2D19",
)  # fmt: skip


def _fill(colour: str) -> PatternFill:
    return PatternFill("solid", start_color=colour, end_color=colour)


_thin, _thick = (Side(style=style, color=_LINE) for style in ("thin", "medium"))
_faint = Side(style="thin", color="D3DADB")

TITLE: Final = Font(name=FONT, size=16, bold=True, color=_DARK)
PLAIN: Final = Font(name=FONT, size=9.5)
BOLD: Final = Font(name=FONT, size=9.5, bold=True)
SMALL: Final = Font(name=FONT, size=7.5, color=_GREY)
NOTE: Final = Font(name=FONT, size=9, italic=True, color=_GREY)
REASON: Final = Font(name=FONT, size=8)
MESSAGE_FONT: Final = Font(name=FONT, size=8, bold=True, color=_ALARM)
HEAD: Final = Font(name=FONT, size=9.5, bold=True, color="FFFFFF")
ALARM: Final = Font(name=FONT, size=9.5, bold=True, color=_ALARM)
REVERSED: Final = Font(bold=True, color="FFFFFF")
MONOSPACE: Final = Font(name="Courier New", size=8.5)
ALARM_COLOUR: Final = _ALARM
GREY_COLOUR: Final = _GREY

HEAD_FILL: Final = _fill(_DARK)
# Of a condition: there a program takes the colour of the back for the whole fill.
REVERSED_FILL: Final = PatternFill("solid", start_color="FF101010", end_color="FF101010")
BAND_FILL: Final = _fill(_BAND)
ENTRY_FILL: Final = _fill(_ENTRY)

ENTRY_BORDER: Final = Border(left=_thin, right=_thin, top=_thin, bottom=_thin)
"""A full box: something is to be entered."""
RESULT_BORDER: Final = Border(bottom=_faint)
"""A faint line below: worked out."""
TOTAL_BORDER: Final = Border(top=_thick, bottom=_thick)
GROUP_BORDER: Final = Border(left=_thick, bottom=_thin)

CENTRE: Final = Alignment(horizontal="center", vertical="center", wrap_text=True)
LEFT: Final = Alignment(horizontal="left", vertical="center", indent=1)
FLUSH: Final = Alignment(horizontal="left", vertical="center")
RIGHT: Final = Alignment(horizontal="right", vertical="center")
MESSAGE_LINES: Final = Alignment(horizontal="left", vertical="center", wrap_text=True, indent=1)
WRAPPED: Final = Alignment(horizontal="left", vertical="top", wrap_text=True, indent=1)
