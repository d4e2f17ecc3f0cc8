"""The command that solves a bare cutting list."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from lapwright.measure import Unit
from lapwright_cli.commands.ending import guard
from lapwright_cli.commands.folder import write_all
from lapwright_cli.commands.options import FewerSetups, FewStacks, Out, Quiet, TimeLimit


def cut(
    pieces: Annotated[
        Path, typer.Argument(metavar="PIECES", help="CSV: length, count and maybe label.")
    ],
    stock: Annotated[
        Path, typer.Argument(metavar="STOCK", help="CSV: length and maybe cost, supply.")
    ],
    out: Out,
    unit: Annotated[
        Unit, typer.Option(help="What a bare number means: in, ft, mm, cm or m.")
    ] = Unit.INCH,
    kerf: Annotated[str, typer.Option(help="What the saw takes at a cut, such as 1/8.")] = "0",
    time_limit: TimeLimit = 10.0,
    few_stacks: FewStacks = False,
    fewer_setups: FewerSetups = 0.0,
    quiet: Quiet = False,
) -> None:
    """Solve a bare cutting list: cut.json."""
    from lapwright_cli.progress import CostProgress, Progress

    watcher = Progress(sys.stderr, quiet=quiet)
    with guard():
        from lapwright.cutting import solve, with_few_open_stacks
        from lapwright.job.cutlist import read_cutlist
        from lapwright_cli.cutlist import cut_json, cut_text

        read = read_cutlist(pieces, stock, unit, kerf)
        watcher.begin("cutting")
        found = solve(
            read.problem,
            time_limit=time_limit,
            watcher=CostProgress(watcher, read),
            tidy=fewer_setups,
        )
        if few_stacks:
            found = with_few_open_stacks(found)
        watcher.end()
        write_all(out, {"cut.json": cut_json(found, read)})
        typer.echo(cut_text(found, read), nl=False)
