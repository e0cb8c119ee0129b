"""Published scheduling problems, put as dinners and planned by the planner itself.

RCPSP-10 is the example of python-mip's documentation (data and optimum 21). Patterson 8 is pat8.rcp of the
Patterson set as ptal/kobe-scheduling keeps it, optimum 11 from its optimum.csv; with five places instead of
four it is pat7, optimum 8. j301_1.sm is the first of PSPLIB's projects of thirty jobs (Kolisch and Sprecher,
European Journal of Operational Research 96, 1997, 205-216), optimum 43 from the optimum.csv of the same
place. A time unit is a minute here, a resource a piece of equipment.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.plan import Plan, StepId
from kitchend.core.timeline import Timeline
from kitchend.planning import PlanningSettings, plan_dinner
from tests.planning.checker import Kitchen, faults
from tests.planning.dinners import MIN, NOON, NOW, dinner, on, step
from tests.planning.projects import Project
from tests.planning.test_critical_path import HOUSE
from tests.planning.test_critical_path import solved as solved_project

BARE = PlanningSettings(answer_s=0)


def as_dinner(project: Project, *, is_reversed: bool = False) -> Plan:
    """The project without its marks, each job a step of a dinner."""
    arcs = [(b, a) if is_reversed else (a, b) for a, b in project.arcs]
    steps = [
        step(
            f"work {job}",
            project.takes[job] * MIN,
            uses=[on(f"tool {k}", count) for k, count in enumerate(project.demands[job]) if count],
            after=[f"work {a}" for a, b in arcs if b == job and a in project.jobs],
            keeps=None,
        )
        for job in project.jobs
    ]
    return dinner(*steps, places={f"tool {k}": room for k, room in enumerate(project.capacities)})


RCPSP_10 = Project(
    takes=[0, 3, 2, 5, 4, 2, 3, 4, 2, 4, 6, 0],
    demands=[
        [0, 0],
        [5, 1],
        [0, 4],
        [1, 4],
        [1, 3],
        [3, 2],
        [3, 1],
        [2, 4],
        [4, 0],
        [5, 2],
        [2, 5],
        [0, 0],
    ],
    capacities=[6, 8],
    arcs=[
        (0, 1),
        (0, 2),
        (0, 3),
        (1, 4),
        (1, 5),
        (2, 9),
        (2, 10),
        (3, 8),
        (4, 6),
        (4, 7),
        (5, 9),
        (5, 10),
        (6, 8),
        (6, 9),
        (7, 8),
        (8, 11),
        (9, 11),
        (10, 11),
    ],
)


def patterson(places: int) -> Project:
    return Project(
        takes=[0, 3, 3, 1, 2, 2, 3, 3, 0],
        demands=[[count] for count in (0, 2, 3, 2, 3, 4, 2, 1, 0)],
        capacities=[places],
        arcs=[(0, 1), (0, 2), (0, 7), (1, 4), (2, 3), (2, 5), (3, 4), (4, 8), (5, 6), (6, 8), (7, 8)],
    )


# The first of the 480 projects of thirty jobs: each job asks for one of four things, so many of it.
_J301_1_WANTS = (
    *((0, 0), (0, 4), (0, 10), (3, 3), (0, 3), (3, 8), (0, 4), (1, 1)),
    *((0, 6), (3, 1), (1, 5), (1, 7), (0, 4), (1, 8), (0, 3), (3, 5)),
    *((3, 8), (3, 7), (1, 1), (1, 10), (3, 6), (0, 2), (0, 3), (1, 9)),
    *((0, 4), (2, 4), (3, 7), (1, 8), (1, 7), (1, 7), (2, 2), (0, 0)),
)
J301_1 = Project(
    takes=[
        *(0, 8, 4, 6, 3, 8, 5, 9, 2, 7, 9, 2, 6, 3, 9, 10),
        *(6, 5, 3, 7, 2, 7, 2, 3, 3, 7, 8, 3, 7, 2, 2, 0),
    ],
    demands=[[count * (thing == k) for k in range(4)] for thing, count in _J301_1_WANTS],
    capacities=[12, 13, 4, 12],
    arcs=[
        *((0, 1), (0, 2), (0, 3), (1, 5), (1, 10), (1, 14), (2, 6), (2, 7)),
        *((2, 12), (3, 4), (3, 8), (3, 9), (4, 19), (5, 29), (6, 26), (7, 11)),
        *((7, 18), (7, 26), (8, 13), (9, 15), (9, 24), (10, 19), (10, 25), (11, 13)),
        *((12, 16), (12, 17), (13, 16), (14, 24), (15, 20), (15, 21), (16, 21), (17, 19)),
        *((17, 21), (18, 23), (18, 28), (19, 22), (19, 24), (20, 27), (21, 22), (22, 23)),
        *((23, 29), (24, 29), (25, 30), (26, 27), (27, 30), (28, 31), (29, 31), (30, 31)),
    ],
)


def length(timeline: Timeline) -> float:
    return (timeline.ready - NOON) / MIN


@pytest.mark.parametrize("is_reversed", [False, True], ids=["as printed", "arcs reversed"])
@pytest.mark.parametrize(
    ("project", "optimum"),
    [(RCPSP_10, 21), (patterson(4), 11), (patterson(5), 8), (J301_1, 43)],
    ids=["RCPSP-10", "Patterson 8", "Patterson 7", "PSPLIB j301_1"],
)
def test_the_earliest_pass_is_the_published_optimum(
    project: Project, optimum: int, is_reversed: bool
) -> None:
    plan = as_dinner(project, is_reversed=is_reversed)
    timeline = plan_dinner(plan, now=NOW, serve=None, settings=BARE)
    assert length(timeline) == optimum
    assert timeline.is_feasible
    assert faults(Kitchen(plan=plan, timeline=timeline, now=NOW, settings=BARE)) == []


@pytest.mark.parametrize(
    ("project", "optimum"),
    [(RCPSP_10, 21), (patterson(4), 11), (J301_1, 43)],
    ids=["RCPSP-10", "Patterson 8", "PSPLIB j301_1"],
)
def test_the_reversed_plan_read_backwards_keeps_every_rule_and_is_as_short(
    project: Project, optimum: int
) -> None:
    """Latest starts are the earliest ones of the reversed arcs, counted back from the pass."""
    backwards = plan_dinner(as_dinner(project, is_reversed=True), now=NOW, serve=None, settings=BARE)
    pass_at = NOON + optimum * MIN
    mirrored = [
        replace(place, start=pass_at - (place.end - NOON), end=pass_at - (place.start - NOON))
        for place in backwards.planned
    ]
    timeline = replace(backwards, serve=pass_at, ready=pass_at, planned=tuple(mirrored))
    kitchen = Kitchen(plan=as_dinner(project), timeline=timeline, now=NOW, settings=BARE)
    assert faults(kitchen) == []
    assert min(place.start.epoch_s for place in mirrored) == NOON.epoch_s


def house() -> Plan:
    """Hillier & Lieberman's Reliable Construction Co. as a dinner without any equipment, a week a minute."""
    steps = [
        step(name, takes * MIN, after=list(befores), keeps=None) for name, (takes, befores) in HOUSE.items()
    ]
    return dinner(*steps)


def test_the_planner_finds_the_houses_44_weeks_and_its_critical_path() -> None:
    timeline = plan_dinner(house(), now=NOW, serve=None, settings=BARE)
    assert length(timeline) == 44
    assert "".join(sorted(place.step for place in timeline.planned if place.is_critical)) == "ABCEFJLN"


def test_the_planner_puts_the_houses_steps_between_their_earliest_and_latest_starts() -> None:
    timeline = plan_dinner(house(), now=NOW, serve=NOON + 44 * MIN, settings=BARE)
    published = solved_project(HOUSE)
    for place in timeline.planned:
        start = (place.start - NOON) / MIN
        assert published.earliest[place.step] <= start <= published.latest[place.step]
        assert start + place.slack_s / MIN <= published.latest[place.step]


def test_the_house_planned_for_week_47_begins_three_weeks_later() -> None:
    """Its published deadline of 47 weeks: what decides starts at its latest."""
    timeline = plan_dinner(house(), now=NOW, serve=NOON + 47 * MIN, settings=BARE)
    starts = {place.step: (place.start - NOON) / MIN for place in timeline.planned}
    latest = solved_project(HOUSE, deadline=47).latest
    assert {name: starts[StepId(name)] for name in "ABCEFJLN"} == {name: latest[name] for name in "ABCEFJLN"}


@pytest.mark.parametrize(
    ("project", "optimum"),
    [(RCPSP_10, 21), (patterson(4), 11)],
    ids=["RCPSP-10", "Patterson 8"],
)
def test_a_pass_one_minute_before_the_optimum_is_late_by_one_minute(project: Project, optimum: int) -> None:
    serve = NOON + (optimum - 1) * MIN
    timeline = plan_dinner(as_dinner(project), now=NOW, serve=serve, settings=BARE)
    assert timeline.late_by_s == MIN
    assert not timeline.is_feasible


def test_what_needs_four_places_of_three_is_said_and_still_planned() -> None:
    timeline = plan_dinner(as_dinner(patterson(3)), now=NOW, serve=None, settings=BARE)
    assert not timeline.is_feasible
    assert [conflict.message for conflict in timeline.conflicts] == [
        "work 5 needs 4 places of the tool 0, which has 3"
    ]
    assert len(timeline.planned) == 7
