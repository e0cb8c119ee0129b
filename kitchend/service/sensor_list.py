"""`kitchend sensors`: the temperature files this machine has, with what they show and how to name them.

Numbers that the kernel gives out in the order in which it finds things (`hwmon3`) are not the same after
the next start, so what is shown for the settings has a `*` in their place wherever the path stays clear
without.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

from kitchend.reports.printing import columns, json_text
from kitchend.service.guard import FINE, UseError
from kitchend.service.sensor_files import MAX_BYTES, SensorError, celsius_of, kind_of

_LOOK = (
    ("1-wire", "bus/w1/devices/*/temperature"),
    ("1-wire", "bus/w1/devices/*/w1_slave"),
    ("hwmon", "class/hwmon/hwmon*/temp*_input"),
    ("iio", "bus/iio/devices/iio:device*/in_temp*_input"),
    ("iio", "bus/iio/devices/iio:device*/in_temp*_raw"),
)
_COUNTED = re.compile(r"/(hwmon|iio:device)\d+/(?=[^/]+$)")


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundSensor:
    """One sensor file. `celsius` None: it shows none just now, and `why` says so."""

    path: str
    kind: str
    name: str
    celsius: float | None
    why: str = ""


def show_sensors(under: Path, *, as_json: bool, show: Callable[[str], None]) -> int:
    """Print what there is; the exit code. UseError if there is no such folder."""
    if not under.is_dir():
        raise UseError(f"--under {under}: there is no such folder")
    found = tuple(sensors_of(under))
    if as_json:
        show(json_text({"sensors": [asdict(one) for one in found]}))
        return FINE
    if not found:
        show(
            f"No temperature sensor in {under}. A probe for 1-Wire needs its driver: see your board's manual."
        )
        return FINE
    rows = [(_shown(one), one.kind, one.name, one.path) for one in found]
    show("\n".join(columns(rows)))
    show("\nIn the settings, with what it is in, as you would say it:\n")
    show(f"sensors:\n  - of: NAME\n    path: {found[0].path}")
    return FINE


def sensors_of(under: Path) -> Iterator[FoundSensor]:
    """Every sensor file below a root such as /sys, probes for food first; one line each, read once."""
    seen: set[Path] = set()
    for kind, pattern in _LOOK:
        for path in sorted(under.glob(pattern)):
            # A newer kernel shows the same probe twice; the plain number is the better one.
            if not kind_of(path) or (path.name == "w1_slave" and path.parent in seen):
                continue
            seen.add(path.parent)
            yield _found(path, kind)


def _found(path: Path, kind: str) -> FoundSensor:
    celsius, why = None, ""
    try:
        celsius = celsius_of(path)
    except SensorError as error:
        why = str(error)
    return FoundSensor(path=_lasting(path), kind=kind, name=_name(path), celsius=celsius, why=why)


def _lasting(path: Path) -> str:
    """The path to write down: by where the device is plugged in, not by the order it was found in."""
    real = str(path.resolve())
    starred = _COUNTED.sub(r"/\1*/", real)
    if starred == real:
        return str(path)
    anchor = Path(Path(starred).anchor)
    fits = list(anchor.glob(str(Path(starred).relative_to(anchor))))
    return starred if len(fits) == 1 else str(path)


def _name(path: Path) -> str:
    """What the chip is called, and its channel if that has a name of its own."""
    label = path.with_name(re.sub(r"_(input|raw)$", "_label", path.name))
    names = [_line(path.with_name("name")), _line(label) if label != path else ""]
    return " ".join(filter(None, names)) or path.parent.name


def _line(path: Path) -> str:
    try:
        with path.open("rb") as file:
            text = file.read(MAX_BYTES).decode("utf-8", errors="replace")
    except OSError:
        return ""
    return " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())[:60]


def _shown(one: FoundSensor) -> str:
    return one.why if one.celsius is None else f"{one.celsius:.1f} C"
