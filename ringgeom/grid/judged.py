"""What is wrong with one section at each of many sizes, by the same rules as a single ring.

A rule on the section alone is judged once. A rule that looks at the size compares one number
that only grows or only falls with it, so what it says at the smallest and at the largest size
holds between them; where the two differ, it is judged at every size.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from ringgeom.errors import ShapeError
from ringgeom.findings import Asking, Finding, Laid, judge_stations
from ringgeom.findings.scope import Scoped, rules_on
from ringgeom.findings.subjects import WRONG_UNIT
from ringgeom.form.places import Channel
from ringgeom.form.volume import Volume
from ringgeom.grid.sized import Sized, sized
from ringgeom.making.part import Part
from ringgeom.making.routes import Inserted, routes_of
from ringgeom.making.routes.channel import slide_route
from ringgeom.sketch import cannot_be_laid_out

Placed = tuple[int, Finding]
"""A finding with its place in the order of judging."""

Found = tuple[Placed, ...]

LAST = 1_000_000
"""Place of what comes after every rule."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SizedFound:
    """One section at all sizes: what was found, and where each size was laid out.

    Attributes
    ----------
    asked, laid : tuple of Found
        For each size, what was found before the section is laid out, and after.
    at : tuple
        For each size, the section and the size's number in it; None where it is not laid out.
    """

    asked: tuple[Found, ...]
    laid: tuple[Found, ...]
    at: tuple[tuple[SizedRing, int] | None, ...]


@dataclass(frozen=True, kw_only=True)
class SizedRing:
    """A section at several sizes, with contexts for the rules at each."""

    sized: Sized

    def laid_at(self, size: int) -> Laid:
        """The ring at one size as the rules on volumes and sprues see it."""
        one, laid = self.sized, self.sized.shaped.laid
        parts = [
            replace(part, volume_mm3=float(row[size]), cast_mm3=float(cast[size]))
            for part, row, cast in zip(one.parts, one.volume_mm3, one.cast_mm3, strict=True)
        ]
        volumes = {
            piece: Volume(volume_mm3=float(row[size]), by=laid.volumes[piece].by)
            for piece, row in one.volumes.items()
        }
        sprues = [stood.sprue(size) for stood in one.feet]
        return replace(
            laid,
            asking=one.askings[size],
            volumes=volumes,
            parts=tuple(parts),
            sprues={part.name: sprue for part, sprue in zip(parts, sprues, strict=True)},
        )

    def entered_at(self, size: int) -> Laid:
        """The ring at one size as the rule sees it that asks whether closed inlays go in."""
        laid = self.sized.shaped.laid
        routes = [
            slide_route(one, one.place)
            for one in self._inserted(size)
            if isinstance(one.place, Channel)
        ]
        return replace(laid, asking=self.sized.askings[size], routes=tuple(routes))

    def routed_at(self, size: int, parts: Sequence[Part]) -> Laid:
        """The ring at one size, its parts of some alloys, as the rules on routes see it.

        Joints stay those of the first size: no route that a rule asks for looks at their area.
        """
        made = {part.name: part for part in parts}
        inserted = [
            replace(
                one,
                parts=tuple(made[part.name] for part in one.parts),
                hosts=tuple(made[part.name] for part in one.hosts),
                all_parts=tuple(parts),
            )
            for one in self._inserted(size)
            if one.place.route is not None
        ]
        routes = tuple(route for one in inserted for route in routes_of(one))
        return replace(self.sized.shaped.laid, asking=self.sized.askings[size], routes=routes)

    def _inserted(self, size: int) -> Iterable[Inserted]:
        ring, first = self.sized.ring(size), self.sized.shaped.ring
        wider = ring.form.inside_diameter_mm - first.form.inside_diameter_mm
        for one in self.sized.shaped.inserted:
            over = one.over_mm + wider if one.over_mm else 0.0
            yield replace(one, ring=ring, over_mm=over)

    @cached_property
    def chosen(self) -> bool:
        """Whether the design asks for a route."""
        return any(place.route for place in self.sized.shaped.laid.asking.design.parts)


def found_at_sizes(askings: Sequence[Asking], fingers: Sequence[Found]) -> SizedFound:
    """Lay out a section at every size that nothing stops, and judge it.

    Parameters
    ----------
    askings : sequence of Asking
        One for each size, else alike.
    fingers : sequence of Found
        What was found on the finger of each.
    """
    first = judged(rules_on("band", stages=("first",)), askings[0])
    bare = any(finding.code in WRONG_UNIT for _, finding in first)
    band = first if bare else (*first, *judged(rules_on("band", stages=("asked",)), askings[0]))
    asked = [(*finger, *band) for finger in fingers]
    if not bare:
        rising = sorted(range(len(askings)), key=lambda n: askings[n].form.inside_diameter_mm)
        moved = at_sizes(
            rules_on("size", stages=("asked",)), lambda n: askings[rising[n]], len(askings)
        )
        for number, more in zip(rising, moved, strict=True):
            asked[number] += more + judged(
                rules_on("every size", stages=("asked",)), askings[number]
            )
            known = [finding for _, finding in asked[number]]
            asked[number] += tuple((LAST, f) for f in judge_stations(askings[number], known))
    laid: list[Found] = [()] * len(askings)
    at: list[tuple[SizedRing, int] | None] = [None] * len(askings)
    open_ = [n for n, found in enumerate(asked) if not stops(found)]
    for numbers, outcome in sized([askings[n] for n in open_]) if open_ else ():
        if isinstance(outcome, ShapeError):
            asked[open_[numbers[0]]] += ((LAST, cannot_be_laid_out(outcome)),)
            continue
        ring = SizedRing(sized=outcome)
        found = _laid_found(ring, len(numbers))
        for place, number in enumerate(numbers):
            laid[open_[number]] = found[place]
            at[open_[number]] = (ring, place)
    return SizedFound(asked=tuple(asked), laid=tuple(laid), at=tuple(at))


def _laid_found(ring: SizedRing, count: int) -> list[Found]:
    band = judged(rules_on("band", stages=("laid",)), ring.sized.shaped.laid)
    moved = at_sizes(rules_on("size", stages=("laid",)), ring.laid_at, count)
    entered = at_sizes(rules_on("way in", stages=("laid",)), ring.entered_at, count)
    return [(*band, *some, *more) for some, more in zip(moved, entered, strict=True)]


def judged(rules: Iterable[Scoped], context: Any) -> Found:
    """What some rules find."""
    return tuple(placed for rule in rules for placed in rule.judge(context))


def at_sizes(rules: Sequence[Scoped], context: Callable[[int], Any], count: int) -> list[Found]:
    """What some rules find at every one of `count` sizes, in rising order of the bore.

    Where nothing differs between the ends, one and the same tuple stands for all.
    """
    if not rules:
        return [()] * count
    ends = context(0), context(count - 1)
    still: list[Placed] = []
    moving: list[Scoped] = []
    for rule in rules:
        found = rule.judge(ends[0])
        if _said(found) == _said(rule.judge(ends[1])):
            still += found
        else:
            moving.append(rule)
    same = tuple(still)
    if not moving:
        return [same] * count
    return [(*same, *judged(moving, context(size))) for size in range(count)]


def _said(found: Found) -> list[tuple[str, str, str | None, str]]:
    """What a person reads of some findings; of a note only that it is there."""
    return [
        (one.level, one.code, one.part, "" if one.level == "note" else one.text) for _, one in found
    ]


def stops(found: Found) -> bool:
    """Whether one of some findings forbids making the ring."""
    return any(finding.level == "stop" for _, finding in found)
