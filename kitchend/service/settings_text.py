"""The settings file with every setting explained and commented out: what an installation begins with.

Made from `Settings` itself, so that it cannot go stale; a setting without a word about it is a fault that a
test finds. Printed by `python -m kitchend.service.settings_text`.
"""

from __future__ import annotations

from dataclasses import fields

import yaml

from kitchend.service.settings import DURATIONS, PAUSES, Settings

HEAD = "kitchend's settings. Each line shows what holds without it: take the # away, and write what you want."

ABOUT = {
    "listen": "addressed: say the address first, but for the window after a call; open: never needed",
    "address": "how kitchend is addressed",
    "window": "how long after a call or a reply it listens without the address: 12 s, 1 min",
    "ears": "auto (within half of this machine), first, second or both; the second says no to talk",
    "denoise": "auto (likewise), true or false: take noise away before the first ear",
    "voice": "default or natural; the natural one is an extra to install",
    "rate": "words a minute, 80 to 300; null: the voice's own",
    "input": "the microphone, by name or number as `kitchend soundcheck` shows it; null: the default one",
    "output": "the loudspeaker, likewise",
    "plans": "the folder with your plans; null: plans beside this file",
    "vosk_model": "the folder of a Vosk model for the first ear; null: the one in /usr/share/vosk, if any",
    "whisper_folder": "the folder of a CTranslate2 Whisper model; null: the one that comes along",
    "preheat": "how long an oven heats where a plan does not say: 15 min; null: by its temperature",
    "keep_days": "days that past dinners, and what was said at them, stay on disk",
    "repeats_now": "pauses before an unanswered call comes back, then it stops: 30 s, 1 min; none: never",
    "repeats_up": "likewise for what is up",
    "repeats_careful": "likewise for what is about to spoil; the last pause goes on until it is answered",
    "quiet_hours": "21:00 to 07:00: when calls are whispered, all but careful; null: never",
    "level_least": "the softest it may speak as it follows the noise, in dB below full scale, -60 to -3",
    "level_most": "the loudest, likewise",
    "interrupt": "true: you may speak while it does; false: it hears nothing meanwhile",
    "chance": "how sure to be of the pass where a plan does not say, 0 to 1",
    "guidance": (
        "whose food-safety figures to go by: us-fsis (made for cooks at home: one figure a food), "
        "us-food-code or uk-fsa; guidance, no guarantee, and local rules win"
    ),
    "board": "the page for a tablet. here: this machine alone; lan: devices you let in by voice; none",
    "sensors": "thermometers of this machine, by `kitchend sensors`: [{of: pork, path: FILE, every: 10 s}]",
    "mqtt": "a broker that has readings, an extra: {host: NAME, topics: {kitchen/probe: pork}}",
    "language": "what dinners are run in: en or ko; a plan in another language is refused",
    "board_port": "where it is: http://localhost:8420",
}


def settings_text() -> str:
    """The whole file."""
    lines = (
        f"# {ABOUT[one.name]}\n#{one.name}: {_written(one.name, one.default)}" for one in fields(Settings)
    )
    return "\n\n".join([f"# {HEAD}", *lines]) + "\n"


def _written(name: str, value: object) -> str:
    if name in PAUSES and isinstance(value, tuple):
        return ", ".join(f"{pause:g} s" for pause in value)
    if name in DURATIONS and isinstance(value, float):
        return f"{value:g} s"
    return yaml.safe_dump(value).splitlines()[0]


if __name__ == "__main__":
    print(settings_text(), end="")
