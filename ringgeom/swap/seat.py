"""Where a design asks for an alloy: a place of one alloy, or the like segments of one place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ringgeom.design import BODY_NAME, Design
from ringgeom.errors import InputError, Problem
from ringgeom.form.places import Segments
from ringgeom.form.section import Owner
from ringgeom.jobs import Job, all_contacts
from ringgeom.making.alloys import alloy_in_shop
from ringgeom.making.as_made import as_made
from ringgeom.making.part import Part
from ringgeom.metal import Alloy, catalogue, fineness
from ringgeom.metal.catalogue import SAME_FINENESS_PERMILLE
from ringgeom.shop import Shop

Keys = tuple[str | int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """Parts that take their alloy from one place of the design.

    Attributes
    ----------
    name : str
        Of its place; of its first part where a place holds several alloys.
    keys : tuple of keys
        Where the design file asks for the alloy.
    alloy : Alloy
        As designed.
    parts : tuple of str
        Names of the parts.
    """

    name: str
    keys: tuple[Keys, ...]
    alloy: Alloy
    parts: tuple[str, ...]


def seats(job: Job) -> tuple[Seat, ...]:
    """All of a job, in the order of its parts."""
    groups: dict[tuple[Keys, ...], list[Part]] = {}
    for part in job.parts:
        groups.setdefault(_keys(job, part), []).append(part)
    places = [keys[0][:2] for keys in groups]
    return tuple(
        Seat(
            name=_name(job, keys, parts[0], alone=places.count(keys[0][:2]) == 1),
            keys=keys,
            alloy=parts[0].alloy,
            parts=tuple(part.name for part in parts),
        )
        for keys, parts in groups.items()
    )


def _keys(job: Job, part: Part) -> tuple[Keys, ...]:
    """Every place of the design file where a part's alloy is asked for."""
    design = job.design
    made = as_made(design).parts
    numbers = [n for n, place in enumerate(made) for _ in place.placed(job.form.band)]
    number = None if part.place is None else numbers[part.place]
    # the half of a split body is of the body's alloy
    if number is None or number >= len(design.parts):
        return (("body", "alloy"),)
    place = design.parts[number]
    if not isinstance(place, Segments):
        return (("part", number, "alloy"),)
    mine = place.alloys[(part.piece.sector or 0) % len(place.alloys)]
    like = [turn for turn, asked in enumerate(place.alloys) if asked == mine]
    return tuple(("part", number, "alloys", turn) for turn in like)


def _name(job: Job, keys: tuple[Keys, ...], first: Part, *, alone: bool) -> str:
    number = keys[0][1]
    if not isinstance(number, int):
        return BODY_NAME
    return job.design.parts[number].name if alone else first.name


def seats_named(found: Sequence[Seat], name: str) -> tuple[Seat, ...]:
    """The seats of one place or part; all without a name.

    Raises
    ------
    InputError
        There is no such part.
    """
    if not name:
        return tuple(found)
    # a place of several alloys is called by its own name or by one of its parts
    mine = [s for s in found if name in (s.name, *s.parts, *(_stem(part) for part in s.parts))]
    if not mine:
        from difflib import get_close_matches

        names = list(dict.fromkeys(seat.name for seat in found))
        near = get_close_matches(name, names, n=1)
        raise InputError(
            Problem(
                text="this ring has no such part",
                value=name,
                allowed=", ".join(names),
                nearest=near[0] if near else "",
            )
        )
    return tuple(mine)


def _stem(part: str) -> str:
    """A part's name without its number."""
    head, _, number = part.rpartition(" ")
    return head if head and number.isdigit() else part


def in_other_alloys(design: Design, chosen: Mapping[Seat, Alloy]) -> Design:
    """A design with other alloys of the catalogue in some of its seats."""
    parts = list(design.parts)
    body = design.body
    for seat, alloy in chosen.items():
        if alloy == seat.alloy:
            continue
        for keys in seat.keys:
            number = keys[1]
            if not isinstance(number, int):
                assert body is not None
                body = body.model_copy(update={"alloy": alloy.name})
                continue
            place = parts[number]
            update: dict[str, object] = {"alloy": alloy.name}
            if isinstance(place, Segments):
                turns = list(place.alloys)
                turns[int(keys[3])] = alloy.name
                update = {"alloys": tuple(turns)}
            parts[number] = place.model_copy(update=update)
    return design.model_copy(update={"parts": tuple(parts), "body": body})


def touching(job: Job, found: Sequence[Seat]) -> tuple[tuple[Seat, Seat], ...]:
    """Every two seats whose parts touch, once, in the order of the joints."""
    if job.ring is None:
        return ()
    of_part = {part: seat for seat in found for part in seat.parts}
    of_owner: dict[Owner, dict[Seat, None]] = {}
    rounds: dict[int, list[Seat]] = {}
    for part in job.parts:
        owner = Owner("body") if part.place is None else Owner("part", part.place)
        of_owner.setdefault(owner, {})[of_part[part.name]] = None
        if part.place is not None and part.pieces_round > 1:
            rounds.setdefault(part.place, []).append(of_part[part.name])
    pairs = [
        (one, two)
        for met in all_contacts(job.ring, job.insets)
        for one in of_owner.get(met.inserted, {})
        for two in of_owner.get(met.host, {})
    ]
    for turn in rounds.values():
        pairs += zip(turn, [*turn[1:], turn[0]], strict=True)
    once: dict[frozenset[str], tuple[Seat, Seat]] = {}
    for one, two in pairs:
        if one != two:
            once.setdefault(frozenset((one.name, two.name)), (one, two))
    return tuple(once.values())


def candidates(
    seat: Seat, shop: Shop, *, fineness_permille: float | None, any_metal: bool
) -> tuple[Alloy, ...]:
    """Catalogue alloys to put into a seat, with what the shop has measured of them.

    Of its own metal, and of its own fineness or the one that is asked for. With `any_metal` of
    every precious metal, and of every fineness unless one is asked for.
    """
    mine = seat.alloy.recipe.precious
    wanted = fineness_permille
    if wanted is None and not any_metal:
        wanted = fineness(seat.alloy.recipe)
    return tuple(
        alloy_in_shop(alloy.name, shop)
        for alloy in catalogue()
        if _is_of(alloy, mine, wanted, any_metal=any_metal)
    )


def _is_of(alloy: Alloy, metal: str, wanted: float | None, *, any_metal: bool) -> bool:
    made = fineness(alloy.recipe)
    if alloy.recipe.precious != metal and not (any_metal and made is not None):
        return False
    if wanted is None or made is None:
        return wanted is None
    return abs(made - wanted) <= SAME_FINENESS_PERMILLE
