"""The one file that reads clocks: both kinds of time agree with the system, and go on over restarts."""

from __future__ import annotations

import ast
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest
import time_machine

import kitchend
from kitchend.core.clock import Instant, Now
from kitchend.service import wall_clock
from kitchend.service.wall_clock import (
    Boot,
    Kept,
    Stopwatch,
    SystemClock,
    boot_id,
    has_right_time,
    running_s,
    wall_now,
)

PACKAGE = Path(kitchend.__file__).parent
CLOCKS = {"time", "monotonic", "perf_counter", "clock_gettime", "now", "today", "utcnow"}


def kept(*, boot: str, shift_s: float = 0.0, instant_s: float = 500.0, ago_s: float = 90.0) -> Kept:
    wall = wall_now() - ago_s
    return Kept(now=Now(Instant(instant_s), wall), boot=Boot(id=boot, shift_s=shift_s))


def test_wall_time_is_what_the_system_shows() -> None:
    shown = wall_now()
    assert abs(shown.epoch_s - time.time()) < 5
    assert shown.local.utcoffset() == datetime.now(UTC).astimezone().utcoffset()


def test_instants_never_go_back() -> None:
    clock = SystemClock()
    instants = [clock.now().instant for _ in range(100)]
    assert instants == sorted(instants)


def test_moving_the_wall_clock_leaves_instants_alone() -> None:
    clock = SystemClock()
    before = clock.now()
    with time_machine.travel(datetime(2031, 3, 4, 5, 6, tzinfo=UTC), tick=True) as traveller:
        jumped = clock.now()
        traveller.move_to(datetime(2001, 3, 4, 5, 6, tzinfo=UTC))
        back = clock.now()
    assert jumped.wall.local.year == 2031
    assert back.wall.local.year == 2001
    assert 0 <= back.instant - before.instant < 30


def test_after_a_restart_of_kitchend_instants_go_on_as_if_it_had_never_stopped() -> None:
    first = SystemClock(kept(boot="another boot", instant_s=7000.0))
    second = SystemClock(Kept(now=first.now(), boot=first.boot))
    assert second.boot == first.boot
    earlier = first.now()
    assert 0 <= second.now().instant - earlier.instant < 30


def test_after_a_restart_of_the_board_instants_go_on_by_the_wall_clock() -> None:
    clock = SystemClock(kept(boot="another boot", instant_s=500.0, ago_s=90.0))
    assert clock.boot.id == boot_id()
    assert 590.0 <= clock.now().instant.s < 620.0


def test_a_wall_clock_behind_the_journal_loses_no_running_time() -> None:
    clock = SystemClock(kept(boot="another boot", instant_s=500.0, ago_s=-3600.0))
    assert 500.0 <= clock.now().instant.s < 530.0


def test_a_system_without_boot_ids_is_taken_for_a_new_boot(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(wall_clock, "BOOT_ID", tmp_path / "missing")
    clock = SystemClock(kept(boot="", instant_s=500.0, ago_s=90.0))
    assert 590.0 <= clock.now().instant.s < 620.0


def test_running_time_counts_sleep_where_the_system_can() -> None:
    # Linux, clock_gettime(2): CLOCK_BOOTTIME is CLOCK_MONOTONIC plus the time the system was suspended.
    assert running_s() >= time.clock_gettime(time.CLOCK_MONOTONIC) - 1.0


def test_a_stopwatch_counts_up() -> None:
    watch = Stopwatch()
    first = watch.took_s
    assert 0 <= first <= watch.took_s


def reads_of_clocks(path: Path) -> set[str]:
    """Attribute calls such as time.time() or datetime.now() in a file."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    calls = [node.func for node in ast.walk(tree) if isinstance(node, ast.Call)]
    named = [call for call in calls if isinstance(call, ast.Attribute) and call.attr in CLOCKS]
    modules = {"time", "datetime", "date"}
    return {
        f"{call.value.id}.{call.attr}"
        for call in named
        if isinstance(call.value, ast.Name) and call.value.id in modules
    }


def test_no_other_file_reads_a_clock() -> None:
    files = [path for path in PACKAGE.rglob("*.py") if path.name != "wall_clock.py"]
    assert reads_of_clocks(PACKAGE / "service" / "wall_clock.py")
    assert {str(path): found for path in files if (found := reads_of_clocks(path))} == {}


def a_clock(folder: Path, sets_the_time: str) -> Path:
    board_clock = folder / "rtc0"
    board_clock.mkdir(parents=True)
    (board_clock / "hctosys").write_text(sets_the_time + "\n")
    return folder


@pytest.mark.parametrize(
    ("sets_the_time", "is_synchronized", "is_right"),
    [("1", False, True), ("0", False, False), ("0", True, True), (None, True, True), (None, False, False)],
)
def test_a_clock_is_trusted_once_a_battery_or_the_network_has_set_it(
    tmp_path: Path, sets_the_time: str | None, is_synchronized: bool, is_right: bool
) -> None:
    clocks = tmp_path / "rtc" if sets_the_time is None else a_clock(tmp_path / "rtc", sets_the_time)
    synchronized = tmp_path / "synchronized"
    if is_synchronized:
        synchronized.touch()
    assert has_right_time(clocks, synchronized) is is_right


def test_a_clock_that_cannot_be_asked_is_not_trusted(tmp_path: Path) -> None:
    (tmp_path / "rtc0").mkdir()
    assert not has_right_time(tmp_path, tmp_path / "synchronized")


def test_after_a_new_start_how_long_it_was_away_is_known_only_with_the_right_time(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("kitchend.service.wall_clock.has_right_time", lambda: True)
    assert SystemClock(kept(boot="another boot", ago_s=90.0)).knows_away
    assert not SystemClock(kept(boot="another boot", ago_s=-3600.0)).knows_away
    monkeypatch.setattr("kitchend.service.wall_clock.has_right_time", lambda: False)
    assert not SystemClock(kept(boot="another boot", ago_s=90.0)).knows_away
    assert SystemClock(kept(boot=boot_id(), ago_s=-3600.0)).knows_away
    assert SystemClock().knows_away
