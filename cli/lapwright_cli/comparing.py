"""What a comparison is asked for on the command line, turned into variants of a job."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lapwright.errors import NoPlanError
from lapwright.job.catalogue import siding_names
from lapwright.job.material import StockLength
from lapwright.job.reading import build_job, with_material
from lapwright.job.value import read_price
from lapwright.measure import LengthError, Ticks, read_length
from lapwright.variant import Trial, Variant, length_variants, start_variants, try_out
from lapwright_cli.asking import AskingError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lapwright.job.form import JobForm
    from lapwright.job.job import Job
    from lapwright.planning import Watcher


def asked_stock(texts: Sequence[str], job: Job) -> tuple[StockLength, ...]:
    """Read stock lengths as ``LENGTH`` or ``LENGTH@PRICE``; the job's own are known.

    Raises
    ------
    AskingError
        A text is no length or price, a length comes twice, or only some have a price.
    """
    own = {stock.length: stock for stock in job.siding.stock if not stock.is_on_hand}
    found: dict[Ticks, StockLength] = {}
    for text in texts:
        length_text, at, price_text = text.partition("@")
        length = _length(length_text, job)
        if not length:
            raise AskingError(f"{text!r}: a stock length of nothing")
        if length in found:
            raise AskingError(f"{text!r}: the same stock length a second time")
        stock = own.get(length, StockLength(length))
        if at:
            try:
                stock = replace(stock, price=read_price(price_text))
            except ValueError:
                raise AskingError(f"{text!r}: wanted a price such as 11.40 behind @") from None
        found[length] = stock
    priced = [stock.price is not None for stock in found.values()]
    if any(priced) and not all(priced):
        raise AskingError("give each stock length its price, as LENGTH@PRICE, or none")
    return tuple(found.values())


def asked_starts(texts: Sequence[str], job: Job) -> tuple[Ticks | None, ...]:
    """Read heights of the first course; each is told once, and None is the best.

    Raises
    ------
    AskingError
        A text is no length, or every wall has a start of its own.
    """
    if texts and all(wall.start is not None for wall in job.walls):
        raise AskingError("every wall of the job has a start of its own")
    return tuple(dict.fromkeys(_start(text.strip(), job) for text in texts))


def asked_materials(names: Sequence[str]) -> tuple[str, ...]:
    """Check names of sidings of the catalogue; ``all`` is every one of them.

    Raises
    ------
    AskingError
        The catalogue has no siding of a name.
    """
    known = siding_names()
    for name in names:
        if name not in (*known, "all"):
            raise AskingError(f"{name!r}: wanted all, or one of {', '.join(known)}")
    return known if "all" in names else tuple(dict.fromkeys(names))


def trials(
    form: JobForm,
    stock: Sequence[str],
    materials: Sequence[str],
    starts: Sequence[str],
    *,
    time_limit: float,
    watcher: Watcher,
) -> Iterator[Trial]:
    """Plan every variant that is asked for, one after the other.

    Raises
    ------
    AskingError
        As for the options; before anything is planned.
    """
    job = build_job(form)
    lengths, heights = asked_stock(stock, job), asked_starts(starts, job)
    names = asked_materials(materials)
    return _trials(form, job, lengths, heights, names, time_limit, watcher)


def _trials(
    form: JobForm,
    job: Job,
    lengths: Sequence[StockLength],
    heights: Sequence[Ticks | None],
    names: Sequence[str],
    time_limit: float,
    watcher: Watcher,
) -> Iterator[Trial]:
    variants = list(length_variants(job, lengths))
    failed = []
    for name in names:
        try:
            other = with_material(form, name)
        except NoPlanError as error:
            failed.append(Trial(Variant(name, job), None, tuple(error.reasons)))
            continue
        variants += (
            replace(variant, name=f"{name}: {variant.name}")
            for variant in length_variants(other)
        )
    for each in variants:
        for variant in start_variants(each, heights):
            yield try_out(variant, time_limit=time_limit, watcher=watcher)
    yield from failed


def _start(text: str, job: Job) -> Ticks | None:
    if text == "best":
        return None
    below = text.startswith(("-", "−"))
    return Ticks(-_length(text[1:], job)) if below else _length(text, job)


def _length(text: str, job: Job) -> Ticks:
    try:
        return read_length(text.strip(), job.unit)
    except LengthError as error:
        raise AskingError(f"found {error.found}, wanted {error.wanted}") from None
