"""How much memory and disk each configuration takes: the table of the README. Prints; asserts nothing.

Memory is that of the real `cook` process in a room without hardware, after it has listened to two phrases or
more; beside it, that of the process it plans in, while it has one. Disk is what the locked packages fill.
"""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

from kitchend.hearing.weights import adapted_bytes
from kitchend.rehearsal.room import Room, RoomUnavailable
from tests.cli.footprint import footprint
from tests.cli.long_evening import begun, talk

LOCKS = Path(__file__).parents[2] / ".ci" / "locked"
BASES = ("XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_RUNTIME_DIR")


@dataclass(frozen=True, slots=True, kw_only=True)
class Configuration:
    """A line of the table: its settings, and what it needs on the disk."""

    name: str
    settings: str
    lock: str = "run.txt"
    has_sound: bool = True


CONFIGURATIONS = (
    Configuration(name="typed words and printed calls, no sound", settings="", has_sound=False),
    Configuration(name="first ear, espeak-ng voice", settings="ears: first"),
    Configuration(name="both ears, espeak-ng voice", settings="ears: both"),
    Configuration(name="both ears, natural voice", settings="ears: both\nvoice: natural", lock="natural.txt"),
)


def main() -> None:
    """Print the table."""
    print("| configuration | memory | more while planning | disk |\n|---|---|---|---|")
    for one in CONFIGURATIONS:
        try:
            held_mb, planning_mb = measured(one)
        except (RoomUnavailable, AssertionError) as error:
            print(f"| {one.name} | NOT MEASURED: {str(error).splitlines()[0]} | | |", flush=True)
            continue
        disk = disk_mb(one.lock) + (adapted_bytes() / 1e6 if "both" in one.settings else 0)
        print(f"| {one.name} | {held_mb:.0f} MB | {planning_mb:.0f} MB | {disk:.0f} MB |", flush=True)


def measured(one: Configuration) -> tuple[float, float]:
    """What it holds at work, and what the process it plans in holds besides, in MB."""
    with Room() as room, tempfile.TemporaryDirectory(prefix="kitchend-footprint-") as own:
        os.environ.update({**room.environment, **dict.fromkeys(BASES, own)})
        (Path(own) / "kitchend").mkdir()
        (Path(own) / "kitchend" / "settings.yaml").write_text(one.settings, encoding="utf-8")
        if not one.has_sound:
            room.pull_the_plug()
        with begun(Path(own)) as process:
            planning_mb = footprint(process.child.pid).children_mb
            if one.has_sound:
                # Understood or not: what matters is that phrases were listened to.
                with suppress(AssertionError):
                    talk(room, process)
            return footprint(process.child.pid).resident_mb, planning_mb


def disk_mb(lock: str) -> float:
    """What the packages of a lock fill where they are installed; what is not installed here is told."""
    names = {
        line.partition("==")[0] for line in (LOCKS / lock).read_text("utf-8").splitlines() if "==" in line
    }
    return sum(installed_bytes(name) for name in names) / 1e6


def installed_bytes(name: str) -> int:
    """The files of one package."""
    try:
        files = distribution(name).files or []
    except PackageNotFoundError:
        print(f"{name} is not installed here and not counted")
        return 0
    return sum(path.stat().st_size for file in files if (path := Path(str(file.locate()))).is_file())


if __name__ == "__main__":
    main()
