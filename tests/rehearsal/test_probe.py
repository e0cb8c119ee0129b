"""A made-up probe: it reads the true core, sends on its own time, and the cook reads no core beside it."""

from __future__ import annotations

from random import Random

import pytest

from kitchend.core.clock import Instant
from kitchend.core.state import DinnerState
from kitchend.files.plan_yaml import read_plan
from kitchend.rehearsal import rehearse
from kitchend.rehearsal.character import CHARACTERS
from kitchend.rehearsal.ears import TypedEars
from kitchend.rehearsal.probe import Probe
from kitchend.rehearsal.production import Production, Roast
from kitchend.rehearsal.world import Nature, World
from tests.rehearsal.kitchen import PLANS
from tests.soak.roasts import Promise, curves, play

BOATHOUSE = next(path for path in PLANS if "boathouse" in path.stem)


@pytest.fixture(scope="module")
def probed() -> tuple[list[str], object]:
    lines: list[str] = []
    score = rehearse(BOATHOUSE, cook="steady", seed=2, ears="typed", probe=True, on_line=lines.append)
    return lines, score


def test_with_a_probe_the_cook_tells_no_reading_and_is_not_asked_for_one(
    probed: tuple[list[str], object],
) -> None:
    lines, _ = probed
    assert not any("turkey is at" in line or "turkey is now at" in line for line in lines)
    assert not any("What does it read" in line for line in lines)
    assert not any("!" in line for line in lines)


def test_an_hour_of_readings_costs_a_handful_of_sentences(probed: tuple[list[str], object]) -> None:
    lines, _ = probed
    unasked = [line for line in lines if "kitchend  Turkey at" in line]
    assert 1 <= len(unasked) <= 4
    assert any("that is it. Up: the turkey." in line for line in unasked)


def test_everything_is_done_and_nothing_lost(probed: tuple[list[str], object]) -> None:
    _, score = probed
    assert (score.lost_timers, score.unsaid) == ((), ())  # type: ignore[attr-defined]  # a Rehearsal
    assert score.steps_done == score.steps  # type: ignore[attr-defined]  # a Rehearsal


def test_a_simulated_roast_keeps_its_promise() -> None:
    """One dinner of `tests/soak/roasts.py`, with a roast of the finite-volume oven."""
    from tests.doneness.oven import roasts

    plan = read_plan(BOATHOUSE)
    step = next(one for one in plan.steps if one.until is not None)
    cores = curves(roasts(40, 5), step)
    assert cores
    promise = play(plan, "steady", 1, cores, 30.0)
    assert promise.off_s is not None
    assert abs(promise.off_s) <= 600


def test_a_core_that_comes_late_moves_the_sides_once_with_one_sentence() -> None:
    """A roast half an hour over its range: the pass moves with the forecast, long before the time was up."""
    plan = read_plan(BOATHOUSE)
    step = next(one for one in plan.steps if one.until is not None)
    promise = Promise()
    late = Roast(takes_s=step.takes.high_s + 2700.0, curve=lambda share: 6.0 + 68.0 * share)
    production = Production(
        plan,
        CHARACTERS["steady"],
        3,
        ears=TypedEars(),
        on_line=promise.said.append,
        probe_every_s=30.0,
        roasts={step.id: late},
    )
    production.play(plan.serve, "typed", promise.watch)
    told = [line for line in promise.said if "late" in line and "moved back" in line]
    assert len(told) <= 2
    assert promise.off_s is not None
    assert abs(promise.off_s) <= 900


def test_it_sits_in_nothing_before_something_is_on() -> None:
    world = World(natures={})
    probe = Probe(world, 10.0, Random(1))
    assert probe.next_at(DinnerState(), Instant(5.0)) is None
    assert probe.send(DinnerState(), Instant(5.0)) == ()


def test_a_curve_of_its_own_takes_the_place_of_the_stand_in() -> None:
    plan = read_plan(BOATHOUSE)
    step = next(one for one in plan.steps if one.until is not None)
    world = World(
        natures={step.id: Nature(hands_s=60.0, takes_s=1000.0)}, curves={step.id: lambda share: 50.0 * share}
    )
    with pytest.raises(ValueError, match="no reading"):
        world.core_c(step, Instant(0.0))
    world.begin(step, Instant(0.0))
    assert world.core_c(step, Instant(500.0)) == 25.0
    assert world.reads(step, Instant(500.0)) == 25
