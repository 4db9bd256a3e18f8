"""Write the answers beside the requests in ``examples``: ``python -m erp.write_examples URL``.

An answer file holds what a client sees: the status, the content type and the body.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any, Final

import requests

EXAMPLES: Final = Path(__file__).with_name("examples")
NAMES: Final = ("cycle_time", "refused")
OPERATION: Final = "cycle-time"


def answer_of(name: str, url: str) -> dict[str, Any]:
    """Status, content type and body that the service gives to a request file.

    What differs from one request to the next, the request's id, is left out.
    """
    body = (EXAMPLES / f"{name}_request.json").read_bytes()
    answer = requests.post(
        f"{url}/v1/{OPERATION}",
        data=body,
        headers={"Content-Type": "application/json"},
        timeout=(3.05, 30),
    )
    told = answer.json()
    for member in ("request_id", "instance"):
        told.pop(member, None)
    return {
        "status": answer.status_code,
        "content_type": answer.headers["Content-Type"],
        "body": told,
    }


def main(url: str) -> None:
    """Write every answer anew."""
    for name in NAMES:
        text = json.dumps(answer_of(name, url), indent=2, ensure_ascii=False)
        (EXAMPLES / f"{name}_answer.json").write_text(f"{text}\n", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
