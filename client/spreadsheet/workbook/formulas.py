"""Pieces of formulas that are right in every locale and in both families of spreadsheets.

Three rules, each measured with a real spreadsheet program:

* a number that goes into an address passes through ``SUBSTITUTE(x,",",".")``, since a program with
  a decimal comma would write ``10,5``;
* a number that comes back passes through ``NUMBERVALUE(x,"."," ")``, since such a program reads
  ``9.026`` as 9026 with ``VALUE``;
* newer functions carry the prefix ``_xlfn.`` in the file, or they are names that nobody knows.
"""

from __future__ import annotations

from typing import Final

WEBSERVICE: Final = "_xlfn.WEBSERVICE"
NUMBERVALUE: Final = "_xlfn.NUMBERVALUE"
ENCODEURL: Final = "_xlfn.ENCODEURL"

NOTHING: Final = "–"
"""What a cell shows where the service says that there is no value."""


def text_key(key: str, cell: str) -> str:
    """``&key=text`` of a cell, or nothing where the cell is empty."""
    return f'IF({cell}="","","&{key}="&{ENCODEURL}({cell}))'


def number_key(key: str, cell: str, factor: str = "") -> str:
    """``&key=number`` of a cell, multiplied by a factor, or nothing where the cell is empty."""
    value = f"{cell}*{factor}" if factor else cell
    return f'IF({cell}="","","&{key}="&SUBSTITUTE({value},",","."))'


def item(line: str, number: str | int, separator: str = '","') -> str:
    """Text of one item of a CSV line that holds no quoted text; 1 is the first."""
    return (
        f'TRIM(MID(SUBSTITUTE({line},{separator},REPT(" ",LEN({line}))),'
        f"({number}-1)*LEN({line})+1,LEN({line})))"
    )


def unquoted(text: str) -> str:
    """A CSV text without its quotes."""
    return f'IF(LEFT({text},1)="""",SUBSTITUTE(MID({text},2,LEN({text})-2),"""""",""""),{text})'


def last_item(line: str, which: int) -> str:
    """Text of the last item of a CSV line, which may hold commas of its own."""
    start = f'FIND(CHAR(1),SUBSTITUTE({line},",",CHAR(1),{which - 1}))+1'
    return unquoted(f"MID({line},{start},LEN({line}))")


def number(text: str) -> str:
    """Number of a text with a decimal point."""
    return f'{NUMBERVALUE}({text},"."," ")'


def number_item(line: str, which: str | int) -> str:
    """Number of one item of a CSV line; a dash where the service has no value."""
    return f'IF({item(line, which)}="#N/A","{NOTHING}",{number(item(line, which))})'


def is_refusal(answer: str) -> str:
    """Whether an answer is the one line of a refusal."""
    return f'LEFT({answer},4)="#ERR"'


def row_start(text: str, row: str) -> str:
    """Where a row of a CSV text begins; 1 is the header."""
    return f"IF({row}=1,1,FIND(CHAR(1),SUBSTITUTE({text},CHAR(10),CHAR(1),{row}-1))+1)"


def rows_in(text: str) -> str:
    """Number of rows of a CSV text, the header among them."""
    return f'LEN({text})-LEN(SUBSTITUTE({text},CHAR(10),""))'


def column_number(header: str, key: str) -> str:
    """Which column of a CSV table has a key; an error where none has."""
    before = f'FIND(",{key},",","&{header}&",")'
    return f'LEN(LEFT({header},{before}))-LEN(SUBSTITUTE(LEFT({header},{before}),",",""))+1'
