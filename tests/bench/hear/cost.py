"""What the listener costs: delay at the live pace, a core's work, memory. Each in a process of its own.

The delay is from the last sample of speech, known because the sound was mixed here, to the decision, with
sound coming in as fast as a microphone gives it, second ear's thread and all.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from statistics import quantiles
from typing import Any

import numpy as np

from kitchend.hearing import Ears
from kitchend.hearing.capture import BLOCK_S
from kitchend.hearing.ports import SAMPLE_RATE, Heard, Samples
from kitchend.hearing.wav import read_wav
from kitchend.speaking.sound import from_samples
from tests.bench.hear.kitchen import Kitchen
from tests.bench.hear.noise import AROUND_S
from tests.bench.hear.trials import Trial

AFTER_S = 1.5
AS_IN_SERVICE = "import kitchend, tests.bench.hear.cost as cost; cost.main()"
"""kitchend is loaded before numpy, whose threads it limits."""


class PacedSource:
    """A recording given out as fast as a microphone would."""

    def __init__(self, samples: Samples) -> None:
        self._samples = samples
        self.began_s = 0.0
        self.received = 0

    def blocks(self) -> Iterator[Samples]:
        """Blocks, each when its sound is over."""
        size = round(BLOCK_S * SAMPLE_RATE)
        self.began_s = time.perf_counter()
        for start in range(0, len(self._samples), size):
            block = self._samples[start : start + size]
            due = self.began_s + (start + len(block)) / SAMPLE_RATE
            time.sleep(max(0.0, due - time.perf_counter()))
            self.received += len(block)
            yield block

    def close(self) -> None:
        """Nothing to close."""


def cost(ears: Ears, trials: Sequence[Trial], noise: Samples | None, cache_folder: Path) -> dict[str, Any]:
    """Delay over these trials; work on noise alone (if any) and on speech; memory. In another process."""
    folder = cache_folder / "cost"
    folder.mkdir(parents=True, exist_ok=True)
    rows = []
    for number, trial in enumerate(trials):
        speech = trial.speech(cache_folder)
        file = folder / f"{number}.wav"
        from_samples(np.pad(trial.sound(cache_folder), (0, int(AFTER_S * SAMPLE_RATE))), SAMPLE_RATE).to_wav(
            file
        )
        rows.append([trial.phrase.scene, not trial.phrase.is_addressed, str(file), _ends_s(speech)])
    if noise is not None:
        from_samples(noise, SAMPLE_RATE).to_wav(folder / "noise.wav")
    given = {"ears": ears, "rows": rows, "noise": str(folder / "noise.wav") if noise is not None else None}
    done = subprocess.run(
        [sys.executable, "-c", AS_IN_SERVICE],
        input=json.dumps(given), capture_output=True, text=True, check=True,
    )  # fmt: skip
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def _ends_s(speech: Samples) -> float:
    """When the mouth closes: the room goes on for a while, at less than a hundredth of the loudest."""
    loud = np.flatnonzero(np.abs(speech) > 0.03 * np.max(np.abs(speech)))
    return AROUND_S + float(loud[-1]) / SAMPLE_RATE


def measured(ears: Ears, rows: Sequence[tuple[str, bool, str, float]], noise: str | None) -> dict[str, Any]:
    """The figures, in this process."""
    kitchen = Kitchen(ears)
    delays: list[float] = []
    speech_s = worked_s = 0.0
    for scene, in_window, file, ends_s in rows:
        kitchen.expect(scene, in_window)
        source = PacedSource(read_wav(Path(file)))
        heard_at: list[float] = []

        def on_heard(heard: Heard, at: list[float] = heard_at) -> None:
            at.append(time.perf_counter())

        began = time.process_time()
        kitchen.listener.listen(source, on_heard, lambda: None)
        worked_s += time.process_time() - began
        speech_s += ends_s - AROUND_S
        late = [at - source.began_s - ends_s for at in heard_at if at - source.began_s > ends_s]
        delays += late[:1]
    found: dict[str, Any] = {"resident_mb": _resident_mb(), "phrases": len(rows)}
    if len(delays) > 1:
        cuts = quantiles(delays, n=20, method="inclusive")
        found |= {"delay_median_s": round(cuts[9], 3), "delay_p95_s": round(cuts[18], 3)}
    if speech_s:
        found["work_per_second_of_speech_s"] = round(worked_s / speech_s, 3)
    if noise is not None:
        kitchen.expect(*rows[-1][:2])
        sound = read_wav(Path(noise))
        began = time.process_time()
        list(kitchen.hear_all(sound))
        found["core_busy_on_noise"] = round((time.process_time() - began) / (len(sound) / SAMPLE_RATE), 3)
    kitchen.close()
    return found


def _resident_mb() -> int:
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * 4 // 1024


def main() -> None:
    """What standard input asks for, as JSON."""
    told = json.loads(sys.stdin.read())
    print(json.dumps(measured(told["ears"], told["rows"], told["noise"])))
