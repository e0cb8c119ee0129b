"""The microphone and its ears behind the service's port: what was heard becomes an event.

One run lasts from opening the microphone to its failure; whether there is another is the supervisor's
business. Phrases that were refused by the ears change nothing; they are told with the reason, for screens and
the journal. Ears that hear without end have failed.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from threading import Lock
from typing import Protocol

from kitchend.core.clock import Instant
from kitchend.core.events import Event, PhraseHeard, PhraseRefused
from kitchend.core.phrases import Sayable
from kitchend.errors import DeviceError
from kitchend.hearing import Heard, SoundListener, build
from kitchend.hearing.capture import Microphone
from kitchend.hearing.listener import OnHeard
from kitchend.hearing.own_voice import OwnVoice
from kitchend.hearing.ports import Samples, Source
from kitchend.service.devices import Streams
from kitchend.service.early_ear import EARLY
from kitchend.service.guard import one_line
from kitchend.service.kept_sound import KeptSource, SoundKeeper
from kitchend.service.means import Choice, choose, folder_of
from kitchend.service.overheard import LetGo, Overheard
from kitchend.service.ports import Clock, Complain
from kitchend.service.settings import Settings
from kitchend.service.wall_clock import running_s

FLOOD, FLOOD_S = 30, 10.0
"""Nobody says so many phrases in so many seconds: an engine has gone wrong."""

KNOCK = "too short"
"""Why the ears let go what is too short for a word: a knock, nothing anybody said."""

Put = Callable[[Event], None]
OnPartial = Callable[[str], None]
OnRoom = Callable[[Samples], None]


class Ears(Protocol):
    """What hears; SoundListener is one."""

    def listen_for(self, sayable: Sayable) -> None:
        """From the next phrase on expect these."""

    def deaf(self, is_deaf: bool) -> None:
        """Hear nothing while kitchend itself speaks."""

    def listen(self, source: Source, on_heard: OnHeard, on_block: Callable[[], None]) -> None:
        """Listen until the source ends; raises whatever goes wrong."""

    @property
    def way_db(self) -> float | None:
        """How much louder kitchend's sound is at the microphone than it was played, in dB, if known."""

    def close(self) -> None:
        """Let go of everything."""


class HearingListener:
    """What the dinner sees: it remembers what to listen for, whether there are ears just now or not."""

    def __init__(self) -> None:
        self.overheard = Overheard()
        self._clock: Clock | None = None
        self._put: Put | None = None
        self._ears: Ears | None = None
        self._wanted: Sayable | None = None
        self._is_deaf = False
        self._spare: Ears | None = None
        self._lock = Lock()

    def start(self, clock: Clock, put: Put) -> None:
        """Phrases go to `put` from now on."""
        self._clock, self._put = clock, put

    def listen_for(self, sayable: Sayable) -> None:
        """From the next phrase on expect these."""
        self._wanted = sayable
        if (ears := self._ears) is not None:
            ears.listen_for(sayable)

    def deaf(self, is_deaf: bool) -> None:
        """Hear nothing while kitchend itself speaks."""
        self._is_deaf = is_deaf
        if (ears := self._ears) is not None:
            ears.deaf(is_deaf)

    @property
    def way_db(self) -> float | None:
        """What the ears there are just now know of the way from the loudspeaker."""
        return None if self._ears is None else self._ears.way_db

    def use(self, ears: Ears) -> None:
        """Hear with these from now on, as things stand."""
        with self._lock:
            self._ears = ears
        self.close()
        ears.deaf(self._is_deaf)
        if self._wanted is not None:
            ears.listen_for(self._wanted)

    def take(self, make: Callable[[], Ears]) -> Ears:
        """The ears that were kept, for they take a while to make; else new ones."""
        return self._taken() or make()

    def release(self, ears: Ears, *, are_well: bool) -> None:
        """Hear with these no more. They are kept if they are well, though their microphone is not.

        A run that was given up as hanging may end long after another has begun, which is left alone then.
        """
        with self._lock:
            is_last = self._ears is ears
            if is_last:
                self._ears = None
            if keeps := is_last and are_well:
                self._spare = ears
        if is_last:
            self.overheard.hears("")
        if not keeps:
            ears.close()

    def _taken(self) -> Ears | None:
        with self._lock:
            spare, self._spare = self._spare, None
        return spare

    def close(self) -> None:
        """Let go of ears that were kept."""
        if (spare := self._taken()) is not None:
            spare.close()

    def heard(self, heard: Heard, by: Ears) -> None:
        """Hand on what counts, and tell of what does not, unless others hear in the place of these by now."""
        if self._clock is None or self._put is None or by is not self._ears:
            return
        # The phrase has just ended: it began as long ago as it lasts, and as the ears took for it.
        now, lasted_s = self._clock.now(), heard.audio_s + heard.took_s
        started: Instant = now.instant - lasted_s
        if heard.accepted:
            self._put(PhraseHeard(text=heard.text, started=started, doubts=heard.doubts))
        elif heard.reason != KNOCK:
            self.overheard.lets_go(LetGo(text=heard.text, reason=heard.reason, at=now.wall - lasted_s))
            self._put(PhraseRefused(text=heard.text, reason=heard.reason, started=started))


class EarsRun:
    """One run of the ears. `make` builds them; `find` refuses if there is no microphone for `source`."""

    def __init__(
        self,
        listener: HearingListener,
        make: Callable[[], Ears],
        source: Source,
        find: Callable[[], object],
        streams: Streams,
    ) -> None:
        self._listener = listener
        self._make = make
        self._source = source
        self._find = find
        self._streams = streams
        self._phrases: deque[float] = deque(maxlen=FLOOD)

    def work(self, alive: Callable[[], None]) -> None:
        """Listen until stopped; DeviceError when the microphone fails or the ears hear without end."""
        self._find()
        ears = self._listener.take(self._make)
        self._listener.use(ears)
        are_well = False
        try:
            with self._streams.held(self.stop):
                ears.listen(self._source, partial(self._heard, by=ears), alive)
            are_well = True
        except DeviceError as error:
            are_well = error.device == "microphone"
            self._streams.doubt("input", error)
            raise
        finally:
            self._listener.release(ears, are_well=are_well)

    def stop(self) -> None:
        """Close the microphone."""
        self._source.close()

    def _heard(self, heard: Heard, *, by: Ears) -> None:
        now_s = running_s()
        if len(self._phrases) == FLOOD and now_s - self._phrases[0] < FLOOD_S:
            raise DeviceError("listener", "it hears without end", "it is started again")
        self._phrases.append(now_s)
        if isinstance(self._source, KeptSource):
            self._source.keep(heard)
        self._listener.heard(heard, by)


def ears_run(
    settings: Settings,
    listener: HearingListener,
    streams: Streams,
    complain: Complain,
    keeper: SoundKeeper | None = None,
    own: OwnVoice | None = None,
    on_room: OnRoom | None = None,
) -> EarsRun:
    """The ears and the microphone of the settings, each phrase kept as sound if there is a keeper."""
    microphone = Microphone(settings.input)
    return EarsRun(
        listener,
        lambda: listener_of(settings, complain, own, on_room, listener.overheard.hears),
        microphone if keeper is None else keeper.source(microphone),
        lambda: streams.find(settings.input, kind="input"),
        streams,
    )


def listener_of(
    settings: Settings,
    complain: Complain,
    own: OwnVoice | None = None,
    on_room: OnRoom | None = None,
    on_partial: OnPartial | None = None,
) -> SoundListener:
    """The ears that the settings ask for, or on `auto` those that this machine carries.

    The first ear is alone, too, where on `auto` the second cannot be had.
    """
    chosen, left_out = choose(settings)
    if left_out is not None:
        complain(left_out)
    try:
        return _built(settings, chosen, own, on_room, on_partial)
    except DeviceError as error:
        if settings.ears != "auto" or error.device != "second ear":
            raise
        complain(f"{one_line(str(error))}; the first ear listens alone")
        return _built(settings, replace(chosen, ears="first"), own, on_room, on_partial)


def _built(
    settings: Settings,
    chosen: Choice,
    own: OwnVoice | None,
    on_room: OnRoom | None,
    on_partial: OnPartial | None,
) -> SoundListener:
    asked = settings.denoise if isinstance(settings.denoise, bool) else None
    return build(
        ears=chosen.ears,
        vosk_model=folder_of(settings.vosk_model),
        second=lambda: EARLY.make(settings),
        denoise=asked if chosen.denoises else False,
        language=settings.language,
        seconds=running_s,
        own=own,
        on_room=on_room,
        on_partial=on_partial,
    )
