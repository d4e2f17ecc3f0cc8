"""The commands that tell what is built in: values with their sources, and schemas."""

from __future__ import annotations

from typing import Annotated

import typer


def catalogue() -> None:
    """List the built-in materials and rules, each value with its source."""
    from lapwright.job.catalogue import entries
    from lapwright.takeoff.convention import CONVENTIONS

    for entry in entries():
        typer.echo(f"{entry.name}: {entry.value}\n    {entry.source}")
    for convention in CONVENTIONS:
        typer.echo(f"convention: {convention.name}\n    {convention.source}")


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
