"""The story poles as a PDF: strips at full size to tape together, and tables to mark by."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lapwright.measure import INCH, MILLIMETRE, Unit
from lapwright_cli.paper import Paper, paper_for
from lapwright_cli.reports.drawing import CAPITAL, Drawing, box, text_width
from lapwright_cli.reports.legend import breakable
from lapwright_cli.reports.poles import Mark, MarkKind, Pole, poles
from lapwright_cli.reports.setting import set_pages
from lapwright_cli.reports.writing import MADE_BY, on_tape, on_wall, plain, shortened

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from lapwright.plan import Plan

_POINTS = 72.0 / INCH
"""Full size. [pt / tick]"""
_TAB = 26.0
"""What a strip goes on above its upper end, to be taped on. [pt]"""
_RULER = 22.0
"""Room for the ruler at a strip's left side. [pt]"""
_SMALL = 8.0
"""Size of the texts on a strip. [pt]"""
_LINE = 9.5
"""From one text to the next, at least. [pt]"""
_STRUCK = 4.0
"""A line so near to the middle of a number strikes it out. [pt]"""
_CROSS = 7.0
"""Half of a mark that must meet another where strips are taped together. [pt]"""
_ON_A_PAGE = 3


@dataclass(frozen=True, slots=True)
class _Scale:
    """What a unit asks of the strips."""

    strip: int
    """Height of a strip between its two ends; both papers have room for it. [ticks]"""
    small: int
    """From one line of the ruler to the next. [ticks]"""
    check: int
    """Length of the check bar. [ticks]"""
    check_words: str


_SCALES = {
    False: _Scale(9 * INCH, INCH // 2, 6 * INCH, "6 inches"),
    True: _Scale(230 * MILLIMETRE, 10 * MILLIMETRE, 150 * MILLIMETRE, "150 mm"),
}
"""By whether the unit is metric."""
_STRIP_WIDTH = {Paper.LETTER: 160.0, Paper.A4: 155.0}
"""[pt]"""


def story_pole_pdf(plan: Plan, paper: Paper | None = None) -> bytes:
    """Set the story poles of a plan on pages, the same bytes for the same plan.

    Parameters
    ----------
    plan
        A checked plan.
    paper
        If not given, US letter where the job is in feet or inches, A4 where it is metric.
    """
    return set_pages("story_pole.typ", pole_data(plan, paper))


def pole_data(plan: Plan, paper: Paper | None = None) -> dict[str, Any]:
    """Give all that stands on the story poles as plain data, texts and strokes."""
    unit = plan.job.unit
    paper, name = paper or paper_for(unit), plain(plan.job.name)
    scale = _SCALES[unit.is_metric]
    check = Drawing(30.0, scale.check * _POINTS)
    check.line(15, 0, 15, check.height, 1.2)
    for y in (0.0, check.height):
        check.line(6, y, 24, y, 1.2)
    return {
        "paper": paper.typst_name,
        "title": f"Story pole: {name}",
        "job": breakable(name),
        "made_by": MADE_BY,
        "foot": f"Story pole · {MADE_BY} · {shortened(name, 60)}",
        "check": _data(check),
        "check_words": scale.check_words,
        "poles": [_pole(pole, _STRIP_WIDTH[paper], unit) for pole in poles(plan)],
    }


def mark_rows(pole: Pole, unit: Unit) -> list[tuple[str, str, str]]:
    """List the marks of a pole from the bottom up: on the tape, in feet, and what it is.

    On a metric tape the second is empty.
    """
    return [
        (
            on_tape(mark.height, unit),
            "" if unit.is_metric else on_wall(mark.height, unit),
            mark.text,
        )
        for mark in pole.marks
    ]


def _pole(pole: Pole, width: float, unit: Unit) -> dict[str, Any]:
    # Whole lines of the ruler, so that each strip begins with one.
    scale = _SCALES[unit.is_metric]
    origin = min(mark.height for mark in pole.marks) // scale.small * scale.small
    many = max(1, -(-(pole.marks[-1].height - origin) // scale.strip))
    strips = [_strip(pole, origin, number, many, width, unit) for number in range(many)]
    return {
        "name": breakable(pole.name),
        "zero": breakable(pole.zero),
        "feet": not unit.is_metric,
        "rows": [[breakable(cell) for cell in row] for row in mark_rows(pole, unit)],
        "pages": [strips[i : i + _ON_A_PAGE] for i in range(0, len(strips), _ON_A_PAGE)],
    }


def _strip(
    pole: Pole, origin: int, number: int, many: int, width: float, unit: Unit
) -> dict[str, Any]:
    """Draw one strip of a pole at full size."""
    scale = _SCALES[unit.is_metric]
    low, high = origin + number * scale.strip, origin + (number + 1) * scale.strip
    tall, order, is_last = scale.strip * _POINTS, number + 1, number == many - 1
    drawing = Drawing(width, tall + _TAB)
    base = tall + _TAB

    def down(height: int) -> float:
        return base - (height - low) * _POINTS

    # The outline to cut along; the tab above goes behind the strip that follows.
    drawing.area(box(0, _TAB, drawing.width, base), "", 0.5)
    if not is_last:
        drawing.area(box(0, 0, drawing.width, _TAB), "", 0.3)
        drawing.text(drawing.width / 2, 10, f"tape under {order + 1}", _SMALL)
    taken: list[tuple[float, float]] = []
    for y, name in ((base, f"{order - 1}|{order}"), (_TAB, f"{order}|{order + 1}")):
        is_end = (y == base and number == 0) or (y == _TAB and is_last)
        if not is_end:
            _register(drawing, y, name, drawing.width)
            taken.append((y - _CROSS, y + _CROSS))
    told = [down(m.height) for m in pole.marks]
    _ruler(drawing, low, high, scale.small, down, told, unit)
    own = [m for m in pole.marks if low <= m.height < high or (is_last and m.height == high)]
    _put_marks(drawing, own, down, taken, unit)
    return {
        "title": f"{order} of {many}",
        "drawing": _data(drawing),
    }


def _register(drawing: Drawing, y: float, name: str, width: float) -> None:
    """Draw the marks that must meet where two strips are taped together."""
    for x in (30.0, width - 12):
        drawing.line(x - _CROSS, y, x + _CROSS, y, 1.2)
        drawing.line(x, y - _CROSS, x, y + _CROSS, 1.2)
        drawing.area(((x - 4, y), (x, y - 4), (x + 4, y), (x, y + 4)), "", 0.8)
    drawing.plate(width - 34, y - 3, name, 7.0)


def _ruler(
    drawing: Drawing,
    low: int,
    high: int,
    step: int,
    down: Callable[[int], float],
    told: Sequence[float],
    unit: Unit,
) -> None:
    """Draw a ruler at the left side, to lay a tape against.

    Where the line of a mark would strike its number out, there is none: the mark has it.
    """
    for number in range(-(-low // step), high // step + 1):
        height = number * step
        is_long = number % (10 if unit.is_metric else 2) == 0
        long = 12.0 if is_long else 6.0
        drawing.line(0, down(height), long, down(height), 0.4)
        is_struck = any(abs(down(height) - y) < _STRUCK for y in told)
        if is_long and low < height < high and not is_struck:
            text = on_tape(height, unit).removesuffix('"').removesuffix(" mm")
            drawing.text(13 + text_width(text, 6) / 2, down(height) - 6 * CAPITAL / 2, text, 6)


def _put_marks(
    drawing: Drawing,
    marks: Sequence[Mark],
    down: Callable[[int], float],
    taken: list[tuple[float, float]],
    unit: Unit,
) -> None:
    """Draw the marks of a strip; texts that would touch are moved apart and tied.

    `taken` is where no text may stand, from and to; it comes to hold the texts as well.
    """
    left, right = _RULER + 8, drawing.width - 4
    most = int((right - left - 4) / text_width("0", _SMALL))
    courses = [mark for mark in marks if mark.kind is MarkKind.COURSE]
    for mark in marks:
        y = down(mark.height)
        if mark.kind is MarkKind.COURSE:
            drawing.line(0, y, drawing.width, y, 1.4)
            drawing.area(((left - 6, y), (left, y - 5), (left, y + 5)), "black", 0)
        else:
            drawing.line(0, y, drawing.width, y, 0.7, dash=True)
    edges = sorted({down(mark.height) for mark in marks})
    # Course lines are told first, so that they stand at their own line.
    for mark in [*courses, *(mark for mark in marks if mark not in courses)]:
        lines = _wrapped(f"{on_tape(mark.height, unit)} {mark.text}", most)
        tall = len(lines) * _LINE
        y = down(mark.height)
        others = [] if mark.kind is MarkKind.COURSE else edges
        top = _free(y, tall, taken, others, drawing.height)
        taken.append((top, top + tall))
        for i, text in enumerate(lines):
            middle = left + 4 + text_width(text, _SMALL) / 2
            drawing.plate(middle, top + i * _LINE + 2, text, _SMALL)
        if not y - tall - 2 <= top <= y + 2:
            drawing.line(left, y, left + 3, top + tall / 2, 0.4)


def _free(
    y: float,
    tall: float,
    taken: Sequence[tuple[float, float]],
    edges: Sequence[float],
    foot: float,
) -> float:
    """Find the place for the text of a line, where no other text is. [pt]

    It covers as few other lines as can be, and is else as near to its own as it goes.
    """
    wanted = [y - tall - 1.5, y + 1.5]
    wanted += [at for edge in edges for at in (edge - tall - 1.5, edge + 1.5)]
    wanted += [at for low, high in taken for at in (low - tall - 0.5, high + 0.5)]
    fitting = [
        top
        for top in wanted
        if top >= 0
        and top + tall <= foot
        and not any(a < top + tall and top < b for a, b in taken)
    ]

    def covered(top: float) -> int:
        return sum(top + 1 < edge < top + tall - 1 for edge in edges)

    return min(
        fitting, key=lambda top: (covered(top), abs(top + tall / 2 - y)), default=y - tall
    )


def _wrapped(text: str, most: int) -> list[str]:
    """Break a text into lines of at most so many letters."""
    lines = [""]
    for word in text.split(" "):
        while len(word) > most:
            lines.append(word[:most])
            word = word[most:]
        if lines[-1] and len(lines[-1]) + 1 + len(word) > most:
            lines.append(word)
        else:
            lines[-1] = f"{lines[-1]} {word}".strip()
    return [line for line in lines if line]


def _data(drawing: Drawing) -> dict[str, Any]:
    return {
        "width": round(drawing.width, 2),
        "height": round(drawing.height, 2),
        "strokes": drawing.strokes,
    }
