"""Reports that are written only where they are asked for."""

from __future__ import annotations

from importlib.util import find_spec
from typing import TYPE_CHECKING

from lapwright.job.catalogue import sticker_sheets
from lapwright_cli.asking import AskingError, MissingExtraError
from lapwright_cli.reports import Report

if TYPE_CHECKING:
    from lapwright.job.job import Job
    from lapwright.job.stickers import StickerSheet

_OWN = "job"
"""Asks for the sheet of stickers that the job describes."""


def sticker_report(job: Job, layout: str) -> Report:
    """Give the report of stickers on a sheet of the catalogue, or on the job's own.

    Parameters
    ----------
    job
        The job.
    layout
        ``job``, or the name of a sheet of the catalogue or its beginning.

    Raises
    ------
    AskingError
        There is no such sheet, or more than one.
    """
    from lapwright_cli.reports.stickers import stickers_pdf

    sheet = _sheet(job, layout)
    return Report("stickers.pdf", lambda plan, options: stickers_pdf(plan, sheet, options.link))


def dxf_reports() -> tuple[Report, ...]:
    """Give the reports that are drawings for CAD.

    Raises
    ------
    MissingExtraError
        The library that writes them is not installed.
    """
    if find_spec("ezdxf") is None:
        raise MissingExtraError("drawings need the extra: pip install 'lapwright[dxf]'")
    from lapwright_cli.reports.dxf import cut_sheets_dxf, elevations_dxf

    return (
        Report("elevations.dxf", lambda plan, _: elevations_dxf(plan)),
        Report("cut-sheets.dxf", lambda plan, _: cut_sheets_dxf(plan)),
    )


def _sheet(job: Job, layout: str) -> StickerSheet:
    asked = " ".join(layout.split())
    if asked == _OWN:
        if job.stickers is None:
            raise AskingError("the job has no group 'stickers'")
        return job.stickers
    known = sticker_sheets()
    if asked in known:
        return known[asked]
    found = [name for name in known if asked and name.startswith(asked)]
    if len(found) != 1:
        several = "more than one sheet begins so" if found else "no such sheet"
        names = "; ".join(found or known)
        raise AskingError(f"{layout!r}: {several}; wanted job, or one of: {names}")
    return known[found[0]]
