"""What the listener's tests share: spoken sentences, the engines loaded once, recordings of people."""

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from kitchend.hearing.phone_ear import PhoneEar
from kitchend.hearing.pocketsphinx_ear import PocketSphinxEar
from kitchend.hearing.ports import Samples
from kitchend.hearing.wav import read_wav
from kitchend.hearing.weights import whisper_folder
from kitchend.hearing.whisper_ear import WhisperEar

PEOPLE = Path("/usr/share/pocketsphinx/test/data")  # where Debian's package pocketsphinx-testdata puts it

Speak = Callable[..., Samples]


@pytest.fixture(scope="session")
def speak(tmp_path_factory: pytest.TempPathFactory) -> Speak:
    """Sentences by flite: speak("greens are on", "rms"); each made once."""
    if shutil.which("flite") is None:
        pytest.skip("flite is not installed: apt install flite")
    folder = tmp_path_factory.mktemp("speech")
    made: dict[tuple[str, str], Samples] = {}

    def spoken(text: str, voice: str = "slt") -> Samples:
        if (text, voice) not in made:
            file = folder / f"{len(made)}.wav"
            subprocess.run(["flite", "-voice", voice, "-t", text, "-o", str(file)], check=True, timeout=60)
            made[text, voice] = read_wav(file)
        return made[text, voice]

    return spoken


@pytest.fixture(scope="session")
def whisper() -> WhisperEar:
    return WhisperEar(whisper_folder(), phones=PhoneEar())


@pytest.fixture
def sphinx() -> PocketSphinxEar:
    """One of its own for each test: what it heard before moves its mean."""
    return PocketSphinxEar()


@pytest.fixture(scope="session")
def people() -> Path:
    """Recorded speech with its transcripts."""
    if not PEOPLE.is_dir():
        pytest.skip("no recorded speech: apt install pocketsphinx-testdata")
    return PEOPLE
