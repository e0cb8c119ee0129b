"""The microphone and its ears behind the service's port: what was heard becomes an event.

A microphone that fails is told once and tried again until it is back; meanwhile the dinner goes on. Phrases
that were refused by the ears change nothing and go no further.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from threading import Timer

from kitchend.core.events import Event, PhraseHeard
from kitchend.core.phrases import Sayable
from kitchend.errors import DeviceError
from kitchend.hearing import Heard, SoundListener, build
from kitchend.hearing.capture import Microphone
from kitchend.service.devices import check_device
from kitchend.service.guard import one_line
from kitchend.service.ports import Clock, Complain
from kitchend.service.settings import Settings
from kitchend.service.wall_clock import running_s

AGAIN_S = 5.0
"""How long after a failure the microphone is tried again."""

Put = Callable[[Event], None]


class HearingListener:
    """Listens to a microphone and puts what it understood."""

    def __init__(self, listener: SoundListener, device: str | int | None, complain: Complain) -> None:
        self._listener = listener
        self._device = device
        self._complain = complain
        self._clock: Clock | None = None
        self._put: Put | None = None
        self._again: Timer | None = None
        self._is_closed = False

    def start(self, clock: Clock, put: Put) -> None:
        """Begin to listen; phrases go to `put` from now on."""
        self._clock, self._put = clock, put
        self._open()

    def listen_for(self, sayable: Sayable) -> None:
        """From the next phrase on expect these."""
        self._listener.listen_for(sayable)

    def deaf(self, is_deaf: bool) -> None:
        """Hear nothing while kitchend itself speaks."""
        self._listener.deaf(is_deaf)

    def close(self) -> None:
        """Stop listening for good."""
        self._is_closed = True
        if self._again is not None:
            self._again.cancel()
        self._listener.close()

    def _open(self) -> None:
        if not self._is_closed:
            self._listener.start(Microphone(self._device), self._heard, self._failed)

    def _heard(self, heard: Heard) -> None:
        if self._clock is None or self._put is None or not heard.accepted:
            return
        # The phrase has just ended: it began as long ago as it lasts, and as the ears took for it.
        started = self._clock.now().instant - (heard.audio_s + heard.took_s)
        self._put(PhraseHeard(text=heard.text, started=started, doubts=heard.doubts))

    def _failed(self, error: DeviceError) -> None:
        self._complain(one_line(str(error)))
        self._again = Timer(AGAIN_S, self._open)
        self._again.daemon = True
        self._again.start()


def listener_of(settings: Settings, complain: Complain) -> SoundListener:
    """The ears that the settings ask for; on `auto` the first alone if the second cannot be had."""
    try:
        return _built(settings, only_first=False)
    except DeviceError as error:
        if settings.ears != "auto" or error.device != "second ear":
            raise
        complain(f"{one_line(str(error))}; the first ear listens alone")
        return _built(settings, only_first=True)


def _built(settings: Settings, *, only_first: bool) -> SoundListener:
    return build(
        ears="first" if only_first else settings.ears,
        vosk_model=Path(settings.vosk_model).expanduser() if settings.vosk_model else None,
        whisper_folder=Path(settings.whisper_folder).expanduser() if settings.whisper_folder else None,
        denoise=settings.denoise,
        seconds=running_s,
    )


def open_ears(settings: Settings, stack: ExitStack, complain: Complain) -> HearingListener:
    """The microphone with its ears, not yet listening; DeviceError if there is none or no ear for it."""
    check_device(settings.input, kind="input")
    ears = HearingListener(listener_of(settings, complain), settings.input, complain)
    stack.callback(ears.close)
    return ears
