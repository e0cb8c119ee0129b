"""The second ear: Whisper scores what may be said, and says what it hears without a grammar.

It takes the raw phrase, never denoised sound. A command's score is the mean log probability of its tokens,
written " Like this."; the free text is scored the same way, so that the two may be compared. Which commands
are scored comes of searching the grammar for what it heard freely, and then for what it hears when it may use
the grammar's words only. It never refuses: that is the accept rule's. Each row of a batch costs 4 MB, 8 where
the model is as it came.
"""

import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path
from typing import Any

import numpy as np

from kitchend.core.tongue import of_state
from kitchend.hearing import shortlist
from kitchend.hearing.findings import ALIKE, AT_FIRST, BLIND, CLEAR, WAYS, Findings, in_turns
from kitchend.hearing.giving_back import give_back, keep_little
from kitchend.hearing.mel import HOP, log_mel
from kitchend.hearing.numbers import spelled
from kitchend.hearing.phone_ear import HeardPhones, PhoneEar
from kitchend.hearing.ports import (
    SAMPLE_RATE,
    Addressed,
    Grammatical,
    IsWanted,
    Judgement,
    Network,
    Networked,
    NoLongerWantedError,
    Samples,
    Sayable,
    Scored,
    always,
)
from kitchend.hearing.search import Searchable
from kitchend.hearing.weights import is_adapted
from kitchend.hearing.whisper_texts import once, opened, written

_TAIL_S = 0.3
_LONGEST_S = 28.0


@dataclass(frozen=True, slots=True)
class Filling:
    """What a phrase is filled up to with silence, in s, how much of that is kept once it is encoded, and of
    that every which frame.
    """

    filled_s: float
    kept_s: float
    every: int = 1


AS_IT_CAME, AT_HOME = Filling(10.0, 6.0), Filling(3.0, 3.0, every=3)
"""How a phrase is filled for the model as it came, and for the one that was adapted to kitchens.

Whisper learned from 30 s and mishears a short phrase by itself, "kale is on" as "Kénozán". 30 s cost 1 s of
one core, 10 s a fifth; the silence at the end costs each command that is scored, and helps it no more. The
adapted model learned from 4 and 6 s: of 80 phrases in noise it hears as well in 4 s as in 10. And it learned
from every third frame of what was encoded: each command that is scored looks at all of them, and neighbours
say much the same. (Every second one is worse: the odd ones hold something that the even ones lack.)
"""
_BATCH = 6
_BEAM, _SALADS = 8, 4
BY_PHONES = 6
"""How many commands that sound like it by their phones are scored."""
UNADDRESSED: Mapping[str, float] = {"en": -8.5}
"""By language: a beginning that fits the address phrase worse than this is none, and all else is spared.

Measured on 158 commands, clean, at 10 and 5 dB, the worst of them -8.0, and on talk, two thirds of it below.
"""
UNADDRESSED_AT_HOME = -1.2
"""The same for the adapted model, which tells them apart.

Of 161 addressed commands, clean, at 10 and 5 dB, all but three are above -0.7, and those three at -6; of 158
heard without the address phrase, clean and at 5 dB, the nearest are at -1.7 and -3.1; of 47 pieces of talk
at -6.5.
"""
_ONWARD = 4  # texts that are heard after the address phrase
_REMEMBERED = 4000  # texts whose blind score is kept: half a megabyte
_GRAMMARS = 2
_PRIMITIVES = "2"  # the encoder's convolutions; made anew in 6 ms: few phrases are as long as one before
_HUSH, _HUSH_S = 1e-3, 1.5  # what a quiet room sounds like, and for how long
_FLOOR = 1e-10
PROMPT = ("<|startoftranscript|>", "<|{language}|>", "<|transcribe|>", "<|notimestamps|>")
_END = "<|endoftext|>"


@dataclass(frozen=True, slots=True)
class Encoded:
    """The encoder's view of a phrase, float32[1, n, 512], and twice as many, as frames are counted before."""

    view: Samples
    frames: int


@dataclass(frozen=True, slots=True)
class _Heard:
    """A phrase and what is heard in it without a grammar, likeliest first.

    Where everything begins with the address phrase, `began` is the mean log probability of its tokens; if
    that is not too low, `opening` holds them and the texts begin with it.
    """

    sound: Encoded
    audio_s: float
    free: tuple[str, ...]
    began: float | None = None
    address: str = ""
    opening: tuple[int, ...] = ()
    phones: HeardPhones | None = None
    is_wanted: IsWanted = always

    @property
    def is_astray(self) -> bool:
        """Whether it should begin with the address phrase and does not."""
        return self.began is not None and not self.opening

    def written(self, text: str) -> str:
        """A command as Whisper writes it."""
        start = f"{self.address} "
        if not self.opening or not text.startswith(start):
            return written(text)
        return f"{opened(self.address)} {text[len(start) :]}."


@dataclass(frozen=True, slots=True)
class _Grammar:
    """A grammar ready to be searched, and the tokens that none of its words has."""

    network: Network
    search: Searchable
    silenced: list[int]


class WhisperEar:
    """A SecondEar over a CTranslate2 Whisper folder; `weights.NEEDED` lists the files."""

    def __init__(
        self, folder: Path, threads: int = 2, language: str = "en", phones: PhoneEar | None = None
    ) -> None:
        # Read once, when its library is loaded. By itself a thread spins while it waits for another: where
        # somebody else has the other core that makes a second's work last half a minute.
        os.environ.setdefault("OMP_WAIT_POLICY", "passive")
        # By itself oneDNN keeps what it made for each of the last 1024 lengths of phrase, 0.2 MB apiece.
        os.environ.setdefault("ONEDNN_PRIMITIVE_CACHE_CAPACITY", _PRIMITIVES)
        keep_little()
        import ctranslate2
        from tokenizers import Tokenizer

        self._as_view: Any = ctranslate2.StorageView.from_array
        self._tokens: Any = Tokenizer.from_file(str(folder / "tokenizer.json"))
        self._model: Any = ctranslate2.models.Whisper(
            str(folder), device="cpu", compute_type="int8", inter_threads=1, intra_threads=threads
        )
        self._filling = AT_HOME if is_adapted(folder) else AS_IT_CAME
        self._prompt = [self._tokens.token_to_id(token.format(language=language)) for token in PROMPT]
        as_it_came = UNADDRESSED.get(language, -np.inf)
        self._unaddressed = UNADDRESSED_AT_HOME if self._filling is AT_HOME else as_it_came
        self._knows_talk = language in UNADDRESSED  # what clear talk looks like was measured for these only
        self._end = self._tokens.token_to_id(_END) or 0
        # Numbers that all grammars share: 50,000 new ones a phrase leave holes in memory behind.
        self._vocabulary = list(range(self._tokens.get_vocab_size()))
        self._phones = phones
        self._grammars: dict[int, _Grammar] = {}
        self._blind: dict[str, float] = {}
        hush = np.random.default_rng(0).normal(0.0, _HUSH, int(_HUSH_S * SAMPLE_RATE))
        self._nothing = self._encode(hush.astype(np.float32))
        give_back()

    def prepare(self, sayable: Sayable) -> None:
        """Make the grammar ready to be searched: half a second's work for a dinner's."""
        if isinstance(sayable, Networked):
            self._grammar_of(sayable, sayable.network())
        if self._phones is not None:
            self._phones.prepare(sayable)

    @of_state
    def judge(
        self, phrase: Samples, sayable: Sayable, proposed: tuple[str, ...], is_wanted: IsWanted = always
    ) -> Judgement:
        """Rank commands by fit; work on one core: 0.3 s where the free text is near one, else 0.8 to 1.0 s.

        0.4 s where everything begins with the address phrase and this does not. Clear talk that no command
        comes near is searched no further. Where it is not wanted any more it ends within 0.2 s.
        """
        if not isinstance(sayable, Networked):
            freely = replace(self._freely(phrase), phones=self._phones_in(phrase), is_wanted=is_wanted)
            return self._listed(freely, sayable, proposed)
        heard = replace(self._heard(phrase, sayable), is_wanted=is_wanted)
        if heard.is_astray:
            found = Findings(None, ())
            return self._judgement(heard, found, 0, self._add_with_free(found, heard, ()))
        heard = replace(heard, phones=self._phones_in(phrase))
        grammar = self._grammar_of(sayable, sayable.network())
        ways = tuple(islice(dict.fromkeys(way for text in heard.free for way in spelled(text)), WAYS))
        found = Findings(grammar.search, heard=(*ways, *proposed))
        sounds_like = self._sounding_like(heard, found, sayable)
        proposed = (*proposed, *sounds_like[:1])
        near = in_turns(found.near((*ways, *proposed), sayable), sounds_like)
        free = self._add_with_free(found, heard, near[:AT_FIRST])
        is_settled = found.is_settled(free, proposed)
        if not is_settled and len(near) > AT_FIRST:
            self._add(found, heard, near[AT_FIRST:])
            is_settled = found.is_settled(free, proposed)
        # Even where it seems settled: the phone ear proposes the grammar's nearest to a name that it has not.
        openly = found.open_ways(free, ways, sayable)
        if openly or not is_settled:
            self._add(found, heard, openly)
            is_settled = found.is_settled(free, proposed)
        is_talk = not is_settled and self._knows_talk and found.is_talk(free)
        if not is_settled and not is_talk:
            words = self._said_in(heard, grammar.silenced)
            found.heard += words
            self._add(found, heard, found.near(words))
        if found.scored and not is_talk:
            self._add(found, heard, found.crossed(sayable, proposed))
            self._add(found, heard, shortlist.numbered(sayable, found.best, ways, found.scored))
            is_settled = found.is_settled(free, proposed)
            if not is_settled or free < CLEAR:
                self._add(found, heard, shortlist.renumbered(sayable, found.best, found.scored))
        if found.scored:
            self._add(found, heard, shortlist.doubles(sayable, found.best, found.scored))
        return self._judgement(heard, found, ALIKE if is_settled else BLIND, free)

    def freely(self, phrase: Samples) -> str:
        """What it hears without a grammar, as it would write it: a large-vocabulary recogniser."""
        return self._freely(phrase).free[0].strip()

    def _freely(self, phrase: Samples) -> _Heard:
        sound, audio_s = self._encode(phrase), len(phrase) / SAMPLE_RATE
        return _Heard(sound, audio_s, self._said(sound, audio_s))

    def _heard(self, phrase: Samples, sayable: Sayable) -> _Heard:
        """What it hears freely, where everything begins with the address phrase after that."""
        if not isinstance(sayable, Addressed) or not sayable.needs_address:
            return self._freely(phrase)
        sound, audio_s = self._encode(phrase), len(phrase) / SAMPLE_RATE
        opening = self._ids(opened(sayable.address))
        began = float(np.mean(self._score(sound, [opening])[0]))
        if began < self._unaddressed:
            return _Heard(sound, audio_s, self._said(sound, audio_s), began)
        free = self._said(sound, audio_s, opening)
        return _Heard(sound, audio_s, free, began, sayable.address, tuple(opening))

    def _listed(self, heard: _Heard, sayable: Sayable, proposed: tuple[str, ...]) -> Judgement:
        """The commands of a list, where there is no network to search."""
        found = Findings(None, heard=heard.free)
        free = self._add_with_free(found, heard, shortlist.first_round(sayable, heard.free[0], proposed))
        if found.scored:
            self._add(found, heard, shortlist.doubles(sayable, found.best, found.scored))
        return self._judgement(heard, found, BLIND, free)

    def _judgement(self, heard: _Heard, found: Findings, blindly: int, free: float) -> Judgement:
        blind = self._blindly(heard, found.few(blindly))
        give_back()
        said = Scored(text=heard.free[0].strip(), score=free)
        phones = self._phones_of(heard, found.scored)
        return Judgement(ranked=found.readings(blind, phones), free=said, address=heard.began)

    def _phones_in(self, phrase: Samples) -> HeardPhones | None:
        return None if self._phones is None else self._phones.heard(phrase)

    def _sounding_like(self, heard: _Heard, found: Findings, sayable: Grammatical) -> tuple[str, ...]:
        """The commands that come nearest by their phones."""
        if self._phones is None or heard.phones is None:
            return ()
        return found.take(self._phones.nearest(heard.phones, sayable), BY_PHONES)

    def _phones_of(self, heard: _Heard, texts: Iterable[str]) -> Mapping[str, float] | None:
        """How far the phones of each are from those in the sound."""
        if self._phones is None or heard.phones is None:
            return None
        return {text: score for text, (score, _) in self._phones.scores(heard.phones, texts).items()}

    def _add_with_free(self, found: Findings, heard: _Heard, texts: Sequence[str]) -> float:
        """Score these commands and, by the way, the free text; its score."""
        new = [text for text in texts if text not in found.scored]
        scores = self._scored(heard, heard.sound, [heard.free[0], *map(heard.written, new)])
        found.scored.update(zip(new, scores[1:], strict=True))
        return scores[0][0]

    def _add(self, found: Findings, heard: _Heard, texts: Sequence[str]) -> None:
        """Score these commands."""
        new = [text for text in texts if text not in found.scored]
        scores = self._scored(heard, heard.sound, [heard.written(text) for text in new])
        found.scored.update(zip(new, scores, strict=True))

    def _scored(self, heard: _Heard, sound: Encoded, lines: Sequence[str]) -> list[tuple[float, int]]:
        """The mean log probability of each line's tokens after the opening, and how many there are."""
        if not heard.is_wanted():
            raise NoLongerWantedError
        rows = self._score(sound, [self._ids(line) for line in lines])
        rests = (row[len(heard.opening) :] if len(row) > len(heard.opening) else row for row in rows)
        return [(float(np.mean(rest)), len(rest)) for rest in rests]

    def _blindly(self, heard: _Heard, texts: Sequence[str]) -> Mapping[str, float]:
        """The mean log probability of each where there is nothing to hear: how cheap it is to say."""
        keys = {text: f"{len(heard.opening)} {text}" for text in texts}
        new = [text for text in texts if keys[text] not in self._blind]
        if len(self._blind) + len(new) > _REMEMBERED:
            self._blind.clear()
            new = list(texts)
        scores = self._scored(heard, self._nothing, [heard.written(text) for text in new])
        self._blind.update((keys[text], score) for text, (score, _) in zip(new, scores, strict=True))
        return {text: self._blind[keys[text]] for text in texts}

    def _grammar_of(self, sayable: Grammatical, network: Network) -> _Grammar:
        """What is searched and what is silenced for a grammar; made once for each of the last few."""
        if id(network) not in self._grammars:
            if len(self._grammars) >= _GRAMMARS:
                del self._grammars[next(iter(self._grammars))]
            kept = {token for word in sayable.words() for token in self._ids(f" {word}")}
            kept.update((*self._ids("."), self._end))
            silenced = [token for token in self._vocabulary if token not in kept]
            search = self._phones.by_letters(sayable) if self._phones else Searchable(network)
            self._grammars[id(network)] = _Grammar(network, search, silenced)
        return self._grammars[id(network)]

    def _ids(self, text: str) -> list[int]:
        return list(self._tokens.encode(text, add_special_tokens=False).ids)

    def _encode(self, phrase: Samples) -> Encoded:
        mel = log_mel(padded(phrase, self._filling))
        view = np.array(self._model.encode(self._as_view(mel[None]), to_cpu=True))
        frames = _frames_kept(len(phrase), view.shape[1], self._filling)
        kept = np.ascontiguousarray(view[:, : frames : self._filling.every])
        return Encoded(kept, 2 * kept.shape[1])

    def _said(self, sound: Encoded, audio_s: float, opening: Sequence[int] = ()) -> tuple[str, ...]:
        """What it hears without a grammar, likeliest first; the text begins with these tokens."""
        found = self._model.generate(
            self._as_view(sound.view),
            [[*self._prompt, *opening]],
            beam_size=_ONWARD if opening else 1,
            num_hypotheses=_ONWARD if opening else 1,
            max_length=len(opening) + 12 + int(6 * audio_s),
        )
        return tuple(once(str(self._tokens.decode(ids))) for ids in found[0].sequences_ids)

    def _said_in(self, heard: _Heard, silenced: list[int]) -> tuple[str, ...]:
        """What it hears in the grammar's words, in whatever order."""
        found = self._model.generate(
            self._as_view(heard.sound.view),
            [[*self._prompt, *heard.opening]],
            beam_size=_BEAM,
            num_hypotheses=_BEAM,
            max_length=len(heard.opening) + 12 + int(6 * heard.audio_s),
            suppress_blank=False,
            suppress_tokens=silenced,
        )
        texts = (str(self._tokens.decode(ids)) for ids in found[0].sequences_ids)
        return tuple(dict.fromkeys(text.replace(",", "").strip(" .").lower() for text in texts))[:_SALADS]

    def _score(self, sound: Encoded, rows: Sequence[list[int]]) -> list[Samples]:
        """The log probability of each token of each row; one bad token where a row has none."""
        # rows of like length share a batch: a batch is as slow as its longest row
        order = sorted(range(len(rows)), key=lambda i: len(rows[i]))
        scores = [np.log(np.full(1, _FLOOR, np.float32))] * len(rows)
        for start in range(0, len(order), _BATCH):
            batch = [i for i in order[start : start + _BATCH] if rows[i]]
            for i, score in zip(batch, self._align(sound, [rows[i] for i in batch]), strict=True):
                scores[i] = score
        return scores

    def _align(self, sound: Encoded, rows: list[list[int]]) -> Iterable[Samples]:
        if not rows:
            return []
        view = self._as_view(np.repeat(sound.view, len(rows), axis=0))
        found = self._model.align(view, self._prompt, rows, [sound.frames] * len(rows))
        return [np.log(np.maximum(np.array(row.text_token_probs, np.float32), _FLOOR)) for row in found]


def padded(phrase: Samples, filling: Filling) -> Samples:
    """The phrase, at most 28 s of it, and silence, 0.3 s at least, in whole pairs of frames."""
    pair = 2 * HOP
    kept = phrase[: int(_LONGEST_S * SAMPLE_RATE)]
    wanted = max(len(kept) + int(_TAIL_S * SAMPLE_RATE), int(filling.filled_s * SAMPLE_RATE))
    return np.pad(kept, (0, -(-wanted // pair) * pair - len(kept))).astype(np.float32)


def _frames_kept(samples: int, there: int, filling: Filling) -> int:
    """How many of the encoder's frames of 20 ms are used for a phrase."""
    wanted = max(samples + int(_TAIL_S * SAMPLE_RATE), int(filling.kept_s * SAMPLE_RATE))
    return min(-(-wanted // (2 * HOP)), there)
