"""The command that compares ways to buy and to begin."""

from __future__ import annotations

import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lapwright.errors import NoPlanError
from lapwright_cli.commands.ending import guard, is_interrupted, until_stopped
from lapwright_cli.commands.folder import write_all
from lapwright_cli.commands.options import JobFile, PaperSize, Quiet, TimeLimit

if TYPE_CHECKING:
    from lapwright.front import Front
    from lapwright.job.job import Job
    from lapwright.variant import Trial
    from lapwright_cli.progress import Progress


def compare(
    job: JobFile,
    stock: Annotated[
        list[str] | None,
        typer.Option(
            metavar="LENGTH[@PRICE]",
            help="A stock length to compare, again for more; by default those of the job.",
        ),
    ] = None,
    material: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NAME", help="A siding of the catalogue to compare as well, or all of them."
        ),
    ] = None,
    start: Annotated[
        list[str] | None,
        typer.Option(
            metavar="LENGTH", help="A start of the courses to compare, or best; again for more."
        ),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Folder for page, PDF and workbook."),
    ] = None,
    time_limit: TimeLimit = 5.0,
    front: Annotated[
        float,
        typer.Option(
            min=0.0,
            metavar="SECONDS",
            help="Look so long for what fewer seams cost in the job as it stands; 0: not.",
        ),
    ] = 10.0,
    paper: PaperSize = None,
    quiet: Quiet = False,
) -> None:
    """Compare stock lengths, materials and starts: each is planned and laid side by side."""
    from lapwright_cli.progress import Progress

    watcher = Progress(sys.stderr, quiet=quiet)
    with guard():
        from lapwright.job.reading import build_job, read_form
        from lapwright_cli.asking import AskingError
        from lapwright_cli.comparing import trials
        from lapwright_cli.paper import paper_for
        from lapwright_cli.reports.comparing import comparison_files
        from lapwright_cli.reports.comparison import compare_trials, comparison_text

        form = read_form(job)
        try:
            asked = trials(
                form,
                stock or (),
                material or (),
                start or (),
                time_limit=time_limit,
                watcher=watcher,
            )
        except AskingError as error:
            raise typer.BadParameter(str(error)) from None
        tried: list[Trial] = []
        with until_stopped():
            for trial in asked:
                if trial.plan is not None and is_interrupted(trial.plan):
                    raise KeyboardInterrupt
                tried.append(trial)
        watcher.end()
        if not tried:
            raise KeyboardInterrupt
        if all(trial.plan is None for trial in tried):
            raise NoPlanError(*(f"{t.variant.name}: {r}" for t in tried for r in t.reasons))
        base = build_job(form)
        found = _fronts(base, front, watcher)
        watcher.end()
        made = compare_trials(base, tried, time_limit, found)
        if out is not None:
            files = comparison_files(made, paper or paper_for(form.unit))
            write_all(out, files)
            typer.echo(f"written to {out}: {', '.join(files)}", err=True)
        typer.echo(comparison_text(made), nl=False)


def _fronts(job: Job, seconds: float, watcher: Progress) -> tuple[Front, ...]:
    """Find what fewer seams cost; without a plan of the job, or stopped by hand, nothing."""
    from lapwright.front import fronts

    found: tuple[Front, ...] = ()
    if seconds:
        with until_stopped(), suppress(NoPlanError):
            found = fronts(job, time_limit=seconds, watcher=watcher)
    return found
