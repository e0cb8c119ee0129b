"""The second ear: Whisper scores what may be said, and says what it hears without a grammar.

It takes the raw phrase, never denoised sound. A command's score is the mean log probability of its tokens,
written " Like this."; the free text is scored the same way, so that the two may be compared. It ranks and
never refuses: that is the accept rule's. Batches are small because each row costs 2 MB of log probabilities.
"""

import ctypes
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from kitchend.hearing import shortlist
from kitchend.hearing.mel import HOP, log_mel
from kitchend.hearing.ports import SAMPLE_RATE, Judgement, Samples, Sayable, Scored

_TAIL_S = 0.3
_LONGEST_S = 28.0
_BATCH = 6
_DOUBTFUL = -0.6  # a free text below this mean log probability explains little
_FLOOR = 1e-10
_PROMPT = ("<|startoftranscript|>", "<|en|>", "<|transcribe|>", "<|notimestamps|>")
_MEL_LIKE = 80
_LOOP_WORDS = 3  # a text that ends by saying again what it said before, as far as this, is a loop


class WhisperEar:
    """A SecondEar over a CTranslate2 Whisper folder; `weights.NEEDED` lists the files."""

    def __init__(self, folder: Path, threads: int = 2) -> None:
        import ctranslate2
        from tokenizers import Tokenizer

        self._as_view: Any = ctranslate2.StorageView.from_array
        self._tokens: Any = Tokenizer.from_file(str(folder / "tokenizer.json"))
        self._model: Any = ctranslate2.models.Whisper(
            str(folder), device="cpu", compute_type="int8", inter_threads=1, intra_threads=threads
        )
        self._prompt = [self._tokens.token_to_id(token) for token in _PROMPT]

    def judge(self, phrase: Samples, sayable: Sayable, proposed: tuple[str, ...]) -> Judgement:
        """Rank commands by fit; 0.15 s of work on two cores where the ears agree, up to 0.5 s where not."""
        audio_s = len(phrase) / SAMPLE_RATE
        encoded, frames = self._encode(phrase)
        free_text = self._free_text(encoded, audio_s)
        likely = shortlist.first_round(sayable, free_text, proposed)
        few = likely[: shortlist.FEW]
        free, *ranked = self._score(encoded, frames, [free_text, *map(written, few)])
        scores = dict(zip(few, ranked, strict=True))
        if not shortlist.is_settled(scores, free, proposed):
            self._add(scores, encoded, frames, likely[shortlist.FEW :])
            if free < _DOUBTFUL:
                self._add(scores, encoded, frames, shortlist.second_round(sayable, audio_s, scores))
        if scores:
            best = max(scores, key=lambda text: scores[text])
            self._add(scores, encoded, frames, shortlist.doubles(sayable, best, scores))
        readings = (Scored(text=text, score=score) for text, score in scores.items())
        order = tuple(sorted(readings, key=lambda reading: -reading.score))
        _give_back()
        return Judgement(ranked=order, free=Scored(text=free_text.strip(), score=free))

    def _add(self, scores: dict[str, float], encoded: Samples, frames: int, texts: Sequence[str]) -> None:
        scores.update(zip(texts, self._score(encoded, frames, list(map(written, texts))), strict=True))

    def _encode(self, phrase: Samples) -> tuple[Samples, int]:
        """The encoder's view, float32[1, frames // 2, 512], and the number of 10 ms frames."""
        mel = log_mel(padded(phrase))
        view = self._model.encode(self._as_view(mel[None]), to_cpu=True)
        return np.array(view), mel.shape[1]

    def _free_text(self, encoded: Samples, audio_s: float) -> str:
        limit = 12 + int(6 * audio_s)
        found = self._model.generate(self._as_view(encoded), [self._prompt], beam_size=1, max_length=limit)
        return once(str(self._tokens.decode(found[0].sequences_ids[0])))

    def _score(self, encoded: Samples, frames: int, texts: Sequence[str]) -> list[float]:
        rows = [self._tokens.encode(text, add_special_tokens=False).ids for text in texts]
        # rows of like length share a batch: a batch is as slow as its longest row
        order = sorted(range(len(rows)), key=lambda i: len(rows[i]))
        scores = [float(np.log(_FLOOR))] * len(rows)
        for start in range(0, len(order), _BATCH):
            batch = [i for i in order[start : start + _BATCH] if rows[i]]
            for i, score in zip(batch, self._align(encoded, frames, [rows[i] for i in batch]), strict=True):
                scores[i] = score
        return scores

    def _align(self, encoded: Samples, frames: int, rows: list[list[int]]) -> Iterable[float]:
        if not rows:
            return []
        view = self._as_view(np.repeat(encoded, len(rows), axis=0))
        found = self._model.align(view, self._prompt, rows, [frames] * len(rows))
        return [float(np.mean(np.log(np.maximum(row.text_token_probs, _FLOOR)))) for row in found]


def _give_back() -> None:
    """Return freed memory to the system: up to 90 MB of work space between phrases, for 10 ms."""
    trim = getattr(ctypes.CDLL(None), "malloc_trim", None)  # glibc's own; other C libraries do without
    if trim is not None:
        trim(0)


def written(text: str) -> str:
    """A command as Whisper writes: "greens are on" -> " Greens are on."."""
    return f" {text[:1].upper()}{text[1:]}."


def padded(phrase: Samples) -> Samples:
    """The phrase, at most 28 s of it, with 0.3 s of silence, in whole pairs of frames."""
    pair = 2 * HOP
    kept = phrase[: int(_LONGEST_S * SAMPLE_RATE)]
    pairs = -(-(len(kept) + int(_TAIL_S * SAMPLE_RATE)) // pair)
    # CTranslate2 takes encoded sound for a mel spectrogram when it has as many rows as there are mel bands
    pairs += pairs == _MEL_LIKE
    return np.pad(kept, (0, pairs * pair - len(kept))).astype(np.float32)


def once(text: str) -> str:
    """The text without the loop at its end that unpadded sound leads to: " No. No. No." -> " No.".

    A loop may end in the middle of a word: where the free text was long enough, it was cut.
    """
    words = text.split()
    keys = [word.lower().strip(".,!?") for word in words]
    for start in range(len(words)):
        for period in range(1, len(words) - start):
            again, before = keys[start + period :], keys[start:-period]
            is_loop = again[:-1] == before[:-1] and before[-1].startswith(again[-1])
            if is_loop and len(again) >= min(period, _LOOP_WORDS):
                return " " + " ".join(words[: start + period])
    return text
