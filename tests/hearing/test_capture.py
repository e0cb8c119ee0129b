"""Sources of sound: an array in blocks, and the microphone's behaviour without hardware."""

from typing import Any

import numpy as np
import pytest

from kitchend.errors import DeviceError
from kitchend.hearing.capture import WAITING, ArraySource, Microphone


def test_an_array_comes_in_blocks_and_in_order() -> None:
    sound = np.arange(1300, dtype=np.float32)
    blocks = list(ArraySource(sound, block=512).blocks())
    assert [len(block) for block in blocks] == [512, 512, 276]
    assert np.array_equal(np.concatenate(blocks), sound)


def test_a_closed_source_gives_no_more() -> None:
    source = ArraySource(np.zeros(5000, np.float32))
    blocks = source.blocks()
    next(blocks)
    source.close()
    source.close()
    assert list(blocks) == []


def test_a_microphone_that_is_not_there_is_one_line_with_the_remedy() -> None:
    try:
        import sounddevice  # noqa: F401 - only whether PortAudio is there
    except OSError:
        pytest.skip("PortAudio is not installed: apt install libportaudio2")
    with pytest.raises(DeviceError, match=r"microphone: it cannot be opened: .*; check that") as caught:
        next(Microphone("a microphone nobody owns").blocks())
    assert "\n" not in str(caught.value)


class Stream:
    """Stands for an open stream of PortAudio that gives no sound."""

    samplerate = 16_000.0

    def __init__(self, active: bool) -> None:
        self.active = active

    def start(self) -> None:
        pass

    def abort(self, ignore_errors: bool) -> None:
        pass

    def close(self, ignore_errors: bool) -> None:
        pass


def test_a_microphone_that_has_stopped_is_a_device_error(monkeypatch: pytest.MonkeyPatch) -> None:
    microphone = Microphone()
    monkeypatch.setattr(microphone, "_stream", lambda: Stream(active=False))
    with pytest.raises(DeviceError, match="gives no sound any more"):
        next(microphone.blocks())


def test_when_nobody_takes_the_sound_the_oldest_is_dropped(monkeypatch: pytest.MonkeyPatch) -> None:
    microphone = Microphone()
    monkeypatch.setattr(microphone, "_stream", lambda: Stream(active=True))
    taken: Any = microphone._take
    for number in range(WAITING + 10):
        taken(np.full((1, 1), number, np.float32), 1, None, None)
    blocks = microphone.blocks()
    numbers = [int(next(blocks)[0]) for _ in range(WAITING + 10)]
    assert numbers == [0] * 10 + list(range(10, WAITING + 10)), "silence stands in, so that counts stay right"
