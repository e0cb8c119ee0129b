"""The commands `kitchend model list | get | remove`: what can be asked, and nothing of how it is done."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

import typer

Show = Callable[[str], None]
Finish = Callable[[Callable[[], int], str], None]
Name = Annotated[str, typer.Argument(metavar="NAME", help="One that `kitchend model list` names.")]


def model_commands(finish: Finish, show: Show) -> typer.Typer:
    """The group of commands; `finish` runs a body and leaves with its exit code, `show` prints a line."""
    models = typer.Typer(
        help="Models for the first ear: which there are, fetch one, remove one.", no_args_is_help=True
    )
    for add in (_add_list, _add_get, _add_remove):
        add(models, finish, show)
    return models


def _add_list(models: typer.Typer, finish: Finish, show: Show) -> None:
    @models.command("list")
    def list_(
        as_json: Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")] = False,
    ) -> None:
        """Tell which models there are and which are here.

        Example: kitchend model list
        """

        def body() -> int:
            from kitchend.service.models import list_models, models_folder

            return list_models(models_folder(), as_json=as_json, show=show)

        finish(body, "list models")


def _add_get(models: typer.Typer, finish: Finish, show: Show) -> None:
    @models.command()
    def get(
        name: Name,
        source: Annotated[
            str | None,
            typer.Option("--from", metavar="URL", help="Another place to fetch its ZIP file from."),
        ] = None,
        sha256: Annotated[
            str | None, typer.Option(metavar="HEX", help="The checksum it must have, if it is another file.")
        ] = None,
    ) -> None:
        """Fetch a model, going on where an earlier try broke off. Needs a network; nothing else does.

        Example: kitchend model get vosk-model-small-en-us-0.15
        """

        def body() -> int:
            from kitchend.reports.bar import drawn
            from kitchend.service.models import get_model, models_folder

            with drawn() as draw:
                return get_model(
                    name, models_folder(), source=source, sha256=sha256, show=show, progress=draw
                )

        finish(body, "fetch a model")


def _add_remove(models: typer.Typer, finish: Finish, show: Show) -> None:
    @models.command()
    def remove(name: Name) -> None:
        """Remove a model.

        Example: kitchend model remove vosk-model-small-en-us-0.15
        """

        def body() -> int:
            from kitchend.service.models import models_folder, remove_model

            return remove_model(name, models_folder(), show=show)

        finish(body, "remove a model")
