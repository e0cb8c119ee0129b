"""`kitchend soundcheck`: listens to the room, speaks into it, has phrases repeated, says what to change.

Uses the loudspeaker, the microphone, the voice and the ears that a dinner uses. What the figures mean is in
`reports`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import closing
from threading import Event, Thread
from typing import Self

import numpy as np

from kitchend.core.dinner import begin
from kitchend.core.phrases import Sayable, sayable
from kitchend.core.tongue import speaking
from kitchend.core.wording import clause, say
from kitchend.errors import DeviceError
from kitchend.hearing import Heard
from kitchend.hearing.capture import Microphone
from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.reports.printing import json_text
from kitchend.reports.soundcheck import (
    Repeated,
    SoundCheck,
    clipped_share,
    found_at,
    loudness_of,
    noise_of,
)
from kitchend.service.devices import check_device
from kitchend.service.ears import listener_of
from kitchend.service.guard import FINE, PROBLEMS
from kitchend.service.loudness import a_level, keep_way
from kitchend.service.places import places
from kitchend.service.ports import Complain
from kitchend.service.settings import Settings
from kitchend.service.sound import voice_of
from kitchend.service.wall_clock import SystemClock
from kitchend.speaking.chimes import chime
from kitchend.speaking.player import SpeakerPlayer
from kitchend.speaking.sound import Sound, joined

QUIET_S = 2.0
SPEECH_S = 5.0
PHRASES = ("soundcheck.1", "soundcheck.2", "soundcheck.3")
BUFFER_S = 0.3
"""How long a loudspeaker goes on after all was handed over; nobody answers sooner."""
TAIL_S = 0.7
"""How long to go on recording after the last sample was sent: longer than any loudspeaker's buffer."""

FIRST_S = 5.0
"""How long a microphone may take to give its first sound."""

Show = Callable[[str], None]


class Recorder:
    """Records from the microphone while inside; `so_far` is how much, `since` gives what came after."""

    def __init__(self, device: str | int | None) -> None:
        self._microphone = Microphone(device)
        self._blocks: list[Samples] = []
        self._has_begun = Event()
        self._failure: DeviceError | None = None
        self._thread = Thread(target=self._record, name="recorder", daemon=True)

    def __enter__(self) -> Self:
        self._thread.start()
        self._has_begun.wait(FIRST_S)
        self.check()
        return self

    def __exit__(self, *exc: object) -> None:
        self._microphone.close()
        self._thread.join(timeout=5)

    @property
    def so_far(self) -> int:
        """Samples recorded by now."""
        return sum(len(block) for block in tuple(self._blocks))

    def since(self, start: int) -> Samples:
        """What came after `start` samples, float32[n] at 16 kHz; DeviceError if the microphone has failed."""
        self.check()
        return np.concatenate([np.zeros(0, np.float32), *self._blocks])[start:]

    def check(self) -> None:
        """DeviceError if the microphone has failed."""
        if self._failure is not None:
            raise self._failure

    def _record(self) -> None:
        try:
            for block in self._microphone.blocks():
                self._blocks.append(block)
                self._has_begun.set()
        except DeviceError as error:
            self._failure = error
            self._has_begun.set()


def soundcheck(settings: Settings, *, as_json: bool, show: Show, complain: Complain) -> int:
    """Check and print; the exit code, 1 if something should change. DeviceError if a device is missing."""
    with speaking(settings.language):
        return _checked(settings, as_json=as_json, show=show, complain=complain)


def _checked(settings: Settings, *, as_json: bool, show: Show, complain: Complain) -> int:
    output = check_device(settings.output, kind="output")
    source = check_device(settings.input, kind="input")
    voice, tell = voice_of(settings), _nobody if as_json else show
    tell(clause("soundcheck.ready"))
    with (
        closing(listener_of(settings, complain)) as listener,
        Recorder(settings.input) as recorder,
    ):
        hello = voice.render(say("soundcheck.hello"))
        tell(clause("soundcheck.quiet", seconds=f"{QUIET_S:g}"))
        quiet = _listened(recorder, QUIET_S)
        tell(clause("soundcheck.listen"))
        echo, round_trip_s, way_db = _way_round(recorder, settings, hello)
        listener.listen_for(_sayable(settings))
        repeated, speech = [], [np.zeros(0, np.float32)]
        for words in _phrases(settings):
            SpeakerPlayer(settings.output).play(voice.render(say("soundcheck.repeat", words=words)))
            Event().wait(BUFFER_S)
            tell(clause("soundcheck.now", words=words))
            speech.append(_listened(recorder, SPEECH_S))
            repeated.append(_taken(words, listener.hear(speech[-1])))
    said = np.concatenate(speech)
    found = SoundCheck(
        input=source,
        output=output,
        noise_db=round(noise_of(quiet), 1),
        echo_db=round(loudness_of(echo), 1),
        speech_db=round(loudness_of(said), 1),
        clipped=round(clipped_share(np.concatenate([quiet, echo, said])), 5),
        round_trip_s=round_trip_s,
        way_db=way_db,
        phrases=tuple(repeated),
    )
    if way_db is not None:
        keep_way(places().way, way_db)
    for line in [json_text(found.to_json())] if as_json else found.lines():
        show(line)
    return PROBLEMS if found.advice else FINE


def _phrases(settings: Settings) -> Iterator[str]:
    """What is to be repeated: the address phrase and a command, as one says them."""
    for key in PHRASES:
        yield f"{settings.manners.address} {clause(key)}"


def _sayable(settings: Settings) -> Sayable:
    """What can be said while no dinner is on."""
    return sayable(begin(settings.manners), SystemClock().now().instant)


def _taken(words: str, heard: Heard) -> Repeated:
    return Repeated(asked=words, heard=heard.text if heard.accepted else "", reason=heard.reason)


def _listened(recorder: Recorder, seconds: float) -> Samples:
    start = recorder.so_far
    Event().wait(seconds)
    return recorder.since(start)


def _way_round(
    recorder: Recorder, settings: Settings, words: Sound
) -> tuple[Samples, float | None, float | None]:
    """What came back of a chime and some words, how long after the asking, and how much louder, in dB."""
    signal = chime("now")
    if signal is None:
        raise ValueError("the chime for now is missing")
    start = recorder.so_far
    SpeakerPlayer(settings.output).play(joined(signal, words, gap_s=0.1))
    Event().wait(TAIL_S)
    echo = recorder.since(start)
    played = signal.resampled(SAMPLE_RATE).samples
    at_s = found_at(played, echo)
    if at_s is None:
        return echo, None, None
    start = round(at_s * SAMPLE_RATE)
    heard = a_level(echo[start : start + len(played)], SAMPLE_RATE)
    return echo, round(at_s, 3), round(heard - a_level(played, SAMPLE_RATE), 1)


def _nobody(line: str) -> None:
    """Show nothing."""
