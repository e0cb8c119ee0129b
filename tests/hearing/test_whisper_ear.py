"""The second ear on synthetic speech: it ranks what may be said, and hears without a grammar."""

from dataclasses import dataclass, replace

import numpy as np
import pytest

from kitchend.core.tongue import speaking
from kitchend.hearing.accept import Evidence, decide
from kitchend.hearing.memory import KnowingSecondEar
from kitchend.hearing.numbers import spelled
from kitchend.hearing.phone_ear import PhoneEar
from kitchend.hearing.ports import SAMPLE_RATE, Judgement, NoLongerWantedError, SecondEar
from kitchend.hearing.shortlist import same_words
from kitchend.hearing.weights import whisper_folder
from kitchend.hearing.whisper_ear import AS_IT_CAME, UNADDRESSED_AT_HOME, WhisperEar, padded
from kitchend.hearing.whisper_texts import once, opened, written
from tests.bench.hear.kitchen import sayable_of
from tests.bench.hear.rooms import ROOMS, heard_in, response
from tests.hearing.conftest import Speak
from tests.hearing.ears_cases import NOISE, Talk, english, in_kitchen, korean
from tests.hearing.menu import dinner

SAID = "fifteen more minutes on the chicken"


CASES = [
    pytest.param(("Whisper", None), id="Whisper"),
    pytest.param(("Whisper", 10.0), id=f"Whisper, {NOISE} at 10 dB"),
    pytest.param(("phones", None), id="phones"),
    pytest.param(("phones", 10.0), id=f"phones, {NOISE} at 10 dB"),
    pytest.param(("in memory", None), id="in memory"),
    pytest.param(("Whisper in Korean", None), id="Whisper in Korean"),
    pytest.param(("Whisper in Korean", 10.0), id=f"Whisper in Korean, {NOISE} at 10 dB"),
]


@dataclass(frozen=True)
class Case:
    """A second ear, what is said to it, and as what it reaches the microphone."""

    ear: SecondEar
    talk: Talk
    ratio_db: float | None
    language: str

    def judged(self, proposed: tuple[str, ...] = ()) -> Judgement:
        sound = in_kitchen(self.talk.speak(self.talk.said), self.ratio_db)
        with speaking(self.language):
            return self.ear.judge(sound, self.talk.menu, proposed)


@pytest.fixture(scope="module")
def whisper_in_korean() -> WhisperEar:
    return WhisperEar(whisper_folder(language="ko"), language="ko")


@pytest.fixture(scope="module")
def phone_ear() -> PhoneEar:
    return PhoneEar()


@pytest.fixture(params=CASES)
def case(request: pytest.FixtureRequest, speak: Speak) -> Case:
    name, ratio_db = request.param
    if name == "Whisper in Korean":
        ear = request.getfixturevalue("whisper_in_korean")
        return Case(ear, korean("두부 다 썰었어요", "m3", 140), ratio_db, "ko")
    talk = replace(english(speak), said=SAID)
    fixture = "phone_ear" if name == "phones" else "whisper"
    ear = KnowingSecondEar(SAID) if name == "in memory" else request.getfixturevalue(fixture)
    return Case(ear, talk, ratio_db, "en")


def test_what_was_said_is_ranked_first_and_all_in_order(case: Case) -> None:
    judgement = case.judged()
    scores = [reading.score for reading in judgement.ranked]
    assert judgement.ranked[0].text == case.talk.said
    assert scores == sorted(scores, reverse=True)
    assert len({reading.text for reading in judgement.ranked}) == len(scores)


def test_only_commands_that_may_be_said_are_ranked(case: Case) -> None:
    judgement = case.judged(("the chicken has flown away", "닭이 날아갔어요"))
    assert judgement.ranked
    assert all(case.talk.menu.accepts(reading.text) for reading in judgement.ranked)


def test_the_free_text_of_a_sentence_gives_its_words(whisper: WhisperEar, speak: Speak) -> None:
    sentence = "the weather has been terrible all week long"
    judgement = whisper.judge(speak(sentence), dinner(), ())
    assert sentence in spelled(judgement.free.text)
    assert judgement.free.score - judgement.ranked[0].score > 3.0


@pytest.mark.parametrize(
    "said", ["give the fish eleven more minutes", "the fish is up to sixty four", "fillet the bream"]
)
def test_what_no_list_holds_is_found_by_searching_the_grammar(
    said: str, whisper: WhisperEar, speak: Speak
) -> None:
    grammar = sayable_of("harbour", True)
    judgement = whisper.judge(speak(said, "slt"), grammar, ())
    assert same_words(judgement.ranked[0].text, said)
    assert judgement.ranked[0].blind is not None
    assert judgement.ranked[0].blind < judgement.ranked[0].score
    assert all(grammar.accepts(reading.text) for reading in judgement.ranked)


def test_what_is_not_wanted_any_more_is_given_up_and_the_next_phrase_is_judged_as_ever(
    whisper: WhisperEar, speak: Speak
) -> None:
    grammar, sound = sayable_of("harbour", True), speak("fillet the bream", "slt")
    before = whisper.judge(sound, grammar, ())
    answers = [True, False]
    with pytest.raises(NoLongerWantedError):
        whisper.judge(sound, grammar, ("turn the bream",), lambda: answers.pop(0))
    assert not answers
    assert whisper.judge(sound, grammar, ()) == before


def test_after_the_address_phrase_the_command_is_heard_and_scored_by_itself(
    whisper: WhisperEar, speak: Speak
) -> None:
    addressed = whisper.judge(speak("hey kitchen fillet the bream"), sayable_of("harbour", False), ())
    plain = whisper.judge(speak("fillet the bream"), sayable_of("harbour", True), ())
    best = addressed.ranked[0]
    assert same_words(best.text, "hey kitchen fillet the bream")
    assert {best.tokens} == {
        reading.tokens for reading in plain.ranked if f"hey kitchen {reading.text}" == best.text
    }
    assert best.blind is not None
    assert best.blind < best.score
    assert addressed.free.text.startswith(opened("hey kitchen").strip())
    assert addressed.address is not None
    assert addressed.address > UNADDRESSED_AT_HOME
    assert plain.address is None


@pytest.mark.parametrize(("louder", "is_heard"), [(3, True), (10, False)])
def test_noise_over_the_address_phrase_leaves_it_clear_until_it_hides_it(
    louder: int, is_heard: bool, whisper: WhisperEar, speak: Speak
) -> None:
    """Hidden, the rest is no command, however clear it is: nobody was heard to address kitchend."""
    sound = speak("hey kitchen mop the brisket").copy()
    noise = np.random.default_rng(5).normal(0.0, 1.0, len(sound)).astype(np.float32)
    begun = int(0.6 * SAMPLE_RATE)  # the command begins after that
    sound[:begun] += noise[:begun] * louder * float(np.sqrt(np.mean(sound[:begun] ** 2)))
    judgement = whisper.judge(sound, sayable_of("arches", False), ())
    heard = [reading.text for reading in judgement.ranked[:1]]
    assert [same_words(text, "hey kitchen mop the brisket") for text in heard] == [True] * is_heard
    assert "mop the brisket" in whisper.freely(sound).lower()


def test_talk_is_no_command_where_commands_begin_with_the_address_phrase(
    whisper: WhisperEar, speak: Speak
) -> None:
    sentence = "the weather has been terrible all week long"
    judgement = whisper.judge(speak(sentence), sayable_of("harbour", False), ("hey kitchen that's wrong",))
    assert judgement.ranked == ()
    assert judgement.address is not None
    assert judgement.address < UNADDRESSED_AT_HOME
    assert sentence in spelled(judgement.free.text)


def test_what_is_made_of_a_phrase_does_not_hang_on_those_before(whisper: WhisperEar, speak: Speak) -> None:
    grammar = sayable_of("harbour", True)
    sound = speak("aubergines turned", "rms")
    before = whisper.judge(sound, grammar, ())
    whisper.judge(speak("turn the aubergines", "slt"), grammar, ())
    assert whisper.judge(sound, grammar, ()) == before


def test_the_number_that_was_said_beats_its_partner(whisper: WhisperEar, speak: Speak) -> None:
    for said, other in (("fifteen", "fifty"), ("fifty", "fifteen"), ("five", "nine")):
        judgement = whisper.judge(speak(f"{said} more minutes on the chicken"), dinner(), ())
        scores = {reading.text: reading.score for reading in judgement.ranked}
        assert scores[f"{said} more minutes on the chicken"] > scores[f"{other} more minutes on the chicken"]


def test_a_command_that_is_not_likely_is_found_when_the_first_ear_proposes_it(
    whisper: WhisperEar, speak: Speak
) -> None:
    said = "take eleven minutes off the chicken"
    assert whisper.judge(speak(said, "rms"), dinner(), (said,)).ranked[0].text == said


@pytest.mark.parametrize("samples", [1, 400, SAMPLE_RATE * 13 // 10, SAMPLE_RATE * 40])
def test_sound_of_any_length_is_judged(samples: int, whisper: WhisperEar) -> None:
    noise = np.random.default_rng(2).normal(0.0, 0.01, samples).astype(np.float32)
    assert whisper.judge(noise, dinner(), ()).ranked


@pytest.mark.parametrize(
    ("length_s", "padded_s"), [(0.0, 10.0), (0.01, 10.0), (9.69, 10.0), (9.8, 10.1), (40.0, 28.3)]
)
def test_a_phrase_is_filled_up_with_silence_and_a_long_one_gets_a_little(
    length_s: float, padded_s: float
) -> None:
    phrase = np.ones(int(length_s * SAMPLE_RATE), np.float32)
    filled = padded(phrase, AS_IT_CAME)
    assert len(filled) / SAMPLE_RATE == pytest.approx(padded_s, abs=0.02)
    assert len(filled) % 320 == 0
    assert not filled[min(len(phrase), 28 * SAMPLE_RATE) :].any()


def test_short_phrases_in_a_room_are_heard_as_they_were_said(whisper: WhisperEar, speak: Speak) -> None:
    # without the silence that fills them up one of the five is: "enath", "Drain the set,", "Wasp a kill"
    rooms = {room.name: response(room) for room in ROOMS}
    said = [("square", text) for text in ("enough", "drain the fat", "beans are done", "the rice is done")]
    said.append(("galley", "wash the kale"))
    heard = [whisper.freely(heard_in(speak(text), rooms[room])) for room, text in said]
    right = [text for (_, text), free in zip(said, heard, strict=True) if text in spelled(free)]
    assert len(right) >= 4, heard


def test_phrases_of_any_length_are_heard_as_well(whisper: WhisperEar, speak: Speak) -> None:
    speech = speak("the rice is done")
    for length in (20_600, 20_800, 21_000, 95_000, 165_000):
        sound = np.pad(speech, (0, length))[:length]
        judgement = whisper.judge(sound, dinner(), ())
        assert judgement.ranked[0].text in ("the rice is done", "rice is done")
        assert judgement.ranked[0].score > -1.0


@pytest.mark.parametrize(
    ("text", "cut"),
    [
        pytest.param(" No. No. No.", " No.", id="a word"),
        pytest.param(" 5 more minutes 5 more minutes 5 more", " 5 more minutes", id="not to its end"),
        pytest.param(" Well, what's next? What's next?", " Well, what's next?", id="after a beginning"),
        pytest.param(" Hold the greens.", " Hold the greens.", id="no loop"),
        pytest.param(" No no no that's wrong.", " No no no that's wrong.", id="repeated, then going on"),
        pytest.param(" The duck is at sixty six.", " The duck is at sixty six.", id="a number like two"),
        pytest.param(" Oven at ninety nine", " Oven at ninety nine", id="a number at the end of the sound"),
        pytest.param(" 5 more minutes 5 more min", " 5 more minutes", id="cut in a word"),
        pytest.param("", "", id="nothing"),
    ],
)
def test_loops_are_cut(text: str, cut: str) -> None:
    assert once(text) == cut


def test_commands_are_scored_as_whisper_writes_sentences() -> None:
    assert written("greens are on") == " Greens are on."


@pytest.mark.parametrize(
    "said",
    [
        "time the sausages for fifteen minutes",
        "remind me in ten minutes to feed the dog",
        "okay could you hold the marrow please",
    ],
)
def test_what_no_grammar_holds_is_taken_at_its_word_and_words_around_a_command_are_heard(
    said: str, whisper: WhisperEar, speak: Speak
) -> None:
    """No name at this dinner is what is timed here; the grammar's nearest would be something else."""
    menu = sayable_of("allotment", True)
    judgement = whisper.judge(speak(said), menu, ())
    decision = decide(Evidence(speech_s=2.0, proposed=None, judgement=judgement), menu)
    assert decision.accepted
    assert same_words(decision.text, said)
    assert decision.doubts == ()
