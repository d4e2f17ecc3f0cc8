"""The commands.  Heavy parts are imported when a command runs, so that help is quick."""

from __future__ import annotations

import sys
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lapwright import __version__
from lapwright.errors import AuditError, InputError, LapwrightError, NoPlanError
from lapwright.measure import Unit
from lapwright_cli.paper import Paper

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lapwright.job.job import Job
    from lapwright.plan import Plan
    from lapwright.variant import Trial, Without
    from lapwright_cli.progress import Progress
    from lapwright_cli.reports import Report

app = typer.Typer(
    name="lapwright",
    help="Lap siding: from a measured house to an order, cut sheets and elevations.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

_DONE, _INPUT, _NO_PLAN, _OURS, _STOPPED = 0, 1, 3, 4, 130

JobFile = Annotated[Path, typer.Argument(metavar="JOB", help="The job file, YAML.")]
Out = Annotated[
    Path, typer.Option("--out", metavar="DIR", help="Folder for the results; made if missing.")
]
TimeLimit = Annotated[
    float,
    typer.Option(min=0.0, metavar="SECONDS", help="For the search; then the best plan counts."),
]
FewStacks = Annotated[
    bool,
    typer.Option("--few-stacks", help="Cut in an order that keeps few sizes waiting."),
]
FewerSetups = Annotated[
    float,
    typer.Option(
        "--fewer-setups",
        min=0.0,
        metavar="SECONDS",
        help="Look so long for fewer ways to cut at the same cost.",
    ),
]
PaperSize = Annotated[
    Paper | None,
    typer.Option(
        "--paper", help="Of everything printed; by default letter, or A4 for metric jobs."
    ),
]
Quiet = Annotated[bool, typer.Option("--quiet", help="No progress on stderr.")]


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


@app.command()
def plan(
    job: JobFile,
    out: Out,
    time_limit: TimeLimit = 10.0,
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
    quiet: Quiet = False,
) -> None:
    """Plan a job: the order, the cut sheets, the elevations and plan.json."""
    from lapwright_cli.progress import Progress

    watcher = Progress(sys.stderr, quiet=quiet)
    with _guard():
        watcher.begin("reading")
        from lapwright.job.reading import read_job

        read = read_job(job)
        extra = _extra_reports(read, stickers, dxf=dxf)
        from lapwright.bars import Saw
        from lapwright.planning import make_plan

        saw = Saw(few_stacks, fewer_setups)
        made = make_plan(read, time_limit=time_limit, watcher=watcher, saw=saw)
        without = _without(made, shortage, watcher)
        watcher.begin("reports")
        from lapwright_cli.reports import REPORTS, Options, order_text

        options = Options(paper, without, link)
        files = {r.name: r.write(made, options) for r in (*REPORTS, *extra)}
        _write_all(out, files)
        watcher.end()
        typer.echo(order_text(made, without), nl=False)
        typer.echo(f"written to {out}: {', '.join(files)}", err=True)
        if timings:
            for stage, seconds in watcher.seconds.items():
                typer.echo(f"{stage:<10} {seconds:7.2f} s", err=True)


@app.command()
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
    paper: PaperSize = None,
    quiet: Quiet = False,
) -> None:
    """Compare stock lengths, materials and starts: each is planned and laid side by side."""
    from lapwright_cli.progress import Progress

    watcher = Progress(sys.stderr, quiet=quiet)
    with _guard():
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
        with _until_stopped():
            for trial in asked:
                if trial.plan is not None and _is_interrupted(trial.plan):
                    raise KeyboardInterrupt
                tried.append(trial)
        watcher.end()
        if not tried:
            raise KeyboardInterrupt
        if all(trial.plan is None for trial in tried):
            raise NoPlanError(*(f"{t.variant.name}: {r}" for t in tried for r in t.reasons))
        made = compare_trials(build_job(form), tried, time_limit)
        if out is not None:
            files = comparison_files(made, paper or paper_for(form.unit))
            _write_all(out, files)
            typer.echo(f"written to {out}: {', '.join(files)}", err=True)
        typer.echo(comparison_text(made), nl=False)


@app.command()
def check(job: JobFile) -> None:
    """Read a job and tell what was understood; plan and write nothing."""
    with _guard():
        from lapwright.job.reading import read_job
        from lapwright_cli.reading import reading_text

        typer.echo(reading_text(read_job(job)), nl=False)


@app.command()
def heights(job: JobFile) -> None:
    """Compare the heights at which the courses could start; plan and write nothing."""
    with _guard():
        from lapwright.job.reading import read_job
        from lapwright_cli.heights import heights_text

        typer.echo(heights_text(read_job(job)), nl=False)


@app.command()
def audit(
    plan_file: Annotated[Path, typer.Argument(metavar="PLAN", help="A plan.json.")],
) -> None:
    """Recount a plan from its job and its pieces alone."""
    with _guard():
        from lapwright.check import recount
        from lapwright.job.plan_file import read_plan_record

        record = read_plan_record(plan_file)
        faults = recount(record)
        if faults:
            for fault in faults:
                typer.echo(fault, err=True)
            typer.echo(f"{plan_file}: the plan does not stand up to the recount", err=True)
            raise typer.Exit(_INPUT)
        pieces = len(record["pieces"]) + len(record["trim"])
        bars = sum(len(material["bars"]) for material in record["materials"])
        typer.echo(f"{plan_file}: the plan stands: {pieces} pieces on {bars} stock lengths")


@app.command()
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
    with _guard():
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
        _write_all(out, {"cut.json": cut_json(found, read)})
        typer.echo(cut_text(found, read), nl=False)


@app.command()
def start(
    job: Annotated[Path, typer.Argument(metavar="NEW.yaml", help="The job file to make.")],
) -> None:
    """Write a commented job file to begin from."""
    from importlib.resources import files

    with _guard():
        text = files("lapwright_cli").joinpath("starter_job.yaml").read_bytes()
        try:
            with job.open("xb") as file:
                file.write(text)
        except FileExistsError:
            raise _input_error(job, "a file that is there already", "a new name") from None
        except OSError as error:
            raise _input_error(job, f"{error.strerror}", "a place to write to") from None
        typer.echo(f"{job}: change it to your house, then: lapwright plan {job} --out DIR")


@app.command()
def schema(
    of: Annotated[str, typer.Argument(metavar="job|plan", help="Which file.")] = "job",
) -> None:
    """Print the JSON Schema of a job file or of plan.json."""
    import json

    if of == "job":
        from lapwright.job.form import schema as made
    elif of == "plan":
        from lapwright.check import plan_schema as made
    else:
        raise typer.BadParameter("job or plan")
    typer.echo(json.dumps(made(), indent=1, ensure_ascii=False))


@app.command()
def catalogue() -> None:
    """List the built-in materials and rules, each value with its source."""
    from lapwright.job.catalogue import entries
    from lapwright.takeoff.convention import CONVENTIONS

    for entry in entries():
        typer.echo(f"{entry.name}: {entry.value}\n    {entry.source}")
    for convention in CONVENTIONS:
        typer.echo(f"convention: {convention.name}\n    {convention.source}")


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


@contextmanager
def _until_stopped() -> Iterator[None]:
    """Stop at what there is when it is stopped by hand, and say so."""
    try:
        yield
    except KeyboardInterrupt:
        typer.echo("stopped by hand: what was tried until then is shown", err=True)


def _is_interrupted(plan: Plan) -> bool:
    return any(material.status == "interrupted" for material in plan.materials)


def _without(plan: Plan, seconds: float, watcher: Progress) -> tuple[Without, ...]:
    """Plan without each stock length in turn; stopped by hand, keep what there is."""
    from lapwright.variant import without_each_length

    if not seconds or _is_interrupted(plan):
        return ()
    found: list[Without] = []
    with _until_stopped():
        for each in without_each_length(plan, time_limit=seconds, watcher=watcher):
            if each.other is not None and each.other.status == "interrupted":
                raise KeyboardInterrupt
            found.append(each)
    return tuple(found)


def _input_error(path: Path, found: str, wanted: str) -> InputError:
    from lapwright.errors import Finding, Place

    return InputError(Finding(Place(str(path)), found, wanted))


@contextmanager
def _guard() -> Iterator[None]:
    """Turn what went wrong into words on stderr and an exit code."""
    try:
        yield
    except InputError as error:
        for finding in error.findings:
            typer.echo(str(finding), err=True)
        count = len(error.findings)
        typer.echo(f"{count} {'fault' if count == 1 else 'faults'} in the input", err=True)
        raise typer.Exit(_INPUT) from None
    except AuditError as error:
        for fault in error.faults:
            typer.echo(fault, err=True)
        typer.echo("the plan does not stand up to the recount", err=True)
        raise typer.Exit(_OURS) from None
    except NoPlanError as error:
        for reason in error.reasons:
            typer.echo(f"no plan exists: {reason}", err=True)
        raise typer.Exit(_NO_PLAN) from None
    except LapwrightError as error:
        typer.echo(f"a fault of ours: {error}", err=True)
        raise typer.Exit(_OURS) from None
    except KeyboardInterrupt:
        typer.echo("stopped before there was a plan; nothing was written", err=True)
        raise typer.Exit(_STOPPED) from None
    except BrokenPipeError:
        raise typer.Exit(_DONE) from None
    except (typer.Exit, typer.BadParameter):
        raise
    except Exception as error:
        import traceback

        where = traceback.extract_tb(error.__traceback__)[-1]
        spot = f"{Path(where.filename).name}:{where.lineno}"
        typer.echo(f"a fault of ours: {type(error).__name__}: {error} ({spot})", err=True)
        raise typer.Exit(_OURS) from None


def _write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files beside the folder, then move them into place, all or none."""
    import shutil
    import tempfile

    try:
        existed = folder.exists()
        folder.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
    except OSError as error:
        raise _input_error(folder, f"{error.strerror}", "a folder to write to") from None
    try:
        for name, content in files.items():
            (beside / name).write_bytes(content)
        for name in files:
            (beside / name).replace(folder / name)
    except OSError as error:
        if not existed:
            shutil.rmtree(folder, ignore_errors=True)
        raise _input_error(folder, f"{error.strerror}", "a folder to write to") from None
    finally:
        shutil.rmtree(beside, ignore_errors=True)
