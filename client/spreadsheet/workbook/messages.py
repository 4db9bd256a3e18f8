"""What a line of the quote has to say: a plan that does not make the thread, and refusals."""

from __future__ import annotations

from typing import Final

from spreadsheet.workbook.columns import FIRST_LINE, quote_letter
from spreadsheet.workbook.formulas import is_refusal, last_item

FAILS: Final = "DOES NOT MAKE THE THREAD: "
NO_ANSWER: Final = (
    "No answer: allow updating of links, see that the service runs at the address above, "
    "then ask again (Help)"
)
NO_FUNCTION: Final = "This program has no function WEBSERVICE (Help)"
NOT_LISTED: Final = "Cutter or machine is not in its list"
NOT_SAID: Final = "Say how the thread is made"

LONGEST: Final = 200
"""Characters of a message that two lines of its cell hold."""
IN_FULL: Final = " … (in full: sheet Calls)"


def fails(answer: str, milled: str, place: int) -> str:
    """Words for a plan that does not make the thread; that no answer came is told elsewhere.

    ``place`` is that of the failings among the answer's values, the last.
    """
    failings = last_item(answer, place)
    told = f'IF({failings}="#N/A","","{FAILS}"&SUBSTITUTE({failings},";",","))'
    return (
        f'=IF(ISERROR({answer}),"",IF({answer}="","",'
        f'IF({is_refusal(answer)},"",IF({milled},{told},""))))'
    )


def message(line: int, thread: str, job: str, failing: str, lists: tuple[str, ...]) -> str:
    """What went wrong in a line, and nothing else; no error of a cell is hidden by it.

    That a plan does not make the thread stands first; the line keeps its price. ``thread`` and
    ``job`` are the cells of the answers, ``lists`` those that look up cutter and machine.
    """

    def told(answer: str, then: str) -> str:
        return (
            f"IF(ISERROR({answer}),IF(ISNUMBER(MATCH(5,ERROR.TYPE({answer}),0)),"
            f'"{NO_FUNCTION}","{NO_ANSWER}"),IF({is_refusal(answer)},{answer},{then}))'
        )

    designation, parts, made = (
        f"Quotes!${quote_letter(key)}${FIRST_LINE + line}"
        for key in ("designation", "quantity", "thread_process")
    )
    unsaid = f'IF(AND({parts}<>"",{made}=""),"{NOT_SAID}","")'
    inner = f'TRIM({failing}&" "&{told(thread, told(job, unsaid))})'
    listed = f"OR({','.join(f'ISNA({cell})' for cell in lists)})"
    return f'=IF({designation}="","",IF({listed},"{NOT_LISTED}",{inner}))'


def shortened(cell: str) -> str:
    """A message as long as its place has room for, with a word where the rest stands."""
    kept = LONGEST - len(IN_FULL)
    return f'=IF(LEN({cell})>{LONGEST},LEFT({cell},{kept})&"{IN_FULL}",{cell})'
