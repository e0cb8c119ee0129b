"""Thermometers of the settings: real files in a folder shaped as /sys, a real dinner, the supervisor."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from threading import Event, Thread

import pytest

from kitchend.core.quantities import Scale
from kitchend.reports.status import status_text
from kitchend.service.desk import RunnerDesk
from kitchend.service.intake import Intake
from kitchend.service.settings import Settings
from kitchend.service.settings_sources import SensorWish
from kitchend.service.sources import Thermometers, open_sources
from tests.service.kitchen import Kitchen, quay_plan
from tests.service.sys_folder import BAD_W1, GOOD_W1, SysFolder


class Watched:
    """A dinner with rice on, and thermometers that are read as soon as they can be."""

    def __init__(self, folder: Path) -> None:
        self.kitchen = Kitchen(quay_plan(folder))
        self.kitchen.begin()
        self.kitchen.type("rice is on")
        self.complaints: list[str] = []
        self._stack = ExitStack()
        self._loop = Thread(target=self.kitchen.runner.run_forever)
        self._loop.start()

    def by(self, *wishes: SensorWish) -> Thermometers:
        opened = open_sources(
            Settings(sensors=wishes), Intake(self.kitchen.runner), self.complaints.append, pauses_s=(0.05,)
        )
        return self._stack.enter_context(opened)

    @property
    def readings(self) -> list[tuple[str, float]]:
        return [(one.of, one.celsius) for one in self.kitchen.runner.state.readings]

    def close(self) -> None:
        self._stack.close()
        self.kitchen.runner.stop()
        self._loop.join(timeout=20)


@pytest.fixture
def watched(tmp_path: Path) -> Iterator[Watched]:
    watched = Watched(tmp_path)
    yield watched
    watched.close()
    assert watched.kitchen.complaints == []


@pytest.fixture
def board(tmp_path: Path) -> SysFolder:
    return SysFolder(tmp_path / "sys")


def wait_until(is_so: Callable[[], bool], within_s: float = 20.0) -> None:
    for _ in range(round(within_s / 0.02)):
        if is_so():
            return
        Event().wait(0.02)
    raise AssertionError("it never came to that")


def wish(path: Path, of: str = "rice", every_s: float = 0.02, **more: object) -> SensorWish:
    return SensorWish(of=of, path=str(path), every_s=every_s, **more)  # type: ignore[arg-type]  # facts of a wish


def test_what_a_probe_shows_reaches_the_dinner_again_and_again(watched: Watched, board: SysFolder) -> None:
    board.has_probe()
    thermometers = watched.by(wish(board.w1 / "temperature"))
    wait_until(lambda: len(watched.readings) > 2)
    assert set(watched.readings) == {("rice/boil-the-rice", 58.25)}
    (status,) = thermometers.status()
    assert (status["of"], status["works"], status["why"], status["celsius"]) == ("rice", True, "", 58.25)
    assert watched.complaints == []


def test_several_thermometers_are_read_beside_each_other(
    watched: Watched, board: SysFolder, tmp_path: Path
) -> None:
    board.has_thermocouple()
    (tmp_path / "hob.txt").write_text("374\n")
    watched.by(
        wish(board.iio / "in_temp_raw"), wish(tmp_path / "hob.txt", of="the hob", unit=Scale.FAHRENHEIT)
    )
    wait_until(lambda: len({of for of, _ in watched.readings}) == 2)
    assert dict(watched.readings) == {"rice/boil-the-rice": 58.25, "hob": pytest.approx(190.0)}


def test_a_probe_that_is_pulled_is_told_once_stands_in_the_status_and_is_found_again(
    watched: Watched, board: SysFolder
) -> None:
    board.has_probe()
    thermometers = watched.by(wish(board.w1 / "temperature"))
    wait_until(lambda: bool(watched.readings))
    away = board.w1.rename(board.w1.with_name("away"))
    wait_until(lambda: bool(watched.complaints))
    Event().wait(0.5)
    (told,) = watched.complaints
    assert told.startswith("thermometer of the rice: no such file or directory; is the probe plugged in?; ")
    (status,) = thermometers.status()
    assert (status["works"], status["why"], status["celsius"]) == (False, told, 58.25)
    count = len(watched.readings)
    (away / "temperature").write_text("61000\n")
    away.rename(board.w1)
    wait_until(lambda: len(watched.readings) > count)
    wait_until(lambda: len(watched.complaints) == 2)
    assert watched.readings[-1] == ("rice/boil-the-rice", 61.0)
    assert watched.complaints[1] == "thermometer of the rice: it is there again"
    assert thermometers.status()[0]["works"] is True


def test_a_probe_that_is_not_there_at_the_start_is_told_and_waited_for(
    watched: Watched, board: SysFolder
) -> None:
    thermometers = watched.by(wish(board.w1 / "temperature"))
    wait_until(lambda: bool(watched.complaints))
    assert thermometers.status()[0]["celsius"] is None
    board.has_probe()
    wait_until(lambda: bool(watched.readings))


def test_one_wrong_checksum_is_no_news_but_many_in_a_row_are(watched: Watched, board: SysFolder) -> None:
    board.has_probe()
    watched.by(wish(board.w1 / "w1_slave"))
    wait_until(lambda: bool(watched.readings))
    board.has_probe(BAD_W1)
    Event().wait(0.3)
    board.has_probe(GOOD_W1)
    count = len(watched.readings)
    wait_until(lambda: len(watched.readings) > count)
    assert watched.complaints == []
    board.has_probe(BAD_W1)
    wait_until(lambda: bool(watched.complaints))
    assert "CRC NO" in watched.complaints[0]


def test_what_no_kitchen_has_never_reaches_the_dinner(watched: Watched, board: SysFolder) -> None:
    board.has_thermocouple(raw="5000\n")  # an open thermocouple: 1250 C
    watched.by(wish(board.iio / "in_temp_raw"))
    wait_until(lambda: bool(watched.complaints))
    assert "1250 C is nothing a kitchen has" in watched.complaints[0]
    assert watched.readings == []


def test_a_probe_in_a_drawer_is_read_but_fills_no_journal(watched: Watched, board: SysFolder) -> None:
    board.has_probe()
    thermometers = watched.by(wish(board.w1 / "temperature", of="greens"))
    wait_until(lambda: thermometers.status()[0]["works"] is True)
    Event().wait(0.2)
    assert watched.readings == []
    assert not any(type(event).__name__ == "ReadingTaken" for event, _ in watched.kitchen.journal.events())


def test_a_file_that_hangs_holds_nobody_up(watched: Watched, board: SysFolder, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    board.has_probe()
    watched.by(wish(tmp_path / "pipe", of="hob"), wish(board.w1 / "temperature"))
    wait_until(lambda: len(watched.readings) > 2)
    assert watched.complaints == ["thermometer of the hob: it is no file; it is looked for again and again"]


def test_nothing_is_started_that_is_not_asked_for(watched: Watched) -> None:
    assert watched.by().status() == []


def test_people_are_shown_what_each_thermometer_shows_and_what_is_lost(
    watched: Watched, board: SysFolder
) -> None:
    now = [100.0]
    thermometers = Thermometers(lambda: now[0])
    for of, where in (("rice", "/a"), ("hob", "/b"), ("oven", "/c")):
        thermometers.expect(of, where)
    thermometers.showed("/a", 58.25)
    thermometers.showed("/b", 190.0)
    thermometers.lost("/b", "it is pulled")
    now[0] = 112.0
    desk = RunnerDesk(watched.kitchen.runner, watched.kitchen.clock, thermometers=thermometers.status)
    shown = status_text(desk.status()).splitlines()
    begin = shown.index("Thermometers:")
    assert shown[begin + 1 : begin + 4] == [
        "  rice  58.2 C   12 s ago",
        "  hob   190.0 C  12 s ago  lost: it is pulled",
        "  oven                     nothing yet",
    ]
    assert desk.status()["thermometers"][0] == {
        "of": "rice",
        "where": "/a",
        "works": True,
        "why": "",
        "celsius": 58.25,
        "age_s": 12,
    }
