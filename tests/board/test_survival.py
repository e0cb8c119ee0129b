"""The page outlives what kitchens do to it: a wire that fails, a service that is killed, a sleep.

Bytes really stop, processes really end; only the browser's own clock is led, so that nobody waits long.
"""

from __future__ import annotations

import signal
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.board.served import SUPPER, Served
from tests.board.test_pages import left_s, oven_on
from tests.board.test_parts import free_port
from tests.board.wire import Wire, wired
from tests.cli.process import hours_on, kitchend
from tests.service.kitchen import plan_in

pytestmark = pytest.mark.slow


def led(browser: Browser, address: str) -> Page:
    """A page whose clock the test leads."""
    page = browser.new_context().new_page()
    page.clock.install()
    page.goto(address)
    return page


def until(page: Page, so: Callable[[], bool]) -> None:
    """Lead the page's clock on until it is so; half a minute of its time at most."""
    for _ in range(60):
        if so():
            return
        page.clock.fast_forward(500)
        page.wait_for_timeout(40)
    pytest.fail(page.locator("body").inner_text())


@pytest.mark.parametrize("how", [Wire.hang, Wire.cut], ids=["hangs", "is cut"])
def test_a_wire_that_fails_is_told_counted_through_and_found_again(
    browser: Browser, on_wall: Served, how: Callable[[Wire], None]
) -> None:
    oven_on(on_wall.kitchen)
    with wired(on_wall.port) as wire:
        page = led(browser, wire.address)
        expect(page.locator(".card .left")).to_contain_text("1")
        before = left_s(page)
        how(wire)
        on_wall.kitchen.type("what's on")
        for _ in range(6):
            page.clock.fast_forward(10_000)
            page.wait_for_timeout(50)
        expect(page.locator("#old")).to_contain_text("No word from kitchend for 1 min")
        expect(page.locator("#old")).to_contain_text("What you see is from 18:00")
        assert 55 <= before - left_s(page) <= 75
        expect(page.locator("#talk")).not_to_contain_text("what's on")

        wire.mend()
        until(page, lambda: page.locator("#old").is_hidden())
        expect(page.locator("#talk")).to_contain_text("what's on")
        assert abs(left_s(page) - before) <= 12
        page.context.close()


def test_a_page_that_sleeps_in_the_background_is_right_when_it_is_looked_at(
    browser: Browser, on_wall: Served
) -> None:
    """Chromium's own way of putting a page to sleep: nothing on it runs any more."""
    oven_on(on_wall.kitchen)
    page = browser.new_page()
    page.goto(on_wall.address)
    expect(page.locator(".card .left")).to_contain_text("1")
    wire = page.context.new_cdp_session(page)
    wire.send("Page.setWebLifecycleState", {"state": "frozen"})
    on_wall.kitchen.wait(3)
    on_wall.kitchen.type("heat the oven to 180 is done")
    wire.send("Page.setWebLifecycleState", {"state": "active"})
    expect(page.locator("#talk")).to_contain_text("heat the oven to 180 is done")
    expect(page.locator("#clock")).to_contain_text("18:03")
    page.close()


def test_a_service_that_is_killed_and_comes_back_is_found_again_with_its_timer(
    browser: Browser, tmp_path: Path
) -> None:
    port = free_port()
    settings = tmp_path / "settings.yaml"
    settings.write_text(f"board_port: {port}\nplans: {tmp_path}\n", encoding="utf-8")
    with kitchend("run", "--settings", str(settings)) as first:
        first.wait_for("board: ")
        page = led(browser, f"http://localhost:{port}")
        page.get_by_label("Type what you would say").fill("time the eggs for nine minutes")
        page.keyboard.press("Enter")
        expect(page.locator(".card h3")).to_have_text("eggs")
        first.end(signal.SIGKILL)
    for _ in range(3):
        page.clock.fast_forward(10_000)
        page.wait_for_timeout(50)
    expect(page.locator("#old")).to_contain_text("No word from kitchend")
    with kitchend("run", "--settings", str(settings)) as second:
        second.wait_for("board: ")
        until(page, lambda: page.locator("#old").is_hidden())
        expect(page.locator(".card h3")).to_have_text("eggs")
        assert 9 * 60 - 90 < left_s(page) <= 9 * 60
        page.get_by_role("button", name="+1 min: eggs").click()
        expect(page.locator("#talk")).to_contain_text("Eggs: ")
        assert "Traceback" not in second.told
    page.context.close()


def test_a_dinner_in_the_foreground_has_a_board_when_asked(browser: Browser, tmp_path: Path) -> None:
    port = free_port()
    settings = tmp_path / "settings.yaml"
    settings.write_text(f"board_port: {port}\n", encoding="utf-8")
    plan = str(plan_in(tmp_path, SUPPER))
    with kitchend("cook", plan, "--serve", hours_on(), "--board", "--settings", str(settings)) as process:
        process.wait_for("board: ")
        page = browser.new_page()
        page.goto(f"http://localhost:{port}")
        expect(page.locator("#pass-more")).to_contain_text("Orchard supper")
        page.close()
