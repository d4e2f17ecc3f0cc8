"""A stranger at the saw: the list of cuts is rebuilt from the text of the cut sheets alone.

The reader below knows only what the cover of the sheets tells: what a sheet number, a bar,
a mark and a label are.  It uses no code of the project.
"""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from lapwright.job.reading import parse_job, read_job
from lapwright.planning import make_plan
from lapwright.record import plan_record
from lapwright_cli.reports.cutsheets import cut_sheets_pdf
from tests.cli.reports.reading_back import words

INCHES = r'(?:\d+(?:-\d+/\d+)?|\d+/\d+)"'
MILLIMETRES = r"\d+(?:\.\d+)? mm"
MARK = rf"(?:{INCHES}|{MILLIMETRES})"
HEAD = re.compile(
    r"(?P<sheet>\d+) Take (?P<many>\d+) (?P<kind>stock length|leftover)s? of (?P<stock>.*?)"
    r"(?:, (?:cut each alike|whole, no cut|no crosscut))?"
    r" (?:(?P<count>\d+) bars Bars|bars?) (?P<bars>\d+(?:–\d+)?(?:, \d+(?:–\d+)?)*)\.?"
)
ROW = re.compile(rf"(?P<place>\d+) (?P<start>{MARK}) (?P<end>{MARK}) {MARK} (?:left|both) ")
LABEL = re.compile(r"(?<![\w.-])[A-Z]+(?:\d+\.\d+|-[A-Z]+\d+)(?![\w.-])")
AFTER = re.compile(r"Marks below|Offcut|No offcut|so far|\btick bar")


LEFTOVERS = """\
job: Shed with a pile behind it
siding:
  material: vinyl double 4
  stock: [{length: 12' 6", price: 11}, {length: 16' 8", price: 15.20}]
  leftovers: [{length: 7' 2", count: 6, ends: both}, {length: 55, count: 5, ends: both}]
trim:
  starter: {stock: [{length: 10', price: 6}], leftovers: [{length: 93, count: 2}]}
rules: {extra_seams: 1}
walls:
  - name: Front
    width: 23' 4"
    height: 8'
    openings:
      - {name: D, kind: door, x: 5' 6", sill: 0, width: 36, height: 80}
      - {name: W, kind: window, x: 13', sill: 34-1/2", width: 24, height: 36}
  - {name: Side, width: 15', height: 8', gable: {pitch: 6/12}}
"""


class Cut(NamedTuple):
    """A cut as the sheets tell it; lengths in inches or millimetres."""

    bar: int
    kind: str
    """``stock length`` or ``leftover``."""
    stock: Fraction
    start: Fraction
    end: Fraction
    label: str


def number(text: str) -> Fraction:
    """Read a mark of the tape."""
    whole, _, part = text.removesuffix('"').removesuffix(" mm").partition("-")
    return Fraction(whole) + (Fraction(part) if part else 0)


def counted(text: str) -> list[int]:
    """Read a list of bars such as 1–3, 7."""
    bars: list[int] = []
    for span in text.split(", "):
        first, _, last = span.partition("–")
        bars += range(int(first), int(last or first) + 1)
    return bars


def cuts_of(text: str) -> list[Cut]:
    """Rebuild all cuts from the text of the sheets."""
    heads = list(HEAD.finditer(text))
    assert [int(head["sheet"]) for head in heads] == list(range(1, len(heads) + 1))
    ends = [*(head.start() for head in heads[1:]), len(text)]
    found: list[Cut] = []
    for head, end in zip(heads, ends, strict=True):
        found += cuts_of_sheet(head, text[head.end() : end])
    return found


def cuts_of_sheet(head: re.Match[str], body: str) -> list[Cut]:
    """Rebuild the cuts of one sheet: each bar has the same marks and its own labels."""
    bars = counted(head["bars"])
    assert len(bars) == int(head["many"]) == int(head["count"] or head["many"])
    stock, kind = number(re.findall(MARK, head["stock"])[-1]), head["kind"]
    rows = list(ROW.finditer(body))
    if not rows:
        # Nothing is crosscut: each label is a whole stock length.
        labels = LABEL.findall(body[: body.index("ends:")])
        whole = (kind, stock, Fraction(0), stock)
        return [Cut(bar, *whole, name) for bar, name in zip(bars, labels, strict=True)]
    marks = [(number(row["start"]), number(row["end"])) for row in rows]
    stops = [*(row.start() for row in rows[1:]), len(body)]
    beside = [
        LABEL.findall(AFTER.split(body[row.end() : stop])[0])
        for row, stop in zip(rows, stops, strict=True)
    ]
    if not any(beside):
        beside = [[] for _ in rows]
        for block in body.split("tick bar")[1:]:
            names = LABEL.findall(AFTER.split(block)[0])
            across = len(names) // len(rows)
            for place in range(len(rows)):
                beside[place] += names[place * across : (place + 1) * across]
    return [
        Cut(bar, kind, stock, start, end, label)
        for (start, end), labels in zip(marks, beside, strict=True)
        for bar, label in zip(bars, labels, strict=True)
    ]


def cuts_of_plan(record: dict[str, Any]) -> list[Cut]:
    """List the cuts as plan.json has them; what costs nothing is a leftover there."""
    metric = record["job"]["unit"] == "mm"
    per = record["ticks_per_millimetre" if metric else "ticks_per_inch"]
    return [
        Cut(
            bar["number"],
            "leftover" if bar["stock"] in free else "stock length",
            Fraction(bar["stock"], per),
            Fraction(cut["start"], per),
            Fraction(cut["end"], per),
            cut["label"],
        )
        for material in record["materials"]
        for free in [{line["stock"] for line in material["order"] if line["price"] == 0}]
        for bar in material["bars"]
        for cut in bar["cuts"]
    ]


@pytest.mark.parametrize("demo", ["alder_bend_cottage", "gravel_lane_house"])
def test_the_cut_sheets_alone_give_the_cuts_of_the_plan(demo: str) -> None:
    """Every cut once, on its bar, at its marks, with its label, and none besides."""
    plan = make_plan(read_job(Path(f"demo_jobs/{demo}.yaml")), time_limit=3.0)
    wanted = cuts_of_plan(plan_record(plan))
    found = cuts_of(words(cut_sheets_pdf(plan)).replace("\u00a0", " "))
    assert len(found) == len(wanted) > 200
    assert sorted(found) == sorted(wanted)


def test_leftovers_and_several_stock_lengths_are_told_apart() -> None:
    """Two lengths that are bought and two that are on hand, of siding and of trim."""
    plan = make_plan(parse_job(LEFTOVERS, "shed.yaml"), time_limit=3.0)
    wanted = cuts_of_plan(plan_record(plan))
    found = cuts_of(words(cut_sheets_pdf(plan)).replace("\u00a0", " "))
    assert sorted(found) == sorted(wanted)
    kinds = {(cut.kind, cut.stock) for cut in found}
    assert {kind for kind, _ in kinds} == {"leftover", "stock length"}
    assert len({stock for _, stock in kinds}) > 3
