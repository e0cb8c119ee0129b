"""`kitchend board …`: the devices that may see the board. Loads what it needs when it is called."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from typing import Annotated

import typer

Finish = Callable[[Callable[[], int], str], None]
Show = Callable[[str], None]


def board_commands(finish: Finish, show: Show) -> typer.Typer:
    """The commands under `board`; `finish` runs a body and leaves with its exit code."""
    app = typer.Typer(
        name="board",
        help="The page for a tablet: which devices of the house may see it.",
        no_args_is_help=True,
    )

    @app.command()
    def devices(
        revoke: Annotated[
            str | None, typer.Option(metavar="NAME", help="Take this device (its name or id) off the list.")
        ] = None,
        as_json: Annotated[bool, typer.Option("--json", help="Print JSON for other programs.")] = False,
    ) -> None:
        """List the devices that were let in, or send one away; it sees nothing from then on.

        Example: kitchend board devices --revoke tablet
        """

        def body() -> int:
            from kitchend.board.devices import Devices
            from kitchend.reports.printing import columns, json_text
            from kitchend.service.guard import UseError
            from kitchend.service.places import places

            known = Devices(places().journal.parent)
            gone = known.remove(revoke) if revoke is not None else ()
            if revoke is not None and not gone:
                raise UseError(f"no device is called {revoke}; see `kitchend board devices`")
            if as_json:
                show(json_text({"devices": [asdict(one) for one in known.all()]}))
                return 0
            for one in gone:
                show(f"{one.name} may no longer see the board.")
            rows = [(one.name, one.id, one.since) for one in known.all()]
            show("\n".join(columns(rows)) if rows else "No device has been let in.")
            return 0

        finish(body, "see to the devices")

    return app
