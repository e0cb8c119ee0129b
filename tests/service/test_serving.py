"""Passes as typed: times of day, tomorrow, a day; gone by, too far, no such day; those of several plans."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

import pytest

from kitchend.core.clock import TimeOfDay, WallTime
from kitchend.errors import PlanError
from kitchend.service.guard import UseError
from kitchend.service.serving import dinner_of, pass_of

HERE = datetime(2026, 5, 28, 17, 0).astimezone()
OFFSET = HERE.utcoffset()
NOW = WallTime(HERE.timestamp(), int(OFFSET.total_seconds()) if OFFSET else 0)
"""Five in the afternoon on 28 May 2026, wherever the tests run."""


def on(day: int, hour: int, minute: int = 0) -> str:
    """What the wall shows at that time of that day in May 2026."""
    return f"2026-05-{day:02d} {hour:02d}:{minute:02d}"


def shown(wall: WallTime | None) -> str | None:
    return None if wall is None else f"{wall.local:%Y-%m-%d %H:%M}"


def plan(folder: Path, name: str, serve: str | None = None) -> Path:
    path = folder / f"{name}.yaml"
    given = f'serve: "{serve}"\n' if serve else ""
    path.write_text(
        f"plan: {name}\n{given}dishes:\n  - dish: {name}\n    steps:\n"
        f"      - step: stir the {name}\n        hands: 3 min\n"
    )
    return path


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("tomorrow 12:15", on(29, 12, 15)),
        ("Tomorrow at 7 pm", on(29, 19)),
        ("2026-05-28T17:00", on(28, 17)),
        ("2026-05-28t19:30", on(28, 19, 30)),
        ("2026-05-30 11.30 am", on(30, 11, 30)),
        ("2026-06-04T17:00", "2026-06-04 17:00"),
    ],
)
def test_a_day_and_a_time_are_one_moment(text: str, expected: str) -> None:
    found = pass_of(text, NOW)
    assert isinstance(found, WallTime)
    assert shown(found) == expected


def test_a_time_alone_stays_a_time_of_day() -> None:
    assert pass_of(" 19:30 ", NOW) == TimeOfDay(19, 30)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("2026-05-28T16:59", "that has gone by; it is 2026-05-28T17:00 now"),
        ("2020-12-24T19:30", "that has gone by; it is 2026-05-28T17:00 now"),
        ("2026-06-04T17:01", "more than 7 days ahead (give a nearer day)"),
        ("9999-12-31T23:59", "more than 7 days ahead (give a nearer day)"),
        ("2026-13-24T19:30", "there is no such day (write it like 2026-12-24T19:30)"),
        ("0000-01-01T00:00", "there is no such day (write it like 2026-12-24T19:30)"),
        ("2026-05-29", "2026-05-29 is no time of day (write it like 19:30)"),
        ("2026-05-29T25:00", "25:00 is no time of day (hours go from 0 to 23, minutes to 59)"),
        ("tomorrow", "tomorrow is no time of day (write it like 19:30)"),
        ("tomorrow 1930", '1930 is no time of day (write "19:30")'),
        ("", "there is nothing here (write it like 19:30)"),
    ],
)
def test_a_pass_that_cannot_be_is_told_in_one_line(text: str, told: str) -> None:
    with pytest.raises(UseError) as caught:
        pass_of(text, NOW)
    assert str(caught.value) == f"--serve {text}: {told}"


Before = tuple[int, ...]
PASSES: dict[str, tuple[list[str | None], Sequence[str], str | None, Before]] = {
    "its own": (["19:30"], [], on(28, 19, 30), (0,)),
    "its own, gone by today": (["16:00"], [], on(29, 16), (0,)),
    "asked for": (["19:30"], ["20:00"], on(28, 20), (0,)),
    "asked for with a day": (["19:30"], ["2026-05-30T20:00"], on(30, 20), (0,)),
    "none anywhere": ([None], [], None, (0,)),
    "each its own": (["18:00", "19:30"], [], on(28, 19, 30), (5400, 0)),
    "the first gone by": (["16:30", "19:30"], [], on(29, 19, 30), (10800, 0)),
    "over midnight": (["23:30", "00:15"], [], on(29, 0, 15), (2700, 0)),
    "the last asked for": (["18:00", "19:30"], ["21:00"], on(28, 21), (5400, 0)),
    "the last asked for, the first gone by": (["16:30", "19:30"], ["18:30"], on(28, 18, 30), (10800, 0)),
    "one each, the first gone by": ([None, None], ["16:30", "18:30"], on(29, 18, 30), (7200, 0)),
    "the last with a day": (["18:00", "19:30"], ["tomorrow 21:00"], on(29, 21), (5400, 0)),
    "one each": ([None, "19:30"], ["20:00", "18:30"], on(28, 20), (0, 5400)),
    "one each with days": (["18:00", None], ["2026-05-28T20:00", "20:30"], on(28, 20, 30), (1800, 0)),
    "only one has its own": (["18:00", None], [], on(28, 18), (0, 0)),
}


@pytest.mark.parametrize(("own", "asked", "serve", "before"), PASSES.values(), ids=PASSES)
def test_passes_of_plans_and_of_the_command_line(
    tmp_path: Path, own: list[str | None], asked: Sequence[str], serve: str | None, before: Before
) -> None:
    names = ("barley", "quince", "leek")
    paths = [plan(tmp_path, name, time) for name, time in zip(names, own, strict=False)]
    dinner = dinner_of(paths, asked, NOW)
    assert shown(dinner.serve) == serve
    assert tuple(dish.before_pass_s for dish in dinner.plan.dishes) == before
    assert dinner.source == ", ".join(map(str, paths))


@pytest.mark.parametrize(
    ("count", "asked", "told"),
    [
        (1, 2, "--serve is given 2 times for 1 plan: give it once for the last pass, or once for each plan"),
        (3, 2, "--serve is given 2 times for 3 plans: give it once for the last pass, or once for each plan"),
    ],
)
def test_passes_that_fit_no_plan_are_told(tmp_path: Path, count: int, asked: int, told: str) -> None:
    paths = [plan(tmp_path, name) for name in ("barley", "quince", "leek")[:count]]
    with pytest.raises(UseError) as caught:
        dinner_of(paths, ["20:00"] * asked, NOW)
    assert str(caught.value) == told


def test_the_same_plan_twice_is_refused(tmp_path: Path) -> None:
    path = plan(tmp_path, "barley")
    with pytest.raises(PlanError, match="barley is a dish of"):
        dinner_of([path, path], [], NOW)


def test_now_is_what_it_says() -> None:
    assert datetime.fromtimestamp(NOW.epoch_s, UTC) == HERE
