"""Rules on what is cast: shrink, sprue and button."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Sequence

from ringgeom.findings.context import Laid
from ringgeom.findings.finding import Finding, Rules
from ringgeom.shop import Casting

RULES: Rules[Laid] = Rules()

USUAL_SHRINKS = (0.5, 3.0)
"""Percent; castings shrink 1.0 to 2.0 by common practice, so this leaves room."""


@RULES.add
def shrink_unknown(laid: Laid) -> Iterator[Finding]:
    """Of every alloy that is cast by a shrink that is no more than common practice."""
    told: set[str] = set()
    for part in laid.parts:
        metal = part.alloy.recipe.precious
        if not part.scale.known and part.alloy.name not in told:
            told.add(part.alloy.name)
            yield Finding(
                code="shrink-unknown",
                level="warn",
                part=part.name,
                value=part.scale.cast_percent,
                unit="%",
                text=f"no reliable shrink is known for cast {metal}: "
                f"{part.scale.cast_percent:g} % was taken for {part.alloy.name}",
                fix=f"ask your caster and set [shrink] {metal} in the shop file",
                key=laid.key_of(part.place),
            )


@RULES.add
def shrink_unlikely(laid: Laid) -> Iterator[Finding]:
    """A shrink far outside what castings do: a fraction typed for percent, or a slip."""
    told: set[str] = set()
    for part in laid.parts:
        shrink = part.scale.cast_percent
        if part.alloy.name in told or USUAL_SHRINKS[0] <= shrink <= USUAL_SHRINKS[1]:
            continue
        told.add(part.alloy.name)
        fraction = shrink < 0.05
        yield Finding(
            code="shrink-unlikely",
            level="warn",
            part=part.name,
            value=shrink,
            limit=USUAL_SHRINKS[0] if shrink < USUAL_SHRINKS[0] else USUAL_SHRINKS[1],
            unit="%",
            text=f"a shrink of {shrink:g} % for {part.alloy.name} is not what castings do "
            "(1.0 to 2.0)",
            fix=f"a fraction? write {shrink * 100:g}" if fraction else "measure a casting",
        )


@RULES.add
def shop_names_unused(laid: Laid) -> Iterator[Finding]:
    """A name in the shop file that is nearly, but not, an alloy of this ring."""
    used = sorted({part.alloy.name for part in laid.parts})
    shop = laid.asking.shop
    for where, names in (("shrink.alloy", shop.shrink.alloy), ("measured", shop.measured)):
        for name in names:
            near = difflib.get_close_matches(name, used, n=1, cutoff=0.8)
            if name not in used and near and near[0] not in names:
                yield Finding(
                    code="shop-name-unused",
                    level="warn",
                    part=near[0],
                    text=f'[{where}] "{name}" of the shop file names no alloy of this ring, '
                    f"but nearly {near[0]}",
                    fix=f'write "{near[0]}", if it is meant',
                )


@RULES.add
def sprue_is_oval(laid: Laid) -> Iterator[Finding]:
    """Where a round sprue is wider than the face it stands on."""
    for part in laid.parts:
        sprue = laid.sprues[part.name]
        if sprue.is_oval:
            yield Finding(
                code="sprue-oval",
                level="note",
                part=part.name,
                value=sprue.diameter_mm,
                limit=sprue.stand.width_mm,
                unit="mm",
                text=f"the sprue of {part.name} asks for {sprue.diameter_mm:.2f} mm and stands "
                f"on {sprue.stand.width_mm:.2f} mm: it is made oval, {sprue.across_mm:.2f} x "
                f"{sprue.along_mm:.2f} mm, "
                + (
                    "of the same area"
                    if sprue.area_share > 0.999
                    else f"{100 * sprue.area_share:.0f} % of the area"
                ),
                fix="or feed it round from the edge face",
                key=laid.key_of(part.place),
            )


@RULES.add
def sprue_freezes_first(laid: Laid) -> Iterator[Finding]:
    """A sprue that has no room to be as thick as its part asks: it stops feeding too soon."""
    for part in laid.parts:
        sprue = laid.sprues[part.name]
        if sprue.freezes_later < 1:
            yield Finding(
                code="sprue-freezes-first",
                level="warn",
                part=part.name,
                value=sprue.modulus_mm,
                limit=sprue.casting_modulus_mm,
                unit="mm",
                text=f"the sprue of {part.name} stays liquid {sprue.freezes_later:.2f} times as "
                f"long as the part: it has only {sprue.stand.width_mm:.2f} mm to stand on, and "
                "freezes before what it feeds",
                fix="feed it round from the edge face, or with more sprues ([casting] sprue_count)",
                key=laid.key_of(part.place),
            )


@RULES.add
def button_raised(laid: Laid) -> Iterator[Finding]:
    """Where the least button counts and not the share of the castings."""
    raised = {c.alloy.name: c.flask for c in laid.castings if c.flask.button_by == "floor"}
    if raised:
        parts_g = max(flask.parts_g for flask in raised.values())
        yield button_note(tuple(raised), parts_g, laid.asking.shop.casting)


def button_note(alloys: Sequence[str], parts_g: float, casting: Casting) -> Finding:
    """The note that some alloys' buttons are the smallest that is poured.

    Parameters
    ----------
    parts_g : float
        Of the heaviest of their castings [g].
    """
    share = parts_g * casting.button_percent / 100
    return Finding(
        code="button-under-floor",
        level="note",
        part=", ".join(alloys),
        value=share,
        limit=casting.button_min_g,
        unit="g",
        text=f"{casting.button_percent:g} % of the castings, at most {share:.2f} g, is too "
        f"small a button for {', '.join(alloys)}",
        fix=f"{casting.button_min_g:g} g are melted for each of these buttons instead",
    )
