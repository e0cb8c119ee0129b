"""The critical path method on a graph of activities: earliest and latest starts, float, what is critical.

Pure arithmetic on numbers; no kitchen word and no solver may enter. Links carry a lag from start to start, so
that one kind of link says "after its end", "when the hands are free" and "when a place is free" alike.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from graphlib import TopologicalSorter
from typing import Generic, TypeVar

Key = TypeVar("Key", bound=Hashable)


@dataclass(frozen=True, slots=True)
class Link(Generic[Key]):
    """`later` starts no sooner than `lag` after the start of `earlier`."""

    earlier: Key
    later: Key
    lag: int


@dataclass(frozen=True, slots=True)
class Paths(Generic[Key]):
    """Earliest and latest start of every activity, and the length of the whole."""

    earliest: Mapping[Key, int]
    latest: Mapping[Key, int]
    length: int
    floats: Mapping[Key, int] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "floats", {key: self.latest[key] - at for key, at in self.earliest.items()})

    @property
    def critical(self) -> tuple[Key, ...]:
        """Activities with the least float, in the order of their earliest starts."""
        least = min(self.floats.values(), default=0)
        return tuple(
            sorted((k for k, f in self.floats.items() if f == least), key=lambda k: self.earliest[k])
        )


def paths(
    durations: Mapping[Key, int],
    links: Sequence[Link[Key]],
    *,
    release: Mapping[Key, int] | None = None,
    deadline: int | None = None,
) -> Paths[Key]:
    """Both passes of the method. Without a deadline the end is as early as it can be.

    `release` holds starts that are no sooner than given (0 for the others). Raises graphlib.CycleError
    for a circle.
    """
    sorter: TopologicalSorter[Key] = TopologicalSorter(dict.fromkeys(durations, ()))
    for link in links:
        sorter.add(link.later, link.earlier)
    order = tuple(sorter.static_order())
    earliest = {key: (release or {}).get(key, 0) for key in durations}
    into, out = _by(links, of_later=True), _by(links, of_later=False)
    for key in order:
        earliest[key] = max(
            [earliest[key], *(earliest[link.earlier] + link.lag for link in into.get(key, ()))]
        )
    length = max((earliest[key] + durations[key] for key in order), default=0)
    end = length if deadline is None else deadline
    latest: dict[Key, int] = {}
    for key in reversed(order):
        latest[key] = min(
            [end - durations[key], *(latest[link.later] - link.lag for link in out.get(key, ()))]
        )
    return Paths(earliest, latest, length)


def _by(links: Sequence[Link[Key]], *, of_later: bool) -> dict[Key, list[Link[Key]]]:
    sorted_links: dict[Key, list[Link[Key]]] = {}
    for link in links:
        sorted_links.setdefault(link.later if of_later else link.earlier, []).append(link)
    return sorted_links
