"""Reading a record: every key that is missing or does not fit is a fault."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lapwright.check.claims import (
    Bar,
    Claims,
    Cut,
    End,
    Figures,
    Line,
    Material,
    Notch,
    Piece,
    Seam,
    TrimPiece,
)
from lapwright.check.fault import fault

if TYPE_CHECKING:
    from collections.abc import Iterator

CUTS = ("factory", "square", "raked")
EDGES = ("sill", "head", "hole", "end")
STATUSES = ("proven", "time limit", "work limit", "interrupted")


@dataclass(frozen=True, slots=True)
class Group:
    """A group of keys of the record, the place where it stands, and the faults so far."""

    place: str
    data: dict[str, Any]
    faults: list[str]

    def miss(self, key: str, wanted: str) -> None:
        """Note that a key does not hold what it must."""
        where = f"{self.place}, {key}" if self.place else key
        found = show(self.data[key]) if key in self.data else "nothing"
        self.faults.append(fault(where, found, wanted))

    def text(self, key: str, options: tuple[str, ...] = ()) -> str:
        """Read a text, if wanted one of some options."""
        value = self.data.get(key)
        if not isinstance(value, str):
            self.miss(key, "a text")
            return ""
        if options and value not in options:
            self.miss(key, "one of " + ", ".join(options))
        return value

    def whole(self, key: str) -> int:
        """Read a whole number."""
        value = self.data.get(key)
        if not isinstance(value, int) or isinstance(value, bool):
            self.miss(key, "a whole number")
            return 0
        return value

    def whole_or_none(self, key: str) -> int | None:
        """Read a whole number, or null."""
        if key in self.data and self.data[key] is None:
            return None
        return self.whole(key)

    def yes(self, key: str) -> bool:
        """Read true or false."""
        value = self.data.get(key)
        if not isinstance(value, bool):
            self.miss(key, "true or false")
            return False
        return value

    def entries(self, key: str) -> list[Any]:
        """Read a list."""
        value = self.data.get(key)
        if not isinstance(value, (list, tuple)):
            self.miss(key, "a list")
            return []
        return list(value)

    def group(self, key: str) -> Group:
        """Read a group of keys."""
        value = self.data.get(key)
        place = f"{self.place}, {key}" if self.place else key
        if not isinstance(value, dict):
            self.miss(key, "a group of keys")
            # Its own keys would only be reported missing one by one.
            return Group(place, {}, [])
        return Group(place, value, self.faults)

    def groups(self, key: str) -> Iterator[Group]:
        """Read a list of groups of keys."""
        for number, value in enumerate(self.entries(key), start=1):
            place = f"{self.place}, {key} {number}" if self.place else f"{key} {number}"
            if isinstance(value, dict):
                yield Group(place, value, self.faults)
            else:
                self.faults.append(fault(place, show(value), "a group of keys"))


def show(value: object) -> str:
    """Write a value of a record for a message, shortened."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "a group of keys"
    if isinstance(value, (list, tuple)):
        return "a list"
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "..."


def read_claims(record: Group) -> Claims:
    """Read what a record claims; what cannot be read is noted in the group's faults."""
    return Claims(
        walls=tuple(_figures(group) for group in record.groups("walls")),
        pieces=tuple(_piece(group) for group in record.groups("pieces")),
        trim=tuple(
            TrimPiece(
                group.text("label"),
                group.text("role"),
                group.text("material"),
                group.text("wall"),
                group.whole("length"),
                group.text("length_text"),
            )
            for group in record.groups("trim")
            # The words for the place are for people; that they are there is enough.
            if isinstance(group.text("place"), str)
        ),
        seams=tuple(
            Seam(
                group.text("wall"),
                group.whole("course"),
                group.whole("run"),
                group.whole("x"),
                group.text("left"),
                group.text("right"),
            )
            for group in record.groups("seams")
        ),
        materials=tuple(_material(group) for group in record.groups("materials")),
        findings=_texts(record, "findings"),
    )


def _texts(record: Group, key: str) -> tuple[str, ...]:
    entries = record.entries(key)
    if any(not isinstance(entry, str) for entry in entries):
        record.miss(key, "a list of texts")
    return tuple(entry for entry in entries if isinstance(entry, str))


def _wholes(group: Group, key: str) -> tuple[int, ...]:
    entries = group.entries(key)
    good = tuple(e for e in entries if isinstance(e, int) and not isinstance(e, bool))
    if len(good) < len(entries):
        group.miss(key, "a list of whole numbers")
    return good


def _figures(group: Group) -> Figures:
    return Figures(
        group.text("wall"),
        group.whole("gross_area"),
        group.whole("opening_area"),
        group.whole("net_area"),
        _wholes(group, "courses"),
        _wholes(group, "top_lines"),
    )


def _end(group: Group) -> End:
    profile = _pairs(group, "profile", "a height and an inset")
    return End(group.text("cut", CUTS), group.text("meets"), profile)


def _pairs(group: Group, key: str, wanted: str) -> tuple[tuple[int, int], ...]:
    points = []
    for number, entry in enumerate(group.entries(key), start=1):
        pair = list(entry) if isinstance(entry, (list, tuple)) else []
        if len(pair) == 2 and all(type(value) is int for value in pair):
            points.append((int(pair[0]), int(pair[1])))
        else:
            group.faults.append(fault(f"{group.place}, {key} {number}", show(entry), wanted))
    return tuple(points)


def _piece(group: Group) -> Piece:
    return Piece(
        label=group.text("label"),
        wall=group.text("wall"),
        course=group.whole("course"),
        run=group.whole("run"),
        siding=group.text("siding"),
        x=group.whole("x"),
        y=group.whole("y"),
        length=group.whole("length"),
        text=group.text("length_text"),
        height=group.whole("height"),
        ripped=group.yes("ripped"),
        left=_end(group.group("left")),
        right=_end(group.group("right")),
        notches=tuple(
            Notch(
                notch.text("opening"),
                notch.text("edge", EDGES),
                notch.whole("start"),
                notch.whole("end"),
                notch.whole("cut_left"),
                notch.whole("cut_right"),
                notch.whole("upper"),
                _pairs(notch, "points", "a length and a height")
                if "points" in notch.data
                else (),
            )
            for notch in group.groups("notches")
        ),
    )


def _material(group: Group) -> Material:
    return Material(
        role=group.text("role"),
        name=group.text("name"),
        status=group.text("status", STATUSES),
        priced=group.yes("priced"),
        bound=group.whole("bound"),
        cost=group.whole("cost"),
        seams_too=group.yes("seams_too"),
        least_seams=group.whole_or_none("least_seams"),
        order=tuple(
            Line(
                line.whole("stock"),
                line.text("stock_text"),
                line.whole("count"),
                line.whole("spare"),
                line.whole_or_none("carton"),
                line.whole_or_none("price"),
            )
            for line in group.groups("order")
        ),
        bars=tuple(
            Bar(
                bar.whole("number"),
                bar.whole("stock"),
                bar.text("stock_text"),
                tuple(
                    Cut(cut.text("label"), cut.whole("start"), cut.whole("end"))
                    for cut in bar.groups("cuts")
                ),
                bar.whole("offcut"),
            )
            for bar in group.groups("bars")
        ),
    )
