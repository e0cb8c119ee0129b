"""How people put things: at least ten forms of everything a cook can mean, each where it makes sense.

Every form is read as exactly that command, and the listeners' grammar of that state holds it.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from kitchend.core.clock import TimeOfDay
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
    Pick,
    Quiet,
    QuietFor,
    ReadingSaid,
    RemindIn,
    Said,
    SayAgain,
    StartDinner,
    StepSaid,
    TimeNew,
    Undo,
    Whisper,
    Yes,
)
from kitchend.core.grammar import Heard
from kitchend.core.intents import intent_name, understand
from kitchend.core.network import Network
from kitchend.core.phrases import Sayable, full_book, sayable
from kitchend.core.state import DinnerState, Unsure
from kitchend.core.steps import StepState
from tests.core.lighthouse import (
    BEGUN,
    BUSY,
    CHOOSING,
    DOUBTING,
    EGGS,
    HELD,
    MANNERS,
    NO_DINNER,
    NOW,
    having,
)

AWAY = replace(BUSY, unsure=Unsure(timers=(EGGS.id,)))
BOTH_ON = having(BUSY, steam=StepState.ON, take=StepState.CALLED)
SUPPER = "Lighthouse supper"


def on(name: str | None) -> StepSaid:
    return StepSaid(name=name, how=Said.ON)


def done(name: str | None) -> StepSaid:
    return StepSaid(name=name, how=Said.DONE)


def give(minutes: float, name: str | None = None) -> GiveTime:
    return GiveTime(name=name, seconds=round(minutes * 60))


def read(name: str | None, degrees: float) -> ReadingSaid:
    return ReadingSaid(name=name, degrees=degrees)


def timed(name: str, minutes: float) -> TimeNew:
    return TimeNew(name=name, seconds=round(minutes * 60))


def remind(minutes: float, what: str) -> RemindIn:
    return RemindIn(seconds=round(minutes * 60), what=what)


def alike(command: Command, texts: str) -> dict[str, Command]:
    """Several ways to mean the same, with semicolons between them."""
    return dict.fromkeys((" ".join(text.split()) for text in texts.split(";")), command)


STEAM, TAKE, SLICE = "steam the leeks", "take the flatbreads out", "slice the salmon"

FORMS: dict[str, tuple[DinnerState, dict[str, Command]]] = {
    "heard": (BUSY, alike(HeardIt(), """
        heard; heard that; heard you; i heard you; got it; got that; understood; on it; i'm on it;
        will do; on my way; i'm coming; right away; we're on it
    """)),
    "missed": (BUSY, alike(AskMissed(), """
        what did i miss; what have i missed; did i miss anything; have i missed anything; what was i told;
        what's waiting; what's waiting for me; what are you waiting for; what's still to do;
        tell me what i missed; what's outstanding; what did you call; anything i missed
    """)),
    "naming a step": (BOTH_ON, {
        **alike(StepSaid(name=STEAM), "steam the leeks; steam leeks"),
        **alike(StepSaid(name="leeks"), "the leeks; leeks"),
        **alike(StepSaid(name="salmon"), "salmon; the salmon"),
        **alike(StepSaid(name="fish"), "fish; the fish"),
        **alike(StepSaid(name=TAKE), "take the flatbreads out; take flatbreads out"),
        **alike(StepSaid(name="flatbreads"), "flatbreads; the flatbreads"),
        **alike(StepSaid(name="baked salmon"), "baked salmon"),
    }),
    "on": (BUSY, {
        **alike(on("leeks"), """
            leeks are on; the leeks are in; leeks on; leeks in; the leeks are on now;
            the leeks are going; leeks have gone in; the leeks are in the oven; i've put the leeks on;
            i put the leeks in; the leeks have started; started the leeks; i've started the leeks
        """),
        **alike(on(STEAM), """
            steaming the leeks; i'm steaming the leeks now; started steaming the leeks
        """),
    }),
    "it is on": (BUSY, alike(on(None), """
        it's on; they're on; it's in; they're in; that's on; that's in; it is on; they are in;
        it's going; they're going; it's cooking; started; it's in now; it's started; i've started it;
        i've put them on; i've put it in
    """)),
    "done": (BOTH_ON, {
        **alike(done("leeks"), """
            leeks done; the leeks are done; leeks are ready; the leeks are finished; leeks are off;
            the leeks are out; that's the leeks done; done with the leeks; finished the leeks;
            finished with the leeks; the leeks are cooked; i've taken the leeks off
        """),
        **alike(done(STEAM), "leeks steamed; the leeks are steamed; i've steamed the leeks"),
        **alike(done(STEAM), "steam the leeks done; finished steaming the leeks"),
    }),
    "it is done": (BUSY, alike(done(None), """
        it's done; they're done; that's done; done; all done; it's ready; they're ready; it is finished;
        they are done; i've done it; that's it done; finished; it's out; they're off; i've done that;
        i've finished it; done that
    """)),
    "how long": (BUSY, {
        **alike(AskTimeLeft(name="salmon"), """
            how long on the salmon; how long is left on the salmon; how long for the salmon;
            how much longer on the salmon; how much longer for salmon; how long does the salmon need;
            how much time is left on the salmon; when is the salmon done; when will the salmon be ready;
            how long until the salmon is ready; how is the salmon doing; how's the salmon doing;
            how long has the salmon got; how long till the salmon is done; how's the salmon;
            time left on the salmon; is the salmon done yet; is the salmon ready;
            how many minutes on the salmon; how many minutes are left on the salmon
        """),
        **alike(AskTimeLeft(name="leeks"), "how long do the leeks need; when are the leeks ready"),
    }),
    "how long is it": (BUSY, alike(AskTimeLeft(name=None), """
        how long; how long is left; how much longer; how long left; how long to go;
        how much time is left; how long has it got; how long on that; how long on it; how many minutes;
        how many minutes left; is it done yet; how long have they got; how long until it's done
    """)),
    "next": (BUSY, alike(AskNext(), """
        what's next; what is next; what now; what comes next; what do i do next; what do i do now;
        what should i do next; what's after that; what's up next; what do we do next;
        what's the next step; what have i got next
    """)),
    "what is on": (BUSY, alike(AskOn(), """
        what's on; what is on; what's on now; what's cooking; what's running; what is cooking;
        what have we got on; what have i got on; which timers are running; what timers are on;
        what's on at the moment; what's on right now; what's in the oven; list the timers
    """)),
    "when do we eat": (BUSY, alike(AskPass(), """
        when do we eat; when are we eating; when do we serve; when's dinner; when is dinner;
        when is dinner ready; when is the pass; what time is dinner; what time do we eat;
        what time is the pass; how long until dinner; how long till we eat; when's the pass;
        what time are we eating; when will dinner be ready
    """)),
    "let in": (BUSY, alike(LetIn(), """
        let a tablet in; let the tablet in; let my phone in; let this phone in; let in a tablet;
        let in my phone; add a tablet; admit this phone; what are the words for the tablet;
        what are the words for the board; what are the words for the phone
    """)),
    "on time": (BUSY, alike(AskOnTime(), """
        are we on time; are we late; are we running late; are we behind; are we on schedule;
        are we on track; are we still on time; will we be on time; will we be late; how are we doing;
        how are we doing for time; are we going to make it; will we make it; are we still on track;
        is dinner on time; is dinner late; how late are we
    """)),
    "say again": (BUSY, alike(SayAgain(), """
        say again; say that again; repeat that; repeat; come again; what did you say; what was that;
        pardon; once more; sorry what was that; say it again; again please; can you repeat that;
        can you say that again; i didn't catch that; i missed that
    """)),
    "more time": (BUSY, {
        **alike(give(5, "salmon"), """
            five more minutes on the salmon; five more minutes for the salmon;
            another five minutes on the salmon; another five minutes for salmon;
            give the salmon another five minutes; give the salmon five more minutes;
            give the salmon five minutes more; five minutes more on the salmon;
            the salmon needs five more minutes; the salmon needs another five minutes;
            add five minutes to the salmon; five more on the salmon; another five on the salmon;
            put another five minutes on the salmon; put five more minutes on the salmon;
            gimme five more minutes on the salmon; salmon needs another five minutes;
            can the salmon have five more minutes; give me five more minutes on the salmon;
            give the salmon five minutes; i need five more minutes on the salmon;
            let the salmon have another five minutes
        """),
        **alike(give(5), """
            five more minutes; another five minutes; give it five more minutes; gimme five more minutes
        """),
        **alike(give(1), """
            one more minute; another minute; give it one more minute; gimme another minute
        """),
        **alike(give(1, "salmon"), """
            give the salmon one more minute; one more minute on the salmon; give salmon a minute more;
            the salmon needs one more minute; give the salmon another minute
        """),
        **alike(give(2, "salmon"), """
            a couple more minutes on the salmon; another couple of minutes on the salmon
        """),
        **alike(give(2), """
            a couple of minutes more; give it a couple more minutes; another couple of minutes
        """),
        **alike(give(30, "salmon"), """
            another half an hour on the salmon; half an hour more on the salmon
        """),
        **alike(give(75, "salmon"), "add an hour and a quarter to the salmon"),
        **alike(give(15), "five no fifteen more minutes; another five no fifteen minutes"),
        **alike(give(15, "salmon"), """
            five no fifteen more minutes on the salmon; give the salmon five no fifteen more minutes
        """),
        **alike(give(15, "salmon"), "another five minutes no fifteen minutes on the salmon"),
        **alike(give(15, "salmon"), "add five sorry fifteen minutes to the salmon"),
        **alike(give(8), "they need another eight minutes; it needs eight more minutes"),
    }),
    "less time": (BUSY, {
        **alike(give(-2, "salmon"), """
            take two minutes off the salmon; knock two minutes off the salmon;
            two minutes less on the salmon; two minutes off the salmon; two fewer minutes on the salmon;
            take a couple of minutes off the salmon; cut two minutes off the salmon;
            take two off the salmon; give the salmon two minutes less; two less minutes on the salmon;
            take five no two minutes off the salmon
        """),
        **alike(give(-1), """
            take a minute off; knock off a minute; a minute less; knock a minute off it
        """),
    }),
    "hold": (BUSY, {
        **alike(Hold(name="salmon"), """
            hold the salmon; hold salmon; pause the salmon; hold the time on the salmon;
            stop the clock on the salmon; stop the timer for the salmon; put the salmon on hold;
            stop the salmon
        """),
        **alike(Hold(name=None), """
            hold that; hold it; pause that; pause it; stop the clock; stop the timer
        """),
    }),
    "carry on": (HELD, {
        **alike(CarryOn(name="salmon"), """
            carry on with the salmon; go on with the salmon; continue the salmon; resume the salmon;
            continue with salmon; start the salmon again; the salmon is back on; salmon is on again;
            the salmon is back in; restart the salmon
        """),
        **alike(CarryOn(name=None), "carry on; continue; keep going; go on; resume; start it again"),
    }),
    "drop": (BUSY, {
        **alike(Drop(name="leeks"), """
            drop the leeks; drop leeks; skip the leeks; leave out the leeks; leave the leeks out;
            forget the leeks; forget about the leeks; cancel the leeks; scrap the leeks;
            we're not doing the leeks; we're not making the leeks
        """),
        **alike(Drop(name="eggs"), "cancel the eggs timer; cancel the timer for the eggs"),
        **alike(Drop(name=None), "drop that; skip that; skip it; leave it out; skip this one"),
    }),
    "a new timer": (BUSY, {
        **alike(timed("pasta", 9), """
            time the pasta for nine minutes; time pasta for nine minutes; nine minutes for the pasta;
            set a timer for the pasta for nine minutes; set a timer for nine minutes for the pasta;
            set a nine minute timer for the pasta; start a nine minute timer for the pasta;
            set a pasta timer for nine minutes; start timing the pasta for nine minutes;
            gimme nine minutes for the pasta; give me nine minutes for the pasta;
            gimme a nine minute timer for the pasta; nine minute timer for the pasta;
            put a timer on the pasta for nine minutes; put nine minutes on the clock for the pasta;
            time the pasta for five no nine minutes
        """),
        **alike(timed("timer", 20), """
            set a timer for twenty minutes; set a twenty minute timer; timer for twenty minutes
        """),
        **alike(timed("timer", 75), """
            set a timer for an hour and a quarter; timer for an hour and a quarter
        """),
        **alike(timed("timer", 30), "set a half hour timer; set a timer for half an hour"),
        **alike(timed("bread", 2), "time the bread for a couple of minutes"),
    }),
    "a reminder": (BUSY, {
        **alike(remind(10, "turn the bread"), """
            remind me in ten minutes to turn the bread; remind me to turn the bread in ten minutes;
            in ten minutes remind me to turn the bread; tell me in ten minutes to turn the bread;
            tell me to turn the bread in ten minutes; call me in ten minutes to turn the bread;
            in ten minutes tell me to turn the bread; give me a shout in ten minutes to turn the bread;
            remind us in ten minutes to turn the bread;
            can you remind me in ten minutes to turn the bread;
            remind me in five no ten minutes to turn the bread
        """),
        **alike(remind(15, "check the oven"), "remind me to check the oven in a quarter of an hour"),
        **alike(remind(30, "set the table"), "in half an hour remind me to set the table"),
    }),
    "a core reading": (BUSY, {
        **alike(read("salmon", 58), """
            the salmon is at fifty eight; salmon is at fifty eight; salmon fifty eight degrees;
            the salmon is at fifty eight degrees; salmon reads fifty eight; the salmon says fifty eight;
            fifty eight degrees in the salmon; the salmon is up to fifty eight;
            the salmon has reached fifty eight; salmon temperature is fifty eight;
            the salmon is at fifty no fifty eight
        """),
        **alike(read(None, 62), """
            it's at sixty two; the probe says sixty two; the probe reads sixty two; it reads sixty two;
            it's sixty two degrees; it says sixty two; sixty two degrees; it's up to sixty two;
            it's reading sixty two; it's at sixty two degrees; the thermometer says sixty two
        """),
    }),
    "an oven reading": (BUSY, {
        **alike(read("oven", 190), """
            oven reads one ninety; the oven is at one ninety; the oven says one ninety; oven one ninety;
            the oven shows one ninety; oven is at one hundred and ninety degrees;
            the oven is up to one ninety; the oven has reached one ninety; one ninety in the oven;
            the oven is at one eighty no one ninety
        """),
        **alike(read("oven", 140), "the oven is at one forty degrees"),
    }),
    "a dinner begins": (NO_DINNER, {
        **alike(StartDinner(plan=SUPPER), """
            cook the lighthouse supper; start the lighthouse supper; let's cook the lighthouse supper;
            let's do the lighthouse supper; make the lighthouse supper; cook lighthouse supper;
            we're having the lighthouse supper; begin the lighthouse supper; open the lighthouse supper
        """),
        **alike(StartDinner(plan=SUPPER, serve=TimeOfDay(7, 45)), """
            cook the lighthouse supper for quarter to eight; lighthouse supper at quarter to eight;
            lighthouse supper for seven forty five; start the lighthouse supper for a quarter to eight;
            cook the lighthouse supper for seven no quarter to eight
        """),
    }),
    "the pass moves by": (BUSY, {
        **alike(MovePassBy(seconds=900), """
            serve fifteen minutes later; eat fifteen minutes later; make it fifteen minutes later;
            push dinner back fifteen minutes; push it back by fifteen minutes;
            dinner fifteen minutes later; move dinner fifteen minutes later;
            delay dinner by fifteen minutes; fifteen minutes later;
            push the pass back a quarter of an hour; we'll eat a quarter of an hour later;
            serve five no fifteen minutes later; put dinner back fifteen minutes;
            hold dinner for fifteen minutes
        """),
        **alike(MovePassBy(seconds=-600), """
            serve ten minutes earlier; bring dinner forward ten minutes
        """),
        **alike(MovePassBy(seconds=1800), "push dinner back half an hour; serve half an hour later"),
    }),
    "the pass moves to": (BUSY, {
        **alike(MovePassTo(time=TimeOfDay(7, 45)), """
            serve at seven forty five; serve at quarter to eight; we'll eat at quarter to eight;
            dinner at a quarter to eight; let's eat at quarter to eight; make it quarter to eight;
            move dinner to quarter to eight; the pass is at quarter to eight;
            set the pass to seven forty five; we eat at quarter to eight;
            push dinner to quarter to eight; serve at seven no quarter to eight
        """),
        **alike(MovePassTo(time=TimeOfDay(8)), "serve at eight; dinner at eight o'clock"),
        **alike(MovePassTo(time=TimeOfDay(7, 30)), """
            serve at half past seven; serve dinner at half seven
        """),
    }),
    "take back": (BUSY, alike(Undo(), """
        undo that; undo; take that back; take it back; scratch that; cancel that; undo it;
        that was wrong; i didn't mean that; go back; i didn't say that; undo the last one
    """)),
    "quiet": (BUSY, alike(Quiet(), """
        quiet; be quiet; quiet please; stop talking; that's enough; enough; silence; hush; shut up;
        shush
    """)),
    "yes": (DOUBTING, alike(Yes(), """
        yes; yes please; yes do; yeah; yep; correct; that's right; do it; go ahead; sure; okay;
        yes that's right; yes go ahead
    """)),
    "no": (DOUBTING, alike(No(), """
        no; no thanks; no thank you; no don't; don't; nope; never mind; leave it; that's wrong; wrong;
        no leave it; no that's wrong; don't do that
    """)),
    "louder": (BEGUN, alike(Louder(steps=1), """
        louder; louder please; a bit louder; speak louder; talk a bit louder; turn it up;
        turn the volume up a bit; turn up the volume; volume up; i can't hear you; could you speak louder
    """)),
    "softer": (BUSY, alike(Louder(steps=-1), """
        softer; softer please; a bit softer; talk softer; speak a bit softer; quieter; quieter please;
        a bit quieter; turn it down; turn it down a bit; turn down the volume; volume down; not so loud;
        you're too loud
    """)),
    "whisper": (BUSY, alike(Whisper(is_on=True), """
        whisper; whisper please; please whisper; keep your voice down; whisper from now on; whisper for now;
        start whispering; talk in a whisper; use your quiet voice; can you whisper
    """)),
    "speak up": (NO_DINNER, alike(Whisper(is_on=False), """
        speak up again; speak up; speak up please; speak normally; talk normally again; stop whispering;
        no more whispering; you can speak up; you can talk again; use your normal voice; use your full voice
    """)),
    "quiet for": (BUSY, alike(QuietFor(seconds=600), """
        quiet for ten minutes; be quiet for ten minutes; keep quiet for ten minutes; no calls for ten minutes;
        stay quiet for ten minutes; don't talk for ten minutes; ten minutes of quiet;
        give me ten minutes of quiet; leave me alone for ten minutes; silence for ten minutes
    """)),
    "an answer": (CHOOSING, {
        **alike(Pick(place=0), "the first one; the first; number one; one; first one; option one"),
        **alike(Pick(place=1), "the second one; second; number two; two; the second"),
        **alike(Pick(place=-1), "the last one"),
        **alike(StepSaid(name=SLICE), "slice the salmon; slice salmon; slice it"),
        **alike(StepSaid(name="rest the salmon"), "rest the salmon; rest it"),
    }),
    "away": (AWAY, alike(AwaySaid(seconds=600), """
        you were away for ten minutes; you were away ten minutes; it was ten minutes;
        it was about ten minutes; away for ten minutes; gone for ten minutes; off for ten minutes;
        about ten minutes; you were off for ten minutes; it was five no ten minutes
    """)),
}  # fmt: skip

EVERY_FORM = [
    pytest.param(state, text, command, id=f"{about}: {text}")
    for about, (state, forms) in FORMS.items()
    for text, command in forms.items()
]


def sayable_now(state: DinnerState) -> Sayable:
    return sayable(replace(state, manners=replace(MANNERS, is_open=True)), NOW)


def takes(network: Network, text: str) -> bool:
    """Whether the words lead through the network to an end."""
    ways = {(arc.source, arc.word): arc.target for arc in network.arcs}
    at: int | None = 0
    for word in text.split():
        at = None if at is None else ways.get((at, word))
    return at == network.final or (at, None) in ways


def is_heard_and_read(state: DinnerState, text: str, command: Command) -> None:
    """Check that a listener is given the text, and that it is read as this command."""
    offered = sayable_now(state)
    assert understand(text, state).command == command
    assert offered.accepts(text)
    assert takes(offered.network(), text)


def means_only(state: DinnerState, text: str, command: Command) -> None:
    """Check that the text has no other meaning; what a lone number means the question decides."""
    meant = intent_name(command)
    for book in (sayable_now(state).book, full_book(state)):
        found = {intent_name(reading) for reading in book.readings(Heard.of(text))}
        assert found - ({"number"} - {meant} if book is full_book(state) else set()) == {meant}


@pytest.mark.parametrize(("state", "text", "command"), EVERY_FORM)
def test_form_is_heard_and_read_as_meant(state: DinnerState, text: str, command: Command) -> None:
    is_heard_and_read(state, text, command)


@pytest.mark.parametrize(("state", "text", "command"), EVERY_FORM)
def test_form_means_one_thing_only(state: DinnerState, text: str, command: Command) -> None:
    means_only(state, text, command)


def test_everything_can_be_put_in_ten_ways() -> None:
    assert {about: len(forms) for about, (_, forms) in FORMS.items() if len(forms) < 10} == {}
