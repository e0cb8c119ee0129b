"""One thread that says things: chime and words as one sound, one at a time, in the order asked.

What to say and when is decided elsewhere. Every `say` is answered exactly once by `on_done`, whatever happens
to voice or loudspeaker. Sentences said before are kept as sound, the least used going first.
"""

import threading
from collections import OrderedDict, deque
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from enum import Enum
from queue import SimpleQueue
from typing import Final, Self

from kitchend.errors import DeviceError
from kitchend.speaking.chimes import RATE, chime
from kitchend.speaking.ports import PLAIN, WHISPER_DB, Fit, Manner, OnDone, OnStarted, Player, Voice
from kitchend.speaking.sound import Sound, from_pcm16, joined

KEPT_SENTENCES: Final = 9  # what is made ready and two more; ~3 s each
MORE: Final = 2
CHIME_GAP_S: Final = 0.12


@dataclass(slots=True, kw_only=True, eq=False)
class _Utterance:
    text: str
    kind: str | None
    manner: Manner
    on_started: OnStarted | None
    on_done: OnDone | None
    stopped: threading.Event = field(default_factory=threading.Event)

    def end(self, ok: bool) -> None:
        if self.on_done is not None:
            self.on_done(ok)


class _Look(Enum):
    """Nothing to say: there is something to make ready."""

    LOOK = "look"


_LOOK: Final = _Look.LOOK


def by_manner(sound: Sound, manner: Manner) -> Sound:
    """The sound as the manner alone says, where nothing is known of the room."""
    gain_db = manner.louder_db + (WHISPER_DB if manner.is_whisper else 0.0)
    return sound if not gain_db else sound.scaled(10 ** (gain_db / 20)).held()


class SpeakingMouth:
    """A voice and a player made into a mouth; `on_trouble` is told each DeviceError, from the mouth's thread.

    Callbacks must be quick and must not raise. Use as a context manager or `close` it.
    """

    def __init__(
        self,
        voice: Voice,
        player: Player,
        on_trouble: Callable[[DeviceError], None] | None = None,
        kept: int = KEPT_SENTENCES,
        fit: Fit = by_manner,
    ) -> None:
        self._voice = RememberingVoice(voice, kept)
        self._fit = fit
        self._player = player
        self._on_trouble = on_trouble
        self._lock = threading.Lock()
        self._waiting: SimpleQueue[_Utterance | _Look | None] = SimpleQueue()
        self._ahead: deque[str] = deque()
        self._kept = kept
        self._open: list[_Utterance] = []
        self._is_closed = False
        self._thread = self._started()

    def say(
        self,
        text: str,
        kind: str | None = None,
        *,
        manner: Manner = PLAIN,
        on_started: OnStarted | None = None,
        on_done: OnDone | None = None,
    ) -> None:
        """Say `text`, after the chime for `kind` if there is one. Once closed, answers False."""
        utterance = _Utterance(text=text, kind=kind, manner=manner, on_started=on_started, on_done=on_done)
        with self._lock:
            if not self._is_closed:
                self._open.append(utterance)
                self._waiting.put(utterance)
                return
        utterance.end(False)

    def prepare(self, texts: Sequence[str]) -> None:
        """Make these sentences ready while nothing is to be said, the first first; forget earlier wishes."""
        with self._lock:
            self._ahead = deque(texts[: max(1, self._kept - MORE)])
        self._waiting.put(_LOOK)

    def stop(self) -> None:
        """End what is being said and forget what is waiting; each is told False, from the mouth's thread."""
        with self._lock:
            for utterance in self._open:
                utterance.stopped.set()
        self._player.stop()

    def close(self) -> None:
        """Stop, and end the thread. Must not be called from a callback."""
        self.abandon()
        self._thread.join()

    def abandon(self) -> None:
        """As `close`, but wait for nothing: the voice or the loudspeaker may hang."""
        with self._lock:
            self._is_closed = True
        self.stop()
        self._waiting.put(None)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_exc: object) -> None:
        self.close()

    def _started(self) -> threading.Thread:
        thread = threading.Thread(target=self._serve, name="mouth", daemon=True)
        thread.start()
        return thread

    def _serve(self) -> None:
        is_over = False
        try:
            while (wish := self._waiting.get()) is not None:
                if isinstance(wish, _Utterance):
                    self._see_to(wish)
                else:
                    self._make_ready()
            is_over = True
        finally:
            # A bug in a voice ends this thread, loudly; it must not leave the kitchen without calls.
            if not is_over:
                self._thread = self._started()

    def _make_ready(self) -> None:
        """Render one sentence ahead and look again: what is to be said meanwhile waits for no more than it.

        A voice that fails is told of when there is something to say.
        """
        with self._lock:
            text = self._ahead.popleft() if self._ahead and not self._is_closed else None
        if text is None:
            return
        with suppress(DeviceError):
            self._voice.render(text)
        self._waiting.put(_LOOK)

    def _see_to(self, utterance: _Utterance) -> None:
        ok = False
        try:
            ok = self._is_said(utterance)
        finally:
            with self._lock:
                self._open.remove(utterance)
            utterance.end(ok)

    def _is_said(self, utterance: _Utterance) -> bool:
        if utterance.stopped.is_set():
            return False
        try:
            sound = self._fit(with_chime(self._words(utterance), utterance.kind), utterance.manner)
            if not utterance.stopped.is_set():
                self._player.play(sound, self._starter(utterance))
        except DeviceError as error:
            if self._on_trouble is not None:
                self._on_trouble(error)
            return False
        return not utterance.stopped.is_set()

    def _words(self, utterance: _Utterance) -> Sound:
        """The words as sound; of a voice that fails, at least the chime is heard."""
        try:
            return self._voice.render(utterance.text)
        except DeviceError:
            if utterance.kind is not None and (signal := chime(utterance.kind)) is not None:
                self._player.play(self._fit(signal, utterance.manner))
            raise

    def _starter(self, utterance: _Utterance) -> OnStarted:
        def started(in_s: float) -> None:
            # A stop that fell between the last look and the player's start has found nothing to stop.
            if utterance.stopped.is_set():
                self._player.stop()
            elif utterance.on_started is not None:
                utterance.on_started(in_s)

        return started


class RememberingVoice:
    """A voice that keeps the last `kept` sentences as sound, at the chimes' rate and in 16 bits.

    So a sentence that is known ahead need not be brought to that rate when it is due.
    """

    def __init__(self, voice: Voice, kept: int = KEPT_SENTENCES) -> None:
        self._voice = voice
        self._kept = kept
        self._sounds: OrderedDict[str, bytes] = OrderedDict()

    def render(self, text: str) -> Sound:
        """The words as sound, from memory when they were rendered lately. Raises what the voice raises."""
        data = self._sounds.pop(text, None)
        if data is None:
            data = self._voice.render(text).resampled(RATE).pcm16()
        self._sounds[text] = data
        while len(self._sounds) > self._kept:
            self._sounds.popitem(last=False)
        return from_pcm16(data, RATE)


def with_chime(words: Sound, kind: str | None) -> Sound:
    """The chime for `kind`, a breath, the words; the words alone for a kind without a chime."""
    signal = chime(kind) if kind is not None else None
    return words if signal is None else joined(signal, words, gap_s=CHIME_GAP_S)
