"""How a command ends: what went wrong in words, and the exit code."""

from __future__ import annotations

from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from lapwright.errors import (
    AuditError,
    Finding,
    InputError,
    LapwrightError,
    NoPlanError,
    Place,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.plan import Plan

DONE, INPUT, NO_PLAN, OURS, STOPPED = 0, 1, 3, 4, 130
"""Exit codes."""


@contextmanager
def guard() -> Iterator[None]:
    """Turn what went wrong into words on stderr and an exit code."""
    try:
        yield
    except InputError as error:
        for finding in error.findings:
            typer.echo(str(finding), err=True)
        count = len(error.findings)
        typer.echo(f"{count} {'fault' if count == 1 else 'faults'} in the input", err=True)
        raise typer.Exit(INPUT) from None
    except AuditError as error:
        for fault in error.faults:
            typer.echo(fault, err=True)
        typer.echo("the plan does not stand up to the recount", err=True)
        raise typer.Exit(OURS) from None
    except NoPlanError as error:
        for reason in error.reasons:
            typer.echo(f"{error.said}: {reason}", err=True)
        raise typer.Exit(NO_PLAN) from None
    except LapwrightError as error:
        typer.echo(f"a fault of ours: {error}", err=True)
        raise typer.Exit(OURS) from None
    except KeyboardInterrupt:
        typer.echo("stopped before there was a plan; nothing was written", err=True)
        raise typer.Exit(STOPPED) from None
    except BrokenPipeError:
        raise typer.Exit(DONE) from None
    except (typer.Exit, typer.BadParameter):
        raise
    except Exception as error:
        import traceback

        where = traceback.extract_tb(error.__traceback__)[-1]
        spot = f"{Path(where.filename).name}:{where.lineno}"
        typer.echo(f"a fault of ours: {type(error).__name__}: {error} ({spot})", err=True)
        raise typer.Exit(OURS) from None


@contextmanager
def until_stopped() -> Iterator[None]:
    """Stop at what there is when it is stopped by hand, and say so."""
    try:
        yield
    except KeyboardInterrupt:
        typer.echo("stopped by hand: what was tried until then is shown", err=True)


def input_error(path: Path, found: str, wanted: str) -> InputError:
    """Make the error of a file or folder that cannot be used."""
    return InputError(Finding(Place(str(path)), found, wanted))


def is_interrupted(plan: Plan) -> bool:
    """Whether the search for a plan was stopped by hand."""
    return any(material.status == "interrupted" for material in plan.materials)
