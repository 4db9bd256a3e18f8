"""The tutorial of the guide: one job from the quote to the corrected cutter."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Final

from threadwright_service.api import BY_NAME
from threadwright_service.app.pages.markup import HTML, page, plain_style, text
from threadwright_service.app.reply import Reply, lasting

TITLE: Final = "From the quote to the corrected first part"
_WORKBOOK_TOO: Final = {"rapid_rate": 15_000, "material_cost": 6.5}
"""What the first line of the workbook gives besides, so that all three come to the same cost."""


def tutorial_reply(base: str) -> Reply:
    """The page, with the service's own address and the job sheet's first example."""
    folder = files("threadwright_service.app.pages").joinpath("guides")
    written = folder.joinpath("first-part.html").read_text(encoding="utf-8")
    job = json.dumps({**BY_NAME["job-sheet"].examples[0].request, **_WORKBOOK_TOO}, indent=1)
    body = written.replace("{JOB}", text(job)).replace("{BASE}", text(base))
    look = plain_style()
    return lasting(page(TITLE, f"<h1>{TITLE}</h1>{body}", look), HTML, look.headers)
