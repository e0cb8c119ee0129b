"""Opens the loudspeaker and the microphone, and does without either where there is none.

What is missing is told in one line. From here on the rest of the service sees only ports: something that says
things, and perhaps something that listens.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from typing import TypeVar

from kitchend.core.effects import CallKind
from kitchend.core.events import Event
from kitchend.errors import DeviceError
from kitchend.service.devices import check_device
from kitchend.service.ears import open_ears
from kitchend.service.guard import OnceEach, one_line
from kitchend.service.ports import Clock, Complain, Listener, Mouth, SpeechDone
from kitchend.service.settings import Settings
from kitchend.speaking.mouth import SpeakingMouth
from kitchend.speaking.player import SpeakerPlayer
from kitchend.speaking.ports import Voice

Connect = Callable[[Callable[[Event], None]], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundParts:
    """What there is. `connect` says where phrases that were heard are to go, and starts the listening."""

    mouth: Mouth
    listener: Listener | None
    speaks: bool
    connect: Connect


class AloudMouth:
    """The speaking part's mouth behind the service's port."""

    def __init__(self, mouth: SpeakingMouth) -> None:
        self._mouth = mouth

    def say(self, text: str, kind: CallKind, on_done: SpeechDone) -> None:
        """Begin to say it, after its chime."""
        self._mouth.say(text, kind.value, on_done=on_done)

    def stop(self) -> None:
        """Stop at once."""
        self._mouth.stop()


class SilentMouth:
    """For a machine without a loudspeaker: what is said stands on the screen, so it is said at once."""

    def say(self, text: str, kind: CallKind, on_done: SpeechDone) -> None:
        """Be done."""
        on_done(True)

    def stop(self) -> None:
        """There is nothing to stop."""


def voice_of(settings: Settings) -> Voice:
    """The voice that the settings ask for; DeviceError if it is not installed."""
    if settings.voice == "natural":
        from kitchend.speaking.piper_voice import PiperVoice

        return PiperVoice()
    from kitchend.speaking.espeak_voice import EspeakVoice

    return EspeakVoice() if settings.rate is None else EspeakVoice(rate_wpm=settings.rate)


@contextmanager
def open_sound(settings: Settings, clock: Clock, complain: Complain) -> Iterator[SoundParts]:
    """What there is of loudspeaker and microphone, until left; what is missing is one line."""
    with ExitStack() as stack:
        missing: list[str] = []
        mouth = _or_none(lambda: _loudspeaker(settings, stack, OnceEach(complain)), missing)
        ears = _or_none(lambda: open_ears(settings, stack, OnceEach(complain)), missing)
        if missing:
            complain(_without(missing, speaks=mouth is not None, hears=ears is not None))
        yield SoundParts(
            mouth=mouth or SilentMouth(),
            listener=ears,
            speaks=mouth is not None,
            connect=lambda put: ears.start(clock, put) if ears is not None else None,
        )


def _without(missing: list[str], *, speaks: bool, hears: bool) -> str:
    instead = [] if hears else ["type what you would say"]
    if not speaks:
        instead.append("calls are printed")
    return f"{'; '.join(missing)}. So {' and '.join(instead)}."


Part = TypeVar("Part")


def _or_none(make: Callable[[], Part], missing: list[str]) -> Part | None:
    try:
        return make()
    except DeviceError as error:
        missing.append(f"{error.device}: {error.problem}")
        return None


def _loudspeaker(settings: Settings, stack: ExitStack, complain: Complain) -> AloudMouth:
    check_device(settings.output, kind="output")
    voice = voice_of(settings)
    player = SpeakerPlayer(settings.output)
    return AloudMouth(
        stack.enter_context(
            SpeakingMouth(voice, player, on_trouble=lambda error: complain(one_line(str(error))))
        )
    )
