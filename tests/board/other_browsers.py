"""Browsers other than Chromium, each led in the protocol that it speaks by itself.

Debian's Firefox (Marionette) and WebKitGTK's small browser (WebDriver), which has the engine of Safari.
https://firefox-source-docs.mozilla.org/testing/marionette/Protocol.html and https://www.w3.org/TR/webdriver2/
"""

from __future__ import annotations

import base64
import json
import os
import shutil
import socket
import subprocess
import time
from abc import ABC, abstractmethod
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import IO, Any
from urllib.request import Request, urlopen

import pytest

from tests.board.following import NOTE_CALLS

PATIENCE_S = 30.0
LIBRARIES = Path("/usr/lib")
QUIET = {
    "app.update.disabledForTesting": True,
    "browser.shell.checkDefaultBrowser": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "toolkit.telemetry.reportingpolicy.firstRun": False,
}
"""A Firefox that looks after the page alone."""


class Led(ABC):
    """A browser with one page."""

    @abstractmethod
    def open(self, address: str) -> None:
        """Load a page."""

    @abstractmethod
    def run(self, script: str) -> Any:
        """What a script's `return` gives."""

    @abstractmethod
    def picture(self) -> bytes:
        """The page as a PNG."""

    @abstractmethod
    def click(self, css: str) -> None:
        """Click the first of these as a mouse does."""

    @abstractmethod
    def type_into(self, css: str, text: str) -> None:
        """Type as a keyboard does."""

    def wait_until(self, condition: str) -> None:
        """Until this is true on the page; fails with what the page shows."""
        end = time.monotonic() + PATIENCE_S
        while not self.run(f"return Boolean({condition})"):
            if time.monotonic() > end:
                pytest.fail(f"never so: {condition}\n{self.run('return document.body.innerText')}")
            time.sleep(0.02)

    # What an onlooker does:

    def look_at(self, address: str) -> None:
        self.open(address)
        self.wait_until(f"({SAYS_NO_DINNER})")
        self.run(NOTE_CALLS)

    def wait_for_call(self, call: str) -> None:
        self.wait_until(f"window.all.at(-1) === {json.dumps(call)}")

    def calls(self) -> list[str]:
        return list(self.run("return window.all"))

    def sees_no_dinner(self) -> bool:
        return bool(self.run(f"return {SAYS_NO_DINNER}"))


SAYS_NO_DINNER = "document.getElementById('pass-words').textContent === 'No dinner is on.'"


class Firefox(Led):
    """Over Marionette: numbered JSON messages, each with its length before it."""

    def __init__(self, channel: socket.socket) -> None:
        self._channel = channel
        self._incoming: IO[bytes] = channel.makefile("rb")
        self._count = 0
        self._message()
        self.ask("NewSession")
        self.ask("SetWindowRect", width=1280, height=900)

    def ask(self, command: str, **given: Any) -> Any:
        self._count += 1
        sent = json.dumps([0, self._count, f"WebDriver:{command}", given]).encode()
        self._channel.sendall(b"%d:%b" % (len(sent), sent))
        _, _, error, result = self._message()
        assert error is None, error
        return result.get("value") if isinstance(result, dict) else result

    def _message(self) -> Any:
        digits = b""
        while (one := self._incoming.read(1)) != b":":
            assert one, "Firefox has gone"
            digits += one
        return json.loads(self._incoming.read(int(digits)))

    def open(self, address: str) -> None:
        self.ask("Navigate", url=address)

    def run(self, script: str) -> Any:
        return self.ask("ExecuteScript", script=script, args=[], sandbox=None)

    def picture(self) -> bytes:
        return base64.b64decode(self.ask("TakeScreenshot", full=True))

    def click(self, css: str) -> None:
        self.ask("ElementClick", id=self._find(css))

    def type_into(self, css: str, text: str) -> None:
        self.ask("ElementSendKeys", id=self._find(css), text=text)

    def _find(self, css: str) -> str:
        return str(next(iter(self.ask("FindElement", using="css selector", value=css).values())))


class WebKit(Led):
    """Over WebDriver: requests to the driver beside it."""

    def __init__(self, driver: str, program: Path) -> None:
        wanted = {"webkitgtk:browserOptions": {"binary": str(program), "args": ["--automation"]}}
        self._at = driver
        made = self.ask("POST", "/session", capabilities={"alwaysMatch": wanted})
        self._at = f"{driver}/session/{made['sessionId']}"
        self.ask("POST", "/window/rect", width=1280, height=860)

    def ask(self, method: str, path: str, **given: Any) -> Any:
        body = json.dumps(given).encode() if method == "POST" else None
        request = Request(self._at + path, body, {"Content-Type": "application/json"}, method=method)
        with urlopen(request, timeout=PATIENCE_S) as answer:
            return json.load(answer)["value"]

    def open(self, address: str) -> None:
        self.ask("POST", "/url", url=address)

    def run(self, script: str) -> Any:
        return self.ask("POST", "/execute/sync", script=script, args=[])

    def picture(self) -> bytes:
        return base64.b64decode(self.ask("GET", "/screenshot"))

    def click(self, css: str) -> None:
        self.ask("POST", f"/element/{self._find(css)}/click")

    def type_into(self, css: str, text: str) -> None:
        self.ask("POST", f"/element/{self._find(css)}/value", text=text)

    def _find(self, css: str) -> str:
        found = self.ask("POST", "/element", using="css selector", value=css)
        return str(next(iter(found.values())))

    def end(self) -> None:
        self.ask("DELETE", "")


@contextmanager
def firefox(folder: Path) -> Iterator[Led]:
    """Debian's Firefox without a window, with a profile of its own."""
    program = shutil.which("firefox-esr") or shutil.which("firefox")
    if program is None:
        pytest.skip("NOT TRIED IN FIREFOX: it is not there (apt-get install firefox-esr)")
    port = free_port()
    settings = QUIET | {"marionette.port": port}
    lines = (f"user_pref({json.dumps(name)}, {json.dumps(value)});\n" for name, value in settings.items())
    (folder / "user.js").write_text("".join(lines), encoding="utf-8")
    command = [program, "--headless", "--marionette", "--no-remote", "--profile", str(folder)]
    with started([*command], home=folder), connected(port) as channel:
        yield Firefox(channel)


@contextmanager
def webkit(folder: Path) -> Iterator[Led]:
    """WebKitGTK's small browser on a screen of its own that nobody sees."""
    programs = sorted(LIBRARIES.glob("*/webkit2gtk-4.*/MiniBrowser"))
    if shutil.which("WebKitWebDriver") is None or shutil.which("Xvfb") is None or not programs:
        pytest.skip(
            "NOT TRIED IN SAFARI'S ENGINE: WebKitGTK is not there (apt-get install webkit2gtk-driver xvfb)"
        )
    read, write = os.pipe()
    with ExitStack() as stack:
        screen = ["Xvfb", "-displayfd", str(write), "-screen", "0", "1400x900x24", "-nolisten", "tcp"]
        stack.enter_context(started(screen, home=folder, pass_fds=(write,)))
        os.close(write)
        with open(read, encoding="ascii") as told:  # noqa: PTH123  # it is a pipe's end, no path
            number = told.readline().strip()
        port = free_port()
        driver = ["WebKitWebDriver", f"--port={port}"]
        stack.enter_context(started(driver, home=folder, DISPLAY=f":{number}"))
        stack.enter_context(connected(port))
        browser = WebKit(f"http://127.0.0.1:{port}", programs[-1])
        stack.callback(browser.end)
        yield browser


@contextmanager
def started(command: list[str], *, home: Path, pass_fds: tuple[int, ...] = (), **more: str) -> Iterator[None]:
    """A program of ours while inside, with its own home; ended on the way out."""
    own = os.environ | {"HOME": str(home), "XDG_RUNTIME_DIR": str(home)} | more
    quiet = subprocess.DEVNULL
    child = subprocess.Popen(command, stdout=quiet, stderr=quiet, env=own, pass_fds=pass_fds)
    try:
        yield
    finally:
        child.terminate()
        try:
            child.wait(10)
        except subprocess.TimeoutExpired:
            child.kill()
            child.wait(10)


@contextmanager
def connected(port: int) -> Iterator[socket.socket]:
    """A connection to a program that is just starting."""
    end = time.monotonic() + PATIENCE_S
    while not is_listening(port):
        if time.monotonic() > end:
            pytest.fail("a browser that is there did not start")
        time.sleep(0.05)
    with socket.create_connection(("127.0.0.1", port), timeout=PATIENCE_S) as channel:
        yield channel


def is_listening(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as probe:
        return int(probe.getsockname()[1])
