"""Rules on the melts: what the stock cannot give, what the balance cannot hold."""

from __future__ import annotations

from collections.abc import Iterator

from ringgeom.findings.context import Laid
from ringgeom.findings.finding import Finding, Rules
from ringgeom.melt import Melt
from ringgeom.metal import element
from ringgeom.metal.melting import POUR_WARN_C, hints, pour_c

RULES: Rules[Laid] = Rules()

SHIFT_DE00 = 1.0
"""A change of colour that a trained eye sees side by side: common practice, no source."""

COARSE_PERMILLE = 1.0
"""Where the balance alone makes the fineness this unsure, it is too coarse for the melt."""

HALF_PERCENT = 50.0

HABITS = {
    "copper-ordering": "try your way of cooling on an offcut first; more silver in it helps",
    "silver-sulphide": "tell the client how it wears and how to clean it",
}
"""What is worth a finding of an alloy's habits, and the way out."""


def _key(laid: Laid, melt: Melt) -> tuple[str | int, ...]:
    return laid.key_of(laid.alloys[melt.wanted.alloy].place)


@RULES.add
def impossible(laid: Laid) -> Iterator[Finding]:
    """A melt that the stock cannot make, with what is missing."""
    for melt in laid.melts.melts:
        if melt.possible:
            continue
        if not melt.missing:
            yield Finding(
                code="melt-impossible",
                level="warn",
                part=melt.wanted.alloy.name,
                text=f"{melt.wanted.grams:.2f} g of {melt.wanted.alloy.name} cannot be weighed "
                f"out: {'; '.join(melt.why)}",
                fix="weigh on a finer balance, or melt more at once",
                key=_key(laid, melt),
            )
            continue
        lacks = ", ".join(f"{m.grams:.2f} g of {element(m.symbol).name}" for m in melt.missing)
        yield Finding(
            code="melt-impossible",
            level="warn",
            part=melt.wanted.alloy.name,
            value=sum(m.grams for m in melt.missing),
            unit="g",
            text=f"{melt.wanted.grams:.2f} g of {melt.wanted.alloy.name} cannot be melted from the "
            f"stock: {lacks} is missing",
            fix="; ".join((f"add fine metal: {lacks}", *melt.why)),
            key=_key(laid, melt),
        )


@RULES.add
def fineness_not_held(laid: Laid) -> Iterator[Finding]:
    """A melt that may come out under its fineness."""
    step = laid.asking.shop.melt.balance_g
    for melt in laid.melts.melts:
        wanted, worst, made = melt.wanted, melt.worst_permille, melt.fineness_permille
        if not melt.possible or worst is None or made is None:
            continue
        if worst < wanted.wanted_permille - 1e-6 and wanted.wanted_permille < 999:
            yield Finding(
                code="fineness-not-held",
                level="warn",
                part=wanted.alloy.name,
                value=worst,
                limit=wanted.wanted_permille,
                unit="permille",
                text=f"{wanted.alloy.name} is {made:.1f} permille as weighed, but {worst:.1f} in "
                f"the worst case that a balance of {step:g} g and the lots' recipes allow",
                fix=f"[melt] margin_permille = {wanted.wanted_permille - worst + 0.1:.1f}, or "
                "weigh on a finer balance",
                key=_key(laid, melt),
            )
        if made - worst > COARSE_PERMILLE or melt.why:
            yield Finding(
                code="balance-coarse",
                level="warn" if melt.why else "note",
                part=wanted.alloy.name,
                value=made - worst,
                limit=COARSE_PERMILLE,
                unit="permille",
                text=f"{melt.poured_g:.2f} g of {wanted.alloy.name} weighed to {step:g} g leaves "
                f"its fineness uncertain by {made - worst:.1f} permille, zinc fume and "
                "the doubt of the lots included" + "".join(f"; {why}" for why in melt.why),
                fix="weigh on a finer balance, melt more at once, or use lots with a tested recipe",
                key=_key(laid, melt),
            )


@RULES.add
def another_colour(laid: Laid) -> Iterator[Finding]:
    """A melt whose colour is not that of its recipe."""
    for melt in laid.melts.melts:
        if melt.possible and melt.shift_de00 > SHIFT_DE00:
            yield Finding(
                code="melt-shifts-colour",
                level="note",
                part=melt.wanted.alloy.name,
                value=melt.shift_de00,
                limit=SHIFT_DE00,
                unit="dE00",
                text=f"the lots move {melt.wanted.alloy.name} by {melt.shift_de00:.1f} from its "
                "recipe's colour",
                fix="a smaller [melt] tolerance_permille",
                key=_key(laid, melt),
            )


@RULES.add
def over_half_remelt(laid: Laid) -> Iterator[Finding]:
    """A melt that is mostly metal melted before."""
    for melt in laid.melts.melts:
        if melt.possible and melt.remelt_percent > HALF_PERCENT + 0.1:
            yield Finding(
                code="remelt-over-half",
                level="warn",
                part=melt.wanted.alloy.name,
                value=melt.remelt_percent,
                limit=HALF_PERCENT,
                unit="%",
                text=f"{melt.remelt_percent:.0f} % of the charge of {melt.wanted.alloy.name} was "
                "melted before: such castings are often porous",
                fix="[melt] remelt_percent = 50",
                key=_key(laid, melt),
            )


@RULES.add
def pours_hot(laid: Laid) -> Iterator[Finding]:
    """An alloy that is poured hotter than gypsum stands."""
    for alloy, part in laid.alloys.items():
        pour = pour_c(alloy)
        if pour is None or not pour.too_hot_for_gypsum:
            continue
        yield Finding(
            code="pour-over-investment",
            level="note" if pour.aim_c is None else "warn",
            part=part.name,
            value=pour.aim_c,
            limit=None if pour.aim_c is None else POUR_WARN_C,
            unit="C",
            text=f"{alloy.name}: {pour.text}",
            fix=f"{pour.investment} investment, following its maker",
            key=laid.key_of(part.place),
        )


@RULES.add
def habits(laid: Laid) -> Iterator[Finding]:
    """What a gold is known to do after the fire or in wear."""
    for alloy, part in laid.alloys.items():
        for hint in hints(alloy.recipe):
            if hint.code in HABITS and alloy.recipe.precious == "gold":
                yield Finding(
                    code=hint.code,
                    level="note",
                    part=part.name,
                    text=hint.text,
                    fix=HABITS[hint.code],
                    key=laid.key_of(part.place),
                )
