"""The command line: what can be asked of kitchend, and nothing of how it is done.

Each command loads what it needs when it is called, so that the small ones start quickly. Failures become one
line and an exit code in one place; a traceback is never shown.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from kitchend.cli_board import board_commands
from kitchend.cli_models import model_commands
from kitchend.cli_readings import add_reading_commands
from kitchend.cli_storing import add_storing_commands

app = typer.Typer(
    name="kitchend",
    help="Calls a whole dinner by voice, offline: plans back from the pass, keeps every timer, listens.",
    epilog="Begin with: kitchend check plans/NAME.yaml, then: kitchend rehearse plans/NAME.yaml",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

PlanPaths = Annotated[
    list[Path],
    typer.Argument(metavar="PLAN...", help="A plan file, or several whose plans share the kitchen."),
]
Serve = Annotated[
    list[str] | None,
    typer.Option(
        metavar="HH:MM",
        help="The pass, also `tomorrow 19:30` or 2026-12-24T19:30. For several plans the last one, or one "
        "each in their order. Without it the plan's own, or as early as can be.",
    ),
]
Json = Annotated[
    bool, typer.Option("--json", help="Print JSON for other programs instead of text for people.")
]
SettingsPath = Annotated[
    Path | None,
    typer.Option(
        "--settings", metavar="FILE", help="Another settings file than ~/.config/kitchend/settings.yaml."
    ),
]


class CookKind(StrEnum):
    """The made-up cooks of a rehearsal."""

    STEADY = "steady"
    HUMAN = "human"


class EarsKind(StrEnum):
    """Which ears listen."""

    AUTO = "auto"
    FIRST = "first"
    SECOND = "second"
    BOTH = "both"


def main() -> None:
    """The entry point."""
    app()


def show(line: str) -> None:
    """Print a line for whoever asked."""
    print(line, flush=True)


def complain(line: str) -> None:
    """Print a line about what went wrong."""
    typer.echo(f"kitchend: {line}", err=True)


def finish(body: Callable[[], int], doing: str) -> None:
    """Run a command's body and leave with its exit code."""
    from kitchend.service.guard import exit_code, log_to
    from kitchend.service.places import places
    from kitchend.service.supervisor import PARTS, leave_stuck

    log_to(places().log)
    code = exit_code(body, complain=complain, doing=doing)
    leave_stuck(PARTS, code)
    raise typer.Exit(code)


KeepSound = Annotated[
    Path | None,
    typer.Option(metavar="DIR", help="Keep each phrase that is said as a WAV file in this folder."),
]


@app.command()
def cook(
    plans: PlanPaths,
    serve: Serve = None,
    carry_on: Annotated[
        bool | None,
        typer.Option(
            "--carry-on/--afresh", help="Without asking, carry on with this dinner or begin it again."
        ),
    ] = None,
    keep_sound: KeepSound = None,
    board: Annotated[
        bool, typer.Option("--board", help="Serve the page for a tablet while it cooks.")
    ] = False,
    settings: SettingsPath = None,
) -> None:
    """Cook a plan: call every step by voice, listen, keep the timers, until it is served.

    Without loudspeaker or microphone calls are printed, answers typed. Ctrl-C stops; the dinner is kept.

    Example: kitchend cook plans/boathouse-sunday.yaml --serve 19:30
    """

    def body() -> int:
        from kitchend.board.beside import board_beside
        from kitchend.service.cooking import Wish, cook, screen_of_process
        from kitchend.service.places import places
        from kitchend.service.quiet_libraries import quiet_libraries
        from kitchend.service.settings import settings_for

        quiet_libraries()
        wish = Wish(paths=plans, serves=serve or (), carries_on=carry_on)
        wanted, where, screen = (
            settings_for(settings),
            replace(places(), sounds=keep_sound),
            screen_of_process(),
        )
        beside = board_beside(wanted, where, is_wanted=board, write=screen.write, complain=screen.complain)
        return cook(wish, wanted, where, screen, beside)

    finish(body, "cook")


@app.command()
def run(keep_sound: KeepSound = None, settings: SettingsPath = None) -> None:
    """Be the background service: wait for a plan by voice or `kitchend tell`, serve it, wait again.

    Example: kitchend run
    """

    def body() -> int:
        from kitchend.service.early_ear import EARLY
        from kitchend.service.places import places
        from kitchend.service.quiet_libraries import quiet_libraries
        from kitchend.service.settings import settings_for

        quiet_libraries()
        wanted = settings_for(settings)
        EARLY.begin(wanted)

        from kitchend.board.beside import board_beside
        from kitchend.service.background import plans_folder, run

        where = replace(places(), sounds=keep_sound)
        folder = plans_folder(wanted, where)
        beside = board_beside(wanted, where, folder=folder, write=show, complain=complain)
        return run(wanted, where, write=show, complain=complain, beside=beside)

    finish(body, "run")


@app.command()
def rehearse(
    plans: PlanPaths,
    cook: Annotated[
        CookKind, typer.Option(help="Steady answers soon and plainly; human is late and forgets.")
    ] = CookKind.STEADY,
    seed: Annotated[int, typer.Option(help="The same seed gives the same rehearsal.")] = 1,
    serve: Serve = None,
    wav: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Keep the conversation as a sound file.")
    ] = None,
    ears: Annotated[EarsKind, typer.Option(help="Which ears listen.")] = EarsKind.AUTO,
    probe: Annotated[bool, typer.Option("--probe", help="A probe reads the core, not the cook.")] = False,
    as_json: Json = False,
) -> None:
    """Live through a plan in seconds: a made-up cook speaks, the real listener hears, kitchend answers.

    Example: kitchend rehearse plans/riverside-smoke.yaml --cook human --seed 7 --wav dinner.wav
    """

    def body() -> int:
        from kitchend.rehearsal import rehearse
        from kitchend.reports.printing import print_json

        on_line = (lambda line: None) if as_json else show
        done = rehearse(
            plans, cook=cook, seed=seed, serve=serve, wav=wav, ears=ears, probe=probe, on_line=on_line
        )
        if as_json:
            print_json(done.to_json())
        else:
            show(done.summary())
        return 0 if done.is_good else 1

    finish(body, "rehearse")


@app.command()
def check(
    plans: Annotated[list[Path], typer.Argument(metavar="PLAN...", help="Plan files.")], as_json: Json = False
) -> None:
    """Tell everything wrong or doubtful in plans, with places.

    Example: kitchend check plans/*.yaml
    """

    def body() -> int:
        from kitchend.service.checking import check, named_model

        return check(plans, as_json=as_json, show=show, vosk_model=named_model())

    finish(body, "check")


@app.command()
def timeline(
    plans: PlanPaths,
    serve: Serve = None,
    svg: Annotated[Path | None, typer.Option(metavar="FILE", help="Draw it as a picture, SVG.")] = None,
    sheet: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write one page to print and tick off, HTML.")
    ] = None,
    ics: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write calendar events, iCalendar.")
    ] = None,
    as_json: Json = False,
    settings: SettingsPath = None,
) -> None:
    """Show when each step starts and ends, why it is so, and what to change if it cannot be done.

    Several plans share one kitchen, each with its own pass. Exports overwrite earlier exports, nothing else.

    Example: kitchend timeline plans/greenhouse-evening.yaml --serve 20:00 --svg evening.svg
    """

    def body() -> int:
        from kitchend.service.outlook import Exports, outlook
        from kitchend.service.settings import settings_for

        return outlook(
            plans,
            serve or (),
            settings_for(settings),
            exports=Exports(svg=svg, sheet=sheet, ics=ics),
            as_json=as_json,
            show=show,
        )

    finish(body, "show the timeline")


@app.command()
def hear(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="Recordings, WAV.")],
    plan: Annotated[Path, typer.Option(metavar="PLAN", help="The plan whose words to listen for.")],
    window: Annotated[
        bool, typer.Option("--window", help="Said in the answer window: without the address phrase.")
    ] = False,
    as_json: Json = False,
    settings: SettingsPath = None,
) -> None:
    """Tell what the listener makes of recordings, as if they were said during the plan's dinner.

    Each begins with the address phrase, or was said in the answer window after a call or question: --window.

    Example: kitchend hear phrase.wav --plan plans/boathouse-sunday.yaml --window
    """

    def body() -> int:
        from kitchend.service.listening_back import hear
        from kitchend.service.settings import settings_for

        wanted = settings_for(settings)
        return hear(files, plan, wanted, in_window=window, as_json=as_json, show=show, complain=complain)

    finish(body, "hear")


@app.command()
def tell(
    words: Annotated[
        list[str], typer.Argument(metavar="WORDS", help="What you would say, without the address.")
    ],
    as_json: Json = False,
) -> None:
    """Say something to the running kitchend by keyboard, and print what it says back.

    Example: kitchend tell "how long on the rice"
    """

    def body() -> int:
        from kitchend.service.asking import tell
        from kitchend.service.places import places

        return tell(" ".join(words), places().socket, as_json=as_json, show=show)

    finish(body, "tell")


@app.command()
def status(as_json: Json = False) -> None:
    """Show what is on, what is next, and whether the dinner is on time.

    Example: kitchend status --json
    """

    def body() -> int:
        from kitchend.service.asking import status
        from kitchend.service.places import places

        return status(places().socket, as_json=as_json, show=show)

    finish(body, "show the status")


@app.command()
def soundcheck(as_json: Json = False, settings: SettingsPath = None) -> None:
    """Try loudspeaker and microphone: noise, echo, level, three phrases to repeat; and what to change.

    Example: kitchend soundcheck
    """

    def body() -> int:
        from kitchend.service.quiet_libraries import quiet_libraries
        from kitchend.service.settings import settings_for
        from kitchend.service.soundcheck import soundcheck

        quiet_libraries()
        return soundcheck(settings_for(settings), as_json=as_json, show=show, complain=complain)

    finish(body, "check the sound")


add_storing_commands(app, finish, show)
add_reading_commands(app, finish, show, complain)
app.add_typer(model_commands(finish, show), name="model")
app.add_typer(board_commands(finish, show), name="board")
