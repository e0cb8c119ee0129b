"""Sound into phrases: detector, two ears and the rule that says whether what they heard counts.

`build` puts a listener together from the cook's wishes. Engines are imported only when they are built, so
that importing this package is cheap.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from typing import Literal

from kitchend.errors import DeviceError
from kitchend.hearing.giving_back import look_seldom
from kitchend.hearing.listener import SoundListener
from kitchend.hearing.own_voice import OwnVoice
from kitchend.hearing.ports import FirstEar, Heard, Samples, SecondEar

Ears = Literal["first", "second", "both"]

__all__ = ["Ears", "Heard", "SoundListener", "build", "second_ear"]


def build(
    *,
    ears: Ears = "both",
    vosk_model: Path | None = None,
    whisper_folder: Path | None = None,
    second: Callable[[], SecondEar | None] | None = None,
    denoise: bool | None = None,
    language: str = "en",
    seconds: Callable[[], float],
    own: OwnVoice | None = None,
    on_room: Callable[[Samples], None] | None = None,
    on_partial: Callable[[str], None] | None = None,
) -> SoundListener:
    """A listener with these ears; `seconds` tells running time. Raises DeviceError for what is missing.

    The first ear is Vosk where a model is configured or in its cache, else PocketSphinx; `denoise` None is
    for PocketSphinx alone, which noise troubles more. PocketSphinx has English only: in another `language`
    the first ear is Vosk or missing. Where it is to do without a second, phones are told by a small network
    (`phone_ear`). `second` makes the second ear, where it is not to be loaded here. With
    `own`, what kitchend plays, it hears the cook through it; `on_room` is given each chunk of the room's
    sound while nobody speaks, `on_partial` what the phrase in progress sounds like to the first ear so far.
    """
    from kitchend.hearing.silero import Silero
    from kitchend.hearing.weights import is_adapted
    from kitchend.hearing.worth import shipped

    is_home = whisper_folder is None or is_adapted(whisper_folder)
    with ThreadPoolExecutor(max_workers=1) as apart:  # two ears load side by side, mostly in C
        if ears == "first":
            second = partial(_in_its_place, vosk_model, language)
        loading = apart.submit(second or partial(second_ear, whisper_folder, language))
        listener = SoundListener(
            first=None if ears == "second" else _first_ear(vosk_model, denoise, language),
            second=loading.result(),
            chance=Silero(),
            seconds=seconds,
            own=own,
            on_room=on_room,
            weights=shipped(language, is_adapted=is_home),
            on_partial=on_partial,
        )
    look_seldom()
    return listener


def _first_ear(vosk_model: Path | None, denoise: bool | None, language: str) -> FirstEar:
    from kitchend.hearing.vosk_ear import VoskEar, find_model

    model = find_model(vosk_model, language=language)
    if model is not None:
        return _denoised(VoskEar(model)) if denoise else VoskEar(model)
    if language != "en":
        hint = f"set vosk_model to the folder of a Vosk model for {language}, or put it into ~/.cache/vosk"
        raise DeviceError("first ear", f"there is no Vosk model for the language {language}", hint)
    from kitchend.hearing.pocketsphinx_ear import PocketSphinxEar

    ear = PocketSphinxEar()
    return ear if denoise is False else _denoised(ear)


def _denoised(ear: FirstEar) -> FirstEar:
    from kitchend.hearing.denoise import DeepFilter, Denoised

    return Denoised(ear, DeepFilter())


def _in_its_place(vosk_model: Path | None, language: str) -> SecondEar | None:
    """What judges where there is no second ear; nothing where Vosk listens, which tells how sure it is."""
    from kitchend.hearing.phone_ear import PhoneEar
    from kitchend.hearing.vosk_ear import find_model

    return PhoneEar() if language == "en" and find_model(vosk_model, language=language) is None else None


def second_ear(folder: Path | None, language: str) -> SecondEar:
    """Whisper from this folder, or from where it is installed; DeviceError if it is nowhere.

    One that was adapted to kitchens is told phones as well, and asked only where these alone will not do: the
    rule for others knows no phones.
    """
    from kitchend.hearing.phone_ear import PhoneEar
    from kitchend.hearing.phones_first import PhonesFirst
    from kitchend.hearing.weights import is_adapted, whisper_folder
    from kitchend.hearing.whisper_ear import WhisperEar

    found = whisper_folder(folder, language=language)
    if not is_adapted(found):
        return WhisperEar(found, language=language)
    phones = PhoneEar()
    return PhonesFirst(phones, WhisperEar(found, language=language, phones=phones))
