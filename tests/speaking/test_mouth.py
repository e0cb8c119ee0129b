"""What every mouth promises, asked of the one in memory and of the real one, and what the real one adds."""

import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
import pytest

from kitchend.errors import DeviceError
from kitchend.speaking.chimes import RATE, chime
from kitchend.speaking.in_memory import BeepVoice, MemoryMouth, MemoryPlayer, Said
from kitchend.speaking.mouth import CHIME_GAP_S, RememberingVoice, SpeakingMouth, by_manner, with_chime
from kitchend.speaking.ports import PLAIN, Manner, Mouth
from kitchend.speaking.sound import Sound

PATIENCE_S = 20


@dataclass
class Diary:
    """What a mouth reports, in order: ("starts", words) and ("ends", words, ok)."""

    lines: list[tuple[object, ...]] = field(default_factory=list)
    changed: threading.Condition = field(default_factory=threading.Condition)

    def note(self, *line: object) -> None:
        with self.changed:
            self.lines.append(line)
            self.changed.notify_all()

    def say(self, mouth: Mouth, text: str, kind: str | None = None) -> None:
        mouth.say(
            text,
            kind,
            on_started=lambda _in_s: self.note("starts", text),
            on_done=lambda ok: self.note("ends", text, ok),
        )

    def wait_for(self, *line: object) -> None:
        with self.changed:
            assert self.changed.wait_for(lambda: line in self.lines, PATIENCE_S), (
                f"never {line}: {self.lines}"
            )


class Scene(Protocol):
    """A mouth that goes on speaking until it is told to `finish`."""

    mouth: Mouth

    def finish(self) -> None: ...


class InMemory:
    def __init__(self) -> None:
        self.mouth = MemoryMouth(holds=True)

    def finish(self) -> None:
        self.mouth.finish()


class HeldPlayer:
    """A player that plays until it is released; real threads, no loudspeaker."""

    def __init__(self) -> None:
        self._released = threading.Semaphore(0)
        self._inner = MemoryPlayer()

    def play(self, sound: Sound, on_started: object = None) -> None:
        if len(sound.samples):
            if callable(on_started):
                on_started(0.0)
            self._released.acquire(timeout=PATIENCE_S)
        self._inner.play(sound)

    def stop(self) -> None:
        self._released.release()

    def finish(self) -> None:
        self._released.release()


class Threaded:
    def __init__(self) -> None:
        self._player = HeldPlayer()
        self.mouth = SpeakingMouth(BeepVoice(), self._player)

    def finish(self) -> None:
        self._player.finish()


@pytest.fixture(params=[InMemory, Threaded], ids=["memory", "speaking"])
def scene(request: pytest.FixtureRequest) -> Iterator[Scene]:
    scene: Scene = request.param()
    yield scene
    scene.mouth.close()


def test_what_is_said_starts_and_then_ends_as_heard(scene: Scene) -> None:
    diary = Diary()
    diary.say(scene.mouth, "loaf in", "now")
    diary.wait_for("starts", "loaf in")
    scene.finish()
    diary.wait_for("ends", "loaf in", True)
    assert diary.lines == [("starts", "loaf in"), ("ends", "loaf in", True)]


def test_the_second_call_waits_for_the_first(scene: Scene) -> None:
    diary = Diary()
    diary.say(scene.mouth, "loaf in", "now")
    diary.say(scene.mouth, "beans up", "up")
    diary.wait_for("starts", "loaf in")
    assert diary.lines == [("starts", "loaf in")]
    scene.finish()
    diary.wait_for("starts", "beans up")
    scene.finish()
    diary.wait_for("ends", "beans up", True)
    assert diary.lines == [
        ("starts", "loaf in"),
        ("ends", "loaf in", True),
        ("starts", "beans up"),
        ("ends", "beans up", True),
    ]


def test_stop_ends_what_is_said_and_forgets_what_waits(scene: Scene) -> None:
    diary = Diary()
    for words in ("loaf in", "beans up", "stir"):
        diary.say(scene.mouth, words)
    diary.wait_for("starts", "loaf in")
    scene.mouth.stop()
    diary.wait_for("ends", "stir", False)
    assert diary.lines == [
        ("starts", "loaf in"),
        ("ends", "loaf in", False),
        ("ends", "beans up", False),
        ("ends", "stir", False),
    ]


def test_after_a_stop_the_next_thing_is_said(scene: Scene) -> None:
    diary = Diary()
    diary.say(scene.mouth, "loaf in")
    diary.wait_for("starts", "loaf in")
    scene.mouth.stop()
    diary.wait_for("ends", "loaf in", False)
    diary.say(scene.mouth, "beans up")
    diary.wait_for("starts", "beans up")
    scene.finish()
    diary.wait_for("ends", "beans up", True)


def test_what_is_asked_for_while_ending_is_said_next(scene: Scene) -> None:
    diary = Diary()
    scene.mouth.say("loaf in", on_done=lambda _ok: diary.say(scene.mouth, "beans up"))
    scene.finish()
    diary.wait_for("starts", "beans up")
    scene.finish()
    diary.wait_for("ends", "beans up", True)


def test_a_closed_mouth_says_nothing_and_answers_so(scene: Scene) -> None:
    diary = Diary()
    scene.mouth.close()
    diary.say(scene.mouth, "loaf in")
    assert diary.lines == [("ends", "loaf in", False)]


def test_closing_ends_what_is_said_and_what_waits(scene: Scene) -> None:
    diary = Diary()
    diary.say(scene.mouth, "loaf in")
    diary.say(scene.mouth, "beans up")
    diary.wait_for("starts", "loaf in")
    scene.mouth.close()
    assert diary.lines[1:] == [("ends", "loaf in", False), ("ends", "beans up", False)]


def test_text_without_words_ends_as_heard_without_starting(scene: Scene) -> None:
    diary = Diary()
    diary.say(scene.mouth, " ")
    scene.finish()
    diary.wait_for("ends", " ", True)
    assert diary.lines == [("ends", " ", True)]


def test_nobody_needs_to_be_told(scene: Scene) -> None:
    diary = Diary()
    scene.mouth.say("loaf in")
    diary.say(scene.mouth, "beans up")
    scene.finish()
    diary.wait_for("starts", "beans up")


def test_the_mouth_in_memory_keeps_what_was_said_and_when() -> None:
    moments = iter([10.0, 12.5])
    mouth = MemoryMouth(now=lambda: next(moments))
    mouth.say("loaf in", "now")
    mouth.say("four minutes")
    assert mouth.said == [
        Said(text="loaf in", kind="now", at=10.0),
        Said(text="four minutes", kind=None, at=12.5),
    ]


class Listening:
    """A real mouth with a voice and a player in memory, and a way to wait for it."""

    def __init__(self) -> None:
        self.voice = BeepVoice()
        self.player = MemoryPlayer()
        self.troubles: list[DeviceError] = []
        self.mouth = SpeakingMouth(self.voice, self.player, on_trouble=self.troubles.append, kept=2)

    def said(self, text: str, kind: str | None = None) -> bool:
        ended, result = threading.Event(), [False]

        def end(ok: bool) -> None:
            result[0] = ok
            ended.set()

        self.mouth.say(text, kind, on_done=end)
        assert ended.wait(PATIENCE_S)
        return result[0]


@pytest.fixture
def listening() -> Iterator[Listening]:
    setting = Listening()
    with setting.mouth:
        yield setting


@pytest.mark.parametrize("kind", ["now", "up", "soon", "careful"])
def test_a_call_begins_with_the_chime_of_its_kind(listening: Listening, kind: str) -> None:
    assert listening.said("loaf in", kind)
    sound, signal = listening.player.played[0].sound, chime(kind)
    assert signal is not None
    assert np.array_equal(sound.samples[: len(signal.samples)], signal.samples)
    words_s = BeepVoice().render("loaf in").duration_s
    assert sound.duration_s == pytest.approx(signal.duration_s + CHIME_GAP_S + words_s, abs=0.001)


@pytest.mark.parametrize("kind", ["reply", None, "unheard of"])
def test_what_has_no_chime_is_the_words_alone(listening: Listening, kind: str | None) -> None:
    assert listening.said("four minutes", kind)
    words = BeepVoice().render("four minutes").resampled(RATE)
    assert listening.player.played[0].sound.samples == pytest.approx(words.samples, abs=1e-4)


def test_a_sentence_said_lately_is_not_rendered_again(listening: Listening) -> None:
    for text in ("one", "two", "one", "three", "one", "two"):
        assert listening.said(text)
    # Two are kept: "two" made room for "three", because "one" had been said since.
    assert listening.voice.rendered == ["one", "two", "three", "two"]


def test_a_loudspeaker_that_fails_is_reported_and_tried_again(listening: Listening) -> None:
    listening.player.breaks = True
    assert not listening.said("loaf in")
    listening.player.breaks = False
    assert listening.said("loaf in")
    assert [trouble.device for trouble in listening.troubles] == ["loudspeaker"]


class HoarseVoice:
    """Fails at the word "hoarse" as a missing engine does, and at "bug" as a mistake of ours would."""

    def render(self, text: str) -> Sound:
        if text == "hoarse":
            raise DeviceError("voice", "it is gone", "have some tea")
        if text == "bug":
            raise ZeroDivisionError
        return BeepVoice().render(text)


def test_a_voice_that_fails_is_reported_and_the_next_call_is_said() -> None:
    diary, troubles = Diary(), list[DeviceError]()
    with SpeakingMouth(HoarseVoice(), MemoryPlayer(), on_trouble=troubles.append) as mouth:
        diary.say(mouth, "hoarse")
        diary.say(mouth, "loaf in")
        diary.wait_for("ends", "loaf in", True)
    assert diary.lines[0] == ("ends", "hoarse", False)
    assert [str(trouble) for trouble in troubles] == ["voice: it is gone; have some tea"]


def test_a_bug_in_a_voice_does_not_leave_the_kitchen_without_calls(monkeypatch: pytest.MonkeyPatch) -> None:
    diary, bugs, is_told = Diary(), list[type[BaseException]](), threading.Event()

    def told(bug: threading.ExceptHookArgs) -> None:
        bugs.append(bug.exc_type)
        is_told.set()

    monkeypatch.setattr(threading, "excepthook", told)
    with SpeakingMouth(HoarseVoice(), MemoryPlayer()) as mouth:
        diary.say(mouth, "bug")
        diary.say(mouth, "loaf in")
        diary.wait_for("ends", "loaf in", True)
    assert diary.lines[0] == ("ends", "bug", False)
    assert is_told.wait(PATIENCE_S)
    assert bugs == [ZeroDivisionError]


class SlowToStart:
    """A player that is asked to stop just before it starts, which is the moment a stop could be lost."""

    def __init__(self) -> None:
        self.mouth: SpeakingMouth | None = None
        self.player = MemoryPlayer(pace=1.0)

    def play(self, sound: Sound, on_started: object = None) -> None:
        assert self.mouth is not None
        self.mouth.stop()
        assert callable(on_started)
        self.player.play(sound, on_started)

    def stop(self) -> None:
        self.player.stop()


def test_a_stop_just_before_the_start_is_not_lost() -> None:
    diary, player = Diary(), SlowToStart()
    with SpeakingMouth(BeepVoice(s_per_word=30), player) as mouth:
        player.mouth = mouth
        diary.say(mouth, "a very long story")
        diary.wait_for("ends", "a very long story", False)
    assert [played.is_cut for played in player.player.played] == [True]
    assert diary.lines == [("ends", "a very long story", False)]


def test_a_remembering_voice_gives_the_very_same_sound() -> None:
    beeps = BeepVoice()
    voice = RememberingVoice(beeps)
    assert np.array_equal(voice.render("loaf in").samples, voice.render("loaf in").samples)
    assert voice.render("loaf in").rate == RATE
    assert beeps.rendered == ["loaf in"]


def test_chime_and_words_are_joined_with_a_breath_between() -> None:
    words = BeepVoice().render("loaf in")
    assert with_chime(words, None) is words
    both = with_chime(words, "now")
    signal = chime("now")
    assert signal is not None
    gap = both.samples[len(signal.samples) : len(signal.samples) + round(CHIME_GAP_S * both.rate)]
    assert np.max(np.abs(gap)) == 0.0


def test_sentences_made_ready_are_not_made_again_when_they_are_due() -> None:
    voice = BeepVoice()
    diary = Diary()
    with SpeakingMouth(voice, MemoryPlayer()) as mouth:
        mouth.prepare(["beans up", "loaf in"])
        _wait_until(lambda: voice.rendered == ["beans up", "loaf in"])
        diary.say(mouth, "loaf in", "now")
        diary.wait_for("ends", "loaf in", True)
    assert voice.rendered == ["beans up", "loaf in"]


def test_what_is_due_comes_before_what_is_made_ready() -> None:
    voice = SlowVoice()
    diary = Diary()
    with SpeakingMouth(voice, MemoryPlayer()) as mouth:
        mouth.prepare([f"course {n}" for n in range(20)])
        assert voice.began.wait(PATIENCE_S)
        diary.say(mouth, "loaf in", "now")
        voice.released.set()
        diary.wait_for("ends", "loaf in", True)
        assert voice.rendered.index("loaf in") <= 2


def test_a_voice_that_fails_while_it_makes_ready_costs_no_call() -> None:
    voice = FailingOnce()
    diary = Diary()
    with SpeakingMouth(voice, MemoryPlayer()) as mouth:
        mouth.prepare(["beans up"])
        _wait_until(lambda: voice.has_failed)
        diary.say(mouth, "beans up", "up")
        diary.wait_for("ends", "beans up", True)


class SlowVoice(BeepVoice):
    """Waits in its first sentence until it is released."""

    def __init__(self) -> None:
        super().__init__()
        self.began, self.released = threading.Event(), threading.Event()

    def render(self, text: str) -> Sound:
        self.began.set()
        self.released.wait(PATIENCE_S)
        return super().render(text)


class FailingOnce(BeepVoice):
    """Fails for the first sentence."""

    def __init__(self) -> None:
        super().__init__()
        self.has_failed = False

    def render(self, text: str) -> Sound:
        if not self.has_failed:
            self.has_failed = True
            raise DeviceError("voice", "it was told to fail", "let it work again")
        return super().render(text)


def _wait_until(is_so: Callable[[], bool]) -> None:
    """Give another thread its time; an assertion after too long."""
    pause = threading.Event()
    for _ in range(PATIENCE_S * 100):
        if is_so():
            return
        pause.wait(0.01)
    raise AssertionError("it never came")


def test_a_manner_makes_it_louder_or_softer_and_never_clips() -> None:
    loud = BeepVoice().render("loaf in")
    assert by_manner(loud, PLAIN) is loud
    assert by_manner(loud, Manner(louder_db=-6.0)).peak == pytest.approx(loud.peak / 2, rel=0.01)
    assert by_manner(loud, Manner(is_whisper=True)).peak == pytest.approx(loud.peak * 0.2, rel=0.01)
    assert by_manner(loud, Manner(louder_db=30.0)).peak <= 0.951


def test_the_manner_and_the_room_decide_how_loud_chime_and_words_are() -> None:
    asked: list[Manner] = []

    def fit(sound: Sound, manner: Manner) -> Sound:
        asked.append(manner)
        return sound.scaled(0.5)

    player, done = MemoryPlayer(), threading.Event()
    with SpeakingMouth(BeepVoice(), player, fit=fit) as mouth:
        mouth.say("loaf in", "now", manner=Manner(louder_db=3.0), on_done=lambda ok: done.set())
        assert done.wait(10)
    signal = chime("now")
    assert signal is not None
    assert asked == [Manner(louder_db=3.0)]
    part = player.played[0].sound.samples[: len(signal.samples)]
    assert part == pytest.approx(signal.samples * 0.5, abs=1e-4)
