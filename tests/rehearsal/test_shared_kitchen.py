"""Two plans that share a kitchen, lived through: both passes are called, each cook by name, in one dinner."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitchend.rehearsal import rehearse
from kitchend.rehearsal.rehearsing import RehearsalError

BOWLS = """\
plan: Early bowls
serve: "18:45"
cooks: [Mira, Jonas]
equipment:
  hob: {rings: 2}
dishes:
  - dish: leek soup
    steps:
      - step: slice the leeks
        hands: 6 min
        keeps: 1 h
      - step: simmer the soup
        hands: 2 min
        takes: 15 min
        on: hob
        keeps: 10 min
"""
PLATES = """\
plan: Late plates
serve: "19:15"
equipment:
  hob: {rings: 4}
dishes:
  - dish: lentils
    steps:
      - step: boil the lentils
        hands: 2 min
        takes: 20 min
        on: hob
        keeps: 20 min
"""


def files(folder: Path) -> list[Path]:
    paths = [folder / "bowls.yaml", folder / "plates.yaml"]
    for path, text in zip(paths, (BOWLS, PLATES), strict=True):
        path.write_text(text)
    return paths


@pytest.mark.parametrize("serve", [None, "19:15", ["18:45", "19:15"]], ids=["own", "the last", "one each"])
def test_both_passes_are_called_and_each_cook_by_name(tmp_path: Path, serve: str | list[str] | None) -> None:
    lines: list[str] = []
    done = rehearse(files(tmp_path), ears="typed", serve=serve, on_line=lines.append)
    told = "\n".join(lines)
    assert done.plan == "Early bowls and Late plates"
    assert (done.steps_done, done.steps, done.lost_timers) == (3, 3, ())
    assert "places of the hob differ (2 in " in lines[0]
    assert "The passes are at six forty five and seven fifteen." in told
    assert "Mira: slice the leeks now." in told
    assert "The pass, six forty five. Leek soup to the table." in told
    assert "Everything to the table." in told
    assert told.index("Leek soup to the table") < told.index("Everything to the table")


@pytest.mark.parametrize("serve", ["2026-12-24T19:15", "tomorrow 19:15"])
def test_a_rehearsal_has_an_evening_of_its_own(tmp_path: Path, serve: str) -> None:
    with pytest.raises(RehearsalError, match="is no time of day"):
        rehearse(files(tmp_path), ears="typed", serve=serve)
