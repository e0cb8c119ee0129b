"""`kitchend feed` and `kitchend sensors`: readings. Loads what it needs when it is called."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

Finish = Callable[[Callable[[], int], str], None]
Show = Callable[[str], None]

AsJson = Annotated[
    bool, typer.Option("--json", help="Print JSON for other programs instead of text for people.")
]


def add_reading_commands(app: typer.Typer, finish: Finish, show: Show, complain: Show) -> None:
    """Add both; `finish` runs a body and leaves with its exit code."""
    _add_feed(app, finish, show, complain)
    _add_sensors(app, finish, show)


def _add_feed(app: typer.Typer, finish: Finish, show: Show, complain: Show) -> None:
    @app.command()
    def feed(
        command: Annotated[
            list[str] | None,
            typer.Argument(metavar="-- COMMAND...", help="The program to run; without one, standard input."),
        ] = None,
        of: Annotated[
            str | None, typer.Option(metavar="NAME", help="What the thermometer is in, as you would say it.")
        ] = None,
        unit: Annotated[
            str | None, typer.Option(metavar="C|F", help="Of numbers without one. Else as the plan has it.")
        ] = None,
        every: Annotated[
            str, typer.Option(metavar="TIME", help="At most one reading of a name in so long: the newest.")
        ] = "5 s",
        again: Annotated[
            bool,
            typer.Option("--again", help="Start the program again whenever it ends, after pauses that grow."),
        ] = False,
        as_json: AsJson = False,
    ) -> None:
        """Hand on what a program measures: one number or one JSON object a line, to the running kitchend.

        An object has `of` (or `name`) and `celsius`, `fahrenheit`, or `value` with `unit`; more is let be.

        Example: kitchend feed --of pork --again -- ssh smoker read-probe
        """

        def body() -> int:
            from kitchend.service.feeding import feed, wish_of
            from kitchend.service.places import places

            wish = wish_of(of, unit, every, as_json=as_json)
            return feed(command or (), wish, places().socket, again=again, show=show, complain=complain)

        finish(body, "feed readings")


def _add_sensors(app: typer.Typer, finish: Finish, show: Show) -> None:
    @app.command()
    def sensors(
        under: Annotated[
            Path, typer.Option(metavar="DIR", help="Where to look, if the kernel's files are not here.")
        ] = Path("/sys"),
        as_json: AsJson = False,
    ) -> None:
        """List this machine's temperature sensors with what they show, to be named in the settings.

        Example: kitchend sensors
        """

        def body() -> int:
            from kitchend.service.sensor_list import show_sensors

            return show_sensors(under, as_json=as_json, show=show)

        finish(body, "list the sensors")
