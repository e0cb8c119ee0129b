"""A real dinner by voice where no disk takes anything: state, cache and temporary files alike."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.rehearsal.room import Room
from tests.cli.process import hours_on, kitchend
from tests.cli.test_cook import QUICK
from tests.cli.test_in_room import room as room
from tests.cli.test_in_room import say_until_answered
from tests.service.disks import small_disk

pytestmark = [pytest.mark.sound, pytest.mark.slow]


@pytest.mark.timeout(300)
@pytest.mark.parametrize("is_full", [True, False], ids=["full", "read-only"])
def test_it_hears_and_speaks_though_no_disk_takes_anything(
    room: Room, own_folders: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, is_full: bool
) -> None:
    (tmp_path / "quick.yaml").write_text(QUICK)
    with small_disk(own_folders / "disk") as disk:
        for name in ("XDG_STATE_HOME", "XDG_CACHE_HOME", "TMPDIR"):
            monkeypatch.setenv(name, str(disk.path))
        if is_full:
            disk.fill()
        else:
            disk.let_write(False)
        with kitchend("cook", str(tmp_path / "quick.yaml"), "--serve", hours_on()) as process:
            for words in ("I cannot keep the journal.", "The pass is at"):
                assert process.has_come(words, within_s=90), process.told
            say_until_answered(room, process, "hey kitchen, noodles are on", "Noodles on.")
            assert process.has_come("Up: the noodles.", within_s=60), process.told
            assert not any("cannot hear" in line or "cannot speak" in line for line in process.lines)
            assert process.end() == 0
            assert process.lines[-1] == "Stopped, and the dinner is not kept: the disk takes nothing."
    assert "Traceback" not in process.told
    assert "bug" not in process.told
