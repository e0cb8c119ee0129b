"""What a timeline knows is shown: waits, slack, cooks, chance, spoiler, margin, gap, changes, ovens."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.clock import WallTime
from kitchend.core.plan import Plan
from kitchend.core.timeline import Timeline
from kitchend.reports.chart import HOT, WARMS, chart
from kitchend.reports.rows import rows_of
from kitchend.reports.timeline import headline, timeline_json, timeline_text
from kitchend.reports.why import margin, said_chance, why
from kitchend.reports.wrapping import WIDTH
from tests.reports.supper import (
    HEAT,
    LATE,
    PLAN,
    ROAST,
    SEVEN,
    TIMELINE,
    TWO_PASSES,
    at,
    named,
)


def line_of(text: str, words: str) -> str:
    return next(line for line in text.splitlines() if words in line)


@pytest.mark.parametrize(
    ("step", "shown"),
    [
        ("heat the oven to 190", "* 17:10  17:25  heat the oven to 190 Mira 30 s none nothing: at once"),
        ("season the duck", "  17:15  17:23  season the duck Mira 8 min 2 min the pass"),
        ("roast the duck", "* 17:25  18:35  roast the duck Mira 2 min none oven: heat the oven to 190"),
        ("rinse the barley", "  18:20  18:22  rinse the barley Jonas 2 min 10 min hands: roast the duck"),
        ("boil the barley", "  18:25  18:55  boil the barley Jonas 1 min none rinse the barley"),
        ("rest the duck", "* 18:35  18:50  rest the duck none roast the duck"),
    ],
)
def test_each_step_says_whose_hands_its_slack_and_what_it_waits_for(step: str, shown: str) -> None:
    line = line_of(timeline_text(PLAN, TIMELINE), f"  {step}  ")
    assert (line[:2], line[2:].split()) == (shown[:2], shown[2:].split())


def test_why_says_all_that_is_known() -> None:
    assert why(PLAN, rows_of(PLAN, TIMELINE), TIMELINE).splitlines() == [
        "The chain that decides: heat the oven to 190, then roast the duck, then rest the duck.",
        "The hands are busiest from 17:10 to 17:27 (11 min of work).",
        "The oven: 190 C from 17:25 to 18:35.",
        "About nine dinners in ten would be at the pass within 5 min (91 %).",
        "Most likely to spoil it: roast the duck: 50 to 70 min is a guess, and ends at 74 C inside, not by",
        "the clock.",
        "The margin: what is most uncertain gets 5 min more than it is likely to need, for a chance of 90 %;",
        "if that is not needed, what comes of “rest the duck” can wait, it keeps 25 min.",
    ]


def test_what_is_not_known_is_not_said() -> None:
    bare = Timeline(serve=SEVEN, ready=SEVEN, planned=TIMELINE.planned, added=(HEAT,), gap=0.0)
    assert why(PLAN, rows_of(PLAN, bare), bare).splitlines() == [
        "The chain that decides: heat the oven to 190, then roast the duck, then rest the duck."
    ]


@pytest.mark.parametrize(
    ("sure", "words"),
    [
        (1.0, "nearly every dinner"),
        (0.97, "ninety seven dinners in a hundred"),
        (0.95, "ninety five dinners in a hundred"),
        (0.94, "about nine dinners in ten"),
        (0.9, "about nine dinners in ten"),
        (0.52, "about every other dinner"),
        (0.14, "about one dinner in ten"),
        (0.01, "hardly any dinner"),
    ],
)
def test_a_chance_is_said_as_a_cook_would(sure: float, words: str) -> None:
    assert said_chance(sure) == words


def test_a_margin_with_nothing_that_can_wait_for_it_is_told_alone() -> None:
    told = "The margin: what is most uncertain gets 50 min more than it is likely to need"
    rows = rows_of(PLAN, TIMELINE)
    assert margin(rows, replace(TIMELINE, margin_s=3000)) == f"{told}."
    assert (
        margin(rows, replace(TIMELINE, margin_s=3000, spoiler=None), 0.75) == f"{told}, for a chance of 75 %."
    )
    assert margin(rows, replace(TIMELINE, margin_s=-60)) == ""


def test_a_chance_below_what_was_asked_for_says_so() -> None:
    unsure = replace(TIMELINE, on_time_probability=0.6)
    told = "About six dinners in ten would be at the pass within 5 min (60 %)."
    assert f"{told} That is less than the 90 %" in timeline_text(PLAN, unsure)
    assert told in timeline_text(replace(PLAN, chance=0.61), unsure).splitlines()


def test_every_change_is_shown_the_cheapest_first_and_the_gap_is_told() -> None:
    text = timeline_text(PLAN, LATE)
    assert text.splitlines()[:7] == [
        "Millpond supper: the pass at 18:30 cannot be met; ready at 18:55, 25 min late, beginning at 17:10.",
        "",
        "! dinner would be 25 min late: the oven is full.",
        "  Each of these would help, the cheapest first:",
        "  - the pass at 18:55.",
        "  - one more place in the oven.",
        "  - no barley.",
    ]
    assert "Not proved to be the best there is: at most 2.3 % from it." in text
    unknown = replace(TIMELINE, gap=None)
    assert "Not proved to be the best there is." in timeline_text(PLAN, unknown).splitlines()


def test_the_chart_has_a_lane_for_each_cook_and_each_piece_of_equipment() -> None:
    drawn = chart(PLAN, TIMELINE)
    starts = [line.split("  ")[0] for line in drawn.splitlines() if not line.startswith(" ")]
    assert starts == ["duck", "barley", "oven", "Mira", "Jonas", "oven", "hob"]
    hot = line_of(drawn, "how hot")
    assert "190 C" in hot
    assert hot.index(WARMS) < hot.index(HOT)
    assert "2222" in line_of(drawn, "of 3 places")
    assert "1111" in line_of(drawn, "of 4 places")


def test_kinds_of_time_differ_by_sign_alone() -> None:
    bar = line_of(chart(PLAN, TIMELINE), "rest the duck")
    assert bar.index("▒") < bar.index("·")
    assert "\x1b" not in chart(PLAN, TIMELINE)


@pytest.mark.parametrize("plan", [PLAN, TWO_PASSES, named("W" * 60)], ids=["plain", "passes", "long names"])
@pytest.mark.parametrize("timeline", [TIMELINE, LATE], ids=["in time", "late"])
def test_no_line_is_wider_than_the_screen(plan: Plan, timeline: Timeline) -> None:
    assert max(map(len, timeline_text(plan, timeline).splitlines())) <= WIDTH


def test_the_json_holds_all_that_is_known() -> None:
    shown = timeline_json(PLAN, TIMELINE)
    wanted = {
        "passes": [{"at": "2026-05-28T19:00:00+02:00", "dishes": ["duck", "barley"]}],
        "cooks": 2,
        "cook_names": ["Mira", "Jonas"],
        "on_time_probability": 0.91,
        "chance_asked": 0.9,
        "spoiler": {"id": ROAST.id, "dish": "duck", "step": "roast the duck"},
        "margin_s": 300,
        "busiest": [
            {"start": "2026-05-28T17:10:00+02:00", "end": "2026-05-28T17:27:00+02:00", "hands_s": 630}
        ],
        "heats": [
            {
                "equipment": "oven",
                "celsius": 190.0,
                "start": "2026-05-28T17:25:00+02:00",
                "end": "2026-05-28T18:35:00+02:00",
            }
        ],
        "gap": 0.0,
    }
    assert {key: shown[key] for key in wanted} == wanted
    steps = shown["steps"]
    assert isinstance(steps, list)
    roast = steps[2]
    assert (roast["cook"], roast["cook_name"]) == (0, "Mira")
    assert roast["waits_for"] == {
        "for": "equipment",
        "id": HEAT.id,
        "equipment": "oven",
        "words": "oven: heat the oven to 190",
    }
    conflicts = timeline_json(PLAN, LATE)["conflicts"]
    assert isinstance(conflicts, list)
    assert conflicts[0]["changes"] == ["the pass at 18:55", "one more place in the oven", "no barley"]


def test_each_pass_of_a_shared_kitchen_is_told_and_a_late_one_by_itself() -> None:
    assert headline(TWO_PASSES, TIMELINE) == (
        "Millpond supper and Late barley: the passes at 18:30 and 19:00; the pass at 18:30 cannot be met; "
        "ready at 18:50, 20 min late, beginning at 17:10."
    )
    assert timeline_json(TWO_PASSES, TIMELINE)["passes"] == [
        {"at": "2026-05-28T18:30:00+02:00", "dishes": ["duck"]},
        {"at": "2026-05-28T19:00:00+02:00", "dishes": ["barley"]},
    ]


@pytest.mark.parametrize(
    ("now", "shown"),
    [
        (at(200), "the pass at 19:00, beginning at 17:10."),
        (at(24 * 60), "the pass at 19:00 tomorrow, beginning at 17:10 tomorrow."),
        (at(3 * 24 * 60), "the pass at 19:00 on Thu 28 May, beginning at 17:10 on Thu 28 May."),
    ],
    ids=["today", "tomorrow", "later"],
)
def test_a_pass_on_another_day_says_which(now: WallTime, shown: str) -> None:
    assert headline(PLAN, TIMELINE, now) == f"Millpond supper: {shown}"


def test_a_dinner_of_more_than_a_day_names_its_days() -> None:
    early = replace(TIMELINE.planned[0], start=at(30 * 60), end=at(30 * 60 - 15))
    long = replace(TIMELINE, planned=(early, *TIMELINE.planned[1:]))
    lines = timeline_text(PLAN, long).splitlines()
    assert [line for line in lines if "day, " in line] == ["  Wednesday, 27 May", "  Thursday, 28 May"]
    assert lines[lines.index("  Thursday, 28 May") + 1].startswith("  17:15  17:23  season the duck")
    clock = line_of(chart(PLAN, long), "Thu")
    assert clock.split() == ["18:00", "Thu", "06:00", "12:00", "18:00"]
    assert "day, " not in timeline_text(PLAN, TIMELINE)
