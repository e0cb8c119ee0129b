"""A board that is really served, over a small dinner whose clock a test moves by hand."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kitchend.board.serving import Board, Wanted, board
from kitchend.service.house import House
from kitchend.service.overheard import Overheard
from kitchend.service.places import Places, places
from kitchend.service.plan_folder import FolderPlans
from tests.service.kitchen import Kitchen

SUPPER = """
plan: Orchard supper
people: 6
equipment:
  oven: {shelves: 2}
  hob: {rings: 3}
dishes:
  - dish: glazed ham
    also: [ham]
    steps:
      - step: score the ham
        hands: 6 min
        raw: meat
      - step: bake the ham
        hands: 2 min
        takes: 60 to 75 min
        until: 65 C inside
        in: oven at 180 C
        look for: glaze is dark at the edges
      - step: baste the ham
        during: bake the ham
        at: 35 min
        hands: 2 min
      - step: stand the ham
        takes: 15 min
        keeps: 25 min
      - step: slice the ham
        hands: 6 min
        keeps: 5 min
  - dish: fennel
    steps:
      - step: quarter the fennel
        hands: 8 min
        keeps: 2 h
      - step: bake the fennel
        hands: 1 min
        takes: 35 min
        in: oven at 180 C
        keeps: 8 min
  - dish: bulgur
    steps:
      - step: simmer the bulgur
        hands: 2 min
        takes: 14 min
        on: hob
        keeps: 10 min
  - dish: spinach
    steps:
      - step: wash the spinach
        hands: 5 min
        keeps: 2 h
      - step: wilt the spinach
        hands: 2 min
        takes: 4 min
        on: hob
        keeps: 3 min
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """A kitchen, its board, and where the board is."""

    kitchen: Kitchen
    board: Board
    folder: Path
    places: Places
    complaints: list[str]
    overheard: Overheard

    @property
    def port(self) -> int:
        return self.board.port

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"


def places_in(folder: Path) -> Places:
    names = ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "XDG_RUNTIME_DIR")
    return places({"HOME": str(folder), **{name: str(folder / name.lower()) for name in names}})


@contextmanager
def served(kitchen: Kitchen, folder: Path, *, hears: bool = True, **wanted: Any) -> Iterator[Served]:
    """The board of this kitchen at a port of its own, with plans in `folder`."""
    where, complaints, overheard = places_in(folder), list[str](), Overheard()
    plans = FolderPlans(folder / "plans", complaints.append)
    house = House(
        runner=kitchen.runner,
        clock=kitchen.clock,
        planner=kitchen.planner,
        last=None,
        hears=hears,
        speaks=True,
        language=kitchen.runner.state.manners.language,
        overheard=overheard,
    )
    given: dict[str, Any] = {"port": 0, "folder": folder / "plans"} | wanted
    with board(house, plans, where, Wanted(**given), complaints.append) as up:
        yield Served(
            kitchen=kitchen,
            board=up,
            folder=folder / "plans",
            places=where,
            complaints=complaints,
            overheard=overheard,
        )
