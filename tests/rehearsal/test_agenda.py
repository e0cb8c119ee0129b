"""The agenda: what is to be said comes in the order of time, what is urgent before all of it."""

from __future__ import annotations

import pytest

from kitchend.core.clock import Instant
from kitchend.rehearsal.agenda import Agenda, Make, Scene
from kitchend.rehearsal.wishes import Wish, asks


def saying(words: str) -> Make:
    def make(scene: Scene) -> Wish:
        return asks((words,))

    return make


def order_of(agenda: Agenda, makes: dict[str, Make]) -> list[str]:
    names = {id(make): name for name, make in makes.items()}
    taken = []
    while agenda.next_due() is not None:
        taken.append(names[id(agenda.take().make)])
    return taken


def test_errands_come_by_time_and_together_in_the_order_they_were_added() -> None:
    makes = {name: saying(name) for name in ("late", "first", "second", "early")}
    agenda = Agenda()
    for name, due in (("late", 30.0), ("first", 20.0), ("second", 20.0), ("early", 10.0)):
        agenda.add(Instant(due), makes[name])

    assert agenda.next_due() == Instant(10.0)
    assert order_of(agenda, makes) == ["early", "first", "second", "late"]


@pytest.mark.parametrize("now", [0.0, 5.0, 50.0])
def test_what_is_urgent_comes_before_what_is_overdue(now: float) -> None:
    makes = {name: saying(name) for name in ("overdue", "urgent")}
    agenda = Agenda()
    agenda.add(Instant(5.0), makes["overdue"])

    agenda.add_before_all(Instant(now), makes["urgent"])

    assert order_of(agenda, makes) == ["urgent", "overdue"]


def test_a_key_is_in_hand_until_its_errand_is_taken() -> None:
    agenda = Agenda()
    agenda.add(Instant(1.0), saying("this"), key=("step", "called"))

    assert agenda.has(("step", "called"))
    assert not agenda.has(("step", "up"))
    agenda.take()
    assert not agenda.has(("step", "called"))


def test_an_empty_agenda_has_nothing_to_take() -> None:
    with pytest.raises(IndexError):
        Agenda().take()
