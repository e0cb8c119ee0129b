"""What is played in the room is what is heard in it, by whichever way it is played and heard."""

import os
import shutil
import subprocess
import sys
import threading
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import sounddevice

from kitchend.rehearsal.cook_voices import available, cook_voice
from kitchend.rehearsal.room import Room, RoomUnavailable, find, mix
from kitchend.speaking.chimes import chime
from kitchend.speaking.sound import Sound, from_samples, joined, silence


def rustle(seconds: float = 0.6, seed: int = 5) -> Sound:
    """Noise that is like no other stretch of sound, a bit softer towards the treble."""
    raw = np.random.default_rng(seed).normal(size=round(seconds * 16_000))
    return from_samples(np.convolve(raw, np.ones(4) / 4, "same"), 16_000).levelled(0.1)


def spectrum_db(sound: Sound) -> np.ndarray:
    """Level in dB of each third of an octave from 200 Hz to 5 kHz."""
    power = np.abs(np.fft.rfft(sound.samples)) ** 2
    pitch = np.fft.rfftfreq(len(sound.samples), 1 / sound.rate)
    edges = pairwise(200 * 2 ** (np.arange(15) / 3))
    bands = [power[(pitch >= low) & (pitch < high)].sum() for low, high in edges]
    return 10 * np.log10(bands)


def piece(heard: Sound, at_s: float, like: Sound) -> Sound:
    start = round(at_s * heard.rate)
    return from_samples(heard.samples[start : start + round(like.duration_s * heard.rate)], heard.rate)


def test_what_is_played_is_heard_whole_and_unchanged(room: Room) -> None:
    said = rustle()
    with room.recording() as tape:
        room.play(joined(said, silence(0.1, said.rate)))
    match = find(said, tape.sound)
    assert match.likeness > 0.95
    heard = piece(tape.sound, match.at_s, said)
    assert np.abs(spectrum_db(heard) - spectrum_db(said.resampled(heard.rate))).max() < 0.5
    assert tape.sound.trimmed(keep_s=0).duration_s == pytest.approx(said.duration_s, abs=0.01)


def test_a_silent_room_is_heard_as_silence_of_the_right_length(room: Room) -> None:
    heard = room.record(0.4, rate=16_000)
    assert len(heard.samples) == 6_400
    assert heard.rate == 16_000
    assert heard.peak == 0.0


def test_two_sounds_at_once_are_heard_together(room: Room) -> None:
    one, other = rustle(seed=1), rustle(seed=2)
    with room.recording() as tape, room.playing(one):
        room.play(other)
    # Two equal sounds on top of each other: each explains half the power, so a likeness of 0.7.
    assert find(one, tape.sound).likeness > 0.6
    assert find(other, tape.sound).likeness > 0.6


def test_sounddevice_plays_into_the_room_as_its_default_loudspeaker(in_room: Room) -> None:
    said = rustle()
    assert sounddevice.query_devices(kind="output")["name"] == "default"
    with in_room.recording() as tape:
        padded = joined(silence(0.05, 44_100), said, silence(0.3, 44_100))
        sounddevice.play(padded.samples, padded.rate, latency=0.1, blocking=True)
    assert find(said, tape.sound).likeness > 0.95


def test_sounddevice_hears_the_room_as_its_default_microphone(in_room: Room) -> None:
    said, kept = rustle(), []
    is_heard = threading.Event()

    def keep(data: np.ndarray, _frames: int, _time: object, _status: object) -> None:
        kept.append(data[:, 0].copy())
        if sum(map(len, kept)) > 44_100:
            is_heard.set()

    assert sounddevice.query_devices(kind="input")["name"] == "default"
    with sounddevice.InputStream(samplerate=44_100, channels=1, latency=0.1, callback=keep):
        in_room.play(said)
        assert is_heard.wait(10)
    assert find(said, from_samples(np.concatenate(kept), 44_100)).likeness > 0.95


def test_a_cook_is_heard_in_the_room(room: Room) -> None:
    if "slt" not in available():
        pytest.skip("flite is not installed")
    words = cook_voice("slt").render("hey kitchen, five more minutes on the squash")
    with room.recording(rate=16_000) as tape:
        room.play(words)
    assert find(words, tape.sound).likeness > 0.95


def test_another_process_finds_the_room_by_its_environment(room: Room) -> None:
    code = "import sounddevice as sd; print([d['name'] for d in sd.query_devices()])"
    asked = subprocess.run(
        [sys.executable, "-c", code], env=os.environ | dict(room.environment), capture_output=True, check=True
    )
    assert asked.stdout.decode().strip() == "['default']"


def test_two_rooms_do_not_hear_each_other(room: Room) -> None:
    with Room() as next_door, next_door.recording() as tape:
        room.play(rustle())
    assert tape.sound.peak == 0.0


def test_nothing_is_left_when_the_room_is_left() -> None:
    try:
        with Room() as room:
            server = room.environment["PULSE_SERVER"].removeprefix("unix:")
            assert Path(server).exists()
            daemon = room.daemon_id
            os.kill(daemon, 0)
    except RoomUnavailable as error:
        pytest.skip(str(error))
    assert not Path(server).parent.exists()
    with pytest.raises(ProcessLookupError):
        os.kill(daemon, 0)


def test_the_daemon_goes_with_a_process_that_dies_without_leaving_the_room(room: Room) -> None:
    if shutil.which("setpriv") is None:
        pytest.skip("setpriv is not installed, so nothing ties the daemon to its process")
    code = """
import os
from kitchend.rehearsal.room import Room
room = Room().__enter__()
print(room.daemon_id, room.environment["PULSE_SERVER"].removeprefix("unix:"), flush=True)
os._exit(1)
"""
    died = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    daemon, socket = died.stdout.split()
    shutil.rmtree(Path(socket).parent)
    assert is_gone(int(daemon))


def is_gone(process: int) -> bool:
    """Whether the process ends within a few seconds."""
    for _ in range(200):
        state = Path(f"/proc/{process}/stat")
        if not state.exists() or state.read_text().rsplit(")", 1)[1].split()[0] == "Z":
            return True
        threading.Event().wait(0.025)
    return False


def test_the_process_is_as_it_was_after_leaving_the_room(room: Room) -> None:
    before = dict(os.environ)
    with room.enter_process():
        assert os.environ["PULSE_SERVER"] == room.environment["PULSE_SERVER"]
    assert dict(os.environ) == before


def test_a_machine_without_pulseaudio_hears_why_in_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "/nonexistent")
    with pytest.raises(RoomUnavailable) as caught, Room():
        pass
    assert str(caught.value).startswith("room: pulseaudio, pactl, paplay, parec not found; install with:")
    assert "\n" not in str(caught.value)


def test_a_room_nobody_has_entered_has_no_air() -> None:
    with pytest.raises(RoomUnavailable, match="nobody has entered it"):
        Room().record(0.1)


@pytest.mark.parametrize("snr_db", [20.0, 10.0, 0.0])
def test_noise_is_mixed_under_the_loud_part_of_speech_alone(snr_db: float) -> None:
    tone = from_samples(0.2 * np.sin(np.arange(16_000) * 0.2), 16_000)
    speech = joined(tone, silence(1.0, 16_000))
    mixed = mix(speech, rustle(0.3), snr_db)
    under = mixed.samples[16_000:]  # where the speech is silent, only noise is left
    loud = tone.samples[np.abs(tone.samples) > 0.01]
    ratio = np.mean(loud.astype(float) ** 2) / np.mean(under.astype(float) ** 2)
    assert 10 * np.log10(ratio) == pytest.approx(snr_db, abs=0.5)
    assert len(mixed.samples) == len(speech.samples)


def test_a_mix_that_would_clip_is_softened_as_a_whole() -> None:
    mixed = mix(from_samples(np.sin(np.arange(8_000) * 0.3), 8_000), rustle(), 0.0)
    assert mixed.peak == pytest.approx(1.0)


def test_silence_cannot_be_mixed() -> None:
    with pytest.raises(ValueError, match="must both be heard"):
        mix(silence(1, 8_000), rustle(), 10.0)


def test_a_sound_is_not_found_where_it_is_not() -> None:
    signal = chime("now")
    assert signal is not None
    assert find(rustle(0.3), signal).likeness < 0.3
