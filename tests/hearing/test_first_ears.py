"""One contract for every first ear: PocketSphinx raw and denoised, Vosk with the Korean model that a package
ships, and the in-memory one; two of them in kitchen noise as well.
"""

import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import pytest

from kitchend.hearing.denoise import DeepFilter, Denoised
from kitchend.hearing.memory import KnowingFirstEar
from kitchend.hearing.pocketsphinx_ear import KEPT, MEAN, PocketSphinxEar
from kitchend.hearing.ports import SAMPLE_RATE, FirstEar, Proposal, Samples
from kitchend.hearing.vosk_ear import VoskEar
from tests.hearing.conftest import Speak
from tests.hearing.ears_cases import NOISE, YES_OR_NO, Talk, english, in_kitchen, korean, korean_model
from tests.hearing.menu import JsgfSayable

SAID = "five more minutes on the greens"
CASES = [
    pytest.param(("PocketSphinx", None), id="PocketSphinx"),
    pytest.param(("PocketSphinx denoised", None), id="PocketSphinx denoised"),
    pytest.param(("PocketSphinx denoised", 15.0), id=f"PocketSphinx denoised, {NOISE} at 15 dB"),
    pytest.param(("in memory", None), id="in memory"),
    pytest.param(("Vosk", None), id="Vosk in Korean"),
    pytest.param(("Vosk", 15.0), id=f"Vosk in Korean, {NOISE} at 15 dB"),
]


@dataclass(frozen=True)
class Case:
    """An ear and what is said to it, as it reaches the microphone."""

    make: Callable[[str], FirstEar]
    talk: Talk
    ratio_db: float | None

    def pieces(self, text: str) -> Iterator[Samples]:
        return pieces(in_kitchen(self.talk.speak(text), self.ratio_db))


@pytest.fixture
def denoised() -> FirstEar:
    return Denoised(PocketSphinxEar(), DeepFilter())


@pytest.fixture(scope="module")
def vosk() -> FirstEar:
    return VoskEar(korean_model())


@pytest.fixture(params=CASES)
def case(request: pytest.FixtureRequest, speak: Speak) -> Case:
    """An ear about to hear the given text; only the engine that is asked for is loaded."""
    name, ratio_db = request.param
    real = {"PocketSphinx": "sphinx", "PocketSphinx denoised": "denoised", "Vosk": "vosk"}.get(name)
    ear = None if real is None else request.getfixturevalue(real)
    talk = korean("알았어요", "m3", 140) if name == "Vosk" else english(speak)
    return Case(make=lambda text: ear or KnowingFirstEar([text]), talk=talk, ratio_db=ratio_db)


def pieces(samples: Samples) -> Iterator[Samples]:
    quiet = np.zeros(4800, np.float32)
    sound = np.concatenate([quiet, samples, quiet])
    return (sound[i : i + 512] for i in range(0, len(sound), 512))


def test_a_command_is_followed_and_proposed(case: Case) -> None:
    said = case.talk.said
    ear = case.make(said)
    ear.listen_for(case.talk.menu)
    partials = [ear.feed(piece) for piece in case.pieces(said)]
    assert said in partials
    assert ear.finish().best == said


def test_finishing_without_a_phrase_proposes_nothing(case: Case) -> None:
    ear = case.make(case.talk.said)
    ear.listen_for(case.talk.menu)
    assert ear.finish() == Proposal(readings=())
    assert ear.finish().best == ""


def test_a_new_grammar_holds_from_the_next_phrase_on(case: Case) -> None:
    answer = case.talk.answer
    ear = case.make(answer)
    ear.listen_for(case.talk.menu)
    ear.listen_for(case.talk.answers)
    for piece in case.pieces(answer):
        ear.feed(piece)
    assert ear.finish().best == answer
    ear.listen_for(case.talk.menu)
    for piece in case.pieces(answer):
        ear.feed(piece)
    assert ear.finish().best != answer


def test_a_phrase_leaves_nothing_in_the_next(case: Case) -> None:
    said = case.talk.said
    ear = case.make(said)
    ear.listen_for(case.talk.menu)
    for piece in case.pieces(said):
        ear.feed(piece)
    ear.finish()
    for piece in pieces(np.zeros(8000, np.float32)):
        ear.feed(piece)
    assert not case.talk.menu.accepts(ear.finish().best)


def what_it_hears(ear: PocketSphinxEar, sound: Samples) -> tuple[str | None, float | None]:
    """The reading, and the likelihood of the whole phrase."""
    for piece in pieces(sound):
        ear.feed(piece)
    text, found = ear.finish().best, ear._decoder.hyp()
    return text, None if found is None else float(found.score)


@pytest.mark.parametrize("kept", [0.0, KEPT, 1.0])
def test_what_was_heard_before_moves_the_mean_as_far_as_it_is_kept(kept: float, speak: Speak) -> None:
    """Where nothing is kept the likelihood is the same to the digit, whatever came before."""
    talk, rng = english(speak), np.random.default_rng(5)
    hiss = rng.normal(0.0, 0.2, 5 * SAMPLE_RATE).astype(np.float32)
    rumble = np.cumsum(hiss - hiss.mean(), dtype=np.float32) * np.float32(0.01)
    ear = PocketSphinxEar(kept=kept)
    ear.listen_for(talk.menu)
    alone = what_it_hears(ear, talk.speak(SAID))
    assert alone[0] == SAID
    for other in (rumble, hiss, talk.speak("two beans")):
        what_it_hears(ear, other)
        again = what_it_hears(ear, talk.speak(SAID))
        assert again[0] == SAID
        assert (again == alone) == (kept == 0.0)


def test_the_next_phrase_begins_between_the_last_one_and_its_own_mean(speak: Speak) -> None:
    talk, ear = english(speak), PocketSphinxEar(kept=0.25)
    ear.listen_for(talk.menu)
    assert ear.mean == pytest.approx(MEAN)
    what_it_hears(ear, talk.speak(SAID))
    last = np.array(ear.mean)
    ear.feed(np.zeros(0, np.float32))
    assert ear.mean == pytest.approx(0.25 * last + 0.75 * np.array(MEAN), abs=0.001)


def test_words_the_dictionary_lacks_are_made_up_and_heard(sphinx: PocketSphinxEar, speak: Speak) -> None:
    words = frozenset({"hold", "the", "chimichurri", "rinsed"})
    assert set(sphinx.missing_words(words)) == {"chimichurri", "rinsed"}
    said = "hold the chimichurri"
    sphinx.listen_for(
        JsgfSayable(
            text="#JSGF V1.0; grammar g; public <command> = hold the (chimichurri | chicken | cherries);",
            likely=(said,),
        )
    )
    for piece in pieces(speak(said)):
        sphinx.feed(piece)
    assert sphinx.finish().best == said


def test_an_ear_needs_no_disk_that_can_be_written(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tempfile, "tempdir", "/nowhere")
    with pytest.raises(FileNotFoundError), tempfile.NamedTemporaryFile():
        pass
    PocketSphinxEar()


def test_a_network_says_the_same_as_its_jsgf(sphinx: PocketSphinxEar, speak: Speak) -> None:
    from kitchend.core.network import Arc, Network

    class Drawn(JsgfSayable):
        def network(self) -> Network:
            arcs = (
                Arc(0, 1, 0.5, "yes"),
                Arc(0, 2, 0.5, "no"),
                Arc(1, 3, 0.9, "please"),
                Arc(1, 3, 0.1, None),
            )
            return Network(final=4, arcs=(*arcs, Arc(2, 3, 1.0, "thank"), Arc(3, 4, 1.0, "you")))

        def usual_network(self) -> Network:
            return self.network()

        def words(self) -> frozenset[str]:
            return frozenset(arc.word for arc in self.network().arcs if arc.word)

    sphinx.listen_for(Drawn(text="", likely=()))
    for piece in pieces(speak("no thank you")):
        sphinx.feed(piece)
    assert sphinx.finish().best == "no thank you"


def cleaned(samples: Samples) -> Samples:
    denoiser = DeepFilter()
    return np.concatenate([*map(denoiser.clean, np.array_split(samples, 100)), denoiser.rest()])


def test_the_denoiser_takes_noise_away() -> None:
    noise = np.random.default_rng(5).normal(0.0, 0.02, 32_000).astype(np.float32)
    assert np.mean(cleaned(noise) ** 2) < np.mean(noise**2) / 4


def test_the_denoiser_keeps_speech_as_it_is_but_for_a_short_lag(speak: Speak) -> None:
    speech = speak(SAID)
    before, after = (np.convolve(x**2, np.ones(800), "same")[::160] for x in (speech, cleaned(speech)))
    length = min(len(before), len(after)) - 10
    alike = [np.corrcoef(before[:length], after[lag : lag + length])[0, 1] for lag in range(10)]
    assert max(alike) > 0.99
    assert int(np.argmax(alike)) <= 5  # columns of 10 ms


def room(noise_db: float) -> Samples:
    """0.4 s that end in a tenth of a second of a loud tone, over noise so far below it."""
    rng = np.random.default_rng(1)
    tone = 0.3 * np.sin(2 * np.pi * 220 * np.arange(1600) / SAMPLE_RATE)
    noise = rng.normal(0.0, 0.3 / np.sqrt(2) * 10 ** (-noise_db / 20), 6400)
    noise[-1600:] += tone
    return noise.astype(np.float32)


@pytest.mark.parametrize(("noise_db", "cleans"), [(10.0, True), (25.0, True), (45.0, False)])
def test_only_what_is_said_in_noise_is_cleaned(noise_db: float, cleans: bool) -> None:
    class Counting:
        cleaned = 0

        def clean(self, samples: Samples) -> Samples:
            self.cleaned += len(samples)
            return samples

        def rest(self) -> Samples:
            return np.zeros(0, np.float32)

    denoiser = Counting()
    ear = Denoised(KnowingFirstEar(["no thank you"] * 2), denoiser)
    ear.listen_for(YES_OR_NO)
    for _ in range(2):
        ear.feed(room(noise_db))
        ear.feed(np.zeros(512, np.float32))
        assert ear.finish().best == "no thank you"
    assert denoiser.cleaned == (2 * (6400 + 512) if cleans else 0)
