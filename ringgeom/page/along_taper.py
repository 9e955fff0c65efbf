"""What can be grabbed and read on the unrolled outside of a band that tapers.

A place's keys are those at 12 o'clock. Elsewhere it lies at its share of the width, so the hand
moves as much less there as the key moves.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from ringgeom.form.ring_form import RingForm
from ringgeom.making.roll import Roll
from ringgeom.page.grip import Grip
from ringgeom.page.measures import Measure


def grips_along(grips: Iterable[Grip], form: RingForm) -> tuple[Grip, ...]:
    """Grips as they lie where the band is narrower."""
    if form.taper is None:
        return tuple(grips)
    roll = Roll(form=form, level=True)
    found = []
    for grip in grips:
        s, z = grip.at_mm
        share = roll.share(s / roll.radius_mm)
        if grip.axis == "y":
            moves, alone = (
                tuple(replace(move, per=move.per / share) for move in some)
                for some in (grip.moves, grip.alone)
            )
            grip = replace(grip, moves=moves, alone=alone)
        found.append(replace(grip, at_mm=(s, share * z)))
    return tuple(found)


def measures_along(measures: Iterable[Measure], form: RingForm) -> tuple[Measure, ...]:
    """Dimension lines as they lie there; what they say holds at 12 o'clock."""
    if form.taper is None:
        return tuple(measures)
    roll = Roll(form=form, level=True)
    found = []
    for line in measures:
        if line.side == "right":
            share = roll.share(line.at_mm / roll.radius_mm)
            low, high = share * line.from_mm, share * line.to_mm
            said = f"{line.says}, at 12 o'clock"
            found.append(replace(line, from_mm=low, to_mm=high, says=said))
        else:
            share = roll.share(0.5 * (line.from_mm + line.to_mm) / roll.radius_mm)
            found.append(replace(line, at_mm=share * line.at_mm))
    return tuple(found)
