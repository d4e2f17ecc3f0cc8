"""The command line.  Heavy parts are imported when a command runs, so that help is quick."""

from __future__ import annotations

from typing import Annotated

import typer

from lapwright import __version__
from lapwright_cli.commands.catalogue import catalogue, schema
from lapwright_cli.commands.comparison import compare
from lapwright_cli.commands.cutlist import cut
from lapwright_cli.commands.front import front
from lapwright_cli.commands.job import check, heights, start
from lapwright_cli.commands.plan import audit, plan

app = typer.Typer(
    name="lapwright",
    help="Lap siding: from a measured house to an order, cut sheets and elevations.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

# In the order in which the help lists them.
for command in (plan, compare, front, check, heights, audit, cut, start, schema, catalogue):
    app.command()(command)


def main() -> None:
    """Run the command line."""
    app()


def _show_version(value: bool) -> None:
    if value:
        typer.echo(f"lapwright {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    *,
    version: Annotated[
        bool,
        typer.Option(
            "--version", is_eager=True, callback=_show_version, help="Show the version and end."
        ),
    ] = False,
) -> None: ...
