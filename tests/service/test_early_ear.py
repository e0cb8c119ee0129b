"""The second ear that is begun before there is a service: taken once, and never needed."""

from __future__ import annotations

from threading import Event

import pytest

from kitchend.errors import DeviceError
from kitchend.hearing.memory import KnowingSecondEar
from kitchend.hearing.ports import SecondEar
from kitchend.service.early_ear import EarlyEar
from kitchend.service.means import Choice
from kitchend.service.settings import Settings

SOON_S = 10.0


class Loading:
    """Second ears as they are asked for, once `may_end`; refuses so many first."""

    def __init__(self) -> None:
        self.refusals = 0
        self.made: list[SecondEar] = []
        self.has_begun, self.may_end = Event(), Event()
        self.may_end.set()

    def __call__(self, folder: object, language: str) -> SecondEar:
        self.has_begun.set()
        assert self.may_end.wait(SOON_S)
        if self.refusals:
            self.refusals -= 1
            raise DeviceError("second ear", "its model is missing", "install it")
        self.made.append(KnowingSecondEar("heard"))
        return self.made[-1]


@pytest.fixture
def loading(monkeypatch: pytest.MonkeyPatch) -> Loading:
    """A machine with a microphone that carries both ears; what it carries is not measured here."""
    loading, both = Loading(), Choice(ears="both", denoises=True)
    monkeypatch.setattr("kitchend.service.early_ear.choose", lambda settings: (both, None))
    monkeypatch.setattr("kitchend.service.early_ear.second_ear", loading)
    monkeypatch.setattr("kitchend.service.early_ear.check_device", lambda device, kind: "a microphone")
    return loading


def test_what_was_begun_is_waited_for_and_taken_once(loading: Loading) -> None:
    early, settings = EarlyEar(), Settings()
    loading.may_end.clear()
    early.begin(settings)
    assert loading.has_begun.wait(SOON_S)
    loading.may_end.set()
    first = early.make(settings)
    assert loading.made == [first]
    second = early.make(settings)
    assert loading.made == [first, second]


def test_ears_of_other_settings_get_one_of_their_own(loading: Loading) -> None:
    early = EarlyEar()
    early.begin(Settings())
    other = early.make(Settings())
    assert other is loading.made[-1]


def test_where_nothing_was_begun_one_is_made(loading: Loading) -> None:
    assert [EarlyEar().make(Settings())] == loading.made


def test_settings_without_a_second_ear_begin_none(loading: Loading) -> None:
    EarlyEar().begin(Settings(ears="first"))
    assert not loading.has_begun.is_set()


def test_without_a_microphone_none_is_begun(loading: Loading, monkeypatch: pytest.MonkeyPatch) -> None:
    def none(device: object, kind: str) -> str:
        raise DeviceError("microphone", "there is none", "plug one in")

    monkeypatch.setattr("kitchend.service.early_ear.check_device", none)
    early, settings = EarlyEar(), Settings()
    early.begin(settings)
    assert [early.make(settings)] == loading.made


def test_what_fails_early_is_tried_again_and_told_by_who_needs_it(loading: Loading) -> None:
    early, settings = EarlyEar(), Settings()
    loading.refusals = 2
    early.begin(settings)
    with pytest.raises(DeviceError, match="its model is missing"):
        early.make(settings)
    assert early.make(settings) is loading.made[-1]
