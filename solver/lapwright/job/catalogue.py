"""The built-in materials and rules, read from data files that name their sources."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from lapwright.job.material import Family, Siding, StockLength, Trim, TrimRole
from lapwright.job.stickers import StickerSheet
from lapwright.measure import Ticks, Unit, read_length


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the catalogue for people: what, value, source."""

    name: str
    value: str
    source: str


@cache
def _table(name: str) -> dict[str, Any]:
    text = files("lapwright.catalogue").joinpath(f"{name}.toml").read_text("utf-8")
    return tomllib.loads(text)


def siding_names() -> tuple[str, ...]:
    """Name the built-in sidings, in the order of the catalogue."""
    return tuple(_table("siding"))


def built_in_siding(name: str) -> Siding:
    """Give a built-in siding by its name.

    Raises
    ------
    KeyError
        The catalogue has no siding of this name.
    """
    entry = _table("siding")[name]
    return Siding(
        name=name,
        family=Family(entry["family"]),
        exposure=read_length(entry["exposure"]["value"], Unit.INCH),
        stock=_stock(entry["stock"]),
        least_exposure=_limit(entry, "least_exposure"),
        greatest_exposure=_limit(entry, "greatest_exposure"),
    )


def _limit(entry: dict[str, Any], name: str) -> Ticks | None:
    """Give a limit of the exposure, None where the panels interlock at one exposure."""
    return read_length(entry[name]["value"], Unit.INCH) if name in entry else None


def built_in_trim(siding_name: str | None, family: Family) -> tuple[Trim, ...]:
    """Give the trim that goes with a siding: by its name, the rest by its family."""
    tables = _table("trim")
    usual = tables["vinyl" if family is Family.LAPPED else "boards"]
    own = _table("siding").get(siding_name or "", {}).get("trim", "")
    return tuple(
        Trim(
            role=TrimRole(role),
            name=entry["name"],
            stock=_stock(entry["stock"]),
            face=read_length(entry["face"], Unit.INCH),
            splice_lap=read_length(entry.get("splice_lap", "0"), Unit.INCH),
            splice_gap=read_length(entry.get("splice_gap", "0"), Unit.INCH),
        )
        for role, entry in (usual | tables.get(own, {})).items()
    )


def default_rules(siding_name: str | None, family: Family, *, cold: bool) -> dict[str, Any]:
    """Give the rules for a siding, lengths in ticks and counts as they are.

    Parameters
    ----------
    siding_name
        A built-in siding, whose own rules then come before the general ones.
    family
        How the ends of two pieces meet.
    cold
        Whether the siding is hung below the temperature from which the gap grows.
    """
    rules: dict[str, Any] = {}
    for name, entry in _table("rules").items():
        value = entry.get("value", entry.get(family.value))
        if cold and f"{family.value}_cold" in entry:
            value = entry[f"{family.value}_cold"]
        rules[name] = _rule_value(value)
    own = _table("siding").get(siding_name or "", {}).get("rules", {})
    return rules | {name: _rule_value(value) for name, value in own.items()}


def cold_below() -> str:
    """Give the temperature below which the larger end gap is left."""
    return str(_table("rules")["end_gap"]["cold_below"])


def group_texts(group: str, family: Family) -> dict[str, str]:
    """Give the texts of an optional group of the job, as they would stand in a job file.

    Parameters
    ----------
    group
        ``thermal``, ``supplies`` or ``estimating``.
    family
        How the ends of two pieces meet; a value of another family is left out.
    """
    values = (
        (name, entry.get("value", entry.get(family.value)))
        for name, entry in _table(group).items()
    )
    return {name: value for name, value in values if value is not None}


def sticker_sheets() -> dict[str, StickerSheet]:
    """Give the common sheets of stickers by their names, in the order of the catalogue."""
    lengths = ("width", "height", "left", "top", "across", "down")
    return {
        name: StickerSheet(
            paper=entry["paper"],
            columns=entry["columns"],
            rows=entry["rows"],
            **{key: read_length(entry[key], Unit.INCH) for key in lengths},
        )
        for name, entry in _table("stickers").items()
    }


def entries() -> tuple[Entry, ...]:
    """List the catalogue for people, each value with its source."""
    lines = []
    for name, entry in _table("siding").items():
        stock = ", ".join(_stock_words(row) for row in entry["stock"])
        lines.append(Entry(f"siding: {name}", f"{entry['family']}; {stock}", entry["source"]))
        for key in ("exposure", "least_exposure", "greatest_exposure"):
            if key in entry:
                words = f"{key.replace('_', ' ')} {entry[key]['value']}"
                lines.append(Entry(f"siding: {name}", words, entry[key]["source"]))
        for rule, value in entry.get("rules", {}).items():
            lines.append(Entry(f"siding: {name}", f"{rule} {value}", entry["rules_source"]))
    for group, roles in _table("trim").items():
        for role, entry in roles.items():
            stock = ", ".join(_stock_words(row) for row in entry["stock"])
            value = f"{entry['name']}; {stock}; face {entry['face']}"
            lines.append(Entry(f"trim ({group}): {role}", value, entry["source"]))
    for table in ("rules", "thermal", "supplies", "estimating"):
        for name, entry in _table(table).items():
            values = "; ".join(
                f"{key.replace('_', ' ')} {value}" if key != "value" else str(value)
                for key, value in entry.items()
                if key not in ("what", "source")
            )
            kind = "rule" if table == "rules" else table
            lines.append(
                Entry(f"{kind}: {name}", f"{values} ({entry['what']})", entry["source"])
            )
    for name, entry in _table("stickers").items():
        value = "; ".join(f"{key} {entry[key]}" for key in entry if key != "source")
        lines.append(Entry(f"stickers: {name}", value, entry["source"]))
    return tuple(lines)


def _rule_value(value: str | int) -> Ticks | int:
    return value if isinstance(value, int) else read_length(value, Unit.INCH)


def _stock(rows: list[dict[str, Any]]) -> tuple[StockLength, ...]:
    stock = (
        StockLength(read_length(row["length"], Unit.INCH), carton=row.get("carton"))
        for row in rows
    )
    return tuple(sorted(stock, key=lambda s: s.length))


def _stock_words(row: dict[str, Any]) -> str:
    carton = f", {row['carton']} a carton" if "carton" in row else ""
    return f"{row['length']}{carton}"
