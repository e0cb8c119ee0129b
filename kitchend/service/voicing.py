"""The loudspeaker and its voice behind the service's port: every utterance gets its answer, whatever fails.

One run lasts from a first look at the loudspeaker to its failure; whether there is another is the
supervisor's business. While there is none, whatever is to be said is answered at once as not said, and stands
on the screen. A voice that does not come to an end in time has failed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from queue import Empty, SimpleQueue
from threading import Event, Lock

from kitchend.core.effects import CallKind
from kitchend.errors import DeviceError
from kitchend.hearing.own_voice import OwnVoice
from kitchend.hearing.ports import SAMPLE_RATE
from kitchend.service.devices import Streams
from kitchend.service.guard import attempt
from kitchend.service.ports import SpeechDone
from kitchend.service.wall_clock import running_s
from kitchend.speaking.mouth import SpeakingMouth, by_manner
from kitchend.speaking.ports import PLAIN, Fit, Manner, OnStarted, Player, Voice
from kitchend.speaking.sound import Sound, silence

LOOK_S = 0.25
PATIENCE_S, PATIENCE_S_PER_LETTER = 15.0, 0.2
"""How long saying something may take: the slowest voice on a slow board needs less than half."""

TRIED_S = 0.05
TRIED_WORD = "ready"
TRIED_RATE = 48_000
LONGEST_S = 120.0
"""No sentence lasts as long; a voice that makes more has gone wrong."""


class SupervisedMouth:
    """What the dinner sees: it says things through the mouth there is just now."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._mouth: SpeakingMouth | None = None
        self._on_done: SpeechDone | None = None
        self._until_s: float | None = None

    def prepare(self, texts: Sequence[str]) -> None:
        """Have these sentences ready, where there is a mouth."""
        if (mouth := self._mouth) is not None:
            mouth.prepare(texts)

    def say(self, text: str, kind: CallKind, on_done: SpeechDone, manner: Manner = PLAIN) -> None:
        """Begin to say it, after its chime; without a mouth it is over at once."""
        with self._lock:
            mouth = self._mouth
            if mouth is not None:
                self._on_done = on_done
                self._until_s = running_s() + PATIENCE_S + PATIENCE_S_PER_LETTER * len(text)
        if mouth is None:
            on_done(False)
        else:
            mouth.say(text, kind.value, manner=manner, on_done=lambda ok: self._over(on_done, ok))

    def stop(self) -> None:
        """Stop at once."""
        if (mouth := self._mouth) is not None:
            mouth.stop()

    def use(self, mouth: SpeakingMouth) -> None:
        """Speak through this one from now on; what was being said through another is over."""
        self._change(mouth)

    def release(self, mouth: SpeakingMouth) -> None:
        """Speak through it no more; what was being said through it is over.

        A run that was given up as hanging may end long after another has begun, which is left alone then.
        """
        if self._mouth is mouth:
            self._change(None)

    def _change(self, mouth: SpeakingMouth | None) -> None:
        with self._lock:
            self._mouth = mouth
            lost = self._on_done
        if lost is not None:
            self._over(lost, False)

    @property
    def is_overdue(self) -> bool:
        """Whether something is being said for longer than anything takes."""
        return self._until_s is not None and running_s() > self._until_s

    def _over(self, on_done: SpeechDone, ok: bool) -> None:
        """Answer once, however often it ends: a voice that hung may end long after it was given up."""
        with self._lock:
            if self._on_done is not on_done:
                return
            self._on_done = self._until_s = None
        on_done(ok)


class MouthRun:
    """One run of the mouth. `find` refuses if there is no loudspeaker."""

    def __init__(
        self,
        mouth: SupervisedMouth,
        voice: Callable[[], Voice],
        player: Player,
        find: Callable[[], object],
        streams: Streams,
        fit: Fit = by_manner,
        own: OwnVoice | None = None,
    ) -> None:
        self._mouth = mouth
        self._voice = voice
        self._fit = fit
        self._player = HeldPlayer(player, streams, own)
        self._find = find
        self._streams = streams
        self._stopped = Event()
        self._troubles: SimpleQueue[DeviceError] = SimpleQueue()

    def work(self, alive: Callable[[], None]) -> None:
        """Speak when asked until stopped; DeviceError when the loudspeaker or the voice fails."""
        self._find()
        voice = SaneVoice(self._voice())
        voice.render(TRIED_WORD)
        self._try_loudspeaker()
        mouth = SpeakingMouth(voice, self._player, on_trouble=self._troubles.put, fit=self._fit)
        self._mouth.use(mouth)
        try:
            while not self._stopped.is_set():
                alive()
                self._look()
        finally:
            self._mouth.release(mouth)
            mouth.abandon()

    def stop(self) -> None:
        """Speak no more."""
        self._stopped.set()
        self._player.stop()

    def _try_loudspeaker(self) -> None:
        try:
            self._player.play(silence(TRIED_S, TRIED_RATE))
        except DeviceError as error:
            self._streams.doubt("output", error)
            raise

    def _look(self) -> None:
        if self._mouth.is_overdue:
            raise DeviceError("voice", "it does not come to an end", "it is started again")
        try:
            trouble = self._troubles.get(timeout=LOOK_S)
        except Empty:
            return
        self._streams.doubt("output", trouble)
        raise trouble


class HeldPlayer:
    """A player that says when it has the loudspeaker open, and tells the ears what leaves it."""

    def __init__(self, player: Player, streams: Streams, own: OwnVoice | None = None) -> None:
        self._player = player
        self._streams = streams
        self._own = own

    def play(self, sound: Sound, on_started: OnStarted | None = None) -> None:
        """Play it through; a sentence is not broken off for others."""
        with self._streams.held(_go_on):
            self._player.play(sound, self._telling(sound, on_started))

    def _telling(self, sound: Sound, on_started: OnStarted | None) -> OnStarted | None:
        own = self._own
        if own is None:
            return on_started

        def started(in_s: float) -> None:
            count = own.count_in(in_s)
            if on_started is not None:
                on_started(in_s)
            own.begins_at(sound.resampled(SAMPLE_RATE).samples, count)

        return started

    def stop(self) -> None:
        """End what is playing."""
        self._player.stop()
        if self._own is not None:
            self._own.stops()


class SaneVoice:
    """A voice whose every failure is a DeviceError, and which never talks without end."""

    def __init__(self, voice: Voice) -> None:
        self._voice = voice

    def render(self, text: str) -> Sound:
        """The words as sound."""
        sounds: list[Sound] = []
        failures: list[str] = []
        job = "speak"
        if not attempt(lambda: sounds.append(self._voice.render(text)), complain=failures.append, doing=job):
            raise DeviceError("voice", failures[0], "it is started again")
        (sound,) = sounds
        if sound.duration_s > LONGEST_S:
            raise DeviceError("voice", "it talks without end", "it is started again")
        return sound


def _go_on() -> None:
    """Asked to let go of the loudspeaker: soon, when the sentence is over."""
