"""Ten lines for any ERP that runs Python: copy ``ask`` into a server action or a script.

Keys are named, the key is a bearer, a refusal is an honest status, and nothing hangs.
"""

from __future__ import annotations

from typing import Any

import requests

URL, KEY = "http://127.0.0.1:8000", ""


def ask(operation: str, **keys: Any) -> tuple[dict[str, Any], list[dict[str, str]]]:
    """Result and cautions of one operation, or ``ValueError`` with the refusal."""
    headers = {"Authorization": f"Bearer {KEY}"} if KEY else {}
    answer = requests.post(f"{URL}/v1/{operation}", json=keys, headers=headers, timeout=(3.05, 30))
    told = answer.json()
    if answer.status_code == 200:
        return told["result"], told["cautions"]
    faults = "; ".join(fault["detail"] for fault in told.get("errors", ()))
    raise ValueError(f"{answer.status_code}: {faults or told.get('detail') or told['title']}")
