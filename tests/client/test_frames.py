"""Tables in and out: a pandas frame with answers beside each row."""

from __future__ import annotations

import sys
from typing import Any

import numpy as np
import pandas as pd  # type: ignore[import-untyped]
import pytest

from threadwright import Client, MissingExtraError

# Limits from the published tables: M24x1.5-6g and M10-6H of ISO 965-2's and handbook tables are
# compared digit for digit in tests/published; here the client's own single calls are the measure.


@pytest.fixture
def client() -> Client:
    return Client()


@pytest.fixture
def table() -> pd.DataFrame:
    return pd.DataFrame(
        {
            "part": ["screw", "nut", "oddity", "empty"],
            "designation": ["M24x1.5-6g", "M10-6H", "M24x1,5-6g", None],
            "length_of_engagement": [np.nan, 12.0, 3.0, np.nan],
            "unit": ["mm"] * 4,
        },
        index=pd.Index([7, 3, 9, 1], name="row"),
    )


def test_columns_are_added(client: Client, table: pd.DataFrame) -> None:
    keep = ["limits.pitch_diameter.max", "limits.pitch_diameter.min", "allowance"]
    result = client.frame("thread-limits", table, keep=keep)
    assert list(result.columns) == [*table.columns, *keep, "error"]
    assert list(result.index) == [7, 3, 9, 1]
    assert result.index.name == "row"
    for row, (designation, engagement) in {7: ("M24x1.5-6g", None), 3: ("M10-6H", 12.0)}.items():
        keys: dict[str, Any] = {"designation": designation, "unit": "mm"}
        if engagement is not None:
            keys["length_of_engagement"] = engagement
        limits = client.call("thread-limits", keys).to_dict()
        assert result.loc[row, keep[0]] == limits["limits"]["pitch_diameter"]["max"]
        assert result.loc[row, "allowance"] == limits["allowance"]
        assert pd.isna(result.loc[row, "error"])
    assert "decimal comma" in result.loc[9, "error"]
    assert "no thread" in result.loc[1, "error"]
    assert result.loc[[9, 1], keep].isna().all(axis=None)
    assert result["limits.pitch_diameter.max"].dtype == np.float64
    assert "error" not in table.columns, "the given table is left as it is"


def test_every_value_if_none_is_named(client: Client, table: pd.DataFrame) -> None:
    result = client.frame("thread_limits", table.loc[[7, 3]])
    assert {
        "limits.major_diameter.max",
        "pitch",
        "rounding_rule",
        "reference.minor_diameter_stress",
    } <= set(result.columns)
    # As ISO 965-1 writes it, a coarse pitch may be left out; the service names it.
    assert list(result["result.designation"]) == ["M24x1.5-6g", "M10x1.5-6H"], (
        "what is a column already is put in beside it"
    )
    assert list(result["designation"]) == ["M24x1.5-6g", "M10-6H"]
    assert result["error"].isna().all()


def test_columns_may_have_other_names(client: Client) -> None:
    table = pd.DataFrame({"Thread": ["M10-6H"], "pitch": [99.0]})
    result = client.frame(
        "thread-limits", table, columns={"Thread": "designation"}, keep=["pitch"], unit="mm"
    )
    assert list(result.columns) == ["Thread", "pitch", "result.pitch", "error"]
    assert list(result["result.pitch"]) == [1.5]


def test_types_of_pandas_are_sent_as_numbers(client: Client) -> None:
    table = pd.DataFrame(
        {
            "designation": pd.array(["Tr32x12(P6)-7e", pd.NA], dtype="string"),
            "starts": pd.array([2, None], dtype="Int64"),
            "length_of_engagement": pd.array([60.0, None], dtype="Float64"),
        }
    )
    result = client.frame("thread-limits", table, keep=["lead"], unit="mm")
    assert result.loc[0, "error"] is None or pd.isna(result.loc[0, "error"]), result.loc[0, "error"]
    assert result.loc[0, "lead"] == 12


def test_lists_in_cells(client: Client) -> None:
    table = pd.DataFrame({"designation": ["M24x1.5-6g"], "wires_on_hand": [[0.8, 0.85, 0.9]]})
    result = client.frame("wire-measurement", table, keep=["wire_diameter"], unit="mm")
    assert list(result["wire_diameter"]) == [0.85]


def test_a_row_may_hold_nothing_but_errors(client: Client) -> None:
    table = pd.DataFrame({"designation": ["?", "!"]})
    result = client.frame("thread-limits", table, keep=["pitch"])
    assert result["pitch"].isna().all()
    assert result["error"].notna().all()


def test_an_empty_table(client: Client) -> None:
    result = client.frame("thread-limits", pd.DataFrame({"designation": []}), keep=["pitch"])
    assert list(result.columns) == ["designation", "pitch", "error"]
    assert result.empty


def test_what_does_not_fit_is_said(client: Client, table: pd.DataFrame) -> None:
    with pytest.raises(ValueError, match=r"a single value at limits\.pitch; near are limits"):
        client.frame("thread-limits", table, keep=["limits.pitch"])
    with pytest.raises(ValueError, match="no column of the table is a key"):
        client.frame("thread-limits", pd.DataFrame({"Thread": ["M10"]}))
    with pytest.raises(ValueError, match="no column 'Gewinde'"):
        client.frame("thread-limits", table, columns={"Gewinde": "designation"})
    with pytest.raises(ValueError, match="column 'error' already"):
        client.frame("thread-limits", table.assign(error="x"))
    with pytest.raises(ValueError, match="is a key of thread-colour"):
        client.frame("thread-colour", table)


def test_a_progress_bar(
    client: Client, table: pd.DataFrame, capsys: pytest.CaptureFixture[str]
) -> None:
    client.frame("thread-limits", table, progress=True)
    assert "4/4" in capsys.readouterr().err


def test_without_pandas_it_says_what_to_install(
    client: Client, table: pd.DataFrame, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(MissingExtraError, match=r"pip install 'threadwright\[pandas\]'"):
        client.frame("thread-limits", table)


def test_a_table_that_is_none_is_named() -> None:
    table = pd.DataFrame({"designation": ["M10-6H"]})
    with pytest.raises(TypeError, match="an operation and then a DataFrame; str is none"):
        Client().frame(table, "thread-limits")
