"""The real `kitchend cook` in a room full of kitchen noise, for as long as one likes, and its costs.

The cook speaks first; now and then he types a question and sets a timer, as a dinner has it. What it costs to
listen is taken from the spells in which nothing was said or typed. What noise was taken for is kept as well.
"""

from __future__ import annotations

import os
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from threading import Thread
from typing import IO

from kitchend.rehearsal.room import Room
from kitchend.speaking.espeak_voice import EspeakVoice
from kitchend.speaking.sound import Sound
from tests.cli.footprint import Footprint, footprint
from tests.cli.process import Process, kitchend

PLAN = """
plan: Long watch
equipment:
  hob: {rings: 2}
dishes:
  - dish: stock
    steps:
      - step: simmer the stock
        hands: 1 min
        takes: 3 h
        on: hob
        keeps: all day
"""
TRIES = 5
"""kitchend hears nothing while it speaks itself."""
BEGUN = "stock is on"
SPOKEN = (
    "hey kitchen, how long on the stock",
    "hey kitchen, remind me in twenty five minutes to turn the bread",
)
ANSWERS = ("Stock: ", "urn the bread")
"""What only an answer holds."""
TYPED = ("what's on", "how long on the stock", "when do we eat", "time the buns for one minute")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spell:
    """A stretch of the evening: its length, what was used in it, how it ended, what was printed in it."""

    seconds: float
    cpu_s: float
    at_end: Footprint
    printed: int

    @property
    def is_quiet(self) -> bool:
        """Whether there was noise only."""
        return self.printed == 0


@dataclass(slots=True, kw_only=True)
class Evening:
    """What was seen. The first spells, in which everything is loaded, are left out of `growth_mb`."""

    spells: list[Spell] = field(default_factory=list)
    heard: list[str] = field(default_factory=list)
    told: str = ""

    @property
    def quiet_share(self) -> float:
        """Processor used while there was noise only, as a share of one core; ValueError if never."""
        quiet = [spell for spell in self.spells if spell.is_quiet]
        if not quiet:
            raise ValueError("there was no spell with noise only")
        return sum(spell.cpu_s for spell in quiet) / sum(spell.seconds for spell in quiet)

    def growth_mb(self, settled: int) -> float:
        """How much more it holds at the end than after the first `settled` spells."""
        return self.spells[-1].at_end.resident_mb - self.spells[settled - 1].at_end.resident_mb


def live(
    room: Room, folder: Path, noise: Sound, *, spells: int, spell_s: float, types_every: int
) -> Iterator[Evening]:
    """An evening of so many spells, given after each; the cook types at the start of every so many.

    This process's environment must be that of the room.
    """
    evening = Evening()
    with begun(folder) as process:
        talk(room, process)
        talked = len(process.lines)
        with noisy(room, noise):
            for number in range(spells):
                typed = TYPED[number // types_every % len(TYPED)] if number % types_every == 0 else None
                evening.spells.append(_spell(process, spell_s, typed))
                yield evening
                if process.child.poll() is not None:
                    raise RuntimeError(f"it has ended:\n{process.told}")
        process.end()
        said = [line.partition("  you       ")[2] for line in process.lines[talked:]]
        evening.heard = [words for words in said if words and words not in (*TYPED, BEGUN)]
        evening.told = process.told


@contextmanager
def begun(folder: Path) -> Iterator[Process]:
    """A dinner with its one step on, typed."""
    plan = folder / "watch.yaml"
    plan.write_text(PLAN, encoding="utf-8")
    with kitchend("cook", str(plan), "--afresh") as process:
        process.wait_for("the pass at")
        process.wait_for("Simmer the stock now")
        process.type(BEGUN)
        process.wait_for("Stock on.")
        yield process


def talk(room: Room, process: Process) -> None:
    """Speak, so that the ears have what they need for a phrase, which they take when the first one comes."""
    voice = EspeakVoice("en-us+m3", rate_wpm=150)
    for words, answer in zip(SPOKEN, ANSWERS, strict=True):
        sound = voice.render(words)
        for _ in range(TRIES):
            room.play(sound)
            if process.has_come(answer, within_s=8):
                break
        process.wait_for(answer)


def _spell(process: Process, seconds: float, typed: str | None) -> Spell:
    printed, before, began_s = len(process.lines), footprint(process.child.pid), time.monotonic()
    if typed is not None:
        process.type(typed)
    time.sleep(seconds)
    after = footprint(process.child.pid)
    return Spell(
        seconds=time.monotonic() - began_s,
        cpu_s=after.cpu_s - before.cpu_s,
        at_end=after,
        printed=len(process.lines) - printed,
    )


@contextmanager
def noisy(room: Room, noise: Sound) -> Iterator[None]:
    """The noise is heard in the room again and again, without a gap, while inside."""
    command = ["paplay", "--raw", f"--rate={noise.rate}", "--channels=1", "--format=s16le"]
    player = subprocess.Popen(command, stdin=subprocess.PIPE, env=os.environ | dict(room.environment))
    assert player.stdin is not None
    feeder = Thread(target=_feed, args=(player.stdin, noise.pcm16()), daemon=True)
    feeder.start()
    try:
        yield
        if player.poll() is not None:
            raise RuntimeError(f"the noise has ended, paplay with {player.returncode}")
    finally:
        player.terminate()
        player.wait()
        feeder.join()


def _feed(pipe: IO[bytes], data: bytes) -> None:
    with suppress(BrokenPipeError), pipe:
        while True:
            pipe.write(data)
