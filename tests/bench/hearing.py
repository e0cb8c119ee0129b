"""How well and how fast the listener hears, and what it holds in memory, on this machine, now.

Prints; asserts nothing. Quick and rough: three voices and one dinner; `make bench-hearing` goes further.
Noise comes from the folder of WAV files that KITCHEND_SOUNDS names; without it, only quiet is measured.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable
from pathlib import Path
from statistics import median
from unittest.mock import patch

import numpy as np

from kitchend.hearing import Heard, build
from kitchend.hearing.findings import Findings
from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.shortlist import same_words
from kitchend.hearing.wav import read_wav
from tests.bench.hear.kitchen import sayable_of

VOICES = ("slt", "rms", "awb")
CHATTER = (
    "did you feed the cat this morning",
    "yes but the train was late again",
    "how long have you two been married now",
    "five more people want to come on saturday",
    "no thank you i am full",
    "it takes about ten minutes to walk there from the station",
    "turn the music down a bit would you",
    "i heard they are moving house in the spring",
    "he is fifteen and she is nearly twelve",
    "what's on television later",
    "when do we need to leave tomorrow",
    "quiet please the baby is asleep upstairs",
    "the first one is always the hardest",
    "say hello to your parents from us",
    "hold on i will be with you in a minute",
    "carry on without me i have to take this call",
)
MEASURE = """
import sys, time
from pathlib import Path
def resident_mb():
    return int(open("/proc/self/statm").read().split()[1]) * 4 // 1024
from kitchend.hearing import build
from kitchend.hearing.wav import read_wav
from tests.bench.hear.kitchen import sayable_of
began = time.perf_counter()
listener = build(ears=sys.argv[1], seconds=time.perf_counter)
took = time.perf_counter() - began
listener.listen_for(sayable_of("lock", True))
for file in sys.argv[2:]:
    listener.hear(read_wav(Path(file)))
print(f"{sys.argv[1]:8} ready in {took:.2f} s, {resident_mb()} MB resident after {len(sys.argv) - 2} phrases")
"""


def main() -> None:
    """Print the figures."""
    commands = sayable_of("lock", True).candidates()[::4]
    with tempfile.TemporaryDirectory() as name:
        spoken = [(text, say(Path(name), text, i)) for i, text in enumerate(commands)]
        talk = [("", say(Path(name), text, i)) for i, text in enumerate(CHATTER)]
        files = [str(file) for _, file in spoken[:15]]
        for ears in ("first", "second", "both"):
            subprocess.run([sys.executable, "-c", MEASURE, ears, *files], check=True)
        noise = noises()
        for ears in ("first", "second", "both"):
            report(f"{ears}, quiet", *heard_by(ears, spoken, None), *heard_by(ears, talk, None))
            if noise and ears != "second":
                report(f"{ears}, 10 dB", *heard_by(ears, spoken, noise), *heard_by(ears, talk, noise))
        stopping_early(spoken, None)
        if noise:
            stopping_early(spoken, noise)
        else:
            print("KITCHEND_SOUNDS names no folder of noise: nothing was measured in noise")


def say(folder: Path, text: str, number: int) -> Path:
    """The text as a file, the voices taking turns."""
    file = folder / f"{text.replace(' ', '-')}.wav"
    voice = VOICES[number % len(VOICES)]
    subprocess.run(["flite", "-voice", voice, "-t", text, "-o", str(file)], check=True)
    return file


def noises() -> list[Samples]:
    """The noises of the folder in the environment, in order."""
    folder = os.environ.get("KITCHEND_SOUNDS")
    return [read_wav(file) for file in sorted(Path(folder).rglob("*.wav"))] if folder else []


def mixed(speech: Samples, noise: Samples | None, snr_db: float = 10.0) -> Samples:
    """Speech with half a second around it, noise at this ratio over the samples above 1 % of full scale."""
    quiet = np.zeros(SAMPLE_RATE // 2, np.float32)
    sound = np.concatenate([quiet, speech, quiet])
    if noise is None:
        return sound
    rest = np.resize(noise, len(sound))
    loud = speech[np.abs(speech) > 0.01]
    gain = np.sqrt(np.mean(loud**2) / np.mean(rest**2) / 10 ** (snr_db / 10))
    loudened: Samples = sound + np.float32(gain) * rest
    return loudened


def heard_by(
    ears: str, spoken: Iterable[tuple[str, Path]], noise: list[Samples] | None
) -> tuple[list[tuple[str, Heard]], list[float]]:
    """What these ears made of each, and the seconds of work each took in all."""
    listener = build(ears=ears, seconds=time.perf_counter)  # type: ignore[arg-type]  # one of the three
    listener.listen_for(sayable_of("lock", True))
    results, times = [], []
    for number, (text, file) in enumerate(spoken):
        sound = mixed(read_wav(file), noise[number * 7 % len(noise)] if noise else None)
        began = time.perf_counter()
        results.append((text, listener.hear(sound)))
        times.append(time.perf_counter() - began)
    listener.close()
    return results, times


def stopping_early(spoken: Iterable[tuple[str, Path]], noise: list[Samples] | None) -> None:
    """What is lost, and what time is won, by not scoring the rest where the first few settle it."""
    soon, soon_s = heard_by("both", spoken, noise)
    with patch.object(Findings, "is_settled", return_value=False):
        late, late_s = heard_by("both", spoken, noise)
    changed = sum(_outcome(one) != _outcome(other) for (_, one), (_, other) in zip(soon, late, strict=True))
    print(
        f"{'10 dB' if noise else 'quiet'}: stopping early changed {changed} of {len(soon)} outcomes, "
        f"work {median(soon_s):.2f} s where scoring on takes {median(late_s):.2f} s (median)"
    )


def _outcome(heard: Heard) -> tuple[object, ...]:
    return heard.text, heard.accepted, heard.doubts


def report(
    title: str,
    commands: list[tuple[str, Heard]],
    times: list[float],
    talk: list[tuple[str, Heard]],
    _: list[float],
) -> None:
    """One line of figures."""
    accepted = [(text, heard) for text, heard in commands if heard.accepted]
    right = [heard for text, heard in accepted if same_words(text, heard.text)]
    asked = [heard for heard in right if heard.doubts]
    wrong = [heard for text, heard in accepted if not same_words(text, heard.text) and not heard.doubts]
    let_in = [heard for _, heard in talk if heard.accepted]
    print(
        f"{title:14} right {len(right)}/{len(commands)} ({len(asked)} asked back), wrong {len(wrong)}, "
        f"chatter let in {len(let_in)}/{len(talk)}; work {median(times):.2f} s median, of it after the end "
        f"{median(heard.took_s for _, heard in commands):.2f} s"
    )


if __name__ == "__main__":
    main()
