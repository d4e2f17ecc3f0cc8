"""The ways of runs, against trying all rows of joints."""

from __future__ import annotations

from itertools import combinations, pairwise
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright import ways
from lapwright.job.reading import parse_job
from lapwright.joint.problem import NOWHERE
from lapwright.measure import INCH
from lapwright.siding import lay_out
from lapwright.ways import Choice, choices_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lapwright.job.wall import Wall
    from lapwright.takeoff.run import Run

PLANK, BAY, GAP = 144 * INCH, 16 * INCH, INCH // 8


def choice_of(width: int, first: int, extra: int) -> Choice:
    """Give the ways of one course of planks of 12 ft on a wall so many inches wide."""
    rules = f"{{joint_gap: 1/8, first_stud: {first}, extra_seams: {extra}}}"
    job = parse_job(
        "{job: x, siding: {material: fiber-cement 8-1/4}, rules: " + rules + ","
        f" walls: [{{name: a, width: {width}, height: 7}}]}}",
        "x.yaml",
    )
    runs: list[tuple[Wall, Run]] = [(job.walls[0], s.run) for s in lay_out(job).splits]
    (choice,) = choices_of(runs, job)
    assert isinstance(choice, Choice)
    return choice


def rows_of_studs(run: Run, first: int, extra: int) -> list[tuple[int, ...]]:
    """Try all rows of studs: no piece is longer than a plank, and there are few joints."""
    x, end = int(run.x), int(run.end)
    studs = range(first * INCH, end, BAY)
    studs_in = [s for s in studs if x < s - GAP // 2 and s + GAP // 2 < end]
    found: list[tuple[int, ...]] = []
    fewest = 0
    for joints in range(1, len(studs_in) + 1):
        if fewest and joints > fewest + extra:
            break
        for row in combinations(studs_in, joints):
            edges = [x - GAP // 2, *row, end + GAP // 2]
            if all(b - a - GAP <= PLANK for a, b in pairwise(edges)):
                found.append(row)
                fewest = fewest or joints
    return found


def studs_of(choice: Choice) -> list[tuple[int, ...]]:
    """Give the studs of the joints of every way. [ticks]"""
    rows: Sequence[Sequence[int]] = choice.ways.seams.tolist()
    return [tuple(twice // 2 for twice in row if twice > NOWHERE) for row in rows]


@settings(max_examples=60, derandomize=True, deadline=None)
@given(st.integers(13 * 12, 42 * 12), st.integers(0, 15), st.integers(0, 1))
def test_all_rows_of_joints_are_listed(width: int, first: int, extra: int) -> None:
    """Ways of butted siding are all rows of joints on studs, each once and in order."""
    choice = choice_of(width, first, extra)
    wanted = rows_of_studs(choice.run, first, extra)
    assert choice.is_listed
    assert studs_of(choice) == sorted(wanted, key=lambda row: (len(row), row))


@pytest.mark.parametrize("limit", ["MOST_WAYS", "MOST_IN_ALL"])
def test_of_too_many_rows_some_are_listed(limit: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """All with the fewest joints, and of the others as many as there may be, far apart."""
    every = studs_of(choice_of(400, 0, 1))
    fewest = [row for row in every if len(row) == len(every[0])]
    more = every[len(fewest) :]
    monkeypatch.setattr(ways, "LEAST_WAYS", 0)
    monkeypatch.setattr(ways, limit, len(fewest) + 40)
    choice = choice_of(400, 0, 1)
    listed = studs_of(choice)
    assert not choice.is_listed
    assert listed[: len(fewest)] == fewest
    places = [more.index(row) for row in listed[len(fewest) :]]
    assert len(places) == 40
    steps = {b - a for a, b in pairwise(places)}
    assert steps <= {len(more) // 40, len(more) // 40 + 1}
