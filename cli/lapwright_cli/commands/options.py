"""Options that several commands share."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from lapwright_cli.paper import Paper

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


class Prefer(StrEnum):
    """What a plan has the least of first."""

    STOCK = "stock"
    SEAMS = "seams"
