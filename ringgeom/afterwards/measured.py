"""The castings of a ring as they came out, against what they should be; what the shop learns."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from ringgeom.afterwards.expected import expected, pattern_percent
from ringgeom.errors import InputError, Problem
from ringgeom.jobs import Job
from ringgeom.making.ledger import Ledger, ledger
from ringgeom.making.part import Part
from ringgeom.making.shop_numbers import Proposal, ProposedLoss, proposed, proposed_loss
from ringgeom.making.shrinkage import Measured, Shrinkage, shrinkage
from ringgeom.readings import CastingRead, LedgerRead, Readings
from ringgeom.shop import MOST_COUNT, MOST_ISSUED_G, AlloyShrink, LossFrom, Shop

Lines = Mapping[tuple[str | int, ...], int]

FAR_FROM_DESIGN = 0.25
"""A finished weight this far from the design's, as a share, is asked about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobMeasured:
    """What was read on one ring's castings, and what it teaches.

    Attributes
    ----------
    shrinkages : tuple of Shrinkage
        One for each casting of which something was read.
    pattern_percent : tuple of float or None
        For each, by how much its pattern itself was smaller than its file [percent]; None
        where the pattern was not measured.
    not_read : tuple of str
        Parts of which nothing was read.
    ledgers : tuple of Ledger
        One for each melt.
    proposals : tuple of Proposal
        A shrink for each alloy that can be learnt of.
    loss : ProposedLoss or None
        A melt loss.
    words : tuple of str
        What else is to be told.
    """

    job: Job
    readings: Readings
    shrinkages: tuple[Shrinkage, ...]
    pattern_percent: tuple[float | None, ...]
    not_read: tuple[str, ...]
    ledgers: tuple[Ledger, ...]
    proposals: tuple[Proposal, ...]
    loss: ProposedLoss | None
    words: tuple[str, ...]

    @property
    def teaches(self) -> bool:
        """Whether there is any figure that the shop file could take in."""
        return bool(self.proposals) or self.loss is not None

    def learnt(self) -> Shop:
        """The shop with the figures proposed."""
        shop = self.job.shop
        figures = {
            one.alloy_name: AlloyShrink(
                percent=one.percent, castings=min(one.count, MOST_COUNT), date=one.on
            )
            for one in self.proposals
        }
        shrink = shop.shrink.model_copy(update={"alloy": {**shop.shrink.alloy, **figures}})
        casting = shop.casting
        if (loss := self.loss) is not None:
            of = LossFrom(
                melts=min(loss.melts, MOST_COUNT),
                issued_g=min(loss.issued_g, MOST_ISSUED_G),
                date=loss.on,
            )
            casting = casting.model_copy(
                update={"melt_loss_percent": loss.percent, "melt_loss_from": of}
            )
        return shop.model_copy(update={"shrink": shrink, "casting": casting})


def measured(job: Job, readings: Readings, lines: Lines | None = None) -> JobMeasured:
    """Shrink, porosity and loss of a ring's castings, and the shop numbers that follow.

    Parameters
    ----------
    job : Job
        As it was cast; a design that is stopped has no castings.
    lines : mapping, optional
        Line of every key of the file of readings.

    Raises
    ------
    InputError
        Nothing was read; a part or an alloy that the ring does not have; a reading that cannot
        be: in inches, a radius, of another part.
    """
    problems: list[Problem] = []
    found: list[Shrinkage] = []
    patterns: list[float | None] = []
    for number, read in enumerate(readings.castings):
        if read.is_empty:
            continue
        where = ("casting", number)
        try:
            part = _part(job, read)
            found.append(shrinkage(expected(part, read), _measured(job, readings, read)))
            patterns.append(pattern_percent(part, read))
        except InputError as error:
            problems += _placed(error, f'casting {number + 1} "{read.part}"', where, lines)
    books: list[Ledger] = []
    for number, kept in enumerate(readings.ledgers):
        try:
            books.append(_ledger(job, readings, kept))
        except InputError as error:
            name = f'ledger {number + 1} "{kept.alloy}"'
            problems += _placed(error, name, ("ledger", number), lines)
    if not problems and not found and not books:
        problems.append(
            Problem(
                text="nothing was read on any casting",
                allowed="a [[casting]] with one measure or a weight, or a [[ledger]]",
            )
        )
    if problems:
        raise InputError(problems)
    read_names = {one.expected.part for one in found}
    proposals, words = _proposals(job, readings, found)
    loss = _loss(job, readings, books)
    if readings.accepted is not None:
        # the shop counts them already: what follows from them is in its figures
        proposals, loss = (), None
        words = [f"the shop file took these readings in on {readings.accepted.isoformat()}"]
    return JobMeasured(
        job=job,
        readings=readings,
        shrinkages=tuple(found),
        pattern_percent=tuple(patterns),
        not_read=tuple(part.name for part in job.parts if part.name not in read_names),
        ledgers=tuple(books),
        proposals=proposals,
        loss=loss,
        words=(*words, *_far_from_design(job, books)),
    )


def _placed(
    error: InputError, where: str, key: tuple[str | int, ...], lines: Lines | None
) -> Iterator[Problem]:
    line = (lines or {}).get(key)
    for problem in error.problems:
        yield replace(problem, where=where, line=line)


def _part(job: Job, read: CastingRead) -> Part:
    by_name = {part.name: part for part in job.parts}
    if read.part in by_name:
        return by_name[read.part]
    raise _none_such(f"{job.design.job.name} has no such part", read.part, by_name)


def _none_such(text: str, said: str, known: Iterable[str]) -> InputError:
    """The refusal of a name that is none of those known."""
    names = list(known)
    near = difflib.get_close_matches(said, names, n=1, cutoff=0.4)
    return InputError(
        Problem(
            text=text,
            value=f'"{said}"',
            allowed=", ".join(names),
            nearest=near[0] if near else "",
        )
    )


def _balance_g(job: Job, readings: Readings) -> float:
    return job.shop.melt.balance_g if readings.balance_g is None else readings.balance_g


def _measured(job: Job, readings: Readings, read: CastingRead) -> Measured:
    return Measured(
        part=read.part,
        bore_mm=read.bore_mm,
        outside_mm=read.outside_mm,
        width_mm=read.width_mm,
        weight_g=read.weight_g,
        water_g=read.water_g,
        calliper_mm=readings.calliper_mm,
        balance_g=_balance_g(job, readings),
        temperature_c=readings.water_c,
    )


def _ledger(job: Job, readings: Readings, kept: LedgerRead) -> Ledger:
    alloys = [casting.alloy.name for casting in job.castings]
    if kept.alloy not in alloys:
        raise _none_such(f"no part of {job.design.job.name} is of this alloy", kept.alloy, alloys)
    return ledger(
        alloy=kept.alloy,
        issued_g=kept.issued_g,
        in_ring_g=kept.in_ring_g,
        clean_returns_g=kept.clean_returns_g,
        filings_g=kept.filings_g,
        balance_g=_balance_g(job, readings),
        melt_loss_percent=job.shop.casting.melt_loss_percent,
    )


def _proposals(
    job: Job, readings: Readings, found: Sequence[Shrinkage]
) -> tuple[tuple[Proposal, ...], list[str]]:
    """A shrink for each alloy; where its castings teach none, why."""
    by_alloy: dict[str, list[Shrinkage]] = {}
    for one in found:
        by_alloy.setdefault(one.expected.alloy_name, []).append(one)
    proposals: list[Proposal] = []
    words: list[str] = []
    for name, castings in by_alloy.items():
        kept = job.shop.shrink.alloy.get(name)
        now = next(part.scale.cast_percent for part in job.parts if part.alloy.name == name)
        count = 0 if kept is None else kept.castings
        try:
            proposals.append(proposed(castings, now, count, on=readings.date))
        except InputError as error:
            words += [f"{name}: {problem.text}: {problem.value}" for problem in error.problems]
    return tuple(proposals), words


def _loss(job: Job, readings: Readings, books: Sequence[Ledger]) -> ProposedLoss | None:
    casting = job.shop.casting
    of = casting.melt_loss_from
    return proposed_loss(
        books,
        casting.melt_loss_percent,
        0 if of is None else of.melts,
        0.0 if of is None else of.issued_g,
        on=readings.date,
    )


def _far_from_design(job: Job, books: Sequence[Ledger]) -> Iterator[str]:
    """Finished weights that are not this ring's."""
    designed = {casting.alloy.name: casting.flask.finished_g for casting in job.castings}
    for one in books:
        off = one.in_ring_g / designed[one.alloy] - 1
        if abs(off) > FAR_FROM_DESIGN:
            yield (
                f"{one.alloy}: {one.in_ring_g:g} g in the ring for {designed[one.alloy]:.2f} g "
                f"designed ({100 * off:+.0f} %): another ring, or another unit?"
            )
