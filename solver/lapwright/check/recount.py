"""The recount of a whole plan: every fault of it, or none."""

from __future__ import annotations

import json
from collections import Counter
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from lapwright.check.areas import judge_areas
from lapwright.check.bars import judge_materials
from lapwright.check.curves import judge_curve
from lapwright.check.fault import fault, one_of
from lapwright.check.grid import judge_corners
from lapwright.check.joints import judge_seams
from lapwright.check.layout import lay_job
from lapwright.check.pieces import judge_order, judge_pieces
from lapwright.check.reading import Group, read_claims, show
from lapwright.check.soffits import judge_soffits, read_soffits
from lapwright.check.stretches import judge_trim, pieces_of
from lapwright.check.supplies import judge_supplies, read_supplies
from lapwright.check.surround import notched_sills
from lapwright.errors import AuditError, InputError
from lapwright.job.reading import job_of_data
from lapwright.job.wall import OpeningShape
from lapwright.measure import INCH, MILLIMETRE, write_length

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lapwright.check.claims import Claims, Piece, TrimPiece
    from lapwright.job.job import Job

FORMAT = 1
"""The form of ``plan.json`` that is understood here."""


def recount(record: dict[str, Any]) -> tuple[str, ...]:
    """Recount a plan from its record alone.

    Parameters
    ----------
    record
        The content of ``plan.json``.

    Returns
    -------
    tuple of str
        Every fault as one sentence: where, what was found, what was wanted.  Empty
        where the plan stands.  A record that cannot be read gives the faults of its
        form only.
    """
    whole: object = record
    if not isinstance(whole, dict):
        return (fault("the plan", show(whole), "a group of keys"),)
    faults: list[str] = []
    top = Group("", record, faults)
    if top.whole("format") != FORMAT and not faults:
        return (fault("format", show(record["format"]), FORMAT),)
    top.text("made_by")
    for key, ticks in (("ticks_per_inch", INCH), ("ticks_per_millimetre", MILLIMETRE)):
        if top.whole(key) != ticks and type(record.get(key)) is int:
            top.miss(key, str(int(ticks)))
    claims = read_claims(top)
    supplies = read_supplies(top)
    panels = read_soffits(top)
    job = _read_job(top)
    if faults or job is None:
        return tuple(faults)
    return (
        *_judge(claims, job),
        *judge_soffits(panels, claims, job, pieces_of),
        *judge_supplies(supplies, claims, job),
    )


def require(record: dict[str, Any]) -> None:
    """Let a plan pass only if it stands.

    Raises
    ------
    AuditError
        The plan does not agree with its job; carries every fault.
    """
    faults = recount(record)
    if faults:
        raise AuditError(*faults)


def plan_schema() -> dict[str, Any]:
    """Give the JSON Schema of ``plan.json``."""
    text = files("lapwright.schemas").joinpath("plan.schema.json").read_text("utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema


def _read_job(top: Group) -> Job | None:
    data = top.group("job").data
    if not isinstance(top.data.get("job"), dict):
        return None
    try:
        # Through JSON, so that a record in memory is read as one from a file.
        return job_of_data(json.loads(json.dumps(data)))
    except InputError as error:
        top.faults.extend(
            fault(f"job, {finding.place.key}", finding.found, finding.wanted)
            for finding in error.findings
        )
    except (TypeError, ValueError, RecursionError) as error:
        top.faults.append(fault("job", f"data that is no JSON ({error})", "the data of a job"))
    return None


def _judge(claims: Claims, job: Job) -> Iterator[str]:
    yield from judge_areas(claims.walls, job)
    yield from judge_corners(claims.findings, job)
    yield from _judge_labels(claims, job)
    yield from judge_order(claims.pieces, [wall.mark for wall in job.walls])
    names = [siding.name for siding in job.sidings]
    known = {piece.label for piece in claims.pieces}
    openings = {wall.mark: wall.openings for wall in job.walls}
    notched: dict[str, dict[str, list[int]]] = {}
    for part, courses in lay_job(job):
        own = [
            p for p in claims.pieces if p.siding == part.siding.name or p.siding not in names
        ]
        labels = {piece.label for piece in own}
        # A seam that names no piece at all is told with the first siding.
        seams = [
            s
            for s in claims.seams
            if s.left in labels or (part.siding.name == names[0] and s.left not in known)
        ]
        yield from judge_pieces(own, courses, part)
        yield from judge_seams(seams, own, courses, claims.findings, part)
        for mark, laid in courses.items():
            notched.setdefault(mark, {}).update(notched_sills(openings[mark], laid, part))
    for piece in claims.pieces:
        if piece.siding not in names:
            yield fault(f"piece {piece.label}, siding", piece.siding, one_of(names))
    yield from judge_trim(claims.trim, notched, job)
    yield from judge_materials(claims, job)
    for wall in job.walls:
        for opening in wall.openings:
            told = any(opening.name in finding for finding in claims.findings)
            where = f"opening {opening.name} of wall {wall.mark}"
            if opening.shape in (OpeningShape.ROUND, OpeningShape.ARCHED) and not told:
                yield fault(where, "no finding", "one that its curve is to be traced")
            yield from judge_curve(opening, where)


def _judge_labels(claims: Claims, job: Job) -> Iterator[str]:
    pieces: tuple[Piece | TrimPiece, ...] = (*claims.pieces, *claims.trim)
    for label, count in Counter(piece.label for piece in pieces).items():
        if count > 1 or not label:
            yield fault(f"label {label!r}", f"it {count} times", "a label once in the plan")
    for piece in pieces:
        text = write_length(piece.length, job.unit)
        if piece.text != text:
            yield fault(f"piece {piece.label}, length_text", piece.text, text)
