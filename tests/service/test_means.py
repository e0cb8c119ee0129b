"""What is chosen for a machine, what is measured of one, and that it is measured once."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from kitchend.hearing import Ears
from kitchend.service import means
from kitchend.service.means import (
    Choice,
    Cost,
    Costs,
    Machine,
    best_of,
    choices,
    costs_here,
    fits,
    left_out,
    measured_apart,
    this_machine,
)

COSTS = Costs(
    first=Cost(core_s=0.1, memory_mb=20),
    denoiser=Cost(core_s=0.2, memory_mb=30),
    second=Cost(core_s=0.3, memory_mb=150),
)
FOUND: Mapping[str, Mapping[str, float]] = {"first": {"core_s": 0.5, "memory_mb": 7}}


@pytest.mark.parametrize(
    ("cores", "memory_mb", "ears", "denoises"),
    [
        (4, 1000, "both", True),
        (1, 1000, "both", False),  # 0.6 of a core is more than half of one, 0.4 is not
        (0.7, 1000, "first", True),
        (0.5, 1000, "first", False),
        (0.1, 1000, "first", False),  # nothing fits: a cook must be heard all the same
        (4, 643, "both", True),  # 81 + 40 + 20 + 30 + 150 = 321 MB
        (4, 641, "both", False),
        (4, 500, "first", True),
        (4, 300, "first", False),
    ],
)
def test_auto_is_the_best_that_half_of_the_machine_carries(
    cores: float, memory_mb: float, ears: str, denoises: bool
) -> None:
    chosen = best_of(choices("auto", "auto"), COSTS, Machine(cores=cores, memory_mb=memory_mb))
    assert (chosen.ears, chosen.denoises) == (ears, denoises)


@pytest.mark.parametrize("ears", ["first", "both", "second"])
def test_phones_judge_in_place_of_a_second_ear_or_before_it(ears: Ears) -> None:
    costs = replace(COSTS, phones=Cost(core_s=0.22, memory_mb=60))
    chosen = best_of(choices("auto", "auto"), costs, Machine(cores=0.7, memory_mb=1000))
    assert (chosen.ears, chosen.denoises) == ("first", False)
    choice = Choice(ears=ears, denoises=False)
    assert costs.of(choice) == COSTS.of(choice) + costs.phones


@pytest.mark.parametrize("ears", ["first", "both"])
@pytest.mark.parametrize("denoise", [True, False])
def test_every_combination_can_be_forced_on_the_smallest_machine(ears: Ears, denoise: bool) -> None:
    open_ = choices(ears, denoise)
    assert open_ == (Choice(ears=ears, denoises=denoise),)
    assert best_of(open_, COSTS, Machine(cores=0.1, memory_mb=64)) == open_[0]


def test_noise_suppression_is_the_first_ears() -> None:
    assert choices("second", "auto") == (Choice(ears="second", denoises=False),)
    assert {one.denoises for one in choices("first", None)} == {True, False}


@pytest.mark.parametrize(
    ("machine", "words"),
    [
        (Machine(cores=4, memory_mb=1000), None),
        (
            Machine(cores=1, memory_mb=1000),
            (
                "this machine does without noise suppression: with it 0.6 of 1 cores would be busy while "
                "you speak, and 321 of 1000 MB held; half is the limit (the setting denoise: true has it "
                "all the same)"
            ),
        ),
        (
            Machine(cores=4, memory_mb=500),
            (
                "this machine does without the second ear: with it 0.6 of 4 cores would be busy while you "
                "speak, and 321 of 500 MB held; half is the limit (the setting ears: both has it all the "
                "same)"
            ),
        ),
    ],
)
def test_what_is_left_out_is_said_with_how_to_have_it(machine: Machine, words: str | None) -> None:
    open_ = choices("auto", "auto")
    assert left_out(best_of(open_, COSTS, machine), open_, COSTS, machine) == words


def test_a_machine_is_what_its_control_group_may_use(tmp_path: Path) -> None:
    whole = this_machine(tmp_path)
    group = tmp_path / "sys/fs/cgroup/system.slice/kitchend.service"
    group.mkdir(parents=True)
    (tmp_path / "proc/self").mkdir(parents=True)
    (tmp_path / "proc/self/cgroup").write_text("0::/system.slice/kitchend.service\n")
    (group / "memory.max").write_text("max\n")
    (group.parent / "memory.max").write_text("256000000\n")
    (group / "cpu.max").write_text("50000 100000\n")
    (group.parent / "cpu.max").write_text("max 100000\n")
    assert this_machine(tmp_path) == Machine(cores=min(0.5, whole.cores), memory_mb=256)


def test_it_is_measured_once_and_again_when_something_is_different(tmp_path: Path) -> None:
    asked: list[int] = []

    def measure() -> Mapping[str, Mapping[str, float]]:
        asked.append(1)
        return FOUND

    file, small, large = (
        tmp_path / "deep/ears.json",
        Machine(cores=1, memory_mb=500),
        Machine(cores=4, memory_mb=1),
    )
    expected = Costs(first=Cost(core_s=0.5, memory_mb=7))
    assert [costs_here(file, small, measure), costs_here(file, small, measure)] == [expected] * 2
    assert len(asked) == 1
    costs_here(file, large, measure)
    costs_here(file, large, measure, ("en", "/srv/vosk"))
    assert len(asked) == 3
    file.write_text('{"here": 3')
    assert costs_here(file, large, measure, ("en", "/srv/vosk")) == expected
    assert len(asked) == 4
    kept = json.loads(file.read_text())
    kept["here"]["parts"].remove("phones")  # as measured before there was one
    file.write_text(json.dumps(kept))
    costs_here(file, large, measure, ("en", "/srv/vosk"))
    assert len(asked) == 5
    assert [path.name for path in file.parent.iterdir()] == ["ears.json"]


def test_a_cache_that_cannot_be_written_only_means_measuring_again(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    assert (
        costs_here(tmp_path / "file/ears.json", Machine(cores=1, memory_mb=1), lambda: FOUND).first.core_s
        == 0.5
    )


@pytest.mark.slow
def test_the_real_parts_are_measured_in_a_process_of_their_own() -> None:
    found = measured_apart("en", "", "")
    assert set(found) == {"first", "phones", "denoiser", "second"}
    # The weights alone, as they lie on disk, are 145 MB.
    assert 100 < found["second"]["memory_mb"] < 350
    assert all(0 < one["core_s"] < 60 and one["memory_mb"] > 5 for one in found.values())


def only_what_must_be(costs: Costs) -> None:
    machine, open_ = Machine(cores=64, memory_mb=64_000), choices("auto", "auto")
    assert not fits(costs.of(Choice(ears="both", denoises=False)), machine)
    chosen = best_of(open_, costs, machine)
    assert chosen == Choice(ears="first", denoises=False)
    assert left_out(chosen, open_, costs, machine) == (
        "this machine does without the second ear: what it costs could not be measured "
        "(the setting ears: both has it all the same)"
    )


def test_where_measuring_fails_only_what_must_be_is_carried_and_it_is_measured_again(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    file, machine = tmp_path / "ears.json", Machine(cores=4, memory_mb=1)
    with monkeypatch.context() as broken:
        broken.setattr("sys.executable", "/nowhere/python")
        only_what_must_be(costs_here(file, machine, lambda: measured_apart("en")))
    assert costs_here(file, machine, lambda: FOUND) == Costs(first=Cost(core_s=0.5, memory_mb=7))


def test_a_machine_on_which_measuring_does_not_end_is_known_for_it(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(means, "PATIENCE_S", 0.0)
    file, machine = tmp_path / "ears.json", Machine(cores=4, memory_mb=1)
    only_what_must_be(costs_here(file, machine, lambda: measured_apart("en")))
    only_what_must_be(costs_here(file, machine, lambda: FOUND))


def test_a_vosk_model_that_is_none_is_left_to_whoever_listens() -> None:
    assert measured_apart("en", "/nowhere/model", "") == {}
