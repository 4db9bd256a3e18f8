"""Print the OpenAPI file as it is committed: ``python -m threadwright_service.contract``."""

from __future__ import annotations

import json
import sys

from threadwright_service.app.openapi import openapi_document


def main() -> None:
    """Print the description."""
    sys.stdout.write(json.dumps(openapi_document(), indent=1, ensure_ascii=False) + "\n")


if __name__ == "__main__":
    main()
