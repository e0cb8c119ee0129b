"""Additions to the second ear's model: what they change, what they leave, and what they do in noise."""

import io
import struct
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from kitchend.hearing.adapting import ADAPTATION, Addition, OtherModelError, adapted, additions, mark
from kitchend.hearing.ports import SAMPLE_RATE, Samples
from kitchend.hearing.weights import whisper_folder
from kitchend.hearing.whisper_ear import WhisperEar
from kitchend.hearing.whisper_texts import written
from tests.bench.hear.rooms import ROOMS, heard_in, response
from tests.bench.hear.voices import SPEAKERS, Speaker, is_there, spoken

SAID = (
    "the plums are in",
    "how long on the rye bread",
    "stop the cheese timer",
    "five more minutes on the quail",
)
RATIO_DB = 5.0


def model_file(version: int = 6, **weights: NDArray[np.generic]) -> bytes:
    """A model of CTranslate2 with these weights, and a second name for the first of them."""
    names = {name.replace("__", "/"): weight for name, weight in weights.items()}
    out = struct.pack("<I", version) + text("WhisperSpec") + struct.pack("<II", 3, len(names))
    for name, weight in names.items():
        kind = {"float32": 0, "int8": 1, "float16": 4}[weight.dtype.name]
        out += text(name) + struct.pack(f"<B{weight.ndim}I", weight.ndim, *weight.shape)
        out += struct.pack("<BI", kind, weight.nbytes) + weight.tobytes()
    return out + struct.pack("<I", 1) + text("other") + text(next(iter(names)))


def text(words: str) -> bytes:
    return struct.pack("<H", len(words) + 1) + words.encode() + b"\0"


def with_rows(model: bytes, **rows: list[int]) -> bytes:
    out = io.BytesIO()
    adapted(io.BytesIO(model), out, {}, {name: np.array(kept, np.int64) for name, kept in rows.items()})
    return out.getvalue()


def through(model: bytes, **added: NDArray[np.float32]) -> bytes:
    out = io.BytesIO()
    parts = {name.replace("__", "/"): Addition((value.astype(np.float16),)) for name, value in added.items()}
    adapted(io.BytesIO(model), out, parts)
    return out.getvalue()


def test_a_weight_gets_its_addition_and_all_else_stays() -> None:
    one, other = np.ones((2, 3, 1), np.float16), np.full(4, 7, np.int8)
    plus = np.arange(6, dtype=np.float32).reshape(2, 3)
    changed = (one.astype(np.float32) + plus.reshape(one.shape)).astype(np.float16)
    assert through(model_file(a__weight=one, b=other), a__weight=plus) == model_file(
        a__weight=changed, b=other
    )


def test_nothing_to_add_copies_the_model() -> None:
    model = model_file(a=np.ones(3, np.float32), b=np.zeros((2, 2), np.float16))
    assert through(model) == model


def test_of_a_weight_only_the_rows_that_are_wanted_stay() -> None:
    many = np.arange(9000, dtype=np.float16).reshape(3000, 3) % 97
    kept = [0, 7, 1023, 2998]
    model = model_file(a=many, b=np.ones(3, np.float32))
    assert with_rows(model, a=kept) == model_file(a=many[kept], b=np.ones(3, np.float32))
    assert with_rows(model, a=list(range(3000))) == model


def test_rows_that_are_not_there_are_refused() -> None:
    model = model_file(a=np.ones((3, 2), np.float16))
    with pytest.raises(OtherModelError, match="a has 3 rows"):
        with_rows(model, a=[0, 3])
    with pytest.raises(OtherModelError, match="b is missing"):
        with_rows(model, b=[0])


@pytest.mark.parametrize(
    ("model", "why"),
    [
        pytest.param(model_file(b=np.ones(3, np.float32)), "a is missing", id="no such weight"),
        pytest.param(model_file(a=np.ones(4, np.float32)), "another shape", id="another shape"),
        pytest.param(model_file(a=np.ones(3, np.int8)), "another shape or type", id="whole numbers"),
        pytest.param(model_file(5, a=np.ones(3, np.float32)), "another version", id="another version"),
        pytest.param(model_file(a=np.ones(3, np.float32))[:40], "ends too soon", id="cut off"),
    ],
)
def test_another_model_is_refused(model: bytes, why: str) -> None:
    with pytest.raises(OtherModelError, match=why):
        through(model, a=np.ones(3, np.float32))


def test_low_rank_additions_are_multiplied_out(tmp_path: Path) -> None:
    up, down = np.array([[1.0], [2.0]], np.float16), np.array([[3.0, 4.0, 5.0]], np.float16)
    file = tmp_path / "some.npz"
    kept: Any = {"a/weight|up": up, "a/weight|down": down, "b/beta|plus": np.array([0.5], np.float16)}
    np.savez(file, **kept)
    found = additions(file)
    assert found["a/weight"].flat().tolist() == [3, 4, 5, 6, 8, 10]
    assert found["b/beta"].flat().tolist() == [0.5]


def test_what_was_learned_is_how_to_hear_and_not_what_is_said() -> None:
    """The encoder, and where the decoder looks at what it encoded."""
    assert all(name.startswith("encoder/") or "/attention/" in name for name in additions())
    assert len(mark(ADAPTATION)) == 64


@pytest.fixture(scope="module")
def plain() -> WhisperEar:
    """The model as it came."""
    return WhisperEar(whisper_folder(language="ko"))


@pytest.mark.slow
@pytest.mark.parametrize("speaker", [s for s in SPEAKERS if s.part == "report"], ids=lambda s: s.name)
def test_a_voice_it_did_not_learn_from_is_understood_better_in_noise(
    speaker: Speaker, plain: WhisperEar, whisper: WhisperEar, tmp_path: Path
) -> None:
    if not is_there(speaker):
        pytest.skip(f"no voice {speaker}: its program is missing")
    sounds = {said: in_noise(spoken(said, speaker, tmp_path)) for said in SAID}
    before, after = ([fit(ear, sound, said) for said, sound in sounds.items()] for ear in (plain, whisper))
    assert np.mean(after) > np.mean(before) + 0.1


def in_noise(speech: Samples) -> Samples:
    """Speech across a tiled kitchen, with a hood's hum over it."""
    speech = heard_in(speech, response(next(room for room in ROOMS if room.name == "tiled")))
    chance = np.random.default_rng(4)
    hiss = np.cumsum(chance.normal(size=len(speech) + SAMPLE_RATE))
    hum = hiss - np.convolve(hiss, np.ones(200) / 200, "same")
    sound = np.pad(speech, SAMPLE_RATE // 2)
    gain = np.sqrt(np.mean(speech**2) / np.mean(hum**2) / 10 ** (RATIO_DB / 10))
    noisy: Samples = (sound + gain * hum[: len(sound)]).astype(np.float32)
    return noisy


def fit(ear: WhisperEar, sound: Samples, said: str) -> float:
    """The mean log probability of what was said."""
    heard = ear._freely(sound)
    return ear._scored(heard, heard.sound, [written(said)])[0][0]
