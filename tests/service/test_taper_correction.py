"""A taper thread is corrected by the turns of its gauge.

ASME B1.20.1: 1-11.5 NPT, E1 1.23863 in, taper 1 in 16 on the diameter; the working gauge may stop
one turn (1/11.5 in) short of flush or go one beyond, which is 1/184 in on the diameter.
"""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

PIPE = {"designation": "1-11.5 NPT", "side": "external", "unit": "in"}
TURN = 1 / 11.5 / 16


def corrected(http: FlaskClient, keys: dict[str, Any]) -> dict[str, Any]:
    answer = http.post("/v1/size-correction", json=keys)
    assert answer.status_code == 200, answer.text
    return dict((answer.json or {})["result"])


@pytest.mark.parametrize(("side", "sense"), [("external", 1), ("internal", -1)])
@pytest.mark.parametrize("turns", [0.5, -0.75, 0.0])
def test_a_turn_is_a_sixteenth_of_the_pitch(
    side: str, sense: int, turns: float, http: FlaskClient
) -> None:
    found = corrected(http, {**PIPE, "side": side, "gauge_turns": [turns]})
    assert found["parts"][0]["pitch_diameter"] == pytest.approx(
        1.23863 + sense * turns * TURN, abs=2e-6
    )
    # Metal that is left on is taken off by going that much nearer to the axis, or further out.
    assert found["radius_correction"] == pytest.approx(-turns * TURN / 2, abs=2e-6)


def test_more_than_a_turn_is_off_the_limits(http: FlaskClient) -> None:
    for turns, verdict in ((0.9, "accept"), (1.2, "reject"), (-1.2, "reject")):
        assert corrected(http, {**PIPE, "gauge_turns": [turns]})["verdict"] == verdict


def test_the_same_over_wires(http: FlaskClient) -> None:
    """A reading over three wires in the gauge plane tells the same size."""
    read = http.post("/v1/wire-measurement", json=PIPE).json["result"]
    keys = {**PIPE, "method": "three-wire", "wire_diameter": read["wire_diameter"]}
    found = corrected(http, {**keys, "measured": [read["reading"]["aim"]]})
    assert found["parts"][0]["pitch_diameter"] == pytest.approx(1.23863, abs=3e-6)


@pytest.mark.parametrize(
    ("keys", "parameter"),
    [
        ({"designation": "1-12 UNF-2A", "gauge_turns": [0.5]}, "gauge_turns"),
        ({**PIPE, "gauge_turns": [0.5], "measured": [1.239]}, "gauge_turns"),
        ({**PIPE, "gauge_turns": [0.5], "method": "three-wire"}, "method"),
        ({**PIPE, "gauge_turns": [500]}, "gauge_turns.0"),
        ({**PIPE, "gauge_go": "refuses"}, "gauge_go"),
    ],
)
def test_what_cannot_be_is_refused_by_name(
    keys: dict[str, Any], parameter: str, http: FlaskClient
) -> None:
    answer = http.post("/v1/size-correction", json=keys)
    assert answer.status_code == 422, answer.text
    assert (answer.json or {})["errors"][0]["parameter"] == parameter
