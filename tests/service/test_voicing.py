"""The mouth and the ears with parts in memory that fail: each utterance gets its one answer all the same."""

from __future__ import annotations

from collections.abc import Callable
from queue import SimpleQueue
from threading import Event, Thread

import pytest

from kitchend.core.effects import CallKind
from kitchend.core.events import Event as DinnerEvent
from kitchend.errors import DeviceError, DeviceHeldError
from kitchend.hearing import Heard
from kitchend.hearing.capture import ArraySource
from kitchend.hearing.ports import Samples, Sayable, Source
from kitchend.service.devices import Streams
from kitchend.service.ears import FLOOD, EarsRun, HearingListener
from kitchend.service.memory import SimulatedClock
from kitchend.service.voicing import TRIED_WORD, MouthRun, SupervisedMouth
from kitchend.speaking.in_memory import BeepVoice, MemoryPlayer
from kitchend.speaking.mouth import SpeakingMouth
from kitchend.speaking.sound import Sound, silence
from tests.service.kitchen import START

SOON_S = 10.0
PHRASE = Heard(text="heard", accepted=True, reason="", started_s=0, ended_s=0, audio_s=1.0, took_s=0)


class Failing:
    """A voice that is well when tried, and then not."""

    def __init__(self, fails: Callable[[], Sound]) -> None:
        self._fails = fails

    def render(self, text: str) -> Sound:
        return BeepVoice().render(text) if text == TRIED_WORD else self._fails()


def crash() -> Sound:
    raise ZeroDivisionError("oops")


def streams() -> Streams:
    return Streams(restart=lambda: None)


@pytest.mark.parametrize(
    ("fails", "why"),
    [(crash, "ZeroDivisionError: oops"), (lambda: silence(600.0, 8000), "it talks without end")],
    ids=["crashes", "floods"],
)
def test_a_voice_that_fails_ends_its_run_and_answers(fails: Callable[[], Sound], why: str) -> None:
    mouth, answers = SupervisedMouth(), SimpleQueue[bool]()
    player = MemoryPlayer()
    run = MouthRun(mouth, lambda: Failing(fails), player, lambda: None, streams())
    asked: list[bool] = []

    def alive() -> None:
        if not asked:
            asked.append(True)
            mouth.say("Greens up.", CallKind.UP, answers.put)

    with pytest.raises(DeviceError, match=why):
        run.work(alive)
    assert answers.get(timeout=SOON_S) is False
    assert answers.empty()
    assert len(player.played) == 2, "the try-out, and the chime in place of the words"


def test_without_a_mouth_an_utterance_is_over_at_once() -> None:
    answers: list[bool] = []
    SupervisedMouth().say("Greens up.", CallKind.UP, answers.append)
    assert answers == [False]


class FloodingEars:
    """Hears a phrase in every piece of sound."""

    way_db: float | None = None

    def __init__(self) -> None:
        self.is_closed = False

    def listen_for(self, sayable: Sayable) -> None:
        return

    def deaf(self, is_deaf: bool) -> None:
        return

    def listen(self, source: Source, on_heard: Callable[[Heard], None], on_block: Callable[[], None]) -> None:
        for _ in source.blocks():
            on_block()
            on_heard(PHRASE)

    def close(self) -> None:
        self.is_closed = True


@pytest.mark.parametrize(("pieces", "floods"), [(FLOOD, False), (FLOOD + 1, True)], ids=["talks", "floods"])
def test_ears_that_hear_without_end_are_given_up(
    quiet: Callable[[int], Samples], pieces: int, floods: bool
) -> None:
    ears = FloodingEars()
    run = EarsRun(HearingListener(), lambda: ears, ArraySource(quiet(pieces)), lambda: None, streams())
    if floods:
        with pytest.raises(DeviceError, match="it hears without end"):
            run.work(lambda: None)
    else:
        run.work(lambda: None)
    assert ears.is_closed is floods


@pytest.fixture
def quiet() -> Callable[[int], Samples]:
    """So many pieces of silence."""
    return lambda pieces: silence(pieces * 512 / 16_000, 16_000).samples


def test_whoever_has_a_stream_open_is_asked_to_let_go_before_devices_are_listed_anew() -> None:
    steps: list[str] = []
    own = Streams(restart=lambda: steps.append("restart"))
    is_open, is_asked = Event(), Event()

    def let_go() -> None:
        steps.append("let go")
        is_asked.set()

    def hold() -> None:
        with own.held(let_go):
            is_open.set()
            is_asked.wait(SOON_S)

    holder = Thread(target=hold)
    holder.start()
    assert is_open.wait(SOON_S)
    assert own.look_again()
    holder.join()
    assert steps == ["let go", "restart"]


def test_who_looks_for_a_device_while_they_are_listed_anew_sees_the_new_list(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    there: list[str] = []
    own = Streams(restart=lambda: there.append("speaker"))
    monkeypatch.setattr("kitchend.service.devices.check_device", lambda device, kind: first_of(there))
    is_open, is_asked, may_end = Event(), Event(), Event()

    def hold() -> None:
        with own.held(is_asked.set):
            is_open.set()
            may_end.wait(SOON_S)

    found: SimpleQueue[str] = SimpleQueue()
    holder = Thread(target=hold)
    one, other = (Thread(target=lambda: found.put(own.find(None, kind="output"))) for _ in range(2))
    holder.start()
    assert is_open.wait(SOON_S)
    one.start()
    assert is_asked.wait(SOON_S)
    other.start()
    # Nothing tells from outside that it waits; one that does not wait is over by then.
    other.join(timeout=0.2)
    may_end.set()
    for thread in (holder, one, other):
        thread.join(SOON_S)
    assert [found.get(timeout=SOON_S), found.get(timeout=SOON_S)] == ["speaker", "speaker"]


def first_of(there: list[str]) -> str:
    if not there:
        raise GONE
    return there[0]


GONE = DeviceError("loudspeaker", "there is none", "plug one in")
HELD = DeviceHeldError("loudspeaker", "another program holds it", "close that program")


@pytest.mark.parametrize(("error", "listed"), [(GONE, 1), (HELD, 0)], ids=["gone", "held"])
def test_only_for_a_device_that_may_be_gone_are_devices_listed_anew(
    monkeypatch: pytest.MonkeyPatch, error: DeviceError, listed: int
) -> None:
    steps: list[str] = []
    own = Streams(restart=lambda: steps.append("restart"))
    monkeypatch.setattr("kitchend.service.devices.check_device", lambda device, kind: "speaker")
    own.doubt("output", error)
    assert own.find(None, kind="output") == "speaker"
    assert len(steps) == listed


class QuietEars:
    """Ears that remember what they were told."""

    way_db: float | None = None

    def __init__(self) -> None:
        self.is_closed = self.is_deaf = False

    def listen_for(self, sayable: Sayable) -> None:
        return

    def deaf(self, is_deaf: bool) -> None:
        self.is_deaf = is_deaf

    def listen(self, source: Source, on_heard: Callable[[Heard], None], on_block: Callable[[], None]) -> None:
        on_heard(PHRASE)

    def close(self) -> None:
        self.is_closed = True


def listening(events: list[DinnerEvent]) -> HearingListener:
    listener = HearingListener()
    listener.start(SimulatedClock(START.wall), events.append)
    return listener


def test_ears_given_up_as_hanging_that_end_late_leave_the_new_ones_in_use() -> None:
    events: list[DinnerEvent] = []
    listener, old, new = listening(events), QuietEars(), QuietEars()
    listener.use(old)
    listener.use(new)
    listener.heard(PHRASE, old)
    assert events == [], "what both heard would be taken twice"
    listener.release(old, are_well=True)
    assert old.is_closed
    assert not new.is_closed
    listener.deaf(True)
    assert new.is_deaf, "it would hear its own voice"
    listener.heard(PHRASE, new)
    assert len(events) == 1


def test_ears_that_are_well_are_kept_for_the_next_run_and_closed_if_others_take_their_place() -> None:
    listener, first, other = listening([]), QuietEars(), QuietEars()
    listener.use(first)
    listener.release(first, are_well=True)
    assert listener.take(QuietEars) is first
    listener.use(first)
    listener.release(first, are_well=True)
    listener.use(other)
    assert first.is_closed
    listener.release(other, are_well=False)
    assert other.is_closed


def test_a_mouth_given_up_as_hanging_that_ends_late_leaves_the_new_one_in_use() -> None:
    mouth, answers = SupervisedMouth(), SimpleQueue[bool]()
    old = SpeakingMouth(BeepVoice(), MemoryPlayer(), on_trouble=lambda _: None)
    new = SpeakingMouth(BeepVoice(), MemoryPlayer(), on_trouble=lambda _: None)
    mouth.use(old)
    mouth.use(new)
    mouth.release(old)
    mouth.say("Greens up.", CallKind.UP, answers.put)
    assert answers.get(timeout=SOON_S) is True
    mouth.release(new)
    mouth.say("Greens up.", CallKind.UP, answers.put)
    assert answers.get(timeout=SOON_S) is False
    old.abandon()
    new.abandon()
