"""Follows a stream of sound and gives a `Heard` for each phrase: detector, ears, rule, in that order.

It takes chunks and never waits. The second ear starts on a phrase at the first pause, so that its answer is
ready when the end is sure; if the speaker goes on, that work is given up. The end is sure sooner where either
ear has a whole command. Without a worker the second ear judges there and then, as a recording can wait. The
grammar changes between phrases only.
"""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from threading import Event
from typing import ParamSpec, TypeVar

import numpy as np

from kitchend.hearing.accept import Decision, Evidence, decide
from kitchend.hearing.detect import CHUNK, CHUNK_S, Detector, Mark
from kitchend.hearing.ports import (
    SAMPLE_RATE,
    FirstEar,
    Heard,
    Judgement,
    Prepared,
    Proposal,
    Samples,
    Sayable,
    SecondEar,
)
from kitchend.hearing.worth import Weights

_T = TypeVar("_T")
_P = ParamSpec("_P")

OnPartial = Callable[[str], None]
"""Told what the phrase in progress sounds like so far, "" once it has ended."""

Seconds = Callable[[], float]
"""Running seconds, to tell how long work took."""


class Follower:
    """One stream, two ears (at least one), and what may be said."""

    def __init__(
        self,
        *,
        detector: Detector,
        first: FirstEar | None,
        second: SecondEar | None,
        seconds: Seconds,
        worker: Executor | None = None,
        weights: Weights | None = None,
        on_partial: OnPartial | None = None,
    ) -> None:
        if first is None and second is None:
            raise ValueError("one ear at least is needed")
        self._detector = detector
        self._first = first
        self._second = second
        self._seconds = seconds
        self._weights = weights
        self._worker = worker or _ThereAndThen()
        self._on_partial = on_partial
        self._sayable: Sayable | None = None
        self._wanted: Sayable | None = None
        self._partial = self._asked = ""
        self._was_complete = False
        self._preparing: Future[None] | None = None
        self._begun: Future[Judgement] | None = None
        self._was_settled: bool | None = None
        self._is_forgotten = Event()
        self._paused: tuple[Samples, tuple[str, ...]] | None = None
        self._held: list[Samples] = []
        self._chunks = 0
        self._opened_at = 0
        self._in_phrase = False

    @property
    def sayable(self) -> Sayable | None:
        """What the phrase in progress, or the last one, was expected to be."""
        return self._sayable

    @property
    def in_phrase(self) -> bool:
        """Whether somebody is speaking."""
        return self._in_phrase

    def listen_for(self, sayable: Sayable) -> None:
        """Expect these phrases from the next phrase on."""
        self._wanted = sayable
        if not self._in_phrase:
            self._take_grammar()

    def _take_grammar(self) -> None:
        wanted, self._wanted = self._wanted, None
        if wanted is not None and wanted is not self._sayable:
            if self._first is not None:
                self._first.listen_for(wanted)
            self._prepare(wanted)
            self._sayable = wanted
            self._partial = self._asked = ""
            self._was_complete = False

    def _prepare(self, wanted: Sayable) -> None:
        """Let the second ear make ready while nobody speaks; for a grammar that was replaced it need not."""
        if self._preparing is not None:
            self._preparing.cancel()
        second: object = self._second
        if isinstance(second, Prepared):
            self._preparing = self._worker.submit(second.prepare, wanted)

    def abandon(self) -> None:
        """Forget the phrase in progress and what came before it, as if nothing had been said."""
        if self._in_phrase and self._first is not None:
            self._first.finish()
        self._forget_judging()
        self._detector.reset()
        self._in_phrase = False
        self._show("")

    def hear(self, chunk: Samples) -> Heard | None:
        """The next chunk, float32[512]; a Heard when it ends a phrase."""
        self._chunks += 1
        if not self._in_phrase:
            self._take_grammar()
        if self._sayable is None:
            return None
        match self._detector.hear(chunk, self._is_complete()):
            case Mark.OPENED:
                self._open()
            case Mark.SPEECH:
                self._feed_or_hold(chunk)
            case Mark.PAUSED:
                self._feed(chunk)
                self._begin_judging()
            case Mark.RESUMED:
                self._feed(np.concatenate([*self._held, chunk]))
                self._forget_judging()
            case Mark.ENDED:
                return self._end()
            case Mark.SILENCE:
                pass
        return None

    @property
    def _sayable_now(self) -> Sayable:
        if self._sayable is None:
            raise RuntimeError("a phrase was followed before anybody said what may be said")
        return self._sayable

    def _is_complete(self) -> bool:
        """Whether either ear has a whole command."""
        return self._is_whole() or self._is_settled()

    def _is_settled(self) -> bool:
        """Whether the second ear is done, and what it has counts; asked of the rule once for each pause."""
        if self._was_settled is None and self._begun is not None and self._begun.done():
            spoken_s = (self._chunks - self._opened_at) * CHUNK_S - self._detector.silence_s
            so_far = Proposal(readings=tuple(filter(None, [self._partial])))
            proposal = None if self._first is None else so_far
            decision = self._decided(spoken_s, proposal, self._begun.result())
            self._was_settled = decision.accepted and not decision.doubts
        return bool(self._was_settled)

    def _is_whole(self) -> bool:
        """Whether the first ear has a whole command; asked of the grammar once for each text."""
        if self._partial != self._asked:
            self._asked = self._partial
            self._was_complete = bool(self._partial) and self._sayable_now.accepts(self._partial)
        return self._was_complete

    def _open(self) -> None:
        self._in_phrase = True
        self._opened_at = self._chunks - len(self._detector.phrase) // CHUNK
        self._partial = ""
        self._feed(self._detector.phrase)

    def _feed(self, samples: Samples) -> None:
        if self._first is not None:
            self._partial = self._first.feed(samples)
            self._show(self._partial)

    def _show(self, partial: str) -> None:
        if self._on_partial is not None:
            self._on_partial(partial)

    def _feed_or_hold(self, chunk: Samples) -> None:
        """Leave the cores to the second ear while it judges a whole command; a pause is fed if it resumes."""
        if self._paused is not None and self._was_complete:
            self._held.append(chunk)
        else:
            self._feed(chunk)

    def _begin_judging(self) -> None:
        if self._second is None:
            return
        phrase, proposed = self._detector.phrase, (self._partial,) if self._partial else ()
        self._paused = phrase, proposed
        forgotten = self._is_forgotten = Event()
        self._begun = self._worker.submit(
            self._second.judge, phrase, self._sayable_now, proposed, lambda: not forgotten.is_set()
        )

    def _forget_judging(self) -> None:
        if self._begun is not None:
            self._begun.cancel()
            self._is_forgotten.set()
        self._begun = self._paused = self._was_settled = None
        self._held = []

    def _end(self) -> Heard:
        began = self._seconds()
        phrase, silence_s = self._detector.phrase, self._detector.silence_s
        self._in_phrase = False
        self._show("")
        proposal = self._first.finish() if self._first is not None else None
        judgement = self._judged(phrase, proposal)
        self._forget_judging()
        started_s, ended_s = self._opened_at * CHUNK_S, self._chunks * CHUNK_S - silence_s
        decision = self._decided(ended_s - started_s, proposal, judgement)
        return Heard(
            text=decision.text,
            accepted=decision.accepted,
            reason=decision.reason,
            doubts=decision.doubts,
            free_text=judgement.free.text if judgement is not None else None,
            margin=decision.margin,
            started_s=started_s,
            ended_s=ended_s,
            audio_s=len(phrase) / SAMPLE_RATE,
            took_s=self._seconds() - began,
        )

    def _decided(self, span_s: float, proposal: Proposal | None, judgement: Judgement | None) -> Decision:
        evidence = Evidence(
            speech_s=max(0.0, span_s - self._detector.pre_roll_s),
            proposed=_proposed(proposal, is_alone=judgement is None),
            judgement=judgement,
        )
        is_by_phones = judgement is not None and judgement.is_by_phones
        return decide(evidence, self._sayable_now, weights=None if is_by_phones else self._weights)

    def _judged(self, phrase: Samples, proposal: Proposal | None) -> Judgement | None:
        if self._second is None or self._sayable is None:
            return None
        if self._begun is not None and not self._begun.cancel():
            return self._begun.result()
        readings = proposal.readings if proposal is not None else ()
        sound, proposed = self._paused or (phrase, readings)
        return self._second.judge(np.ascontiguousarray(sound), self._sayable, proposed)


class _ThereAndThen(Executor):
    """Does the work where it is handed over."""

    def submit(self, fn: Callable[_P, _T], /, *args: _P.args, **kwargs: _P.kwargs) -> Future[_T]:
        """The work, done; raises what it raises."""
        done = Future[_T]()
        done.set_result(fn(*args, **kwargs))
        return done


def _proposed(proposal: Proposal | None, *, is_alone: bool) -> str | None:
    if proposal is None:
        return None
    return proposal.alone if is_alone else proposal.best
