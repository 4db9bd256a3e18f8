"""Threads turned with a single point, as a caller asks: sizes, infeeds, times, bad input."""

from __future__ import annotations

import math
from typing import Any

import pytest
from flask.testing import FlaskClient

SCREW = {
    "unit": "mm",
    "designation": "Tr32x6-7e",
    "thread_length": 220,
    "material": "11SMn30",
    "cutter_nose_flat": 1.9,
    "passes": 21,
    "spindle_speed": 280,
}
STUD = {
    "unit": "in",
    "designation": "3/4-16 UNF-2A",
    "thread_length": 1.25,
    "material": "42CrMo4",
    "hardness": 32,
    "hardness_scale": "HRC",
    "cutter_nose_flat": 0.006,
}


def planned(http: FlaskClient, **keys: Any) -> dict[str, Any]:
    answer = http.post("/v1/turning-plan", json=keys)
    assert answer.status_code == 200, answer.text
    assert answer.json is not None
    return dict(answer.json["result"])


def test_root_of_a_turned_thread_by_hand(http: FlaskClient) -> None:
    # Trigonometry: d2 − (P/2 − w)/tan 30° for the inch thread, /tan 15° for the trapezoidal one;
    # the tool copies itself, so nothing is added for a helix.
    for keys, pitch, angle in ((STUD, 1 / 16, 30), (SCREW, 6.0, 15)):
        found = planned(http, **keys)
        flat = float(keys["cutter_nose_flat"])  # type: ignore[arg-type]
        root = found["pitch_diameter_aim"] - (pitch / 2 - flat) / math.tan(math.radians(angle))
        assert found["root_diameter"] == pytest.approx(root, abs=2e-5)
        assert found["depth"] == pytest.approx((found["blank_diameter"] - root) / 2, abs=2e-5)
        assert found["passes"][-1]["root_diameter"] == found["root_diameter"]


def test_time_is_that_of_the_same_cuts_in_a_cycle_time(http: FlaskClient) -> None:
    found = planned(http, **SCREW)
    # 21 cuts and a spring cut over three leads and the thread, 6 mm a turn at 280 rev/min.
    assert found["cutting_time_s"] == pytest.approx(22 * (18 + 220) / 6 / 280 * 60, abs=1e-3)
    answer = http.post(
        "/v1/cycle-time",
        json={
            "unit": "mm",
            "designation": "Tr32x6-7e",
            "thread_process": "turned",
            "thread_length": 220,
            "passes": 22,
            "spindle_speed": 280,
            "quantity": 5,
        },
    )
    assert answer.json is not None
    part = answer.json["result"]["part"]
    assert part["cutting_time_s"] == pytest.approx(found["cutting_time_s"], abs=2e-3)


def test_force_of_a_radial_pass_is_near_that_of_cutting_data(http: FlaskClient) -> None:
    # The same law with the mean chip of the whole edge, against nose and flanks each for itself.
    found = planned(http, **{**STUD, "infeed": "radial"})
    last = [each for each in found["passes"] if each["kind"] == "cut"][-1]
    answer = http.post(
        "/v1/cutting-data",
        json={
            "unit": "in",
            "process": "single-point-threading",
            "designation": "3/4-16 UNF-2A",
            "material": "42CrMo4",
            "hardness": 32,
            "hardness_scale": "HRC",
            "cutter_diameter": found["blank_diameter"],
            "cutter_teeth": 1,
            "cutter_nose_flat": 0.006,
            "cutter_included_angle_deg": 60,
            "radial_width": last["radial_infeed"],
            "profile_depth": last["depth"],
        },
    )
    assert answer.json is not None, answer.text
    data = answer.json["result"]
    assert last["tangential_force_n"] == pytest.approx(data["tangential_force_n"], rel=0.05)
    assert found["surface_speed"] == pytest.approx(data["surface_speed"], rel=0.3)


@pytest.mark.parametrize("infeed", ["radial", "flank", "modified-flank", "alternating"])
def test_steps_of_each_infeed_add_up(infeed: str, http: FlaskClient) -> None:
    found = planned(http, **{**STUD, "infeed": infeed, "spring_passes": 2})
    cuts = [each for each in found["passes"] if each["kind"] == "cut"]
    assert len(found["passes"]) == len(cuts) + 2
    assert sum(each["radial_infeed"] for each in cuts) == pytest.approx(found["depth"], abs=2e-5)
    moved = sum(each["axial_infeed"] for each in cuts)
    assert moved == pytest.approx(cuts[0]["axial_offset"], abs=2e-5)
    angle = {"radial": 0.0, "flank": 30.0}.get(infeed, 29.5)
    for each in cuts[1:]:
        slope = abs(each["axial_infeed"]) / each["radial_infeed"]
        assert slope == pytest.approx(math.tan(math.radians(angle)), abs=2e-3)


@pytest.mark.parametrize("operation", ["turning-plan", "cycle-time"])
def test_a_tool_that_runs_along_the_work_too_fast_is_told(
    operation: str, http: FlaskClient
) -> None:
    """6 mm a turn: 600 rev/min are 3.6 m/min along the work, 400 are 2.4 (common practice)."""
    keys: dict[str, Any] = {
        "turning-plan": SCREW,
        "cycle-time": {
            "unit": "mm",
            "quantity": 5,
            "operations": [
                {
                    "kind": "single-point-threading",
                    "name": "thread",
                    "tool": "threading insert",
                    "thread_length": 100,
                    "lead": 6,
                    "cuts": 12,
                }
            ],
        },
    }[operation]

    def told(speed: float) -> bool:
        if operation == "cycle-time":
            (step,) = keys["operations"]
            sent = {**keys, "operations": [{**step, "spindle_speed": speed}]}
        else:
            sent = {**keys, "spindle_speed": speed}
        answer = http.post(f"/v1/{operation}", json=sent)
        assert answer.status_code == 200, answer.text
        codes = [each["code"] for each in answer.json["cautions"]]
        return "runs-along-fast" in codes

    assert told(600)
    assert not told(400)


def test_starts_are_told_to_be_cut_one_by_one(http: FlaskClient) -> None:
    # Definition: two starts are half a lead, a pitch, apart; the time holds both.
    one = http.post("/v1/turning-plan", json=SCREW).json
    two = http.post("/v1/turning-plan", json={**SCREW, "designation": "Tr32x12P6-7e"}).json
    told = {each["code"]: each["detail"] for each in two["cautions"]}
    assert "each pass is cut 2 times" in told["each-start"]
    assert "6.0000 mm, further along or 180 deg further round" in told["each-start"]
    assert "each-start" not in {each["code"] for each in one["cautions"]}
    assert len(two["result"]["passes"]) == len(one["result"]["passes"]) == 22
    # Both starts over three leads of 12 mm and the thread, 12 mm a turn at 280 rev/min.
    assert two["result"]["cutting_time_s"] == pytest.approx(
        2 * 22 * (36 + 220) / 12 / 280 * 60, abs=1e-3
    )


def test_working_tells_the_steps(http: FlaskClient) -> None:
    answer = http.post("/v1/turning-plan", json={**SCREW, "working": True})
    assert answer.json is not None
    quantities = {each["quantity"] for each in answer.json["working"]}
    assert "axial offset of the tool from the groove's middle" in quantities
    assert "power of a pass" in quantities


def test_a_batch_item_and_a_query(http: FlaskClient) -> None:
    alone = http.post("/v1/turning-plan", json=SCREW)
    batch = http.post(
        "/v1/batch", json={"items": [{"id": "a", "operation": "turning-plan", "params": SCREW}]}
    )
    assert batch.json is not None
    assert alone.json is not None
    assert batch.json["ok"] == 1
    assert batch.json["items"][0]["result"] == alone.json["result"]
    queried = http.get(
        "/v1/turning-plan.csv?rows=passes&"
        + "&".join(f"{key}={value}" for key, value in SCREW.items())
    )
    assert queried.status_code == 200
    assert len(queried.text.strip().splitlines()) == 23


@pytest.mark.parametrize(
    ("spoilt", "parameter"),
    [
        ({"surface_speed": 40}, "spindle_speed"),
        ({"cutter_nose_radius": 0.2}, "cutter_nose_radius"),
        ({"infeed_ratio": 0.8}, "infeed_ratio"),
        ({"infeed": "radial", "flank_clearance_deg": 1}, "flank_clearance_deg"),
        ({"flank_clearance_deg": 20}, "flank_clearance_deg"),
        ({"hole_diameter": 26}, "hole_diameter"),
        ({"cutter_nose_flat": 2.8}, "cutter_nose_flat"),
        ({"blank_diameter": 20}, "blank_diameter"),
        ({"spindle_speed": 9000}, "spindle_speed"),
        ({"passes": 0}, "passes"),
        ({"infeed": "sideways"}, "infeed"),
    ],
)
def test_what_cannot_be_is_refused_by_name(
    spoilt: dict[str, Any], parameter: str, http: FlaskClient
) -> None:
    answer = http.post("/v1/turning-plan", json={**SCREW, **spoilt})
    assert answer.status_code == 422, answer.text
    assert answer.json is not None
    first = answer.json["errors"][0]
    assert first["parameter"] == parameter
    assert first["accepted"]


def test_a_speed_beyond_the_lathe_is_kept_and_told(http: FlaskClient) -> None:
    answer = http.post("/v1/turning-plan", json={**SCREW, "spindle_speed_max": 200})
    assert answer.json is not None
    assert answer.json["result"]["spindle_speed"] == 280
    assert "spindle-speed-exceeded" in {each["code"] for each in answer.json["cautions"]}
    chosen = {key: value for key, value in SCREW.items() if key != "spindle_speed"}
    slow = planned(http, **{**chosen, "spindle_speed_max": 200})
    assert (slow["spindle_speed"], slow["limited_by"]) == (200, "spindle-speed")
    weak = planned(http, **{**chosen, "spindle_power_kw": 0.5})
    assert weak["limited_by"] == "power"
    assert max(each["power_kw"] for each in weak["passes"]) == pytest.approx(0.5, abs=1e-3)


def test_a_ratio_that_leaves_nothing_for_the_last_passes_is_refused(http: FlaskClient) -> None:
    keys = {**SCREW, "division": "falling", "infeed_ratio": 0.0018, "infeed": "alternating"}
    for operation, more in (("turning-plan", {}), ("turning-plan", {"passes": 30})):
        answer = http.post(f"/v1/{operation}", json={**keys, **more})
        assert answer.status_code == 422, answer.text
        (fault,) = answer.json["errors"]
        assert (fault["parameter"], fault["value"]) == ("infeed_ratio", 0.0018)
        least = float(fault["accepted"].split()[1])
        kept = http.post(f"/v1/{operation}", json={**keys, **more, "infeed_ratio": 1.1 * least})
        assert kept.status_code == 200, kept.text
