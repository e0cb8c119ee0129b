"""What the other tests do not press: a timer's own buttons, an answer by name, the door, the file."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from kitchend.core.steps import StepState
from kitchend.files.plan_yaml import read_plan
from tests.board.served import Served, places_in, served
from tests.board.test_door import house_address, spoken_words
from tests.board.test_pages import page_of, press
from tests.board.test_parts import cooked
from tests.service.kitchen import Kitchen, plan_in

pytestmark = pytest.mark.slow

TWO_OF_A_NAME = """
plan: Larder lunch
dishes:
  - dish: beans
    steps:
      - step: boil the beans
        hands: 1 min
        takes: 30 min
      - step: season the beans
        after: []
        hands: 1 min
        takes: 30 min
"""


def test_a_timers_own_buttons(browser: Browser, on_wall: Served) -> None:
    kitchen = on_wall.kitchen
    kitchen.type("time the eggs for nine minutes")

    def timer_s() -> float:
        return kitchen.runner.state.timers[0].remaining_s(kitchen.clock.now().instant)

    def held() -> list[bool]:
        return [timer.is_held for timer in kitchen.runner.state.timers]

    with page_of(browser, on_wall) as page:
        press(on_wall, page, "+1 min: eggs")
        assert timer_s() == 600
        press(on_wall, page, "+5 min: eggs")
        assert timer_s() == 900
        press(on_wall, page, "Hold: eggs")
        assert held() == [True]
        press(on_wall, page, "Carry on: eggs")
        assert held() == [False]
        press(on_wall, page, "Drop: eggs")
        press(on_wall, page, "Yes")
        assert held() == []
        press(on_wall, page, "Undo")
        kitchen.wait(16)
        expect(page.locator(".card .state")).to_have_text("Up")
        assert press(on_wall, page, "Heard: eggs") == "Good."
        assert held() == []


def test_what_is_being_said_to_kitchend_is_shown_as_it_comes(browser: Browser, on_wall: Served) -> None:
    with page_of(browser, on_wall) as page:
        ears = page.locator("#ears")
        expect(ears).to_contain_text("Listening: begin with")
        for heard in ("hey kitchen", "hey kitchen five more"):
            on_wall.overheard.hears(heard)
            expect(ears).to_have_text(f"Hearing: {heard} …")
        on_wall.overheard.hears("")
        expect(ears).to_contain_text("Listening: begin with")


def test_a_question_between_two_is_answered_by_name(browser: Browser, tmp_path: Path) -> None:
    kitchen = Kitchen(read_plan(plan_in(tmp_path, TWO_OF_A_NAME)))
    kitchen.begin()
    for words in ("boil the beans is on", "season the beans is on"):
        kitchen.type(words)
    with served(kitchen, tmp_path) as up, page_of(browser, up) as page:
        kitchen.type("hold the beans")
        expect(page.locator("#asked-text")).to_have_text("Boil the beans, or season the beans?")
        expect(page.locator("#asked-presses button")).to_have_text(
            ["boil the beans", "season the beans", "No"]
        )
        press(up, page, "season the beans")
        held = [
            one.name for one in kitchen.plan.steps if kitchen.runner.state.state_of(one.id) is StepState.HELD
        ]
        assert held == ["season the beans"]


def test_a_tablet_types_the_four_words_and_is_in(browser: Browser, kitchen: Kitchen, tmp_path: Path) -> None:
    address = house_address()
    with served(kitchen, tmp_path, is_lan=True) as up:
        page = browser.new_context().new_page()
        page.goto(f"http://{address}:{up.port}/")
        expect(page.locator("h1")).to_have_text("This device is not yet let in")
        words = spoken_words(up)
        page.get_by_label("A name for this device").fill("shelf")
        page.get_by_label("The four words").fill("acorn acorn acorn acorn")
        page.get_by_role("button", name="Let me in").click()
        expect(page.locator("#came")).to_have_text("Those are not the words.")
        page.get_by_label("The four words").fill(words)
        page.get_by_role("button", name="Let me in").click()
        expect(page.locator("#came")).to_contain_text("Too many tries. Wait")
        kitchen.clock.advance(2)
        page.get_by_role("button", name="Let me in").click()
        expect(page.locator("#ears")).to_contain_text("Listening")
        up.board.pages.devices.remove("shelf")
        kitchen.type("what's on")
        expect(page.locator("#old")).to_have_text("This device may no longer see the board.")
        page.context.close()


def test_how_it_went_is_saved_as_a_file(browser: Browser, tmp_path: Path) -> None:
    journal = cooked(tmp_path)
    where = places_in(tmp_path).journal
    where.parent.mkdir(parents=True)
    for path in journal.parent.glob("*dinner*"):
        path.rename(where.parent / path.name)
    kitchen = Kitchen(read_plan(plan_in(tmp_path)))
    with served(kitchen, tmp_path) as up, page_of(browser, up, "/after") as page:
        with page.expect_download() as saving:
            page.get_by_role("link", name="Save as a file").click()
        saved = Path(saving.value.path()).read_text(encoding="utf-8")
        assert saving.value.suggested_filename == "dinner.csv"
        assert saved.splitlines()[1].startswith('"rice","boil the rice","done"')
