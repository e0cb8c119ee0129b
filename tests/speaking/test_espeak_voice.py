"""kitchend's own voice: what espeak-ng does, what pyttsx3 does to it, and what is made of both."""

import gc
import shutil
import subprocess
import sys
import tempfile
import threading
from pathlib import Path
from typing import Any

import pytest

from kitchend.errors import DeviceError
from kitchend.speaking import espeak_voice
from kitchend.speaking.espeak_voice import EspeakVoice
from kitchend.speaking.sound import Sound, from_wav, silence

CALL = "Couscous on. Six minutes."
TWO_SENTENCES = "The squash is up. Take it out and rest it for ten minutes."


@pytest.fixture(scope="module", autouse=True)
def _needs_espeak() -> None:
    try:
        EspeakVoice().render("hello")
    except DeviceError as error:
        pytest.skip(str(error))


def test_calls_are_spoken_at_the_pace_of_conversation(calls: tuple[str, ...]) -> None:
    # ~150 words a minute in US conversation, audiobooks 150 to 160, intelligible up to 200
    # (lisabmarshall.com quoting NCVS; enow.com excerpt).
    voice = EspeakVoice()
    minutes = sum(voice.render(call).duration_s for call in calls) / 60
    assert 145 <= sum(len(call.split()) for call in calls) / minutes <= 175


@pytest.mark.parametrize("rate_wpm", [100, 140, 200, 300])
def test_the_rate_is_the_one_espeak_ng_itself_gives(rate_wpm: int, tmp_path: Path) -> None:
    program = shutil.which("espeak-ng")
    if program is None:
        pytest.skip("the program espeak-ng is not installed (only its library is)")
    path = tmp_path / "own.wav"
    subprocess.run([program, "-v", "en-us", "-s", str(rate_wpm), "-w", str(path), TWO_SENTENCES], check=True)
    ours = EspeakVoice(rate_wpm=rate_wpm).render(TWO_SENTENCES)
    assert ours.duration_s == pytest.approx(from_wav(path).trimmed().duration_s, rel=0.04)


def test_each_voice_keeps_its_own_settings_when_they_speak_by_turns() -> None:
    # pyttsx3 cancels a new rate that is followed too closely by words; twenty turns would show it.
    slow, fast = EspeakVoice(rate_wpm=100), EspeakVoice(voice="en-gb-x-rp", rate_wpm=300)
    for _ in range(20):
        assert slow.render(CALL).duration_s > 2 * fast.render(CALL).duration_s


def test_voices_in_several_threads_do_not_mix_their_settings() -> None:
    lengths: dict[int, list[float]] = {100: [], 160: [], 300: []}

    def speak(rate_wpm: int) -> None:
        voice = EspeakVoice(rate_wpm=rate_wpm)
        lengths[rate_wpm] += [voice.render(CALL).duration_s for _ in range(8)]

    threads = [threading.Thread(target=speak, args=(rate_wpm,)) for rate_wpm in lengths]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert min(lengths[100]) > max(lengths[160]) > min(lengths[160]) > max(lengths[300])


def test_volume_scales_the_sound() -> None:
    loud, soft = EspeakVoice(volume=1.0).render(CALL), EspeakVoice(volume=0.25).render(CALL)
    assert soft.peak == pytest.approx(loud.peak / 4, rel=0.25)


def test_the_very_first_words_are_whole() -> None:
    # pyttsx3's first run returns before the file is written when the words take longer than 10 ms.
    code = (
        "from kitchend.speaking.espeak_voice import EspeakVoice;"
        "print(EspeakVoice().render('Stir the risotto and taste it. ' * 60).duration_s)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert float(done.stdout) > 60
    assert done.stderr == ""


def test_many_renders_leave_no_threads_files_or_output_behind(
    capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(espeak_voice, "SCRATCH", tmp_path)  # others speak at the same time, elsewhere
    voice = EspeakVoice()
    voice.render(CALL)
    before = (threading.active_count(), open_files(), scratch_folders())
    for _ in range(60):
        voice.render(CALL)
    assert (threading.active_count(), open_files(), scratch_folders()) == before
    assert capfd.readouterr() == ("", "")


def open_files() -> int:
    return len(list(Path("/proc/self/fd").iterdir()))


def scratch_folders() -> list[str]:
    folder = espeak_voice.SCRATCH if espeak_voice.SCRATCH.is_dir() else Path(tempfile.gettempdir())
    return sorted(path.name for path in folder.glob("kitchend-words-*"))


def test_an_unknown_voice_is_one_line_and_the_next_one_speaks() -> None:
    with pytest.raises(DeviceError) as caught:
        EspeakVoice(voice="grandmother").render("hello")
    assert str(caught.value).startswith("voice: espeak-ng has no voice 'grandmother'; ")
    assert EspeakVoice().render("hello").duration_s > 0.2


def test_an_unknown_voice_is_refused_from_the_very_first_words_on() -> None:
    # Before its first run pyttsx3 queues settings and swallows what is wrong with them.
    code = """
from kitchend.errors import DeviceError
from kitchend.speaking.espeak_voice import EspeakVoice
try:
    EspeakVoice(voice="grandmother").render("hello")
except DeviceError as error:
    print(error.problem)
"""
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert said.stdout == "espeak-ng has no voice 'grandmother'\n"


@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_words_waiting_behind_a_hang_are_said_by_the_next_engine(monkeypatch: pytest.MonkeyPatch) -> None:
    hang_for(1, monkeypatch)
    voice, lengths = EspeakVoice(timeout_s=0.4), list[float]()
    threads = [
        threading.Thread(target=lambda: lengths.append(voice.render(CALL).duration_s)) for _ in range(4)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(lengths) == 4
    assert min(lengths) > 0.9 * EspeakVoice().render(CALL).duration_s


@pytest.mark.parametrize(("times", "is_said"), [(1, True), (2, False)], ids=["once", "twice"])
def test_words_that_come_out_empty_are_tried_again(
    times: int, is_said: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Seen on a busy machine: pyttsx3 reports success and leaves a file without sound.
    empties = [silence(0.3, 22_050)] * times

    def read(path: Path) -> Sound:
        return empties.pop() if empties else from_wav(path)

    monkeypatch.setattr(espeak_voice, "from_wav", read)
    if is_said:
        assert EspeakVoice().render("hello there").duration_s > 0.2
    else:
        with pytest.raises(DeviceError, match="gave no sound, twice"):
            EspeakVoice().render("hello there")


@pytest.mark.parametrize(("rate_wpm", "volume"), [(79, 1.0), (451, 1.0), (160, -0.1), (160, 1.1)])
def test_settings_no_voice_can_have_are_refused(rate_wpm: int, volume: float) -> None:
    with pytest.raises(ValueError, match="not "):
        EspeakVoice(rate_wpm=rate_wpm, volume=volume)


class NoSuchFolder:
    """A scratch folder cleaned away by somebody: pyttsx3 cannot write there, and then waits for ever."""

    left = 0

    def __init__(self, **_kwargs: object) -> None:
        pass

    def __enter__(self) -> str:
        type(self).left -= 1
        return "/nonexistent/folder"

    def __exit__(self, *_exc: object) -> None:
        pass


def hang_for(times: int, monkeypatch: pytest.MonkeyPatch) -> None:
    real = tempfile.TemporaryDirectory

    def folder(**kwargs: Any) -> Any:
        return NoSuchFolder(**kwargs) if NoSuchFolder.left > 0 else real(**kwargs)

    monkeypatch.setattr(NoSuchFolder, "left", times)
    monkeypatch.setattr(tempfile, "TemporaryDirectory", folder)


# pyttsx3 raises inside the library's callback, where nobody can catch it; that it is reported is all right.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_an_engine_that_hangs_is_replaced_and_the_words_are_said(
    monkeypatch: pytest.MonkeyPatch, calls: tuple[str, ...]
) -> None:
    hang_for(1, monkeypatch)
    assert EspeakVoice(timeout_s=0.3).render("hello there").duration_s > 0.2
    gc.collect()  # an engine that goes takes the library's callback with it, so the old one must not go
    assert min(EspeakVoice().render(call).duration_s for call in calls) > 0.5


@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_an_engine_that_keeps_hanging_is_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    hang_for(2, monkeypatch)
    with pytest.raises(DeviceError, match="gave no sound, twice"):
        EspeakVoice(timeout_s=0.3).render("hello there")
    assert EspeakVoice().render("hello there").duration_s > 0.2


def test_a_machine_without_the_library_hears_how_to_get_it() -> None:
    # The loader is made to find no speech library; all above it is real.
    code = """
import ctypes
find = ctypes.cdll.LoadLibrary
def lacking(name):
    if "espeak" in str(name):
        raise OSError(f"{name}: cannot open shared object file")
    return find(name)
ctypes.cdll.LoadLibrary = lacking
from kitchend.errors import DeviceError
from kitchend.speaking.espeak_voice import EspeakVoice
try:
    EspeakVoice().render("hello")
except DeviceError as error:
    print(error)
"""
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert said.stdout == (
        "voice: the speech library libespeak-ng is missing; install it with: sudo apt-get install espeak-ng\n"
    )
    assert said.stderr == ""


def test_importing_the_voice_does_not_load_the_library() -> None:
    code = "import sys, kitchend.speaking.espeak_voice; print('pyttsx3' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, check=True).stdout == b"False\n"
