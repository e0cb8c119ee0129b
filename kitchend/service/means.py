"""What ears this machine can carry: within half of its processor and half of its memory.

What each part costs is measured once, in a process of its own (`measuring`), and kept in the cache until
kitchend or the machine is another. Speech is what costs: while somebody speaks, so many cores are busy. The
sound of a kitchen in which nobody speaks costs a tenth of that or less, and is left out.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass, fields
from importlib.metadata import version
from math import inf
from pathlib import Path
from threading import Lock
from typing import Final

from kitchend.hearing import Ears
from kitchend.hearing.weights import cache_folder
from kitchend.service.settings import DenoiseWish, EarsWish, Settings

SHARE: Final = 0.5
"""Of the machine; the rest is the solver's, the board's and whatever else runs there."""

WITHOUT_EARS_MB: Final = 81
"""kitchend without sound, see the table in the README; `make bench` measures it."""
GRAMMARS_MB: Final = 40
"""What the grammars of a large dinner take beside the engines, measured likewise."""

_MEASURING = Lock()

PATIENCE_S: Final = 300.0
"""A board that needs longer to hear two seconds of sound carries nothing more than it must."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """The processor and memory there are for kitchend: the machine's, or what its control group may use."""

    cores: float
    memory_mb: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """Of one part: seconds of one core for a second of speech, and megabytes held."""

    core_s: float
    memory_mb: float

    def __add__(self, other: Cost) -> Cost:
        return Cost(core_s=self.core_s + other.core_s, memory_mb=self.memory_mb + other.memory_mb)


FREE: Final = Cost(core_s=0.0, memory_mb=0.0)
BEYOND: Final = Cost(core_s=inf, memory_mb=0.0)
"""Of what could not be measured."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """Of all parts. A part that is not there costs nothing here: building it says what is missing.

    `phones` is what judges in place of a second ear where there is none, and before it where there is one.
    """

    first: Cost = FREE
    phones: Cost = FREE
    denoiser: Cost = FREE
    second: Cost = FREE

    def of(self, choice: Choice) -> Cost:
        """What this choice costs, kitchend itself included."""
        total = self.phones + Cost(core_s=0.0, memory_mb=WITHOUT_EARS_MB + GRAMMARS_MB)
        if choice.ears != "second":
            total += self.first
            if choice.denoises:
                total += self.denoiser
        return total if choice.ears == "first" else total + self.second


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Which ears listen, and whether noise is taken away before the first."""

    ears: Ears
    denoises: bool


def choices(ears: EarsWish, denoise: DenoiseWish) -> tuple[Choice, ...]:
    """What these wishes leave open, the best first. Noise suppression is the first ear's."""
    wanted: tuple[Ears, ...] = ("both", "first") if ears == "auto" else (ears,)
    return tuple(Choice(ears=one, denoises=hears) for one in wanted for hears in _ways(one, denoise))


def _ways(ears: Ears, denoise: DenoiseWish) -> tuple[bool, ...]:
    if ears == "second":
        return (False,)
    return (denoise,) if isinstance(denoise, bool) else (True, False)


def fits(cost: Cost, machine: Machine) -> bool:
    """Whether it stays within the share."""
    return cost.core_s <= SHARE * machine.cores and cost.memory_mb <= SHARE * machine.memory_mb


def best_of(open_: tuple[Choice, ...], costs: Costs, machine: Machine) -> Choice:
    """The first that fits; the least if none does, for a cook must be heard."""
    return next((one for one in open_ if fits(costs.of(one), machine)), open_[-1])


def left_out(chosen: Choice, open_: tuple[Choice, ...], costs: Costs, machine: Machine) -> str | None:
    """In one line what this machine does without, why, and how to have it all the same; None: nothing."""
    best = open_[0]
    if chosen == best:
        return None
    cost = costs.of(best)
    what, setting = ("noise suppression", "denoise: true")
    if chosen.ears != best.ears:
        what, setting = ("the second ear", "ears: both")
    if cost.core_s == BEYOND.core_s:
        return (
            f"this machine does without {what}: what it costs could not be measured "
            f"(the setting {setting} has it all the same)"
        )
    return (
        f"this machine does without {what}: with it {cost.core_s:.1f} of {machine.cores:g} cores would "
        f"be busy while you speak, and {cost.memory_mb:.0f} of {machine.memory_mb:.0f} MB held; half is "
        f"the limit (the setting {setting} has it all the same)"
    )


def this_machine(root: Path = Path("/")) -> Machine:
    """What there is here; `root` is where /proc and /sys are looked for."""
    cores = float(len(os.sched_getaffinity(0)))
    memory = os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE")
    for folder in _control_groups(root):
        with suppress(OSError, ValueError):
            memory = min(memory, int((folder / "memory.max").read_text()))
        with suppress(OSError, ValueError):
            quota, period = (folder / "cpu.max").read_text().split()
            cores = min(cores, int(quota) / int(period))
    return Machine(cores=round(cores, 2), memory_mb=round(memory / 1e6))


def _control_groups(root: Path) -> Iterator[Path]:
    """Its own control group (cgroup v2) and all above: each may hold less."""
    top = root / "sys/fs/cgroup"
    with suppress(OSError):
        for line in (root / "proc/self/cgroup").read_text("utf-8").splitlines():
            number, _, path = line.split(":", 2)
            if number == "0":
                own = top / path.strip("/")
                yield from (own, *(above for above in own.parents if above.is_relative_to(top)))


class UnmeasuredError(Exception):
    """Nothing was found out, as where it was stopped in the middle; another time it may be."""


Measure = Callable[[], Mapping[str, Mapping[str, float]]]
"""May raise UnmeasuredError."""


def costs_here(file: Path, machine: Machine, measure: Measure, models: Iterable[str] = ()) -> Costs:
    """What these `models` were measured to cost on this machine, or are now; kept in `file` if it can be.

    Where measuring failed only what must be is carried, for this time.
    """
    parts = [part.name for part in fields(Costs)]
    here = {"version": version("kitchend"), "parts": parts, "models": list(models), **asdict(machine)}
    with suppress(OSError, ValueError, TypeError, KeyError):
        kept = json.loads(file.read_text("utf-8"))
        if kept["here"] == here:
            return _costs(kept["costs"])
    try:
        found = measure()
    except UnmeasuredError:
        return Costs(denoiser=BEYOND, second=BEYOND)
    with suppress(OSError):
        file.parent.mkdir(parents=True, exist_ok=True)
        beside = file.with_suffix(f".{os.getpid()}")
        beside.write_text(json.dumps({"here": here, "costs": found}), "utf-8")
        beside.replace(file)
    return _costs(found)


def _costs(found: Mapping[str, Mapping[str, float]]) -> Costs:
    return Costs(
        **{
            part: Cost(core_s=float(one["core_s"]), memory_mb=float(one["memory_mb"]))
            for part, one in found.items()
        }
    )


def measured_apart(*arguments: str) -> Mapping[str, Mapping[str, float]]:
    """What `measuring` finds in a process of its own; raises UnmeasuredError where that fails.

    Where it does not end, the machine is too slow for all but what must be.
    """
    try:
        answer = subprocess.run(
            [sys.executable, "-m", "kitchend.service.measuring", *arguments],
            capture_output=True,
            text=True,
            timeout=PATIENCE_S,
            check=True,
        )
        found: Mapping[str, Mapping[str, float]] = json.loads(answer.stdout)
        return found
    except subprocess.TimeoutExpired:
        return {"denoiser": asdict(BEYOND), "second": asdict(BEYOND)}
    except (OSError, subprocess.SubprocessError, ValueError) as error:
        raise UnmeasuredError from error


def choose(settings: Settings) -> tuple[Choice, str | None]:
    """What the settings come to on this machine, and what it does without, in one line, if anything."""
    open_ = choices(settings.ears, settings.denoise)
    if len(open_) == 1:
        return open_[0], None
    machine, models = this_machine(), (settings.vosk_model, settings.whisper_folder)
    wishes = (settings.language, *(str(folder_of(model) or "") for model in models))
    file = cache_folder().parent / f"ears-{settings.language}.json"
    with _MEASURING:  # side by side they would slow each other down
        costs = costs_here(file, machine, lambda: measured_apart(*wishes), wishes)
    chosen = best_of(open_, costs, machine)
    return chosen, left_out(chosen, open_, costs, machine)


def folder_of(named: str | None) -> Path | None:
    """The folder that a setting names, ~ being the home."""
    return Path(named).expanduser() if named else None
