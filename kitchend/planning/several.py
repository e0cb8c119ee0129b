"""Dinners in which several things collide that have nothing to do with each other.

Then no single change helps. The collisions are found one after the other, each without the wants of those
before it, and one change for each of them is tried together with the others: what is offered was proved.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice, product

from kitchend.core.clock import WallTime
from kitchend.core.wording import clause
from kitchend.planning.changes import Change, changes_of_wants, later
from kitchend.planning.collisions import Judge, Of, Want, collision_of, only, wants_of
from kitchend.planning.problem import Problem

_MOST = 6
"""So many collisions are told at once; who mends these asks again."""
_TRIED = 12
"""So many ways to mend all of them are tried, beginning with the cheapest ..."""
_OFFERED = 5
"""... and so many are offered."""

Collision = tuple[Want, ...]


def collisions_of(problem: Problem, first: Collision, judge: Judge) -> tuple[Collision, ...]:
    """The first, and those that are left when it is mended; no want is of two of them. What is late is told
    first.
    """
    found = [first] if first else []
    while found and len(found) < _MOST:
        more = collision_of(_without(problem, found), judge)
        if not more:
            break
        found.append(more)
    return tuple(sorted(found, key=lambda collision: Want(Of.PASS) not in collision))


def changes_together(
    problem: Problem, collisions: Sequence[Collision], judge: Judge, origin: WallTime
) -> tuple[str, ...]:
    """Changes, one for each collision, that together make the whole dinner work; the cheapest first."""
    choices = []
    for own in collisions:
        others = [other for other in collisions if other != own]
        choices.append(_choices(_without(problem, others), own, judge))
    places = product(*(range(len(some)) for some in choices))
    cheapest = sorted(places, key=sum)[:_TRIED]
    ways = ([some[at] for some, at in zip(choices, way, strict=True)] for way in cheapest)
    proved = (words for way in ways for words in _proved(problem, way, judge, origin))
    return tuple(islice(proved, _OFFERED))


def _without(problem: Problem, collisions: Sequence[Collision]) -> Problem:
    """The problem without anything that these want."""
    gone = {want for collision in collisions for want in collision}
    return only(problem, [want for want in wants_of(problem) if want not in gone])


def _choices(problem: Problem, own: Collision, judge: Judge) -> list[Change | None]:
    """What mends this collision where the others are mended; None for a later pass."""
    later_pass: list[Change | None] = [None] if Want(Of.PASS) in own else []
    return [*later_pass, *changes_of_wants(problem, own, judge)]


def _proved(
    problem: Problem, combined: Sequence[Change | None], judge: Judge, origin: WallTime
) -> Iterator[str]:
    """These in words, if the whole dinner can be had with them; the pass is as late as they leave it."""
    changes = list({change.words: change for change in combined if change is not None}.values())
    for change in changes:
        problem = change.made(problem)
    if None in combined:
        moved = list(later(problem, judge, origin))
        is_proved, changes = bool(moved), [*moved, *changes]
    else:
        is_proved = judge.can_be(problem) is True
    if is_proved:
        yield clause("help.and").join(change.words for change in changes)
