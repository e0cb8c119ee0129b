"""The board in the other engines: Firefox as Debian has it, and WebKitGTK, whose engine is Safari's.

Each follows a whole rehearsal, then does what a cook does on the pages. The rest is tried in Chromium.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path

import pytest

from kitchend.files.plan_yaml import read_plan
from tests.board.following import follow_a_rehearsal
from tests.board.other_browsers import Led, firefox, webkit
from tests.board.served import SUPPER, served
from tests.board.test_pages import SHOTS
from tests.board.wire import wired
from tests.service.kitchen import Kitchen, plan_in

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("other browsers")]
Engine = Callable[[Path], AbstractContextManager[Led]]


@pytest.fixture(scope="module", params=[firefox, webkit], ids=["firefox", "webkit"])
def other(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Led]:
    engine: Engine = request.param
    with engine(tmp_path_factory.mktemp(engine.__name__)) as browser:
        yield browser


def test_a_whole_rehearsal_is_followed_there_too(other: Led, tmp_path: Path) -> None:
    follow_a_rehearsal(tmp_path, other)


def test_a_plan_is_started_pressed_and_typed_at_and_a_cut_wire_is_survived(
    other: Led, tmp_path: Path
) -> None:
    kitchen = Kitchen(read_plan(plan_in(tmp_path, SUPPER)))
    (tmp_path / "plans").mkdir()
    plan_in(tmp_path / "plans", SUPPER)
    kitchen.runner.introduce()
    with served(kitchen, tmp_path) as up, wired(up.port) as wire:
        other.open(f"{wire.address}/plans")
        other.wait_until(f"{text('.plan h2')} === 'Orchard supper'")
        other.click(".plan button")
        other.wait_until("document.querySelector('#outlook svg .decides')")
        other.wait_until(f"{text('#came')}?.includes('sure to be no more than five minutes late')")
        other.click("#outlook button")
        turned(kitchen, lambda: kitchen.runner.state.plan is not None)

        other.wait_until("document.querySelector('#timeline svg .now')")
        other.wait_until(f"{text('.card h3')} === 'heat the oven to 180'")
        other.click(".card .press.on")
        turned(kitchen, lambda: bool(kitchen.runner.state.timers))
        other.wait_until(f"/^1?[0-9]:[0-9][0-9]$/.test({text('.card .left')})")

        other.type_into("#line", "time the eggs for 9 min")
        other.click("#typing button")
        turned(kitchen, lambda: len(kitchen.runner.state.timers) == 2)
        other.wait_until("document.getElementById('line').value === ''")
        other.wait_until("[...document.querySelectorAll('.card h3')].some(one => one.textContent === 'eggs')")

        wire.cut()
        kitchen.type("what's on")
        wire.mend()
        other.wait_until(f'{text("#talk")}.includes("what\'s on")')
        SHOTS.mkdir(parents=True, exist_ok=True)
        (SHOTS / f"now-{type(other).__name__.lower()}.png").write_bytes(other.picture())
        assert other.run("return document.documentElement.scrollWidth <= window.innerWidth")

        other.open(f"{up.address}/after")
        other.wait_until(f"{text('#after')} === 'No dinner has been served yet.'")


def text(css: str) -> str:
    """What stands in the first of these, in a script."""
    return f"document.querySelector({css!r})?.textContent"


def turned(kitchen: Kitchen, has_come: Callable[[], bool]) -> None:
    """Let the dinner take what the page has put, until it has come."""
    for _ in range(600):
        kitchen.runner.run_pending()
        if has_come():
            return
        time.sleep(0.02)
    pytest.fail("it never came to the dinner")
