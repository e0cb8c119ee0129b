"""The plot of a core on the board: readings as points, the forecast with its band, and it all in words."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from kitchend.core.events import ReadingTaken
from tests.board.served import served
from tests.service.roast_at_hand import begun, probe, truths

SHOTS = Path(__file__).parents[2] / "build" / "board"


@pytest.mark.slow
def test_a_roast_is_plotted_with_its_forecast_and_told_in_words(browser: Browser, tmp_path: Path) -> None:
    truth = truths(seed=3, count=6, where="at the table")[1]
    kitchen = begun(truth, tmp_path)
    (tmp_path / "plans").mkdir()
    probe(kitchen, truth, 0.66 * truth.there_s, every_s=120.0)
    kitchen.put(ReadingTaken(of="duck", celsius=-3.0))
    with served(kitchen, tmp_path) as up:
        page = browser.new_page(viewport={"width": 1280, "height": 800})
        problems: list[str] = []
        page.on("pageerror", lambda error: problems.append(str(error)))
        page.goto(up.address)
        figure = page.locator("#readings figure")
        expect(figure).to_have_count(1)
        expect(figure.locator("circle.point")).to_have_count(len(kitchen.runner.state.readings))
        for part in ("path.spread", "path.likely", "line.target"):
            expect(figure.locator(part)).to_have_count(1)
        told = figure.locator("figcaption").inner_text()
        page.screenshot(path=SHOTS / "forecast.png", full_page=True)
        page.close()
    for words in ("roast the duck", "expected between", "most likely at", "resting adds about", "cannot be"):
        assert words in told
    assert problems == []
