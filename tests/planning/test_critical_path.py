"""The critical path method against published examples and against networkx."""

from __future__ import annotations

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchend.planning.critical_path import Link, Paths, paths

# Hillier & Lieberman, Introduction to Operations Research, "Reliable Construction Co.": durations in weeks as
# the book's exercise text gives them; letters and predecessors from memory, worked out again by hand.
HOUSE = {
    "A": (2, ""),
    "B": (4, "A"),
    "C": (10, "B"),
    "D": (6, "C"),
    "E": (4, "C"),
    "F": (5, "E"),
    "G": (7, "D"),
    "H": (9, "EG"),
    "I": (7, "C"),
    "J": (8, "FI"),
    "K": (4, "J"),
    "L": (5, "J"),
    "M": (2, "H"),
    "N": (6, "KL"),
}
# A small worked example in hours, https://studylib.net/doc/8378728/
SMALL = {
    "A": (6, ""),
    "B": (2, "A"),
    "C": (2, "A"),
    "D": (3, "B"),
    "F": (2, "C"),
    "E": (4, "DF"),
    "G": (1, "E"),
}


def solved(project: dict[str, tuple[int, str]], deadline: int | None = None) -> Paths[str]:
    durations = {name: takes for name, (takes, _) in project.items()}
    links = [
        Link(before, name, durations[before]) for name, (_, befores) in project.items() for before in befores
    ]
    return paths(durations, links, deadline=deadline)


def test_the_house_takes_44_weeks_along_its_published_path() -> None:
    found = solved(HOUSE)
    assert found.length == 44
    assert "".join(found.critical) == "ABCEFJLN"
    floats = {name: room for name, room in found.floats.items() if room}
    assert floats == {"D": 4, "G": 4, "H": 4, "M": 4, "I": 2, "K": 1}


@pytest.mark.parametrize(
    ("name", "earliest", "latest"),
    [("D", 16, 20), ("H", 29, 33), ("K", 33, 34), ("M", 38, 42)],
    ids=["D", "H", "K", "M"],
)
def test_the_house_has_its_published_starts(name: str, earliest: int, latest: int) -> None:
    found = solved(HOUSE)
    assert (found.earliest[name], found.latest[name]) == (earliest, latest)


def test_the_small_example_takes_16_hours_along_its_published_path() -> None:
    found = solved(SMALL)
    assert found.length == 16
    assert "".join(found.critical) == "ABDEG"
    assert (found.floats["C"], found.floats["F"]) == (1, 1)


def test_a_deadline_moves_every_latest_start_by_the_same_and_keeps_the_path() -> None:
    free, by_47 = solved(HOUSE), solved(HOUSE, deadline=47)
    assert {name: by_47.latest[name] - free.latest[name] for name in HOUSE} == dict.fromkeys(HOUSE, 3)
    assert by_47.critical == free.critical


@st.composite
def projects(draw: st.DrawFn) -> tuple[dict[int, int], list[tuple[int, int]]]:
    size = draw(st.integers(1, 12))
    durations = {place: draw(st.integers(0, 9)) for place in range(size)}
    pairs = [(a, b) for b in range(size) for a in range(b)]
    return durations, draw(st.lists(st.sampled_from(pairs), unique=True)) if pairs else []


@given(projects())
def test_lengths_and_starts_agree_with_networkx_longest_paths(
    project: tuple[dict[int, int], list[tuple[int, int]]],
) -> None:
    durations, arcs = project
    found = paths(durations, [Link(a, b, durations[a]) for a, b in arcs])
    graph = nx.DiGraph()
    graph.add_nodes_from([*durations, "end"])
    graph.add_weighted_edges_from([(a, b, durations[a]) for a, b in arcs])
    graph.add_weighted_edges_from([(a, "end", takes) for a, takes in durations.items()])
    assert found.length == nx.dag_longest_path_length(graph)
    for name in durations:
        into = graph.subgraph({*nx.ancestors(graph, name), name})
        onward = graph.subgraph({*nx.descendants(graph, name), name})
        assert found.earliest[name] == nx.dag_longest_path_length(into)
        assert found.length - found.latest[name] == nx.dag_longest_path_length(onward)
