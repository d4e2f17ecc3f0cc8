"""The commands about a plan: making one, and recounting one."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lapwright_cli.commands.ending import INPUT, guard, is_interrupted, until_stopped
from lapwright_cli.commands.folder import write_all
from lapwright_cli.commands.options import (
    FewerSetups,
    FewStacks,
    JobFile,
    Out,
    PaperSize,
    Prefer,
    Quiet,
    TimeLimit,
)

if TYPE_CHECKING:
    from lapwright.job.job import Job
    from lapwright.plan import Plan
    from lapwright.variant import Without
    from lapwright_cli.progress import Progress
    from lapwright_cli.reports import Report


def plan(
    job: JobFile,
    out: Out,
    time_limit: TimeLimit = 10.0,
    prefer: Annotated[
        Prefer,
        typer.Option(
            help="Least stock first and then fewest seams, or fewest seams first and then"
            " least stock."
        ),
    ] = Prefer.STOCK,
    few_stacks: FewStacks = False,
    fewer_setups: FewerSetups = 0.0,
    shortage: Annotated[
        float,
        typer.Option(
            min=0.0,
            metavar="SECONDS",
            help="Plan so long without each stock length in turn, for the order; 0: not.",
        ),
    ] = 10.0,
    paper: PaperSize = None,
    stickers: Annotated[
        str | None,
        typer.Option(
            metavar="LAYOUT",
            help="Stickers for the pieces, such as '2-5/8 x 1 in'; of the catalogue, or job.",
        ),
    ] = None,
    link: Annotated[
        str,
        typer.Option(metavar="ADDRESS", help="Of the elevations, for the codes on stickers."),
    ] = "elevations.html",
    dxf: Annotated[
        bool, typer.Option("--dxf", help="Elevations and cut sheets as drawings for CAD, too.")
    ] = False,
    timings: Annotated[
        bool, typer.Option("--timings", help="Show the seconds of each stage.")
    ] = False,
    strict: Annotated[
        bool, typer.Option("--strict", help="No plan that breaks a rule for seams.")
    ] = False,
    quiet: Quiet = False,
) -> None:
    """Plan a job: the order, the cut sheets, the elevations and plan.json."""
    from lapwright_cli.progress import Progress

    watcher = Progress(sys.stderr, quiet=quiet)
    with guard():
        watcher.begin("reading")
        from lapwright.job.reading import read_job

        read = read_job(job)
        extra = _extra_reports(read, stickers, dxf=dxf)
        from lapwright.bars import Saw
        from lapwright.hard import with_all_hard
        from lapwright.planning import make_plan

        saw = Saw(few_stacks, fewer_setups)
        few = prefer is Prefer.SEAMS
        if strict:
            read = with_all_hard(read)
        made = make_plan(
            read, time_limit=time_limit, watcher=watcher, saw=saw, fewest_seams=few
        )
        without = _without(made, shortage, watcher, fewest_seams=few)
        watcher.begin("reports")
        from lapwright_cli.reports import REPORTS, Options, order_text

        options = Options(paper, without, link)
        files = {r.name: r.write(made, options) for r in (*REPORTS, *extra)}
        write_all(out, files)
        watcher.end()
        typer.echo(order_text(made, without), nl=False)
        typer.echo(f"written to {out}: {', '.join(files)}", err=True)
        if timings:
            for stage, seconds in watcher.seconds.items():
                typer.echo(f"{stage:<10} {seconds:7.2f} s", err=True)


def audit(
    plan_file: Annotated[Path, typer.Argument(metavar="PLAN", help="A plan.json.")],
) -> None:
    """Recount a plan from its job and its pieces alone."""
    with guard():
        from lapwright.check import recount
        from lapwright.job.plan_file import read_plan_record

        record = read_plan_record(plan_file)
        faults = recount(record)
        if faults:
            for fault in faults:
                typer.echo(fault, err=True)
            typer.echo(f"{plan_file}: the plan does not stand up to the recount", err=True)
            raise typer.Exit(INPUT)
        pieces = len(record["pieces"]) + len(record["trim"])
        bars = sum(len(material["bars"]) for material in record["materials"])
        typer.echo(f"{plan_file}: the plan stands: {pieces} pieces on {bars} stock lengths")


def _extra_reports(job: Job, layout: str | None, *, dxf: bool) -> list[Report]:
    """Find what is wanted beyond the common reports, before anything is planned."""
    from lapwright_cli.asking import AskingError, MissingExtraError
    from lapwright_cli.reports.extra import (
        dxf_reports,
        sticker_report,
    )

    try:
        found = [] if layout is None else [sticker_report(job, layout)]
        return [*found, *dxf_reports()] if dxf else found
    except AskingError as error:
        raise typer.BadParameter(str(error), param_hint="--stickers") from None
    except MissingExtraError as error:
        raise typer.BadParameter(str(error), param_hint="--dxf") from None


def _without(
    plan: Plan, seconds: float, watcher: Progress, *, fewest_seams: bool
) -> tuple[Without, ...]:
    """Plan without each stock length in turn; stopped by hand, keep what there is."""
    from lapwright.variant import without_each_length

    if not seconds or is_interrupted(plan):
        return ()
    found: list[Without] = []
    with until_stopped():
        tried = without_each_length(
            plan, time_limit=seconds, watcher=watcher, fewest_seams=fewest_seams
        )
        for each in tried:
            if each.other is not None and each.other.status == "interrupted":
                raise KeyboardInterrupt
            found.append(each)
    return tuple(found)
