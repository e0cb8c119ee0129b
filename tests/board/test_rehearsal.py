"""A whole rehearsal followed on the page: whatever kitchend says there, the page says, in the same order."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.board.following import NOTE_CALLS, follow_a_rehearsal

pytestmark = pytest.mark.slow


class InChromium:
    """Looks at the page in Debian's Chromium."""

    def __init__(self, page: Page) -> None:
        self._page = page

    def look_at(self, address: str) -> None:
        self._page.goto(address)
        expect(self._page.locator("#pass-words")).to_have_text("No dinner is on.")
        self._page.evaluate(f"() => {{ {NOTE_CALLS} }}")

    def wait_for_call(self, call: str) -> None:
        expect(self._page.locator("#calls p").last).to_have_text(call)

    def calls(self) -> list[str]:
        return list(self._page.evaluate("window.all"))

    def sees_no_dinner(self) -> bool:
        return self._page.locator("#pass-words").inner_text() == "No dinner is on."


def test_a_whole_rehearsal_is_followed_on_the_page(browser: Browser, tmp_path: Path) -> None:
    page = browser.new_page()
    follow_a_rehearsal(tmp_path, InChromium(page))
    page.close()
