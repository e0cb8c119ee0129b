"""`kitchend backup`, `restore` and `forget`: what is kept. Loads what it needs when it is called."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

Finish = Callable[[Callable[[], int], str], None]
Show = Callable[[str], None]

SettingsPath = Annotated[
    Path | None,
    typer.Option(
        "--settings", metavar="FILE", help="Another settings file than ~/.config/kitchend/settings.yaml."
    ),
]


def add_storing_commands(app: typer.Typer, finish: Finish, show: Show) -> None:
    """Add all three; `finish` runs a body and leaves with its exit code."""
    _add_backup(app, finish, show)
    _add_restore(app, finish, show)
    _add_forget(app, finish, show)


def _add_backup(app: typer.Typer, finish: Finish, show: Show) -> None:
    @app.command()
    def backup(
        file: Annotated[
            Path, typer.Argument(metavar="FILE", help="The file to write, such as kitchen.tar.gz.")
        ],
        settings: SettingsPath = None,
    ) -> None:
        """Write settings, plans, the journal and past dinners to one file; also while a dinner is on.

        Example: kitchend backup kitchen.tar.gz
        """

        def body() -> int:
            from kitchend.service.places import places
            from kitchend.service.settings import settings_for
            from kitchend.service.storing import backup

            return backup(file, settings_for(settings), places(), show=show)

        finish(body, "make a backup")


def _add_restore(app: typer.Typer, finish: Finish, show: Show) -> None:
    @app.command()
    def restore(
        file: Annotated[Path, typer.Argument(metavar="FILE", help="What `kitchend backup` wrote.")],
        settings: SettingsPath = None,
    ) -> None:
        """Put everything of a backup back; what was there is kept beside it. Not while kitchend runs.

        Example: kitchend restore kitchen.tar.gz
        """

        def body() -> int:
            from kitchend.service.places import places
            from kitchend.service.settings import settings_for
            from kitchend.service.storing import restore

            return restore(file, settings_for(settings), places(), show=show)

        finish(body, "restore a backup")


def _add_forget(app: typer.Typer, finish: Finish, show: Show) -> None:
    @app.command()
    def forget() -> None:
        """Remove what was said at dinners that are over and between them; what is on is kept.

        Example: kitchend forget
        """

        def body() -> int:
            from kitchend.service.places import places
            from kitchend.service.storing import forget

            return forget(places(), show=show)

        finish(body, "forget")
