"""Asking the service: address, key and time-out are in section ``[threadwright]`` of trytond.conf.

The keys of a thread and of its making are attributes of the product (module product_attribute)
whose names begin with ``tw_``: ``tw_designation``, ``tw_unit``, ``tw_material``, ``tw_hardness`` …
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

import requests
from trytond import config
from trytond.exceptions import UserError

PREFIX = "tw_"
THREAD_KEYS = ("designation", "unit")


def ask(operation: str, keys: Mapping[str, Any]) -> dict[str, Any]:
    """Answer of one operation.

    Raises
    ------
    UserError
        If the service refuses, with its own words, or gives no answer.
    """
    address = config.get("threadwright", "url", default="http://127.0.0.1:8000")
    key = config.get("threadwright", "key", default="")
    timeout_s = config.getfloat("threadwright", "timeout", default=30.0)
    try:
        answer = requests.post(
            f"{address.rstrip('/')}/v1/{operation}",
            json=keys,
            headers={"Authorization": f"Bearer {key}"} if key else {},
            timeout=(3.05, timeout_s),
        )
        told: dict[str, Any] = answer.json()
    except (requests.RequestException, ValueError) as error:
        raise UserError(f"Threadwright at {address} gives no answer.", str(error)) from error
    if answer.status_code != 200:
        faults = [each["detail"] for each in told.get("errors", ())]
        raise UserError("\n".join(faults) or told.get("detail") or told["title"])
    return told


def keys_of(product: Any) -> dict[str, Any]:
    """The keys that a product's attributes hold; empty if it has no thread."""
    keys = {}
    for name, value in (product.attributes or {}).items():
        if name.startswith(PREFIX) and value is not None and value != "":
            key = name.removeprefix(PREFIX)
            keys[key] = float(value) if isinstance(value, Decimal) else value
    return keys if "designation" in keys else {}
