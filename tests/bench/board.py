"""What the board costs and how fast it is: from a phrase to changed pixels, size, fifty listeners, memory.

Promised: 200 ms for 95 of 100 phrases, 100 kB, a tenth of a core, 15 MB. Run it alone on a quiet machine.
"""

from __future__ import annotations

import os
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from contextlib import suppress
from pathlib import Path
from urllib.request import urlopen

from playwright.sync_api import Page, sync_playwright

from kitchend.core.events import PhraseHeard
from kitchend.files.plan_yaml import read_plan
from tests.board.served import SUPPER, Served, served
from tests.service.kitchen import Kitchen, plan_in

PHRASES = 100
LISTENERS = 50
COST_S = 20.0
FILES = ("", "board.css", "common.js", "board.js", "icon.svg", "view")


MEMORY = """
import os, socket, tempfile
from pathlib import Path
from urllib.request import urlopen
def mb():
    return int(Path("/proc/self/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") / 1e6
import kitchend.service.background, kitchend.service.sound
from kitchend.files.plan_yaml import read_plan
from tests.service.kitchen import Kitchen, plan_in
folder = Path(tempfile.mkdtemp())
kitchen = Kitchen(read_plan(plan_in(folder)))
kitchen.begin()
before = mb()
from tests.board.served import served
with served(kitchen, folder) as up:
    for path in ("", "board.js", "view"):
        urlopen(f"{up.address}/{path}").read()
    served_mb = mb() - before
    channels = [socket.create_connection(("127.0.0.1", up.port)) for _ in range(LISTENERS)]
    for channel in channels:
        channel.sendall(f"GET /events HTTP/1.1\\r\\nHost: 127.0.0.1:{up.port}\\r\\n\\r\\n".encode())
    for _ in range(40):
        kitchen.type("what's next")
        for channel in channels:
            channel.recv(65_536)
    print(served_mb, mb() - before)
"""


def memory_more_mb() -> list[float]:
    """What a service needs more with a board and its libraries: served once, and with fifty listeners."""
    script = f"LISTENERS = {LISTENERS}\n{MEMORY}"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    return [float(part) for part in done.stdout.split()]


def to_pixels_ms(up: Served, page: Page) -> list[float]:
    """From a phrase put to its answer being painted, by the clock that both processes share."""
    page.evaluate(
        """() => { window.painted = [];
        new MutationObserver(() => requestAnimationFrame(() => requestAnimationFrame(() =>
            window.painted.push([Date.now(), document.getElementById('talk').textContent]))))
            .observe(document.getElementById('talk'), {childList: true, subtree: true}); }"""
    )
    took = []
    for number in range(PHRASES):
        words = f"a song about {number} herrings"
        put_at = time.time()
        event = PhraseHeard(text=words, started=up.kitchen.clock.now().instant, is_typed=True)
        up.kitchen.put(event)
        page.wait_for_function("words => window.painted.some(one => one[1].includes(words))", arg=words)
        painted = page.evaluate("words => window.painted.find(one => one[1].includes(words))[0]", words)
        took.append(painted - put_at * 1000)
    return took


def cost_of_listeners(up: Served) -> float:
    """The share of one core that fifty listeners take while somebody speaks once a second."""
    channels = []
    for _ in range(LISTENERS):
        channel = socket.create_connection(("127.0.0.1", up.port))
        channel.sendall(f"GET /events HTTP/1.1\r\nHost: 127.0.0.1:{up.port}\r\n\r\n".encode())
        threading.Thread(target=drain, args=(channel,), daemon=True).start()
        channels.append(channel)
    time.sleep(1)
    thread_s, began = board_thread_s(), time.monotonic()
    while time.monotonic() - began < COST_S:
        up.kitchen.type("what's next")
        time.sleep(1)
    share = (board_thread_s() - thread_s) / (time.monotonic() - began)
    for channel in channels:
        channel.close()
    return share


def drain(channel: socket.socket) -> None:
    with suppress(OSError):
        while channel.recv(65_536):
            pass


def board_thread_s() -> float:
    """Processor seconds of the board's own thread, see proc(5)."""
    found = next(thread for thread in threading.enumerate() if thread.name == "board")
    fields = Path(f"/proc/self/task/{found.native_id}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def main() -> None:
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        folder = Path(name)
        kitchen = Kitchen(read_plan(plan_in(folder, SUPPER)))
        kitchen.begin()
        with served(kitchen, folder) as up:
            size = sum(len(urlopen(f"{up.address}/{file}").read()) for file in FILES)
            print(f"page and first view          {size / 1000:6.1f} kB")
            once_mb, fifty_mb = memory_more_mb()
            print(f"memory                       {once_mb:6.1f} MB more, once a page was served")
            print(f"                             {fifty_mb:6.1f} MB more, with fifty listeners")
            print(f"fifty listeners              {100 * cost_of_listeners(up):6.1f} % of a core")
            browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
            page = browser.new_page()
            page.goto(up.address)
            page.wait_for_selector("#timeline svg")
            took = to_pixels_ms(up, page)
            browser.close()
    cut = statistics.quantiles(took, n=20)
    print(f"phrase to pixels             {statistics.median(took):6.0f} ms, 95th percentile {cut[-1]:.0f} ms")


if __name__ == "__main__":
    main()
