"""Random resource-constrained projects of the published kind, and the shortest length of any project.

The networks follow the description of ProGen (Kolisch, Sprecher, Drexl 1995, Management Science 41,
1693-1703): jobs of 1 to 10 periods, a network complexity (arcs a node), a resource factor (the share of
resources a job asks for) and a resource strength (0: just enough for the neediest job, 1: enough for the
earliest schedule). The independent length is a plain model of the problem in OR-Tools' compiled layer,
sharing no code with the planner.
"""

from __future__ import annotations

import importlib
import random
from dataclasses import dataclass
from typing import Any

MOST_STARTS, MOST_FOLLOWERS = 3, 3


@dataclass(frozen=True)
class Project:
    """Durations, demands a resource, capacities, and arcs; the first and last activity are only marks."""

    takes: list[int]
    demands: list[list[int]]
    capacities: list[int]
    arcs: list[tuple[int, int]]

    @property
    def jobs(self) -> range:
        """The real activities."""
        return range(1, len(self.takes) - 1)

    def befores(self, job: int) -> list[int]:
        """What comes before a job, marks left out."""
        return [a for a, b in self.arcs if b == job and a in self.jobs]

    def backwards(self) -> Project:
        """The same project from its end: every arc turned round, jobs counted from the last."""
        last = len(self.takes) - 1
        arcs = sorted((last - b, last - a) for a, b in self.arcs)
        return Project(self.takes[::-1], self.demands[::-1], self.capacities, arcs)

    def as_file(self) -> str:
        """The project as a plan file: minutes, places, everything keeps all day, nothing needs hands."""
        lines = ["plan: A project", "equipment:"]
        lines += [f"  r{k + 1}: {{places: {room}}}" for k, room in enumerate(self.capacities)]
        lines += ["dishes:", "  - dish: the work", "    steps:"]
        for job in self.jobs:
            uses = ", ".join(f'"r{k + 1}, {n} places"' for k, n in enumerate(self.demands[job]) if n)
            lines.append(f"      - step: job {job}")
            lines.append(f"        takes: {self.takes[job]} min")
            lines += [f"        in: [{uses}]"] if uses else []
            lines.append(f"        after: [{', '.join(f'job {before}' for before in self.befores(job))}]")
            lines.append("        keeps: all day")
        return "\n".join(lines) + "\n"


def random_project(
    seed: int,
    *,
    complexity: float,
    factor: float,
    strength: float,
    jobs: int = 30,
    resources: int = 4,
) -> Project:
    """A project with this network complexity, resource factor and resource strength."""
    chance = random.Random(seed)
    takes = [0, *(chance.randint(1, 10) for _ in range(jobs)), 0]
    arcs = _network(chance, jobs, complexity)
    demands = _demands(chance, jobs, resources, factor)
    starts = _earliest(takes, arcs)
    capacities = [_capacity(k, takes, demands, starts, strength) for k in range(resources)]
    return Project(takes=takes, demands=demands, capacities=capacities, arcs=arcs)


def _network(chance: random.Random, jobs: int, complexity: float) -> list[tuple[int, int]]:
    last = jobs + 1
    arcs = {(0, job) for job in range(1, MOST_STARTS + 1)}
    arcs |= {(chance.randint(max(1, job - 12), job - 1), job) for job in range(MOST_STARTS + 1, last)}
    arcs |= {(job, last) for job in range(last - 3, last)}
    for job in range(1, last - 3):
        if not any(a == job for a, _ in arcs):
            arcs.add((job, chance.randint(job + 1, min(last - 1, job + 12))))
    for _ in range(3000):
        if len(arcs) >= complexity * (jobs + 2):
            break
        a = chance.randint(1, last - 2)
        b = chance.randint(a + 1, min(last - 1, a + 12))
        follows = (
            sum(x == a for x, _ in arcs) < MOST_FOLLOWERS and sum(y == b for _, y in arcs) < MOST_FOLLOWERS
        )
        if follows and not _reaches(arcs, a, b):
            arcs.add((a, b))
    return sorted(arcs)


def _reaches(arcs: set[tuple[int, int]], a: int, b: int) -> bool:
    """Whether b follows a already: such an arc would say nothing."""
    here, seen = [a], {a}
    while here:
        at = here.pop()
        for x, y in arcs:
            if x == at and y not in seen:
                seen.add(y)
                here.append(y)
    return b in seen


def _demands(chance: random.Random, jobs: int, resources: int, factor: float) -> list[list[int]]:
    demands = [[0] * resources for _ in range(jobs + 2)]
    cells = [(job, k) for job in range(1, jobs + 1) for k in range(resources)]
    first = [(job, chance.randrange(resources)) for job in range(1, jobs + 1)]
    left = [cell for cell in cells if cell not in first]
    chance.shuffle(left)
    wanted = round(factor * len(cells))
    for job, k in (first + left)[: max(jobs, wanted)]:
        demands[job][k] = chance.randint(1, 10)
    return demands


def _earliest(takes: list[int], arcs: list[tuple[int, int]]) -> list[int]:
    starts = [0] * len(takes)
    for b in range(len(takes)):
        starts[b] = max([0, *(starts[a] + takes[a] for a, other in arcs if other == b)])
    return starts


def _capacity(k: int, takes: list[int], demands: list[list[int]], starts: list[int], strength: float) -> int:
    least = max(row[k] for row in demands)
    jobs = range(len(takes))
    peak = max(
        sum(demands[j][k] for j in jobs if starts[j] <= t < starts[j] + takes[j])
        for t in range(max(starts) + 1)
    )
    return max(1, least + round(strength * max(0, peak - least)))


def shortest(project: Project, *, seconds: float = 60.0) -> int | None:
    """The least length by a plain model, None if it is not proved in time."""
    sat: Any = importlib.import_module("ortools.sat.python.cp_model_helper")

    proto = sat.CpModelProto()
    horizon = sum(project.takes)
    for _ in range(len(project.takes)):
        proto.variables.add().domain.extend([0, horizon])
    for a, b in project.arcs:
        row = proto.constraints.add().linear
        row.vars.extend([b, a])
        row.coeffs.extend([1, -1])
        row.domain.extend([project.takes[a], horizon])
    first = len(proto.constraints)
    for job, takes in enumerate(project.takes):
        interval = proto.constraints.add().interval
        for side, more in ((interval.start, 0), (interval.end, takes)):
            side.vars.append(job)
            side.coeffs.append(1)
            side.offset = more
        interval.size.offset = takes
    for k, capacity in enumerate(project.capacities):
        cumulative = proto.constraints.add().cumulative
        jobs = [job for job in project.jobs if project.demands[job][k]]
        cumulative.intervals.extend([first + job for job in jobs])
        for job in jobs:
            cumulative.demands.add().offset = project.demands[job][k]
        cumulative.capacity.offset = capacity
    proto.objective.vars.append(len(project.takes) - 1)
    proto.objective.coeffs.append(1)
    parameters = sat.SatParameters()
    parameters.num_workers = 2
    parameters.max_time_in_seconds = seconds
    wrapper = sat.SolveWrapper()
    wrapper.set_parameters(parameters)
    response = wrapper.solve(proto)
    return round(response.objective_value) if response.status == sat.CpSolverStatus.OPTIMAL else None
