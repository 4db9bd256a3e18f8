"""Quotes over HTTP: what is asked for is in the answer, and what is wrong is told in its own keys.

The arithmetic of the comparisons is written out here and calls nothing of ours. The numbers of the
jobs are invented.
"""

from __future__ import annotations

from math import pi, sqrt
from typing import Any

import pytest
from flask.testing import FlaskClient

from threadwright_service.api import OPERATIONS
from threadwright_service.api.operation import Operation

STUDS: dict[str, Any] = {
    "unit": "in",
    "designation": "3/4-16 UNF-2A",
    "thread_length": 1.25,
    "passes": 5,
    "feed_centre": 4.8,
    "cutter_centre_radius": 0.517,
    "acceleration_g": 0.4,
    "rapid_rate": 600,
    "quantity": 12,
    "setup_time_min": 60,
    "load_time_s": 120,
    "first_article_trials": 0,
    "measure_every": 0,
    "machine_rate": 72,
}
DRILLED_AND_TAPPED: list[dict[str, Any]] = [
    {"kind": "drilling", "diameter": 8.5, "depth": 20, "feed": 120, "tool": "drill"},
    {"kind": "tapping", "depth": 20, "lead": 1.5, "spindle_speed": 300, "tool": "tap"},
]


def result(http: FlaskClient, operation: str, request: dict[str, Any]) -> dict[str, Any]:
    answer = http.post(f"/v1/{operation}", json=request)
    assert answer.status_code == 200, answer.text
    return dict(answer.json["result"])


def fault(http: FlaskClient, operation: str, request: dict[str, Any]) -> dict[str, Any]:
    answer = http.post(f"/v1/{operation}", json=request)
    assert answer.status_code == 422, answer.text
    (told,) = answer.json["errors"]
    assert told["detail"]
    assert told["accepted"]
    return dict(told)


def cautions(http: FlaskClient, operation: str, request: dict[str, Any]) -> dict[str, str]:
    answer = http.post(f"/v1/{operation}", json=request)
    assert answer.status_code == 200, answer.text
    return {each["code"]: each["detail"] for each in answer.json["cautions"]}


def thread_s(feed_in_per_min: float, passes: int = 5) -> float:
    """Time in the cut of the studs' thread: whole turns and one more, ramps at 0.4 g."""
    turn = sqrt((2 * pi * 0.517) ** 2 + (1 / 16) ** 2)
    length = (1.25 * 16 + 1) * turn
    v = feed_in_per_min / 60
    return passes * (length / v + v / (0.4 * 9806.65 / 25.4))


def test_twice_the_feed_halves_the_time_of_the_lot_in_the_cut(http: FlaskClient) -> None:
    """Common practice; every part of the lot saves half of its time in the cut."""
    told = result(http, "cycle-time", {**STUDS, "what_if_feed_ratio": 2})
    assert told["part"]["cutting_time_s"] == pytest.approx(thread_s(4.8), rel=1e-6)
    (faster,) = told["alternatives"]
    saved_min = 12 * (thread_s(4.8) - thread_s(9.6)) / 60
    assert faster["name"] == "other feed"
    assert faster["saved_time_min"] == pytest.approx(saved_min, abs=2e-3)
    assert faster["saved_cost"] == pytest.approx(72 * saved_min / 60, abs=2e-3)
    assert saved_min == pytest.approx(12 * thread_s(4.8) / 2 / 60, rel=1e-3)


def test_fewer_passes_save_their_share(http: FlaskClient) -> None:
    told = result(http, "cycle-time", {**STUDS, "what_if_passes": 3})
    (fewer,) = told["alternatives"]
    cut_min = 12 * (thread_s(4.8) - thread_s(4.8, passes=3)) / 60
    # Two ways back along the axis less, each 1.25 + 1/16 in and 5 mm at 10 in/s with ramps.
    a, v, way = 0.4 * 9806.65 / 25.4, 10.0, 1.25 + 1 / 16 + 5 / 25.4
    back_min = 12 * 2 * (way / v + v / a if way > v * v / a else 2 * sqrt(way / a)) / 60
    assert fewer["saved_time_min"] == pytest.approx(cut_min + back_min, abs=2e-3)


def test_milling_against_turning_breaks_even_where_the_lines_cross(http: FlaskClient) -> None:
    """Turning: 15 cuts at 400 rev/min; another set-up of 100 min against 60."""
    told = result(
        http,
        "cycle-time",
        {
            **STUDS,
            "alternative_thread_process": "turned",
            "alternative_thread_passes": 15,
            "alternative_thread_spindle_speed": 400,
            "alternative_thread_setup_time_min": 100,
        },
    )
    (turned,) = told["alternatives"]
    each_min = told["part"]["time_s"] / 60 - turned["part_time_s"] / 60
    assert turned["part_time_s"] < told["part"]["time_s"]
    exact = (100 - 60) / each_min
    assert turned["break_even"]["pays"] == "from"
    assert turned["break_even"]["exact_quantity"] == pytest.approx(exact, rel=1e-4)
    assert told["break_even_quantity"] == turned["break_even"]["quantity"] == int(exact) + 1


def test_another_cutter_keeps_the_cost_of_the_other_tools(http: FlaskClient) -> None:
    """A drill that both ways use costs the same in both."""
    request = {
        "unit": "mm",
        "designation": "M20x1.5-6H",
        "thread_length": 20,
        "passes": 3,
        "feed_centre": 150,
        "cutter_centre_radius": 4,
        "quantity": 10,
        "machine_rate": 60,
        "tool_cost": 100,
        "tool_life_min": 60,
        "drill_diameter": 18.4,
        "drill_depth": 25,
        "drill_feed": 100,
        "tools": [{"name": "drill", "life_min": 10, "cost": 50}],
        "alternative_thread_cutter_profile": "full",
        "alternative_thread_passes": 2,
        "alternative_thread_feed_centre": 100,
        "alternative_thread_cutter_centre_radius": 4,
        "alternative_thread_tool_cost": 100,
        "alternative_thread_tool_life_min": 60,
    }
    with_drill = result(http, "cycle-time", request)
    without = result(http, "cycle-time", {k: v for k, v in request.items() if k != "tools"})
    drill = with_drill["lot"]["cost"] - without["lot"]["cost"]
    other = with_drill["alternatives"][0]["cost"] - without["alternatives"][0]["cost"]
    assert drill > 10
    assert other == pytest.approx(drill, abs=1e-3)


@pytest.mark.parametrize(
    ("changed", "parameter", "value"),
    [
        ({"what_if_passes": 9}, "what_if_passes", 9),
        (
            {
                "step_start_diameter": 0.7,
                "step_diameter": 0.75,
                "step_length": 1,
                "step_cutter_diameter": 0.5,
                "step_radial_depth": 0.02,
                "step_feed": 10,
            },
            "step_start_diameter",
            0.7,
        ),
        ({"step_diameter": 0.75}, "step_start_diameter", None),
        (
            {"drill_diameter": 0.5, "drill_depth": 1, "drill_feed": 3},
            "drill_diameter",
            0.5,
        ),
        ({"alternative_thread_passes": 5}, "alternative_thread_feed_centre", None),
    ],
)
def test_a_refusal_is_told_in_the_keys_of_the_request(
    http: FlaskClient, changed: dict[str, Any], parameter: str, value: float | None
) -> None:
    told = fault(http, "cycle-time", {**STUDS, **changed})
    assert told["parameter"] == parameter
    assert told["value"] == value
    assert "_mm" not in told["detail"] + told["accepted"]


@pytest.mark.parametrize(
    ("entry", "parameter", "value"),
    [
        ({"kind": "drilling", "diameter": 0.3, "depth": 1}, "operations.1.feed", None),
        (
            {"kind": "drilling", "diameter": 0.3, "depth": 1, "feed": 4, "lead": 0.05},
            "operations.1.lead",
            0.05,
        ),
        (
            {
                "kind": "circular-milling",
                "side": "external",
                "start_diameter": 0.8,
                "diameter": 1,
                "length": 1,
                "cutter_diameter": 0.5,
                "radial_depth": 0.05,
                "feed": 10,
            },
            "operations.1.start_diameter",
            0.8,
        ),
    ],
)
def test_a_refusal_names_the_place_in_the_list(
    http: FlaskClient, entry: dict[str, Any], parameter: str, value: float | None
) -> None:
    request = {
        "unit": "in",
        "operations": [{"kind": "hand-work", "time_s": 10, "beside": True}, entry],
    }
    told = fault(http, "cycle-time", request)
    assert told["parameter"] == parameter
    assert told["value"] == value
    assert "_mm" not in told["detail"] + told["accepted"]


def test_what_is_given_without_effect_is_said(http: FlaskClient) -> None:
    """A step beside a list of operations is in neither: the quote would be too low."""
    listed = {"unit": "mm", "operations": DRILLED_AND_TAPPED, "quantity": 10}
    assert "no-effect" not in cautions(http, "cycle-time", listed)
    told = cautions(http, "cycle-time", {**listed, "step_diameter": 24, "lot_quantity": 5})
    assert "lot_quantity" in told["no-effect"]
    assert "step_diameter" in told["no-effect"]


@pytest.mark.parametrize("operation", OPERATIONS, ids=[each.name for each in OPERATIONS])
def test_every_key_of_every_example_has_its_part(operation: Operation, http: FlaskClient) -> None:
    for example in operation.examples:
        answer = http.post(operation.path, json=dict(example.request))
        codes = [caution["code"] for caution in answer.json.get("cautions", ())]
        assert "no-effect" not in codes


def test_a_tool_is_named_as_in_the_operations(http: FlaskClient) -> None:
    request = {
        "unit": "mm",
        "operations": DRILLED_AND_TAPPED,
        "machine_rate": 50,
        "tools": [{"name": "reamer", "life_min": 5, "cost": 10}],
    }
    told = fault(http, "cycle-time", request)
    assert told["parameter"] == "tools"
    assert told["accepted"] == "drill, tap"


def test_the_thread_s_tool_in_a_list_is_the_one_that_cuts_it(http: FlaskClient) -> None:
    request = {
        "unit": "mm",
        "operations": DRILLED_AND_TAPPED,
        "machine_rate": 50,
        "tool_cost": 30,
    }
    (tool,) = result(http, "cycle-time", request)["lot"]["tools"]
    assert (tool["name"], tool["cost"]) == ("tap", 30)


STUD_JOB: dict[str, Any] = {
    "unit": "in",
    "designation": "3/4-16 UNF-2A",
    "thread_length": 1.25,
    "material": "D2",
    "hardness": 58,
    "hardness_scale": "HRC",
    "cutter_diameter": 0.375,
    "cutter_teeth": 4,
    "cutter_nose_flat": 0.004,
    "cutter_neck_diameter": 0.24,
    "cutter_neck_length": 1.3,
    "cutter_stick_out": 1.6,
    "quantity": 12,
    "machine_rate": 70,
}


def test_a_job_sheet_says_how_many_cutters_the_lot_wears(http: FlaskClient) -> None:
    """Life and minutes stand in the answer itself; the quotient is the number of cutters."""
    sheet = result(http, "job-sheet", STUD_JOB)
    life = sheet["cutting"]["tool_life_min"]
    minutes = 12 * sheet["time"]["part"]["cutting_time_s"] / 60
    assert minutes > 2 * life
    cutters = int(minutes / life) + 1
    told = cautions(http, "job-sheet", STUD_JOB)["cutter-wears-out"]
    assert f"{minutes:.0f} min, trial cuts apart: about {cutters} cutters" in told
    counted = {**STUD_JOB, "tool_life_min": 30, "tool_cost": 80}
    assert "cutter-wears-out" not in cautions(http, "job-sheet", counted)
    assert "cutter-wears-out" not in cautions(
        http, "job-sheet", {**STUD_JOB, "thread_length": 0.1, "quantity": 1}
    )


def test_a_job_sheet_says_one_thing_of_the_force(http: FlaskClient) -> None:
    answer = http.post("/v1/job-sheet", json=STUD_JOB)
    codes = [caution["code"] for caution in answer.json["cautions"]]
    assert codes.count("force-extrapolated") == 1


def test_a_job_sheet_gives_no_advice_against_its_own(http: FlaskClient) -> None:
    """Common practice: a chip that rubs asks for more feed, a cutter that bends for less.

    The plan weighs both; what the cutting data alone would say of the same pass is left out.
    """
    told = cautions(http, "job-sheet", STUD_JOB)
    assert "chip-too-thin" in told
    assert not {"bends-much", "rubs"} & told.keys()
    alone = {
        "unit": "in",
        "process": "side-milling",
        "material": "D2",
        "hardness": 58,
        "hardness_scale": "HRC",
        "cutter_diameter": 0.25,
        "cutter_teeth": 4,
        "cutter_stick_out": 1.6,
        "radial_width": 0.02,
        "axial_depth": 0.5,
    }
    assert "bends-much" in cautions(http, "cutting-data", alone)


FOLLOWED = {"pass-plan", "turning-plan", "cutting-data", "cycle-time", "job-sheet"}
"""Operations whose numbers a machine is set to, or its time told by."""


@pytest.mark.parametrize("operation", OPERATIONS, ids=[each.name for each in OPERATIONS])
def test_to_prove_out_is_said_once(operation: Operation, http: FlaskClient) -> None:
    """Whoever reads the same thing three times reads nothing."""
    for example in operation.examples:
        answer = http.post(operation.path, json=dict(example.request))
        codes = [each["code"] for each in answer.json.get("cautions", ())]
        assert codes.count("prove-out") == (operation.name in FOLLOWED)


def test_what_is_not_timed_is_said(http: FlaskClient) -> None:
    """Common practice: before the thread its diameter is made, after it the edge is broken."""
    told = cautions(http, "job-sheet", STUD_JOB)["not-in-the-time"]
    assert "step" in told
    assert "chamfer" in told
    whole = {
        **STUD_JOB,
        "step_start_diameter": 0.8,
        "step_diameter": 0.7438,
        "step_length": 1.3,
        "step_cutter_diameter": 0.5,
        "step_radial_depth": 0.015,
        "step_feed": 10,
        "chamfer_diameter": 0.7438,
        "chamfer_cutter_diameter": 0.25,
        "chamfer_feed": 5,
        "deburr_time_s": 20,
    }
    assert "not-in-the-time" not in cautions(http, "job-sheet", whole)
    longer = result(http, "job-sheet", whole)["time"]["part"]["time_s"]
    assert longer > result(http, "job-sheet", STUD_JOB)["time"]["part"]["time_s"] + 20
    page = http.post("/v1/job-sheet.html", json=whole).text
    for each in result(http, "job-sheet", whole)["time"]["part"]["operations"]:
        assert f"<th>of that {each['name']}</th>" in page
    inside = {
        "unit": "mm",
        "designation": "M20x1.5-6H",
        "thread_length": 20,
        "passes": 3,
        "feed_centre": 150,
        "cutter_centre_radius": 4,
    }
    assert "hole" in cautions(http, "cycle-time", inside)["not-in-the-time"]
    drilled = {**inside, "drill_diameter": 18.5, "drill_depth": 25, "drill_feed": 100}
    assert "hole" not in cautions(http, "cycle-time", drilled)["not-in-the-time"]


FEED_SCREW: dict[str, Any] = {
    "unit": "mm",
    "designation": "Tr32x6-7e",
    "thread_process": "turned",
    "thread_length": 220,
    "material": "12L14",
    "cutter_nose_flat": 1.9,
    "quantity": 5,
    "machine_rate": 55,
}


def test_a_turned_thread_is_quoted_from_its_plan(http: FlaskClient) -> None:
    """Passes by the turning plan; each follows the spindle over three leads and the length."""
    told = result(http, "cycle-time", FEED_SCREW)
    keys = ("unit", "designation", "thread_length", "material", "cutter_nose_flat")
    plan = result(http, "turning-plan", {key: FEED_SCREW[key] for key in keys})
    cuts = plan["cutting_passes"] + plan["spring_passes"]
    seconds = cuts * (3 * 6 + 220) / (6 * plan["spindle_speed"] / 60)
    assert told["part"]["cutting_time_s"] == pytest.approx(seconds, abs=2e-3)


def test_a_turned_thread_keeps_what_is_given(http: FlaskClient) -> None:
    slow = result(http, "cycle-time", {**FEED_SCREW, "spindle_speed": 280, "passes": 21})
    # Passes and speed known, the old way: 21 cuts, a spring cut among them.
    assert slow["part"]["cutting_time_s"] == pytest.approx(21 * 238 / (6 * 280 / 60), abs=2e-3)
    limited = result(http, "cycle-time", {**FEED_SCREW, "spindle_speed_max": 280})
    assert limited["part"]["cutting_time_s"] == pytest.approx(22 * 238 / (6 * 280 / 60), abs=2e-3)


def test_what_a_turned_thread_lacks_is_asked_for(http: FlaskClient) -> None:
    bare = {key: value for key, value in FEED_SCREW.items() if key != "material"}
    told = fault(http, "cycle-time", bare)
    assert told["parameter"] == "spindle_speed"
    assert "material" in told["accepted"]
    without_nose = {key: value for key, value in FEED_SCREW.items() if key != "cutter_nose_flat"}
    assert fault(http, "cycle-time", without_nose)["parameter"] == "cutter_nose_flat"
