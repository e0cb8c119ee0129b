"""`kitchend backup`, `restore` and `forget`: everything of a kitchend in one file, back again, and away.

A backup can be made while a dinner is on; a restore cannot. What a restore replaces is kept beside it under a
dated name. Nothing is taken from a backup but files of the names that one has.
"""

from __future__ import annotations

import gzip
import io
import shutil
import sqlite3
import tarfile
import tempfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from pathlib import Path

from kitchend.core.dinner import begin, step
from kitchend.errors import DeviceError
from kitchend.service.background import plans_folder
from kitchend.service.control import ask
from kitchend.service.guard import FINE, UseError
from kitchend.service.journal import open_journal, set_aside
from kitchend.service.only_one import OtherKitchendError, only_one
from kitchend.service.places import Places
from kitchend.service.plan_folder import SUFFIXES
from kitchend.service.retention import past_dinners, remove
from kitchend.service.settings import Settings, read_settings
from kitchend.service.snapshot import FileSnapshots
from kitchend.service.wall_clock import wall_now

Show = Callable[[str], None]

ON_IS_KEPT = "What is on, a dinner or a timer, is kept until it is over."
RUNNING_IS_KEPT = (
    "What was said to the kitchend that is running is kept: it cannot be asked. End it, then forget again."
)

MAX_BYTES = 500_000_000
"""No kitchend holds more than this; a backup that says so is none."""


def backup(target: Path, settings: Settings, places: Places, *, show: Show) -> int:
    """Write settings, plans, journal and past dinners to one file; the exit code."""
    if target.exists():
        raise UseError(f"{target} is there already; name another file")
    fresh = target.with_name(target.name + ".part")
    try:
        with tempfile.TemporaryDirectory(prefix="kitchend-backup-") as folder, fresh.open("xb") as file:
            fresh.chmod(0o600)
            with tarfile.open(fileobj=file, mode="w:gz") as archive:
                count = 0
                for name, path in _everything(settings, places, Path(folder)):
                    archive.add(path, arcname=name, recursive=False)
                    count += 1
        if count == 0:
            raise _nothing_there(fresh, places)
        fresh.replace(target)
    except OSError as error:
        fresh.unlink(missing_ok=True)
        raise UseError(f"cannot write {target}: {error.strerror or error}") from None
    show(f"{count} file{'' if count == 1 else 's'} in {target}")
    return FINE


def _nothing_there(fresh: Path, places: Places) -> UseError:
    """What to say where there is nothing to keep; an empty backup would only pass for one."""
    fresh.unlink(missing_ok=True)
    return UseError(
        f"there is nothing to keep in {places.settings.parent} and {places.journal.parent}; what the service"
        " of the system has is root's to keep: sudo kitchend backup FILE"
    )


def _everything(settings: Settings, places: Places, folder: Path) -> Iterator[tuple[str, Path]]:
    if places.settings.exists():
        yield "settings.yaml", places.settings
    plans = plans_folder(settings, places)
    for path in sorted(plans.iterdir()) if plans.is_dir() else ():
        if path.suffix in SUFFIXES and path.is_file():
            yield f"plans/{path.name}", path
    if places.journal.exists():
        copy = folder / places.journal.name
        _copy_journal(places.journal, copy)
        yield f"journal/{copy.name}", copy
    for path in past_dinners(places.journal):
        yield f"journal/{path.name}", path


def _copy_journal(journal: Path, copy: Path) -> None:
    """A copy as of one moment, though somebody may be writing."""
    try:
        with closing(sqlite3.connect(journal)) as source, closing(sqlite3.connect(copy)) as target:
            source.backup(target)
    except sqlite3.Error as error:
        raise DeviceError("journal", f"cannot read {journal}: {error}", "is it damaged?") from None


def restore(source: Path, settings: Settings, places: Places, *, show: Show) -> int:
    """Put everything of a backup back where it was; the exit code. Refused while a kitchend runs."""
    with only_one(places.journal), tempfile.TemporaryDirectory(prefix="kitchend-restore-") as name:
        folder = Path(name)
        names = _unpacked(source, folder)
        _check(folder, names)
        for one in names:
            _put_back(folder / one, _place_of(one, settings, places))
        FileSnapshots(places.snapshot).forget()
    show(f"{len(names)} file{'' if len(names) == 1 else 's'} restored; what was there before is beside them")
    return FINE


def _unpacked(source: Path, folder: Path) -> list[str]:
    """The files of a backup, read into `folder`; UseError if it is none."""
    none = UseError(f"{source} is no backup of kitchend")
    try:
        with source.open("rb") as file, tarfile.open(fileobj=file, mode="r:gz") as archive:
            members = archive.getmembers()
            if not members or sum(member.size for member in members) > MAX_BYTES:
                raise none
            for member in members:
                if not (member.isreg() and _is_known(member.name)):
                    raise none
                target = folder / member.name
                target.parent.mkdir(exist_ok=True)
                with target.open("wb") as out:
                    shutil.copyfileobj(archive.extractfile(member) or io.BytesIO(), out)
    except FileNotFoundError:
        raise UseError(f"there is no file {source}") from None
    except (OSError, EOFError, tarfile.TarError, gzip.BadGzipFile, zlib.error):
        raise none from None
    return [member.name for member in members]


def _is_known(name: str) -> bool:
    """Whether a backup has files of this name: never one that leads elsewhere."""
    head, slash, tail = name.partition("/")
    if not slash:
        return name == "settings.yaml"
    is_plain = bool(tail) and "/" not in tail and tail not in (".", "..") and not tail.startswith(".")
    return is_plain and (
        (head == "plans" and Path(tail).suffix in SUFFIXES)
        or (head == "journal" and tail.endswith(".sqlite3"))
    )


def _check(folder: Path, names: list[str]) -> None:
    """Refuse what would not do once it is in place, before anything is touched."""
    if "settings.yaml" in names:
        read_settings(folder / "settings.yaml")
    journal = folder / "journal" / "journal.sqlite3"
    if journal.exists():
        complaints: list[str] = []
        open_journal(journal, wall=wall_now, complain=complaints.append).close()
        if complaints:
            raise DeviceError("journal", "the one in the backup is damaged", "use an older backup")


def _place_of(name: str, settings: Settings, places: Places) -> Path:
    head, _, tail = name.partition("/")
    if head == "plans":
        # Never a folder that merely happens to be called plans where the command was given.
        return (Path(settings.plans).expanduser() if settings.plans else places.plans) / tail
    return places.journal.parent / tail if head == "journal" else places.settings


def _put_back(found: Path, place: Path) -> None:
    try:
        place.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        if place.exists():
            if place.read_bytes() == found.read_bytes():
                return
            # A plan set aside is none any more, else it would be cooked in place of the one restored.
            set_aside(place, wall_now(), "replaced", ".old" if place.suffix in SUFFIXES else "")
        shutil.copyfile(found, place)
        place.chmod(0o600)
    except OSError as error:
        raise UseError(f"cannot write {place}: {error.strerror or error}") from None


def forget(places: Places, *, show: Show) -> int:
    """Remove what was said at dinners that are over, and between them; the exit code. What is on is kept."""
    kept = _what_is_kept(places)
    gone = past_dinners(places.journal)
    for path in gone:
        remove(path)
    show(f"{len(gone)} past dinner{'' if len(gone) == 1 else 's'} forgotten")
    if kept:
        show(kept)
    return FINE


def _what_is_kept(places: Places) -> str:
    """Empty the journal unless something is on; else a sentence about what stays."""
    with suppress(OtherKitchendError), only_one(places.journal):
        if _is_on(places.journal):
            return ON_IS_KEPT
        remove(places.journal)
        FileSnapshots(places.snapshot).forget()
        return ""
    try:
        answer = ask(places.socket, {"forget": True})
    except DeviceError:
        answer = {}
    if "forgotten" not in answer:
        return RUNNING_IS_KEPT
    return "" if answer["forgotten"] else ON_IS_KEPT


def _is_on(journal: Path) -> bool:
    """Whether the journal holds a dinner or a timer that a restart would carry on with."""
    if not journal.exists():
        return False
    state = begin()
    with closing(open_journal(journal, wall=wall_now, complain=lambda line: None)) as opened:
        for event, now in opened.events():
            state, _ = step(state, event, now)
    return state.plan is not None or bool(state.timers)
