"""The command that weighs seams against cost."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from lapwright_cli.commands.ending import guard
from lapwright_cli.commands.folder import write_all
from lapwright_cli.commands.options import JobFile, Quiet, TimeLimit


def front(
    job: JobFile,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Folder for the text and the drawing."),
    ] = None,
    time_limit: TimeLimit = 30.0,
    quiet: Quiet = False,
) -> None:
    """Find what fewer seams cost: the least cost for each number of seams."""
    from lapwright_cli.progress import Progress

    watcher = Progress(sys.stderr, quiet=quiet)
    with guard():
        from lapwright.front import fronts
        from lapwright.job.reading import read_job
        from lapwright_cli.reports.front import front_svg, front_text

        read = read_job(job)
        found = fronts(read, time_limit=time_limit, watcher=watcher)
        watcher.end()
        text = front_text(found, read)
        if out is not None:
            files = {"front.txt": text.encode(), "front.svg": front_svg(found, read).encode()}
            write_all(out, files)
            typer.echo(f"written to {out}: {', '.join(files)}", err=True)
        typer.echo(text, nl=False)
