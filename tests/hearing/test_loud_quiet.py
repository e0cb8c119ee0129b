"""Half a "quiet" over kitchend's own voice: it counts where it is shouted, and nowhere else."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from kitchend.core.commands import AskNext, Quiet
from kitchend.hearing.barge_in import Powers
from kitchend.hearing.loud_quiet import or_loud_quiet
from kitchend.hearing.ports import Heard

SHOUTED = [Powers(1.0, 9.0, 8.0)] * 5 + [Powers(1.0, 1.0, 0.01)] * 20
AT_EQUAL_LOUDNESS = [Powers(1.0, 2.0, 1.0)] * 5 + [Powers(1.0, 1.0, 0.01)] * 20
NOT_TAKEN_OUT = [Powers(1.0, 1.0, 2.0)] * 25
BESIDE = [None] * 25


@dataclass
class Book:
    """A grammar of two commands."""

    def jsgf(self) -> str:
        return ""

    def candidates(self) -> tuple[str, ...]:
        return ("be quiet", "what's next")

    def words(self) -> frozenset[str]:
        return frozenset()

    def phrases(self) -> tuple[str, ...]:
        return ()

    def accepts(self, text: str) -> bool:
        return True

    def meaning(self, text: str) -> object:
        return Quiet() if "quiet" in text else AskNext()


def heard(text: str, *, accepted: bool = False) -> Heard:
    return Heard(
        text=text,
        accepted=accepted,
        reason="explained better as free talk",
        started_s=0,
        ended_s=1,
        audio_s=1,
        took_s=0,
    )


def test_a_shouted_half_quiet_counts_in_doubt() -> None:
    taken = or_loud_quiet(heard("quiet"), SHOUTED, Book())
    assert (taken.text, taken.accepted, taken.doubts) == ("quiet", True, ("what's next",))


@pytest.mark.parametrize(
    ("text", "lasted"),
    [
        ("quiet", AT_EQUAL_LOUDNESS),
        ("quiet", NOT_TAKEN_OUT),
        ("quiet", BESIDE),
        ("what's next", SHOUTED),
    ],
    ids=["not shouted", "kitchend's own voice", "kitchend is silent", "another command"],
)
def test_nothing_else_counts(text: str, lasted: list[Powers | None]) -> None:
    was = heard(text)
    assert or_loud_quiet(was, lasted, Book()) is was


def test_what_was_accepted_stays_as_it_is() -> None:
    was = heard("quiet", accepted=True)
    assert or_loud_quiet(was, SHOUTED, Book()) is was
    assert or_loud_quiet(heard("quiet"), SHOUTED, None).accepted is False
