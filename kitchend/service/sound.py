"""Opens the loudspeaker and the microphone under the supervisor, and does without either while it is away.

What is missing is told in one line, and so is every change later; the dinner is told as well, so that the
cook hears of it through whichever way still works. The rest of the service sees only ports.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from kitchend.core.events import Event, Mishap, MishapNoticed
from kitchend.core.tongue import language_of
from kitchend.hearing.own_voice import OwnVoice
from kitchend.service.devices import Streams
from kitchend.service.ears import HearingListener, ears_run
from kitchend.service.guard import OnceEach
from kitchend.service.kept_sound import SoundKeeper
from kitchend.service.loudness import Loudness, RoomNoise, kept_way
from kitchend.service.overheard import Overheard
from kitchend.service.places import places
from kitchend.service.ports import Clock, Complain, Listener, Mouth
from kitchend.service.settings import Settings
from kitchend.service.supervisor import EARS, MOUTH, PAUSES_S, Charge, Supervisor
from kitchend.service.voicing import MouthRun, SupervisedMouth
from kitchend.service.wall_clock import running_s
from kitchend.speaking.player import SpeakerPlayer
from kitchend.speaking.ports import Fit, Voice

Connect = Callable[[Callable[[Event], None]], None]

FIRST_S = 20.0
"""How long to wait at the start for the ears and the mouth to say whether they work."""

STILL_LOADING = "not everything is loaded yet"

DEVICE_PAUSES_S = tuple(pause_s for pause_s in PAUSES_S if pause_s <= 15.0)
"""A cook who has plugged it in, or freed it, waits no longer than the last of these for the voice."""

STILL_S = 30.0
"""A part that gives no sign of life for so long hangs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundParts:
    """What there is. `connect` says where phrases that were heard, and news of the parts, are to go."""

    mouth: Mouth
    listener: Listener
    speaks: bool
    hears: bool
    connect: Connect
    overheard: Overheard = field(default_factory=Overheard)


def voice_of(settings: Settings) -> Voice:
    """The voice that the settings ask for; DeviceError if it is not installed."""
    if settings.voice == "natural":
        from kitchend.speaking.piper_voice import PiperVoice

        return PiperVoice()
    from kitchend.speaking.espeak_voice import RATE_WPM, EspeakVoice

    return EspeakVoice(language_of(settings.language).espeak, settings.rate or RATE_WPM)


@contextmanager
def open_sound(
    settings: Settings, clock: Clock, complain: Complain, sounds: Path | None = None
) -> Iterator[SoundParts]:
    """The mouth and the ears, kept at work until left; what is missing at the start is one line.

    What is said is kept as sound in the folder `sounds`; DeviceError if there can be no such folder.
    """
    keeper = None if sounds is None else SoundKeeper(sounds, clock, OnceEach(complain))
    with ExitStack() as stack:
        streams, listener, mouth, news = Streams(), HearingListener(), SupervisedMouth(), News(complain)
        supervisor = Supervisor(running_s, DEVICE_PAUSES_S)
        own, noise = OwnVoice() if settings.interrupt else None, RoomNoise()
        fit = _loudness(settings, listener, noise).fitted
        stack.callback(listener.close)
        stack.callback(supervisor.close)

        speaking = supervisor.keep(
            MOUTH,
            lambda: _mouth_run(settings, mouth, streams, fit, own),
            news.of_mouth,
            patience_s=STILL_S,
        )
        told = OnceEach(complain)
        hearing = supervisor.keep(
            EARS,
            lambda: ears_run(settings, listener, streams, told, keeper, own, noise.take),
            news.of_ears,
            patience_s=STILL_S,
        )
        # Both at once: the ears load while the loudspeaker is tried.
        speaking.settled.wait(FIRST_S)
        hearing.settled.wait(FIRST_S)
        if missing := [_short(charge.why) for charge in (speaking, hearing) if not charge.works]:
            complain(_without(missing, speaks=bool(speaking.works), hears=bool(hearing.works)))

        def connect(put: Callable[[Event], None]) -> None:
            listener.start(clock, put)
            news.tell(put, speaking, hearing)
            if keeper is not None:
                complain(f"what you say is kept as sound in {sounds}")
                put(MishapNoticed(mishap=Mishap.KEEPS_SOUND))

        yield SoundParts(
            mouth=mouth,
            listener=listener,
            speaks=bool(speaking.works),
            hears=bool(hearing.works),
            connect=connect,
            overheard=listener.overheard,
        )


def _loudness(settings: Settings, listener: HearingListener, noise: RoomNoise) -> Loudness:
    """How loud to speak: by the way the ears know, or else the last soundcheck measured."""
    return Loudness(
        noise,
        lambda: kept_way(places().way) if listener.way_db is None else listener.way_db,
        least_db=settings.level_least,
        most_db=settings.level_most,
    )


def _mouth_run(
    settings: Settings, mouth: SupervisedMouth, streams: Streams, fit: Fit, own: OwnVoice | None
) -> MouthRun:
    return MouthRun(
        mouth,
        lambda: voice_of(settings),
        SpeakerPlayer(settings.output),
        lambda: streams.find(settings.output, kind="output"),
        streams,
        fit,
        own,
    )


class News:
    """Tells of parts that failed or are back: a line for the screen, an event for the dinner."""

    def __init__(self, complain: Complain) -> None:
        self._complain = complain
        self._put: Callable[[Event], None] | None = None
        self._last: dict[str, Mishap] = {}

    def tell(self, put: Callable[[Event], None], speaking: Charge, hearing: Charge) -> None:
        """From now on tell `put` too; at once of ears that are missing where there is a mouth to say it."""
        self._put = put
        self._last = {
            "mouth": Mishap.SPEAKS_AGAIN if speaking.works else Mishap.CANNOT_SPEAK,
            "ears": Mishap.HEARS_AGAIN if hearing.works else Mishap.CANNOT_HEAR,
        }
        if speaking.works and not hearing.works:
            put(MishapNoticed(mishap=Mishap.CANNOT_HEAR))

    def of_mouth(self, works: bool, why: str) -> None:
        """The mouth works, or does not."""
        self._news("mouth", Mishap.SPEAKS_AGAIN if works else Mishap.CANNOT_SPEAK, why)

    def of_ears(self, works: bool, why: str) -> None:
        """The ears work, or do not."""
        self._news("ears", Mishap.HEARS_AGAIN if works else Mishap.CANNOT_HEAR, why)

    def _news(self, part: str, mishap: Mishap, why: str) -> None:
        if self._put is None:
            return
        if why:
            self._complain(why)
        # A reason that changes while a part is away is for the screen alone.
        if self._last.get(part) is not mishap:
            self._last[part] = mishap
            self._put(MishapNoticed(mishap=mishap))


def _without(missing: list[str], *, speaks: bool, hears: bool) -> str:
    instead = [] if hears else ["type what you would say"]
    if not speaks:
        instead.append("calls are printed")
    return f"{'; '.join(missing)}. So {' and '.join(instead)}."


def _short(why: str) -> str:
    """The reason without what to do: the line goes on with what can be done meanwhile."""
    return why.split("; ", 1)[0] or STILL_LOADING
