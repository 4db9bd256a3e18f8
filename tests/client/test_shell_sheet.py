"""The job sheet in the shell: one screen, the numbers of the answer, nothing cut off."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from threadwright import Client, cli
from threadwright.shell.table import shown

JOBS = Path(__file__).resolve().parents[2] / "client" / "examples"
SHEETS = ("levelling_screws", "die_clamp_studs", "ring_nuts")


@pytest.fixture(autouse=True)
def _terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("THREADWRIGHT_URL", raising=False)
    monkeypatch.setenv("COLUMNS", "100")


def told(capsys: pytest.CaptureFixture[str], *argv: str) -> str:
    assert cli.main(("job-sheet", *argv)) == 0
    return capsys.readouterr().out


def job(name: str) -> dict[str, Any]:
    keys: dict[str, Any] = json.loads((JOBS / f"{name}.json").read_text(encoding="utf-8"))
    return keys


@pytest.mark.parametrize("name", SHEETS)
def test_it_holds_what_the_machine_needs(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    result = Client().job_sheet(**job(name))
    sheet = told(capsys, "--file", str(JOBS / f"{name}.json"))
    plan = result.plan
    wanted = [
        result.thread.designation,
        shown(result.thread.limits.pitch_diameter.max),
        shown(result.thread.limits.pitch_diameter.min),
        shown(plan.expected_pitch_diameter),
        shown(plan.path.start_height),
        *([] if plan.leftovers.shoulder_gap is None else [shown(plan.leftovers.shoulder_gap)]),
        plan.path.travel,
        *(shown(each.cutter_centre_radius) for each in plan.passes),
        *(shown(each.root_diameter) for each in plan.passes),
        *(caution.code for caution in result.cautions),
    ]
    words = set(re.split(r"[\s\[\];,]+", sheet))
    assert set(" ".join(wanted).split()) <= words
    assert max(map(len, sheet.splitlines())) <= 110


def test_it_tells_the_time_of_each_operation_of_the_part(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A quote rests on the step and the chamfer too; the thread alone is told by the part."""
    step = {
        "step_start_diameter": 0.8,
        "step_diameter": 0.7438,
        "step_length": 1.3,
        "step_cutter_diameter": 0.5,
        "step_radial_depth": 0.015,
        "step_feed": 10,
    }
    file = ("--file", str(JOBS / "die_clamp_studs.json"))
    given = [word for key, value in step.items() for word in (f"--{key}", str(value))]
    sheet = told(capsys, *file, *given)
    times = Client().job_sheet(**job("die_clamp_studs") | step).time.part.operations
    assert [each.name for each in times] == ["step", "thread"]
    for each in times:
        (line,) = re.findall(rf"(?m)^ +{each.name} +([0-9.]+) s$", sheet)
        assert float(line) == pytest.approx(each.time_s, rel=1e-3)
    assert not re.search(r"(?m)^ +thread +[0-9.]+ s$", told(capsys, *file))


@pytest.mark.parametrize("name", SHEETS)
def test_it_says_what_was_assumed(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    sheet = told(capsys, "--file", str(JOBS / f"{name}.json"))
    for each in Client().job_sheet(**job(name)).assumed:
        assert each.parameter in sheet


def test_a_diameter_without_limits_is_left_out(capsys: pytest.CaptureFixture[str]) -> None:
    outside = told(capsys, "--file", str(JOBS / "levelling_screws.json"))
    inside = told(capsys, "--file", str(JOBS / "ring_nuts.json"))
    assert "minor diameter" not in outside, "ISO 965-1 sets none for external threads"
    assert "minor diameter" in inside


def test_it_is_a_fraction_of_the_whole(capsys: pytest.CaptureFixture[str]) -> None:
    file = str(JOBS / "levelling_screws.json")
    sheet, whole = told(capsys, "--file", file), told(capsys, "--file", file, "--all")
    assert "plan.stiffness.compliance_um_per_n" in whole
    assert len(sheet.splitlines()) < len(whole.splitlines()) / 4


def test_working_is_shown_with_every_value(capsys: pytest.CaptureFixture[str]) -> None:
    whole = told(capsys, "--file", str(JOBS / "levelling_screws.json"), "--working")
    assert "\nworking\n" in whole
    assert "plan.stiffness.compliance_um_per_n" in whole


def test_many_passes_are_cut_in_the_middle(capsys: pytest.CaptureFixture[str]) -> None:
    sheet = told(capsys, "--file", str(JOBS / "levelling_screws.json"), "--passes", "26")
    passes = re.findall(r"^  (\d+|…) ?(?:cut|spring)? ", sheet, re.MULTILINE)
    assert passes[:16] == [str(number) for number in range(1, 17)]
    assert "26" in passes
    assert "…" in sheet


def test_a_pass_of_several_runs_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    # Definition: n starts stand 360/n degrees apart, and the lead is n pitches. One start cut, the
    # thread is scrap: the sheet must not show one run as if it were the whole pass.
    file = ("--file", str(JOBS / "levelling_screws.json"))
    one = told(capsys, *file)
    assert "starts" not in one
    assert re.search(r"along the axis +down, 1\.5 a turn +up, 1\.5 a turn", one)
    three = told(capsys, *file, "--designation", "M24xPh4.5P1.5-6g")
    assert re.search(r"along the axis +down, 4\.5 a turn", three)
    assert re.search(r"starts +3, each 120 deg further round", three)
    assert "[each-start]" in three
    groove = {
        "designation": "Tr24x5-7e",
        "cutter_included_angle_deg": 30,
        "cutter_nose_flat": 0.8,
        "axial_shift": True,
        "cutter_neck_diameter": 9,
    }
    given = [
        word
        for key, value in groove.items()
        for word in (f"--{key}", "true" if value is True else str(value))
    ]
    aside = told(capsys, *file, *given)
    offsets = sorted(Client().job_sheet(**job("levelling_screws") | groove).plan.path.axial_offsets)
    assert len(offsets) > 1
    wanted = f"{len(offsets)} cuts, z {shown(offsets[0])} to +{shown(offsets[-1])}"
    assert re.search(rf"side by side +{re.escape(wanted)}", aside)


def test_room_inside_is_before_the_bottom(capsys: pytest.CaptureFixture[str]) -> None:
    nuts = ("--file", str(JOBS / "ring_nuts.json"))
    assert "free before the hole's bottom" in told(capsys, *nuts, "--shoulder-distance", "0.3")
    screws = ("--file", str(JOBS / "levelling_screws.json"))
    assert "free before the shoulder" in told(capsys, *screws)


def test_no_number_has_an_exponent(capsys: pytest.CaptureFixture[str]) -> None:
    plan = Client().job_sheet(**job("ring_nuts")).plan
    assert min(each.deflection for each in plan.passes) < 1e-4, "some millionths of an inch"
    for more in ((), ("--all",)):
        sheet = told(capsys, "--file", str(JOBS / "ring_nuts.json"), *more)
        assert not re.search(r"\d\.\d+[eE]-", sheet)
