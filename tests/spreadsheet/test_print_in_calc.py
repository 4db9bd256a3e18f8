"""The workbook as a real Calc prints it, on both papers that shops use."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import dataclass
from html import unescape
from pathlib import Path

import pytest

from spreadsheet.workbook.columns import FIRST_LINE, quote_letter
from spreadsheet.workbook.messages import LONGEST
from support import office
from support.servers import Process
from support.workbook import Edit, computed

LACKING = office.missing() or (
    "" if shutil.which("pdftotext") else "pdftotext is not installed (Debian: poppler-utils)"
)
pytestmark = [
    pytest.mark.spreadsheet,
    pytest.mark.skipif(bool(LACKING), reason=LACKING or "all is here"),
]
# ISO 216 and ASME Y14.1, upright, in hundredths of a millimetre.
PAPERS = {"A4": (21_000, 29_700), "Letter": (21_590, 27_940)}


@dataclass(frozen=True, slots=True)
class Word:
    """A word of a page and where it stands, in points from the upper left."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Page:
    """A page and its words."""

    number: int
    width: float
    words: list[Word]

    def find(self, text: str) -> list[Word]:
        return [word for word in self.words if word.text == text]


def pages_of(pdf: Path) -> list[Page]:
    done = subprocess.run(
        ["pdftotext", "-bbox", str(pdf), "-"], capture_output=True, text=True, check=True
    )
    pages = []
    for number, (width, body) in enumerate(
        re.findall(r'<page width="([\d.]+)"[^>]*>(.*?)</page>', done.stdout, re.DOTALL), 1
    ):
        words = [
            Word(unescape(each[4]), *(float(end) for end in each[:4]))
            for each in re.findall(
                r'<word xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*?)</word>',
                body,
            )
        ]
        pages.append(Page(number, float(width), words))
    return pages


def grey_at(pdf: Path, page: int, points: list[tuple[float, float]]) -> list[int]:
    """How light a page is at some points: 0 is black, 255 white."""
    done = subprocess.run(
        ["pdftoppm", "-gray", "-r", "72", "-f", str(page), "-l", str(page), str(pdf)],
        capture_output=True, check=True,
    )  # fmt: skip
    _, size, _, pixels = done.stdout.split(b"\n", 3)
    width = int(size.split()[0])
    return [pixels[round(y) * width + round(x)] for x, y in points]


@pytest.mark.parametrize("paper", PAPERS)
def test_messages_and_prices_are_whole_on_one_page(
    paper: str, service: Process, tmp_path: Path
) -> None:
    target = tmp_path / "quotes.pdf"
    edits: list[Edit] = [
        ("Quotes", f"{quote_letter('designation')}{FIRST_LINE + 1}", "3/4-16,5 UNF-2A"),
        (
            "Quotes",
            f"{quote_letter('designation')}{FIRST_LINE + 2}",
            "thread 3/4-16 of the customer's drawing, sheet 3, zone B4, but 5 mm shorter than it",
        ),
        ("Quotes", f"{quote_letter('blank_diameter')}{FIRST_LINE}", 24.2),
    ]
    cells = computed(
        service.url, "en-US", *edits, only=("Quotes",), pdf=target, paper=PAPERS[paper]
    )["Quotes"]
    (page,) = [each for each in pages_of(target)[:4] if each.find("#ERR")]
    letter = quote_letter("message")
    messages = [cells[f"{letter}{FIRST_LINE + line}"]["text"] for line in range(3)]
    assert messages[0].startswith("DOES NOT MAKE THE THREAD")
    assert 150 < len(messages[1]) <= LONGEST
    assert len(messages[2]) == LONGEST, "shortened, and it says where the rest stands"
    assert messages[2].endswith("(in full: sheet Calls)")
    begins = min(word.left for word in page.find("#ERR")) - 1
    numbers = {line: next(w for w in page.find(str(line)) if w.left < 60) for line in range(1, 5)}
    half = (numbers[2].top - numbers[1].top) / 2
    for line, message in enumerate(messages, 1):
        middle = (numbers[line].top + numbers[line].bottom) / 2
        printed = [
            word
            for word in page.words
            if word.left > begins and middle - half < (word.top + word.bottom) / 2 < middle + half
        ]
        assert " ".join(word.text for word in printed) == message
        assert all(middle - half <= word.top for word in printed)
        assert all(word.bottom <= middle + half for word in printed)
        assert max(word.right for word in printed) < page.width - 20
    price = cells[f"{quote_letter('lot_price')}{FIRST_LINE}"]["text"].strip()
    assert price in [word.text for word in page.words], "of the plan that fails"
    # Far to the right of the message, and beside the line's number: black there, white below.
    beside = [(left, numbers[line].top + 2) for left in (begins + 220, 32) for line in (1, 4)]
    dark, light, dark_number, light_number = grey_at(target, page.number, beside)
    assert max(dark, dark_number) < 60
    assert min(light, light_number) > 190


@pytest.mark.parametrize("paper", PAPERS)
def test_every_sheet_keeps_within_its_pages(paper: str, service: Process, tmp_path: Path) -> None:
    target = tmp_path / "quotes.pdf"
    computed(service.url, "en-US", only=("Help",), pdf=target, paper=PAPERS[paper])
    pages = pages_of(target)
    told = [next((w.text for w in page.words if w.text in FOOTED), "") for page in pages]
    assert len(pages) == 11, "three of quotes, three of a job, and one of each other sheet"
    assert told[3:6] == ["Job"] * 3


FOOTED = ("Thread", "Job", "Measure", "Cutters", "Machines", "Calls", "Help")


def test_inches_have_five_decimals(service: Process, tmp_path: Path) -> None:
    """The best wire for 12 threads an inch is 0.04811 in (public handbook OD1645), for 16 it is
    0.03608 in (0.57735 of the pitch, ASME B1.2)."""
    target = tmp_path / "quotes.pdf"
    line: Edit = ("Job sheet", "L1", 2)
    measure: list[Edit] = [("Measure", "L1", 2), ("Measure", "D8", ""), ("Measure", "B14", 0.7601)]
    computed(service.url, "en-US", line, *measure, only=("Help",), pdf=target)
    pages = pages_of(target)
    quotes = {word.text for page in pages[:3] for word in page.words}
    assert {"0.04811", "0.03608"} <= quotes
    assert {"0.7079", "0.7029"} <= quotes, "limits as ASME B1.1 prints them, 3/4-16 UNF-2A"
    job = {word.text for word in pages[3].words}
    assert {"0.03608", "0.7079", "0.7029", "0.0625"} <= job
    assert not {each for each in job if re.fullmatch(r"0\.036\d", each)}
    measured = {word.text for word in pages[6].words}
    assert {"0.03608", "0.76010"} <= measured
    assert any(re.fullmatch(r"[+-]0\.00\d{3}", each) for each in measured), "the correction"
