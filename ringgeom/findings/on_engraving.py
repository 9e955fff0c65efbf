"""Rules on engraving by the ring it lies on: walls under it, joints through it, its floor."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor
from typing import TYPE_CHECKING

import numpy as np

from ringgeom.engraving.asked import Lettering
from ringgeom.findings.context import Formed
from ringgeom.findings.finding import Finding, Rules, at_limits
from ringgeom.form.section import BODY, Owner

if TYPE_CHECKING:
    from ringgeom.engraving.engraved import Engraved
    from ringgeom.engraving.face import Face
    from ringgeom.engraving.relief import Relief

RULES: Rules[Formed] = Rules()


def _key(one: Engraved, *more: str) -> tuple[str | int, ...]:
    return ("engraving", one.number, *more)


@RULES.add
def over_a_wave(formed: Formed) -> Iterator[Finding]:
    """Letters where a boundary waves to and fro under them."""
    for one in formed.engraved:
        ends = dict.fromkeys(box[2:] for box in one.boxes_mm)
        waved = [(low, high) for low, high in ends if not one.face.steady(low, high)]
        if not waved:
            continue
        low, high = waved[0]
        struck = not one.carved
        if formed.ring.form.taper is not None:
            yield _tapers(formed, one, high - low)
            continue
        strips = one.face.between(low - one.face.half_mm, high + one.face.half_mm)
        widest = max((s for s in strips if s.metal), key=lambda s: s.high_mm - s.low_mm)
        yield Finding(
            code="letters-over-wave",
            level="warn" if struck else "stop",
            value=high - low,
            limit=widest.high_mm - widest.low_mm,
            unit="mm",
            text=f"{one.words} lies across a waving boundary",
            fix=f"on {_name(formed, widest.owner)}, whole from {widest.low_mm:.2f} to "
            f"{widest.high_mm:.2f} mm, or on the other face",
            key=_key(one, "centre_mm"),
        )


def _tapers(formed: Formed, one: Engraved, tall_mm: float) -> Finding:
    """What lies where the face itself, or the part that it shows, changes round the ring."""
    strips = [strip for strip in one.face.strips if strip.metal]
    widest = max(strips, key=lambda s: s.high_mm - s.low_mm, default=None)
    return Finding(
        code="letters-over-taper",
        level="stop" if one.carved else "warn",
        value=tall_mm,
        limit=0.0 if widest is None else widest.high_mm - widest.low_mm,
        unit="mm",
        text=f"{one.words} lies where the face tapers: its shapes are drawn for a cylinder",
        fix="in a flat bore, or on an outside that keeps its thickness"
        if widest is None
        else f"on {_name(formed, widest.owner)}, even from {widest.low_mm:.2f} to "
        f"{widest.high_mm:.2f} mm",
        key=_key(one, "centre_mm"),
    )


@RULES.add
def thin_under_letters(formed: Formed) -> Iterator[Finding]:
    """Metal left under what is engraved, from the other face too (common practice, no source)."""
    limits = formed.asking.shop.limits
    for one in formed.engraved:
        if not one.deepest_mm:
            continue
        behind = max(
            (
                other.deepest_mm
                for other in formed.engraved
                if other.deepest_mm and other.asked.on != one.asked.on and _behind(one, other)
            ),
            default=0.0,
        )
        for owner, (left, wall, depth) in _left(one).items():
            left -= behind
            level = at_limits(
                left, warn=limits.letter_floor_warn_mm, stop=limits.letter_floor_stop_mm
            )
            if level is None:
                continue
            stop = level == "stop"
            limit = limits.letter_floor_stop_mm if stop else limits.letter_floor_warn_mm
            safe = floor(100 * (depth - limits.letter_floor_warn_mm + left)) / 100
            also = " and what is cut into its other face" if behind else ""
            key = "depth_mm" if hasattr(one.asked, "depth_mm") else "most_depth_mm"
            yield Finding(
                code="thin-under-letters",
                level=level,
                part=_name(formed, owner),
                value=left,
                limit=limit,
                unit="mm",
                text=f"{max(left, 0.0):.2f} mm of {_name(formed, owner)} is left under "
                f"{one.words}{also}"
                if left > 0
                else f"{one.words} goes through {_name(formed, owner)}{also}: it is "
                f"{wall:.2f} mm thick there",
                fix=f"{key} = {safe:.2f} or less" if safe >= 0.01 else "thicker metal there",
                key=_key(one, key),
            )


@RULES.add
def over_a_joint(formed: Formed) -> Iterator[Finding]:
    """Letters and marks that lie on two parts, on a gap between them, or on a seam."""
    for one in formed.engraved:
        crossed = _joint(one)
        if crossed is None:
            continue
        owners, across = crossed
        raised = one.raised
        names = " and ".join(dict.fromkeys(_name(formed, o) for o in owners))
        where = f"the joint of {names}" if across else f"a joint round the ring in {names}"
        shared = "" if not one.carved else "; what each part loses is counted exactly"
        yield Finding(
            code="letters-over-joint",
            level="stop" if raised else "warn",
            text=f"{one.words} runs over {where}"
            + (": raised letters would hold the two together" if raised else shared),
            fix="on one part, by centre_mm" if across else "between the joints, by at",
            key=_key(one, "centre_mm" if across else "at"),
        )


@RULES.add
def flat_floor_fades(formed: Formed) -> Iterator[Finding]:
    """A flat floor that comes out of a domed face within the letters."""
    for one in formed.engraved:
        if not one.carved or not one.face.strips:
            continue
        kept, least = min(
            ((deep, deep.leaves_mm(one.face, low, high)) for deep, low, high in one.stretches),
            key=lambda found: found[1],
        )
        if least > 1e-9:
            continue
        deeper = kept.depth_mm - least + 0.05
        yield Finding(
            code="letters-fade",
            level="warn",
            value=least,
            limit=0.0,
            unit="mm",
            text=f"the flat floor of {one.words} runs out of the face within "
            + ("the letters" if isinstance(one.asked, Lettering) else "its figures")
            if not one.raised
            else f"the face rises above the flat top of {one.words} within the letters",
            fix=f'floor = "following", or depth_mm = {deeper:.2f}',
            key=_key(one, "floor"),
        )


def _name(formed: Formed, owner: Owner) -> str:
    if owner == BODY:
        return "body"
    return formed.name_of(Owner("part", owner.claim)) if owner.claim >= 0 else "a recess"


def _walls(face: Face, low: float, high: float) -> dict[Owner, float]:
    """Least thickness below a face between two z, of every metal that shows there [mm]."""
    found: dict[Owner, float] = {}
    for strip in face.between(low, high):
        if strip.metal:
            wall = strip.wall_mm(low, high)
            found[strip.owner] = min(wall, found.get(strip.owner, wall))
    return found


def _left(one: Engraved) -> dict[Owner, tuple[float, float, float]]:
    """Under an engraving, of every metal: least left, wall there, depth asked for there [mm]."""
    found: dict[Owner, tuple[float, float, float]] = {}
    for deep, low, high in one.stretches:
        for owner, wall in _walls(one.face, low, high).items():
            left = wall - _depth_mm(one.face, deep, low, high)
            if owner not in found or left < found[owner][0]:
                found[owner] = left, wall, deep.depth_mm
    return found


def _depth_mm(face: Face, deep: Relief, low: float, high: float) -> float:
    """Largest depth below the face between two z [mm]."""
    flat = deep.flat_mm(face)
    if flat is None:
        return deep.depth_mm
    z = np.linspace(low, high, 65)
    return float((face.out * (face.r(z) - flat)).max())


def _behind(one: Engraved, other: Engraved) -> bool:
    """Whether two engravings of both faces lie behind each other."""
    for box in one.boxes_mm:
        for back in other.boxes_mm:
            if min(box[3], back[3]) <= max(box[2], back[2]):
                continue
            ends = [v / one.face.radius_mm for v in box[:2]]
            others = [v / other.face.radius_mm for v in back[:2]]
            if _meet(ends[0], ends[1], others[0], others[1], 2 * np.pi):
                return True
    return False


def _meet(a0: float, a1: float, b0: float, b1: float, turn: float) -> bool:
    """Whether two stretches round a turn overlap."""
    apart = abs((a0 + a1 - b0 - b1) / 2)
    apart -= turn * floor(apart / turn)
    return min(apart, turn - apart) < (a1 - a0 + b1 - b0) / 2 - 1e-9


def _joint(one: Engraved) -> tuple[tuple[Owner, ...], bool] | None:
    """Parts whose joint a letter runs over, and whether it lies across the ring's width."""
    face = one.face
    for x0, x1, y0, y1 in one.letters_mm:
        strips = face.between(y0, y1)
        owners = tuple(dict.fromkeys(strip.owner.metal for strip in strips))
        if len({(o.kind == "body", o.claim) for o in owners}) > 1 or any(
            not strip.metal for strip in strips
        ):
            return owners, True
        lean = face.radius_mm * face.ring.twist
        for strip in strips:
            for _, ends in face.ring.stretches(strip.owner):
                for angle in () if ends is None else ends:
                    at = face.radius_mm * angle
                    ends_mm = sorted((at + lean * y0, at + lean * y1))
                    if _meet(x0, x1, ends_mm[0], ends_mm[1], face.around_mm):
                        return (strip.owner,), False
    return None
