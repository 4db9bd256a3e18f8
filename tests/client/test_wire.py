"""Keys as they are sent: what callers have becomes plain JSON, and what cannot is said."""

from __future__ import annotations

import enum
import json
from decimal import Decimal
from typing import Any

import numpy as np
import pytest

from threadwright.quantities import unit_in_key
from threadwright.wire import json_bytes, sendable, strict_json_bytes


class Hand(enum.StrEnum):
    LEFT = "left"


@pytest.mark.parametrize(
    ("given", "sent"),
    [
        (1.5, 1.5),
        (True, True),
        (None, None),
        (Decimal("0.7011"), 0.7011),
        (np.float64(1.5), 1.5),
        (np.int32(7), 7),
        (np.bool_(True), True),
        (np.array([1.0, 2.0]), [1.0, 2.0]),
        ((1, 2), [1, 2]),
        (range(3), [0, 1, 2]),
        (Hand.LEFT, "left"),
        ([{"kind": "drilling", "depth": np.float32(0.5)}], [{"kind": "drilling", "depth": 0.5}]),
    ],
)
def test_values_become_plain(given: Any, sent: Any) -> None:
    plain = sendable({"key": given})["key"]
    assert plain == sent
    assert type(plain) is type(sent)
    assert json.loads(json_bytes({"key": given if given is None else plain})) == {"key": sent}


@pytest.mark.parametrize("given", [object(), b"bytes", 3j])
def test_what_cannot_be_sent_is_named(given: object) -> None:
    with pytest.raises(TypeError, match="measured is"):
        sendable({"measured": given})
    with pytest.raises(TypeError, match=r"measured\.1 is"):
        sendable({"measured": [1.0, given]})


def test_nan_is_for_the_service_to_refuse() -> None:
    assert json_bytes({"pitch": float("nan")}) == b'{"pitch":NaN}'
    with pytest.raises(ValueError, match="not JSON compliant"):
        strict_json_bytes({"pitch": float("nan")})


@pytest.mark.parametrize(
    ("key", "unit"),
    [
        ("lead_angle_deg", "deg"),
        ("compliance_um_per_n", "µm/N"),
        ("edge_force_n_per_mm", "N/mm"),
        ("temperature_c", "°C"),
        ("tool_life_min", "min"),
        ("root_diameter", ""),
    ],
)
def test_units_in_keys(key: str, unit: str) -> None:
    assert unit_in_key(key) == unit
