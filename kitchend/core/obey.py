"""From a command to its outcome: the one switch over everything a cook can mean.

Answers to a pending question come first; whether it waits while another command is carried out is for
`pending`. What a command changed is remembered here so that undo can put it back.
"""

from __future__ import annotations

from dataclasses import replace
from typing import assert_never

from kitchend.core import (
    absence,
    again,
    answers,
    moves,
    obey_steps,
    obey_time,
    obey_tone,
    pending,
    rests,
    safety,
    wording,
)
from kitchend.core.amounts import answered
from kitchend.core.clock import Now
from kitchend.core.commands import (
    AskMissed,
    AskNext,
    AskOn,
    AskOnTime,
    AskPass,
    AskTimeLeft,
    AwaySaid,
    CarryOn,
    Command,
    Drop,
    GiveTime,
    HeardIt,
    Hold,
    LetIn,
    Louder,
    MovePassBy,
    MovePassTo,
    No,
    NumberSaid,
    Pick,
    Quiet,
    QuietFor,
    ReadingSaid,
    RemindAt,
    RemindIn,
    SayAgain,
    StartDinner,
    StepSaid,
    TimeNew,
    Undo,
    Whisper,
    Yes,
)
from kitchend.core.effects import CallKind, MakeDoorWords, StopSpeaking
from kitchend.core.names import meaning
from kitchend.core.outcome import Outcome, refusal
from kitchend.core.progress import ANSWERABLE
from kitchend.core.state import Asked, Choice, DinnerState, Past
from kitchend.core.steps import StepState

CALLED_ABOUT = ANSWERABLE | {StepState.HELD}
"""States in which kitchend calls a step and an acknowledgement counts."""

UNDO_DEPTH = 20
"""How many commands can be taken back."""


def obey(state: DinnerState, command: Command, now: Now) -> Outcome:
    """Carry out a command, remembering what it changed."""
    choice = _answered(state, command)
    command = _for_the_call(state, answered(state, command))
    cleared = state if state.asked is None or _stays(state.asked, command) else replace(state, asked=None)
    if choice is not None:
        outcome = _do(replace(cleared, asked=None), choice.command, now, is_sure=True)
        return _remembered(state, outcome, now)
    outcome = _remembered(state, _do(cleared, command, now, is_sure=False), now)
    if isinstance(command, again.ANSWERED):
        outcome = replace(outcome, asks=command)
    return pending.kept(state, command, outcome, now, lambda one, what: _do(one, what, now, is_sure=True))


def _for_the_call(state: DinnerState, command: Command) -> Command:
    """ "okay" answers the question, and where there is none the call."""
    is_okay = isinstance(command, Yes) and command.is_okay
    return HeardIt() if is_okay and state.asked is None and state.open_calls else command


def _stays(asked: Asked, command: Command) -> bool:
    """Whether a question stays open though this is said; every yes and no is for the question."""
    return asked.stays and not isinstance(command, Yes | No | Pick | NumberSaid)


def _answered(state: DinnerState, command: Command) -> Choice | None:
    """The choice of the pending question that this command picks, if it answers one."""
    asked = state.asked
    if asked is None:
        return None
    match command:
        case NumberSaid() if asked.yes is not None and answered(state, command) == asked.yes.command:
            return asked.yes
        case Yes():
            return asked.yes
        case Pick(place=place) if asked.choices and place < len(asked.choices):
            return asked.choices[place]
        case StepSaid(name=str(name)):
            return next((choice for choice in asked.choices if _is_named(state, choice, name)), None)
        case _:
            return None


def _is_named(state: DinnerState, choice: Choice, name: str) -> bool:
    return choice.step is not None and meaning(name, state).steps == (choice.step,)


def _do(state: DinnerState, command: Command, now: Now, *, is_sure: bool) -> Outcome:  # noqa: C901 - one flat switch
    match command:
        case StepSaid():
            return obey_steps.say_step(state, command, now, is_sure=is_sure)
        case Hold():
            return obey_steps.hold(state, command, now)
        case CarryOn():
            return obey_steps.carry_on(state, command, now)
        case Drop():
            return obey_steps.drop(state, command, now, is_sure=is_sure)
        case GiveTime():
            return obey_time.give(state, command, now, is_sure=is_sure)
        case TimeNew():
            return obey_time.time_new(state, command, now, is_sure=is_sure)
        case RemindIn() | RemindAt():
            return obey_time.remind(state, command, now, is_sure=is_sure)
        case ReadingSaid():
            return obey_time.reading(state, command, now, is_sure=is_sure)
        case MovePassBy() | MovePassTo():
            return obey_time.move_pass(state, command, now, is_sure=is_sure)
        case StartDinner():
            return obey_time.start_dinner(state, command, now)
        case AwaySaid():
            return absence.said(state, command)
        case LetIn():
            return Outcome(state=state, effects=(MakeDoorWords(),))
        case Louder():
            return obey_tone.louder(state, command)
        case Whisper():
            return obey_tone.whisper(state, command, now)
        case QuietFor():
            return obey_tone.quiet_for(state, command, now)
        case AskTimeLeft():
            return answers.time_left(state, command, now)
        case AskNext():
            return answers.next_up(state, now)
        case AskOn():
            return answers.whats_on(state, now)
        case AskPass():
            return answers.the_pass(state, now)
        case AskOnTime():
            return answers.on_time(state, now)
        case AskMissed():
            return answers.missed(state)
        case SayAgain():
            return again.say_again(state, now, lambda one, what: _do(one, what, now, is_sure=True))
        case HeardIt():
            return safety.heard(_talk(state, command), now)
        case _:
            return _talk(state, command)


def _talk(state: DinnerState, command: HeardIt | Undo | Quiet | Yes | No | Pick | NumberSaid) -> Outcome:
    """Commands about the conversation itself."""
    match command:
        case HeardIt():
            return Outcome(state=_heard(state), reply=wording.say("heard"))
        case Undo():
            return _undo(state)
        case Quiet():
            return _quiet(state)
        case No():
            return refusal(state, wording.say("no"))
        case Yes() | Pick() | NumberSaid():
            return refusal(state, wording.say("lapsed.nothing"))
        case _:
            assert_never(command)


def _heard(state: DinnerState) -> DinnerState:
    """All calls made and not yet answered are acknowledged; their steps stay where they are."""
    unsaid = tuple(call for call in state.open_calls if call.state is StepState.HELD and not call.again)
    for call in state.open_calls:
        is_answerable = call.step is not None and state.state_of(call.step) in CALLED_ABOUT
        if call.step is not None and is_answerable and call not in unsaid:
            state = moves.hear(state, call.step)
    for call in state.open_calls:
        if call.timer is not None:
            state = moves.remove_timer(state, call.timer)
    return replace(state, open_calls=unsaid)


def _quiet(state: DinnerState) -> Outcome:
    """Stop talking, and say nothing again of what has been said; *careful* that waits is still said."""
    stop = () if state.speaking is None else (StopSpeaking(utterance=state.speaking),)
    kept = tuple(call for call in state.waiting_calls if call.kind is CallKind.CAREFUL)
    return Outcome(state=replace(_heard(state), waiting_calls=kept, saying=(), broken_off=None), effects=stop)


def _undo(state: DinnerState) -> Outcome:
    if not state.past:
        return refusal(state, wording.say("undo.nothing"))
    past = state.past[-1]
    new = moves.restore(state, past.records, past.timers)
    tone = state.tone if past.tone is None else past.tone
    new = replace(new, past=state.past[:-1], serve=past.serve, tone=tone)
    return Outcome(state=new, reply=wording.say("undone", what=_uncapital(past.what)), replans=True)


def _uncapital(text: str) -> str:
    return text[:1].lower() + text[1:].rstrip(".")


def _remembered(before: DinnerState, outcome: Outcome, now: Now) -> Outcome:
    """The outcome with what it changed kept for undo, when it is something that can be taken back."""
    if outcome.what is None:
        return outcome
    # What goes with a step goes within its command, so that undo brings it back as well.
    after, begun = rests.begin(moves.shed(outcome.state, now), now)
    reply = " ".join((outcome.reply, *map(wording.itself_call, begun)))
    what, outcome = outcome.what, replace(outcome, state=after, reply=reply)
    records = {
        step_id: before.record_of(step_id)
        for step_id, record in after.records.items()
        if before.records.get(step_id) != record
    }
    old = {timer.id: timer for timer in before.timers}
    new = {timer.id: timer for timer in after.timers}
    timers = {key: old.get(key) for key in old.keys() | new.keys() if old.get(key) != new.get(key)}
    tone = None if before.tone == after.tone else before.tone
    if not records and not timers and before.serve == after.serve and tone is None:
        return outcome
    past = Past(what=what, records=records, timers=timers, serve=before.serve, tone=tone)
    return replace(outcome, state=replace(after, past=(*after.past, past)[-UNDO_DEPTH:]))
