"""Rules on what is cast: shrink, sprue and button."""

from __future__ import annotations

from collections.abc import Iterator

from ringgeom.findings.context import Laid
from ringgeom.findings.finding import Finding, Rules

RULES: Rules[Laid] = Rules()


@RULES.add
def shrink_unknown(laid: Laid) -> Iterator[Finding]:
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
                text=f"no trustworthy shrink is known for cast {metal}: "
                f"{part.scale.cast_percent:g} % was taken for {part.alloy.name}",
                fix=f"ask your caster and set [shrink] {metal} in the shop file",
                key=laid.key_of(part.place),
            )


@RULES.add
def sprue_wider_than_its_stand(laid: Laid) -> Iterator[Finding]:
    for part in laid.parts:
        sprue = laid.sprues[part.name]
        if sprue.diameter_mm > sprue.stand.width_mm + 1e-9:
            yield Finding(
                code="sprue-wide",
                level="note",
                part=part.name,
                value=sprue.diameter_mm,
                limit=sprue.stand.width_mm,
                unit="mm",
                text=f"the sprue of {part.name} needs {sprue.diameter_mm:.2f} mm and stands on "
                f"{sprue.stand.width_mm:.2f} mm",
                fix="flatten its foot to the same area, or use two",
                key=laid.key_of(part.place),
            )


@RULES.add
def button_raised(laid: Laid) -> Iterator[Finding]:
    casting = laid.asking.shop.casting
    raised = {name: flask for name, flask in laid.flasks.items() if flask.button_by == "floor"}
    if raised:
        least = min(f.parts_g for f in raised.values()) * casting.button_percent / 100
        yield Finding(
            code="button-under-floor",
            level="note",
            part=", ".join(raised),
            value=least,
            limit=casting.button_min_g,
            unit="g",
            text=f"{casting.button_percent:g} % of the castings is too small a button for "
            + ", ".join(raised),
            fix=f"{casting.button_min_g:g} g are melted for each of these buttons instead",
        )
