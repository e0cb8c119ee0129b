"""Whatever happens in a dinner, the journal on disk adds up to the same state again."""

from __future__ import annotations

import tempfile
from contextlib import closing
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from kitchend.core.events import PhraseHeard, SpeechEnded, TimeReached
from kitchend.core.plan import Plan
from kitchend.service.journal import open_journal
from kitchend.service.snapshot import FileSnapshots
from tests.service.kitchen import START, Kitchen, quay_plan

WORDS = (
    "rice is on",
    "rice is done",
    "greens trimmed",
    "greens are on",
    "steam the greens done",
    "heard",
    "five more minutes on the rice",
    "hold the rice",
    "carry on with the rice",
    "drop the greens",
    "yes",
    "no",
    "undo that",
    "serve ten minutes later",
    "time the eggs for nine minutes",
    "remind me in two minutes to turn the bread",
    "quiet",
    "rubbish",
)
HAPPENINGS = st.one_of(
    st.sampled_from(WORDS),
    st.floats(min_value=0.01, max_value=6.0).map(lambda minutes: round(minutes, 3)),
    st.just(SpeechEnded(utterance=3)),
    st.just(TimeReached()),
)


def a_plan() -> Plan:
    with tempfile.TemporaryDirectory() as folder:
        return quay_plan(Path(folder))


PLAN = a_plan()


def happen(kitchen: Kitchen, happening: object) -> None:
    match happening:
        case str():
            heard = PhraseHeard(text=happening, started=kitchen.clock.now().instant, is_typed=True)
            kitchen.put(heard)
        case float():
            kitchen.wait(happening)
        case SpeechEnded() | TimeReached():
            kitchen.put(happening)


@settings(deadline=None, max_examples=25)
@given(happenings=st.lists(HAPPENINGS, max_size=14))
def test_a_replay_of_the_journal_gives_an_equal_state(happenings: list[object]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "journal.sqlite3"
        complaints: list[str] = []
        with closing(open_journal(path, wall=lambda: START.wall, complain=complaints.append)) as journal:
            snapshots = FileSnapshots(path.with_name("snapshot"))
            kitchen = Kitchen(PLAN, journal, snapshots=snapshots)
            kitchen.begin()
            for happening in happenings:
                happen(kitchen, happening)
        with closing(open_journal(path, wall=lambda: START.wall, complain=complaints.append)) as journal:
            again = Kitchen(PLAN, journal, at=kitchen.clock.now())
            was_on = again.runner.restore()
        with closing(open_journal(path, wall=lambda: START.wall, complain=complaints.append)) as journal:
            quick = Kitchen(PLAN, journal, at=kitchen.clock.now(), snapshots=snapshots)
            assert quick.runner.restore() == was_on
        state = kitchen.runner.state
        assert was_on == (state.plan is not None or bool(state.timers))
        if was_on:
            assert again.runner.state == state
            assert quick.runner.state == state
        assert kitchen.complaints + again.complaints + complaints == []
