"""Following a stream: when the second ear starts, what is thrown away, and when the grammar changes."""

from collections.abc import Callable
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from threading import Event
from typing import Any

import numpy as np

from kitchend.hearing.detect import CHUNK, CHUNK_S, Detector, Habits
from kitchend.hearing.follower import Follower
from kitchend.hearing.memory import KnowingFirstEar, KnowingSecondEar
from kitchend.hearing.ports import Heard, IsWanted, Judgement, Samples, Sayable, always
from tests.hearing.menu import JsgfSayable, dinner

HABITS = Habits()
LOUD, SILENT = np.ones(CHUNK, np.float32), np.zeros(CHUNK, np.float32)
PAUSE = round(HABITS.pause_s / CHUNK_S)
END, SOON = round(HABITS.end_s / CHUNK_S), round(HABITS.end_when_complete_s / CHUNK_S)
SAID = "hold the greens"


@dataclass
class CountingSecondEar:
    """An in-memory second ear that remembers how long each phrase was, and what was proposed."""

    ear: KnowingSecondEar
    chunks: list[int] = field(default_factory=list)
    proposals: list[tuple[str, ...]] = field(default_factory=list)
    wanted: list[IsWanted] = field(default_factory=list)

    def judge(
        self, phrase: Samples, sayable: Sayable, proposed: tuple[str, ...], is_wanted: IsWanted = always
    ) -> Judgement:
        self.wanted.append(is_wanted)
        self.chunks.append(len(phrase) // CHUNK)
        self.proposals.append(proposed)
        return self.ear.judge(phrase, sayable, proposed)


class Slow(Executor):
    """Does the work when it is let."""

    def __init__(self) -> None:
        self.left: list[Callable[[], None]] = []

    def submit(self, fn: Any, /, *args: Any, **kwargs: Any) -> Future[Any]:
        done: Future[Any] = Future()
        done.set_running_or_notify_cancel()
        self.left.append(lambda: done.set_result(fn(*args, **kwargs)))
        return done


def follower(first: str, second: CountingSecondEar | None, worker: Executor | None = None) -> Follower:
    made = Follower(
        detector=Detector(lambda chunk: float(chunk[0])),
        first=KnowingFirstEar([first] * 5) if first else None,
        second=second,
        seconds=lambda: 0.0,
        worker=worker,
    )
    made.listen_for(dinner())
    return made


def counting(text: str = SAID) -> CountingSecondEar:
    return CountingSecondEar(KnowingSecondEar(text))


def hear(made: Follower, loud: list[int]) -> list[Heard]:
    found = (made.hear(LOUD if is_loud else SILENT) for is_loud in loud)
    return [heard for heard in found if heard is not None]


def test_the_second_ear_starts_at_the_pause_and_is_not_asked_again_at_the_end() -> None:
    second = counting()
    heard = hear(follower("", second), [1] * 30 + [0] * END)
    assert [phrase.text for phrase in heard] == [SAID]
    assert second.chunks == [30 + PAUSE]


def test_work_begun_at_a_pause_is_thrown_away_when_the_speaker_goes_on() -> None:
    second = counting()
    heard = hear(follower("", second), [1] * 30 + [0] * (PAUSE + 1) + [1] * 10 + [0] * END)
    assert len(heard) == 1
    assert second.chunks == [30 + PAUSE, 30 + PAUSE + 1 + 10 + PAUSE]


def test_the_second_ear_is_told_that_the_speaker_went_on() -> None:
    second = counting()
    made = follower("", second)
    hear(made, [1] * 30 + [0] * PAUSE)
    assert [is_wanted() for is_wanted in second.wanted] == [True]
    hear(made, [0] + [1] * 10 + [0] * PAUSE)
    assert [is_wanted() for is_wanted in second.wanted] == [False, True]


def test_a_first_ear_that_waits_out_a_pause_misses_nothing_when_the_speaker_goes_on() -> None:
    tape: list[float] = []

    class Taping(KnowingFirstEar):
        def feed(self, samples: Samples) -> str:
            tape.extend(samples)
            return super().feed(samples)

    first = Taping([SAID])
    made = follower("", counting())
    made._first = first
    made.listen_for(dinner())
    pause = round(HABITS.pause_when_complete_s / CHUNK_S)
    said = [1] * 30 + [0] * (pause + 3) + [1] * 10
    hear(made, said)
    whole = [float(loud) for loud in said for _ in range(CHUNK)]
    assert tape == whole
    hear(made, [0] * END)
    assert len(tape) < len(whole) + END * CHUNK, "it was fed the pause while the second ear worked"


def test_what_the_first_ear_has_heard_so_far_is_proposed_to_the_second() -> None:
    second = counting()
    hear(follower(SAID, second), [1] * 30 + [0] * END)
    assert second.proposals == [(SAID,)]


def test_a_whole_command_ends_the_phrase_sooner_than_silence_does() -> None:
    assert len(hear(follower(SAID, None), [1] * 30 + [0] * SOON)) == 1
    assert len(hear(follower("", counting()), [1] * 30 + [0] * SOON)) == 1
    assert hear(follower("", counting("what a day it was")), [1] * 30 + [0] * SOON) == []


def test_a_second_ear_that_is_not_done_ends_nothing_sooner() -> None:
    slow = Slow()
    made = follower("", counting(), slow)
    assert hear(made, [1] * 30 + [0] * (END - 1)) == []
    (work,) = slow.left
    work()
    assert [heard.text for heard in hear(made, [0])] == [SAID]


def test_a_phrase_in_progress_is_judged_by_the_grammar_it_began_under() -> None:
    made = follower(SAID, None)
    other = JsgfSayable(text="#JSGF V1.0; grammar g; public <command> = fine;", likely=("fine",))
    hear(made, [1] * 30)
    made.listen_for(other)
    assert [heard.accepted for heard in hear(made, [0] * END)] == [True]
    assert [heard.accepted for heard in hear(made, [1] * 30 + [0] * END)] == [False]


def test_an_abandoned_phrase_gives_nothing_and_the_next_is_whole() -> None:
    made = follower(SAID, counting())
    hear(made, [1] * 30)
    during = made.in_phrase
    made.abandon()
    assert (during, made.in_phrase) == (True, False)
    assert hear(made, [0] * END) == []
    assert [heard.text for heard in hear(made, [1] * 30 + [0] * END)] == [SAID]


def test_times_count_the_stream_from_its_start() -> None:
    (heard,) = hear(follower(SAID, None), [0] * 100 + [1] * 30 + [0] * END)
    before = round((HABITS.pre_roll_s + HABITS.onset_s) / CHUNK_S) - round(HABITS.onset_s / CHUNK_S)
    assert round(heard.started_s / CHUNK_S) == 100 - before
    assert round(heard.ended_s / CHUNK_S) == 130


def test_what_is_heard_so_far_is_told_while_it_is_said_and_that_it_ended() -> None:
    told: list[str] = []
    made = Follower(
        detector=Detector(lambda chunk: float(chunk[0])),
        first=KnowingFirstEar([SAID]),
        second=None,
        seconds=lambda: 0.0,
        on_partial=told.append,
    )
    made.listen_for(dinner())
    hear(made, [1] * 30)
    assert told[-1] == SAID
    hear(made, [0] * END)
    assert told[-1] == ""


def test_the_second_ear_makes_a_grammar_ready_before_anybody_speaks_but_none_that_was_replaced() -> None:
    class Preparing(CountingSecondEar):
        def prepare(self, sayable: Sayable) -> None:
            made_ready.append(sayable)

    made_ready: list[Sayable] = []
    busy = ThreadPoolExecutor(max_workers=1)
    let_go = Event()
    busy.submit(let_go.wait)
    made = follower("", Preparing(KnowingSecondEar(SAID)), busy)
    last = dinner()
    made.listen_for(dinner())
    made.listen_for(last)
    let_go.set()
    busy.shutdown(wait=True)
    assert made_ready == [last]
    assert made_ready[0] is last
