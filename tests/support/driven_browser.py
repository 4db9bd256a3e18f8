"""A browser that is driven: pages are opened, fields are filled, buttons pressed.

It is spoken to by its own protocol for developers, over a pipe: commands and events are JSON, each
ended by a zero byte.
"""

from __future__ import annotations

import json
import os
import select
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from support import browser

_PIPES = (
    "import fcntl, os, sys;"
    "reads, writes = (fcntl.fcntl(int(each), fcntl.F_DUPFD, 10) for each in sys.argv[1:3]);"
    "os.dup2(reads, 3); os.dup2(writes, 4); os.execvp(sys.argv[3], sys.argv[3:])"
)
"""Gives the browser its commands and events where it looks for them: as files 3 and 4."""
_SECONDS = 30.0


@dataclass(slots=True, kw_only=True)
class Driven:
    """One page of a browser; what its console said and what it asked for is collected."""

    commands: int
    events: int
    session: str = ""
    console: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)
    loads: int = 0
    _rest: bytes = b""
    _number: int = 0

    def open(self, address: str) -> None:
        """Go to an address and wait until the page is there."""
        loads = self.loads
        self.call("Page.navigate", url=address)
        self.until_loaded(loads)

    def press(self, selector: str) -> None:
        """Press what a selector names with the mouse, and wait for the page that it leads to."""
        loads = self.loads
        self.click(selector)
        self.until_loaded(loads)

    def click(self, selector: str) -> None:
        """Press what a selector names with the mouse, where it is on the screen."""
        place = self.look(
            f"(() => {{ const it = document.querySelector({json.dumps(selector)});"
            "it.scrollIntoView({block: 'center', behavior: 'instant'});"
            "const b = it.getClientRects()[0];"
            "return [b.left + b.width / 2, b.top + b.height / 2] })()"
        )
        for kind in ("mousePressed", "mouseReleased"):
            self.call(
                "Input.dispatchMouseEvent",
                type=kind, x=place[0], y=place[1], button="left", clickCount=1,
            )  # fmt: skip

    def type(self, selector: str, words: str) -> None:
        """Put words into a field as keys would, in place of what stands there."""
        self.look(f"document.querySelector({json.dumps(selector)}).select()")
        self.call("Input.insertText", text=words)

    def key(self, name: str, words: str) -> None:
        """Press a key: by its name, and what it writes."""
        code = {"Tab": 9, "Enter": 13}[name]
        for kind in ("keyDown", "keyUp"):
            written = {"text": words} if words and kind == "keyDown" else {}
            self.call(
                "Input.dispatchKeyEvent",
                type=kind, key=name, code=name, windowsVirtualKeyCode=code, **written,
            )  # fmt: skip

    def look(self, expression: str) -> Any:
        """The value of an expression in the page, whatever the page's policy."""
        told = self.call("Runtime.evaluate", expression=expression, returnByValue=True)
        assert "exceptionDetails" not in told, told
        return told["result"].get("value")

    def call(self, method: str, **parameters: Any) -> dict[str, Any]:
        """Send a command and wait for its answer."""
        self._number += 1
        asked: dict[str, Any] = {"id": self._number, "method": method, "params": parameters}
        if self.session:
            asked["sessionId"] = self.session
        os.write(self.commands, json.dumps(asked).encode() + b"\0")
        while True:
            told = self._next()
            if told.get("id") == self._number:
                assert "error" not in told, told
                answered: dict[str, Any] = told["result"]
                return answered

    def wait_for(self, expression: str) -> None:
        """Wait until an expression of the page is true."""
        ends = time.monotonic() + _SECONDS
        while self.look(expression) is not True:
            assert time.monotonic() < ends, f"never true: {expression}"
            time.sleep(0.05)

    def until_loaded(self, loads: int) -> None:
        """Wait for another page than those that were there."""
        while self.loads == loads:
            self._next()

    def _next(self) -> dict[str, Any]:
        """The next message; of events those that matter are noted."""
        while b"\0" not in self._rest:
            assert select.select([self.events], [], [], _SECONDS)[0], "the browser is silent"
            read = os.read(self.events, 65536)
            assert read, "the browser has ended"
            self._rest += read
        line, _, self._rest = self._rest.partition(b"\0")
        told: dict[str, Any] = json.loads(line)
        event, parameters = told.get("method"), told.get("params", {})
        if event == "Page.loadEventFired":
            self.loads += 1
        elif event == "Network.requestWillBeSent":
            self.asked.append(parameters["request"]["url"])
        elif event == "Log.entryAdded":
            self.console.append(parameters["entry"]["text"])
        elif event in ("Runtime.consoleAPICalled", "Runtime.exceptionThrown"):
            self.console.append(json.dumps(parameters))
        return told


@contextmanager
def driven(*, width: int = 1200, height: int = 900, scripts: bool = True) -> Iterator[Driven]:
    """A browser with an empty page; ``scripts=False`` runs none of a page's own."""
    program = browser.program()
    assert program is not None
    reads, commands = os.pipe()
    events, writes = os.pipe()
    with tempfile.TemporaryDirectory(
        prefix="threadwright-browser-", ignore_cleanup_errors=True
    ) as folder:
        process = subprocess.Popen(
            [
                sys.executable, "-c", _PIPES, str(reads), str(writes), program, *browser.FLAGS,
                "--remote-debugging-pipe", f"--user-data-dir={Path(folder) / 'profile'}",
                "about:blank",
            ],
            pass_fds=(reads, writes),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(reads)
        os.close(writes)
        try:
            page = Driven(commands=commands, events=events)
            target = page.call("Target.createTarget", url="about:blank")["targetId"]
            page.session = page.call("Target.attachToTarget", targetId=target, flatten=True)[
                "sessionId"
            ]
            for domain in ("Page", "Runtime", "Log", "Network"):
                page.call(f"{domain}.enable")
            page.call(
                "Emulation.setDeviceMetricsOverride",
                width=width, height=height, deviceScaleFactor=1, mobile=False,
            )  # fmt: skip
            if not scripts:
                page.call("Emulation.setScriptExecutionDisabled", value=True)
            yield page
        finally:
            process.kill()
            process.wait()
            os.close(commands)
            os.close(events)
