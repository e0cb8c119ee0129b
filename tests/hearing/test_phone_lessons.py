"""What the phone net learns from and by: the numbers of the one that listens, sounds of some kitchen."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from kitchend.hearing.phone_net import AFTER, NUMBERS, PhoneNet
from kitchend.hearing.ports import SAMPLE_RATE
from kitchend.hearing.pronouncing import english
from kitchend.hearing.sounding import units_of
from kitchend.speaking.sound import from_samples
from tests.bench.hear.adapt.lessons import Lesson
from tests.bench.hear.noise import Clip
from tests.bench.hear.phones.heard import LENGTHS, Kitchens, Said, said


def test_the_net_that_learns_gives_the_numbers_of_the_one_that_listens() -> None:
    jax = pytest.importorskip("jax", reason="jax is not installed: the net that learns is not compared")
    from tests.bench.hear.phones.model import beginning, scores

    with np.load(NUMBERS) as kept:
        net = {name: jax.numpy.asarray(kept[name], jax.numpy.float32) for name in kept.files}
    assert {name: one.shape for name, one in net.items()} == {
        name: one.shape for name, one in beginning().items()
    }
    bands = np.random.default_rng(0).normal(size=(180, 80)).astype(np.float32)
    learning = jax.nn.log_softmax(scores(net, np.pad(bands, ((0, AFTER), (0, 0)))[None])[0])
    assert PhoneNet().of_bands(bands) == pytest.approx(np.array(learning)[:60], abs=1e-4)


def test_lessons_are_learned_by_the_first_way_each_word_is_said() -> None:
    speech = np.zeros(1600, np.float32)
    lessons = [Lesson(" Hey kitchen, stir it.", speech), Lesson(" 35 minutes.", speech)]
    (one,) = said(lessons, english())
    assert one.phones == units_of("HH EY K IH CH AH N S T ER IH T")


def test_a_batch_is_filled_up_and_says_where(tmp_path: Path) -> None:
    hum = (0.1 * np.random.default_rng(1).normal(size=2 * SAMPLE_RATE)).astype(np.float32)
    from_samples(hum, SAMPLE_RATE).to_wav(tmp_path / "hum-1.wav")
    clip = Clip(file=tmp_path / "hum-1.wav", kind="hum", part="tune")
    voice = (0.3 * np.sin(np.arange(16_000) * 0.3)).astype(np.float32)
    kitchens = Kitchens([Lesson("", voice)], [clip], seed=1, noises=4)
    batch = next(kitchens.batches([Said(voice, (1, 2, 3))]))
    count, length, bands = batch.bands.shape
    assert LENGTHS[length] == count
    assert bands == 80
    assert batch.phones[:, :3].tolist() == [[1, 2, 3]] * count
    assert (batch.is_none.sum(axis=1) == batch.is_none.shape[1] - 3).all()
    for heard, filling in zip(batch.bands, batch.is_filling, strict=True):
        told = int((filling == 0).sum())
        assert 30 < told <= length // 3
        assert not heard[told * 3 + 3 :].any()
