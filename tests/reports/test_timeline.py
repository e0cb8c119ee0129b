"""The timeline as it is shown: the JSON's promised keys, a table and a chart that fit and agree with it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

import pytest

from kitchend.core.clock import WallTime
from kitchend.core.timeline import Conflict
from kitchend.planning import plan_dinner
from kitchend.reports.chart import HANDS, PASS
from kitchend.reports.timeline import timeline_json, timeline_text
from kitchend.reports.why import conflicts
from kitchend.reports.wrapping import WIDTH
from tests.planning.dinners import HOUR, MIN, NOON, NOW, dinner, harbour_supper, step

PLAN = harbour_supper()
IN_TIME = plan_dinner(PLAN, now=NOW, serve=NOON + 6 * HOUR)
LATE = plan_dinner(PLAN, now=NOW, serve=NOON + 2 * HOUR)


def test_the_json_has_the_promised_keys() -> None:
    shown = timeline_json(PLAN, IN_TIME)
    assert {"serve", "feasible", "late_by_s", "steps", "conflicts", "on_time_probability"} <= set(shown)
    steps = shown["steps"]
    assert isinstance(steps, list)
    assert len(steps) == 22
    promised = {"dish", "step", "start", "end", "hands_s", "equipment", "slack_s", "critical", "added"}
    assert all(promised <= set(one) for one in steps)


def test_times_in_the_json_are_iso_with_offset() -> None:
    serve = timeline_json(PLAN, IN_TIME)["serve"]
    assert isinstance(serve, str)
    read = datetime.fromisoformat(serve)
    assert read.timestamp() == IN_TIME.serve.epoch_s
    assert read.utcoffset() is not None


def test_what_kitchend_added_is_marked_and_stands_under_its_oven() -> None:
    steps = timeline_json(PLAN, IN_TIME)["steps"]
    assert isinstance(steps, list)
    added = [(one["dish"], one["step"], one["equipment"]) for one in steps if one["added"]]
    assert added == [
        ("oven", "heat the oven to 150", ["oven at 150 C"]),
        ("oven", "turn the oven to 230", ["oven at 230 C"]),
    ]


def test_conflicts_are_in_the_json_with_what_would_help() -> None:
    shown = timeline_json(PLAN, LATE)
    assert shown["feasible"] is False
    listed = shown["conflicts"]
    assert isinstance(listed, list)
    found = [(one["message"], tuple(one["changes"])) for one in listed]
    assert found == [(c.message, c.changes) for c in LATE.conflicts]
    assert [one["change"] for one in listed] == [c.changes[0] for c in LATE.conflicts]
    assert found
    assert all(changes for _, changes in found)


@pytest.mark.parametrize("timeline", [IN_TIME, LATE], ids=["in time", "late"])
def test_no_line_is_wider_than_the_screen(timeline: object) -> None:
    text = timeline_text(PLAN, IN_TIME if timeline is IN_TIME else LATE)
    assert max(map(len, text.splitlines())) <= WIDTH


def test_every_step_has_its_line_in_table_and_chart() -> None:
    text = timeline_text(PLAN, IN_TIME)
    for one in PLAN.steps:
        assert text.count(one.name) >= 2, one.name


def test_the_chain_that_decides_is_marked_and_named() -> None:
    text = timeline_text(PLAN, IN_TIME)
    assert "* 14:1" in text
    assert "The chain that decides: heat the oven to 150, then braise the pork" in text


def test_lateness_is_in_the_first_line_and_the_help_below() -> None:
    lines = timeline_text(PLAN, LATE).splitlines()
    assert lines[0].startswith("a dinner: the pass at ")
    assert "cannot be met; ready at" in lines[0]
    assert LATE.conflicts[0].changes[0].split()[0] in "\n".join(lines)


def test_what_mends_several_collisions_only_together_is_said_once_below_them() -> None:
    both = ("the pass at 18:55 and one more ring on the hob", "no barley")
    told = tuple(Conflict(message=message, changes=both) for message in ("dinner is late", "the hob is full"))
    lines = conflicts(replace(LATE, conflicts=told)).splitlines()
    assert lines[:2] == ["! dinner is late.", "! the hob is full."]
    assert [line for line in lines if line.startswith("  - ")] == [f"  - {change}." for change in both]


def test_a_bar_lies_where_its_times_are() -> None:
    plan = dinner(step("knead", hands=30 * MIN, keeps=HOUR), step("bake", 30 * MIN, after=["knead"]))
    timeline = plan_dinner(plan, now=NOW, serve=NOON + HOUR + 15)
    rows = timeline_text(plan, timeline).splitlines()
    knead = next(line for line in rows if "knead" in line and HANDS in line)
    bake = next(line for line in rows if "bake" in line and "▒" in line and line.rstrip().endswith(PASS))
    assert abs(knead.count(HANDS) - bake.count("▒")) <= 1
    assert abs(knead.rindex(HANDS) + 1 - bake.index("▒")) <= 1


def test_an_empty_timeline_is_a_single_line() -> None:
    empty = plan_dinner(dinner(), now=NOW, serve=WallTime(NOON.epoch_s + 60, NOON.offset_s))
    assert len(timeline_text(dinner(), empty).splitlines()) == 1
