"""The sheet Help."""

from __future__ import annotations

from typing import Final

from openpyxl import Workbook

from spreadsheet.workbook.cells import put, put_band
from spreadsheet.workbook.style import BOLD, TITLE, WRAPPED

_CHAPTERS: Final = (
    (
        "Start",
        (
            ("Service", "Start it, or ask who runs it: «threadwright serve». "
             "Enter its address in the cell named base_address (Quotes, C2)."),
            ("A line", "Fill in the boxed cells from left to right. Limits and readings come with "
             "the call-out; plan, times and cost come once the number of parts is given."),
            ("Job sheet", "Choose the line in its upper right cell and print."),
            ("Measure", "Choose the line, enter the readings of the parts: it says how far to "
             "correct the cutter, and when again."),
            ("Lists", "Cutters and machines are the shop's own: enter each once on its sheet."),
        ),
    ),
    (
        "No answer",
        (
            ("LibreOffice", "A yellow bar asks for leave: press «Allow updating». To be asked no "
             "more: Tools, Options, Security, Macro Security, Trusted Sources, add the folder; "
             "and LibreOffice Calc, General, Update links when opening: Always."),
            ("Excel", "Windows only: WEBSERVICE gives no results on a Mac and in the browser. "
             "Press «Enable Content» if a bar asks for it. Elsewhere use threadwright.pq, or the "
             "script for the hosted sheet."),
            ("Ask again", "Answers are kept by their address. To fetch all anew, change the "
             "number in the cell named refresh (Quotes, J2)."),
            ("Old answers", "A saved file shows the answers of the day it was saved until it asks "
             "again. Compare service and tables in the head of the sheet."),
            ("Key", "A service that asks for a key takes it from cells only if it was started "
             "with THREADWRIGHT_KEY_IN_QUERY=true. The key is then stored in this file."),
        ),
    ),
    (
        "What cells show",
        (
            ("Message", "A line that begins with #ERR is the service's own word: what is wrong, "
             "and what it would accept. Values of that line stay empty, and the total says "
             "«incomplete» until every such message is gone. A long one stands in full on the "
             "sheet Calls."),
            ("DOES NOT MAKE THE THREAD", "The line has its price, and what it would make would not "
             "pass: the words behind it name the cautions that say why (Job sheet, «Be careful "
             "about»). Change cutter, blank or thread before the quote goes out."),
            ("Grey errors", "No answer has come: the message says so. No error is turned into "
             "an empty cell or a nought."),
            ("–", "The service has no such value: a thread without such a limit, a turned thread "
             "without a pass plan."),
            ("Calls", "The sheet Calls shows every address that was asked and every answer as it "
             "came."),
        ),
    ),
    (
        "Numbers",
        (
            ("Unit", "All lengths of a line are in its unit; cutters are entered in their own and "
             "turned into the line's. Feeds of machines are in mm/min."),
            ("Decimal comma", "Type numbers the way your program does. The formulas send and read "
             "a decimal point in every language (SUBSTITUTE and NUMBERVALUE)."),
            ("Decimals", "Limits stand as their standard prints them. Readings and sizes to cut "
             "are shown to 0.001 mm or 0.00001 in, wires to 0.0001 mm or 0.00001 in, since a "
             "reading moves by three times what its wire is off."),
            ("Side", "External or internal, for call-outs that do not say it (NPT, R, G, Acme). "
             "Empty: as the call-out says, or as the service assumes, which then says so."),
            ("Coating", "The largest thickness on one surface, and the smallest if it is known. "
             "Limits, readings, gauges, plan and correction are then those before the coating: "
             "do not measure the coated part by them."),
            ("Parts", "Parts are good parts of the whole lot. Left-hand parts are among them; the "
             "call-out is then that of the right-hand parts."),
            ("Price", "Lot price = cost × (1 + mark-up). Cost is what the service works out with "
             "set-up, first article, measuring, loading, worn cutters; low and high are its "
             "90 % band."),
            ("Your own formula", '=NUMBERVALUE(WEBSERVICE(base_address&"/v1/thread-limits?'
             'designation="&ENCODEURL("M24x1.5-6g")&"&field=limits.pitch_diameter.max"),"."," ") '
             "– with ; in place of , where your program separates so."),
        ),
    ),
    (
        "Limits",
        (
            ("Speed", "A cell program asks one address after the other: two for each line. For "
             "hundreds of lines use the macro, the query or the Python client, which ask for all "
             "at once."),
            ("Length", "An address stays below 2,000 characters, an answer below 32,767."),
            ("Safety", "An aid to planning. Run every program first above the part with guards "
             "closed. The limits of the machine and of the cutter's maker come first; the "
             "cautions on the job sheet are part of the answer."),
        ),
    ),
)  # fmt: skip


def add_help(book: Workbook) -> None:
    """Add the sheet."""
    sheet = book.create_sheet("Help")
    put(sheet, "A1", "Help", font=TITLE)
    sheet.row_dimensions[1].height = 26
    row = 3
    for title, entries in _CHAPTERS:
        put_band(sheet, f"A{row}:B{row}", title)
        row += 1
        for label, text in entries:
            put(sheet, f"A{row}", label, font=BOLD, alignment=WRAPPED)
            # A leading = would make the example a formula.
            cell = put(sheet, f"B{row}", text, alignment=WRAPPED)
            cell.data_type = "s"
            cell.quotePrefix = text.startswith("=")
            sheet.row_dimensions[row].height = 13.5 * (1 + max(len(text) // 112, len(label) // 20))
            row += 1
        row += 1
    sheet.column_dimensions["A"].width = 18
    sheet.column_dimensions["B"].width = 100
    sheet.sheet_view.showGridLines = False
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.page_setup.fitToHeight = 0
