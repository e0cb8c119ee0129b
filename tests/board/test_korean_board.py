"""The board in Korean, in a real browser: no English word on it, its language told to the screen reader."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from kitchend.board.view import view_of_dinner
from kitchend.board.watch import Watcher
from kitchend.core.board_words import words_in
from kitchend.core.state import Manners
from kitchend.core.tongue import language_of
from kitchend.files.plan_yaml import read_plan
from tests.board.served import served
from tests.board.test_pages import SHOTS, page_of
from tests.service.kitchen import Kitchen

PLAN = Path("plans/ko/pine-hill-supper.yaml")
pytestmark = pytest.mark.slow


def test_cooks_without_names_are_told_apart_in_korean(tmp_path: Path) -> None:
    plan = replace(read_plan(PLAN), cooks=2)
    kitchen = Kitchen(plan, manners=Manners(language="ko", address=language_of("ko").address))
    kitchen.begin()
    words, watcher = words_in("ko"), Watcher(hears=True, speaks=True)
    view = view_of_dinner(kitchen.runner.state, kitchen.clock.now(), watcher, words)
    cooks = {step["cook"] for step in view["coming"]} - {""}
    assert cooks
    assert not re.search("[A-Za-z]", "".join(cooks))


def test_the_board_is_korean(browser: Browser, tmp_path: Path) -> None:
    manners = Manners(language="ko", address=language_of("ko").address)
    kitchen = Kitchen(read_plan(PLAN), manners=manners)
    kitchen.begin()
    with served(kitchen, tmp_path) as up, page_of(browser, up) as page:
        for words in ("오븐 시작했어요", "쌀 씻기 끝났어요", "밥 올렸어요", "다음 뭐야"):
            kitchen.type(words)
        kitchen.wait(9)
        expect(page.locator("html")).to_have_attribute("lang", "ko")
        expect(page.locator(".card").first).to_be_visible()
        shown = page.locator("body").inner_text()
        SHOTS.mkdir(parents=True, exist_ok=True)
        page.screenshot(path=SHOTS / "korean.png", full_page=True)
        assert "상차림" in shown
        # C is the unit of degrees, written the same in every language.
        assert [word for word in re.findall("[A-Za-z]+", shown) if word != "C"] == []
        before = len(kitchen.said)
        page.get_by_role("button", name="다시 말하기", exact=True).click()
        page.wait_for_timeout(300)
        kitchen.runner.run_pending()
        assert len(kitchen.said) > before
