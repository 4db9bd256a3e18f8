"""A real Tryton with SQLite in memory runs the module against a real service."""

from __future__ import annotations

import importlib.util
import json
import os
import subprocess
import sys
import venv
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import requests

from support.servers import ROOT, Process, gunicorn

pytestmark = pytest.mark.erp
ERP = ROOT / "client" / "erp"
SCENARIO = Path(__file__).with_name("tryton_scenario.py")


def erp_python(folder: Path) -> str:
    """A Python with the pinned ERP and the module: the one named, this one, or a new one."""
    named = os.environ.get("THREADWRIGHT_ERP_PYTHON")
    if named:
        return named
    if importlib.util.find_spec("trytond") and importlib.util.find_spec(
        "trytond.modules.threadwright"
    ):
        return sys.executable
    venv.create(folder / "erp", with_pip=True)
    python = str(folder / "erp" / "bin" / "python")
    subprocess.run(
        [python, "-m", "pip", "install", "-q", "-r", str(ERP / "requirements.txt"),
         str(ERP / "tryton_module")],
        check=True,
        timeout=600,
    )  # fmt: skip
    return python


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    with gunicorn(tmp_path_factory.mktemp("service") / "log") as process:
        yield process


@pytest.fixture(scope="module")
def told(service: Process, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    python = erp_python(tmp_path_factory.mktemp("erp"))
    done = subprocess.run(
        [python, str(SCENARIO), service.url],
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
        env={**os.environ, "TRYTOND_DATABASE_URI": "sqlite://", "DB_NAME": ":memory:"},
    )
    assert done.returncode == 0, done.stderr
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


@pytest.fixture(scope="module")
def cycle(service: Process) -> dict[str, Any]:
    """The same lot, asked for here by the contract's keys and not through the ERP."""
    answer = requests.post(
        f"{service.url}/v1/cycle-time",
        json={
            "designation": "M24x1.5-6g", "unit": "mm", "thread_length": 28,
            "shoulder_distance": 4, "material": "17-4 PH", "hardness": 42,
            "hardness_scale": "HRC", "cutter_profile": "single", "cutter_diameter": 16,
            "cutter_teeth": 5, "cutter_nose_flat": 0.1, "cutter_neck_diameter": 12,
            "cutter_neck_length": 45, "cutter_shank_diameter": 16, "cutter_stick_out": 45,
            "spindle_speed_max": 8000, "spindle_power_kw": 5.5, "acceleration_g": 0.4,
            "setup_time_min": 45, "load_time_s": 90, "tool_cost": 140, "tool_life_min": 90,
            "quantity": 18, "machine_rate": 65,
        },
        timeout=30,
    )  # fmt: skip
    assert answer.status_code == 200, answer.text
    whole: dict[str, Any] = answer.json()
    return whole


def test_routing_holds_the_times_and_the_cost_of_the_lot(
    told: dict[str, Any], cycle: dict[str, Any]
) -> None:
    steps = [step for step in told["steps"] if step["worked_out"]]
    lines = [line for line in cycle["result"]["breakdown"] if line["time_min"] or line["cost"]]
    assert [step["name"] for step in steps] == [line["name"] for line in lines]
    for step, line in zip(steps, lines, strict=True):
        assert (step["lot_min"] or 0) == pytest.approx(line["time_min"], abs=1e-5)
        assert (step["each_min"] or 0) == pytest.approx(line["time_min"] / 18, abs=1e-5)
        assert float(step["cost"]) == pytest.approx(line["cost"], abs=5e-5), "four decimals"
        assert step["category"] == "Milling"
    lot = cycle["result"]["lot"]
    assert sum(step["lot_min"] or 0 for step in steps) == pytest.approx(lot["time_min"], abs=0.01)
    assert sum(float(step["cost"]) for step in steps) == pytest.approx(lot["cost"], abs=0.001)


def test_steps_by_hand_stay_and_a_second_time_adds_none(told: dict[str, Any]) -> None:
    names = [step["name"] for step in told["steps"]]
    assert names[0] == "Marking"
    assert len(names) == len(set(names))


def test_cautions_go_along(told: dict[str, Any], cycle: dict[str, Any]) -> None:
    assert told["cautions"].split("\n") == [each["detail"] for each in cycle["cautions"]]


def test_control_holds_limits_and_reading(told: dict[str, Any]) -> None:
    assert told["controls"] == 1
    assert told["control"] == "Thread M24x1.5-6g"
    points = told["points"]
    # ISO 965-2: M24x1.5, 6g: pitch diameter 22.994 to 22.844, major diameter 23.968 to 23.732
    assert points["pitch_diameter"][1:] == [22.844, 22.994]
    assert points["major_diameter"][1:] == [23.732, 23.968]
    assert "minor_diameter" not in points, "the standard sets no limits"
    # Three wires of P / (2 cos 30°): M = d2 + 3 w - P cot(30°) / 2; the lead adds < 0.001
    wire = 1.5 / (2 * 0.8660254)
    for limit, pitch in zip(points["reading"][1:], (22.844, 22.994), strict=True):
        assert limit == pytest.approx(pitch + 3 * wire - 1.5 * 0.8660254, abs=0.001)
    assert "three-wire" in points["reading"][0]


def test_inspections_are_judged_by_the_tolerances(told: dict[str, Any]) -> None:
    assert told["inspections"] == {"good": "passed", "large": "failed", "small": "failed"}


def test_refusals_are_shown_in_the_services_words(told: dict[str, Any]) -> None:
    assert "decimal comma" in told["refused"]
    assert "lot quantity" in told["no_quantity"]
    assert told["down"].endswith("gives no answer.")
