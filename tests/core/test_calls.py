"""The queue of calls: what is said in one breath, in which order, what interrupts, what comes back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core import calls
from kitchend.core.dinner import step
from kitchend.core.effects import CallKind, Speak, StopSpeaking
from kitchend.core.events import Mishap, MishapNoticed, PhraseHeard, SpeechEnded, TimeReached
from kitchend.core.plan import Dish, DishId, Equipment, EquipmentId, Plan, Step, StepId, Use
from kitchend.core.quantities import Temperature
from kitchend.core.state import Call, Manners, Repeats
from kitchend.core.steps import StepState
from tests.core.evening import Evening, a_step, minutes, timeline

OVEN = (Use(equipment=EquipmentId("oven"), at=Temperature(degrees=190)),)
TURN = a_step("turn the parsnips", "parsnips", minutes(2), hands_s=120)
BASTE = a_step("baste the duck", "duck", minutes(3), hands_s=180)
LEEKS = a_step("steam the leeks", "leeks", minutes(6), hands_s=60, keeps_s=180)
FIGS = a_step("bake the figs", "figs", minutes(12), hands_s=60, uses=OVEN, keeps_s=600, look_for="they burst")
RICE = a_step("boil the rice", "rice", minutes(10), hands_s=60, keeps_s=None)


def kitchen(
    times: dict[StepId, tuple[float, float]],
    *steps: Step,
    cooks: int = 3,
    manners: Manners | None = None,
    slack_s: int = 0,
) -> Evening:
    dishes = tuple(
        Dish(id=DishId(name), name=name, steps=tuple(step for step in steps if step.dish == name))
        for name in dict.fromkeys(step.dish for step in steps)
    )
    oven = Equipment(id=EquipmentId("oven"), name="oven", places=3, preheat_s=900)
    plan = Plan(name="Weir supper", cooks=cooks, equipment=(oven,), dishes=dishes)
    planned = timeline(times)
    spared = tuple(replace(one, slack_s=slack_s) for one in planned.planned)
    return Evening(plan, replace(planned, planned=spared), manners)


# --- merging ---

MERGED = {
    "two at once": (0, "Two things: turn the parsnips, two minutes, then baste the duck, three minutes."),
    "twenty seconds apart": (
        20,
        "Two things: baste the duck, three minutes, then turn the parsnips, two minutes.",
    ),
    "further apart": (21, "Baste the duck now. Three minutes."),
}


@pytest.mark.parametrize(("apart_s", "said"), MERGED.values(), ids=MERGED)
def test_calls_within_twenty_seconds_are_one_sentence(apart_s: int, said: str) -> None:
    later = 5 + apart_s / 60
    evening = kitchen({BASTE.id: (5, 8), TURN.id: (later, later + 2)}, TURN, BASTE)
    assert evening.at_minute(5) == [said]


def test_what_is_up_within_moments_takes_the_call_before_it_along() -> None:
    evening = kitchen({LEEKS.id: (5, 11), TURN.id: (10.9, 13)}, LEEKS, TURN)
    evening.at_minute(5)
    evening.hear("leeks are on")
    evening.hear("heard")
    assert evening.at_minute(10.99) == []
    assert evening.at_minute(11) == ["Up: the leeks. Then turn the parsnips, two minutes."]


def test_what_is_up_comes_first_then_the_hottest_then_what_keeps_least() -> None:
    evening = kitchen({FIGS.id: (3, 15), LEEKS.id: (9, 15), RICE.id: (5, 15)}, RICE, LEEKS, FIGS)
    for minute, name in ((3, "figs"), (5, "rice"), (9, "leeks")):
        evening.at_minute(minute)
        evening.hear(f"{name} are on" if name != "rice" else "rice is on")
    assert evening.at_minute(15) == ["Up: the figs, the leeks and the rice. Figs: they burst?"]


def test_a_reply_is_said_before_the_calls_and_stays_a_sentence_of_its_own() -> None:
    evening = kitchen({BASTE.id: (5, 8), TURN.id: (5, 7)}, TURN, BASTE)
    evening.now = evening.now.after(300)
    assert evening.hear("when do we eat") == [f"The pass is at seven o'clock. {MERGED['two at once'][1]}"]


# --- interrupting ---


def speaking(evening: Evening, minute: float) -> Speak:
    """Let the minute come; what is being said then has not ended."""
    evening.now = evening.now.after(minute * 60)
    evening.state, effects = step(evening.state, TimeReached(), evening.now)
    return next(effect for effect in effects if isinstance(effect, Speak))


def test_careful_interrupts_and_what_it_interrupted_is_said_again() -> None:
    evening = kitchen({BASTE.id: (5, 8)}, BASTE)
    first = speaking(evening, 5)
    evening.state, effects = step(evening.state, MishapNoticed(mishap=Mishap.NOT_KEPT), evening.now)
    assert effects[0] == StopSpeaking(utterance=first.utterance)
    assert not any(isinstance(effect, Speak) for effect in effects)
    evening.state, effects = step(evening.state, SpeechEnded(utterance=first.utterance), evening.now)
    again = next(effect for effect in effects if isinstance(effect, Speak))
    assert again.kind is CallKind.CAREFUL
    assert again.text.startswith("I cannot keep the journal.")
    assert again.text.endswith("Baste the duck now. Three minutes.")


def test_an_interrupted_reply_is_said_again() -> None:
    evening = kitchen({BASTE.id: (5, 8)}, BASTE)
    asked = PhraseHeard(text="when do we eat", started=evening.now.instant, is_typed=True)
    evening.state, effects = step(evening.state, asked, evening.now)
    reply = next(effect for effect in effects if isinstance(effect, Speak))
    evening.state, _ = step(evening.state, MishapNoticed(mishap=Mishap.CANNOT_HEAR), evening.now)
    evening.state, effects = step(evening.state, SpeechEnded(utterance=reply.utterance), evening.now)
    again = next(effect for effect in effects if isinstance(effect, Speak))
    assert again.text.endswith(reply.text)


def test_nothing_else_interrupts_and_careful_does_not_interrupt_itself() -> None:
    evening = kitchen({BASTE.id: (5, 8)}, BASTE)
    speaking(evening, 5)
    evening.state, effects = step(evening.state, MishapNoticed(mishap=Mishap.HEARS_AGAIN), evening.now)
    assert not any(isinstance(effect, StopSpeaking) for effect in effects)
    for mishap, stops in ((Mishap.NOT_KEPT, 1), (Mishap.CANNOT_HEAR, 0)):
        evening.state, effects = step(evening.state, MishapNoticed(mishap=mishap), evening.now)
        assert sum(isinstance(effect, StopSpeaking) for effect in effects) == stops


def test_quiet_leaves_careful_to_be_said() -> None:
    evening = kitchen({BASTE.id: (5, 8)}, BASTE)
    first = speaking(evening, 5)
    evening.state, _ = step(evening.state, MishapNoticed(mishap=Mishap.NOT_KEPT), evening.now)
    quiet = PhraseHeard(text="quiet", started=evening.now.instant, is_typed=True)
    evening.state, _ = step(evening.state, quiet, evening.now)
    evening.feed(SpeechEnded(utterance=first.utterance))
    assert evening.said[1:] == ["I cannot keep the journal. After a power cut I would not know what is on."]


# --- repeats ---


def test_each_repeat_is_shorter_and_the_last_leaves_the_call_listed() -> None:
    evening = kitchen({TURN.id: (5, 7)}, TURN)
    said = evening.at_minute(30)
    assert said == [
        "Turn the parsnips now. Two minutes.",
        "Turn the parsnips.",
        "Parsnips.",
        "Parsnips.",
        "Parsnips.",
    ]
    assert [call.step for call in evening.state.open_calls] == [TURN.id]


def test_the_pauses_are_the_cooks_to_choose() -> None:
    chosen = Manners(repeats=Repeats(now=(60.0,)))
    evening = kitchen({TURN.id: (5, 7)}, TURN, manners=chosen)
    assert len(evening.at_minute(5.9)) == 1
    assert evening.at_minute(30) == ["Turn the parsnips."]


def left_up() -> Evening:
    evening = kitchen({LEEKS.id: (5, 11)}, LEEKS)
    evening.at_minute(5)
    evening.hear("leeks are on")
    evening.at_minute(10)
    return evening


def test_what_is_about_to_spoil_becomes_careful_and_never_stops() -> None:
    evening = left_up()
    evening.effects.clear()
    said = evening.at_minute(31)
    kinds = [effect.kind for effect in evening.effects if isinstance(effect, Speak)]
    assert said[:5] == [
        "Up: the leeks.",
        "Still up: the leeks.",
        "Still up: leeks.",
        "Careful: the leeks, up four minutes ago.",
        "Careful: leeks!",
    ]
    assert kinds == [CallKind.UP] * 3 + [CallKind.CAREFUL] * 5
    assert evening.at_minute(60) == ["Careful: leeks!"] * 7


@pytest.mark.parametrize("words", ["heard", "leeks are done"])
def test_an_answer_stops_careful_too(words: str) -> None:
    evening = left_up()
    evening.at_minute(20)
    evening.hear(words)
    assert not any("leeks" in text.lower() for text in evening.at_minute(59))


def test_with_no_pauses_chosen_careful_is_said_once() -> None:
    evening = kitchen({LEEKS.id: (5, 11)}, LEEKS, manners=Manners(repeats=Repeats(careful=())))
    evening.at_minute(5)
    evening.hear("leeks are on")
    assert sum(text.startswith("Careful") for text in evening.at_minute(59)) == 1


def test_what_keeps_long_becomes_careful_when_that_is_over_though_its_repeats_have_stopped() -> None:
    long = replace(LEEKS, keeps_s=1200)
    evening = kitchen({long.id: (5, 11)}, long)
    evening.at_minute(5)
    evening.hear("leeks are on")
    assert len(evening.at_minute(20)) == 5
    assert evening.at_minute(31.1) == ["Careful: the leeks, up twenty minutes ago."]


def test_a_call_is_careful_once_what_it_waits_for_has_stood_too_long() -> None:
    fry = a_step("fry the bread", "bread", minutes(3), hands_s=180, keeps_s=240)
    dress = a_step("dress the bread", "bread", minutes(3), hands_s=180, after=(fry.id,))
    evening = kitchen({fry.id: (5, 8), dress.id: (9, 12)}, fry, dress)
    evening.at_minute(5)
    evening.hear("fry the bread")
    evening.at_minute(8)
    evening.hear("bread is done")
    said = evening.at_minute(14)
    assert said == [
        "Dress the bread now. Three minutes.",
        "Dress the bread.",
        "Bread.",
        "Careful: dress the bread.",
    ]


def test_a_timer_of_the_cooks_own_stops_in_the_end() -> None:
    evening = kitchen({TURN.id: (58, 60)}, TURN)
    evening.hear("time the eggs for two minutes")
    assert len(evening.at_minute(40)) == 5


# --- a rush ---


def in_a_rush(*more: Step, at: dict[StepId, tuple[float, float]], slack_s: int = 3600) -> Evening:
    """Five calls in five minutes, each answered; dinner can spare `slack_s`."""
    names = ("plums", "pears", "dates", "nuts", "limes")
    chores = [a_step(f"peel the {name}", name, minutes(0.5), hands_s=30) for name in names]
    times = {chore.id: (5.0 + n, 5.5 + n) for n, chore in enumerate(chores)}
    evening = kitchen({**times, **at}, *chores, *more, slack_s=slack_s)
    for n, name in enumerate(names):
        evening.at_minute(5 + n)
        evening.hear(name)
        evening.hear(name)
    return evening


def test_in_a_rush_a_repeat_waits_for_calm() -> None:
    evening = in_a_rush(TURN, at={TURN.id: (10, 12)})
    assert evening.at_minute(10) == ["Turn the parsnips now. Two minutes."]
    assert evening.at_minute(15.9) == []
    assert evening.at_minute(16) == ["Turn the parsnips."]


def test_in_a_rush_a_repeat_waits_no_longer_than_dinner_can_spare() -> None:
    evening = in_a_rush(TURN, at={TURN.id: (10, 12)}, slack_s=120)
    assert evening.at_minute(11.9) == ["Turn the parsnips now. Two minutes."]
    assert evening.at_minute(12) == ["Turn the parsnips."]


def with_two_on() -> Evening:
    """A rush, with leeks up at fourteen minutes and rice ten seconds later."""
    evening = in_a_rush(LEEKS, RICE, at={LEEKS.id: (4, 10), RICE.id: (4, 14)})
    evening.hear("leeks are on")
    evening.now = evening.now.after(10)
    evening.hear("rice is on")
    evening.hear("take four minutes off the rice")
    return evening


def test_in_a_rush_what_is_up_waits_moments_for_what_is_up_next() -> None:
    evening = with_two_on()
    evening.at_minute(13.99)
    assert evening.at_minute(14.1) == []
    assert evening.at_minute(14.2) == ["Up: the leeks and the rice."]


def test_a_timer_of_the_cooks_own_rings_at_once_in_a_rush_and_takes_along_what_waits() -> None:
    evening = with_two_on()
    evening.at_minute(13.08)
    evening.hear("time the eggs for one minute")
    assert evening.at_minute(14.07) == []
    assert evening.at_minute(14.09) == ["Up: the eggs and the leeks."]


def test_in_a_rush_news_of_the_dinner_wait_for_the_call_before_them() -> None:
    """How late dinner is asks for nothing; said between two calls it would be one more of them."""
    evening = in_a_rush(TURN, at={TURN.id: (10, 12)})
    assert evening.at_minute(10) == ["Turn the parsnips now. Two minutes."]
    evening.at_minute(10.1)
    late = Call(kind=CallKind.SOON, text="Dinner at ten past seven.", at=evening.now.instant)
    evening.state = calls.add(evening.state, late)
    assert evening.at_minute(10.25) == []
    assert evening.at_minute(10.5) == ["Turn the parsnips. Dinner at ten past seven."]


def test_what_would_spoil_waits_for_nothing() -> None:
    crisp = a_step("fry the sage", "sage", minutes(6), hands_s=60, keeps_s=5)
    evening = in_a_rush(crisp, RICE, at={crisp.id: (4, 10), RICE.id: (4, 14)})
    evening.hear("sage is on")
    evening.now = evening.now.after(10)
    evening.hear("rice is on")
    evening.hear("take four minutes off the rice")
    evening.at_minute(13.99)
    assert evening.at_minute(14.05) == ["Up: the sage."]


def test_a_repeat_never_comes_hard_upon_what_it_repeats() -> None:
    """Half its pause has to be over for it to go along with another call."""
    evening = kitchen({TURN.id: (5, 7)}, TURN, slack_s=3600)
    evening.hear("time the eggs for five minutes")
    evening.now = evening.now.after(10)
    evening.hear("time the buns for five minutes")
    evening.at_minute(4.9)
    assert evening.at_minute(5.1) == ["Eggs: time is up."]
    assert evening.at_minute(5.2) == ["Up: the buns. Then turn the parsnips, two minutes."]


def test_in_a_rush_a_repeat_goes_along_with_the_next_call() -> None:
    evening = in_a_rush(TURN, BASTE, at={TURN.id: (10, 12), BASTE.id: (12, 15)})
    evening.at_minute(11.9)
    assert evening.at_minute(12) == ["Baste the duck now. Three minutes. Turn the parsnips."]


def test_in_a_rush_what_spoils_does_not_wait() -> None:
    boil = a_step("boil the eggs", "eggs", minutes(4), hands_s=60, keeps_s=60)
    evening = in_a_rush(boil, at={boil.id: (7.1, 11.1)})
    evening.hear("eggs are on")
    assert evening.at_minute(13.5)[-1] == "Careful: the eggs, up one minute ago."


# --- what was missed ---


def test_what_was_missed_is_told_in_one_breath() -> None:
    evening = kitchen({LEEKS.id: (5, 11), TURN.id: (12, 14), BASTE.id: (50, 53)}, LEEKS, TURN, BASTE)
    evening.at_minute(5)
    evening.hear("leeks are on")
    evening.at_minute(10)
    assert evening.hear("what did i miss") == ["You missed nothing."]
    evening.hear("time the eggs for three minutes")
    evening.at_minute(12.1)
    evening.hear("hold the duck")
    evening.at_minute(30)
    assert evening.where(LEEKS) is StepState.UP
    assert evening.hear("what did i miss") == ["Still up: the leeks and the eggs. Then turn the parsnips."]
    evening.hear("heard")
    assert evening.hear("what did i miss") == ["You missed nothing."]


def test_one_thing_missed_is_one_sentence() -> None:
    evening = kitchen({TURN.id: (5, 7)}, TURN)
    evening.at_minute(6)
    assert evening.hear("what have i missed") == ["Turn the parsnips."]
