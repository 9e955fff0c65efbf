"""The bench's own sums told in the terminal: mixtures, fineness, weighing in water, recipes."""

from __future__ import annotations

from ringgeom.colour import colour
from ringgeom.colour.pair import Pair
from ringgeom.colour.search import Searched
from ringgeom.metal import Alloy, fineness, recipe_faults
from ringgeom.metal.assayed import Assayed
from ringgeom.metal.fineness_change import Change
from ringgeom.metal.melting import hints
from ringgeom.metal.mixing import InHand
from ringgeom.metal.portion_text import Mixed, WrittenPortion
from ringgeom.metal.reaching import Reached
from ringgeom.metal.weighed_change import WeighedChange, WeighedOut
from ringgeom.report.metals import lab_words, written
from ringgeom.terminal import finding_line, say, swatch, table


def tell_mixture(found: Mixed) -> None:
    """What comes of portions melted together."""
    table(
        ("portion", "g", "cm3"),
        [[one.alloy.name, f"{one.grams:.3f}", f"{one.cm3:.4f}"] for one in found.portions],
    )
    made = found.made
    say(f"gives {found.grams:.3f} g: {written(made.recipe)} (percent by mass)")
    permille = fineness(made.recipe)
    if permille is not None:
        karat = f", {permille * 24 / 1000:.2f} kt" if made.recipe.precious == "gold" else ""
        say(f"  {permille:.1f} permille {made.recipe.precious}{karat}")
    say(f"  density {made.density_g_cm3:.2f} +/- {made.density_uncertainty_g_cm3:.2f} g/cm3")
    say(_seen(made))
    _tell_faults(made)


def _tell_faults(alloy: Alloy) -> None:
    for fault in recipe_faults(alloy.recipe):
        finding_line(fault.level, fault.code, "", fault.text, fault.fix)


def _seen(alloy: Alloy) -> str:
    seen = colour(alloy)
    return (
        f"  colour {swatch(seen.hex)}L*a*b* {lab_words(seen.lab)} predicted, "
        f"+/- {seen.trust.band_de00:g} dE00"
    )


def tell_change(
    lot: Alloy, found: Change, weighed: WeighedChange, made: Alloy, moved: Pair
) -> None:
    """A lot raised or lowered: what to weigh out, then what comes of it."""
    say(
        f"{found.lot_g:.2f} g of {lot.name} from {found.before_permille:.1f} to "
        f"{found.after_permille:.1f} permille ({found.why})"
    )
    table(("", "g", "add"), [["[ ]", f"{weighed.add_g:.2f}", found.adding.name]])
    if len(found.add) > 1:
        parts = ", ".join(f"{one.metal} {one.grams:.2f}" for one in found.add)
        say(f"  made of {parts}")
    say(
        f"gives {weighed.total_g:.2f} g at {weighed.after_permille:.1f} permille: "
        f"{written(weighed.result)} (percent by mass)"
    )
    say(
        f"  its colour moves by {moved.contrast.delta_e_00_d65:.1f} dE00 (predicted, "
        f"+/- {moved.contrast.band:g})"
    )
    _tell_faults(made)
    for hint in hints(made.recipe):
        say(f"  {hint.text}")


def tell_assay(found: Assayed) -> None:
    """Density, share of gold and porosity, with everything that they do not tell."""
    weighed, share, pores = found.immersion, found.share, found.porosity
    low, high = weighed.band_g_cm3
    say(
        f"density {weighed.density_g_cm3:.2f} g/cm3 ({low:.2f} to {high:.2f}), "
        f"volume {weighed.volume_cm3:.4f} cm3"
    )
    if share is not None:
        karat = "" if share.karat is None else f", {share.karat:.1f} kt"
        say(
            f"read as {share.heavy} and {share.light} alone: {share.permille:.0f} permille "
            f"{share.heavy} ({share.permille_low:.0f} to {share.permille_high:.0f}){karat}, "
            f"{share.volume_percent:.1f} % of the volume"
        )
    if found.not_shared:
        say(found.not_shared)
    if pores is not None:
        say(
            f"against {pores.expected_g_cm3:.2f} g/cm3 expected, {pores.percent:.1f} % of pores "
            f"would explain it ({pores.percent_low:.1f} to {pores.percent_high:.1f}): {pores.text}"
            if pores.percent >= 0
            else f"against {pores.expected_g_cm3:.2f} g/cm3 expected, {-pores.percent:.1f} % "
            f"denser: {pores.text}"
        )
    for one in found.limits:
        say(f"  {one}")


def tell_searched(found: Searched) -> None:
    """Recipes proposed for a colour, best first."""
    say(found.words)
    rows = [
        [
            f"{swatch(one.colour.hex)}{written(one.recipe)}",
            lab_words(one.colour.lab),
            f"{one.colour.trust.band_de00:g}",
            "" if one.delta_e_00 is None else f"{one.delta_e_00:.1f}",
            f"{one.alloy.density_g_cm3:.2f}",
            "" if one.melts is None else one.melts.text,
        ]
        for one in found.proposals
    ]
    table(("recipe", "L* / a* / b*", "+/-", "dE00", "g/cm3", "melts"), rows)
    for one in found.proposals:
        for hint in one.hints:
            say(f"  {hint.text}")
        for fault in one.hazards:
            say(f"  {fault.level}: {fault.text}")


def tell_in_hand(made: Alloy, found: InHand, out: WeighedOut) -> None:
    """How much of an alloy the metal in hand makes."""
    say(f"{found.alloy_g:.2f} g of {made.name} can be made; {found.limiting} is used up first")
    _tell_out([["[ ]", f"{one.grams:.2f}", one.metal] for one in out.portions], out)
    if found.add:
        say("to add: " + ", ".join(f"{one.grams:.2f} g {one.metal}" for one in found.add))
    for one in found.left:
        if one.grams > 0.005:
            say(f"left over: {one.grams:.2f} g {one.metal}")


def tell_reached(made: Alloy, lot: WrittenPortion, found: Reached, out: WeighedOut) -> None:
    """The least of an alloy that takes up all of a lot."""
    say(
        f"to use up {found.lot_g:.2f} g of {lot.alloy.name}, make {found.total_g:.2f} g of "
        f"{made.name} or more: {found.limiting} sets the limit"
    )
    rows = [["[ ]", f"{found.lot_g:.2f}", lot.alloy.name]]
    _tell_out(
        [*rows, *(["[ ]", f"{one.grams:.2f}", f"fine {one.metal}"] for one in out.portions)], out
    )
    for one in found.traces:
        say(f"  a trace of {one.metal} stays in it: {one.grams:.4f} g")


def _tell_out(rows: list[list[str]], out: WeighedOut) -> None:
    table(("", "g", "weigh out"), rows)
    fine = "" if out.permille is None else f" at {out.permille:.1f} permille"
    say(f"  gives {out.total_g:.2f} g{fine}, rounded so that the fineness holds")
