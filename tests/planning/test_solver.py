"""The solver's door against OR-Tools' own modelling layer, which it goes around."""

from __future__ import annotations

import random
import subprocess
import sys

import pytest

from kitchend.planning.solver import Model, Var, Way

ROOMS = [1, 2, 3]


def by_our_door(takes: list[int], demands: list[int], room: int, way: Way = Way.SUM) -> int:
    model = Model()
    starts = [model.var(0, 100) for _ in takes]
    end = model.var(0, 100)
    intervals = [model.interval(start, size) for start, size in zip(starts, takes, strict=True)]
    model.cumulative(intervals, demands, room)
    for start, size in zip(starts, takes, strict=True):
        model.not_before(end, start + size)
    model.minimize([(1, end)])
    found = model.solve(effort=2.0, seconds=20.0, way=way)
    assert found is not None
    assert found.is_proved
    assert found.bound == found.of(end)
    return found.of(end)


def by_their_layer(takes: list[int], demands: list[int], room: int) -> int:
    cp_model = pytest.importorskip("ortools.sat.python.cp_model", reason="needs pandas")
    model = cp_model.CpModel()
    starts = [model.new_int_var(0, 100, "") for _ in takes]
    end = model.new_int_var(0, 100, "")
    intervals = [
        model.new_fixed_size_interval_var(start, size, "") for start, size in zip(starts, takes, strict=True)
    ]
    model.add_cumulative(intervals, demands, room)
    for start, size in zip(starts, takes, strict=True):
        model.add(end >= start + size)
    model.minimize(end)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.solve(model)
    return int(solver.value(end))


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("room", ROOMS)
def test_both_ways_to_the_solver_find_the_same_optimum(room: int, seed: int) -> None:
    chance = random.Random(seed)
    takes = [chance.randint(1, 9) for _ in range(6)]
    demands = [chance.randint(1, room) for _ in takes]
    assert by_our_door(takes, demands, room) == by_their_layer(takes, demands, room)


@pytest.mark.parametrize("way", Way)
def test_every_way_to_search_finds_the_same_optimum(way: Way) -> None:
    chance = random.Random(11)
    for _ in range(6):
        room = chance.choice(ROOMS)
        takes = [chance.randint(1, 9) for _ in range(7)]
        demands = [chance.randint(1, room) for _ in takes]
        assert by_our_door(takes, demands, room, way) == by_their_layer(takes, demands, room)


def test_a_range_is_what_the_variables_say_now_and_as_before_afterwards() -> None:
    model = Model()
    one, other = model.var(2, 9), model.var(0, 4)
    terms = [(3, one), (-2, other + 1)]
    assert model.range_of(terms) == (3 * 2 - 2 * 5, 3 * 9 - 2 * 1)
    with model.within([(one, 4, 5), (other, 1, 1), (one, 5, 5)]):
        assert model.range_of(terms) == (11, 11)
        model.minimize(terms)
        found = model.solve(effort=1.0, seconds=10.0)
        assert found is not None
        assert (found.of(one), found.of(other)) == (5, 1)
    assert model.range_of(terms) == (-4, 25)


def test_a_row_with_a_condition_binds_only_when_it_holds() -> None:
    model = Model()
    start, literal = model.var(0, 50), model.bool_var()
    model.at_least([(1, start)], 30, when=(literal,))
    model.minimize([(1, start), (-10, literal)])
    found = model.solve(effort=1.0, seconds=10.0)
    assert found is not None
    assert (found.of(start), found.of(literal)) == (0, 0)


def test_what_cannot_be_had_is_none() -> None:
    model = Model()
    start = model.var(0, 5)
    model.at_least([(1, start)], 6)
    assert model.solve(effort=1.0, seconds=10.0) is None


def test_a_sum_is_no_literal() -> None:
    model = Model()
    with pytest.raises(ValueError, match="variable of its own"):
        model.exactly_one((Var(0, 3),))


def test_the_planner_is_cheap_to_import_and_never_loads_pandas() -> None:
    code = (
        "import sys, kitchend.planning as p; assert not any('ortools' in m for m in sys.modules);"
        "from kitchend.planning.solver import Model; Model();"
        "assert 'pandas' not in sys.modules and 'numpy' not in sys.modules; print('light')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "light\n"
