"""The script of the hosted sheet, run by node against a live service.

The sheet's own two services (its fetch and its store of properties) are stood in for; how the real
sheet calls custom functions is known from its documentation alone.
"""

from __future__ import annotations

import http.server
import json
import shutil
import subprocess
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from spreadsheet.make_workbook import COMMITTED
from support.servers import Process, gunicorn

NODE = shutil.which("node")
SCRIPT = COMMITTED.parent / "threadwright_apps_script.gs"
RUNNER = Path(__file__).parent / "office" / "run_script.js"

pytestmark = pytest.mark.skipif(NODE is None, reason="node is not installed")


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    folder = tmp_path_factory.mktemp("service")
    with gunicorn(folder / "log", WORKERS="1", API_KEYS="shop-key") as process:
        yield process


@pytest.fixture
def run(tmp_path: Path) -> Any:
    def carry_out(address: str, *calls: Any, key: str | None = "shop-key") -> dict[str, Any]:
        order = tmp_path / "order.json"
        order.write_text(json.dumps({"address": address, "key": key, "calls": calls}))
        done = subprocess.run(
            [str(NODE), str(RUNNER), str(SCRIPT), str(order)],
            capture_output=True, text=True, timeout=60, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        answer: dict[str, Any] = json.loads(done.stdout)
        return answer

    return carry_out


def test_single_cells(run: Any, service: Process) -> None:
    told = run(
        service.url,
        ["THREADWRIGHT_LIMIT", ["M24x1.5-6g", "pitch_diameter.max", "mm"]],
        ["THREADWRIGHT_LIMIT", ["3/4-16 UNF-2A", "pitch_diameter.min"]],
        ["THREADWRIGHT_LIMIT", ["M24x1,5-6g", "pitch_diameter.max", "mm"]],
        ["THREADWRIGHT_LIMIT", ["M24x1.5-6g", "pitch_diameter.middle", "mm"]],
        ["THREADWRIGHT", ["hardness", [["value", 42], ["scale", "HRC"], ["to", "HB"], ["", ""],
                                       ["table", ""]], "value"]],
    )  # fmt: skip
    upper, lower, comma, path, hardness = told["answers"]
    assert upper == {"value": 22.994}, "ISO 965-2, M24x1.5, 6g"
    assert lower == {"value": 0.7029}, "ASME B1.1, 3/4-16 UNF-2A"
    assert comma["value"].startswith("#ERR 422 ")
    assert "decimal comma" in comma["value"]
    assert path["value"] == "#ERR limits.pitch_diameter.middle is not in this answer"
    assert hardness == {"value": 390}, "ASTM E140, 42 HRC"
    assert all(each["headers"] == {"Authorization": "Bearer shop-key"} for each in told["requests"])
    assert all(each["muted"] for each in told["requests"])


def test_a_column_is_one_request_for_each_thousand(run: Any, service: Process) -> None:
    column = [["M24x1.5-6g"], [""], ["nonsense"]] + [["M10-6g"]] * 1_000
    told = run(service.url, ["THREADWRIGHT_READING", [column, "aim", "mm"]])
    values = told["answers"][0]["value"]
    assert len(values) == len(column)
    assert values[0][0] == pytest.approx(24.218, abs=1e-3)
    assert values[1] == [""]
    assert values[2][0].startswith("#ERR 422 ")
    assert {value for (value,) in values[3:]} == {values[3][0]}
    assert len(told["requests"]) == 2


def test_without_a_key(run: Any, service: Process) -> None:
    told = run(service.url, ["THREADWRIGHT_LIMIT", ["M10-6g", "pitch_diameter.max"]], key=None)
    assert told["answers"][0]["thrown"].startswith("#ERR 401 ")
    assert told["requests"][0]["headers"] == {}


def test_a_page_of_something_else(run: Any) -> None:
    class Portal(http.server.BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            self.rfile.read(int(self.headers["Content-Length"]))
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(b"<html>Please sign in</html>")

        def log_message(self, *_: object) -> None:
            pass

    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Portal) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        address = f"http://127.0.0.1:{server.server_port}"
        told = run(address, ["THREADWRIGHT_LIMIT", ["M10-6g", "pitch_diameter.max"]])
        server.shutdown()
    assert "something else than the service answered" in told["answers"][0]["thrown"]
