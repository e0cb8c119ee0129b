"""Puts the board beside a dinner, as the settings have it. Without its port a dinner goes on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from kitchend.errors import DeviceError
from kitchend.service.guard import one_line
from kitchend.service.house import Beside, House, nothing_beside
from kitchend.service.places import Places
from kitchend.service.ports import Complain, Plans
from kitchend.service.settings import Settings


def board_beside(
    settings: Settings,
    places: Places,
    *,
    write: Callable[[str], None],
    complain: Complain,
    folder: Path | None = None,
    is_wanted: bool = True,
) -> Beside:
    """What serves the board while a dinner's house stands; `folder` is where plans can be added."""
    if not is_wanted or settings.board == "none":
        return nothing_beside

    @contextmanager
    def beside(house: House, plans: Plans) -> Iterator[None]:
        from kitchend.board.serving import Wanted, board

        wanted = Wanted(
            is_lan=settings.board == "lan", port=settings.board_port, folder=folder, rules=settings.rules
        )
        with ExitStack() as stack:
            try:
                served = stack.enter_context(board(house, plans, places, wanted, complain))
                write(f"board: {served.address}")
            except DeviceError as error:
                complain(f"{one_line(str(error))}; so there is no board")
            yield

    return beside
