"""Temperatures as the Linux kernel shows them in files, and what such a file must not mean. Degrees Celsius.

Known by their names and by the kernel's own documents: hwmon `temp1_input` in millidegrees with `temp1_fault`
beside it (Documentation/ABI/testing/sysfs-class-hwmon), iio `in_temp_input` in millidegrees or `in_temp_raw`
with `in_temp_offset` added and then multiplied by `in_temp_scale` (Documentation/ABI/testing/sysfs-bus-iio),
1-Wire `temperature` and `w1_slave` (Documentation/w1/slaves/w1_therm.rst), and `thermal_zone*/temp`
(Documentation/driver-api/thermal/sysfs-api.rst). Any other file holds one number.
"""

from __future__ import annotations

import errno
import re
import stat
from collections.abc import Callable
from pathlib import Path

from kitchend.core.quantities import Scale, Temperature

MAX_BYTES = 4096
"""A page: no sysfs attribute has more."""

POWER_ON_C = 85.0
"""What a DS18B20 shows until it has measured (its data sheet, and w1_therm.rst: powerup value)."""
NO_POWER_C = 127.9
"""w1_therm.rst: 127.94 is what it shows when it had too little power to measure; its range ends at 125."""
NEAR_C = 5.0
"""A probe that comes to exactly 85 C by itself was this near a moment ago (common practice: 2 C a minute)."""
COUNT_AT_POWER_ON = 0x0C
"""Byte 6 of a scratchpad that was never written (w1_therm.rst)."""

GONE = frozenset({errno.ENOENT, errno.ENODEV, errno.ENXIO, errno.ENOTDIR})

_W1_DEVICE = re.compile(r"[0-9a-f]{2}-[0-9a-f]{12}")
_W1_TEXT = re.compile(
    r"((?:[0-9a-f]{2} ){9}): crc=[0-9a-f]{2} (YES|NO)\s+(?:[0-9a-f]{2} ){9}t=(-?\d+)\s*", re.IGNORECASE
)
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?", re.IGNORECASE)


class SensorError(Exception):
    """A file gave no temperature; the text says why. `is_gone`: there is no use in trying at once again."""

    def __init__(self, problem: str, *, is_gone: bool = False) -> None:
        self.is_gone = is_gone
        super().__init__(problem)


def celsius_of(
    path: Path, *, scale: float | None = None, unit: Scale = Scale.CELSIUS, last_c: float | None = None
) -> float:
    """The temperature a file shows now, in degrees Celsius; SensorError if it shows none.

    `scale` multiplies the number of a file (None: as the kernel has it), which then is in `unit`. `last_c` is
    what the same probe showed a moment ago; without it nothing is taken for 85 C that a 1-Wire probe may show
    before it has measured.
    """
    if path.name == "w1_slave":
        return _of_one_wire(_w1_slave(_text(path)), last_c)
    if scale is not None:
        return Temperature(degrees=_number(path) * scale, scale=unit).celsius
    if is_one_wire(path):
        return _of_one_wire(_number(path) / 1000, last_c)
    if reads := _KINDS.get(kind_of(path)):
        return reads(path)
    return Temperature(degrees=_number(path), scale=unit).celsius


def kind_of(path: Path) -> str:
    """The kind of sensor file: "hwmon", "iio", "iio raw", "1-wire", "zone"; "" if none of the kernel's."""
    if path.name == "w1_slave" or is_one_wire(path):
        return "1-wire"
    where = f"{path.parent.name}/{path.name}"
    return next((kind for kind, name in _NAMES.items() if name.fullmatch(where)), "")


def is_one_wire(path: Path) -> bool:
    """Whether the file is the `temperature` of a 1-Wire device."""
    return path.name == "temperature" and _W1_DEVICE.fullmatch(path.parent.name) is not None


def found(pattern: str) -> Path:
    """The one file that a path, perhaps with `*` in it, means now; SensorError if it is none or several."""
    path = Path(pattern).expanduser()
    if "*" not in pattern:
        return path
    fits = sorted(Path(path.anchor).glob(str(path.relative_to(path.anchor))))
    if len(fits) == 1:
        return fits[0]
    if not fits:
        raise SensorError("no such file; is the probe plugged in?", is_gone=True)
    raise SensorError(f"{len(fits)} files fit, so which is meant is unclear", is_gone=True)


def _of_one_wire(celsius: float, last_c: float | None) -> float:
    if celsius >= NO_POWER_C:
        raise SensorError(f"it shows {celsius:g} C, which means that it has too little power")
    if celsius == POWER_ON_C and (last_c is None or abs(last_c - celsius) > NEAR_C):
        raise SensorError("it shows 85 C, as such a probe does before it has measured")
    return celsius


def _w1_slave(text: str) -> float:
    shown = _W1_TEXT.fullmatch(text)
    if shown is None:
        raise SensorError("its two lines are not those of a 1-Wire thermometer")
    if shown[2].upper() == "NO":
        raise SensorError("its checksum is wrong (CRC NO); is the wire sound?")
    pad = bytes.fromhex(shown[1])
    if not any(pad):
        raise SensorError("it shows nothing but zeros; is the wire short-circuited?")
    celsius = int(shown[3]) / 1000
    if celsius == POWER_ON_C and pad[6] == COUNT_AT_POWER_ON:
        raise SensorError("it shows 85 C, as such a probe does before it has measured")
    return celsius


def _of_hwmon(path: Path) -> float:
    fault = path.with_name(path.name.replace("_input", "_fault"))
    if fault.exists() and _number(fault) != 0:
        raise SensorError("it reports a fault; is the probe plugged in?", is_gone=True)
    return _number(path) / 1000


def _of_iio_raw(path: Path) -> float:
    scale = _beside(path, "scale")
    if scale is None:
        raise SensorError("there is no scale beside it, so its number means nothing", is_gone=True)
    return (_number(path) + (_beside(path, "offset") or 0.0)) * scale / 1000


def _beside(path: Path, what: str) -> float | None:
    """The number in `in_temp0_scale` beside `in_temp0_raw`, or in the one that all channels share."""
    own = path.name.removesuffix("raw") + what
    for name in (own, f"in_temp_{what}"):
        if (file := path.with_name(name)).exists():
            return _number(file)
    return None


def _in_thousandths(path: Path) -> float:
    return _number(path) / 1000


_NAMES = {
    "hwmon": re.compile(r".*/temp\d+_input"),
    "iio": re.compile(r".*/in_temp\w*_input"),
    "iio raw": re.compile(r".*/in_temp\w*_raw"),
    "zone": re.compile(r"thermal_zone\d+/temp"),
}
_KINDS: dict[str, Callable[[Path], float]] = {
    "hwmon": _of_hwmon,
    "iio": _in_thousandths,
    "iio raw": _of_iio_raw,
    "zone": _in_thousandths,
}


def _number(path: Path) -> float:
    text = _text(path).strip()
    if not text:
        raise SensorError("it is empty; is the probe still measuring?")
    if _NUMBER.fullmatch(text) is None:
        raise SensorError(f"it holds no number but {text[:40]!a}")
    return float(text)


def _text(path: Path) -> str:
    """What the file holds, read once and whole, for a sensor measures while it is read."""
    try:
        # A pipe or a device would be waited for without end.
        if not stat.S_ISREG(path.stat().st_mode):
            raise SensorError("it is no file", is_gone=True)
        with path.open("rb", buffering=0) as file:
            raw = file.read(MAX_BYTES + 1) or b""
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        is_gone = error.errno in GONE
        raise SensorError(f"{why}; is the probe plugged in?" if is_gone else why, is_gone=is_gone) from None
    except ValueError:
        raise SensorError("there can be no file of this name", is_gone=True) from None
    if len(raw) > MAX_BYTES:
        raise SensorError(f"it holds more than {MAX_BYTES} bytes, no sensor file does")
    return raw.decode("ascii", errors="replace")
