"""What the second ear is taught with: commands that can be said, by people apart from its judges."""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
import pytest
from tokenizers import Tokenizer

from kitchend.core.commands import Unclear
from kitchend.core.intents import understand
from kitchend.hearing.adapting import ADAPTATION
from kitchend.hearing.mel import log_mel
from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.weights import whisper_folder
from kitchend.hearing.whisper_ear import AT_HOME, PROMPT, WhisperEar, padded
from kitchend.hearing.whisper_texts import written
from kitchend.service.full_swing import in_full_swing
from kitchend.service.listening_back import dinner_of
from kitchend.service.settings import settings_for
from kitchend.speaking.sound import from_samples
from tests.bench.hear.adapt.lessons import PLANS, RIVALS, Heard, Lesson, brief, lessons
from tests.bench.hear.adapt.mixed import mixed
from tests.bench.hear.adapt.throats import STRANGERS, somebody, stranger
from tests.bench.hear.adapt.words import DICTIONARIES
from tests.bench.hear.corpus import ADDRESS, phrases
from tests.bench.hear.kitchen import NOW
from tests.bench.hear.noise import Clip
from tests.bench.hear.voices import SPEAKERS, Speaker, spoken

SAID = "the plums are in"
ALOUD = Speaker(name="kal", engine="flite", voice="kal", part="tune")


def aloud(_: random.Random) -> Speaker:
    return ALOUD


@pytest.fixture(scope="module")
def taught(tmp_path_factory: pytest.TempPathFactory) -> tuple[Lesson, ...]:
    return lessons(40, tmp_path_factory.mktemp("lessons"), who=aloud)


def test_lessons_are_the_same_for_the_same_seed(taught: tuple[Lesson, ...], tmp_path: Path) -> None:
    again = lessons(6, tmp_path, who=aloud)
    assert [one.text for one in again] == [one.text for one in taught[: len(again)]]
    assert [one.text for one in lessons(6, tmp_path, seed=2, who=aloud)] != [one.text for one in again]


def test_commands_among_them_are_understood_at_a_demo_dinner(taught: tuple[Lesson, ...]) -> None:
    states = [
        in_full_swing(dinner_of(plan, settings_for(None), NOW), NOW) for plan in sorted(PLANS.glob("*.yaml"))
    ]
    opening = f" {ADDRESS.capitalize()}, "
    addressed = [one.text.removeprefix(opening)[:-1] for one in taught if one.text.startswith(opening)]
    assert len(addressed) > 3
    for words in addressed:
        commands = [understand(words.lower(), state).command for state in states]
        assert any(not isinstance(command, Unclear) for command in commands), words


def test_nothing_of_the_report_part_is_taught() -> None:
    """Neither its voices nor the strangers'; of the tuning part's voices one is kept for the evidence."""
    chance = random.Random(3)
    drawn = [somebody(chance) for _ in range(300)]
    judged = {speaker.voice for speaker in SPEAKERS if speaker.part == "report"}
    assert len({speaker.name for speaker in drawn}) > 50
    for speaker in drawn:
        assert not judged & set(speaker.voice.split())
        assert not {*STRANGERS, "awb"} & set(speaker.voice.split())
    assert {stranger(chance).voice for _ in range(100)} <= {*STRANGERS, "awb"}


def test_no_phrase_of_the_bench_is_taught(taught: tuple[Lesson, ...]) -> None:
    """ "Undo that" is drawn from the demo dinners' grammars as well, and left out."""
    benched = {phrase.text for phrase in phrases()}
    opening = f" {ADDRESS.capitalize()}, "
    assert "undo that" in benched
    assert not [one.text for one in taught if one.text.removeprefix(opening).strip(" .").lower() in benched]


@pytest.mark.skipif(not all(map(Path.exists, DICTIONARIES)), reason="no word lists of English are installed")
def test_brief_lessons_are_short_commands_and_words_that_are_none(tmp_path: Path) -> None:
    states = [
        in_full_swing(dinner_of(plan, settings_for(None), NOW), NOW) for plan in sorted(PLANS.glob("*.yaml"))
    ]
    found = brief(60, tmp_path, who=aloud)
    said = [one.text.strip(" .").lower() for one in found]
    assert all(1 <= len(words.split()) <= 2 for words in said)
    assert not set(said) & {phrase.text for phrase in phrases()}
    meant = [
        any(not isinstance(understand(words, state).command, Unclear) for state in states) for words in said
    ]
    assert 0.3 < np.mean(meant) < 0.8
    assert all(one.text not in one.rivals for one in found)


def test_additions_of_one_kind_are_mixed_number_by_number() -> None:
    one = {"a|up": np.array([0.0, 1.0], np.float16), "b|plus": np.array([2.0], np.float16)}
    other = {"a|up": np.array([1.0, 1.0], np.float16), "b|plus": np.array([4.0], np.float16)}
    found = mixed(one, other, 0.25)
    assert {name: value.tolist() for name, value in found.items()} == {"a|up": [0.25, 1.0], "b|plus": [2.5]}
    with pytest.raises(ValueError, match="not of one kind"):
        mixed(one, {"a|up": other["a|up"]}, 0.5)


@pytest.fixture
def hum(tmp_path: Path) -> Clip:
    chance = np.random.default_rng(1)
    sound: Samples = (0.1 * chance.normal(size=2 * SAMPLE_RATE)).astype(np.float32)
    from_samples(sound, SAMPLE_RATE).to_wav(tmp_path / "hum-1.wav")
    return Clip(file=tmp_path / "hum-1.wav", kind="hum", part="tune")


def test_a_lesson_is_heard_otherwise_each_time_and_never_clips(taught: tuple[Lesson, ...], hum: Clip) -> None:
    heard = Heard(taught[:1], [hum], seed=0)
    sounds = [heard.one() for _ in range(12)]
    assert {lesson.text for lesson, _ in sounds} == {taught[0].text}
    assert len({sound.tobytes() for _, sound in sounds}) == len(sounds)
    for _, sound in sounds:
        assert sound.dtype == np.float32
        assert np.isfinite(sound).all()
        assert 0 < np.abs(sound).max() <= 0.951
        assert len(sound) > len(taught[0].speech)


def test_noise_is_under_it_more_often_than_not(taught: tuple[Lesson, ...], hum: Clip) -> None:
    """The quiet before the words is digital silence only where a lesson is heard without noise."""
    heard = Heard(taught[:3], [hum], seed=4)
    before = [
        float(np.abs(sound[: SAMPLE_RATE // 20]).max()) for _, sound in (heard.one() for _ in range(60))
    ]
    assert 0.7 < np.mean(np.array(before) > 1e-5) < 1


def test_rivals_of_a_lesson_are_other_commands(taught: tuple[Lesson, ...]) -> None:
    """As Whisper writes them; a quotation has some as well: it is to be heard as none of them."""
    assert all(0 < len(one.rivals) <= RIVALS for one in taught)
    for one in taught:
        assert one.text not in one.rivals
        assert len(set(one.rivals)) == len(one.rivals)
        assert all(text.startswith(" ") and text.endswith(".") for text in one.rivals)


def test_the_model_learned_with_gives_the_numbers_of_the_one_that_listens(tmp_path: Path) -> None:
    """JAX's scores against CTranslate2's: the same weights and additions, sound and words.

    CTranslate2 leaves the end and the other marks out of its sum, and has no other language's tokens, which
    takes nothing from words amid others.
    """
    jax = pytest.importorskip("jax", reason="jax is not installed: the model that learns is not compared")
    from tests.bench.hear.adapt.model import At, Batch, token_scores, weights

    folder = whisper_folder(language="")
    ear, tokens = WhisperEar(whisper_folder()), Tokenizer.from_file(str(folder / "tokenizer.json"))
    sound = spoken(SAID, ALOUD, tmp_path)
    scores = ear._score(ear._encode(sound), [ear._ids(written(SAID))])[0]
    mel = log_mel(padded(sound, AT_HOME))
    model = {name: jax.numpy.asarray(value) for name, value in weights(folder / "model.bin").items()}
    with np.load(ADAPTATION) as learned:
        added = {name: jax.numpy.asarray(learned[name].astype(np.float32)) for name in learned.files}
    prompt = [tokens.token_to_id(name.format(language="en")) for name in PROMPT]
    ids = tokens.encode(written(SAID), add_special_tokens=False).ids
    line = np.array([[*prompt, *ids, tokens.token_to_id("<|endoftext|>")]])
    places = np.arange(len(prompt) - 1, len(prompt) - 1 + len(ids))
    all_of_it = np.ones(len(ids), np.float32)
    at = At(places, line[0, places + 1], np.zeros_like(places), all_of_it, all_of_it)
    batch = Batch(mel[None], line, at, np.array([len(ids)], np.float32), np.ones((1, 1), bool))
    found = np.array(token_scores(added, model, batch))
    assert found[1:-1] == pytest.approx(scores[1:-1], abs=0.1)
    assert (found <= scores + 0.1).all()
