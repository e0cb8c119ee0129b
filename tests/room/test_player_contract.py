"""What every player promises, asked of the one in memory and of the real one in a room."""

import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import pytest

from kitchend.errors import DeviceError
from kitchend.rehearsal.room import Room, find
from kitchend.speaking.in_memory import MemoryPlayer
from kitchend.speaking.player import SpeakerPlayer
from kitchend.speaking.ports import Player
from kitchend.speaking.sound import Sound, from_samples, joined, silence


def rustle(seconds: float, seed: int) -> Sound:
    raw = np.random.default_rng(seed).normal(size=round(seconds * 16_000))
    return from_samples(np.convolve(raw, np.ones(4) / 4, "same"), 16_000).levelled(0.1)


@dataclass(frozen=True)
class Stage:
    """A player and what was heard of it so far."""

    player: Player
    heard: Callable[[], Sound]


def in_memory() -> Stage:
    player = MemoryPlayer(pace=1.0)

    def heard() -> Sound:
        return joined(
            silence(0, 16_000), *(p.sound for p in player.played if not p.is_cut), silence(2, 16_000)
        )

    return Stage(player=player, heard=heard)


@pytest.fixture(params=["memory", pytest.param("sounddevice", marks=pytest.mark.sound)])
def stage(request: pytest.FixtureRequest) -> Iterator[Stage]:
    if request.param == "memory":
        yield in_memory()
        return
    room: Room = request.getfixturevalue("in_room")
    with room.recording() as tape:
        yield Stage(player=SpeakerPlayer(), heard=lambda: tape.sound)


def test_a_sound_has_been_heard_whole_when_play_returns(stage: Stage) -> None:
    said = rustle(0.5, seed=1)
    stage.player.play(said)
    assert find(said, stage.heard()).likeness > 0.95


def test_sounds_are_heard_in_the_order_they_were_played(stage: Stage) -> None:
    sounds = [rustle(0.3, seed) for seed in (1, 2, 3)]
    for sound in sounds:
        stage.player.play(sound)
    found = [find(sound, stage.heard()) for sound in sounds]
    assert min(match.likeness for match in found) > 0.95
    assert [m.at_s for m in found] == sorted(m.at_s for m in found)


def test_two_threads_playing_at_once_are_heard_one_after_the_other(stage: Stage) -> None:
    one, other = rustle(0.5, seed=1), rustle(0.5, seed=2)
    threads = [threading.Thread(target=stage.player.play, args=(sound,)) for sound in (one, other)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    first, second = sorted((find(one, stage.heard()), find(other, stage.heard())), key=lambda m: m.at_s)
    assert min(first.likeness, second.likeness) > 0.95
    assert second.at_s >= first.at_s + 0.5


def test_the_start_is_told_once_and_before_the_end(stage: Stage) -> None:
    told: list[float] = []
    stage.player.play(rustle(0.3, seed=1), told.append)
    assert len(told) == 1
    assert 0.0 <= told[0] < 0.3


def test_stop_ends_a_sound_before_its_end(stage: Stage) -> None:
    long = joined(rustle(0.4, seed=1), rustle(6, seed=2), rustle(0.4, seed=3))
    stage.player.play(long, lambda _in_s: threading.Timer(0.4, stage.player.stop).start())
    assert find(rustle(0.4, seed=3), joined(stage.heard(), silence(1, 16_000))).likeness < 0.3


def test_stop_with_nothing_playing_does_not_touch_the_next_sound(stage: Stage) -> None:
    stage.player.stop()
    said = rustle(0.3, seed=1)
    stage.player.play(said)
    stage.player.stop()
    assert find(said, stage.heard()).likeness > 0.95


def test_a_sound_can_be_played_after_one_was_stopped(stage: Stage) -> None:
    stage.player.play(rustle(5, seed=2), lambda _in_s: stage.player.stop())
    said = rustle(0.3, seed=1)
    stage.player.play(said)
    assert find(said, stage.heard()).likeness > 0.95


def test_an_empty_sound_is_over_at_once_and_never_starts(stage: Stage) -> None:
    told: list[float] = []
    stage.player.play(silence(0, 16_000), told.append)
    assert told == []


def test_a_loudspeaker_that_nobody_has_is_one_line(in_room: Room) -> None:
    with pytest.raises(DeviceError) as caught:
        SpeakerPlayer(device="the good speakers").play(rustle(0.1, seed=1))
    assert str(caught.value).startswith(
        "loudspeaker: no loudspeaker called 'the good speakers' can be opened; "
    )


def test_a_loudspeaker_that_vanishes_is_an_error_and_not_a_hang(in_room: Room) -> None:
    player = SpeakerPlayer()
    with pytest.raises(DeviceError, match="vanished while speaking"):
        player.play(rustle(20, seed=1), lambda _in_s: in_room.pull_the_plug())
    with pytest.raises(DeviceError, match="can be opened"):
        player.play(rustle(0.3, seed=1))


def test_a_loudspeaker_that_comes_back_is_used_again(in_room: Room) -> None:
    player = SpeakerPlayer()
    with pytest.raises(DeviceError):
        player.play(rustle(20, seed=1), lambda _in_s: in_room.pull_the_plug())
    in_room.plug_in()
    said = rustle(0.3, seed=2)
    with in_room.recording() as tape:
        player.play(said)
    assert find(said, tape.sound).likeness > 0.95
