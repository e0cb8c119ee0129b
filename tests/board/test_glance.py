"""What the board shows of a dinner with two passes and two cooks, and whether two metres are too far."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from kitchend.core.board_words import ENGLISH
from kitchend.core.events import Mishap, MishapNoticed
from kitchend.service.memory import MemoryMouth
from tests.board.scenes import in_full_swing, two_plans
from tests.board.served import served
from tests.board.test_pages import SHOTS, page_of, press, shot
from tests.service.kitchen import Kitchen

pytestmark = pytest.mark.slow

FAR_MM, TABLET_MM, TABLET_PX = 2000, 217, 1280
"""Two metres, and the width of a tablet's screen of 10.1 inches, 16 by 10."""

CAPITAL = 0.7
"""The height of a capital letter or a digit in a font of size one: of DejaVu Sans 0.73, of others less."""

READ, RECOGNISED = 16, 10
"""ISO 9241-3 as a maker of screens quotes it: 16 minutes of arc at least; usable from 10 on in good contrast.

http://www.pc.ibm.com/ww/healthycomputing/vdc-crf.html
"""


def arc_minutes(page: Page, css: str) -> float:
    """How high a capital letter of the first of these stands in the eye, in minutes of arc."""
    size = page.locator(css).first.evaluate("one => parseFloat(getComputedStyle(one).fontSize)")
    return math.degrees(math.atan(size * CAPITAL * TABLET_MM / TABLET_PX / FAR_MM)) * 60


def test_what_matters_is_large_enough_for_two_metres(browser: Browser, tmp_path: Path) -> None:
    kitchen = in_full_swing(tmp_path)
    with served(kitchen, tmp_path) as up, page_of(browser, up) as page:
        expect(page.locator(".card")).to_have_count(2)
        for what in ("#pass-at", ".card.up .left", ".card.on .left"):
            assert arc_minutes(page, what) >= READ, what
        for what in ("#pass-words", ".card h3", "#asked-text", "#coming li:first-child .name"):
            assert arc_minutes(page, what) >= RECOGNISED, what


def test_cooks_passes_what_spoils_and_the_quiet_stand_there(browser: Browser, tmp_path: Path) -> None:
    kitchen = in_full_swing(tmp_path)
    with served(kitchen, tmp_path) as up, page_of(browser, up) as page:
        expect(page.locator("#pass-each p")).to_have_text(
            [
                "19:08 leek soup, croutons: on time",
                "19:48 glazed ham, fennel, bulgur, spinach: on time",
            ]
        )
        expect(page.locator("#pass-more")).to_contain_text("100 % sure")
        first = page.locator(".card").first
        expect(first).to_contain_class("careful")
        expect(first.locator(".state")).to_have_text("Careful")
        expect(first.locator(".facts")).to_have_text("croutons · Up · Mira")
        expect(page.locator("#coming li").first).to_contain_text("baste the ham (Jonas)")
        expect(page.locator("#tone")).to_have_text("Quiet until 18:38, but for what needs care")
        expect(page.locator("#guidance")).to_have_text("Guidance, not a guarantee. Local rules win.")
        expect(page.locator("#asked-text")).to_have_text("Drop the spinach?")
        for part in (".now", ".hands", ".runs", ".decides", ".stands", ".lane", ".pass"):
            assert page.locator(f"#timeline svg {part}").count() > 0, part
        page.locator("#timeline summary").click()
        expect(page.locator("#timeline tr", has_text="quarter the fennel")).to_contain_text("Jonas")
        shot(page, "full-swing-tablet-light")
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
        press(up, page, "Done: fry the croutons")
        expect(page.locator(".card.careful")).to_have_count(0)
        page.emulate_media(color_scheme="dark")
        page.set_viewport_size({"width": 390, "height": 844})
        shot(page, "full-swing-phone-dark")


def test_no_state_is_told_by_its_colour_alone(browser: Browser, tmp_path: Path) -> None:
    """Each has a word, a sign and a border of its own, WCAG 2.2, 1.4.1."""
    kitchen = in_full_swing(tmp_path)
    with served(kitchen, tmp_path) as up, page_of(browser, up) as page:
        card = page.locator(".card.on")
        expect(card.locator(".state")).to_have_text("On")
        looks = {}
        for state in ("called", "on", "up", "held", "up careful"):
            card.evaluate("(one, state) => { one.className = `card ${state}`; window.shown = one; }", state)
            sign, style, width = page.evaluate(
                """() => [getComputedStyle(shown.querySelector(".state"), "::before").content,
                getComputedStyle(shown).borderTopStyle, getComputedStyle(shown).borderTopWidth]"""
            )
            looks[state] = (sign, f"{style} {width}")
            card = page.locator(".card", has_text="bake the ham")
        assert len({sign for sign, _ in looks.values()}) == len(looks), looks
        assert len({border for _, border in looks.values()}) >= 4, looks
    words = {ENGLISH[f"state.{state}"] for state in ("called", "on", "up", "held", "careful")}
    assert len(words) == len(looks)


def test_a_careful_call_of_no_step_stands_there_until_it_is_old(browser: Browser, tmp_path: Path) -> None:
    kitchen = Kitchen(two_plans(tmp_path))
    kitchen.begin()
    with served(kitchen, tmp_path) as up, page_of(browser, up) as page:
        expect(page.locator("#careful")).to_be_hidden()
        kitchen.put(MishapNoticed(mishap=Mishap.CANNOT_HEAR))
        expect(page.locator("#careful-text")).to_have_text(kitchen.said[-1])
        expect(page.locator("#talk li").last).to_contain_text("kitchend, Careful")
        kitchen.clock.advance(200)
        kitchen.type("what's next")
        expect(page.locator("#careful")).to_be_hidden()


def test_it_says_while_it_speaks(browser: Browser, tmp_path: Path) -> None:
    kitchen = Kitchen(two_plans(tmp_path), mouth=MemoryMouth(holds=True))
    with served(kitchen, tmp_path) as up, page_of(browser, up) as page:
        expect(page.locator("#ears")).to_have_class("listening")
        kitchen.begin()
        expect(page.locator("#ears")).to_have_text("Speaking")
        expect(page.locator("#ears")).to_have_class("speaking")
        press(up, page, "Quiet")
        expect(page.locator("#ears")).not_to_have_class("speaking")


def test_on_paper_it_is_the_dinner_without_buttons(browser: Browser, tmp_path: Path) -> None:
    kitchen = in_full_swing(tmp_path)
    with served(kitchen, tmp_path) as up, page_of(browser, up, color_scheme="dark") as page:
        expect(page.locator("#timeline svg")).to_be_visible()
        page.emulate_media(media="print")
        expect(page.get_by_role("button")).to_have_count(0)
        for part in (".card h3", "#coming li", "#timeline svg", "#readings svg", "#pass-at"):
            expect(page.locator(part).first).to_be_visible()
        assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
        shot(page, "full-swing-print")
        page.pdf(format="A4", path=SHOTS / "full-swing.pdf")
