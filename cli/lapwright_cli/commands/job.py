"""The commands about a job file: beginning one, and telling what is in it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from lapwright_cli.commands.ending import guard, input_error
from lapwright_cli.commands.options import JobFile


def check(job: JobFile) -> None:
    """Read a job and tell what was understood; plan and write nothing."""
    with guard():
        from lapwright.job.reading import read_job
        from lapwright_cli.reading import reading_text

        typer.echo(reading_text(read_job(job)), nl=False)


def heights(job: JobFile) -> None:
    """Compare the heights at which the courses could start; plan and write nothing."""
    with guard():
        from lapwright.job.reading import read_job
        from lapwright_cli.heights import heights_text

        typer.echo(heights_text(read_job(job)), nl=False)


def start(
    job: Annotated[Path, typer.Argument(metavar="NEW.yaml", help="The job file to make.")],
) -> None:
    """Write a commented job file to begin from."""
    from importlib.resources import files

    with guard():
        text = files("lapwright_cli").joinpath("starter_job.yaml").read_bytes()
        try:
            with job.open("xb") as file:
                file.write(text)
        except FileExistsError:
            raise input_error(job, "a file that is there already", "a new name") from None
        except OSError as error:
            raise input_error(job, f"{error.strerror}", "a place to write to") from None
        typer.echo(f"{job}: change it to your house, then: lapwright plan {job} --out DIR")
