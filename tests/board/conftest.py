"""A real Chromium, Debian's, led by playwright; started once. Skips with the reason where it is not there."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from kitchend.files.plan_yaml import read_plan
from tests.board.served import SUPPER, Served, served
from tests.service.kitchen import Kitchen, plan_in


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    chromium = Path("/usr/bin/chromium")
    if not chromium.exists():
        pytest.skip("Chromium is not there: apt-get install chromium")
    with sync_playwright() as playwright:
        # In a container of root's there is no sandbox to be had; nothing but our own pages is opened.
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture
def kitchen(tmp_path: Path) -> Kitchen:
    return Kitchen(read_plan(plan_in(tmp_path, SUPPER)))


@pytest.fixture
def on_wall(kitchen: Kitchen, tmp_path: Path) -> Iterator[Served]:
    """The board of a kitchen where nothing is on yet; its one plan is also in the folder."""
    folder = tmp_path / "plans"
    folder.mkdir()
    (folder / "supper.yaml").write_text(SUPPER, encoding="utf-8")
    kitchen.runner.introduce()
    kitchen.runner.run_pending()
    with served(kitchen, tmp_path) as up:
        yield up
    assert up.complaints == []
