"""The pages in a real browser: what a cook sees, what can be pressed, and what happens when things go wrong.

Screenshots are kept in `build/board`, to be looked at by people.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlencode
from urllib.request import urlopen

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, expect

from kitchend.core.events import Event, Mishap, MishapNoticed, PhraseHeard
from kitchend.core.state import Manners
from kitchend.core.steps import StepState
from kitchend.core.tongue import language_of
from kitchend.files.plan_yaml import read_plan
from tests.board.served import SUPPER, Served, places_in, served
from tests.board.test_parts import cooked
from tests.service.kitchen import Kitchen, plan_in

SHOTS = Path("build/board")
KOREAN_PLAN = Path("plans/ko/pine-hill-supper.yaml")
SIZES = {"wall": (1920, 1080), "tablet": (1280, 800), "phone": (390, 844)}
pytestmark = pytest.mark.slow


@contextmanager
def page_of(browser: Browser, up: Served, path: str = "/", **more: Any) -> Iterator[Page]:
    """A page of the board; fails if it asks anybody else for anything, or its scripts fail."""
    context: BrowserContext = browser.new_context(**({"viewport": {"width": 1280, "height": 800}} | more))
    page = context.new_page()
    asked: list[str] = []
    wrong: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on(
        "console",
        lambda line: wrong.append(line.text) if "Content Security Policy" in line.text else None,
    )
    page.goto(f"{up.address}{path}")
    yield page
    context.close()
    assert wrong == []
    assert [url for url in asked if not url.startswith((up.address, "data:"))] == []


def turn(up: Served) -> None:
    """Let the dinner take what the page has put: its loop is turned by hand here."""
    up.kitchen.runner.run_pending()


def press(up: Served, page: Page, name: str) -> str:
    """Press a button, let the dinner take it, and give what was answered."""
    before = len(up.kitchen.said)
    with page.expect_request("**/say"):
        page.get_by_role("button", name=name, exact=True).click()
    for _ in range(100):
        if up.kitchen.runner.run_pending():
            break
        page.wait_for_timeout(20)
    return " ".join(up.kitchen.said[before:])


def begun(kitchen: Kitchen) -> None:
    """Half an hour into the dinner: the ham bakes, an oven was called, a timer rang, a question waits."""
    kitchen.begin()
    kitchen.type("score the ham")
    kitchen.wait(6)
    for words in ("ham scored", "ham is on", "heat the oven is on", "time the eggs for nine minutes"):
        kitchen.type(words)
    kitchen.wait(10)
    kitchen.type("the ham is at 30")
    kitchen.wait(12)
    kitchen.type("the ham is at 41")
    kitchen.type("quarter the fennel")
    kitchen.type("drop the spinach")


def test_what_is_on_and_next_stands_there_with_its_time(browser: Browser, on_wall: Served) -> None:
    on_wall.kitchen.begin()
    with page_of(browser, on_wall) as page:
        expect(page.locator("#pass-words")).to_have_text("on time")
        expect(page.locator(".card h3")).to_have_text("heat the oven to 180")
        expect(page.locator("#coming li").first).to_contain_text("score the ham")
        on_wall.kitchen.type("heat the oven to 180 is on")
        expect(page.locator(".card .left")).to_contain_text("1")
        expect(page.locator(".card .state")).to_have_text("On")
        expect(page.locator("#talk")).to_contain_text("heat the oven to 180 is on")
        on_wall.kitchen.wait(15)
        expect(page.locator(".card").first).to_contain_text("score the ham")


def test_each_button_does_what_the_phrase_does(browser: Browser, tmp_path: Path) -> None:
    kitchen = Kitchen(read_plan(plan_in(tmp_path)))
    kitchen.begin()
    rice = "boil the rice"

    def state() -> StepState:
        found = next(step for step in kitchen.plan.steps if step.name == rice)
        return kitchen.runner.state.state_of(found.id)

    with served(kitchen, tmp_path) as up, page_of(browser, up) as page:
        press(up, page, f"On: {rice}")
        assert state() is StepState.ON
        assert press(up, page, f"+5 min: {rice}").startswith("Rice: seventeen minutes to go.")
        assert press(up, page, f"+1 min: {rice}").startswith("Rice: eighteen minutes to go.")
        press(up, page, f"Hold: {rice}")
        assert state() is StepState.HELD
        press(up, page, f"Carry on: {rice}")
        assert state() is StepState.ON
        assert press(up, page, f"Drop: {rice}") == f"Leave out: {rice}?"
        press(up, page, "No")
        assert state() is StepState.ON
        press(up, page, f"Drop: {rice}")
        press(up, page, "Yes")
        assert state() is StepState.DROPPED
        press(up, page, "Undo")
        assert state() is StepState.ON
        last = kitchen.said[-1]
        assert press(up, page, "Say again") == last
        press(up, page, f"Done: {rice}")
        assert state() is StepState.DONE
        assert press(up, page, "Pass 5 min later").startswith("The pass is at")
        kitchen.wait(20)
        assert press(up, page, "Heard") == "Good."


def test_an_elbow_that_presses_twice_presses_once(browser: Browser, on_wall: Served) -> None:
    on_wall.kitchen.begin()
    with page_of(browser, on_wall) as page:
        button = page.get_by_role("button", name="Say again")
        button.dblclick()
        page.wait_for_timeout(150)
        heard: list[Event] = []
        on_wall.kitchen.runner.watch(lambda stepped: heard.append(stepped.event))
        turn(on_wall)
        assert len([event for event in heard if isinstance(event, PhraseHeard)]) == 1


def test_a_typed_line_takes_the_same_phrases(browser: Browser, on_wall: Served) -> None:
    with page_of(browser, on_wall) as page:
        page.get_by_label("Type what you would say").fill("time the eggs for 9 min")
        page.keyboard.press("Enter")
        for _ in range(100):
            if on_wall.kitchen.runner.run_pending():
                break
            page.wait_for_timeout(20)
        expect(page.locator(".card h3")).to_have_text("eggs")
        expect(page.get_by_label("Type what you would say")).to_have_value("")


MARKUP = "<img src=x onerror=window.hurt=1><b>big</b>"
HURTFUL = f"""
plan: "{MARKUP}"
equipment: {{"hob<b>": {{rings: 1}}}}
dishes:
  - dish: "soup <i>"
    steps:
      - step: "stir {MARKUP}"
        hands: 2 min
        takes: 9 min
        look for: "{MARKUP}"
        on: "hob<b>"
"""


def test_markup_in_plans_and_speech_is_only_words(browser: Browser, tmp_path: Path) -> None:
    kitchen = Kitchen(read_plan(plan_in(tmp_path, HURTFUL)))
    kitchen.begin()
    (tmp_path / "plans").mkdir()
    plan_in(tmp_path / "plans", HURTFUL)
    with served(kitchen, tmp_path) as up, page_of(browser, up) as page:
        kitchen.type(f"</script>{MARKUP}")
        expect(page.locator(".card h3")).to_have_text(f"stir {MARKUP}")
        expect(page.locator("#talk")).to_contain_text(MARKUP)
        expect(page.locator("#timeline")).to_contain_text(MARKUP)
        assert page.locator("main img, main b, main i").count() == 0
        assert page.evaluate("window.hurt") is None
        page.goto(f"{up.address}/plans")
        expect(page.locator(".plan h2")).to_have_text(MARKUP)
        assert page.locator(".plan img, .plan h2 *").count() == 0
        assert page.evaluate("window.hurt") is None
        page.goto(f"{up.address}/plans/sheet?{urlencode({'plan': MARKUP})}")
        expect(page.locator("h1")).to_have_text(MARKUP)
        assert page.locator("img, h1 *, i").count() == 0
        assert page.evaluate("window.hurt") is None


def test_calls_reach_a_screen_reader_in_the_order_of_the_voice(browser: Browser, on_wall: Served) -> None:
    with page_of(browser, on_wall) as page:
        expect(page.locator("#going")).to_contain_text("Nothing is on.")
        before = len(on_wall.kitchen.said)
        on_wall.kitchen.begin()
        on_wall.kitchen.type("what's next")
        said = on_wall.kitchen.said[before:]
        expect(page.locator("#calls p")).to_have_text(said)
        assert page.locator("#calls").get_attribute("aria-live") == "assertive"


def test_it_says_how_it_listens(browser: Browser, on_wall: Served) -> None:
    kitchen = on_wall.kitchen
    with page_of(browser, on_wall) as page:
        expect(page.locator("#ears")).to_have_text("Listening: begin with “hey kitchen”")
        kitchen.type("what's on")
        expect(page.locator("#ears")).to_have_text("Listening: just say it")
        kitchen.put(MishapNoticed(mishap=Mishap.CANNOT_HEAR))
        expect(page.locator("#ears")).to_contain_text("Deaf: the microphone was lost")
        kitchen.put(MishapNoticed(mishap=Mishap.HEARS_AGAIN), MishapNoticed(mishap=Mishap.CANNOT_SPEAK))
        expect(page.locator("#ears")).to_contain_text("Listening")
        expect(page.locator("#mouth")).to_contain_text("No loudspeaker")


def test_without_a_microphone_it_says_so(browser: Browser, kitchen: Kitchen, tmp_path: Path) -> None:
    with served(kitchen, tmp_path, hears=False) as up, page_of(browser, up) as page:
        expect(page.locator("#ears")).to_have_text("No microphone. Type or press")


def left_s(page: Page) -> int:
    """The first countdown on the page, in seconds."""
    parts = [int(part) for part in page.locator(".card.on .left").first.inner_text().split(":")]
    return sum(part * 60**place for place, part in enumerate(reversed(parts)))


def oven_on(kitchen: Kitchen) -> None:
    kitchen.begin()
    kitchen.type("heat the oven to 180 is on")


@pytest.mark.parametrize("hours", [-7, 9])
def test_a_tablet_whose_clock_is_wrong_shows_the_kitchens_time(
    browser: Browser, on_wall: Served, hours: int
) -> None:
    oven_on(on_wall.kitchen)
    with page_of(browser, on_wall, "/board.css") as page:
        page.clock.install(time=on_wall.kitchen.clock.now().wall.epoch_s + hours * 3600)
        page.goto(on_wall.address)
        expect(page.locator("#clock")).to_contain_text("18:0")
        page.clock.fast_forward(5_000)
        due = on_wall.kitchen.runner.state.timers[0].remaining_s(on_wall.kitchen.clock.now().instant)
        assert abs(left_s(page) - (due - 5)) < 8


def test_with_the_server_gone_it_counts_on_says_how_old_it_is_and_finds_back(
    browser: Browser, kitchen: Kitchen, tmp_path: Path
) -> None:
    oven_on(kitchen)
    with served(kitchen, tmp_path) as first:
        port = first.port
        context = browser.new_context()
        page = context.new_page()
        page.clock.install()
        page.goto(first.address)
        expect(page.locator(".card .left")).to_contain_text("1")
        expect(page.locator("#old")).to_be_hidden()
    before = left_s(page)
    for _ in range(4):
        page.clock.fast_forward(30_000)
        page.wait_for_timeout(50)
    expect(page.locator("#old")).to_contain_text("No word from kitchend for 2 min")
    assert 110 <= before - left_s(page) <= 135
    kitchen.clock.advance(120)
    kitchen.type("what's next")
    with served(kitchen, tmp_path, port=port):
        for _ in range(40):
            page.clock.fast_forward(5_000)
            page.wait_for_timeout(100)
            if page.locator("#old").is_hidden():
                break
        expect(page.locator("#old")).to_be_hidden()
        expect(page.locator("#came")).to_have_text("Connected again.")
        kitchen.type("heat the oven to 180 is done")
        expect(page.locator("#talk")).to_contain_text("heat the oven to 180 is done")
    context.close()


def test_a_tablet_that_slept_asks_again_when_it_wakes(browser: Browser, on_wall: Served) -> None:
    oven_on(on_wall.kitchen)
    with page_of(browser, on_wall, "/board.css") as page:
        page.clock.install()
        page.goto(on_wall.address)
        expect(page.locator(".card .left")).to_contain_text("1")
        on_wall.kitchen.wait(12)
        asked = []
        page.on("request", lambda request: asked.append(request.url))
        page.clock.set_system_time(page.evaluate("Date.now()") + 12 * 60_000)
        page.evaluate("window.dispatchEvent(new Event('focus'))")
        expect(page.locator("#old")).to_be_hidden()
        assert any(url.endswith("/events") for url in asked)
        due = on_wall.kitchen.runner.state.timers[0].remaining_s(on_wall.kitchen.clock.now().instant)
        waited = iter(range(50))
        while abs(left_s(page) - due) >= 20:  # until what it asked for has come
            assert next(waited, None) is not None, f"{left_s(page)} s shown, {due} s left"
            page.wait_for_timeout(100)


def test_before_the_dinner_a_plan_is_added_chosen_planned_and_started(
    browser: Browser, on_wall: Served, tmp_path: Path
) -> None:
    good, bad = tmp_path / "evening.yaml", tmp_path / "broken.yaml"
    good.write_text(SUPPER.replace("Orchard supper", "Mill evening"), encoding="utf-8")
    bad.write_text("plan: X\ndishes:\n  - dish: x\n    steps:\n      - step: fry x\n        taks: 3\n")
    with page_of(browser, on_wall, "/plans") as page:
        expect(page.locator(".plan h2")).to_have_text(["Orchard supper"])
        page.locator("#file").set_input_files(bad)
        expect(page.locator("#added")).to_contain_text("line 6: x.fry x.taks: taks is no key here")
        dropped(page, good)
        expect(page.locator(".plan h2")).to_have_text(["Mill evening", "Orchard supper"])
        assert (on_wall.folder / "evening.yaml").read_text() == good.read_text()
        assert not (on_wall.folder / "broken.yaml").exists()
        page.locator("#file").set_input_files(good)
        expect(page.locator("#added")).to_contain_text("is in the folder already")
        page.get_by_role("button", name="Choose: Mill evening").click()
        expect(page.locator("#came")).to_contain_text("First call")
        page.get_by_label("The pass, such as").fill("half past")
        page.keyboard.press("Enter")
        expect(page.locator("#came")).to_have_text("Write the pass as 19:30.")
        page.get_by_label("The pass, such as").fill("20:30")
        page.keyboard.press("Enter")
        expect(page.locator("#came")).to_contain_text("pass 20:30")
        expect(page.locator("#came")).to_contain_text("sure to be no more than five minutes late")
        sheet = page.get_by_role("link", name="Sheet to print").get_attribute("href")
        shot(page, "plans-chosen-tablet-light")
        page.get_by_role("button", name="Start this dinner").click()
        for _ in range(200):
            if on_wall.kitchen.runner.run_pending():
                break
            page.wait_for_timeout(20)
        expect(page.locator("#pass-at")).to_have_text("20:30")
        page.goto(f"{on_wall.address}{sheet}")
        expect(page.locator("h1")).to_have_text("Mill evening")
        assert page.evaluate("getComputedStyle(document.querySelector('h1')).margin") == "0px"


TWO_COLLISIONS = """
plan: Mill evening
equipment: {oven: {shelves: 2}, hob: {rings: 1}}
dishes:
"""
COLLIDING = {
    "bake the pie": "oven at 200 C",
    "bake the flan": "oven at 120 C",
    "fry the eggs": "hob",
    "fry the tofu": "hob",
}


def test_what_mends_two_collisions_only_together_stands_once_below_both(
    browser: Browser, on_wall: Served, tmp_path: Path
) -> None:
    file = tmp_path / "evening.yaml"
    dishes = (
        f"  - dish: {name.split()[-1]}\n    steps:\n      - {{step: {name}, takes: 20 min, in: {where}}}\n"
        for name, where in COLLIDING.items()
    )
    file.write_text(TWO_COLLISIONS + "".join(dishes), encoding="utf-8")
    with page_of(browser, on_wall, "/plans") as page:
        page.locator("#file").set_input_files(file)
        page.get_by_role("button", name="Choose: Mill evening").click()
        told = page.locator("#outlook .problems > li")
        expect(told).to_have_count(2)
        expect(told.nth(0).locator("li")).to_have_count(0)
        expect(told.nth(1).locator("li").first).to_contain_text(" and ")


def dropped(page: Page, file: Path) -> None:
    """Let a file go over the page, as a hand does that has dragged it there."""
    page.evaluate(
        """([name, text]) => { const carried = new DataTransfer(); carried.items.add(new File([text], name));
        const over = document.getElementById("drop");
        for (const what of ["dragenter", "dragover", "drop"]) {
            over.dispatchEvent(new DragEvent(what, {dataTransfer: carried, bubbles: true, cancelable: true}));
        } }""",
        [file.name, file.read_text(encoding="utf-8")],
    )


def shot(page: Page, name: str) -> None:
    SHOTS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SHOTS / f"{name}.png", full_page=True)


def begun_in_korean(folder: Path) -> Kitchen:
    """Half an hour into a Korean dinner, with a question waiting."""
    manners = Manners(language="ko", address=language_of("ko").address)
    kitchen = Kitchen(read_plan(KOREAN_PLAN), manners=manners)
    kitchen.begin()
    for words in ("오븐 시작했어요", "쌀 씻기 끝났어요", "밥 올렸어요", "다음 뭐야"):
        kitchen.type(words)
    kitchen.wait(9)
    kitchen.type("밥 빼")
    return kitchen


def begun_in_english(folder: Path) -> Kitchen:
    kitchen = Kitchen(read_plan(plan_in(folder, SUPPER)))
    begun(kitchen)
    return kitchen


IN = {"en": begun_in_english, "ko": begun_in_korean}


@pytest.mark.parametrize("language", IN)
@pytest.mark.parametrize("size", SIZES)
def test_every_page_fits_and_keeps_nobody_out(
    browser: Browser, tmp_path: Path, size: str, language: str
) -> None:
    kitchen = IN[language](tmp_path)
    (tmp_path / "plans").mkdir()
    plan = KOREAN_PLAN.read_text(encoding="utf-8") if language == "ko" else SUPPER
    (tmp_path / "plans" / "supper.yaml").write_text(plan, encoding="utf-8")
    width, height = SIZES[size]
    with (
        served(kitchen, tmp_path) as up,
        page_of(browser, up, "/door", viewport={"width": width, "height": height}) as page,
    ):
        for path, name in (("/", "now"), ("/plans", "plans"), ("/after", "after"), ("/door", "door")):
            page.goto(f"{up.address}{path}")
            expect(page.locator("html")).to_have_attribute("lang", language)
            if path == "/":
                expect(page.locator("#asked-text")).to_have_text(kitchen.said[-1])
                expect(page.locator("#timeline svg")).to_be_visible()
            if path == "/plans":
                expect(page.locator(".plan h2")).to_be_visible()
            for scheme in ("light", "dark"):
                page.emulate_media(color_scheme=scheme)
                shot(page, f"{name}-{size}-{scheme}-{language}")
                found = Axe().run(page)
                assert found.violations_count == 0, found.generate_report()
            assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
            if language == "ko":
                assert english(page.locator("body").inner_text()) == []


def english(shown: str) -> list[str]:
    """The English words in it. C is the unit of degrees, and a file keeps its name."""
    return [word for word in re.findall("[A-Za-z]+", shown) if word not in ("C", "yaml", "yml")]


@pytest.mark.parametrize("size", ["tablet", "phone"])
def test_after_the_dinner_it_shows_how_it_went(browser: Browser, tmp_path: Path, size: str) -> None:
    journal = cooked(tmp_path)
    where = places_in(tmp_path).journal
    where.parent.mkdir(parents=True)
    for path in journal.parent.glob("*dinner*"):
        path.rename(where.parent / path.name)
    width, height = SIZES[size]
    viewport = {"width": width, "height": height}
    with (
        served(Kitchen(read_plan(plan_in(tmp_path))), tmp_path) as up,
        page_of(browser, up, "/after", viewport=viewport) as page,
    ):
        expect(page.locator("#after .sum")).to_contain_text("Quay supper")
        expect(page.locator("#after tbody tr").first).to_contain_text("boil the rice")
        expect(page.locator("#after tbody tr").first).to_contain_text("1 min late")
        expect(page.locator("#chart svg")).to_be_visible()
        shot(page, f"after-served-{size}-light")
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()


def test_targets_are_as_large_as_an_elbow_needs(browser: Browser, on_wall: Served) -> None:
    """WCAG 2.2, 2.5.5 asks for 44 by 44 CSS pixels; wet hands get half as much again."""
    begun(on_wall.kitchen)
    with page_of(browser, on_wall) as page:
        expect(page.get_by_role("button").nth(8)).to_be_visible()
        boxes = page.evaluate(
            """() => [...document.querySelectorAll("button")]
                .filter((button) => button.checkVisibility())
                .map((button) => button.getBoundingClientRect())
                .map((box) => [box.width, box.height])"""
        )
        assert len(boxes) > 8
        assert all(width >= 64 and height >= 64 for width, height in boxes)


def test_what_a_page_fetches_is_small(browser: Browser, on_wall: Served) -> None:
    begun(on_wall.kitchen)
    sizes: dict[str, int] = {}
    with page_of(browser, on_wall, "/door") as page:
        page.on("response", lambda answer: sizes.update({answer.url: 0}))
        page.goto(on_wall.address)
        expect(page.locator("#timeline svg")).to_be_visible()
    still = [url for url in sizes if not url.endswith("/events")]
    total = sum(len(urlopen(url).read()) for url in still)
    assert total + len(on_wall.board.pages.view()) < 100_000
