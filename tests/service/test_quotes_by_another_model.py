"""Quotes over HTTP against a model of its own: a hole, a turned thread, a tapped one, work by hand.

The model below is written from the definitions and shares nothing with the service: a move from
rest to rest takes s/v + v/a, or 2 sqrt(s/a) where it never reaches v; a thread's tool follows the
spindle; a lot is set-up, first article, parts, measuring and worn cutters. All numbers are drawn.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil, fsum, log2, radians, sqrt, tan
from random import Random
from typing import Any

import pytest
from flask.testing import FlaskClient


def move_s(length_mm: float, speed_mm_per_s: float, ramp_mm_per_s2: float) -> float:
    if length_mm > speed_mm_per_s**2 / ramp_mm_per_s2:
        return length_mm / speed_mm_per_s + speed_mm_per_s / ramp_mm_per_s2
    return 2 * sqrt(length_mm / ramp_mm_per_s2)


@dataclass
class Part:
    """One drawn part: its operations as a request writes them, and its time by hand."""

    random: Random
    unit: str
    rapid: float = 0.0
    ramp: float = 0.0
    operations: list[dict[str, Any]] = field(default_factory=list)
    cut_s: dict[str, float] = field(default_factory=dict)
    rapid_s: float = 0.0
    other_s: float = 0.0
    trial_s: float = 0.0

    def length(self, millimetres: float) -> float:
        return millimetres / (25.4 if self.unit == "in" else 1)

    def drill(self) -> None:
        draw = self.random.uniform
        diameter, depth, feed, angle = draw(5, 20), draw(10, 40), draw(50, 300), draw(110, 145)
        holes = self.random.randint(1, 4)
        self.operations.append(
            {
                "kind": "drilling",
                "tool": "drill",
                "diameter": self.length(diameter),
                "depth": self.length(depth),
                "feed": self.length(feed),
                "point_angle_deg": angle,
                "holes": holes,
                "dwell_s": 0.5,
                "clearance": self.length(3),
            }
        )
        stroke = 3 + depth + diameter / 2 / tan(radians(angle / 2))
        self.cut_s["drill"] = holes * move_s(stroke, feed / 60, self.ramp)
        self.rapid_s += holes * move_s(stroke, self.rapid, self.ramp)
        self.other_s += holes * 0.5

    def turn(self) -> None:
        draw = self.random.uniform
        lead, speed, length = self.random.choice([1, 1.5, 6]), draw(100, 500), draw(20, 200)
        cuts = self.random.randint(4, 25)
        self.operations.append(
            {
                "kind": "single-point-threading",
                "tool": "bar",
                "thread_length": self.length(length),
                "lead": self.length(lead),
                "cuts": cuts,
                "spindle_speed": speed,
                "approach": self.length(10),
                "overrun": self.length(2),
                "retract": self.length(4),
            }
        )
        stroke = 10 + length + 2
        self.cut_s["bar"] = cuts * stroke / (lead * speed / 60)
        back = move_s(stroke, self.rapid, self.ramp) + 2 * move_s(4, self.rapid, self.ramp)
        self.rapid_s += cuts * back
        self.trial_s = self.cut_s["bar"] + cuts * back

    def tap(self) -> None:
        draw = self.random.uniform
        depth, speed, faster = draw(10, 30), draw(100, 500), self.random.choice([1, 1.5, 2])
        self.operations.append(
            {
                "kind": "tapping",
                "tool": "tap",
                "depth": self.length(depth),
                "lead": self.length(1.25),
                "spindle_speed": speed,
                "return_speed": faster,
                "approach": self.length(5),
                "reversal_time_s": 0.7,
            }
        )
        self.cut_s["tap"] = (5 + depth) / (1.25 * speed / 60) * (1 + 1 / faster)
        self.other_s += 2 * 0.7


def drawn_part(random: Random, unit: str) -> Part:
    part = Part(random=random, unit=unit)
    part.rapid = random.choice([8000, 15_000, 30_000]) / 60
    part.ramp = random.choice([0.2, 0.4, 1.0]) * 9806.65
    part.drill()
    part.turn()
    part.tap()
    part.operations.append({"kind": "hand-work", "time_s": 30, "beside": False})
    part.operations.append({"kind": "hand-work", "time_s": 20, "beside": True})
    return part


def drawn_terms(random: Random) -> dict[str, Any]:
    draw = random.uniform
    return {
        "setup_time_min": draw(0, 90),
        "hand_change_time_min": draw(0, 20),
        "first_article_trials": random.randint(0, 3),
        "measure_time_s": draw(0, 200),
        "correction_time_s": draw(0, 90),
        "measure_every": random.choice([0, 1, 3, 10]),
        "load_time_s": draw(0, 200),
        "tool_change_time_s": draw(0, 20),
        "spindle_start_time_s": draw(0, 4),
        "spindle_stop_time_s": draw(0, 4),
        "inspection_time_s": draw(0, 60),
        "scrap_share": random.choice([0, 0.02, 0.1]),
        "learning_share": random.choice([1, 0.9, 0.8]),
        "machine_rate": draw(30, 100),
        "labour_rate": draw(1, 60),
        "attendance_share": random.random(),
        "material_cost": draw(0, 30),
        "fixture_cost": draw(0, 200),
        "tool_charge": random.choice(["used", "whole"]),
    }


def by_hand(
    part: Part, terms: dict[str, Any], hands: list[int], tools: list[dict[str, Any]]
) -> dict[str, float]:
    """Minutes and money of the lot."""
    good, started = sum(hands), sum(hands) / (1 - terms["scrap_share"])
    mean = fsum(i ** log2(terms["learning_share"]) for i in range(1, good + 1)) / good
    spindle = terms["spindle_start_time_s"] + terms["spindle_stop_time_s"]
    cutting = sum(part.cut_s.values())
    # From drill to bar to tap and back to the drill for the next part.
    cycle = cutting + part.rapid_s + part.other_s + 3 * terms["tool_change_time_s"] + spindle
    trials = len(hands) * terms["first_article_trials"]
    trial = part.trial_s + spindle + terms["measure_time_s"] + terms["correction_time_s"]
    every = terms["measure_every"]
    measured = sum(ceil(each / every) for each in hands) if every else 0
    worn_min = cutters = 0.0
    for tool in tools:
        used_min = started * part.cut_s[tool["name"]] / 60
        used_min += trials * part.cut_s["bar"] / 60 if tool["name"] == "bar" else 0
        changes = max(0, ceil(used_min / tool["life_min"]) - 1)
        worn_min += changes * tool["replacement_time_s"] / 60
        share = changes + 1 if terms["tool_charge"] == "whole" else used_min / tool["life_min"]
        cutters += share * tool["cost"]
    time_min = (
        terms["setup_time_min"]
        + (len(hands) - 1) * terms["hand_change_time_min"]
        + trials * trial / 60
        + started * cycle / 60
        + started * mean * (terms["load_time_s"] + 30) / 60
        + measured * terms["measure_time_s"] / 60
        + worn_min
    )
    alone_min = started * cycle / 60 * (1 - terms["attendance_share"])
    beside_min = started * mean * 20 / 60 + good * terms["inspection_time_s"] / 60
    labour_min = time_min - alone_min + beside_min
    money = terms["machine_rate"] * time_min / 60 + terms["labour_rate"] * labour_min / 60
    money += cutters + started * terms["material_cost"] + terms["fixture_cost"]
    return {"cutting_s": cutting, "time_min": time_min, "labour_min": labour_min, "cost": money}


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("hands", [[1], [7], [4, 5], [40, 60], [10_000]], ids=str)
@pytest.mark.parametrize("seed", range(3))
def test_a_drawn_quote(http: FlaskClient, seed: int, hands: list[int], unit: str) -> None:
    random = Random(f"{seed} {hands} {unit}")
    part, terms = drawn_part(random, unit), drawn_terms(random)
    tools = [
        {"name": "bar", "life_min": random.uniform(10, 100), "cost": 12, "replacement_time_s": 200},
        {"name": "drill", "life_min": random.uniform(20, 90), "cost": 45, "replacement_time_s": 90},
    ]
    names = ("quantity",) if len(hands) == 1 else ("quantity_right", "quantity_left")
    request = {
        "unit": unit,
        "operations": part.operations,
        "rapid_rate": part.length(part.rapid * 60),
        "acceleration_g": part.ramp / 9806.65,
        **dict(zip(names, hands, strict=True)),
        **terms,
        "tools": tools,
    }
    answer = http.post("/v1/cycle-time", json=request)
    assert answer.status_code == 200, answer.text
    told, hand = answer.json["result"], by_hand(part, terms, hands, tools)
    assert told["part"]["cutting_time_s"] == pytest.approx(hand["cutting_s"], abs=2e-3)
    assert told["part"]["rapid_time_s"] == pytest.approx(part.rapid_s, abs=2e-3)
    lot = told["lot"]
    assert lot["time_min"] == pytest.approx(hand["time_min"], rel=1e-6, abs=6e-4)
    assert lot["labour_min"] == pytest.approx(hand["labour_min"], rel=1e-6, abs=6e-4)
    assert lot["cost"] == pytest.approx(hand["cost"], rel=1e-6, abs=6e-5)
    assert lot["spread"]["low"] <= lot["cost"] <= lot["spread"]["high"]
    again = http.post("/v1/cycle-time", json=request).json["result"]["lot"]["spread"]
    assert again == lot["spread"]
