"""`kitchend model`: which Vosk models there are for the first ear, fetching one, removing one.

The only part of kitchend that looks for a network, and only when asked to. Models lie where the ear looks for
them; one that kitchend did not put there is left alone.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from urllib.parse import urlsplit

from kitchend.errors import DeviceError
from kitchend.hearing.vosk_ear import checked
from kitchend.reports.printing import json_text
from kitchend.service.fetching import PATIENCE_S, SMALL_ENGLISH, Model, Progress, fetch
from kitchend.service.guard import FINE, UseError

Show = Callable[[str], None]
MEGABYTE = 1_000_000

LARGER_ENGLISH = Model(
    name="vosk-model-en-us-0.22-lgraph",
    url="https://alphacephei.com/vosk/models/vosk-model-en-us-0.22-lgraph.zip",
    max_bytes=200_000_000,
    # As `SMALL_ENGLISH`: held against the same address by Arch's users.
    sha256="d9838b4aaa82a75c4a17f5aca300eaca129aaab2a7cbf951bafbb500eb9c4334",
)
SMALL_KOREAN = Model(
    name="vosk-model-small-ko-0.22",
    url="https://alphacephei.com/vosk/models/vosk-model-small-ko-0.22.zip",
    max_bytes=150_000_000,
    # As several public programs hold it against the same address; no distribution packs this one.
    sha256="eea36124087fed26c59996a4761519458e3bd185e8ea9d9865ad8760c4a1d989",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A model that may be fetched, about how large its archive is, and for which machine."""

    model: Model
    about_mb: int
    suits: str


OFFERS = (
    Offer(model=SMALL_ENGLISH, about_mb=40, suits="English, for any board"),
    Offer(model=LARGER_ENGLISH, about_mb=128, suits="English, for 2 GB and more"),
    Offer(model=SMALL_KOREAN, about_mb=87, suits="Korean, for any board"),
)


def models_folder(environment: Mapping[str, str] | None = None) -> Path:
    """Where models are put: VOSK_MODEL_PATH, or the folder below the home in which the ear looks."""
    env = os.environ if environment is None else environment
    named = env.get("VOSK_MODEL_PATH")
    return Path(named) if named else Path(env.get("HOME") or "/") / ".cache" / "vosk"


def list_models(folder: Path, *, as_json: bool, show: Show) -> int:
    """Print every model there is to have and whether it is here."""
    rows = [
        {
            "name": offer.model.name,
            "megabytes": offer.about_mb,
            "for": offer.suits,
            "folder": str(folder / offer.model.name) if is_whole(folder / offer.model.name) else None,
        }
        for offer in OFFERS
    ]
    offered = {offer.model.name for offer in OFFERS}
    others = sorted(folder.glob("vosk-model*")) if folder.is_dir() else []
    rows += [
        {"name": path.name, "megabytes": _megabytes(path), "for": "put here by you", "folder": str(path)}
        for path in others
        if path.name not in offered and is_whole(path)
    ]
    show(json_text({"models": rows}) if as_json else "\n".join(_row(row) for row in rows))
    return FINE


def is_whole(place: Path) -> bool:
    """Whether a complete model lies there."""
    try:
        checked(place)
    except DeviceError:
        return False
    return True


def _row(row: Mapping[str, object]) -> str:
    here = row["folder"] or "not here"
    return f"{row['name']:<32} {row['megabytes']!s:>5} MB  {row['for']:<27} {here}"


def _megabytes(folder: Path) -> int:
    return round(sum(path.stat().st_size for path in folder.rglob("*") if path.is_file()) / MEGABYTE)


def offered(name: str) -> Model:
    """The model of that name; UseError names those there are."""
    found = next((offer.model for offer in OFFERS if offer.model.name == name), None)
    if found is None:
        known = ", ".join(offer.model.name for offer in OFFERS)
        raise UseError(f"there is no model {name!r}; there are: {known}")
    return found


def get_model(
    name: str,
    folder: Path,
    *,
    source: str | None,
    sha256: str | None,
    show: Show,
    progress: Progress,
    patience_s: float = PATIENCE_S,
) -> int:
    """Fetch a model, from `source` instead of its usual place where one is named; FetchError, UseError."""
    model = offered(name)
    if source is not None and urlsplit(source).scheme not in ("http", "https"):
        raise UseError(f"--from {source!r} is no address; it begins with https:// or http://")
    model = replace(model, url=source or model.url, sha256=sha256.lower() if sha256 else model.sha256)
    place, digest = fetch(model, folder, progress=progress, patience_s=patience_s)
    if not digest:
        show(f"{name} is here already: {place}")
    else:
        show(f"{name}: {place} (SHA-256 as it should be)")
    return FINE


def remove_model(name: str, folder: Path, *, show: Show) -> int:
    """Take a model away, what came of it so far included; UseError if there is none of that name."""
    place, part = folder / name, folder / f".{name}.zip.part"
    is_name = Path(name).name == name and name.startswith("vosk-model")
    if not is_name or not (place.is_dir() or part.exists()):
        raise UseError(f"there is no model {name!r} in {folder}; kitchend model list tells which there are")
    freed = part.stat().st_size if part.exists() else 0
    part.unlink(missing_ok=True)
    if place.is_symlink():
        place.unlink()
    elif place.is_dir():
        freed += MEGABYTE * _megabytes(place)
        going = folder / f".{name}.going"
        place.rename(going)  # at once, so that no ear finds half a model
        shutil.rmtree(going)
    show(f"{name} is gone, {round(freed / MEGABYTE)} MB freed")
    return FINE
