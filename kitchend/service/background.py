"""`kitchend run`: the background service. Waits for a plan by voice or socket, serves it, waits again.

An unfinished dinner is carried on by itself. Ends cleanly on SIGTERM and SIGINT; the journal keeps it.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from kitchend.service.guard import FINE
from kitchend.service.house import Beside, nothing_beside, open_house
from kitchend.service.notify import READY, STOPPING, is_system_log, notify
from kitchend.service.places import Places
from kitchend.service.plan_folder import FolderPlans
from kitchend.service.ports import Complain
from kitchend.service.runner import Observer
from kitchend.service.settings import Settings
from kitchend.service.signals import stop_on_signals
from kitchend.service.transcript import Transcript
from kitchend.service.watchdog import StatusLine


def run(
    settings: Settings,
    places: Places,
    *,
    write: Callable[[str], None],
    complain: Complain,
    beside: Beside = nothing_beside,
) -> int:
    """Serve until told to stop; the exit code."""
    folder = plans_folder(settings, places)
    plans = FolderPlans(folder, complain)
    observers: list[Observer] = [StatusLine()]
    if not is_system_log():
        # The system's log would keep what is said, and `kitchend forget` has no say there.
        observers.append(Transcript(write, echoes=True))
    with open_house(settings, places, plans=plans, complain=complain, observers=observers) as house:
        is_back = house.runner.restore()
        house.runner.introduce()
        write(_greeting(is_back, len(plans.names()), folder))
        with stop_on_signals(house.runner.stop), beside(house, plans):
            notify(READY)
            house.runner.run_forever()
        notify(STOPPING)
    return FINE


def plans_folder(settings: Settings, places: Places) -> Path:
    """The folder of the settings; else the usual one; if that is missing, `plans` in the present folder."""
    if settings.plans is not None:
        return Path(settings.plans).expanduser()
    here = Path("plans").resolve()
    return here if here.is_dir() and not places.plans.is_dir() else places.plans


def _greeting(is_back: bool, count: int, folder: Path) -> str:
    plans = f"{count} plan{'' if count == 1 else 's'} in {folder}"
    return f"ready, {plans}, carrying on with the dinner that was on" if is_back else f"ready, {plans}"
