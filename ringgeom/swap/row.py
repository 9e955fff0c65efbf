"""One ring in other alloys: its grams, its price, its contrasts, the rules that it breaks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from ringgeom.colour import colour
from ringgeom.colour.contrast import Contrast, contrast
from ringgeom.findings import Level
from ringgeom.jobs import Job
from ringgeom.metal import Alloy, recipe_faults
from ringgeom.price import Quote
from ringgeom.quoting import quote
from ringgeom.swap.seat import Seat

MARK_CODES = ("mark-margin", "marks-not-told-apart", "no-mark")
"""What keeps a mark off is told of an alloy also where no region is chosen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Met:
    """Two parts that touch, by name, with their alloys, and how they compare."""

    between: tuple[str, str]
    alloys: tuple[Alloy, Alloy]
    contrast: Contrast

    @property
    def verdict(self) -> str:
        """In daylight, in words."""
        if self.alloys[0] == self.alloys[1]:
            return "the same metal"
        return self.contrast.verdict + (", uncertain" if self.contrast.uncertain else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """A rule that a ring in these alloys breaks, and the way out."""

    code: str
    level: Level
    where: str
    text: str
    fix: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A ring with some alloys exchanged.

    Attributes
    ----------
    chosen : tuple of (Seat, Alloy)
        What was exchanged; one alloy may be as designed.
    job : Job
        The whole ring in these alloys, of fine metals: the stock is not asked.
    met : tuple of Met
        Every neighbour that an exchanged part touches.
    quote : Quote or None
        None where the shop names no price and no rate.
    breaks : tuple of Break
        Worst first; without those that every alloy breaks here.
    """

    chosen: tuple[tuple[Seat, Alloy], ...]
    job: Job
    met: tuple[Met, ...]
    quote: Quote | None
    breaks: tuple[Break, ...]

    @property
    def as_designed(self) -> bool:
        """Whether it is the ring as it was designed."""
        return all(seat.alloy == alloy for seat, alloy in self.chosen)

    @property
    def chosen_g(self) -> float | None:
        """Finished grams of the exchanged parts; None where the ring is stopped."""
        names = {name for seat, _ in self.chosen for name in seat.parts}
        held = [part.finished_g for part in self.job.parts if part.name in names]
        return None if self.job.stopped else sum(held)

    @property
    def finished_g(self) -> float | None:
        """The finished ring [g]; none where a rule stops it."""
        return None if self.job.stopped else self.job.finished_g

    @property
    def melt_g(self) -> float | None:
        """To melt for the whole ring."""
        melted = [casting.flask.melt_g for casting in self.job.castings]
        return None if self.job.stopped else sum(melted)

    @property
    def price(self) -> float | None:
        """The total; the metal's cost where no rate is known."""
        if self.quote is None or self.job.stopped:
            return None
        return self.quote.metal_cost if self.quote.total is None else self.quote.total

    @property
    def worst(self) -> Met | None:
        """The neighbours that contrast least in daylight; None where it touches none."""
        return min(self.met, key=lambda met: met.contrast.delta_e_00_d65, default=None)

    @property
    def hazards(self) -> tuple[str, ...]:
        """What to mind of the exchanged alloys."""
        faults = [f.code for _, alloy in self.chosen for f in recipe_faults(alloy.recipe)]
        return tuple(dict.fromkeys(faults))

    @property
    def rank(self) -> tuple[bool, float, float, str]:
        """Sorts rows: what can be made, most contrast as it is told, least price, name."""
        worst = 0.0 if self.worst is None else round(self.worst.contrast.delta_e_00_d65, 1)
        price = inf if self.price is None else self.price
        return self.job.stopped, -worst, price, self.chosen[0][1].name


def row(job: Job, chosen: Sequence[tuple[Seat, Alloy]], pairs: Sequence[tuple[Seat, Seat]]) -> Row:
    """One row.

    Parameters
    ----------
    job : Job
        Of the ring in these alloys.
    pairs : sequence of (Seat, Seat)
        All that touch.
    """
    alloys = dict(chosen)
    met = [
        _met(one, two, alloys.get(one, one.alloy), alloys.get(two, two.alloy))
        for one, two in pairs
        if one in alloys or two in alloys
    ]
    return Row(
        chosen=tuple(chosen),
        job=job,
        met=tuple(met),
        quote=quote(job),
        breaks=(*_breaks(job), *_one_metal(met)),
    )


def _met(one: Seat, two: Seat, first: Alloy, second: Alloy) -> Met:
    return Met(
        between=(one.name, two.name),
        alloys=(first, second),
        contrast=contrast(colour(first), colour(second)),
    )


def _one_metal(met: Sequence[Met]) -> list[Break]:
    return [
        Break(
            code="one-metal",
            level="note",
            where=" ".join(one.between),
            text=f"{' and '.join(one.between)} are of the same metal: no line is seen between them",
            fix="another alloy for one of them, if two colours are meant",
        )
        for one in met
        if one.alloys[0] == one.alloys[1]
    ]


def _breaks(job: Job) -> tuple[Break, ...]:
    found = [
        Break(
            code=finding.code,
            level=finding.level,
            where=".".join(map(str, finding.key)),
            text=finding.text,
            fix=finding.fix,
        )
        for finding in job.findings
        if finding.level != "note" or finding.code in MARK_CODES
    ]
    if any(mark.average_permille is not None for mark in job.marks):
        found.append(
            Break(
                code="several-finenesses",
                level="note",
                where="",
                text="one metal in several finenesses: their average is never a mark, and the "
                "lowest may have to speak for the whole",
                fix="one fineness for all its parts, or each its own mark: ringgeom mark",
            )
        )
    return tuple(found)
