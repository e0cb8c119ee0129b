"""A reading as it comes in from outside, and what no reading can be; shared by every way in.

A number alone means whatever scale the sender or else the plan has. What no thermometer in a kitchen gives
(no number at all, colder than there is, hotter than any oven) is refused at the door with one line that says
how to write it. Whether the dinner wants the reading is not asked here.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kitchend.core.quantities import COLDEST_C, HOTTEST_C, Scale, Temperature

LONGEST_NAME = 120
"""Characters of a name at most; a step's id is a dish and a step."""

ABSOLUTE_ZERO_C = -273.15

SHAPE = 'write {"of": "pork", "celsius": 58} or "fahrenheit", or "degrees" with "unit": "C" or "F"'
NAMES = ("of", "name")
DEGREES = ("celsius", "fahrenheit", "degrees", "value", "temperature")
KEYS = (*NAMES, *DEGREES, "unit")

_NUMBER = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*°?\s*([a-z]*)", re.IGNORECASE)
_UNITS = {
    **dict.fromkeys(("c", "celsius", "centigrade"), Scale.CELSIUS),
    **dict.fromkeys(("f", "fahrenheit"), Scale.FAHRENHEIT),
}


class ReadingError(ValueError):
    """What came in is no reading; the text is one line that says what one looks like.

    `kind` groups complaints that differ only in what was sent.
    """

    def __init__(self, kind: str, line: str) -> None:
        self.kind = kind
        super().__init__(line)


@dataclass(frozen=True, slots=True, kw_only=True)
class Taking:
    """Degrees of something by name. `scale` None: as the plan has it."""

    of: str
    degrees: float
    scale: Scale | None = None

    @classmethod
    def in_celsius(cls, of: str, celsius: float) -> Taking:
        """A reading in degrees Celsius, whatever the plan has."""
        return cls(of=of, degrees=celsius, scale=Scale.CELSIUS)

    def celsius(self, plan_scale: Scale) -> float:
        """In degrees Celsius; ReadingError for what no thermometer in a kitchen gives."""
        scale = self.scale or plan_scale
        celsius = Temperature(degrees=self.degrees, scale=scale).celsius
        said = f"{self.degrees:.10g} {scale.value}"
        if celsius < ABSOLUTE_ZERO_C:
            raise ReadingError("range", f"{said} is colder than anything is; is the unit right?")
        if not COLDEST_C <= celsius <= HOTTEST_C:
            limits = f"{COLDEST_C:g} to {HOTTEST_C:g} C"
            raise ReadingError("range", f"{said} is nothing a kitchen has ({limits}); is the unit right?")
        return celsius


def scale_named(unit: object) -> Scale:
    """The scale of "C", "F" and their names; ReadingError for anything else."""
    found = _UNITS.get(unit.strip().lstrip("°").casefold()) if isinstance(unit, str) else None
    if found is None:
        raise ReadingError("unit", f'{_shown(unit)} is no unit of temperature; "unit" is "C" or "F"')
    return found


def taking_of_line(line: str, *, of: str = "", scale: Scale | None = None) -> Taking:
    """One line of a program's output, or one message: a number, perhaps with its unit, or a JSON object.

    `of` and `scale` hold where the line does not say. Further keys of an object are no business of ours.
    """
    text = line.strip()
    if text.startswith(("{", "[", '"')):
        try:
            return taking_of(json.loads(text), of=of, scale=scale)
        except (ValueError, RecursionError) as error:
            if isinstance(error, ReadingError):
                raise
            raise ReadingError("json", f"{_shown(text)} is not JSON; {SHAPE}") from None
    number = _NUMBER.fullmatch(text)
    if number is None:
        raise ReadingError(
            "number", f"{_shown(text)} is neither a number nor a JSON object such as {_EXAMPLE}"
        )
    unit = scale_named(number[2]) if number[2] else scale
    return Taking(of=_named(of), degrees=_finite(float(number[1])), scale=unit)


_EXAMPLE = '{"of": "pork", "celsius": 58}'


def taking_of(value: object, *, of: str = "", scale: Scale | None = None, is_strict: bool = False) -> Taking:
    """A reading as JSON has it; `is_strict` refuses keys that mean nothing here."""
    if not isinstance(value, Mapping):
        raise ReadingError("shape", f"a reading is an object; {SHAPE}")
    if is_strict and (more := [key for key in value if key not in KEYS]):
        raise ReadingError("key", f"a reading has no {_shown(more[0])}; {SHAPE}")
    key, number = _one_of(value, DEGREES, "temperature")
    if isinstance(number, bool) or not isinstance(number, int | float):
        raise ReadingError("value", f'"{key}" needs a number such as 58.5, not {_shown(number)}')
    if "unit" in value and key in ("celsius", "fahrenheit"):
        raise ReadingError("unit", f'"{key}" is a unit already; leave "unit" out or say "degrees"')
    name = of
    if any(key in value for key in NAMES):
        _, given = _one_of(value, NAMES, "name")
        if not isinstance(given, str):
            raise ReadingError("name", f'"of" needs a name as text, not {_shown(given)}')
        name = given
    return Taking(of=_named(name), degrees=_finite(number), scale=_scale(key, value, scale))


def _one_of(value: Mapping[Any, Any], keys: tuple[str, ...], what: str) -> tuple[str, Any]:
    found = [key for key in keys if key in value]
    if len(found) != 1:
        raise ReadingError("shape", f"a reading has one {what}, not {len(found)}; {SHAPE}")
    return found[0], value[found[0]]


def _scale(key: str, value: Mapping[Any, Any], scale: Scale | None) -> Scale | None:
    if key in ("celsius", "fahrenheit"):
        return scale_named(key)
    return scale_named(value["unit"]) if "unit" in value else scale


def _finite(number: float) -> float:
    try:
        degrees = float(number)
    except OverflowError:
        degrees = math.inf
    if not math.isfinite(degrees):
        raise ReadingError("range", "a temperature is a finite number of degrees, such as 58.5")
    return degrees


def _named(name: str) -> str:
    words = " ".join(name.split())
    if not words:
        raise ReadingError("name", f"nothing says what the thermometer is in; {SHAPE}")
    if len(words) > LONGEST_NAME:
        raise ReadingError("name", f"a name has at most {LONGEST_NAME} characters")
    return words


def _shown(value: object) -> str:
    """What was sent, short and in one line."""
    text = value if isinstance(value, str) else repr(value) if isinstance(value, int | float) else "that"
    return json.dumps(text[:40] + ("…" if len(text) > 40 else ""), ensure_ascii=True)
