"""What the real process costs in a room full of kitchen noise: a sample of the half hour in `make soak`."""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest

from kitchend.rehearsal.room import Room, RoomUnavailable
from tests.cli.footprint import cpu_s, footprint
from tests.cli.long_evening import Evening, Spell, live
from tests.room.kitchen_noise import kitchen_noise


@pytest.mark.sound
@pytest.mark.slow
def test_kitchen_noise_is_listened_to_and_leaves_nothing_behind(
    own_folders: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    try:
        with Room() as room:
            for name, value in room.environment.items():
                monkeypatch.setenv(name, value)
            noise = kitchen_noise(None)
            *_, evening = live(room, own_folders, noise, spells=6, spell_s=3, types_every=6)
    except RoomUnavailable as error:
        pytest.skip(str(error))
    assert evening.heard == [], "noise was taken for words"
    assert evening.quiet_share > 0, "it does not listen"
    assert evening.growth_mb(settled=3) < 5
    assert "Traceback" not in evening.told


def test_only_spells_with_noise_alone_count_for_listening() -> None:
    at_end = footprint(os.getpid())
    talk = Spell(seconds=10, cpu_s=9, at_end=at_end, printed=2)
    quiet = Spell(seconds=10, cpu_s=1, at_end=at_end, printed=0)
    assert Evening(spells=[talk, quiet, quiet]).quiet_share == pytest.approx(0.1)
    with pytest.raises(ValueError, match="noise only"):
        _ = Evening(spells=[talk]).quiet_share


def test_a_process_that_has_ended_costs_nothing() -> None:
    assert cpu_s(os.getpid()) > 0
    assert footprint(os.getpid()).resident_mb > 10
    assert footprint(2**22 + 1).resident_mb == 0


def test_noise_comes_from_a_folder_or_is_made_up_the_same_every_time(tmp_path: Path) -> None:
    made_up = kitchen_noise(None)
    assert np.array_equal(made_up.samples, kitchen_noise(None).samples)
    assert 0.01 < float(np.sqrt(np.mean(made_up.samples**2))) < 0.3
    with pytest.raises(ValueError, match="no WAV file"):
        kitchen_noise(tmp_path)
